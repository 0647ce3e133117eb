package life

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
)

// million are invented lives: Weibull β 1.7, η 9000 h, a third of them watched
// to an age before failure.
func million() []Observation {
	random := rand.New(rand.NewPCG(1, 2))
	rows := make([]Observation, 1_000_000)
	for i := range rows {
		age := 9000 * math.Pow(random.ExpFloat64(), 1/1.7)
		if end := 25000 * random.Float64(); end < age {
			rows[i] = Running(end)
		} else {
			rows[i] = Failed(age)
		}
	}
	return rows
}

func BenchmarkFitMillion(b *testing.B) {
	rows := million()
	b.ResetTimer()
	for b.Loop() {
		fit(b, rows, Weibull)
	}
}

func BenchmarkFitMillionWithBounds(b *testing.B) {
	rows := million()
	b.ReportAllocs()
	for b.Loop() {
		f := fit(b, rows, Weibull)
		for _, target := range []Target{TheShape(), TheScale(), TheAge(0.1)} {
			if _, err := f.Ratio(target, 0.95); err != nil {
				b.Fatal(err)
			}
		}
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(float64(m.Sys)/1e6, "MB-from-system")
}

// The start on a sample and the cores do not change the answer.
func TestMillionFindsTruth(t *testing.T) {
	rows := million()
	f := fit(t, rows, Weibull)
	near(t, "beta", f.Shape, 1.7, 0, 5*f.ShapeSE)
	near(t, "eta", f.Scale, 9000, 0, 5*f.ScaleSE)
	near(t, "score µ", f.atMaximum.mu, 0, 0, 1e-4)
	near(t, "score τ", f.atMaximum.tau, 0, 0, 1e-4)
	before := runtime.GOMAXPROCS(1)
	g := fit(t, rows, Weibull)
	runtime.GOMAXPROCS(before)
	if f.Shape != g.Shape || f.Scale != g.Scale || f.LogLikelihood != g.LogLikelihood {
		t.Error("one core and many give different answers")
	}
}
