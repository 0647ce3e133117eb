package gasket

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
)

// Whatever is asked, a stack seals at both ends, stays within shelf and
// number, and its three chances add to 1.
func TestStackLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{MaxPieces: rapid.IntRange(1, 6).Draw(t, "pieces"), InService: rapid.Bool().Draw(t, "service"),
			ExtraCompression: rapid.Float64Range(-.05, .05).Draw(t, "κ"), ExtraCompressionU: rapid.SampledFrom([]float64{0, .01, .03}).Draw(t, "u κ")}
		for i := range rapid.IntRange(1, 5).Draw(t, "kinds") {
			p.Kinds = append(p.Kinds, Kind{Name: string(rune('a' + i)), Thickness: mm(rapid.Float64Range(.025, .5).Draw(t, "t")),
				Compression: rapid.Float64Range(0, .2).Draw(t, "compression"), Sealing: rapid.Bool().Draw(t, "sealing"),
				Reusable: rapid.Bool().Draw(t, "reusable"), Stock: rapid.IntRange(0, 4).Draw(t, "stock")})
			p.Fitted = append(p.Fitted, rapid.IntRange(0, 2).Draw(t, "fitted"))
		}
		for range rapid.IntRange(0, 2).Draw(t, "old pieces") {
			p.FittedPieces = append(p.FittedPieces, Piece{Thickness: mm(rapid.Float64Range(.05, .4).Draw(t, "old")), U: mm(.003), Sealing: rapid.Bool().Draw(t, "old seals")})
		}
		low := rapid.Float64Range(0, 1).Draw(t, "low")
		p.Low, p.High = mm(low), mm(low+rapid.Float64Range(.02, .2).Draw(t, "width"))
		goes := rapid.Float64Range(0, .4).Draw(t, "goes")
		b, err := NewBelief(nil, &Feeler{Goes: leaf(goes), NoGo: leaf(goes + rapid.Float64Range(.01, .1).Draw(t, "leaf"))}, nil)
		if err != nil {
			t.Fatal(err)
		}
		p.Belief = b
		s, err := Solve(p)
		if err != nil {
			return
		}
		st := s.Best
		if st == nil {
			st = s.Nearest
			if s.Reachable || st == nil {
				t.Fatal("neither a best nor a nearest stack")
			}
		} else if st.Clearance.Value < p.Low-1 || !s.Reachable {
			t.Fatal("a best stack although none is in reach")
		}
		checkStack(t, p, st)
		for i := range s.RunnersUp {
			checkStack(t, p, &s.RunnersUp[i])
		}
		if s.Working().Check() != nil {
			t.Fatal("working without reasons")
		}
	})
}

func checkStack(t *rapid.T, p Problem, st *Stack) {
	seals := map[string]bool{}
	for i, k := range p.Kinds {
		seals[k.Name] = k.Sealing
		if st.In[i] > k.Stock {
			t.Fatalf("%d of %s in, %d on the shelf", st.In[i], k.Name, k.Stock)
		}
		if st.Counts[i] != p.Fitted[i]-st.Out[i]+st.In[i] {
			t.Fatalf("%s: %d = %d − %d + %d", k.Name, st.Counts[i], p.Fitted[i], st.Out[i], st.In[i])
		}
		if p.InService && (k.Sealing || !k.Reusable) && st.Out[i] != p.Fitted[i] {
			t.Fatalf("%s of the old build stays", k.Name)
		}
	}
	if len(st.Order) != st.Pieces || st.Pieces > p.MaxPieces || st.Pieces < 1 {
		t.Fatalf("%d pieces in order, %d counted", len(st.Order), st.Pieces)
	}
	if first, last := st.Order[0], st.Order[len(st.Order)-1]; !seals[first] || !seals[last] {
		t.Fatalf("%v does not seal", st.Order)
	}
	if total := st.Probability + st.ProbabilityBelow + st.ProbabilityAbove; math.Abs(total-1) > 1e-9 {
		t.Fatalf("chances add to %g", total)
	}
}

// The stated chance is what draws of pieces and clearance give.
func TestChanceAgainstDraws(t *testing.T) {
	p := case2(t)
	s, err := Solve(p)
	if err != nil {
		t.Fatal(err)
	}
	draw := newDraws(11)
	const n = 400_000
	hits, below := 0, 0
	for range n {
		c := .31e-3 + .008e-3*draw.NormFloat64()
		for i, k := range p.Kinds {
			for range s.Best.In[i] {
				c += float64(k.Compressed()) + float64(k.Tolerance)/2*draw.NormFloat64()
			}
			for range s.Best.Out[i] {
				c -= float64(k.Compressed()) + float64(k.Tolerance)/2*draw.NormFloat64()
			}
		}
		switch v := quantity.Length(c); {
		case v < p.Low:
			below++
		case v <= p.High:
			hits++
		}
	}
	for _, row := range []struct {
		name          string
		stated, drawn float64
	}{{"inside", s.Best.Probability, float64(hits) / n}, {"below", s.Best.ProbabilityBelow, float64(below) / n}} {
		if sigma := math.Sqrt(row.stated * (1 - row.stated) / n); math.Abs(row.stated-row.drawn) > 4*sigma {
			t.Errorf("%s: stated %.6f, drawn %.6f", row.name, row.stated, row.drawn)
		}
	}
}

// A better reading never lowers the chance of the best stack (window centred
// stacks, normal belief), and a larger shelf never does.
func TestMoreKnownIsNotWorse(t *testing.T) {
	last := 1.0
	for _, u := range []float64{.002, .005, .01, .02, .04} {
		p := case2(t)
		p.Belief = belief(t, dial(.31, u), nil, nil)
		s, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		if s.Best.Probability > last+likelyEnough {
			t.Errorf("u %g: chance %g above %g", u, s.Best.Probability, last)
		}
		last = s.Best.Probability
	}
	u, ok := NeededU(Problem{Kinds: shelf(), Low: mm(.10), High: mm(.16), Belief: belief(t, dial(-.485, .012), nil, nil)}, WantedChance)
	if !ok || u <= 0 || u >= mm(.012) {
		t.Errorf("needed u %v, %v", u, ok)
	}
	p := Problem{Kinds: shelf(), Low: mm(.10), High: mm(.16), Belief: belief(t, dial(-.485, float64(u)*1e3), nil, nil)}
	if s, err := Solve(p); err != nil || s.Best.Probability < WantedChance-2*likelyEnough {
		t.Errorf("with the needed u the chance is %v", s.Best.Probability)
	}
}

func manyKinds(low, high, now float64) Problem {
	var kinds []Kind
	for i := range 14 {
		kinds = append(kinds, Kind{Name: string(rune('a' + i)), Thickness: mm(.03 + .0317*float64(i)), Tolerance: mm(.004), Sealing: i%3 == 0, Compression: .05, Stock: 9})
	}
	return Problem{Kinds: kinds, MaxPieces: 12, Low: mm(low), High: mm(high), Belief: normalBelief(now*1e-3, 10e-6)}
}

func BenchmarkFourteenKindsMiddle(b *testing.B)         { benchmarkSolve(b, manyKinds(.1, .16, -2.7)) }
func BenchmarkFourteenKindsOutOfReach(b *testing.B)     { benchmarkSolve(b, manyKinds(.1, .16, -9)) }
func BenchmarkFourteenKindsAlreadyTooWide(b *testing.B) { benchmarkSolve(b, manyKinds(.1, .16, .5)) }

func newDraws(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 1)) }

// The nearest stack is the nearest of all of them.
func TestNearestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Kinds: shelf(), MaxPieces: rapid.IntRange(1, 4).Draw(t, "pieces"), Low: mm(.1), High: mm(.11),
			Belief: normalBelief(1e-3*rapid.Float64Range(-3, 1).Draw(t, "now"), 5e-6)}
		s, err := Solve(p)
		if err != nil {
			t.Fatal(err)
		}
		if s.Reachable {
			return
		}
		aim := float64(p.Low+p.High)/2 - p.Belief.mean
		least := math.Inf(1)
		newSearch(p, p.items()).run(-1, 1, func(f *found) { least = math.Min(least, math.Abs(f.thickness-aim)) })
		if got := math.Abs(float64(s.Nearest.Clearance.Value) - float64(p.Low+p.High)/2); math.Abs(got-least) > 1e-11 {
			t.Fatalf("nearest at %g from the middle, another at %g", got, least)
		}
	})
}
