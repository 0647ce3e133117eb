package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Viscosity is the viscosity of liquids over temperature.
type Viscosity struct {
	Liquids []ViscosityCurve
	Marks   []ViscosityMark
}

// ViscosityCurve is one liquid.
type ViscosityCurve struct {
	Name         say.Shower
	Temperatures []quantity.Temperature
	Viscosities  []quantity.KinematicViscosity
}

// ViscosityMark is a point worth naming: pumping, start, a reading.
type ViscosityMark struct {
	Name        say.Shower
	Temperature quantity.Temperature
	Viscosity   quantity.KinematicViscosity
}

var (
	titleViscosity = say.Define("figure.viscosity_title", "Viscosity over temperature")
	msgLiquid      = say.Define("figure.viscosity_ends", "{name}: {from:kinematic_viscosity} at {low:temperature}, {to:kinematic_viscosity} at {high:temperature}.")
	msgMark        = say.Define("figure.viscosity_mark", "{name}: {viscosity:kinematic_viscosity} at {temperature:temperature}.")
)

// Draw makes the picture.
func (v Viscosity) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	if len(v.Liquids) == 0 || len(v.Liquids[0].Temperatures) < 2 {
		return missing(titleViscosity.With(), titleViscosity.With().Text(style), style)
	}
	toX, unitX := inUnit(quantity.TemperatureDimension, v.Liquids[0].Temperatures[0].SI(), style)
	toY, unitY := inUnit(quantity.KinematicViscosityDimension, 5e-5, style)
	c := draw.Chart{X: draw.Axis{Words: axisTemperature.With(unitX).Text(style), Min: math.Inf(1), Max: math.Inf(-1), Decimal: decimalMark(style)},
		Y: draw.Axis{Words: axisViscosity.With(unitY).Text(style), Min: math.Inf(1), Max: math.Inf(-1), Log: true, Decimal: decimalMark(style)}}
	take := func(x, y float64) {
		c.X.Min, c.X.Max = min(c.X.Min, x), max(c.X.Max, x)
		c.Y.Min, c.Y.Max = min(c.Y.Min, y), max(c.Y.Max, y)
	}
	pens := []draw.Pen{{Role: draw.Accent, Width: 0.6}, {Role: draw.Ink, Width: 0.35}, {Role: draw.Ink, Width: 0.35, Dash: []float64{3, 1.2}}, {Role: draw.Ink, Width: 0.35, Dash: []float64{0.9, 0.9}}}
	for i, l := range v.Liquids {
		n := len(l.Temperatures)
		if !ready(l.Temperatures, n) || !ready(l.Viscosities, n) {
			return missing(titleViscosity.With(), words(l.Name, style), style)
		}
		curve := draw.Curve{Words: words(l.Name, style), Pen: pens[min(i, len(pens)-1)]}
		for k := range n {
			x, y := toX(l.Temperatures[k].SI()), toY(l.Viscosities[k].SI())
			if !(y > 0) {
				return missing(titleViscosity.With(), words(l.Name, style), style)
			}
			take(x, y)
			curve.Points = append(curve.Points, draw.XY{X: x, Y: y})
		}
		c.Curves = append(c.Curves, curve)
		told.add(msgLiquid.With(words(l.Name, style), l.Viscosities[0], l.Temperatures[0], l.Viscosities[n-1], l.Temperatures[n-1]))
	}
	for _, m := range v.Marks {
		x, y := toX(m.Temperature.SI()), toY(m.Viscosity.SI())
		if !usable(x, y) || !(y > 0) {
			continue
		}
		take(x, y)
		c.Spots = append(c.Spots, draw.Spot{At: draw.XY{X: x, Y: y}, State: draw.Good, Words: words(m.Name, style)})
		told.add(msgMark.With(words(m.Name, style), m.Viscosity, m.Temperature))
	}
	if !(c.X.Max > c.X.Min) {
		return missing(titleViscosity.With(), axisTemperature.With(unitX).Text(style), style)
	}
	c.Y.Min, c.Y.Max = c.Y.Min/1.3, c.Y.Max*1.3
	d := draw.New(sheetWidth, 96)
	d.Chart(draw.Rect{X: 2, Y: 4, W: sheetWidth - 4, H: 90}, c)
	d.Describe(titleViscosity.With().Text(style), told.String())
	return d
}
