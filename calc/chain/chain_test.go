package chain

import (
	"math"
	"runtime"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func near(t *testing.T, name string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.9g, want %.9g ± %.2g", name, got, want, tolerance)
	}
}

func endChain() Chain {
	return Chain{Dimension: quantity.LengthDimension, Links: []Link{
		{Name: "casing depth", Value: 86.02e-3, U: 6e-6, Sensitivity: 1},
		{Name: "rotor height", Value: 80.44e-3, U: 5e-6, Sensitivity: -1},
		{Name: "boss", Value: 6.02e-3, U: 6e-6, Sensitivity: -1},
		{Name: "gaskets", Value: 0.57e-3, U: 10e-6, Sensitivity: 1},
	}}
}

func TestSolve(t *testing.T) {
	normal := func(n int, u ...float64) Chain {
		c := Chain{}
		for i := range n {
			c.Links = append(c.Links, Link{Name: string(rune('a' + i)), U: u[i%len(u)], Sensitivity: 1})
		}
		return c
	}
	tests := []struct {
		name, source string
		chain        Chain
		u, tolerance float64
	}{
		{"end clearance of four links, u 6, 5, 6 and 10 µm", "computed with numpy 1.24.2, independent prototype of the same equations", endChain(), 14.0357e-6, 14e-9},
		{"four standard normals", "JCGM 101:2008, 9.2.2 (from memory; exact)", normal(4, 1), 2, 1e-12},
	}
	for _, tt := range tests {
		r, err := tt.chain.Solve()
		if err != nil {
			t.Fatal(tt.name, err)
		}
		near(t, tt.name+" ("+tt.source+")", r.U, tt.u, tt.tolerance)
		total := 0.0
		for _, c := range r.Contributions {
			total += c.Share
		}
		near(t, tt.name+": shares", total, 1, 1e-12)
	}
}

// One micrometer's zero error enters casing depth − rotor height − boss as
// +1 −1 −1, so one of three is left (arithmetic of JCGM 100:2008, F.1.2.3).
func TestSharedZeroError(t *testing.T) {
	c := endChain()
	for i := range 3 {
		c.Links[i].Group, c.Links[i].Common = "depth micrometer", 4e-6
	}
	r, err := c.Solve()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "u", r.U*1e6, math.Sqrt(197-3*16+16), 1e-9)
	s, err := c.Sample(200_000, 7)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "drawn u", s.U/r.U, 1, 0.01)
}

func TestSample(t *testing.T) {
	rectangular := func(halfWidths ...float64) Chain {
		var c Chain
		for i, h := range halfWidths {
			c.Links = append(c.Links, Link{Name: string(rune('a' + i)), Shape: Rectangular, Low: -h, High: h, Sensitivity: 1})
		}
		return c
	}
	r3 := math.Sqrt(3)
	tests := []struct {
		name, source     string
		chain            Chain
		u, high, uTol, t float64
	}{
		{"four standard normals", "JCGM 101:2008, 9.2.2 (from memory; exact)",
			Chain{Links: []Link{{Name: "a", U: 1, Sensitivity: 1}, {Name: "b", U: 1, Sensitivity: 1}, {Name: "c", U: 1, Sensitivity: -1}, {Name: "d", U: 1, Sensitivity: 1}}},
			2, 3.91993, 0.02, 0.02},
		{"four rectangular, u 1", "JCGM 101:2008, 9.2.3 (from memory; interval 2√3·(2−(3/5)^¼) exact)", rectangular(r3, r3, r3, r3), 2, 3.87941, 0.02, 0.02},
		{"three rectangular u 1, one u 10", "JCGM 101:2008, 9.2.4 (from memory; 17.0158 by Fourier inversion)", rectangular(r3, r3, r3, 10*r3), 10.1489, 17.0158, 0.05, 0.05},
		{"end clearance", "computed with numpy 1.24.2, 200 000 draws", endChain(), 14.011e-6, 1.959964 * 14.0357e-6, 0.14e-6, 0.2e-6},
	}
	const draws = 1_000_000 // the interval's end then scatters by a quarter of its tolerance
	for _, tt := range tests {
		s, err := tt.chain.Sample(draws, 1)
		if err != nil {
			t.Fatal(err)
		}
		r, _ := tt.chain.Solve()
		near(t, tt.name+" u", s.U, tt.u, tt.uTol)
		near(t, tt.name+" high", s.High-r.Value, tt.high, tt.t)
		near(t, tt.name+" low", s.Low-r.Value, -tt.high, tt.t)
		near(t, tt.name+" mean", s.Mean, r.Value, 4*tt.u/math.Sqrt(draws))
	}
}

// The same seed gives the same draws, whatever the number of cores; the draws
// agree with the law of propagation.
func TestSampleLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := randomChain(t)
		r, err := c.Solve()
		if err != nil {
			t.Fatal(err)
		}
		seed := rapid.Uint64().Draw(t, "seed")
		a, err := c.Sample(40_000, seed)
		if err != nil {
			t.Fatal(err)
		}
		b, _ := c.Sample(40_000, seed)
		if *a != *b {
			t.Fatal("two runs of one seed differ")
		}
		if math.Abs(a.U-r.U) > 0.03*r.U+1e-15 {
			t.Fatalf("drawn u %g, law %g", a.U, r.U)
		}
		if a.Low > a.Mean || a.Mean > a.High {
			t.Fatalf("mean %g outside %g…%g", a.Mean, a.Low, a.High)
		}
		total := 0.0
		for _, s := range r.Contributions {
			total += s.Share
		}
		if r.U > 1e-100 && math.Abs(total-1) > 1e-9 {
			t.Fatalf("shares add to %g", total)
		}
	})
}

func TestSampleOnAnyNumberOfCores(t *testing.T) {
	many, err := endChain().Sample(300_000, 5)
	if err != nil {
		t.Fatal(err)
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := endChain().Sample(300_000, 5)
	if err != nil {
		t.Fatal(err)
	}
	if *one != *many {
		t.Errorf("one core %+v, many %+v", one, many)
	}
}

func randomChain(t *rapid.T) Chain {
	var c Chain
	n := rapid.IntRange(1, 6).Draw(t, "links")
	for i := range n {
		l := Link{Name: string(rune('a' + i)), Sensitivity: rapid.SampledFrom([]float64{-2, -1, -0.5, 0.5, 1, 3}).Draw(t, "c")}
		if rapid.Bool().Draw(t, "rectangular") {
			l.Shape, l.Low = Rectangular, rapid.Float64Range(-1, 1).Draw(t, "low")
			l.High = l.Low + rapid.Float64Range(0.01, 2).Draw(t, "width")
		} else {
			l.Value = rapid.Float64Range(-5, 5).Draw(t, "x")
			l.U = rapid.Float64Range(0, 1).Draw(t, "u")
			if rapid.Bool().Draw(t, "shared") {
				l.Group, l.Common = "gauge", l.U*rapid.Float64Range(0, 1).Draw(t, "common")
			}
		}
		c.Links = append(c.Links, l)
	}
	return c
}

func TestRefusals(t *testing.T) {
	tests := []struct {
		field string
		spoil func(c *Chain)
	}{
		{"links", func(c *Chain) { c.Links = nil }},
		{"links[1].u", func(c *Chain) { c.Links[1].U = -1 }},
		{"links[1].u", func(c *Chain) { c.Links[1].U = math.NaN() }},
		{"links[0].value", func(c *Chain) { c.Links[0].Value = math.Inf(1) }},
		{"links[2].name", func(c *Chain) { c.Links[2].Name = "rotor height" }},
		{"links[3].low", func(c *Chain) { c.Links[3].Shape, c.Links[3].Low, c.Links[3].High = Rectangular, 2, 1 }},
		{"links[3].common", func(c *Chain) { c.Links[3].Group, c.Links[3].Common = "g", 1 }},
		{"links[3].common", func(c *Chain) { c.Links[3].Common = 1e-6 }},
		{"correlation[0].a", func(c *Chain) { c.Correlations = []Correlation{{"nobody", "boss", 0.5}} }},
		{"correlation[0].rho", func(c *Chain) { c.Correlations = []Correlation{{"casing depth", "boss", 1.5}} }},
		{"correlation", func(c *Chain) {
			c.Correlations = []Correlation{{"casing depth", "boss", 0.9}, {"casing depth", "rotor height", 0.9}, {"boss", "rotor height", -0.9}}
		}},
	}
	for _, tt := range tests {
		c := endChain()
		tt.spoil(&c)
		_, err := c.Solve()
		if p := say.AsProblem(err); p == nil || p.Field != tt.field {
			t.Errorf("want %s refused, got %v", tt.field, err)
		}
	}
	if _, err := endChain().Sample(10, 1); say.AsProblem(err) == nil {
		t.Error("ten draws were accepted")
	}
}

func TestCold(t *testing.T) {
	mm := func(v, u float64) *Reading {
		return &Reading{Value: quantity.Length(v * 1e-3), U: quantity.Length(u * 1e-3)}
	}
	r := Readings{
		CasingDepth: mm(86.02, .006), RotorHeight: mm(80.44, .005), BossProtrusion: mm(6.02, .006), Gaskets: mm(0.57, .010),
		PocketDepth: mm(60, .004), IdlerWidth: mm(59.93, .004), CasingBore: mm(160.25, .01), RotorDiameter: mm(160, .01),
	}
	c, err := r.Cold()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "end", float64(c.End.Value), 0.13e-3, 1e-12)
	near(t, "end u", c.End.U, 14.0357e-6, 1e-9)
	near(t, "float", float64(c.IdlerFloat.Value), 0.20e-3, 1e-12)
	near(t, "radial", float64(c.Radial.Value), 0.125e-3, 1e-12)
	if c.CrescentEnd.Known() || c.CrescentEnd.Unknown.String() != "not known, because the crescent height is missing" {
		t.Errorf("crescent end: %v", c.CrescentEnd.Unknown)
	}
	r.RotorHeight.U = -1
	if _, err := r.Cold(); say.AsProblem(err) == nil || say.AsProblem(err).Field != "rotor_height.u" {
		t.Errorf("got %v", err)
	}
}

// One million draws of the end clearance.
func BenchmarkSampleEndClearance(b *testing.B) {
	c := endChain()
	for b.Loop() {
		if _, err := c.Sample(1_000_000, 1); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSolve(b *testing.B) {
	c := endChain()
	for b.Loop() {
		if _, err := c.Solve(); err != nil {
			b.Fatal(err)
		}
	}
}
