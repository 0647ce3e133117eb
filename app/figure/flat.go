package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
)

// Flat is a seal face as it is seen under an optical flat, with its light
// bands, and the bow that the bands stand for.
type Flat struct {
	Bands  float64
	Light  seal.Light
	Height quantity.Length
	Limit  float64 // bands of helium light that are still good
	State  draw.State
	Sample bool // no reading: what the limit looks like
}

// OfFlatHeight is the drawing of a height that was read in helium bands.
func OfFlatHeight(height quantity.Length) Flat {
	one, err := seal.Flatness(1, seal.Helium)
	if err != nil {
		return Flat{}
	}
	f, err := OfFlatness((height / one).SI(), seal.Helium)
	if err != nil {
		return Flat{Bands: math.NaN()}
	}
	return f
}

// FlatLimit is the drawing of the usual limit, before anything is read.
func FlatLimit() Flat {
	f, err := OfFlatness(seal.BandLimit, seal.Helium)
	if err != nil {
		return Flat{}
	}
	f.State, f.Sample = draw.NotRead, true
	return f
}

// OfFlatness is the drawing of a number of bands.
// Errors: as seal.Flatness.
func OfFlatness(bands float64, light seal.Light) (Flat, error) {
	height, err := seal.Flatness(bands, light)
	if err != nil {
		return Flat{}, err
	}
	f := Flat{Bands: bands, Light: light, Height: height, Limit: seal.BandLimit, State: draw.Good}
	if !seal.WithinBands(height) {
		f.State = draw.PastLimit
	}
	return f, nil
}

var (
	titleFlat     = say.Define("figure.flat_title", "Seal face under the optical flat")
	msgFlatBands  = say.Define("figure.flat_bands", "{bands:number} light bands of {light}: {height:length}; {state}.")
	msgFlatSample = say.Define("figure.flat_sample", "What {bands:number} light bands of {light} look like: {height:length}.")
	msgFlatRead   = say.Define("figure.flat_read", "Lay a straight line from one end of a band to the other: the bands that it crosses are counted.")
	msgFlatLimit  = say.Define("figure.flat_limit", "Usual limit of a lapped face: {limit:number} bands of helium light.")
	msgFlatHollow = say.Define("figure.flat_hollow", "Bands alone do not tell a raised face from a hollow one: press lightly at the rim and see which way they move.")
	msgFlatMost   = say.Define("figure.flat_most", "Drawn: {bands:count} bands.")
	wordFace      = say.Define("figure.flat_face", "face, the bow drawn far too high")
)

const (
	flatOuter, flatInner = 31.0, 20.0
	flatLines            = 9   // bands that are drawn across the face
	flatMost             = 8.0 // bands of bow that a drawing shows
)

// Draw makes the picture.
func (f Flat) Draw(style say.Style) *draw.Drawing {
	if !usable(f.Bands, f.Height.SI()) || f.Bands < 0 {
		return missing(titleFlat.With(), titleFlat.With().Text(style), style)
	}
	told := &description{style: style}
	d := draw.New(sheetWidth, 72)
	c := draw.At(36, 36)
	bow := min(f.Bands, flatMost)
	space := 2 * flatOuter / flatLines
	d.Part("face", func() {
		d.Shape(draw.Ring(c, flatInner, flatOuter), draw.Shade, draw.Outline)
		first := -flatLines/2 - int(math.Ceil(bow))
		for n := first; n <= flatLines/2+1; n++ {
			f.band(d, c, space, float64(n), bow)
		}
	})
	// the line that is laid across, from end to end of one band
	if bow > 0 {
		x := flatOuter - 3
		y := c.Y + space*(bow*(x*x)/(flatOuter*flatOuter)-math.Round(bow/2))
		d.Line(draw.Marked, draw.At(c.X-x, y), draw.At(c.X+x, y))
	}
	left := 78.0
	head := msgFlatBands.With(f.Bands, f.Light, f.Height, f.State.Word())
	if f.Sample {
		head = msgFlatSample.With(f.Bands, f.Light, f.Height)
	}
	d.Text(draw.At(left, 8), head.Text(style), draw.Value.Sized(3.2))
	d.StateLabel(draw.At(left, 14), f.State, style, draw.Label)
	// the face from the side
	const wide, base, top = 58.0, 38.0, 9.0
	rise := top * bow / flatMost
	var points []draw.Point
	for i := 0; i <= 24; i++ {
		x := float64(i)/12 - 1
		points = append(points, draw.At(left+wide/2*(1+x), base-rise*(1-x*x)))
	}
	side := append(append([]draw.Point{}, points...), draw.At(left+wide, base+6), draw.At(left, base+6))
	d.Part("face", func() { d.Section(draw.Polygon(side...), draw.HatchRising) })
	d.Line(draw.Thin, draw.At(left-2, base-rise-0.6), draw.At(left+wide+2, base-rise-0.6))
	if rise > 0.3 {
		d.Dimension(draw.At(left+wide, base-rise-0.6), draw.At(left+wide, base), 6, show(f.Height, style))
	}
	d.Text(draw.At(left, base+10), wordFace.With().Text(style), draw.Small)
	y := base + 17
	notes := []say.Message{msgFlatRead.With(), msgFlatLimit.With(f.Limit), msgFlatHollow.With()}
	if f.Bands > flatMost {
		notes = append(notes, msgFlatMost.With(int(flatMost)))
	}
	told.add(head)
	for _, n := range notes {
		y = d.Paragraph(draw.At(left, y), n.Text(style), sheetWidth-left-2, draw.Label.In(draw.Soft)).Bottom() + 4
		told.add(n)
	}
	d.Height = max(d.Height, y)
	d.Describe(titleFlat.With().Text(style), told.String())
	return d
}

// band draws one dark band where it lies on the ring: bent by the bow between
// the middle and the rim.
func (f Flat) band(d *draw.Drawing, c draw.Point, space, n, bow float64) {
	pen := draw.Pen{Role: draw.Ink, Width: 1.1}
	var run []draw.Point
	flush := func() {
		if len(run) > 1 {
			d.Line(pen, run...)
		}
		run = run[:0:0]
	}
	for x := -flatOuter; x <= flatOuter; x += 0.5 {
		y := space * (n + bow*(x*x)/(flatOuter*flatOuter))
		if r := math.Hypot(x, y); r <= flatInner+0.5 || r >= flatOuter-0.5 {
			flush()
			continue
		}
		run = append(run, draw.At(c.X+x, c.Y+y))
	}
	flush()
}
