package quantity

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Mistakes at the bench; the conversions are those of the units.
func TestIntended(t *testing.T) {
	const mm, in, bar = 1e-3, 0.0254, 1e5
	cases := []struct {
		dim           Dimension
		typed         string
		nominal, span float64
		slip          Slip
		likely        string
	}{
		{LengthDimension, "0.152 in", 0.15 * mm, 0.05 * mm, OtherUnit, "0.152 mm"},
		{LengthDimension, "0.152 mm", 0.15 * in, 0.01 * in, OtherUnit, "0.152 in"},
		{LengthDimension, "6 mm", 0.15 * mm, 0.05 * mm, OtherUnit, "6 thou"},
		{LengthDimension, "6 in", 0.15 * mm, 0.05 * mm, OtherUnit, "6 thou"},
		{LengthDimension, "0,152 in", 0.15 * mm, 0.05 * mm, OtherUnit, "0,152 mm"},
		{LengthDimension, "1.5 mm", 0.15 * mm, 0.05 * mm, DecimalPoint, "0.15 mm"},
		{LengthDimension, "0.015 mm", 0.15 * mm, 0.05 * mm, DecimalPoint, "0.15 mm"},
		{LengthDimension, "15 mm", 0.15 * mm, 0.05 * mm, DecimalPoint, "0.15 mm"},
		{LengthDimension, "0.17 mm", 0.15 * mm, 0.05 * mm, NoSlip, ""},
		{LengthDimension, "0.33 mm", 0.15 * mm, 0.05 * mm, Unexplained, ""},
		{LengthDimension, `2' 3"`, 0.15 * mm, 0.05 * mm, Unexplained, ""},
		{PressureDifferenceDimension, "150 bar", 10.3 * bar, 2 * bar, OtherUnit, "150 psi"},
		{PressureDifferenceDimension, "10 psi", 10 * bar, 2 * bar, OtherUnit, "10 bar"},
		{TemperatureDimension, "100 °C", 311, 5, OtherUnit, "100 °F"},
		{FlowDimension, "25 m3/h", 25 * 3.785411784e-3 / 60, 1e-4, OtherUnit, "25 gpm"},
		{TorqueDimension, "60 ft-lb", 60, 10, OtherUnit, "60 N·m"},
	}
	for _, c := range cases {
		e, err := Parse(c.dim, c.typed)
		if err != nil {
			t.Fatal(err)
		}
		got := Intended(e, c.nominal, c.span)
		if got.Slip != c.slip || got.Likely.Text != c.likely {
			t.Errorf("%q near %v: got %v %q, want %v %q", c.typed, c.nominal, got.Slip, got.Likely.Text, c.slip, c.likely)
		}
		if (got.Slip == NoSlip) != got.Message.IsZero() {
			t.Errorf("%q: message %q", c.typed, got.Message)
		}
	}
	e, _ := Parse(LengthDimension, "0.152 in")
	if got := IntendedWithin(e, 0.1*mm, 0.2*mm).Message.String(); got != "0.152 mm? you typed 0.152 in" {
		t.Errorf("message %q", got)
	}
}

// What is proposed always lies inside the span, and a value inside is never
// questioned.
func TestIntendedStaysInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		unit := rapid.SampledFrom([]string{"mm", "in", "thou", "µm"}).Draw(t, "unit")
		text := formatDecimals(rapid.Float64Range(0.001, 500).Draw(t, "value"), rapid.IntRange(0, 4).Draw(t, "decimals")) + " " + unit
		nominal := rapid.Float64Range(1e-5, 0.1).Draw(t, "nominal")
		span := nominal * rapid.Float64Range(0, 0.5).Draw(t, "span")
		e, err := Parse(LengthDimension, text)
		if err != nil {
			t.Fatal(err)
		}
		got := Intended(e, nominal, span)
		inside := e.SI >= nominal-span && e.SI <= nominal+span
		if inside != (got.Slip == NoSlip) {
			t.Fatalf("%s near %v ± %v: %v", text, nominal, span, got.Slip)
		}
		if got.Likely.Text != "" && (got.Likely.SI < nominal-span*(1+1e-9) || got.Likely.SI > nominal+span*(1+1e-9)) {
			t.Fatalf("%s near %v ± %v: proposed %s", text, nominal, span, got.Likely.Text)
		}
		if got.Slip != NoSlip && !strings.Contains(got.Message.String(), text) {
			t.Fatalf("message %q does not show what was typed", got.Message)
		}
	})
}
