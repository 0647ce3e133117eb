package figure

import (
	"strconv"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Places shows where on a cylinder to measure: planes along it, angles around
// it, with the place asked for lit.
type Places struct {
	What        say.Shower // "casing bore", "idler pin"
	Inside      bool       // a bore; else a shaft or pin
	Planes      int        // along the axis, 1…6
	Angles      int        // around, 1…8: diameters at equal angles
	AskedPlane  int        // counted from 1; 0: none
	AskedAngle  int        // counted from 1; 0: none
	PlaneNames  []string   // in place of numbers; as many as planes
	AngleNames  []string   // in place of letters; as many as angles
	LoadSide    bool       // the load side (a pin) or the suction side (a bore) is marked
	LoadRight   bool       // at the right, else at the left
	Against     bool       // angles are counted against the clock, else clockwise
	Instruction say.Shower // may be nil
}

var (
	titlePlaces   = say.Define("figure.places_title", "Where to measure: {what}")
	msgPlaces     = say.Define("figure.places", "{planes:count|plane|planes} along the axis, numbered from the head side; {angles:count|diameter|diameters} in each, lettered.")
	msgAskedPlace = say.Define("figure.places_asked", "Asked now: {place}.")
	wordHeadSide  = say.Define("figure.head_side", "head side")
	wordLoadSide  = say.Define("figure.load_side", "load side")
	wordSuction   = say.Define("figure.suction_side", "suction side")
)

func (p Places) planeName(i int) string {
	if i < len(p.PlaneNames) && p.PlaneNames[i] != "" {
		return p.PlaneNames[i]
	}
	return PlaceName(i+1, 0)
}

func (p Places) angleName(i int) string {
	if i < len(p.AngleNames) && p.AngleNames[i] != "" {
		return p.AngleNames[i]
	}
	return PlaceName(0, i+1)
}

// asked names the place that is asked for.
func (p Places) asked() string {
	name := ""
	if p.AskedPlane > 0 {
		name = p.planeName(p.AskedPlane - 1)
	}
	if p.AskedAngle > 0 {
		if len(p.AngleNames) > 0 && name != "" {
			name += ", "
		}
		name += p.angleName(p.AskedAngle - 1)
	}
	return name
}

// PlaceName returns the name of a place: plane number and letter of the angle.
func PlaceName(plane, angle int) string {
	name := ""
	if plane > 0 {
		name = strconv.Itoa(plane)
	}
	if angle > 0 && angle <= 26 {
		name += string(rune('A' + angle - 1))
	}
	return name
}

const placesWidth, placesHeight = 138.0, 66.0

// Draw makes the picture.
func (p Places) Draw(style say.Style) *draw.Drawing {
	planes, angles := min(max(p.Planes, 1), 6), min(max(p.Angles, 1), 8)
	what := words(p.What, style)
	told := &description{style: style}
	d := draw.New(placesWidth, placesHeight)
	p.along(d, planes, style)
	p.around(d, angles, style)
	if len(p.PlaneNames)+len(p.AngleNames) == 0 {
		told.add(msgPlaces.With(planes, angles))
	}
	if name := p.asked(); name != "" {
		told.add(msgAskedPlace.With(name))
	}
	if text := words(p.Instruction, style); text != "" {
		told.add(say.Plain(text))
		lines := draw.Wrap(text, draw.Label.Size, false, placesWidth-4)
		d.Height += float64(len(lines))*draw.Label.Size*draw.LineStep + 1
		d.Paragraph(draw.At(2, placesHeight+1), text, placesWidth-4, draw.Label)
	}
	d.Describe(titlePlaces.With(what).Text(style), told.String())
	return d
}

// along draws the cylinder from the side with its planes.
func (p Places) along(d *draw.Drawing, planes int, style say.Style) {
	const x0, x1, axis, r = 6.0, 62.0, 30.0, 15.0
	if p.Inside {
		wall := 6.0
		for _, y := range []float64{axis - r - wall, axis + r} {
			d.Section(draw.Rectangle(x0, y, x1-x0, wall), draw.HatchRising)
		}
		d.Line(draw.Outline, draw.At(x0, axis-r), draw.At(x0, axis+r))
		d.Line(draw.Outline, draw.At(x1, axis-r), draw.At(x1, axis+r))
	} else {
		d.Shape(draw.Rectangle(x0, axis-r, x1-x0, 2*r), draw.Shade, draw.Outline)
	}
	d.Line(draw.Centre, draw.At(x0-4, axis), draw.At(x1+4, axis))
	for i := range planes {
		// plane 1 lies at the head side, at the right
		x := x1 - (x1-x0)*(float64(i)+0.5)/float64(planes)
		pen, set := draw.Thin, draw.Value
		if i+1 == p.AskedPlane {
			pen, set = draw.Outline.In(draw.Accent), draw.Value.In(draw.Accent)
		}
		tips := []draw.Point{draw.At(x, axis-r), draw.At(x, axis+r)}
		d.Line(pen, tips...)
		if p.Inside { // measured outwards
			d.Arrow(tips[1], tips[0], pen.Role)
			d.Arrow(tips[0], tips[1], pen.Role)
		} else { // measured between two anvils
			for k, tip := range tips {
				out := draw.At(x, tip.Y+float64(2*k-1)*5)
				d.Pointer(out, tip, pen)
			}
		}
		d.Text(draw.At(x, axis+r+11.5), p.planeName(i), set.At(draw.Middle))
	}
	d.Text(draw.At(x1, axis+r+18), wordHeadSide.With().Text(style)+" →", draw.Small.At(draw.Right))
}

// around draws the cylinder from its end with the diameters.
func (p Places) around(d *draw.Drawing, angles int, style say.Style) {
	c := draw.At(108, 30)
	if p.LoadSide && p.LoadRight {
		c.X = 96 // the word stands on the other side
	}
	const r = 15.0
	if p.Inside {
		d.Section(draw.Ring(c, r, r+6), draw.HatchRising)
	} else {
		d.Shape(draw.Circle(c, r), draw.Shade, draw.Outline)
	}
	label := r + 9.0
	if !p.Inside {
		label = r + 7
	}
	for i := range angles {
		a := 90 - 180*float64(i)/float64(angles) // from the top, clockwise
		if p.Against {
			a = 180 - a
		}
		pen, set := draw.Thin, draw.Value
		if i+1 == p.AskedAngle {
			pen, set = draw.Outline.In(draw.Accent), draw.Value.In(draw.Accent)
		}
		from, to := draw.Polar(c, r, a), draw.Polar(c, r, a+180)
		if p.Inside {
			d.Line(pen, from, to)
			d.Arrow(to, from, pen.Role)
			d.Arrow(from, to, pen.Role)
		} else {
			d.Line(pen.Wide(0.13), from, to)
			d.Pointer(draw.Polar(c, r+4, a), from, pen)
			d.Pointer(draw.Polar(c, r+4, a+180), to, pen)
		}
		at := draw.Polar(c, label, a)
		d.Text(draw.At(at.X, at.Y+0.36*set.Size), p.angleName(i), set.At(draw.Middle))
	}
	if p.LoadSide {
		word := wordLoadSide
		if p.Inside {
			word = wordSuction
		}
		x, way := c.X-r-15, 1.0
		if p.LoadRight {
			x, way = c.X+r+15, -1
		}
		d.Flow(draw.At(x-5*way, c.Y), draw.At(x+5*way, c.Y), draw.Ink)
		d.Text(draw.At(x, c.Y-2.6), word.With().Text(style), draw.Small.At(draw.Middle))
	}
}
