package quantity

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

// What a technician writes on a job sheet. The values follow from the
// definitions of the units (international yard and pound agreement 1959,
// conventional standard gravity, SI brochure).
func TestWrittenAtTheBench(t *testing.T) {
	const in, lbf = 0.0254, 4.4482216152605
	cases := []struct {
		dim  Dimension
		text string
		si   float64
	}{
		{LengthDimension, "½ in", 0.5 * in},
		{LengthDimension, "1½ in", 1.5 * in},
		{LengthDimension, "1 ½\"", 1.5 * in},
		{LengthDimension, "1-½″", 1.5 * in},
		{LengthDimension, "3⅛ inches", 3.125 * in},
		{LengthDimension, "⅜”", 0.375 * in},
		{LengthDimension, "2⅝''", 2.625 * in},
		{LengthDimension, "3⁄16 in", 3.0 / 16 * in},
		{LengthDimension, "1  3/16  IN.", 1.1875 * in},
		{LengthDimension, "-1 3/16 in", -1.1875 * in},
		{LengthDimension, "0.005IN", 0.005 * in},
		{LengthDimension, ".005\"", 0.005 * in},
		{LengthDimension, "+.005 in.", 0.005 * in},
		{LengthDimension, "5 Thousandths", 0.005 * in},
		{LengthDimension, "5 MILS", 0.005 * in},
		{LengthDimension, "0.13 MM", 0.13e-3},
		{LengthDimension, "0,13mm.", 0.13e-3},
		{LengthDimension, "5. mm", 5e-3},
		{LengthDimension, "130 μm", 130e-6},
		{LengthDimension, "130 µm", 130e-6},
		{LengthDimension, "130 microns", 130e-6},
		{LengthDimension, "2′ 3 1/2″", 27.5 * in},
		{LengthDimension, "2'-3½\"", 27.5 * in},
		{LengthDimension, "6 ft. 2 in.", 74 * in},
		{LengthDimension, "6 feet, 2 inches", 74 * in},
		{LengthDimension, "6'", 72 * in},
		{LengthDimension, "-6' 2\"", -74 * in},
		{LengthDimension, "1.3×10⁻⁴ m", 1.3e-4},
		{LengthDimension, "1.3 x 10^-4 m", 1.3e-4},
		{LengthDimension, "1.3e-4 m", 1.3e-4},
		{LengthDimension, "\u00a00.13\u202fmm ", 0.13e-3},
		{AreaDimension, "10 mm²", 10e-6},
		{FlowDimension, "12 m³/h", 12.0 / 3600},
		{FlowDimension, "12 m3/hr", 12.0 / 3600},
		{FlowDimension, "12 M3/H", 12.0 / 3600},
		{FlowDimension, "25 GPM", 25 * 231 * in * in * in / 60},
		{FlowDimension, "25 US gpm", 25 * 231 * in * in * in / 60},
		{FlowDimension, "25 gal / min", 25 * 231 * in * in * in / 60},
		{FlowDimension, "160 LPM", 160e-3 / 60},
		{FlowDimension, "160 l/min", 160e-3 / 60},
		{TemperatureDimension, "38º C", 311.15},
		{TemperatureDimension, "38 °c", 311.15},
		{TemperatureDimension, "38 deg. C", 311.15},
		{TemperatureDimension, "38 Degrees C", 311.15},
		{TemperatureDimension, "38 C°", 311.15},
		{TemperatureDimension, "38℃", 311.15},
		{TemperatureDimension, "38 ˚C", 311.15},
		{TemperatureDimension, "100 deg F", 559.67 / 1.8},
		{TemperatureDimension, "100 f", 559.67 / 1.8},
		{TemperatureDimension, "−40 °F", 233.15},
		{TemperatureDimension, "311 K", 311},
		{TemperatureDifferenceDimension, "18 °F", 10},
		{TemperatureDifferenceDimension, "10 °C", 10},
		{PressureDifferenceDimension, "150 PSI", 150 * lbf / in / in},
		{PressureDifferenceDimension, "150 psig", 150 * lbf / in / in},
		{PressureDifferenceDimension, "150 psi gage", 150 * lbf / in / in},
		{PressureDifferenceDimension, "150 lb/in²", 150 * lbf / in / in},
		{PressureDifferenceDimension, "150 lbs/sq. in.", 150 * lbf / in / in},
		{PressureDifferenceDimension, "10 Bar (g)", 1e6},
		{PressureDifferenceDimension, "10 BARG", 1e6},
		{PressureDifferenceDimension, "10 kg/cm²", 980665},
		{PressureDifferenceDimension, "20 inHg vac", -20 * 3386.38864034},
		{PressureDifferenceDimension, "20\" Hg vac.", -20 * 3386.38864034},
		{AbsolutePressureDimension, "1.013 bar (a)", 101300},
		{AbsolutePressureDimension, "1.013 BARA", 101300},
		{AbsolutePressureDimension, "1.013 bar abs.", 101300},
		{AbsolutePressureDimension, "14.7 PSIA", 14.7 * lbf / in / in},
		{TorqueDimension, "45 ft·lb", 45 * 12 * in * lbf},
		{TorqueDimension, "45 FT-LBS", 45 * 12 * in * lbf},
		{TorqueDimension, "45 ft. lbs.", 45 * 12 * in * lbf},
		{TorqueDimension, "45 lb-ft", 45 * 12 * in * lbf},
		{TorqueDimension, "45 foot pounds", 45 * 12 * in * lbf},
		{TorqueDimension, "60 Nm", 60},
		{TorqueDimension, "60 NM", 60},
		{TorqueDimension, "60 N.m", 60},
		{TorqueDimension, "60 N•m", 60},
		{TorqueDimension, "60 N-m", 60},
		{TorqueDimension, "120 in-lbs", 120 * in * lbf},
		{RotationalSpeedDimension, "1450 RPM", 1450 * 2 * math.Pi / 60},
		{RotationalSpeedDimension, "1450 min⁻¹", 1450 * 2 * math.Pi / 60},
		{KinematicViscosityDimension, "220 mm²/s", 220e-6},
		{KinematicViscosityDimension, "220 CST", 220e-6},
		{DynamicViscosityDimension, "200 mPa·s", 0.2},
		{DynamicViscosityDimension, "200 mPa.s", 0.2},
		{DynamicViscosityDimension, "200 cp", 0.2},
		{ExpansionDimension, "11.5×10⁻⁶/K", 11.5e-6},
		{ExpansionDimension, "11.5·10^-6 1/K", 11.5e-6},
		{ExpansionDimension, "6.4e-6 in/in/°F", 11.52e-6},
		{TorqueDimension, "5 kg-m", 49.03325},
		{MassDimension, "12 lbs", 12 * 0.45359237},
		{ForceDimension, "12 lbs", 12 * lbf},
		{PowerDimension, "5 HP", 5 * 550 * 12 * in * lbf},
		{TimeDimension, "8 hrs", 8 * 3600},
		{AngleDimension, "30°", math.Pi / 6},
		{AngleDimension, "30 deg.", math.Pi / 6},
		{StressDimension, "200 GPa", 200e9},
		{StressDimension, "30 ksi", 30e3 * lbf / in / in},
	}
	for _, c := range cases {
		got, err := Parse(c.dim, c.text)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if math.Abs(got.SI-c.si) > 1e-9*math.Abs(c.si) {
			t.Errorf("%q: got %v, want %v", c.text, got.SI, c.si)
		}
		if got.Text != strings.TrimSpace(c.text) {
			t.Errorf("%q: text kept as %q", c.text, got.Text)
		}
		if !(got.Resolution > 0) {
			t.Errorf("%q: resolution %v", c.text, got.Resolution)
		}
	}
}

// What could be read in two ways, or as something else, is refused and the
// refusal says how to write it.
func TestWrittenAndRefused(t *testing.T) {
	cases := []struct {
		dim  Dimension
		text string
		says string
	}{
		{LengthDimension, "1,250 in", "1.250 or 1250"},
		{LengthDimension, "12,345 mm", "12.345 or 12345"},
		{LengthDimension, "60 Nm", "torque"},
		{LengthDimension, "5 Mm", "capitals"},
		{LengthDimension, "5.", "unit is missing"},
		{LengthDimension, "2' 3", "unit is missing"},
		{LengthDimension, "1 250 mm", "space"},
		{LengthDimension, "1'250 mm", "inches"},
		{LengthDimension, "0.005 - 0.007 in", "not a unit"},
		{LengthDimension, "±0.005 in", "no number"},
		{LengthDimension, "3/0 in", "not a unit"},
		{LengthDimension, "1.5.2 mm", "not a number"},
		{StressDimension, "5 mPa", "capitals"},
		{DynamicViscosityDimension, "5 MPa·s", "capitals"},
		{TemperatureDimension, "38°", "angle"},
		{TemperatureDimension, "38", "12.5 °C or 0.5 °F"},
		{AbsolutePressureDimension, "1.013 bar", "bar(a)"},
		{AbsolutePressureDimension, "14.7 psi", "psi(a)"},
		{AbsolutePressureDimension, "20 inHg vac", "gauge"},
		{PressureDifferenceDimension, "150#", "not a unit"},
		{PressureDifferenceDimension, "14.7 psia", "absolute"},
		{KinematicViscosityDimension, "0.5 degE", "begins at 1"},
		{KinematicViscosityDimension, "20 RI", "begins at 29"},
	}
	for _, c := range cases {
		e, err := Parse(c.dim, c.text)
		if err == nil {
			t.Errorf("%q was read as %v", c.text, e.SI)
			continue
		}
		if !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: %v; want %q in it", c.text, err, c.says)
		}
		if p := say.AsProblem(err); p == nil || p.Accepted.IsZero() {
			t.Errorf("%q: %v: the refusal does not say what would be accepted", c.text, err)
		}
	}
}

// What is shown can be typed in again and means the same, within the digits
// shown.
func TestShownReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.SampledFrom(Dimensions()).Draw(t, "dimension")
		units := rapid.SampledFrom([]say.Units{say.Metric, say.Inch}).Draw(t, "units")
		list := dimensions[d].metric
		if units == say.Inch {
			list = dimensions[d].inch
		}
		from := findUnit(d, list[0].symbol)
		si, err := from.si(math.Exp(rapid.Float64Range(math.Log(1e-3), math.Log(1e5)).Draw(t, "ln value")))
		if err != nil {
			t.Fatal(err)
		}
		shown := Show(d, si, say.Style{Units: units})
		e, err := Parse(d, shown)
		if err != nil {
			t.Fatalf("%v %s is shown as %q, which is refused: %v", si, d.SIUnit(), shown, err)
		}
		if math.Abs(e.SI-si) > 0.51*e.Resolution+1e-9*math.Abs(si) {
			t.Fatalf("%v %s is shown as %q, which reads %v", si, d.SIUnit(), shown, e.SI)
		}
	})
}
