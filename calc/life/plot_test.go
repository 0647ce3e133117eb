package life

import (
	"testing"
)

// Median ranks: R 4.2.2 qbeta, the same as the published tables (from memory).
func TestMedianRanks(t *testing.T) {
	exact := map[int][]float64{
		5:  {.12944944, .31381017, .50000000, .68618983, .87055056},
		8:  {.08299596, .20113119, .32051897, .44015520, .55984480, .67948103, .79886881, .91700404},
		10: {.06696701, .16226273, .25857472, .35509997, .45169416, .54830584, .64490003, .74142528, .83773727, .93303299},
	}
	bernard := map[int][]float64{
		5:  {.12962963, .31481481, .50000000, .68518519, .87037037},
		8:  {.08333333, .20238095, .32142857, .44047619, .55952381, .67857143, .79761905, .91666667},
		10: {.06730769, .16346154, .25961538, .35576923, .45192308, .54807692, .64423077, .74038462, .83653846, .93269231},
	}
	for n := range exact {
		for i := range exact[n] {
			near(t, "median rank", MedianRank(float64(i+1), float64(n)), exact[n][i], 0, 1e-7)
			near(t, "Bernard", BernardRank(float64(i+1), float64(n)), bernard[n][i], 0, 1e-7)
		}
	}
	for _, c := range []struct{ i, p, want float64 }{{1, .05, .00511620}, {1, .95, .25886555}, {5, .05, .22244110}, {5, .95, .69646279}} {
		near(t, "rank", RankAt(c.i, 10, c.p), c.want, 0, 1e-7)
	}
}

// Adjusted ranks and rank regression. The first data follow a teaching example
// (Abernethy, The New Weibull Handbook, from memory); computed with an
// independent program.
func TestRankRegression(t *testing.T) {
	for _, c := range []struct {
		name               string
		rows               []Observation
		ranks              []float64
		xb, xe, yb, ye, r2 float64
	}{
		{"small", []Observation{Running(10), Running(30), Failed(45), Failed(49), Running(82), Failed(90), Failed(96), Running(100)},
			[]float64{1.285714, 2.571429, 4.178571, 5.785714}, 2.508141, 95.12538, 2.155205, 100.97695, 0.859284},
		{"handbook", lives(t, "weibull_nist_handbook.csv"), []float64{1, 2, 3, 4, 5, 6, 7, 8, 9, 10},
			1.625963, 601.95989, 1.457519, 667.33636, 0.896404},
		{"bearings", lives(t, "weibull_ball_bearings.csv"), nil, 2.247746, 80.96782, 2.181060, 81.57330, 0.970332},
		{"shock absorbers", lives(t, "weibull_shock_absorber.csv"),
			[]float64{1, 2.085714, 3.452910, 4.874794, 6.499804, 8.124813, 10.499828, 13.666513, 16.833199, 20.527666, 25.145750},
			2.753265, 28554.796, 2.726169, 28720.450, 0.990159},
	} {
		points, err := Ranks(c.rows)
		if err != nil {
			t.Fatal(err)
		}
		for i, want := range c.ranks {
			near(t, c.name+" rank", points[i].Rank, want, 0, 1e-6)
		}
		x, err := RankRegression(points, true)
		if err != nil {
			t.Fatal(err)
		}
		y, err := RankRegression(points, false)
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.name+" x beta", x.Beta, c.xb, 1e-5, 0)
		near(t, c.name+" x eta", x.Eta, c.xe, 1e-5, 0)
		near(t, c.name+" y beta", y.Beta, c.yb, 1e-5, 0)
		near(t, c.name+" y eta", y.Eta, c.ye, 1e-5, 0)
		near(t, c.name+" r²", x.RSquared, c.r2, 0, 1e-6)
	}
}

// Weibayes: ages 1500 1750 2250 4000 4300 5000 7000; computed with scipy 1.10.
func TestWeibayes(t *testing.T) {
	for _, c := range []struct{ beta, eta, low90, low95, eta0, low95of0 float64 }{
		{1, 12900, 4847.510, 4097.974, 25800, 8612.252},
		{2, 7709.2477, 4725.8126, 4345.1198, 10902.5226, 6299.0564},
		{3, 6809.9623, 4914.2175, 4646.6277, 8580.0149, 5951.8737},
	} {
		var two, none []Observation
		for i, age := range []float64{1500, 1750, 2250, 4000, 4300, 5000, 7000} {
			none = append(none, Running(age))
			if i < 2 {
				two = append(two, Failed(age))
			} else {
				two = append(two, Running(age))
			}
		}
		w, err := Weibayes(two, c.beta)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "eta", w.Eta, c.eta, 1e-6, 0)
		low90, _ := w.Low(0.90)
		low95, _ := w.Low(0.95)
		near(t, "low 90", low90, c.low90, 1e-6, 0)
		near(t, "low 95", low95, c.low95, 1e-6, 0)
		z, err := Weibayes(none, c.beta)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "eta, none failed", z.Eta, c.eta0, 1e-6, 0)
		low95, _ = z.Low(0.95)
		near(t, "low 95, none failed", low95, c.low95of0, 1e-6, 0)
		if high, _ := z.High(0.95); high != nil || !z.Assumed {
			t.Error("none failed: there is no upper bound and it must be said")
		}
	}
	exact, units, err := UnitsWithoutFailure(0.9, 0.9, 1, 2)
	near(t, "units", exact, 21.854, 0, 1e-3)
	if units != 22 || err != nil {
		t.Error(units, err)
	}
	exact, units, _ = UnitsWithoutFailure(0.9, 0.9, 1.5, 2)
	near(t, "units at 1.5 lives", exact, 9.713, 0, 1e-3)
	if units != 10 {
		t.Error(units)
	}
}
