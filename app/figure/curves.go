package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Performance is flow and power over the pressure difference.
type Performance struct {
	Pressures []quantity.PressureDifference // places of the curves, rising
	Curves    []PerformanceCurve            // the first stands out and shows its band
	Points    []TestPoint
	Duty      *quantity.PressureDifference
	Required  *quantity.Flow // least flow asked for
	Setting   say.Shower     // speed and liquid, in words
}

// PerformanceCurve holds values at the pressures. U are standard
// uncertainties in SI; the band shown is ± 2 U.
type PerformanceCurve struct {
	Name          say.Shower
	Flow          []quantity.Flow
	FlowU, PowerU []float64
	Power         []quantity.Power
}

// TestPoint is a point of the bench test; a zero Power is not shown.
type TestPoint struct {
	Pressure  quantity.PressureDifference
	PressureU float64
	Flow      quantity.Flow
	FlowU     float64
	Power     quantity.Power
	PowerU    float64
	State     draw.State
}

var (
	titlePerformance = say.Define("figure.performance_title", "Flow and power over pressure")
	axisPressure     = say.Define("figure.axis_pressure", "pressure difference, {unit}")
	axisFlow         = say.Define("figure.axis_flow", "flow, {unit}")
	axisPower        = say.Define("figure.axis_power", "shaft power, {unit}")
	axisSlip         = say.Define("figure.axis_slip", "slip, {unit}")
	axisTemperature  = say.Define("figure.axis_temperature", "temperature, {unit}")
	axisViscosity    = say.Define("figure.axis_viscosity", "kinematic viscosity, {unit}")
	wordDuty         = say.Define("figure.duty", "duty {pressure:pressure_difference}")
	wordRequired     = say.Define("figure.required", "asked for: {flow:flow}")
	msgCurve         = say.Define("figure.curve_ends", "{name}: flow {from:flow} at {low:pressure_difference}, {to:flow} at {high:pressure_difference}.")
	msgPoint         = say.Define("figure.point", "Test point at {pressure:pressure_difference}: flow {flow:flow}, {state}.")
	msgBand          = say.Define("figure.band", "Band and bars: about 95 of 100 (± 2 standard uncertainties).")
)

// ready reports whether the curve has a usable value at each pressure.
func ready[T ~float64](values []T, n int) bool {
	if len(values) != n || n < 2 {
		return false
	}
	for _, v := range values {
		if !usable(float64(v)) {
			return false
		}
	}
	return true
}

// Draw makes the picture.
func (p Performance) Draw(style say.Style) *draw.Drawing {
	n := len(p.Pressures)
	if !ready(p.Pressures, n) || len(p.Curves) == 0 {
		return missing(titlePerformance.With(), axisPressure.With("–").Text(style), style)
	}
	for _, c := range p.Curves {
		if !ready(c.Flow, n) {
			return missing(titlePerformance.With(), words(c.Name, style), style)
		}
	}
	told := &description{style: style}
	last := p.Pressures[n-1]
	toX, unitX := inUnit(quantity.PressureDifferenceDimension, last.SI(), style)
	x := draw.Axis{Words: axisPressure.With(unitX).Text(style), Min: min(0, toX(p.Pressures[0].SI())), Max: toX(last.SI()) * 1.02, Decimal: decimalMark(style)}
	withPower := ready(p.Curves[0].Power, n)
	height := 78.0
	if withPower {
		height += 66
	}
	d := draw.New(sheetWidth, height)
	if s := words(p.Setting, style); s != "" {
		d.Text(draw.At(2, 5), draw.Shorten(s, draw.Label.Size, false, sheetWidth-4), draw.Label.In(draw.Soft))
		told.add(say.Plain(s + "."))
	}
	flow := p.side(quantity.FlowDimension, style, toX, x, func(c PerformanceCurve) ([]float64, []float64) { return floats(c.Flow), c.FlowU },
		func(t TestPoint) (float64, float64) { return t.Flow.SI(), t.FlowU }, axisFlow, true)
	flowBox := draw.Rect{X: 2, Y: 8, W: sheetWidth - 4, H: 64}
	toFlow, _ := inUnit(quantity.FlowDimension, p.largest(func(c PerformanceCurve) []float64 { return floats(c.Flow) }), style)
	var power draw.Chart
	powerBox := draw.Rect{X: 2, Y: 76, W: sheetWidth - 4, H: 62}
	if withPower { // the axes of both stand over each other
		power = p.side(quantity.PowerDimension, style, toX, x, func(c PerformanceCurve) ([]float64, []float64) { return floats(c.Power), c.PowerU },
			func(t TestPoint) (float64, float64) { return t.Power.SI(), t.PowerU }, axisPower, false)
		shift := power.Y.LabelWidth() - flow.Y.LabelWidth()
		flowBox.X, flowBox.W = flowBox.X+max(0, shift), flowBox.W-max(0, shift)
		powerBox.X, powerBox.W = powerBox.X+max(0, -shift), powerBox.W-max(0, -shift)
	}
	p.marks(d, d.Chart(flowBox, flow), flow, toX, toFlow, style)
	if withPower {
		scale := d.Chart(powerBox, power)
		p.marks(d, scale, power, toX, nil, style)
	}
	for _, c := range p.Curves {
		told.add(msgCurve.With(words(c.Name, style), c.Flow[0], p.Pressures[0], c.Flow[n-1], last))
	}
	for _, t := range p.Points {
		told.add(msgPoint.With(t.Pressure, t.Flow, t.State.Word()))
	}
	d.Text(draw.At(2, height-2.4), msgBand.With().Text(style), draw.Small)
	told.add(msgBand.With())
	d.Describe(titlePerformance.With().Text(style), told.String())
	return d
}

func floats[T ~float64](values []T) []float64 {
	out := make([]float64, len(values))
	for i, v := range values {
		out[i] = float64(v)
	}
	return out
}

func (p Performance) largest(get func(PerformanceCurve) []float64) float64 {
	top := 0.0
	for _, c := range p.Curves {
		for _, v := range get(c) {
			top = max(top, math.Abs(v))
		}
	}
	return top
}

// side makes one of the two charts.
func (p Performance) side(dim quantity.Dimension, style say.Style, toX func(float64) float64, x draw.Axis,
	get func(PerformanceCurve) ([]float64, []float64), point func(TestPoint) (float64, float64), label say.Template, spread bool) draw.Chart {
	top := p.largest(func(c PerformanceCurve) []float64 { v, _ := get(c); return v })
	to, unit := inUnit(dim, top, style)
	chart := draw.Chart{X: x, Y: draw.Axis{Words: label.With(unit).Text(style), Decimal: decimalMark(style)}}
	low, high := math.Inf(1), math.Inf(-1)
	take := func(v float64) { low, high = min(low, v), max(high, v) }
	styles := []draw.Pen{{Role: draw.Accent, Width: 0.6}, {Role: draw.Ink, Width: 0.35}, {Role: draw.Ink, Width: 0.35, Dash: []float64{3, 1.2}}, {Role: draw.Ink, Width: 0.35, Dash: []float64{0.9, 0.9}}}
	for i, c := range p.Curves {
		values, u := get(c)
		if len(values) != len(p.Pressures) {
			continue
		}
		curve := draw.Curve{Words: words(c.Name, style), Pen: styles[min(i, len(styles)-1)]}
		band := draw.Band{Role: draw.Tint}
		for k, v := range values {
			px := toX(p.Pressures[k].SI())
			curve.Points = append(curve.Points, draw.XY{X: px, Y: to(v)})
			take(to(v))
			if i == 0 && len(u) == len(values) && usable(u[k]) {
				band.X = append(band.X, px)
				band.Low, band.High = append(band.Low, to(v-2*u[k])), append(band.High, to(v+2*u[k]))
				take(to(v - 2*u[k]))
				take(to(v + 2*u[k]))
			}
		}
		if len(band.X) > 1 {
			chart.Bands = append(chart.Bands, band)
		}
		chart.Curves = append(chart.Curves, curve)
	}
	for _, t := range p.Points {
		v, u := point(t)
		if v == 0 || !usable(v, u) {
			continue
		}
		chart.Spots = append(chart.Spots, draw.Spot{At: draw.XY{X: toX(t.Pressure.SI()), Y: to(v)}, UX: toX(2 * t.PressureU), UY: to(2 * u), State: t.State, Role: t.State.Role()})
		take(to(v - 2*u))
		take(to(v + 2*u))
	}
	if spread && p.Required != nil {
		take(to(p.Required.SI()))
	}
	room := 0.08 * (high - low)
	if room <= 0 {
		room = 0.1*math.Abs(high) + 1e-9
	}
	chart.Y.Min, chart.Y.Max = low-room, high+room
	if !spread || low < 0.4*high { // show zero unless all lies far above it
		chart.Y.Min = min(0, low)
	}
	return chart
}

// marks draws the duty and the flow asked for.
func (p Performance) marks(d *draw.Drawing, scale draw.Scale, c draw.Chart, toX func(float64) float64, toFlow func(float64) float64, style say.Style) {
	pen := draw.Pen{Role: draw.Ink, Width: 0.25, Dash: []float64{2, 1}}
	if p.Duty != nil && usable(p.Duty.SI()) {
		x := toX(p.Duty.SI())
		low, high := scale(draw.XY{X: x, Y: c.Y.Min}), scale(draw.XY{X: x, Y: c.Y.Max})
		if x >= c.X.Min && x <= c.X.Max {
			d.Line(pen, low, high)
			if toFlow != nil {
				d.Text(draw.At(high.X-1, high.Y+3), wordDuty.With(*p.Duty).Text(style), draw.Small.At(draw.Right).OnGround())
			}
		}
	}
	if toFlow != nil && p.Required != nil {
		y := toFlow(p.Required.SI())
		left, right := scale(draw.XY{X: c.X.Min, Y: y}), scale(draw.XY{X: c.X.Max, Y: y})
		d.Line(pen, left, right)
		d.Text(draw.At(left.X+1.5, left.Y-1.2), wordRequired.With(*p.Required).Text(style), draw.Small.OnGround())
	}
}
