package life

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

func line(t testing.TB, list []Reading) *Line {
	t.Helper()
	l, err := FitLine(list)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// NIST Statistical Reference Datasets, Norris, certified values.
func TestNorris(t *testing.T) {
	l := line(t, readings(t, "reg_norris.csv", "x", "y"))
	near(t, "intercept", l.Intercept, -0.262323073774029, 1e-10, 0)
	near(t, "intercept sd", l.InterceptU, 0.232818234301152, 1e-10, 0)
	near(t, "slope", l.Slope, 1.00211681802045, 1e-12, 0)
	near(t, "slope sd", l.SlopeU, 0.429796848199937e-3, 1e-10, 0)
	near(t, "residual sd", l.ResidualSD, 0.884796396144373, 1e-9, 0)
	near(t, "R²", l.RSquared, 0.999993745883712, 1e-9, 0)
	near(t, "residual SS", l.ResidualSS, 26.6173985294224, 1e-9, 0)
	near(t, "F", l.F, 5436385.54079785, 1e-9, 0)
	// computed with R 4.2.2, lm and predict
	near(t, "fit at 500", l.At(500), 500.796085936, 0, 1e-7)
	near(t, "confidence half-width at 500", l.MeanHalfWidth(500, 0.95), 0.307889465, 0, 1e-7)
	near(t, "prediction half-width at 500", l.HalfWidth(500, 0.95), 1.824291882, 0, 1e-7)
}

// Montgomery & Runger, ch. 11, oxygen purity: printed 74.283, 14.947, 1.18,
// 87.7 %, 128.86, intervals 88.48..89.98 and 86.83..91.63; more digits
// computed with R 4.2.2.
func TestOxygenPurity(t *testing.T) {
	list := readings(t, "reg_oxygen_purity.csv", "x", "y")
	l := line(t, list)
	near(t, "intercept", l.Intercept, 74.283314, 0, 1e-6)
	near(t, "slope", l.Slope, 14.947480, 0, 1e-6)
	near(t, "s²", l.ResidualSD*l.ResidualSD, 1.180545, 0, 1e-6)
	near(t, "se slope", l.SlopeU, 1.316758, 0, 1e-6)
	near(t, "R²", l.RSquared, 0.877436, 0, 1e-6)
	near(t, "F", l.F, 128.8617, 0, 1e-3)
	for _, c := range []struct {
		x, confidence, fit, meanLow, meanHigh, low, high float64
	}{
		{1.00, 0.95, 89.230794, 88.486122, 89.975466, 86.829687, 91.631901},
		{1.50, 0.90, 96.704534, 95.892549, 97.516518, 94.652903, 98.756165},
	} {
		m, h := l.MeanHalfWidth(c.x, c.confidence), l.HalfWidth(c.x, c.confidence)
		near(t, "fit", l.At(c.x), c.fit, 0, 1e-6)
		near(t, "mean low", l.At(c.x)-m, c.meanLow, 0, 1e-6)
		near(t, "mean high", l.At(c.x)+m, c.meanHigh, 0, 1e-6)
		near(t, "low", l.At(c.x)-h, c.low, 0, 1e-6)
		near(t, "high", l.At(c.x)+h, c.high, 0, 1e-6)
	}
	// equal uncertainties that are smaller than the scatter change nothing
	for i := range list {
		list[i].U = 0.5
	}
	w := line(t, list)
	near(t, "weighted slope", w.Slope, l.Slope, 1e-12, 0)
	near(t, "weighted slope sd", w.SlopeU, l.SlopeU, 1e-12, 0)
	near(t, "weighted prediction", w.HalfWidth(1.5, 0.9), l.HalfWidth(1.5, 0.9), 1e-12, 0)
}

// Sliding metal wear, Meeker & Escobar 1998; results computed with R 4.2.2.
func TestWearUnit(t *testing.T) {
	list := readings(t, "wear_unit_a.csv", "cycles", "microns")
	l := line(t, list)
	near(t, "intercept", l.Intercept, 4.5313526, 0, 1e-6)
	near(t, "slope", l.Slope, 0.01142185, 0, 1e-6)
	near(t, "s", l.ResidualSD, 0.9384305, 0, 1e-6)
	near(t, "R²", l.RSquared, 0.834808, 0, 1e-6)
	near(t, "at 700", l.At(700), 12.526646, 0, 1e-5)
	near(t, "low at 700", l.At(700)-l.HalfWidth(700, 0.95), 8.670139, 0, 1e-5)
	near(t, "high at 700", l.At(700)+l.HalfWidth(700, 0.95), 16.383154, 0, 1e-5)
	for _, c := range []struct {
		mean bool
		low  float64
	}{{true, 1026.349}, {false, 998.292}} {
		reach, err := l.Reach(20, 0.90, c.mean)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "hours at limit", *reach.At, 1354.303, 0, 0.01)
		near(t, "low", *reach.Low, c.low, 0, 0.01)
		// the far edge of the band lies at the limit there
		h := l.HalfWidth(*reach.High, 0.90)
		if c.mean {
			h = l.MeanHalfWidth(*reach.High, 0.90)
		}
		near(t, "far edge", l.At(*reach.High)-h, 20, 1e-9, 0)
	}
	for i := range list {
		list[i].Hours, list[i].Value = math.Log(list[i].Hours), math.Log(list[i].Value)
	}
	l = line(t, list)
	near(t, "log intercept", l.Intercept, 1.0352582, 0, 1e-7)
	near(t, "log slope", l.Slope, 0.19216492, 0, 1e-7)
	near(t, "log s", l.ResidualSD, 0.03717498, 0, 1e-7)
	x := math.Log(700)
	near(t, "log at 700", math.Exp(l.At(x)), 9.915964, 0, 1e-5)
	near(t, "log low", math.Exp(l.At(x)-l.HalfWidth(x, 0.95)), 8.868293, 0, 1e-5)
	near(t, "log high", math.Exp(l.At(x)+l.HalfWidth(x, 0.95)), 11.087404, 0, 1e-5)
	reach, err := l.Reach(math.Log(20), 0.9, false)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "log time to 20", math.Exp(*reach.At), 26958.11, 0, 0.1)
}

// A line answers the same when hours or values are shifted or scaled.
func TestLineLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "n")
		list := make([]Reading, n)
		for i := range list {
			list[i] = Reading{Hours: float64(100*i) + rapid.Float64Range(0, 90).Draw(t, "h"), Value: rapid.Float64Range(-1, 1).Draw(t, "v")}
		}
		shift := rapid.Float64Range(-1e5, 1e5).Draw(t, "shift")
		a, err := FitLine(list)
		if err != nil {
			t.Fatal(err)
		}
		moved := append([]Reading(nil), list...)
		for i := range moved {
			moved[i].Hours += shift
			moved[i].Value = 2*moved[i].Value + 3
		}
		b, err := FitLine(moved)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(b.Slope-2*a.Slope) > 1e-9 || math.Abs(b.At(shift+50)-2*a.At(50)-3) > 1e-7 || math.Abs(b.HalfWidth(shift+50, .9)-2*a.HalfWidth(50, .9)) > 1e-7 {
			t.Fatalf("a shift changed the line: %v %v", a.Slope, b.Slope)
		}
		// the edges of the band lie at the limit where Reach says
		limit := a.At(2000)
		reach, err := a.Reach(limit, 0.9, false)
		if err != nil {
			t.Fatal(err)
		}
		for _, edge := range []*float64{reach.Low, reach.High} {
			if edge != nil && math.Abs(math.Abs(a.At(*edge)-limit)-a.HalfWidth(*edge, 0.9)) > 1e-6*(1+math.Abs(limit)) {
				t.Fatalf("edge %v does not lie at the limit", *edge)
			}
		}
	})
}
