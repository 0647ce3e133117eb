package calculator

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

func convertFrom(t *testing.T, input string) (convertOut, Notes, error) {
	t.Helper()
	c, err := Find("convert")
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := c.Run(nil, []byte(input))
	if err != nil {
		return convertOut{}, Notes{}, err
	}
	return outcome.Out.(convertOut), outcome.Notes, nil
}

func TestConvert(t *testing.T) {
	const handbook = "Hydraulic Institute, Engineering Data Book, Tbl. 2.C.1"
	cases := []struct {
		input  string
		want   float64
		within float64 // relative
		source string
	}{
		{"value: 700 SSU\nto: cSt", 151.089, 2e-4, "documentation example of the Python library chemicals, viscosity_converter"},
		{"value: 100 cSt\nto: SSU", 463.463, 5e-4, "ASTM D2161-93 equation, evaluated with Python 3"},
		{"value: 20 cSt\nto: SSU\ntemperature: 210 °F", 98.4791, 1e-3, "ASTM D2161, temperature factor from memory"},
		{"value: 98.4791 SSU\nto: cSt\ntemperature: 210 °F", 20, 1e-3, "ASTM D2161, temperature factor from memory"},
		{"value: 1000 cSt\nto: SSF", 471.71, 5e-3, "ASTM D2161 Furol, from memory"},
		{"value: 100 cSt\nto: SSF\ntemperature: 210 °F", 48.382, 5e-3, "ASTM D2161 Furol, from memory"},
		{"value: 110 cSt\nto: degE", 14.6, 0.025, handbook},
		{"value: 14.6 degE\nto: cSt", 110, 0.025, handbook},
		{"value: 423 RI\nto: mm2/s", 110, 0.05, handbook},
		{"value: 20.6 cSt\nto: SSF", 15.24, 0.025, handbook},
		{"value: 100 cSt\nto: cP\ndensity: 870 kg/m3", 87, 1e-12, "µ = ν ρ"},
		{"value: 87 cP\nto: mm2/s\ndensity: 0.87 g/cm3", 100, 1e-12, "ν = µ/ρ"},
		{"value: 463.463 SSU\nto: cP\ndensity: 870 kg/m3", 87, 5e-4, "ASTM D2161-93 equation and µ = ν ρ"},
		{"value: 87 cP\nto: SSU\ndensity: 870 kg/m3", 463.463, 5e-4, "ASTM D2161-93 equation and ν = µ/ρ"},
		{"value: 10 bar(g)\nto: bar(a)", 11.01325, 1e-12, "standard atmosphere 101325 Pa"},
		{"value: 10 bar(g)\nto: bar(a)\nambient_pressure: 0.9 bar", 10.9, 1e-12, "p_abs = p_gauge + p_amb"},
		{"value: 14.7 psia\nto: psi(g)\nambient_pressure: 14.7 psi(a)", 0, 1e-9, "p_gauge = p_abs − p_amb"},
		{"value: 150 psi\nto: bar", 10.3421359, 1e-8, "pound, inch and standard gravity by definition"},
		{"value: 14.7 psia\nto: bar", 1.01352932, 1e-8, "pound, inch and standard gravity by definition"},
		{"value: 101.325 kPa\nto: psi(a)", 14.6959488, 1e-8, "pound, inch and standard gravity by definition"},
		{"value: 20 inHg vac\nto: kPa(a)\nambient_pressure: 101.325 kPa", 33.5972, 1e-5, "inch of mercury 3386.389 Pa, NIST SP 811"},
		{"value: 5 thou\nto: mm", 0.127, 1e-12, "inch 25.4 mm by definition"},
		{"value: 100 °F\nto: °C", 37.7777778, 1e-8, "definition of the Fahrenheit degree"},
		{"value: 10 lb\nto: kg", 4.5359237, 1e-12, "pound by definition"},
		{"value: 10 lb\nto: N", 44.482216, 1e-8, "pound and standard gravity by definition"},
		{"value: 45 ft-lb\nto: Nm", 61.0118077, 1e-8, "foot, pound and standard gravity by definition"},
		{"value: 25 gpm\nto: m3/h", 5.67811768, 1e-8, "US gallon 231 in³"},
	}
	for _, c := range cases {
		got, _, err := convertFrom(t, c.input)
		if err != nil {
			t.Errorf("%q: %v", c.input, err)
			continue
		}
		if !(math.Abs(got.Value-c.want) <= c.within*math.Max(1, math.Abs(c.want))) {
			t.Errorf("%q: got %v, want %v (%s)", c.input, got.Value, c.want, c.source)
		}
	}
}

func TestConvertRefuses(t *testing.T) {
	cases := []struct{ input, field, says string }{
		{"value: 100 cSt\nto: cP", "density", "density"},
		{"value: 100 cSt\nto: cP\ndensity: 0", "density", "greater"},
		{"value: 10 bar\nto: psi(a)", "value", "vacuum"},
		{"value: -2 bar(g)\nto: bar(a)", "value", "below vacuum"},
		{"value: 12\nto: mm", "value", "no unit"},
		{"value: 12 mm\nto: bar", "to", "12 mm"},
		{"value: 12 mm\nto: furlong", "to", "furlong"},
		{"value: 1,250 in\nto: mm", "value", "1.250"},
		{"value: 20 SSU\nto: cSt", "value", "not defined"},
		{"value: 0.5 cSt\nto: SSU", "to", "not defined"},
		{"value: 10 bar(g)\nto: bar(a)\nambient_pressure: -1 bar", "ambient_pressure", "vacuum"},
	}
	for _, c := range cases {
		_, _, err := convertFrom(t, c.input)
		if p := say.AsProblem(err); p == nil || p.Field != c.field || !strings.Contains(p.Error(), c.says) {
			t.Errorf("%q: got %v", c.input, err)
		}
	}
}

func TestConvertTextAndWarnings(t *testing.T) {
	got, notes, err := convertFrom(t, "value: 14.7 psia\nto: bar")
	if err != nil || got.Text != "1.01353 bar(a)" || len(notes.Warnings) != 0 {
		t.Errorf("%+v %v %v", got, notes.Warnings, err)
	}
	if got, _, _ := convertFrom(t, "value: 32.6024 SSU\nto: cSt"); !strings.HasSuffix(got.Text, " cSt") {
		t.Errorf("text %q", got.Text)
	}
	for _, input := range []string{"value: 30 cSt\nto: SSF", "value: 300 SSF\nto: cSt\ntemperature: 100 °F", "value: 300 RI\nto: cSt"} {
		if _, notes, err := convertFrom(t, input); err != nil || len(notes.Warnings) != 1 {
			t.Errorf("%q: %v, %v", input, notes.Warnings, err)
		}
	}
}
