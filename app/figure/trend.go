package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Trend shows one feature over the running hours of a machine: its readings,
// where the part was renewed, the limit, and when it will be reached.
type Trend struct {
	Name      say.Shower
	Dimension quantity.Dimension
	Points    []TrendPoint
	Renewed   []float64 // hours at which the part was renewed
	Limit     *float64  // SI
	Now       float64   // hours up to now; 0 = not shown
	Ahead     []TrendBand
	Due       *TrendDue
}

// TrendPoint is one reading, SI.
type TrendPoint struct {
	Hours, Value, U float64
	Part            int  // counts up where the part was renewed; points of one part are joined
	BySheet         bool // not read: as new by the sheet
	LeftOut         bool // of no trend
	State           draw.State
}

// TrendBand is the expected value with its bounds, SI.
type TrendBand struct{ Hours, Low, Middle, High float64 }

// TrendDue is when the limit is reached, in hours of the machine, and in words.
type TrendDue struct {
	Low, At, High *float64
	Words         say.Shower
}

var (
	titleTrend    = say.Define("figure.trend_title", "{name} over running hours")
	wordTrend     = say.Define("figure.trend_name", "trend of a feature")
	axisHours     = say.Define("figure.axis_hours", "running hours of the machine")
	axisFeature   = say.Define("figure.axis_feature", "reading, {unit}")
	wordLimitLine = say.Define("figure.trend_limit", "limit {limit}")
	wordRenewed   = say.Define("figure.trend_renewed", "Upright lines: the part was renewed. Points: readings, ± 2 standard uncertainties; rings: not read, as new by the sheet, or left out of the trend. Band: expected, 90 %.")
	msgTrendPoint = say.Define("figure.trend_point", "At {hours:number} h: {value}.")
	msgTrendDue   = say.Define("figure.trend_due", "Limit {limit} expected at {hours:number} h. {words}")
)

// siText shows an SI value of a dimension.
type siText struct {
	dimension quantity.Dimension
	si        float64
}

// Show prints the value.
func (v siText) Show(s say.Style) string { return quantity.Show(v.dimension, v.si, s) }

// Draw makes the picture.
func (t Trend) Draw(style say.Style) *draw.Drawing {
	name := words(t.Name, style)
	title := titleTrend.With(name)
	if len(t.Points) == 0 {
		return missing(wordTrend.With(), name, style)
	}
	told := &description{style: style}
	reference := math.Abs(t.Points[0].Value)
	if t.Limit != nil {
		reference = math.Max(reference, math.Abs(*t.Limit))
	}
	to, unit := inUnit(t.Dimension, reference, style)
	c := draw.Chart{X: draw.Axis{Words: axisHours.With().Text(style), Min: math.Inf(1), Max: math.Inf(-1), Decimal: decimalMark(style)},
		Y: draw.Axis{Words: axisFeature.With(unit).Text(style), Min: math.Inf(1), Max: math.Inf(-1), Decimal: decimalMark(style)}}
	take := func(x, y float64) {
		c.X.Min, c.X.Max = min(c.X.Min, x), max(c.X.Max, x)
		c.Y.Min, c.Y.Max = min(c.Y.Min, y), max(c.Y.Max, y)
	}
	curves := map[int]*draw.Curve{}
	var order []int
	for _, p := range t.Points {
		x, y := p.Hours, to(p.Value)
		if !usable(x, y, p.U) {
			return missing(wordTrend.With(), name, style)
		}
		take(x, y-to2(to, p.Value, p.U))
		take(x, y+to2(to, p.Value, p.U))
		state := p.State
		if p.BySheet || p.LeftOut {
			state = draw.NotRead
		}
		c.Spots = append(c.Spots, draw.Spot{At: draw.XY{X: x, Y: y}, UY: to2(to, p.Value, p.U), State: state, Role: state.Role()})
		if !p.LeftOut {
			if curves[p.Part] == nil {
				curves[p.Part] = &draw.Curve{Pen: draw.Pen{Role: draw.Ink, Width: 0.35}}
				order = append(order, p.Part)
			}
			curves[p.Part].Points = append(curves[p.Part].Points, draw.XY{X: x, Y: y})
		}
		told.add(msgTrendPoint.With(x, siText{t.Dimension, p.Value}))
	}
	for _, part := range order {
		if len(curves[part].Points) > 1 {
			c.Curves = append(c.Curves, *curves[part])
		}
	}
	t.ahead(&c, to, take)
	if t.Limit != nil {
		take(c.X.Min, to(*t.Limit))
	}
	if t.Now > 0 {
		take(t.Now, c.Y.Min)
	}
	room := 0.08 * (c.Y.Max - c.Y.Min)
	if !(room > 0) {
		room = 0.1*math.Abs(c.Y.Max) + 1e-9
	}
	c.Y.Min, c.Y.Max = c.Y.Min-room, c.Y.Max+room
	if !(c.X.Max > c.X.Min) {
		c.X.Min, c.X.Max = c.X.Min-1, c.X.Max+1
	}
	c.X.Max += 0.03 * (c.X.Max - c.X.Min)
	d := draw.New(sheetWidth, 98)
	d.Text(draw.At(2, 5), draw.Shorten(name, draw.Label.Size, false, sheetWidth-4), draw.Label.In(draw.Soft))
	scale := d.Chart(draw.Rect{X: 2, Y: 8, W: sheetWidth - 4, H: 76}, c)
	for _, h := range t.Renewed {
		if h >= c.X.Min && h <= c.X.Max {
			d.Line(draw.Pen{Role: draw.Soft, Width: 0.3, Dash: []float64{1, 1}}, scale(draw.XY{X: h, Y: c.Y.Min}), scale(draw.XY{X: h, Y: c.Y.Max}))
		}
	}
	if t.Limit != nil {
		y := to(*t.Limit)
		left, right := scale(draw.XY{X: c.X.Min, Y: y}), scale(draw.XY{X: c.X.Max, Y: y})
		d.Line(draw.Pen{Role: draw.Alarm, Width: 0.45, Dash: []float64{3, 1.2}}, left, right)
		d.Text(draw.At(left.X+1.5, left.Y-1.2), wordLimitLine.With(siText{t.Dimension, *t.Limit}).Text(style), draw.Small.OnGround())
	}
	d.Paragraph(draw.At(2, 89.5), wordRenewed.With().Text(style), sheetWidth-4, draw.Small)
	if t.Due != nil && t.Due.At != nil && t.Limit != nil {
		told.add(msgTrendDue.With(siText{t.Dimension, *t.Limit}, *t.Due.At, words(t.Due.Words, style)))
	}
	told.add(wordRenewed.With())
	d.Describe(title.Text(style), told.String())
	return d
}

// to2 is two standard uncertainties in the unit of the axis.
func to2(to func(float64) float64, value, u float64) float64 {
	return math.Abs(to(value+2*u) - to(value))
}

// ahead draws what is expected.
func (t Trend) ahead(c *draw.Chart, to func(float64) float64, take func(x, y float64)) {
	curve := draw.Curve{Pen: draw.Pen{Role: draw.Accent, Width: 0.6}}
	band := draw.Band{Role: draw.Tint}
	for _, b := range t.Ahead {
		if !usable(b.Hours, b.Middle) {
			continue
		}
		curve.Points = append(curve.Points, draw.XY{X: b.Hours, Y: to(b.Middle)})
		take(b.Hours, to(b.Middle))
		if usable(b.Low, b.High) {
			band.X = append(band.X, b.Hours)
			band.Low, band.High = append(band.Low, to(min(b.Low, b.High))), append(band.High, to(max(b.Low, b.High)))
			take(b.Hours, to(b.Low))
			take(b.Hours, to(b.High))
		}
	}
	if len(band.X) > 1 {
		c.Bands = append(c.Bands, band)
	}
	if len(curve.Points) > 1 {
		c.Curves = append(c.Curves, curve)
	}
}
