package metrology

import (
	"encoding/csv"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

func close(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: got %v, want %v within %v", what, got, want, within)
	}
}

func readCSV(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// Twenty readings of a temperature. Source: JCGM 100:2008, 4.4.3 and Table 1,
// from memory; recomputed with R 4.2.2. Printed: 100.14 or 100.145, 1.489,
// 0.333 °C.
func TestTypeA(t *testing.T) {
	var readings []float64
	for _, row := range readCSV(t, "type_a_temperature.csv") {
		v, err := strconv.ParseFloat(row[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		readings = append(readings, v)
	}
	s, err := TypeA(readings)
	if err != nil {
		t.Fatal(err)
	}
	close(t, "mean", s.Mean, 100.145, 0.0005)
	close(t, "standard deviation", s.SD, 1.48884, 1e-4)
	close(t, "of the mean", s.U, 0.332916, 1e-5)
	if s.N != 20 || s.DOF != 19 {
		t.Errorf("n %v, dof %v", s.N, s.DOF)
	}
}

// Source: JCGM 100:2008, F.2.2.1, 4.3.7, 4.3.9, by definition.
func TestShapes(t *testing.T) {
	close(t, "step", OfResolution(0.01), 0.00288675, 1e-8)
	for _, c := range []struct {
		shape Shape
		want  float64
		tol   float64
	}{{Rectangular, 0.0115470, 1e-7}, {Triangular, 0.00816497, 1e-8}, {Arcsine, 0.0141421, 1e-7}, {NormalK2, 0.01, 1e-15}} {
		got, err := OfHalfWidth(0.02, c.shape)
		if err != nil {
			t.Fatal(err)
		}
		close(t, string(c.shape), got, c.want, c.tol)
	}
	if _, err := OfHalfWidth(0.02, "flat"); err == nil {
		t.Error("an unknown shape was taken")
	}
	if _, err := OfHalfWidth(-1, Rectangular); err == nil {
		t.Error("a negative width was taken")
	}
}

// Three factors with relative uncertainties of 0.25, 0.57 and 0.82 % from 10,
// 5 and 15 readings. Source: JCGM 100:2008, G.4.1 example, from memory;
// recomputed. Printed: 1.03 %, 19.0; the text rounds ν to 19 and gets 2.2 %
// where cutting down to 18 gives 2.163 %.
func TestWelchSatterthwaite(t *testing.T) {
	c, err := Budget{Parts: []Part{{"x1", 0.25, 1, 9}, {"x2", 0.57, 1, 4}, {"x3", 0.82, 1, 14}}}.Combine(0.95)
	if err != nil {
		t.Fatal(err)
	}
	close(t, "combined", c.U, 1.02947, 1e-4)
	close(t, "effective dof", c.DOF, 18.9987, 1e-3)
	close(t, "dof used", c.DOFUsed, 18, 0)
	close(t, "t(18)", c.K, 2.10092, 1e-5)
	close(t, "expanded", c.Expanded, 2.16283, 1e-4)
	k19, _ := CoverageFactor(0.95, 19)
	close(t, "t(19)", k19, 2.09302, 1e-5)
	close(t, "expanded with 19, printed", k19*c.U, 2.2, 0.05)
	if len(c.Warnings) != 1 {
		t.Errorf("cutting down is not said: %v", c.Warnings)
	}
	if err := c.Working().Check(); err != nil {
		t.Error(err)
	}
	k, dof := CoverageFactor(0.95, math.Inf(1))
	close(t, "normal quantile", k, 1.959964, 1e-6)
	if !math.IsInf(dof, 1) {
		t.Errorf("dof %v", dof)
	}
}

// Gauge block. Inputs: R package metRology 0.9-29-2, data set GUM.H.1. Results:
// JCGM 100 H.1 as repeated in the documentation of the Python library GTC;
// computed for the rounded inputs; from memory where marked.
func TestGaugeBlock(t *testing.T) {
	d, err := Budget{Parts: []Part{{"repeats", 5.8, 1, 24}, {"random effects", 3.9, 1, 5}, {"systematic effects", 6.7, 1, 8}}}.Combine(0.99)
	if err != nil {
		t.Fatal(err)
	}
	close(t, "u(d), nm", d.U, 9.682, 0.1)
	close(t, "dof of d (GUM prints 25.6, from memory)", d.DOF, 25.447, 0.3)
	const ls, alpha, theta = 50000623.0, 11.5e-6, -0.1
	c, err := Budget{Parts: []Part{
		{"standard", 25, 1, 18},
		{"difference", d.U, 1, d.DOF},
		{"difference of expansions", 0.58e-6, -ls * theta, 50},
		{"difference of temperatures", 0.029, -ls * alpha, 2},
		{"expansion", 1.2e-6, 0, 0},
		{"temperature", 0.41, 0, 0},
	}}.Combine(0.99)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []float64{25, 9.682, 2.900, 16.675, 0, 0} {
		close(t, c.Budget.Parts[i].Name, c.Contributions[i], want, 0.1)
	}
	close(t, "combined, printed 32", c.U, 31.705, 0.1)
	close(t, "dof, 16.645 for the rounded inputs", c.DOF, 16.645, 0.2)
	close(t, "t(0.995, 16)", c.K, 2.92078, 1e-4)
	close(t, "expanded at 99 %, printed 93, from memory", c.Expanded, 92.6, 1)

	model := func(x []float64) float64 { return x[0] + x[1] - x[0]*(x[2]*x[3]+x[4]*x[5]) }
	p, err := Propagate(model, []float64{ls, 215, 0, theta, alpha, 0}, []float64{25, d.U, 0.58e-6, 0.41, 1.2e-6, 0.029})
	if err != nil {
		t.Fatal(err)
	}
	close(t, "length, nm", p.Value, 50000838, 0.5)
	close(t, "combined from the model", p.U, 31.705, 0.1)
	close(t, "with second-order terms, printed 34", p.USecond, 33.906, 0.1)
}

// A bore reading: calibration 0.001 mm, step 0.01 mm, mean of 3 repeats with
// s = 0.004 mm, 50 mm of steel known to ± 2 K. Computed with R 4.2.2.
func TestBoreBudget(t *testing.T) {
	temperature, err := OfHalfWidth(2, Rectangular)
	if err != nil {
		t.Fatal(err)
	}
	c, err := Budget{Parts: []Part{
		{Name: "calibration", U: 0.001, Sensitivity: 1},
		{Name: "step", U: OfResolution(0.01), Sensitivity: 1},
		{Name: "repeat", U: 0.004 / math.Sqrt(3), Sensitivity: 1, DOF: 2},
		{Name: "temperature", U: temperature, Sensitivity: 50 * 11.5e-6},
	}}.Combine(0.95)
	if err != nil {
		t.Fatal(err)
	}
	close(t, "u, mm", c.U, 0.00388684, 1e-7)
	close(t, "dof", c.DOF, 16.048, 1e-3)
	close(t, "k", c.K, 2.11991, 1e-5)
	close(t, "U, mm", c.Expanded, 0.0082397, 1e-6)
}

// The variance of a + b with correlation ρ is u_a² + u_b² + 2ρ u_a u_b, by
// definition (JCGM 100:2008, (16)); fully correlated parts add like lengths.
func TestCorrelatedBudget(t *testing.T) {
	for rho, want := range map[float64]float64{1: 7, -1: 1, 0: 5} {
		c, err := Budget{Parts: []Part{{"a", 3, 1, 0}, {"b", 4, 1, 0}}, Correlations: []Correlation{{0, 1, rho}}}.Combine(0.95)
		if err != nil {
			t.Fatal(err)
		}
		close(t, "u", c.U, want, 1e-12)
		close(t, "shares", c.Shares[0]+c.Shares[1], 1, 1e-12)
	}
	// Three parts that all oppose each other fully cannot be.
	parts := []Part{{"a", 1, 1, 0}, {"b", 1, 1, 0}, {"c", 1, 1, 0}}
	if _, err := (Budget{Parts: parts, Correlations: []Correlation{{0, 1, -1}, {0, 2, -1}, {1, 2, -1}}}).Combine(0.95); say.AsProblem(err) == nil {
		t.Errorf("impossible correlations: %v", err)
	}
}

func TestBudgetRefuses(t *testing.T) {
	one := []Part{{"a", 1, 1, 0}}
	cases := []struct {
		b          Budget
		confidence float64
		field      string
	}{
		{Budget{}, 0.95, "parts"},
		{Budget{Parts: []Part{{"a", -1, 1, 0}}}, 0.95, "parts[0].u"},
		{Budget{Parts: []Part{{"a", math.NaN(), 1, 0}}}, 0.95, "parts[0].u"},
		{Budget{Parts: []Part{{"a", 1, math.Inf(1), 0}}}, 0.95, "parts[0].sensitivity"},
		{Budget{Parts: []Part{{"a", 1, 1, 0.5}}}, 0.95, "parts[0].dof"},
		{Budget{Parts: one}, 1, "confidence"},
		{Budget{Parts: one, Correlations: []Correlation{{0, 0, 1}}}, 0.95, "correlation[0]"},
		{Budget{Parts: one, Correlations: []Correlation{{0, 1, 2}}}, 0.95, "correlation[0]"},
	}
	for _, c := range cases {
		_, err := c.b.Combine(c.confidence)
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("want a refusal of %s, got %v", c.field, err)
		}
	}
}

// Laws: shares add to one, more parts never make u smaller, ν_eff lies between
// the smallest ν and the sum of all (JCGM 100:2008, G.4.1).
func TestBudgetLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		var b Budget
		least, total := math.Inf(1), 0.0
		for range n {
			p := Part{"x", rapid.Float64Range(1e-6, 10).Draw(t, "u"), rapid.Float64Range(-3, 3).Draw(t, "c"), float64(rapid.IntRange(1, 30).Draw(t, "ν"))}
			if p.Sensitivity == 0 {
				p.Sensitivity = 1
			}
			least, total = math.Min(least, p.DOF), total+p.DOF
			b.Parts = append(b.Parts, p)
		}
		c, err := b.Combine(0.95)
		if err != nil {
			t.Fatal(err)
		}
		shares := 0.0
		for _, s := range c.Shares {
			shares += s
		}
		if math.Abs(shares-1) > 1e-9 || c.DOF < least*(1-1e-9) || c.DOF > total*(1+1e-9) || c.K < 1.95 {
			t.Fatalf("%+v", c)
		}
		b.Parts = append(b.Parts, Part{"y", 1, 1, 0})
		more, err := b.Combine(0.95)
		if err != nil || more.U < c.U {
			t.Fatalf("u fell from %v to %v (%v)", c.U, more.U, err)
		}
	})
}

func add(x []float64) float64 {
	total := 0.0
	for _, v := range x {
		total += v
	}
	return total
}

// Source: JCGM 101:2008, 9.2.2 to 9.2.4, from memory; exact values where
// known: 9.2.3 has ± 2√3 (2 − (3/5)^¼), 9.2.4 by Fourier inversion.
func TestMonteCarloSums(t *testing.T) {
	root3 := math.Sqrt(3)
	unit := Uniform{-root3, root3}
	normal := Normal{0, 1}
	cases := []struct {
		name    string
		inputs  []Distribution
		u, high float64
		within  float64
	}{
		{"9.2.2", []Distribution{normal, normal, normal, normal}, 2, 3.91993, 0.02},
		{"9.2.3", []Distribution{unit, unit, unit, unit}, 2, 2 * root3 * (2 - math.Pow(0.6, 0.25)), 0.02},
		{"9.2.4", []Distribution{unit, unit, unit, Uniform{-10 * root3, 10 * root3}}, 10.1489, 17.0158, 0.05},
	}
	for _, c := range cases {
		s, err := MonteCarlo(c.inputs, add, 400_000, 0.95, rand.NewPCG(1, 2))
		if err != nil {
			t.Fatal(err)
		}
		close(t, c.name+" u", s.U, c.u, c.within)
		close(t, c.name+" low", s.Low, -c.high, c.within)
		close(t, c.name+" high", s.High, c.high, c.within)
	}
}

// Gauge block with the distributions of JCGM 101:2008, 9.5: 838, 36 and
// [745, 932] nm as repeated in an open paper on digital calibration
// certificates; 838.0, 35.81 and [744.2, 931.7] recomputed with 4e6 draws.
func TestMonteCarloGaugeBlock(t *testing.T) {
	inputs := []Distribution{
		Student{50000623, 25, 18}, Student{215, 6, 24}, Student{0, 4, 5}, Student{0, 7, 8},
		Uniform{9.5e-6, 13.5e-6}, Normal{-0.1, 0.2}, ArcsineBetween{-0.5, 0.5},
		UniformInexact{-1e-6, 1e-6, 0.1e-6}, UniformInexact{-0.05, 0.05, 0.025},
	}
	const nominal = 50e6
	model := func(x []float64) float64 {
		ls, d, alpha, theta := x[0], x[1]+x[2]+x[3], x[4], x[5]+x[6]
		return ls*(1+x[7]*theta)*1 - ls*(2*x[7]*theta+alpha*x[8]) + d - nominal
	}
	s, err := MonteCarlo(inputs, model, 400_000, 0.99, rand.NewPCG(3, 4))
	if err != nil {
		t.Fatal(err)
	}
	close(t, "mean", s.Mean, 838, 0.5)
	close(t, "u", s.U, 35.81, 0.2)
	close(t, "low", s.Low, 744.2, 2.5)
	close(t, "high", s.High, 931.7, 2.5)
}

// The same source gives the same answer, another one a slightly different one.
func TestMonteCarloSeed(t *testing.T) {
	run := func(seed uint64) Spread {
		s, err := MonteCarlo([]Distribution{Normal{0, 1}, TriangularBetween{-1, 1}}, add, 1000, 0.95, rand.NewPCG(seed, 0))
		if err != nil {
			t.Fatal(err)
		}
		return s
	}
	if run(1) != run(1) || run(1) == run(2) {
		t.Error("the seed does not decide the answer")
	}
	if _, err := MonteCarlo(nil, add, 10, 0.95, rand.NewPCG(1, 0)); say.AsProblem(err) == nil {
		t.Errorf("ten draws: %v", err)
	}
}

// Source: NIST/SEMATECH e-Handbook 2.4.4 (mpc444), sums of squares of five
// probes with 60 degrees of freedom each; s recomputed.
func TestPooledSD(t *testing.T) {
	s, dof, err := PooledSD([]float64{0.48115, 0.69209, 0.48483, 1.21752, 0.30076}, []float64{60, 60, 60, 60, 60})
	if err != nil {
		t.Fatal(err)
	}
	close(t, "s", s, 0.102898, 1e-6)
	close(t, "dof", dof, 300, 0)
}

func BenchmarkMonteCarlo100k(b *testing.B) {
	inputs := []Distribution{Normal{0, 1}, Uniform{-1, 1}, Student{0, 1, 5}, Normal{0, 2}}
	for b.Loop() {
		if _, err := MonteCarlo(inputs, add, 100_000, 0.95, rand.NewPCG(1, 1)); err != nil {
			b.Fatal(err)
		}
	}
}
