package due

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/calc/life"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// unitA is the wear of one unit of sliding metal: Meeker & Escobar, Statistical
// Methods for Reliability Data, 1998, metal wear data (as stored in the R
// package SMRD); hundreds of cycles, micron.
var unitA = []life.Reading{
	{Hours: 2, Value: 3.168}, {Hours: 5, Value: 4.063}, {Hours: 10, Value: 4.453}, {Hours: 20, Value: 4.744},
	{Hours: 50, Value: 5.838}, {Hours: 100, Value: 6.786}, {Hours: 200, Value: 7.737}, {Hours: 500, Value: 9.593},
}

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want) > tolerance {
		t.Errorf("%s: %v, want %v ± %v", what, got, want, tolerance)
	}
}

// One part alone: when the fitted line and its upper 95 % one-sided band reach
// 20 micron. Computed with R 4.2 lm and predict on the published data.
func TestOwnReadings(t *testing.T) {
	f, err := Predict(Inputs{Dimension: quantity.LengthDimension, Limit: 20, Rising: true, Current: Segment{Readings: unitA}})
	if err != nil {
		t.Fatal(err)
	}
	if f.Basis != Own {
		t.Fatalf("basis %q", f.Basis)
	}
	near(t, "rate", f.Rate.Slope, 0.01142185, 1e-6)
	near(t, "limit reached", *f.Hours.At, 1354.303, 0.01)
	near(t, "near bound", *f.Hours.Low, 1026.349, 0.01)
	// A falling feature is the same, upside down.
	var down []life.Reading
	for _, r := range unitA {
		down = append(down, life.Reading{Hours: r.Hours, Value: -r.Value})
	}
	g, err := Predict(Inputs{Dimension: quantity.LengthDimension, Limit: -20, Current: Segment{Readings: down}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "falling", *g.Hours.At, *f.Hours.At, 1e-9)
	near(t, "falling, near bound", *g.Hours.Low, *f.Hours.Low, 1e-9)
	if n := f.Working("readings"); n == nil || n.Value != *f.Hours.At {
		t.Error("no working")
	}
}

// Sister parts of equal rates with no spread: the mean rules. Derived here:
// rates 2, 3, 4 ± tiny have mean 3, spread 1; the next part lies at
// 3 ± t(2)·√(1 + 1/3).
func TestSisters(t *testing.T) {
	sister := func(rate float64) Segment {
		return Segment{Readings: []life.Reading{{Hours: 0, Value: 0, U: 1e-6}, {Hours: 1000, Value: rate * 1000, U: 1e-6}}}
	}
	in := Inputs{Limit: 12000, Rising: true, Current: Segment{Readings: []life.Reading{{Hours: 0, Value: 0, U: 1e-6}}},
		Others: []Segment{sister(2), sister(3), sister(4)}}
	f, err := Predict(in)
	if err != nil {
		t.Fatal(err)
	}
	const t95 = 2.919986 // Student's t, 2 degrees, 0.95: any published table
	reach := t95 * math.Sqrt(1+1.0/3)
	near(t, "at", *f.Hours.At, 4000, 1e-3)
	near(t, "low", *f.Hours.Low, 12000/(3+reach), 0.5)
	if f.Basis != Sisters || f.Hours.High != nil {
		t.Errorf("basis %q, far bound %v: the rate may be 0", f.Basis, f.Hours.High)
	}
	// With a tight own reading the part's own rate rules.
	in.Current = sister(2)
	in.Running = &Running{At: time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC), Hours: 1000, HoursAYear: 5000}
	f, err = Predict(in)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "own rate", *f.Hours.At, 6000, 0.1)
	near(t, "own rate, far", *f.Hours.High, 6000, 1)
	if got := f.Day[1].Format(time.DateOnly); f.Basis != Pooled || got != "2026-12-31" && got != "2027-01-01" {
		t.Errorf("basis %q, day %s: 5000 h at 5000 h a year is one year", f.Basis, got)
	}
	near(t, "now", *f.Now, 2000, 1e-3)
}

func TestNotKnown(t *testing.T) {
	one := Segment{Readings: []life.Reading{{Hours: 0, Value: 1, U: 0.1}}}
	two := Segment{Readings: []life.Reading{{Hours: 0, Value: 1, U: 0.1}, {Hours: 100, Value: 2, U: 0.1}}}
	falling := Segment{Readings: []life.Reading{{Hours: 0, Value: 2, U: 0.01}, {Hours: 100, Value: 1, U: 0.01}}}
	cases := []struct {
		name   string
		in     Inputs
		basis  Basis
		unwell say.Template
		hours  bool
		bounds bool
	}{
		{"nothing read", Inputs{Rising: true, Limit: 5, Others: []Segment{two}}, NotKnown, msgNoReading, false, false},
		{"no rate", Inputs{Rising: true, Limit: 5, Current: one}, NotKnown, msgNoRate, false, false},
		{"one other part", Inputs{Rising: true, Limit: 5, Current: one, Others: []Segment{two}}, OnePart, say.Template{}, true, false},
		{"moves away", Inputs{Rising: true, Limit: 5, Current: falling}, Own, msgNoWear, false, false},
		{"two readings", Inputs{Rising: true, Limit: 5, Current: two}, Own, say.Template{}, true, true},
	}
	for _, c := range cases {
		f, err := Predict(c.in)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if f.Basis != c.basis || f.Unwell.ID() != c.unwell.ID() || (f.Hours.At != nil) != c.hours || (f.Hours.Low != nil) != c.bounds {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
	past, err := Predict(Inputs{Rising: true, Limit: 1.5, Current: two})
	if err != nil || !past.Past {
		t.Errorf("past: %+v, %v", past, err)
	}
}

func TestRefuses(t *testing.T) {
	back := Segment{Readings: []life.Reading{{Hours: 10, Value: 1, U: 1}, {Hours: 5, Value: 2, U: 1}}}
	nan := Segment{Readings: []life.Reading{{Hours: 10, Value: math.NaN(), U: 1}}}
	for name, in := range map[string]Inputs{
		"current":    {Current: back},
		"others[0]":  {Current: Segment{Readings: unitA}, Others: []Segment{back}},
		"confidence": {Confidence: 1},
		"limit":      {Limit: math.NaN()},
		"running":    {Running: &Running{Hours: -1}},
		"current.":   {Current: nan},
	} {
		_, err := Predict(in)
		p := say.AsProblem(err)
		if p == nil || len(p.Field) < len(name) || p.Field[:len(name)] != name {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// The nearer the limit the sooner; the surer the wider apart; bounds hold the
// expected hours between them.
func TestLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 8).Draw(t, "n")
		in := Inputs{Rising: rapid.Bool().Draw(t, "rising"), Limit: 1, Current: Segment{Readings: []life.Reading{{Value: 0, U: 0.01}}}}
		sign := 1.0
		if !in.Rising {
			sign, in.Limit = -1, -1
		}
		for range n {
			rate := rapid.Float64Range(0.5e-4, 2e-4).Draw(t, "rate")
			u := rapid.Float64Range(0.002, 0.02).Draw(t, "u")
			in.Others = append(in.Others, Segment{Readings: []life.Reading{{U: u}, {Hours: 5000, Value: sign * rate * 5000, U: u}}})
		}
		f, err := Predict(in)
		if err != nil {
			t.Fatal(err)
		}
		if *f.Hours.Low > *f.Hours.At || f.Hours.High != nil && *f.Hours.High < *f.Hours.At {
			t.Fatalf("bounds %v … %v do not hold %v", *f.Hours.Low, f.Hours.High, *f.Hours.At)
		}
		in.Confidence = 0.5
		g, err := Predict(in)
		if err != nil {
			t.Fatal(err)
		}
		if *g.Hours.Low < *f.Hours.Low {
			t.Fatalf("the near bound at 50 %% (%v) lies before that at 90 %% (%v)", *g.Hours.Low, *f.Hours.Low)
		}
		in.Limit /= 2
		h, err := Predict(in)
		if err != nil {
			t.Fatal(err)
		}
		if *h.Hours.At >= *g.Hours.At {
			t.Fatal("half the wear takes longer")
		}
	})
}

func BenchmarkPredict(b *testing.B) {
	in := Inputs{Rising: true, Limit: 20, Current: Segment{Readings: unitA}}
	for i := range 20 {
		r := 0.01 + 0.001*float64(i)
		in.Others = append(in.Others, Segment{Readings: []life.Reading{{U: 0.1}, {Hours: 100, Value: 100 * r, U: 0.1}}})
	}
	for b.Loop() {
		if _, err := Predict(in); err != nil {
			b.Fatal(err)
		}
	}
}
