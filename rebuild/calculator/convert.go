package calculator

import (
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

type convertIn struct {
	Value           Any                        `json:"value" help:"what is to be converted, with its unit"`
	To              string                     `json:"to" help:"unit wanted"`
	Density         *quantity.Density          `json:"density" help:"needed between kinematic and dynamic viscosity"`
	Temperature     *quantity.Temperature      `json:"temperature" help:"temperature at which Saybolt seconds are taken (when missing: 100 °F for SSU, 122 °F for SSF)"`
	AmbientPressure *quantity.AbsolutePressure `json:"ambient_pressure" pressure:"absolute" help:"pressure of the surroundings, between gauge and absolute (101325 Pa when missing)"`
}

type convertOut struct {
	Value float64 `json:"value" help:"the number in the unit wanted"`
	Text  string  `json:"text" help:"number and unit"`
}

var (
	msgConvertGiven    = say.Define("calculator.convert_given", "value given")
	msgConvertResult   = say.Define("calculator.convert_result", "the same in {unit}")
	msgConvertDensity  = say.Define("calculator.convert_density", "density")
	msgConvertAmbient  = say.Define("calculator.convert_ambient", "pressure of the surroundings")
	msgConvertAt       = say.Define("calculator.convert_at", "temperature of the Saybolt seconds")
	msgNeedsDensity    = say.Define("calculator.needs_density", "kinematic and dynamic viscosity differ by the density, which is missing")
	msgWriteDensity    = say.Define("calculator.write_density", "give the density at the same temperature, for example 870 kg/m3")
	msgMustBePositive  = say.Define("calculator.must_be_positive", "the value must be greater than zero")
	msgPositiveWanted  = say.Define("calculator.positive_wanted", "write a value greater than zero")
	msgNotConvertible  = say.Define("calculator.not_convertible", "{value} cannot be written in “{unit}”")
	msgWriteOneOf      = say.Define("calculator.write_one_of", "it can be written in {units}")
	msgNoSuchUnit      = say.Define("calculator.no_such_unit", "there is no unit “{unit}”")
	msgNumberNoUnit    = say.Define("calculator.number_no_unit", "a plain number has no unit")
	msgNumberWithUnit  = say.Define("calculator.number_with_unit", "write the unit behind it, for example 150 SSU")
	msgUnderVacuum     = say.Define("calculator.under_vacuum", "with {ambient:absolute pressure} around it, this gauge pressure would lie below vacuum")
	msgGiveOther       = say.Define("calculator.give_other", "check the reading and the pressure of the surroundings")
	msgFurolTwo        = say.Define("calculator.furol_two", "Saybolt Furol seconds are defined at 122 °F and 210 °F; between them the value is interpolated, outside the nearer one is used")
	msgFurolLow        = say.Define("calculator.furol_low", "below 48 mm²/s Saybolt Furol follows a handbook table, not its standard")
	msgRedwoodPractice = say.Define("calculator.redwood_practice", "Redwood No. 1 follows a handbook table; later British practice lies about 5 % higher in seconds")
)

func convertCalculator() Calculator {
	return Define("convert", "How much is that in another unit?", "value: 150 SSU\nto: cSt\n",
		func(_ *Env, in convertIn) (convertOut, Notes, error) { return runConvert(in) })
}

// conversion is a value on its way to another unit.
type conversion struct {
	in     convertIn
	from   quantity.Entered   // as read
	to     quantity.Dimension // of the unit wanted
	unit   quantity.Unit
	si     float64 // in the SI unit of to
	how    string  // equation
	inputs []*working.Node
	notes  Notes
}

func runConvert(in convertIn) (convertOut, Notes, error) {
	if in.Value.IsPlain() {
		return convertOut{}, Notes{}, say.Refuse("value", in.Value.Text, msgNumberNoUnit.With(), msgNumberWithUnit.With())
	}
	if err := checkConvertExtras(in); err != nil {
		return convertOut{}, Notes{}, err
	}
	c := conversion{in: in, how: "definitions of the units"}
	if err := c.read(); err != nil {
		return convertOut{}, Notes{}, err
	}
	v, err := c.number()
	if err != nil {
		return convertOut{}, Notes{}, say.In("to", err)
	}
	given := &working.Node{ID: "convert.given", Name: msgConvertGiven.With(), Dimension: c.from.Dimension, Value: c.from.SI, Ref: "value"}
	c.notes.Working = &working.Node{ID: "convert.result", Name: msgConvertResult.With(c.unit.Symbol), Dimension: c.to, Value: c.si,
		Equation: c.how, Source: "SI brochure; international yard and pound agreement 1959; ASTM D2161 for Saybolt seconds", Inputs: append([]*working.Node{given}, c.inputs...)}
	return convertOut{Value: v, Text: quantity.ShowIn(v, c.unitText(), say.Style{})}, c.notes, nil
}

// unitText is the unit as it was asked for, or with (a) behind it where that
// says where the result counts from.
func (c *conversion) unitText() string {
	asked := strings.TrimSpace(c.in.To)
	if unit, err := quantity.FindUnit(c.to, asked); err == nil && unit == c.unit {
		return asked
	}
	return c.unit.Symbol
}

func checkConvertExtras(in convertIn) error {
	if in.Density != nil && !(*in.Density > 0) {
		return say.Refuse("density", in.Density.String(), msgMustBePositive.With(), msgPositiveWanted.With())
	}
	if in.AmbientPressure != nil && !(*in.AmbientPressure > 0) {
		return say.Refuse("ambient_pressure", in.AmbientPressure.String(), msgMustBePositive.With(), msgPositiveWanted.With())
	}
	return nil
}

// read finds the dimension in which value and unit meet.
func (c *conversion) read() error {
	if unit, err := quantity.FindUnit(quantity.AbsolutePressureDimension, c.in.To); err == nil {
		if done, err := c.readPressure(unit); done || err != nil {
			return err
		}
	}
	for _, d := range quantity.Dimensions() {
		unit, err := quantity.FindUnit(d, c.in.To)
		if err != nil {
			continue
		}
		if e, err := c.in.Value.As(d); err == nil {
			c.from, c.to, c.unit, c.si = e, d, unit, c.viscosityAt(e)
			return nil
		}
	}
	if done, err := c.readViscosity(); done || err != nil {
		return err
	}
	return c.refusal()
}

// readPressure minds where the pressures count from.
func (c *conversion) readPressure(unit quantity.Unit) (bool, error) {
	gauge, gaugeErr := c.in.Value.As(quantity.PressureDifferenceDimension)
	total, totalErr := c.in.Value.As(quantity.AbsolutePressureDimension)
	if gaugeErr != nil && totalErr != nil {
		return false, nil
	}
	ambient := quantity.StandardAtmosphere
	if c.in.AmbientPressure != nil {
		ambient = *c.in.AmbientPressure
	}
	c.unit = unit
	switch {
	case unit.Absolute && totalErr == nil:
		c.from, c.to, c.si = total, total.Dimension, total.SI
	case unit.Absolute:
		from, err := quantity.FindUnit(gauge.Dimension, gauge.Unit)
		if err != nil || !from.Gauge {
			return false, say.In("value", totalErr) // not said where it counts from
		}
		c.from, c.to, c.si, c.how = gauge, quantity.AbsolutePressureDimension, gauge.SI+ambient.SI(), "p_abs = p_gauge + p_amb"
		c.inputs = append(c.inputs, c.ambientNode(ambient))
		if c.si < 0 {
			return false, say.Refuse("value", c.in.Value.Text, msgUnderVacuum.With(ambient), msgGiveOther.With())
		}
	case gaugeErr == nil:
		c.from, c.to, c.si = gauge, gauge.Dimension, gauge.SI
	case unit.Gauge:
		c.from, c.to, c.si, c.how = total, quantity.PressureDifferenceDimension, total.SI-ambient.SI(), "p_gauge = p_abs − p_amb"
		c.inputs = append(c.inputs, c.ambientNode(ambient))
	default: // absolute stays absolute
		c.from, c.to, c.si = total, total.Dimension, total.SI
		if marked, err := quantity.FindUnit(total.Dimension, unit.Symbol+"(a)"); err == nil {
			c.unit = marked
		}
	}
	return true, nil
}

func (c *conversion) ambientNode(ambient quantity.AbsolutePressure) *working.Node {
	node := working.Leaf("convert.ambient", msgConvertAmbient.With(), "p_amb", ambient, "")
	if c.in.AmbientPressure == nil {
		return node.From("standard atmosphere, 101325 Pa, assumed")
	}
	node.Ref = "ambient_pressure"
	return node
}

// readViscosity goes between kinematic and dynamic viscosity.
func (c *conversion) readViscosity() (bool, error) {
	kinematic, dynamic := quantity.KinematicViscosityDimension, quantity.DynamicViscosityDimension
	for _, pair := range [][2]quantity.Dimension{{kinematic, dynamic}, {dynamic, kinematic}} {
		unit, unitErr := quantity.FindUnit(pair[1], c.in.To)
		e, err := c.in.Value.As(pair[0])
		if unitErr != nil || err != nil {
			continue
		}
		if c.in.Density == nil {
			return false, say.Refuse("density", "", msgNeedsDensity.With(), msgWriteDensity.With())
		}
		density := *c.in.Density
		c.from, c.to, c.unit = e, pair[1], unit
		c.inputs = append(c.inputs, working.Leaf("convert.density", msgConvertDensity.With(), "ρ", density, "density"))
		if pair[1] == dynamic {
			c.si, c.how = c.viscosityAt(e)*density.SI(), "µ = ν ρ"
		} else {
			c.si, c.how = e.SI/density.SI(), "ν = µ/ρ"
		}
		return true, nil
	}
	return false, nil
}

// viscosityAt returns the SI value of what was entered; Saybolt seconds are
// taken at the temperature given.
func (c *conversion) viscosityAt(e quantity.Entered) float64 {
	if e.Dimension != quantity.KinematicViscosityDimension {
		return e.SI
	}
	seconds, err := quantity.InUnit(e, e.Unit)
	if err != nil {
		return e.SI
	}
	si := e.SI
	switch e.Unit {
	case "SSU":
		if nu, err := quantity.FromSayboltUniversalSeconds(seconds, c.sayboltTemperature(quantity.HundredFahrenheit)); err == nil {
			si = nu.SI()
		}
	case "SSF":
		if nu, err := quantity.FromSayboltFurolSeconds(seconds, c.sayboltTemperature(quantity.FurolFahrenheit122)); err == nil {
			si = nu.SI()
		}
		c.warnFurol(si)
	case "RI":
		c.notes.Warn(msgRedwoodPractice.With())
	}
	return si
}

// number writes the result in the unit wanted.
func (c *conversion) number() (float64, error) {
	if c.to == quantity.KinematicViscosityDimension {
		switch c.unit.Symbol {
		case "SSU":
			if at := c.sayboltTemperature(quantity.HundredFahrenheit); c.si >= 1e-6 {
				return quantity.SayboltUniversalSeconds(quantity.KinematicViscosity(c.si), at), nil
			}
		case "SSF":
			c.warnFurol(c.si)
			return quantity.SayboltFurolSeconds(quantity.KinematicViscosity(c.si), c.sayboltTemperature(quantity.FurolFahrenheit122))
		case "RI":
			c.notes.Warn(msgRedwoodPractice.With())
		}
	}
	return quantity.InUnit(quantity.Entered{Dimension: c.to, SI: c.si}, c.unit.Symbol)
}

func (c *conversion) sayboltTemperature(usual quantity.Temperature) quantity.Temperature {
	at, node := usual, working.Leaf("convert.temperature", msgConvertAt.With(), "T", usual, "")
	if c.in.Temperature != nil {
		at = *c.in.Temperature
		node = working.Leaf("convert.temperature", msgConvertAt.With(), "T", at, "temperature")
	} else {
		node.From("usual temperature of the scale, assumed")
	}
	c.inputs = append(c.inputs, node)
	return at
}

func (c *conversion) warnFurol(si float64) {
	const near = 1.0 // K
	if at := c.in.Temperature; at != nil && apart(*at, quantity.FurolFahrenheit122) > near && apart(*at, quantity.FurolFahrenheit210) > near {
		c.notes.Warn(msgFurolTwo.With())
	}
	if si < 48e-6 {
		c.notes.Warn(msgFurolLow.With())
	}
}

func apart(a, b quantity.Temperature) float64 {
	if a < b {
		a, b = b, a
	}
	return (a - b).SI()
}

// refusal says which of value and unit does not fit.
func (c *conversion) refusal() error {
	e, err := c.in.Value.Read()
	if err != nil {
		return say.In("value", err)
	}
	known := false
	var unitErr error
	for _, d := range quantity.Dimensions() {
		_, err := quantity.FindUnit(d, c.in.To)
		known = known || err == nil
		if d == e.Dimension {
			unitErr = err
		}
	}
	if unitErr == nil || !known {
		return say.Refuse("to", c.in.To, msgNoSuchUnit.With(c.in.To), msgWriteOneOf.With(quantity.UnitSymbols(e.Dimension)))
	}
	return say.Refuse("to", c.in.To, msgNotConvertible.With(e.Text, c.in.To), msgWriteOneOf.With(quantity.UnitSymbols(e.Dimension)))
}
