package gasket

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func shims(stock ...int) []Kind {
	list := []Kind{
		{Name: "shim 0.05", Thickness: mm(.05)}, {Name: "shim 0.10", Thickness: mm(.10)},
		{Name: "shim 0.20", Thickness: mm(.20)}, {Name: "shim 0.50", Thickness: mm(.50)},
	}
	for i := range list {
		list[i].Tolerance, list[i].Shim, list[i].Apart, list[i].Reusable, list[i].Stock = mm(.002), true, true, true, stock[i]
	}
	return list
}

// A pack of shims alone, worked out by hand: the clearance is 0.62 mm with one
// shim of 0.50 mm behind the bearing and has to come to 0.15 … 0.19 mm. Out
// with 0.50, in with 0.05 leaves 0.17 mm: the fewest pieces.
func TestShimPack(t *testing.T) {
	p := Problem{Kinds: shims(4, 4, 4, 4), Fitted: []int{0, 0, 0, 1}, Belief: belief(t, dial(.62, .004), nil, nil), Low: mm(.15), High: mm(.19), Sealed: true, InService: true}
	s, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(s.Best.Pack, ", "); got != "shim 0.05" || s.Best.Pieces != 1 || s.Best.Out[3] != 1 {
		t.Errorf("pack %s, %+v", got, s.Best)
	}
	if math.Abs(float64(s.Best.Clearance.Value)-.17e-3) > 1e-12 {
		t.Errorf("clearance %v", s.Best.Clearance)
	}
	if err := s.Working().Check(); err != nil {
		t.Error(err)
	}
	// Behind the other face of the bearing the same shims close: from 0.62 mm
	// with nothing there, 0.45 mm goes in as 0.20 + 0.20 + 0.05.
	for i := range p.Kinds {
		p.Kinds[i].Closes = true
	}
	p.Fitted = nil
	if s, err = Solve(p); err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(s.Best.Pack, ", "); got != "shim 0.20, shim 0.20, shim 0.05" || math.Abs(float64(s.Best.Clearance.Value)-.17e-3) > 1e-12 {
		t.Errorf("closing: %s, %v", got, s.Best.Clearance)
	}
	// Without those of 0.20 mm no three pieces come to 0.43 … 0.47 mm; 0.50 mm
	// leaves 0.12 mm, 0.03 mm too tight.
	p.Kinds[2].Stock, p.MaxPieces = 0, 3
	if s, err = Solve(p); err != nil {
		t.Fatal(err)
	}
	if s.Reachable || s.Nearest == nil || math.Abs(float64(s.Misses)+.03e-3) > 1e-12 || len(s.Shortages) != 1 || s.Shortages[0].Kind != 2 {
		t.Errorf("out of reach: %+v, misses %v, short of %v", s.Nearest, s.Misses, s.Shortages)
	}
	if got := s.MissingGasket; !(got > 0) {
		t.Errorf("a shim of %v would settle it", got)
	}
}

// Shims besides gaskets: the stack still seals at both ends, and what was
// learned of the gaskets says nothing of a shim.
func TestShimsBesidesGaskets(t *testing.T) {
	p := case2(t)
	p.ExtraCompression, p.ExtraCompressionU = .05, .02
	only, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	for i := range p.Kinds {
		p.Kinds[i].Stock = 2
	}
	p.Kinds = append(p.Kinds, shims(4, 4, 4, 4)...)
	both, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	if both.Best.Probability < only.Best.Probability-likelyEnough {
		t.Errorf("shims made it worse: %.4f, %.4f without", both.Best.Probability, only.Best.Probability)
	}
	if n := len(both.Best.Order) - len(both.Best.Pack); n > 0 {
		first, last := both.Best.Order[0], both.Best.Order[n-1]
		if strings.HasPrefix(first, "shim") || strings.HasPrefix(last, "shim") {
			t.Errorf("order %v", both.Best.Order)
		}
	}
	// A shim of 0.10 mm moves the clearance by 0.10 mm, however much gaskets give.
	one := Problem{Kinds: shims(0, 1, 0, 0), Belief: belief(t, dial(.07, .004), nil, nil), Low: mm(.15), High: mm(.19), Sealed: true, ExtraCompression: .05, ExtraCompressionU: .02}
	s, err := Solve(one)
	if err != nil {
		t.Fatal(err)
	}
	if got := float64(s.Best.Clearance.Value); math.Abs(got-.17e-3) > 1e-12 || math.Abs(s.Best.Clearance.U-math.Hypot(.004e-3, .001e-3)) > 1e-9 {
		t.Errorf("%v", s.Best.Clearance)
	}
	// Trials of shims alone tell nothing of the compression of gaskets.
	l, err := Learn(one.Kinds, []Trial{{Counts: []int{0, 0, 0, 0}, Measured: dial(.07, .004)}, {Counts: []int{0, 1, 0, 0}, Measured: dial(.175, .004)}}, DefaultPrior())
	if err != nil {
		t.Fatal(err)
	}
	if l.Informative || math.Abs(l.ExtraCompression) > 1e-6 {
		t.Errorf("learned %g ± %g from shims", l.ExtraCompression, l.ExtraCompressionU)
	}
}

func TestShimRefusals(t *testing.T) {
	for name, change := range map[string]func(*Kind){
		"kinds[0].sealing":     func(k *Kind) { k.Sealing = true },
		"kinds[0].compression": func(k *Kind) { k.Compression = .1 },
		"kinds[0].closes":      func(k *Kind) { k.Apart, k.Closes = false, true },
	} {
		p := Problem{Kinds: shims(1, 1, 1, 1), Belief: belief(t, dial(.07, .004), nil, nil), Low: mm(.15), High: mm(.19), Sealed: true}
		change(&p.Kinds[0])
		if _, err := Solve(p); err == nil || !strings.HasPrefix(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A pack that closes is the mirror image of one that opens: reading and window
// mirrored, the same pieces come out, and contact and slip change places.
func TestClosingMirrorsOpening(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		kinds := shims(rapid.IntRange(0, 4).Draw(t, "a"), rapid.IntRange(0, 4).Draw(t, "b"), rapid.IntRange(0, 4).Draw(t, "c"), rapid.IntRange(0, 2).Draw(t, "d"))
		// Hundredths, and a reading between them: nothing lands on an edge.
		at, u := .01*float64(rapid.IntRange(-60, 60).Draw(t, "s"))+.0037, rapid.Float64Range(.003, .03).Draw(t, "u")
		low := .01 * float64(rapid.IntRange(0, 40).Draw(t, "low"))
		high := low + .01*float64(rapid.IntRange(2, 10).Draw(t, "width"))
		solve := func(s float64, closes bool) *Solution {
			b, err := NewBelief(dial(s, u), nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			p := Problem{Kinds: append([]Kind(nil), kinds...), Belief: b, Low: mm(low), High: mm(high), Sealed: true, MaxPieces: 5}
			for i := range p.Kinds {
				p.Kinds[i].Closes = closes
			}
			answer, err := Solve(p)
			if err != nil {
				t.Fatal(err)
			}
			return answer
		}
		opens, closes := solve(at, false), solve(low+high-at, true)
		if opens.Reachable != closes.Reachable {
			t.Fatalf("reach %v, mirrored %v", opens.Reachable, closes.Reachable)
		}
		if !opens.Reachable {
			if math.Abs(float64(opens.Misses+closes.Misses)) > 1e-12 {
				t.Errorf("misses %v, mirrored %v", opens.Misses, closes.Misses)
			}
			return
		}
		a, b := opens.Best, closes.Best
		if a.Pieces != b.Pieces || math.Abs(a.Probability-b.Probability) > 1e-9 || math.Abs(a.ProbabilityBelow-b.ProbabilityAbove) > 1e-9 {
			t.Errorf("%+v, mirrored %+v", a, b)
		}
	})
}

func BenchmarkGasketsAndShims(b *testing.B) {
	p := case2(b)
	p.Kinds = append(p.Kinds, shims(4, 4, 4, 4)...)
	benchmarkSolve(b, p)
}
