package align

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const degree = math.Pi / 180

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}

func around(dial ...float64) []Reading {
	readings := make([]Reading, len(dial))
	for i, v := range dial {
		readings[i] = Reading{Angle: quantity.Angle(2 * math.Pi * float64(i) / float64(len(dial))), Dial: quantity.Length(v * 1e-6)}
	}
	return readings
}

// Least squares computed with numpy 1.24.2 (lstsq), µm and degrees.
func TestFitRunout(t *testing.T) {
	rows := []struct {
		name                                  string
		readings                              []Reading
		tir, eccentricity, angle, mean, resid float64
		meanKnown                             bool
	}{
		{"eight", around(0, 12, 18, 15, 3, -8, -14, -11), 32, 16.233, 96.40, 1.875, 1.12, true},
		{"twelve", around(0, 8, 20, 29, 35, 38, 34, 26, 15, 5, -2, -3), 41, 20.673, 144.59, 17.083, 1.85, true},
		{"four", around(0, 10, 16, 6), 16, 8.246, 165.96, 8, 0, true},
		// exact circle, eccentricity 20 at 30°, zeroed at 0: sampled TIR below 2e
		{"circle", around(0, 2.00, -7.32, -22.50, -34.64, -36.64, -27.32, -12.14), 38.64, 20.000, 30.00, 0, 0, false},
	}
	for _, row := range rows {
		r, err := FitRunout(row.readings)
		if err != nil {
			t.Fatal(err)
		}
		near(t, row.name+" TIR", r.TIR.SI()*1e6, row.tir, 0.01)
		near(t, row.name+" e", r.Eccentricity.SI()*1e6, row.eccentricity, 0.01)
		near(t, row.name+" angle", r.HighAngle.SI()/degree, row.angle, 0.01)
		if row.meanKnown {
			near(t, row.name+" mean", r.Mean.SI()*1e6, row.mean, 0.01)
		}
		if row.name != "four" {
			near(t, row.name+" residual", r.Residual.SI()*1e6, row.resid, 0.011)
		}
		if r.Working().Check() != nil {
			t.Error(r.Working().Check())
		}
	}
	circle, _ := FitRunout(rows[3].readings)
	if len(circle.Warnings) != 1 {
		t.Error("a TIR below 2e must be said")
	}
}

// A shaft that runs off centre by e at an angle is found again, wherever the
// dial was zeroed.
func TestFitRunoutRoundTrip(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		e := rapid.Float64Range(1e-6, 1e-3).Draw(r, "e")
		phi := rapid.Float64Range(0, 2*math.Pi-1e-3).Draw(r, "phi")
		zero := rapid.Float64Range(-1e-3, 1e-3).Draw(r, "zero")
		n := rapid.IntRange(3, 16).Draw(r, "n")
		readings := make([]Reading, n)
		for i := range readings {
			a := 2 * math.Pi * float64(i) / float64(n)
			readings[i] = Reading{quantity.Angle(a), quantity.Length(zero + e*math.Cos(a-phi))}
		}
		fit, err := FitRunout(readings)
		if err != nil {
			r.Fatal(err)
		}
		if math.Abs(fit.Eccentricity.SI()-e) > 1e-12+1e-9*e || math.Abs(math.Remainder(fit.HighAngle.SI()-phi, 2*math.Pi)) > 1e-6 || fit.Residual.SI() > 1e-12 {
			r.Fatalf("e %v at %v came back as %v at %v, residual %v", e, phi, fit.Eccentricity.SI(), fit.HighAngle.SI(), fit.Residual.SI())
		}
	})
}

func TestFitRunoutRefuses(t *testing.T) {
	bad := [][]Reading{nil, around(1, 2), {{0, 1e-6}, {2 * math.Pi, 1e-6}, {math.Pi, 0}}, {{quantity.Angle(math.NaN()), 0}, {1, 0}, {2, 0}}, around(1, math.NaN(), 2)}
	for _, b := range bad {
		if _, err := FitRunout(b); say.AsProblem(err) == nil {
			t.Errorf("%v was taken", b)
		}
	}
}
