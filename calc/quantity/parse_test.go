package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

// What people write, and what it is. Definitions of the units: international
// yard and pound agreement 1959; the rest of the SI brochure.
func TestParse(t *testing.T) {
	cases := []struct {
		dim        Dimension
		text       string
		si         float64
		resolution float64
	}{
		{LengthDimension, "0.005 in", 0.005 * 0.0254, 0.001 * 0.0254},
		{LengthDimension, "5 thou", 0.005 * 0.0254, 0.001 * 0.0254},
		{LengthDimension, "5 mil", 0.005 * 0.0254, 0.001 * 0.0254},
		{LengthDimension, ".13mm", 0.13e-3, 0.01e-3},
		{LengthDimension, `1 3/16"`, 1.1875 * 0.0254, 0.0254 / 16},
		{LengthDimension, "1-3/16 in", 1.1875 * 0.0254, 0.0254 / 16},
		{LengthDimension, "3/4 in", 0.75 * 0.0254, 0.0254 / 4},
		{LengthDimension, "12,5 mm", 12.5e-3, 0.1e-3},
		{LengthDimension, "0,125 mm", 0.125e-3, 0.001e-3},
		{LengthDimension, "−0.03 mm", -0.03e-3, 0.01e-3},
		{LengthDimension, `2' 3 1/2"`, 27.5 * 0.0254, 0.0254 / 2},
		{LengthDimension, "2 ft 3 in", 27 * 0.0254, 0.0254},
		{TemperatureDimension, "38 °C", 311.15, 1},
		{TemperatureDimension, "100F", (100 + 459.67) / 1.8, 1 / 1.8},
		{PressureDifferenceDimension, "150 psi", 150 * 6894.757293168, 6894.757293168},
		{PressureDifferenceDimension, "10 bar(g)", 1e6, 1e5},
		{PressureDifferenceDimension, "10 barg", 1e6, 1e5},
		{AbsolutePressureDimension, "1.013 bar(a)", 101300, 100},
		{AbsolutePressureDimension, "14.7 psia", 14.7 * 6894.757293168, 689.4757293168},
		{FlowDimension, "25 gpm", 25 * 3.785411784e-3 / 60, 3.785411784e-3 / 60},
		{TorqueDimension, "45 ft-lb", 45 * 1.3558179483314, 1.3558179483314},
		{TorqueDimension, "60 N·m", 60, 1},
		{ExpansionDimension, "11.4e-6/K", 11.4e-6, 0.1e-6},
		{ExpansionDimension, "11.4 1e-6/K", 11.4e-6, 0.1e-6},
		{RotationalSpeedDimension, "1 450 rpm", 0, 0}, // refused below
		{PressureDifferenceDimension, "1,250,000 Pa", 1.25e6, 1},
		{PressureDifferenceDimension, "1.250.000,5 Pa", 1250000.5, 0.1},
	}
	for _, c := range cases {
		got, err := Parse(c.dim, c.text)
		if c.si == 0 {
			if err == nil {
				t.Errorf("%q was read as %v", c.text, got.SI)
			}
			continue
		}
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if math.Abs(got.SI-c.si) > 1e-9*math.Abs(c.si) || math.Abs(got.Resolution-c.resolution) > 1e-6*c.resolution {
			t.Errorf("%q: got %v ± %v, want %v ± %v", c.text, got.SI, got.Resolution, c.si, c.resolution)
		}
		if got.Text != c.text {
			t.Errorf("%q: text kept as %q", c.text, got.Text)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	cases := []struct {
		dim  Dimension
		text string
		says string // part of the message
	}{
		{LengthDimension, "1,250 in", "1.250"},
		{LengthDimension, "0.15", "unit is missing"},
		{LengthDimension, "0.15 bar", "wanted is length"},
		{AbsolutePressureDimension, "1.013 bar", "vacuum"},
		{AbsolutePressureDimension, "10 bar(g)", "gauge"},
		{PressureDifferenceDimension, "1 bar(a)", "absolute"},
		{TemperatureDimension, "-300 °C", "absolute zero"},
		{LengthDimension, "", "nothing"},
		{LengthDimension, "mm", "no number"},
		{LengthDimension, "1.2.3 mm", "not a number"},
		{KinematicViscosityDimension, "10 SSU", "not defined"},
		{LengthDimension, "1e999 mm", "not a number"},
	}
	for _, c := range cases {
		_, err := Parse(c.dim, c.text)
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: got %v, want a refusal with %q", c.text, err, c.says)
		}
	}
}

func TestShow(t *testing.T) {
	inchStyle := say.Style{Units: say.Inch}
	cases := []struct {
		q     Quantity
		style say.Style
		want  string
	}{
		{Length(0.00015), say.Style{}, "0.150 mm"},
		{Length(0.00015), inchStyle, "0.0059 in"},
		{Temperature(311.15), say.Style{}, "38 °C"},
		{Temperature(311.15), inchStyle, "100.4 °F"},
		{PressureDifference(1e6), say.Style{}, "10 bar"},
		{Flow(0.002676166667), say.Style{}, "160.57 L/min"},
		{RotationalSpeed(500 * 2 * math.Pi / 60), say.Style{}, "500 rpm"},
	}
	for _, c := range cases {
		if got := c.q.Show(c.style); got != c.want {
			t.Errorf("got %q, want %q", got, c.want)
		}
	}
	if got := Within(Length(0.00013), 0.0000140357).Show(say.Style{}); got != "0.130 ± 0.014 mm" {
		t.Errorf("estimate shows as %q", got)
	}
}

// Every unit of every dimension reads back what it prints.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(Dimensions()).Draw(t, "dimension")
		u := rapid.SampledFrom(dimensions[d].units).Draw(t, "unit")
		v := rapid.Float64Range(60, 5000).Draw(t, "value")
		if d == PressureDifferenceDimension && u.mark == absolute || d == AbsolutePressureDimension && (u.mark == gauge || u.mark == unmarked && !selfAbsolute[u.symbol]) {
			t.Skip()
		}
		si, err := u.si(v)
		if err != nil {
			t.Fatal(err)
		}
		e, err := Parse(d, formatDecimals(v, 9)+" "+u.symbol)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(e.SI-si) > 1e-9*math.Abs(si)+1e-30 {
			t.Fatalf("%v %s: %v became %v", v, u.symbol, si, e.SI)
		}
		back, err := fromSI(d, e.SI, u.symbol)
		if err != nil || math.Abs(back-v) > 1e-6*v {
			t.Fatalf("%v %s came back as %v (%v)", v, u.symbol, back, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"0.005 in", "1 3/16\"", "12,5 mm", "1,250 in", "2' 3\"", "−5 thou", "1e9 m", "2⅝''", "1.3×10⁻⁴ m", "6 ft. 2 in.", "-1½ in"} {
		f.Add(uint8(LengthDimension), s)
	}
	f.Fuzz(func(t *testing.T, d uint8, text string) {
		e, err := Parse(Dimension(d), text)
		if err != nil {
			return
		}
		if math.IsNaN(e.SI) || math.IsInf(e.SI, 0) || !(e.Resolution >= 0) {
			t.Fatalf("%q gave %+v", text, e)
		}
		again, err := Parse(Dimension(d), e.Text)
		if err != nil || again != e {
			t.Fatalf("%q gave %+v, its text %+v (%v)", text, e, again, err)
		}
		Intended(e, 1, 0.5) // must not fail on anything that was read
	})
}

func BenchmarkParse(b *testing.B) {
	for b.Loop() {
		if _, err := Parse(LengthDimension, `1 3/16"`); err != nil {
			b.Fatal(err)
		}
	}
}
