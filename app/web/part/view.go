package part

import (
	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
)

// View is the way one person is shown things.
type View struct{ Style say.Style }

// T returns the text of whatever can show itself; nothing for nil.
func (v View) T(s say.Shower) string {
	if s == nil {
		return ""
	}
	return s.Show(v.Style)
}

// Other is the same view in the other family of units.
func (v View) Other() View {
	o := v
	o.Style.Units = say.Inch
	if v.Style.Units == say.Inch {
		o.Style.Units = say.Metric
	}
	return o
}

// Inch reports whether the person reads inches.
func (v View) Inch() bool { return v.Style.Units == say.Inch }

// LengthUnits are the unit keys for lengths, the person's own first.
func (v View) LengthUnits() []string {
	if v.Inch() {
		return []string{"in", "thou", "mm"}
	}
	return []string{"mm", "in", "thou"}
}

// UnitsFor returns the unit keys for a dimension, the person's own first.
func (v View) UnitsFor(d quantity.Dimension) []string {
	if d == quantity.LengthDimension {
		return v.LengthUnits()
	}
	metric := map[quantity.Dimension][]string{
		quantity.TorqueDimension:             {"N·m", "in-lb", "ft-lb"},
		quantity.PressureDifferenceDimension: {"bar", "kPa", "psi"},
		quantity.FlowDimension:               {"L/min", "m3/h", "gpm"},
		quantity.TemperatureDimension:        {"°C", "°F"},
		quantity.PowerDimension:              {"kW", "W", "hp"},
		quantity.RotationalSpeedDimension:    {"rpm"},
		quantity.KinematicViscosityDimension: {"mm2/s", "SSU"},
		quantity.DensityDimension:            {"kg/m3", "lb/ft3"},
	}[d]
	if v.Inch() && len(metric) > 1 {
		last := len(metric) - 1
		turned := []string{metric[last]}
		return append(turned, metric[:last]...)
	}
	if len(metric) == 0 {
		if all := quantity.UnitSymbols(d); len(all) > 0 {
			return all[:1]
		}
	}
	return metric
}

// StateOf is the state of a feature for its shape and word.
func StateOf(f *reading.Feature) draw.State {
	if f == nil || f.Survey == nil {
		return draw.NotRead
	}
	switch f.Word {
	case reading.PastLimit:
		return draw.PastLimit
	case reading.MeasureAgain:
		return draw.MeasureAgain
	case reading.NotRead:
		return draw.NotRead
	}
	return draw.Good
}
