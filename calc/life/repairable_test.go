package life

import (
	"math"
	"testing"
)

// Sources as in the rows; computed values agree with them.
func TestPowerLaw(t *testing.T) {
	ages := func(file string) []float64 {
		var list []float64
		for _, r := range table(t, file) {
			list = append(list, num(t, r["cumulative_hours"]))
		}
		return list
	}
	prototypes := ages("nhpp_two_prototypes.csv")
	var between []float64 // published test data of an open reliability library
	sum := 0.0
	for _, v := range []float64{104, 131, 1597, 59, 4, 503, 157, 6, 118, 173, 114, 62, 101, 216, 106, 140, 1, 102, 3, 393, 96, 232, 89, 61, 37, 293, 7, 165, 87, 99} {
		sum += v
		between = append(between, sum)
	}
	none := math.NaN()
	for _, c := range []struct {
		name                                           string
		s                                              System
		beta, lambda, unbiased, intensity, mtbf, cumul float64
		low, high, stat, laplace                       float64
	}{
		// reliability growth reference page; beta 0.6142, lambda 0.4239 from memory
		{"two prototypes", System{prototypes, 620}, 0.614210, 0.423942, 0.558373, 0.02179456, 45.8830, 28.1818, 0.392872, 0.811372, 71.63669, -2.783160},
		// the same, watched to a time just after the last failure
		{"two prototypes by time", System{prototypes, 620 * (1 + 1e-9)}, 0.614210, 0.423942, 0.586292, 0.02179456, 45.8830, 28.1818, 0.415813, 0.844272, 71.63669, none},
		// test file of an open Python reliability library: beta 0.741656619656656, lambda 0.0007886414235385733, MTBF 45937.70094814556
		{"library", System{[]float64{10400, 26900, 43400, 66400, 89400, 130400, 163400, 232000, 242000, 340700}, 340700}, 0.741656619656656, 0.0007886414235385733, 0.593325, 2.1768612e-05, 45937.70094814556, 34070, 0.348225, 1.070555, 26.96666, -1.792379},
		// NIST/SEMATECH e-Handbook 8.1.7 and 8.4.5, data from memory
		{"ten failures", System{ages("nhpp_ten_failures.csv"), 1500}, 0.537229, 0.19665822, 0.483506, 0.003581526, 279.2106, 150, 0.291468, 0.843730, 37.22808, -1.326949},
		// the same library's times between failures
		{"between failures", System{between, sum}, 1.5880533881, 3.70272885e-05, none, none, none, none, none, none, none, 2.4094382960},
	} {
		p, err := FitPowerLaw([]System{c.s})
		if err != nil {
			t.Fatal(err)
		}
		check := func(what string, got, want float64) {
			t.Helper()
			if !math.IsNaN(want) {
				near(t, c.name+" "+what, got, want, 1e-5, 0)
			}
		}
		check("beta", p.Beta, c.beta)
		check("lambda", p.Lambda, c.lambda)
		check("unbiased", p.BetaUnbiased, c.unbiased)
		check("intensity", p.Intensity, c.intensity)
		check("MTBF", p.MTBF, c.mtbf)
		check("cumulative", p.Cumulative, c.cumul)
		low, high, err := p.BetaBounds(0.90)
		if err != nil {
			t.Fatal(err)
		}
		check("low", low, c.low)
		check("high", high, c.high)
		check("trend statistic", p.TrendStatistic, c.stat)
		check("Laplace", p.Laplace, c.laplace)
		// several ends: the general equation gives the closed form when they are one
		near(t, c.name+" equation", betaSeveralEnds([]System{c.s}, float64(len(c.s.Events)), c.s.End), p.Beta, 1e-9, 0)
	}
}

// Nelson & Doganaksoy 1989 (M as Meeker & Escobar print it, from memory), and
// test data of an open reliability library, whose sum of M over single events
// is 22.8333333; standard errors computed with R 4.2.2.
func TestMeanCumulative(t *testing.T) {
	systems := func(file, unit, age string) []System {
		at := map[string]int{}
		var list []System
		for _, r := range table(t, file) {
			i, ok := at[r[unit]]
			if !ok {
				i = len(list)
				at[r[unit]] = i
				list = append(list, System{})
			}
			if r["event"] == "end" {
				list[i].End = num(t, r[age])
			} else {
				list[i].Events = append(list[i].Events, num(t, r[age]))
			}
		}
		return list
	}
	points, err := MeanCumulative(systems("mcf_valve_seats.csv", "unit", "days"), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	byAge := map[float64]CountPoint{}
	for _, p := range points {
		byAge[p.Age] = p
	}
	for _, c := range []struct{ age, risk, m, se float64 }{
		{61, 41, .02439024, .02409097}, {139, 41, .21951220, .07326981}, {323, 41, .48780488, .10973957}, {404, 40, .68353659, .13593896},
		{573, 40, .95853659, .16895814}, {604, 22, 1.05971869, .18506099}, {640, 16, 1.24354221, .22632442}, {646, 13, 1.32046529, .22850516}, {653, 9, 1.54268751, .31165608},
	} {
		p := byAge[c.age]
		near(t, "at risk", float64(p.AtRisk), c.risk, 0, 0)
		near(t, "M", p.Mean, c.m, 0, 1e-7)
		near(t, "se", p.SE, c.se, 1e-4, 0)
	}
	points, err = MeanCumulative(systems("mcf_five_systems.csv", "system", "time"), 0.95)
	if err != nil {
		t.Fatal(err)
	}
	want := []struct{ age, m float64 }{{5, .2}, {6, .4}, {10, .6}, {12, .8}, {13, 1.2}, {15, 1.6}, {16, 1.8}, {17, 2.0}, {20, 2.333333}, {22, 2.666667}, {25, 3.666667}}
	if len(points) != len(want) {
		t.Fatalf("%d points", len(points))
	}
	for i, w := range want {
		near(t, "age", points[i].Age, w.age, 0, 0)
		near(t, "M", points[i].Mean, w.m, 0, 5e-7)
	}
	last := points[len(points)-1]
	near(t, "se at 25", last.SE, .38103174, 1e-4, 0)
	near(t, "low at 25", last.Low, 2.991000, 1e-4, 0)
	near(t, "high at 25", last.High, 4.494966, 1e-4, 0)
}
