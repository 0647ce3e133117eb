package metrology

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func at(v float64) *float64 { return &v }

// Probabilities of conformity. Sources stand in the rows.
func TestProbability(t *testing.T) {
	cases := []struct {
		source       string
		y, u         float64
		lower, upper *float64
		want         float64
	}{
		{"JCGM 106:2012, clause 7, diode (prints 0.92), from memory, recomputed", -5.47, 0.05, nil, at(-5.40), 0.919243},
		{"JCGM 106:2012, clause 7, viscosity of oil (prints 0.66), from memory, recomputed", 13.6, 1.8, at(12.5), at(16.3), 0.662630},
		{"computed with R 4.2.2: bore", 50.012, 0.004, at(50), at(50.020), 0.975900},
		{"computed with R 4.2.2: bore", 50.018, 0.004, at(50), at(50.020), 0.691459},
		{"computed with R 4.2.2: bore", 50.0201, 0.004, at(50), at(50.020), 0.490027},
		{"computed with R 4.2.2: bore", 49.996, 0.004, at(50), at(50.020), 0.158655},
		{"computed with R 4.2.2: bore, coarse", 50.010, 0.010, at(50), at(50.020), 0.682689},
		{"definition, ILAC-G8:2009: guard band of U = 2u", 8, 1, nil, at(10), 0.977250},
	}
	for _, c := range cases {
		d, err := Decide(Case{Measured: c.y, U: c.u, Lower: c.lower, Upper: c.upper, Confidence: 0.95})
		if err != nil {
			t.Fatal(err)
		}
		close(t, c.source, d.Probability, c.want, 1e-6)
		if err := d.Working().Check(); err != nil {
			t.Error(err)
		}
	}
}

// The guard band of one limit is k u. Computed (normal quantile); JCGM
// 106:2012, Table 1 is the same, from memory. ISO 14253-1:2017: 0.83 U for
// 95 %, as a metrology training page states.
func TestGuardBand(t *testing.T) {
	for p, k := range map[float64]float64{0.80: 0.841621, 0.90: 1.281552, 0.95: 1.644854, 0.975: 1.959964, 0.99: 2.326348, 0.999: 3.090232} {
		d, err := Decide(Case{Measured: 0, U: 1, Upper: at(100), Confidence: p})
		if err != nil {
			t.Fatal(err)
		}
		close(t, "upper", 100-*d.AcceptanceUpper, k, 1e-6)
		if d.AcceptanceLower != nil {
			t.Error("a lower acceptance limit without a lower limit")
		}
		d, err = Decide(Case{Measured: 200, U: 1, Lower: at(100), Confidence: p})
		if err != nil {
			t.Fatal(err)
		}
		close(t, "lower", *d.AcceptanceLower-100, k, 1e-6)
	}
	d, _ := Decide(Case{Measured: 0, U: 0.5, Upper: at(10), Confidence: 0.95})
	close(t, "in terms of U = 2u", 10-*d.AcceptanceUpper, 0.83, 0.01)
}

// Verdicts for a bore of 50.000 … 50.020 mm. Computed with R 4.2.2; the zones
// follow from the guard band 1.644854 u.
func TestVerdicts(t *testing.T) {
	cases := []struct {
		y, u         float64
		lower, upper *float64
		want         Verdict
	}{
		{50.012, 0.004, at(50), at(50.020), Reuse},
		{50.018, 0.004, at(50), at(50.020), MeasureAgain},
		{50.0201, 0.004, at(50), at(50.020), MeasureAgain},
		{49.996, 0.004, at(50), at(50.020), MeasureAgain},
		{50.0266, 0.004, at(50), at(50.020), Replace},
		{49.993, 0.004, at(50), at(50.020), Replace},
		{50.010, 0.010, at(50), at(50.020), BetterInstrument},
		{50.060, 0.010, at(50), at(50.020), Replace},
		{50.010, 0, at(50), at(50.020), Reuse},
		{50.021, 0, at(50), at(50.020), Replace},
	}
	for _, c := range cases {
		d, err := Decide(Case{Dimension: quantity.NoDimension, Measured: c.y, U: c.u, Lower: c.lower, Upper: c.upper, Confidence: 0.95})
		if err != nil {
			t.Fatal(err)
		}
		if d.Verdict != c.want {
			t.Errorf("%v ± %v: %s, want %s (p = %v)", c.y, c.u, d.Verdict, c.want, d.Probability)
		}
		open := c.want == MeasureAgain || c.want == BetterInstrument
		if open != (d.SettlingU != nil) || open != (len(d.Reasons) > 0) {
			t.Errorf("%v ± %v: settling u %v, reasons %v", c.y, c.u, d.SettlingU, d.Reasons)
		}
		if c.u == 0.010 && (d.AcceptanceLower != nil || d.AcceptanceUpper != nil) {
			t.Error("an acceptance zone where there is none")
		}
	}
	// On the limit nothing settles it.
	d, err := Decide(Case{Measured: 50.02, U: 0.004, Upper: at(50.02), Confidence: 0.95})
	if err != nil || d.Verdict != MeasureAgain || d.SettlingU != nil {
		t.Errorf("on the limit: %+v, %v", d, err)
	}
}

func TestDecideRefuses(t *testing.T) {
	cases := []struct {
		c     Case
		field string
	}{
		{Case{Measured: 1, U: 1, Confidence: 0.95}, "upper"},
		{Case{Measured: math.NaN(), U: 1, Upper: at(1), Confidence: 0.95}, "measured"},
		{Case{Measured: 1, U: -1, Upper: at(1), Confidence: 0.95}, "u"},
		{Case{Measured: 1, U: 1, Lower: at(2), Upper: at(1), Confidence: 0.95}, "lower"},
		{Case{Measured: 1, U: 1, Upper: at(math.Inf(1)), Confidence: 0.95}, "upper"},
		{Case{Measured: 1, U: 1, Upper: at(1), Confidence: 0.5}, "confidence"},
	}
	for _, c := range cases {
		_, err := Decide(c.c)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("want a refusal of %s, got %v", c.field, err)
		}
	}
}

// Laws: at the acceptance limits the probability is the confidence; a reading
// between them is reused; with the settling u the same reading is decided, with
// a little more it is not; mirrored limits give the mirrored answer.
func TestDecideLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Numbers of a grid, as a display gives them: a reading may lie on a limit.
		display := func(low, high float64, name string) float64 {
			return float64(rapid.IntRange(int(math.Ceil(low*100)), int(high*100)).Draw(t, name)) / 100
		}
		lower := display(-10, 10, "lower")
		upper := lower + display(0.01, 5, "width")
		c := Case{U: display(0.01, 3, "u"), Lower: &lower, Upper: &upper, Confidence: rapid.Float64Range(0.55, 0.999).Draw(t, "confidence")}
		c.Measured = display(lower-5, upper+5, "measured")
		d, err := Decide(c)
		if err != nil {
			t.Fatal(err)
		}
		if d.AcceptanceUpper != nil {
			if p := c.probability(*d.AcceptanceUpper, c.U); math.Abs(p-c.Confidence) > 1e-6 {
				t.Fatalf("probability %v at the acceptance limit", p)
			}
			inside := c.Measured >= *d.AcceptanceLower && c.Measured <= *d.AcceptanceUpper
			if inside != (d.Verdict == Reuse) {
				t.Fatalf("%+v", d)
			}
		}
		if d.SettlingU != nil {
			again := c
			again.U = *d.SettlingU * (1 - 1e-6)
			better, err := Decide(again)
			if err != nil || better.Verdict != Reuse && better.Verdict != Replace {
				t.Fatalf("settling u %v: %v (%v)", *d.SettlingU, better.Verdict, err)
			}
			again.U = math.Min(*d.SettlingU*1.001, c.U)
			if worse, _ := Decide(again); worse.Verdict == Reuse || worse.Verdict == Replace {
				t.Fatalf("more than the settling u %v: %v", *d.SettlingU, worse.Verdict)
			}
		}
		low, high := -upper, -lower
		mirror := c
		mirror.Measured, mirror.Lower, mirror.Upper = -c.Measured, &low, &high
		m, err := Decide(mirror)
		if err != nil || m.Verdict != d.Verdict || math.Abs(m.Probability-d.Probability) > 1e-9 {
			t.Fatalf("mirrored: %v %v, was %v %v (%v)", m.Verdict, m.Probability, d.Verdict, d.Probability, err)
		}
	})
}

func BenchmarkDecide(b *testing.B) {
	c := Case{Measured: 50.018, U: 0.004, Lower: at(50), Upper: at(50.02), Confidence: 0.95}
	for b.Loop() {
		if _, err := Decide(c); err != nil {
			b.Fatal(err)
		}
	}
}
