package life

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Narrow intervals tend to exact ages, wide ones lose no sense, and entry at 0
// is no entry; for the lognormal without suspensions the fit is the mean and
// the standard deviation (divisor n) of ln age.
func TestIntervalsAndEntry(t *testing.T) {
	rows := lives(t, "weibull_ball_bearings.csv")
	for _, d := range []Distribution{Weibull, Lognormal, Exponential} {
		exact := fit(t, rows, d)
		narrow := append([]Observation(nil), rows...)
		for i := range narrow {
			narrow[i].Low *= 1 - 1e-4
			narrow[i].High *= 1 + 1e-4
		}
		f := fit(t, narrow, d)
		near(t, "shape", f.Shape, exact.Shape, 1e-5, 0)
		near(t, "scale", f.Scale, exact.Scale, 1e-5, 0)
		near(t, "se", f.ScaleSE, exact.ScaleSE, 1e-4, 0)
		for _, target := range []Target{TheScale(), TheAge(0.1), TheReliability(50)} {
			a, err := exact.Ratio(target, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			b, err := f.Ratio(target, 0.95)
			if err != nil {
				t.Fatal(err)
			}
			nearPtr(t, "low", a.Low, *b.Low, 1e-4)
			nearPtr(t, "high", a.High, *b.High, 1e-4)
		}
	}
	f := fit(t, rows, Lognormal)
	var mean, square float64
	for _, o := range rows {
		mean += math.Log(o.Low) / 23
	}
	for _, o := range rows {
		square += (math.Log(o.Low) - mean) * (math.Log(o.Low) - mean) / 23
	}
	near(t, "median", f.Scale, math.Exp(mean), 1e-9, 0)
	near(t, "sigma", f.Shape, math.Sqrt(square), 1e-9, 0)
	near(t, "se of µ", f.ScaleSE/f.Scale, math.Sqrt(square/23), 1e-6, 0)

	// Exponential lives have no memory: watching from an entry on is the same
	// as moving every age by it.
	var entered, moved []Observation
	for i, o := range rows {
		e := float64(i)
		entered = append(entered, Observation{Low: o.Low + e, High: o.High + e, Entry: e})
		moved = append(moved, o)
	}
	near(t, "exponential entry", fit(t, entered, Exponential).Scale, fit(t, moved, Exponential).Scale, 1e-9, 0)
	// Both ways of the Weibull likelihood agree on entries.
	a := fit(t, entered, Weibull)
	tl, err := count(entered)
	if err != nil {
		t.Fatal(err)
	}
	b := &Fitted{Distribution: Weibull, rows: entered, model: Weibull}
	if !b.fitRows(tl) {
		t.Fatal("no fit")
	}
	near(t, "entry shape", b.Shape, a.Shape, 1e-8, 0)
	near(t, "entry scale", b.Scale, a.Scale, 1e-8, 0)
	near(t, "entry se", b.ShapeSE, a.ShapeSE, 1e-6, 0)
}

// With one failure among many the likelihood still sets what it can.
func TestOneFailure(t *testing.T) {
	rows := []Observation{Failed(1000), Running(800), Running(1500), Running(2000), Running(2500)}
	f := fit(t, rows, Weibull)
	b, err := f.Ratio(TheScale(), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	if b.Low == nil || *b.Low > f.Scale {
		t.Errorf("low %v of %v", b.Low, f.Scale)
	}
	if s, err := f.Ratio(TheShape(), 0.95); err != nil || s.High == nil || *s.High < f.Shape || s.Low != nil && *s.Low > f.Shape {
		t.Errorf("shape %v %v", s, err)
	}
}

// Fits carry over to another unit of time; only the log-likelihood moves, by
// ln of the factor for each failure.
func TestUnitOfTime(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows, scaled []Observation
		factor := math.Exp(rapid.Float64Range(-8, 8).Draw(t, "ln factor"))
		n := rapid.IntRange(4, 25).Draw(t, "n")
		for i := range n {
			age := rapid.Float64Range(1, 1000).Draw(t, "age")
			o, s := Failed(age), Failed(age*factor)
			if i > 2 && rapid.Bool().Draw(t, "running") {
				o, s = Running(age), Running(age*factor)
			}
			rows, scaled = append(rows, o), append(scaled, s)
		}
		for _, d := range []Distribution{Weibull, Lognormal, Exponential} {
			a, err := Fit(rows, d)
			if err != nil {
				continue // three equal ages
			}
			b, err := Fit(scaled, d)
			if err != nil {
				t.Fatal(err)
			}
			if math.Abs(b.Scale/a.Scale/factor-1) > 1e-6 || math.Abs(b.Shape/a.Shape-1) > 1e-6 {
				t.Fatalf("%s: %v %v against %v %v", d, a.Shape, a.Scale*factor, b.Shape, b.Scale)
			}
			if math.Abs(b.LogLikelihood-a.LogLikelihood+a.Failures*math.Log(factor)) > 1e-6 {
				t.Fatalf("%s: log-likelihood %v %v", d, a.LogLikelihood, b.LogLikelihood)
			}
		}
	})
}
