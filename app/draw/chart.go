package draw

import (
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	vgdraw "gonum.org/v1/plot/vg/draw"
)

// Axis is one axis of a chart.
type Axis struct {
	Words    string // what it shows and its unit
	Min, Max float64
	Log      bool
	// Decimal is the decimal mark of the language; empty means the point.
	Decimal string
	// Ticks are marks of one's own; none means round numbers.
	Ticks []Tick
}

// Tick is a mark on an axis.
type Tick struct {
	Value float64
	Words string
}

// XY is a point of a chart in the units of its axes.
type XY struct{ X, Y float64 }

// Curve is a line of a chart with its name at its end.
type Curve struct {
	Words  string
	Points []XY
	Pen    Pen
}

// Band is the area between two lines over the same places.
type Band struct {
	X, Low, High []float64
	Role         Role
}

// Spot is a measured point with its reach: ± U on each side.
type Spot struct {
	At     XY
	UX, UY float64
	State  State
	Words  string
	Role   Role
}

// Chart is a plot of lines, bands and points.
type Chart struct {
	X, Y   Axis
	Curves []Curve
	Bands  []Band
	Spots  []Spot
}

// Scale takes a point of a chart to the sheet.
type Scale func(XY) Point

// Chart draws a chart into a box. Room for the names of the curves is kept at
// the right side; a curve is named where it ends, not in a legend. The returned
// Scale places further marks.
func (d *Drawing) Chart(box Rect, c Chart) Scale {
	names := 0.0
	c.Curves = slices.Clone(c.Curves)
	for i := range c.Curves {
		curve := &c.Curves[i]
		curve.Words = Shorten(curve.Words, Label.Size, false, box.W/4)
		names = max(names, TextWidth(curve.Words, Label.Size, false))
	}
	if names > 0 {
		names += 3
	}
	box.W -= names
	// The library keeps too much room for the label of an upright log axis:
	// the label is set here.
	upright := c.Y.Words
	c.Y.Words = ""
	if upright != "" {
		box.X += Label.Size * 1.5
		box.W -= Label.Size * 1.5
	}
	p := plot.New()
	useWords(p)
	p.BackgroundColor = nil
	styleAxis(&p.X, c.X)
	styleAxis(&p.Y, c.Y)
	grid := plotter.NewGrid()
	line := vgdraw.LineStyle{Color: Faint, Width: vg.Points(0.35)}
	grid.Vertical, grid.Horizontal = line, line
	p.Add(grid)
	for _, b := range c.Bands {
		addBand(p, b)
	}
	for _, curve := range c.Curves {
		addCurve(p, curve)
	}
	for _, s := range c.Spots {
		addSpot(p, s)
	}
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = c.X.Min, c.X.Max, c.Y.Min, c.Y.Max
	sheet := newPlotSheet(d, box)
	dc := vgdraw.New(sheet)
	p.Draw(dc)
	data := p.DataCanvas(dc)
	toX, toY := p.Transforms(&data)
	scale := func(v XY) Point { return sheet.at(vg.Point{X: toX(v.X), Y: toY(v.Y)}) }
	if upright != "" {
		low, high := scale(XY{c.X.Min, c.Y.Min}).Y, scale(XY{c.X.Min, c.Y.Max}).Y
		d.Text(Point{box.X - Label.Size*0.6, (low + high) / 2}, upright, Label.At(Middle).In(Soft).Upward())
	}
	d.nameCurves(c, scale, box)
	for _, s := range c.Spots {
		at := scale(s.At)
		d.Mark(at, s.State, 2.2)
		if s.Words != "" {
			words := Shorten(s.Words, Small.Size, false, box.W/4)
			if at.X+2+TextWidth(words, Small.Size, false) > box.Right() {
				d.Text(Point{at.X - 2, at.Y - 1.6}, words, Small.At(Right).OnGround())
			} else {
				d.Text(Point{at.X + 2, at.Y - 1.6}, words, Small.OnGround())
			}
		}
	}
	return scale
}

func styleAxis(a *plot.Axis, from Axis) {
	face := font.Font{Typeface: "Liberation", Variant: "Sans"}
	a.Color = Ink
	a.Width = vg.Points(0.7)
	a.Padding = 0
	a.Label.Text = from.Words
	a.Label.TextStyle.Font = font.From(face, vg.Length(Label.Size/millimetresPerPoint))
	a.Label.TextStyle.Color = Soft
	a.Label.Padding = vg.Points(3)
	a.Tick.Label.Font = font.From(face, vg.Length(Small.Size/millimetresPerPoint))
	a.Tick.Label.Color = Ink
	a.Tick.Color = Ink
	a.Tick.Width = vg.Points(0.5)
	a.Tick.Length = vg.Points(4)
	a.Min, a.Max = from.Min, from.Max
	switch {
	case len(from.Ticks) > 0:
		ticks := make([]plot.Tick, len(from.Ticks))
		for i, t := range from.Ticks {
			ticks[i] = plot.Tick{Value: t.Value, Label: t.Words}
		}
		a.Tick.Marker = plot.ConstantTicks(ticks)
	case from.Log:
		a.Tick.Marker = logTicks{from.Decimal}
	default:
		a.Tick.Marker = evenTicks{from.Decimal}
	}
	if from.Log {
		a.Scale = plot.LogScale{}
	}
}

// LabelWidth returns the width of the widest number of the axis, so that the
// data of charts over each other can be lined up.
func (a Axis) LabelWidth() float64 {
	var axis plot.Axis
	axis.Scale = plot.LinearScale{}
	styleAxis(&axis, a)
	widest := 0.0
	for _, t := range axis.Tick.Marker.Ticks(a.Min, a.Max) {
		widest = max(widest, TextWidth(t.Label, Small.Size, false))
	}
	return widest
}

// evenTicks marks round numbers, five to nine of them.
type evenTicks struct{ decimal string }

func (t evenTicks) Ticks(low, high float64) []plot.Tick {
	if !(high > low) {
		return nil
	}
	step := RoundStep((high - low) / 6)
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	var ticks []plot.Tick
	for k := math.Ceil(low/step - 1e-9); k*step <= high+1e-9*step; k++ {
		ticks = append(ticks, plot.Tick{Value: k * step, Label: Number(k*step, decimals, t.decimal)})
	}
	return ticks
}

// logTicks marks 1, 2 and 5 of each decade with a number and the others with
// a line.
type logTicks struct{ decimal string }

func (t logTicks) Ticks(low, high float64) []plot.Tick {
	if !(low > 0 && high > low) {
		return nil
	}
	decades := math.Log10(high / low)
	var ticks []plot.Tick
	for e := math.Floor(math.Log10(low)); e <= math.Ceil(math.Log10(high)); e++ {
		for m := 1.0; m < 10; m++ {
			v := m * math.Pow(10, e)
			if v < low*(1-1e-9) || v > high*(1+1e-9) {
				continue
			}
			words := ""
			if m == 1 || (decades < 4 && (m == 2 || m == 5)) {
				words = Number(v, max(0, -int(e)), t.decimal)
			}
			ticks = append(ticks, plot.Tick{Value: v, Label: words})
		}
	}
	return ticks
}

// RoundStep returns the least of 1, 2, 5 times a power of ten that is not
// less than a step.
func RoundStep(step float64) float64 {
	power := math.Pow(10, math.Floor(math.Log10(step)))
	for _, m := range []float64{1, 2, 5} {
		if m*power >= step*(1-1e-9) {
			return m * power
		}
	}
	return 10 * power
}

// Number prints a number with so many decimals and the decimal mark of a
// language.
func Number(v float64, decimals int, mark string) string {
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if v == 0 || (len(s) > 1 && s[0] == '-' && mustZero(s[1:])) {
		s = strconv.FormatFloat(0, 'f', decimals, 64)
	}
	if mark == "" || mark == "." {
		return s
	}
	for i := range len(s) {
		if s[i] == '.' {
			return s[:i] + mark + s[i+1:]
		}
	}
	return s
}

func mustZero(s string) bool {
	for _, r := range s {
		if r != '0' && r != '.' {
			return false
		}
	}
	return true
}

func addBand(p *plot.Plot, b Band) {
	n := min(len(b.X), len(b.Low), len(b.High))
	if n < 2 {
		return
	}
	ring := make(plotter.XYs, 0, 2*n)
	for i := range n {
		ring = append(ring, plotter.XY{X: b.X[i], Y: b.High[i]})
	}
	for i := n - 1; i >= 0; i-- {
		ring = append(ring, plotter.XY{X: b.X[i], Y: b.Low[i]})
	}
	if polygon, err := plotter.NewPolygon(ring); err == nil {
		polygon.Color = b.Role
		polygon.LineStyle.Width = 0
		p.Add(polygon)
	}
}

func addCurve(p *plot.Plot, c Curve) {
	points := make(plotter.XYs, len(c.Points))
	for i, v := range c.Points {
		points[i] = plotter.XY{X: v.X, Y: v.Y}
	}
	line, err := plotter.NewLine(points)
	if err != nil {
		return
	}
	line.LineStyle = vgdraw.LineStyle{Color: c.Pen.Role, Width: vg.Length(c.Pen.Width / millimetresPerPoint)}
	for _, v := range c.Pen.Dash {
		line.LineStyle.Dashes = append(line.LineStyle.Dashes, vg.Length(v/millimetresPerPoint))
	}
	p.Add(line)
}

func addSpot(p *plot.Plot, s Spot) {
	role := s.Role
	if role == None {
		role = Ink
	}
	style := vgdraw.LineStyle{Color: role, Width: vg.Points(0.9)}
	data := spotData{s}
	if s.UY > 0 {
		if bars, err := plotter.NewYErrorBars(data); err == nil {
			bars.LineStyle, bars.CapWidth = style, vg.Points(5)
			p.Add(bars)
		}
	}
	if s.UX > 0 {
		if bars, err := plotter.NewXErrorBars(data); err == nil {
			bars.LineStyle, bars.CapWidth = style, vg.Points(5)
			p.Add(bars)
		}
	}
}

type spotData struct{ Spot }

func (s spotData) Len() int                      { return 1 }
func (s spotData) XY(int) (float64, float64)     { return s.At.X, s.At.Y }
func (s spotData) XError(int) (float64, float64) { return s.UX, s.UX }
func (s spotData) YError(int) (float64, float64) { return s.UY, s.UY }

func (d *Drawing) nameCurves(c Chart, scale Scale, box Rect) {
	var wanted, sizes []float64
	var named []Curve
	for _, curve := range c.Curves {
		if curve.Words == "" || len(curve.Points) == 0 {
			continue
		}
		at := scale(curve.Points[len(curve.Points)-1]).Y
		i := len(wanted)
		for i > 0 && wanted[i-1] > at {
			i--
		}
		wanted = append(wanted[:i], append([]float64{at}, wanted[i:]...)...)
		named = append(named[:i], append([]Curve{curve}, named[i:]...)...)
		sizes = append(sizes, Label.Size*1.25)
	}
	for i, y := range Spread(wanted, sizes, box.Y, box.Bottom()) {
		end := scale(named[i].Points[len(named[i].Points)-1])
		if math.Abs(y-end.Y) > 0.6 || box.Right()-end.X > 1 {
			d.Line(Leading, Point{end.X + 0.4, end.Y}, Point{box.Right() + 1.4, y})
		}
		role := named[i].Pen.Role
		if role == Faint || role == Shade {
			role = Soft
		}
		d.Text(Point{box.Right() + 2, y + 0.35*Label.Size}, named[i].Words, Label.In(role))
	}
}
