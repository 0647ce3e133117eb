package life

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Bounds enclose the best value, lie where the likelihood has fallen by half
// the χ² quantile, and widen with confidence.
func TestBoundsLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows []Observation
		n := rapid.IntRange(3, 15).Draw(t, "n")
		for i := range n {
			age := rapid.Float64Range(10, 1000).Draw(t, "age")
			switch kind := rapid.IntRange(0, 3).Draw(t, "kind"); {
			case i < 2 || kind == 0:
				rows = append(rows, Failed(age))
			case kind == 1:
				rows = append(rows, Running(age))
			case kind == 2:
				rows = append(rows, FailedBetween(age, age*1.5))
			default:
				rows = append(rows, Observation{Low: age, High: age, Entry: age / 3, Count: 2})
			}
		}
		d := rapid.SampledFrom([]Distribution{Weibull, Lognormal, Exponential}).Draw(t, "d")
		f, err := Fit(rows, d)
		if err != nil {
			return // the data set no shape
		}
		m := f.Model()
		for _, c := range []struct {
			target Target
			best   float64
		}{{TheShape(), f.Shape}, {TheScale(), f.Scale}, {TheAge(0.1), m.AgeAt(0.1)}, {TheReliability(100), m.Reliability(100)}} {
			narrow, err := f.Ratio(c.target, 0.5)
			if err != nil {
				t.Fatal(err)
			}
			wide, err := f.Ratio(c.target, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			fisher, err := f.Fisher(c.target, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			slack := 1e-9 * (1 + math.Abs(c.best))
			ordered := func(what string, a *float64, b float64) {
				if a != nil && *a > b+slack {
					t.Fatalf("%s %v: %s: %v > %v", d, c.target, what, *a, b)
				}
			}
			for _, b := range []Bounds{narrow, wide, fisher} {
				ordered("low", b.Low, c.best)
				if b.High != nil {
					ordered("high", &c.best, *b.High)
				}
			}
			if narrow.Low != nil {
				ordered("wide low", wide.Low, *narrow.Low)
			}
			if wide.High != nil && narrow.High != nil {
				ordered("wide high", narrow.High, *wide.High)
			}
			if narrow.Low == nil && wide.Low != nil || narrow.High == nil && wide.High != nil {
				t.Fatalf("%s %v: the wide bound exists and the narrow one does not", d, c.target)
			}
		}
	})
}

// Nothing that is read makes a fit panic or return what is no number.
func FuzzFit(f *testing.F) {
	f.Add(1.0, 2.0, 3.0, 1.0, 0.0, 1.0, uint8(5))
	f.Add(1e300, 1e-300, 5.0, 5.0, 4.0, 1e9, uint8(1))
	f.Fuzz(func(t *testing.T, a, b, c, d, entry, count float64, kinds uint8) {
		rows := []Observation{Failed(a), {Low: b, High: c, Count: count}, Running(d), {Low: c, High: c, Entry: entry}}
		for i := range rows {
			if kinds>>i&1 == 1 && i != 2 {
				rows[i].High = math.Inf(1)
			}
		}
		for _, dist := range []Distribution{Weibull, Lognormal, Exponential} {
			fit, err := Fit(rows, dist)
			if err != nil {
				continue
			}
			if !finite(fit.Shape) || !finite(fit.Scale) || !finite(fit.LogLikelihood) || !(fit.Scale > 0) || math.IsNaN(fit.ShapeSE) || math.IsNaN(fit.ScaleSE) {
				t.Fatalf("%v %s: %+v", rows, dist, fit)
			}
			for _, target := range []Target{TheShape(), TheScale(), TheAge(0.1)} {
				bounds, err := fit.Ratio(target, 0.95)
				if err != nil {
					t.Fatal(err)
				}
				for _, p := range []*float64{bounds.Low, bounds.High} {
					if p != nil && math.IsNaN(*p) {
						t.Fatalf("%v %s: bound is no number", rows, dist)
					}
				}
			}
		}
	})
}

// The mean life left, against its integral, on both sides of the switch to
// the series.
func TestMeanRemainingLaw(t *testing.T) {
	for _, shape := range []float64{0.6, 1, 1.7, 4} {
		for _, h := range []float64{0.1, 20, 599, 601} {
			m := Model{Weibull, shape, 100}
			age := 100 * math.Pow(h, 1/shape)
			// ∫ R(age + u)/R(age) du by Simpson's rule
			scale := age / (shape * h)
			const n = 20000
			step := 60 * math.Max(scale, 1/m.Hazard(age)) / n
			if shape < 1 {
				step *= 8
			}
			sum := 0.0
			for i := 0; i <= n; i++ {
				w := 4.0
				switch {
				case i == 0 || i == n:
					w = 1
				case i%2 == 0:
					w = 2
				}
				sum += w * m.Conditional(age, float64(i)*step)
			}
			near(t, "mean remaining", m.MeanRemaining(age), sum*step/3, 1e-5, 0)
		}
	}
	if m := (Model{Weibull, 1, 50}); math.Abs(m.MeanRemaining(1e6)-50) > 1e-9 {
		t.Errorf("no memory: %v", m.MeanRemaining(1e6))
	}
}

// Readings that lie on a line leave no band.
func TestPerfectLine(t *testing.T) {
	l := line(t, []Reading{{1, 2, 0}, {2, 4, 0}, {3, 6, 0}})
	r, err := l.Reach(20, 0.9, false)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range []*float64{r.At, r.Low, r.High} {
		nearPtr(t, "hours", p, 10, 1e-9)
	}
}

// The pooled slope turns the line about the middle of its readings.
func TestWithRate(t *testing.T) {
	l := line(t, []Reading{{0, 1, 0}, {100, 2.2, 0}, {200, 2.9, 0}})
	turned := l.WithRate(Rate{Slope: 0.02, U: 0.001})
	near(t, "middle", turned.At(100), l.At(100), 1e-12, 0)
	near(t, "slope", turned.At(101)-turned.At(100), 0.02, 1e-9, 0)
	near(t, "intercept", turned.Intercept, turned.At(0), 1e-12, 0)
}
