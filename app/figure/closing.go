package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Closing is the long scale on which a pump is closed: the window, what was
// found, what the stack should give, what was measured. Nil means not known.
type Closing struct {
	WindowLow, WindowHigh *quantity.Length
	Target                *quantity.Length
	ManualLow, ManualHigh *quantity.Length // the manual's own value; both, or low alone for a single value
	ManualPage            string
	AsFound               *quantity.Length
	Expected              *quantity.Estimate[quantity.Length]
	Measured              *quantity.Estimate[quantity.Length]
}

var (
	titleClosing = say.Define("figure.closing_title", "End clearance: window, expected and measured")
	wordWindow   = say.Define("figure.window", "window {low:length} to {high:length}")
	wordTarget   = say.Define("figure.target", "target {value:length}")
	wordManual   = say.Define("figure.manual_range", "manual {low:length} to {high:length}")
	wordManualAt = say.Define("figure.manual_value", "manual {value:length}")
	wordPage     = say.Define("figure.manual_page", "{words}, {page}")
	wordFound    = say.Define("figure.as_found", "as found {value:length}")
	wordExpected = say.Define("figure.expected", "expected {value}")
	wordMeasured = say.Define("figure.measured", "measured {value}")
	wordContact  = say.Define("figure.contact", "contact")
	msgInside    = say.Define("figure.measured_inside", "The measured clearance lies inside the window.")
	msgOutside   = say.Define("figure.measured_outside", "The measured clearance lies outside the window.")
)

const (
	closingFrom, closingTo = 12.0, 166.0
	closingAxis            = 40.0
)

// tag is a label of a scale: it wants to stand at x.
type tag struct {
	x     float64
	words string
	set   draw.Type
	pen   draw.Pen
}

// tags sets labels side by side on one line without overlap, each with a
// leader from the scale.
func tags(d *draw.Drawing, list []tag, baseline, leaderFrom, leaderTo, from, to float64) {
	wanted, sizes := make([]float64, len(list)), make([]float64, len(list))
	for i := 1; i < len(list); i++ {
		for j := i; j > 0 && list[j].x < list[j-1].x; j-- {
			list[j], list[j-1] = list[j-1], list[j]
		}
	}
	for i, t := range list {
		wanted[i] = t.x
		sizes[i] = draw.TextWidth(t.words, t.set.Size, t.set.Bold) + 4
	}
	for i, x := range draw.Spread(wanted, sizes, from, to) {
		t := list[i]
		d.Line(t.pen, draw.At(t.x, leaderFrom), draw.At(x, leaderTo))
		d.Text(draw.At(x, baseline), t.words, t.set.At(draw.Middle))
	}
}

// Draw makes the picture.
func (c Closing) Draw(style say.Style) *draw.Drawing {
	c = c.known()
	told := &description{style: style}
	low, high := c.reach()
	convert, symbol := inUnit(quantity.LengthDimension, high, style)
	x := func(l float64) float64 { return closingFrom + (l-low)/(high-low)*(closingTo-closingFrom) }
	d := draw.New(sheetWidth, 70)
	const bandTop, bandBottom = closingAxis - 15, closingAxis
	if c.WindowLow != nil && c.WindowHigh != nil && *c.WindowHigh > *c.WindowLow {
		x0, x1 := x(c.WindowLow.SI()), x(c.WindowHigh.SI())
		d.Part("window", func() {
			d.Fill(draw.Rectangle(x0, bandTop, x1-x0, bandBottom-bandTop), draw.Tint)
			for _, v := range []float64{x0, x1} {
				d.Line(draw.Pen{Role: draw.Accent, Width: 0.35}, draw.At(v, bandTop), draw.At(v, bandBottom))
			}
		})
		told.add(wordWindow.With(*c.WindowLow, *c.WindowHigh))
	}
	if e := c.Expected; e != nil && e.U > 0 {
		d.Part("expected", func() { hump(d, x, e.Value.SI(), e.U, low, high) })
	}
	if low < 0 { // parts touch here
		a := draw.Rectangle(x(low), closingAxis-4, x(0)-x(low), 4)
		d.Hatch(a, draw.HatchDense.In(draw.Soft))
		if w := draw.TextWidth(wordContact.With().Text(style), draw.Small.Size, false); w < x(0)-x(low) {
			d.Text(draw.At((x(0)+x(low))/2, closingAxis-5.2), wordContact.With().Text(style), draw.Small.At(draw.Middle).OnGround())
		}
	}
	c.axis(d, x, convert, symbol, low, high, style)
	var above []tag
	if c.Expected != nil {
		text := wordExpected.With(*c.Expected).Text(style)
		above = append(above, tag{x(clamp(c.Expected.Value.SI(), low, high)), text, draw.Label.In(draw.Soft), draw.Leading})
		told.add(say.Plain(text + "."))
	}
	if c.Measured != nil {
		text := wordMeasured.With(*c.Measured).Text(style)
		mx := x(clamp(c.Measured.Value.SI(), low, high))
		above = append(above, tag{mx, text, draw.Value, draw.Outline})
		told.add(say.Plain(text + "."))
		c.mark(d, x, mx, low, high)
		if c.WindowLow != nil && c.WindowHigh != nil {
			if v := c.Measured.Value; v >= *c.WindowLow && v <= *c.WindowHigh {
				told.add(msgInside.With())
			} else {
				told.add(msgOutside.With())
			}
		}
	}
	tags(d, above, 9, closingAxis-15, 11, 1, sheetWidth-1)
	c.below(d, x, low, high, style, told)
	d.Describe(titleClosing.With().Text(style), told.String())
	return d
}

// known leaves out what cannot be shown.
func (c Closing) known() Closing {
	for _, l := range []**quantity.Length{&c.WindowLow, &c.WindowHigh, &c.Target, &c.ManualLow, &c.ManualHigh, &c.AsFound} {
		if *l != nil && !usable((*l).SI()) {
			*l = nil
		}
	}
	for _, e := range []**quantity.Estimate[quantity.Length]{&c.Expected, &c.Measured} {
		if *e != nil && !usable((*e).Value.SI(), (*e).U) {
			*e = nil
		}
	}
	return c
}

// reach returns the ends of the scale in m.
func (c Closing) reach() (low, high float64) {
	high = 1e-4
	for _, l := range []*quantity.Length{c.WindowLow, c.WindowHigh, c.Target, c.ManualLow, c.ManualHigh, c.AsFound} {
		if l != nil {
			low, high = min(low, l.SI()), max(high, l.SI())
		}
	}
	for _, e := range []*quantity.Estimate[quantity.Length]{c.Expected, c.Measured} {
		if e != nil {
			low, high = min(low, e.Value.SI()-3*e.U), max(high, e.Value.SI()+3*e.U)
		}
	}
	span := high - low
	return low - 0.06*span, high + 0.06*span
}

func clamp(v, low, high float64) float64 { return min(max(v, low), high) }

func hump(d *draw.Drawing, x func(float64) float64, mean, u, low, high float64) {
	var ridge []draw.Point
	const top = 13.0
	for z := -3.2; z <= 3.2001; z += 0.1 {
		if v := mean + z*u; v >= low && v <= high {
			ridge = append(ridge, draw.At(x(v), closingAxis-top*math.Exp(-z*z/2)))
		}
	}
	if len(ridge) < 3 {
		return
	}
	foot := append([]draw.Point{draw.At(ridge[0].X, closingAxis)}, ridge...)
	foot = append(foot, draw.At(ridge[len(ridge)-1].X, closingAxis))
	a := draw.Polygon(foot...)
	d.Hatch(a, draw.Hatching{Degrees: 90, Spacing: 0.9, Pen: draw.Pen{Role: draw.Soft, Width: 0.13}})
	d.Line(draw.Thin.In(draw.Soft), ridge...)
}

func (c Closing) axis(d *draw.Drawing, x func(float64) float64, convert func(float64) float64, symbol string, low, high float64, style say.Style) {
	d.Line(draw.Outline, draw.At(closingFrom, closingAxis), draw.At(closingTo, closingAxis))
	perUnit := (high - low) / (convert(high) - convert(low))
	step := draw.RoundStep((convert(high) - convert(low)) / 9)
	decimals := max(0, -int(math.Floor(math.Log10(step)+1e-9)))
	fine := step / 5
	for k := math.Ceil(convert(low) / fine); k*fine <= convert(high); k++ {
		v := k * fine
		long := 1.6
		if math.Abs(math.Mod(k, 5)) < 0.5 {
			long = 3
			d.Text(draw.At(x(v*perUnit), closingAxis+6.4), draw.Number(v, decimals, decimalMark(style)), draw.Label.At(draw.Middle))
		}
		d.Line(draw.Thin, draw.At(x(v*perUnit), closingAxis), draw.At(x(v*perUnit), closingAxis+long))
	}
	d.Text(draw.At(closingTo+1.5, closingAxis+1), symbol, draw.Label)
}

// mark draws the measured value: an upright with its reach.
func (c Closing) mark(d *draw.Drawing, x func(float64) float64, mx, low, high float64) {
	d.Part("measured", func() {
		pen := draw.Pen{Role: draw.Ink, Width: 0.7}
		d.Line(pen, draw.At(mx, closingAxis-15), draw.At(mx, closingAxis))
		d.Fill(draw.Polygon(draw.At(mx, closingAxis), draw.At(mx-1.6, closingAxis-3.2), draw.At(mx+1.6, closingAxis-3.2)), draw.Ink)
		v, u := c.Measured.Value.SI(), c.Measured.U
		if u > 0 {
			x0, x1, y := x(clamp(v-u, low, high)), x(clamp(v+u, low, high)), closingAxis-8.0
			d.Line(pen.Wide(0.35), draw.At(x0, y), draw.At(x1, y))
			d.Line(pen.Wide(0.35), draw.At(x0, y-1.3), draw.At(x0, y+1.3))
			d.Line(pen.Wide(0.35), draw.At(x1, y-1.3), draw.At(x1, y+1.3))
		}
	})
}

func (c Closing) below(d *draw.Drawing, x func(float64) float64, low, high float64, style say.Style, told *description) {
	var list []tag
	if c.AsFound != nil {
		ax := x(clamp(c.AsFound.SI(), low, high))
		d.Shape(draw.Polygon(draw.At(ax, closingAxis+0.3), draw.At(ax-1.5, closingAxis+3), draw.At(ax+1.5, closingAxis+3)), draw.Paper, draw.Outline)
		list = append(list, tag{ax, wordFound.With(*c.AsFound).Text(style), draw.Label, draw.Leading})
		told.add(say.Plain(list[len(list)-1].words + "."))
	}
	if c.Target != nil {
		tx := x(clamp(c.Target.SI(), low, high))
		d.Line(draw.Pen{Role: draw.Accent, Width: 0.35, Dash: []float64{1.2, 0.8}}, draw.At(tx, closingAxis-15), draw.At(tx, closingAxis))
		list = append(list, tag{tx, wordTarget.With(*c.Target).Text(style), draw.Label.In(draw.Accent), draw.Leading.In(draw.Accent)})
		told.add(say.Plain(list[len(list)-1].words + "."))
	}
	if c.WindowLow != nil && c.WindowHigh != nil && *c.WindowHigh > *c.WindowLow {
		list = append(list, tag{x((c.WindowLow.SI() + c.WindowHigh.SI()) / 2), wordWindow.With(*c.WindowLow, *c.WindowHigh).Text(style), draw.Label.In(draw.Accent), draw.Leading.In(draw.Accent)})
	}
	tags(d, list, 54, closingAxis+7.6, 51, 1, sheetWidth-1)
	list = nil
	if c.ManualLow != nil {
		text := wordManualAt.With(*c.ManualLow).Text(style)
		x0, x1 := x(clamp(c.ManualLow.SI(), low, high)), 0.0
		x1 = x0
		if c.ManualHigh != nil {
			x1 = x(clamp(c.ManualHigh.SI(), low, high))
			text = wordManual.With(*c.ManualLow, *c.ManualHigh).Text(style)
		}
		if c.ManualPage != "" {
			text = wordPage.With(say.Plain(text), c.ManualPage).Text(style)
		}
		y := 58.5
		pen := draw.Outline
		d.Line(pen.Wide(0.6), draw.At(x0, y), draw.At(x1, y))
		d.Line(pen, draw.At(x0, y-1.2), draw.At(x0, y+1.2))
		d.Line(pen, draw.At(x1, y-1.2), draw.At(x1, y+1.2))
		list = append(list, tag{(x0 + x1) / 2, text, draw.Label, draw.Leading})
		told.add(say.Plain(text + "."))
		tags(d, list, 66, y+1.2, 63, 1, sheetWidth-1)
	}
}
