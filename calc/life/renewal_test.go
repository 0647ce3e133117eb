package life

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

// Spares: Blanchard, Logistics Engineering and Management, from memory (stock
// about 8); a maintenance calculator page (about 73 % and 99.6 %); the rest
// computed with scipy 1.10.
func TestSpares(t *testing.T) {
	near(t, "P(N ≤ 7)", poissonCDF(7, 4.32), 0.927496, 0, 1e-6)
	near(t, "P(N ≤ 8)", poissonCDF(8, 4.32), 0.967508, 0, 1e-6)
	near(t, "P(N ≤ 1)", poissonCDF(1, 1), 0.735759, 0, 1e-6)
	near(t, "P(N ≤ 4)", poissonCDF(4, 1), 0.996340, 0, 1e-6)
	for _, c := range []struct {
		mean float64
		want [3]int
	}{{4.32, [3]int{7, 8, 10}}, {0.5, [3]int{1, 2, 3}}, {2.7, [3]int{5, 6, 7}}, {8, [3]int{12, 13, 15}}} {
		for i, level := range []float64{0.90, 0.95, 0.99} {
			s, err := Stock(level, Demand{Rate: c.mean / 100, Units: 4, LeadTime: 25})
			if err != nil || s.Stock != c.want[i] {
				t.Errorf("mean %v level %v: %v %v, want %d", c.mean, level, s, err, c.want[i])
			}
		}
	}
	s, err := Stock(0.95, Demand{Rate: 0.1 / 1000, Units: 20, LeadTime: 90 * 24})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "no wait", s.NoWait, 0.927496, 0, 1e-6)
	near(t, "short", s.ExpectedShort, 0.0532848, 0, 1e-6)
	two, err := Stock(0.95, Demand{0.1 / 1000, 12, 2160}, Demand{0.1 / 1000, 8, 2160})
	if err != nil || two.Stock != s.Stock {
		t.Error("two sites that make the same demand need the same stock", two, err)
	}
}

// The least stock is the least, for small and large means.
func TestStockLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		mean := math.Exp(rapid.Float64Range(-6, 9).Draw(t, "ln mean"))
		level := rapid.Float64Range(0.01, 0.9999).Draw(t, "level")
		s, err := Stock(level, Demand{Rate: mean, Units: 1, LeadTime: 1})
		if err != nil {
			t.Fatal(err)
		}
		if s.Achieved < level || s.Stock > 0 && poissonCDF(s.Stock-1, mean) >= level {
			t.Fatalf("stock %d achieves %v", s.Stock, s.Achieved)
		}
	})
}

// Renewals: computed by Riemann-Stieltjes sums with Richardson's step in an
// independent program; Erlang-2 has a closed form; ages of replacement from
// the first-order condition, and 493.185 and 0.00346204292 published in an
// open reliability library.
func TestRenewals(t *testing.T) {
	for _, c := range []struct{ beta, age, want float64 }{
		{1, 2, 2}, {2, 1, .7536913}, {2, 2, 1.8940393}, {2, 3, 3.0217450}, {3, 2, 1.8010753}, {1.5, 2.5, 2.4997857}, {0.7, 2, 2.0345583},
	} {
		got, err := Renewals(Model{Weibull, c.beta, 1}, c.age)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "M", got, c.want, 0, 1e-6)
		near(t, "M by sums", RenewalsOf(Model{Weibull, c.beta, 1}.Failed, c.age), c.want, 0, 2e-6)
	}
	erlang := func(x float64) float64 { return 1 - math.Exp(-x)*(1+x) }
	for age, want := range map[float64]float64{1: .28383382, 2: .75457891, 5: 2.25001135} {
		near(t, "Erlang", RenewalsOf(erlang, age), want, 0, 1e-8)
	}
	counts, err := RenewalCounts(Model{Weibull, 2.5, 8000}, 26280, 6)
	if err != nil {
		t.Fatal(err)
	}
	for n, want := range []float64{0, .004291, .172632, .624643, .915751, .989652, .999225} {
		near(t, "P(N ≤ n)", counts[n], want, 0, 5e-6)
	}
	r, err := BestAge(Model{Weibull, 2.5, 1000}, 1, 5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "best age", *r.Age, 493.047, 0, 0.01)
	near(t, "cost", r.CostPerHour, 0.00346204274, 0, 1e-9)
	near(t, "run to failure", r.RunToFailure, 0.00563530249, 0, 1e-9)
	interval, err := BestInterval(Model{Weibull, 2.5, 1000}, 1, 5)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "best interval", interval, 446.658, 0, 1e-3)
}

// For large ages M(t) → t/mean + (cv² − 1)/2 (Smith's theorem, Barlow &
// Proschan 1965), and where both ways hold they agree.
func TestRenewalsLaw(t *testing.T) {
	for _, beta := range []float64{0.7, 1, 1.5, 2.5, 4} {
		m := Model{Weibull, beta, 1}
		cv := m.SD() / m.Mean()
		got, err := Renewals(m, 50*m.Mean())
		if err != nil {
			t.Fatal(err)
		}
		near(t, "far out", got, 50+(cv*cv-1)/2, 3e-6, 0)
		if got, err = Renewals(m, 0.8*m.Mean()); err != nil {
			t.Fatal(err)
		}
		near(t, "series and sums", got, RenewalsOf(m.Failed, 0.8*m.Mean()), 3e-6, 0)
	}
}

// One place: computed by convolution (95 % needs 5, see TestRenewals). Parts
// that do not age give the Poisson stock, for one place and for many.
func TestStockForLives(t *testing.T) {
	s, err := StockForLives(0.95, Model{Weibull, 2.5, 8000}, 26280, 1)
	if err != nil {
		t.Fatal(err)
	}
	if s.Stock != 5 {
		t.Errorf("stock %d, want 5", s.Stock)
	}
	near(t, "achieved", s.Achieved, .989652, 0, 5e-6)
	m, err := Renewals(Model{Weibull, 2.5, 8000}, 26280)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", s.MeanDemand, m, 2e-5, 0)
	for _, places := range []int{1, 7, 40} {
		s, err := StockForLives(0.95, Model{Weibull, 1, 5000}, 2000, places)
		if err != nil {
			t.Fatal(err)
		}
		poisson, err := Stock(0.95, Demand{Rate: 1.0 / 5000, Units: float64(places), LeadTime: 2000})
		if err != nil {
			t.Fatal(err)
		}
		if s.Stock != poisson.Stock {
			t.Errorf("%d places: %d, Poisson %d", places, s.Stock, poisson.Stock)
		}
		near(t, "achieved", s.Achieved, poisson.Achieved, 0, 1e-6)
		near(t, "short", s.ExpectedShort, poisson.ExpectedShort, 0, 1e-5)
	}
	for _, f := range []func() error{
		func() error { _, err := StockForLives(0.95, Model{Weibull, 2, 100}, 1e5, 1); return err },
		func() error { _, err := StockForLives(1.5, Model{Weibull, 2, 100}, 100, 1); return err },
		func() error { _, err := StockForLives(0.9, Model{Weibull, 2, 100}, 100, 0); return err },
	} {
		if say.AsProblem(f()) == nil {
			t.Error("not refused")
		}
	}
}
