package calculator

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// liquidCalculators are those of quantities and liquids.
func liquidCalculators() []Calculator {
	return []Calculator{convertCalculator()}
}

type convertIn struct {
	Value           Any                        `json:"value" help:"what is to be converted, with its unit"`
	To              string                     `json:"to" help:"unit wanted"`
	Density         *quantity.Density          `json:"density" help:"needed between kinematic and dynamic viscosity, and between mass and volume"`
	Temperature     *quantity.Temperature      `json:"temperature" help:"temperature of Saybolt seconds (100 °F when missing)"`
	AmbientPressure *quantity.AbsolutePressure `json:"ambient_pressure" pressure:"absolute" help:"pressure of the surroundings, between gauge and absolute (101325 Pa when missing)"`
}

type convertOut struct {
	Value float64 `json:"value" help:"the number in the unit wanted"`
	Text  string  `json:"text" help:"number and unit"`
}

var msgConvertName = say.Define("calculator.convert_value", "value in the unit wanted")

func convertCalculator() Calculator {
	return Define("convert", "How much is that in another unit?",
		"value: 150 SSU\nto: cSt\n",
		func(_ *Env, in convertIn) (convertOut, Notes, error) {
			e, err := in.Value.Read()
			if err != nil {
				return convertOut{}, Notes{}, say.In("value", err)
			}
			q := quantity.Entered{Dimension: e.Dimension, SI: e.SI}
			v, err := quantity.InUnit(q, in.To)
			if err != nil {
				return convertOut{}, Notes{}, say.In("to", err)
			}
			leaf := &working.Node{ID: "convert.value", Name: msgConvertName.With(), Value: v, Source: "definition of the unit"}
			return convertOut{Value: v, Text: quantity.ShowIn(v, in.To, say.Style{})}, Notes{Working: leaf}, nil
		})
}
