package gasket

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

func mm(v float64) quantity.Length    { return quantity.Length(v * 1e-3) }
func leaf(v float64) *quantity.Length { l := mm(v); return &l }
func dial(v, u float64) *quantity.Estimate[quantity.Length] {
	e := quantity.Within(mm(v), u*1e-3)
	return &e
}

// The invented shelf of the checks.
func shelf(stock ...int) []Kind {
	kinds := []Kind{
		{Name: "paper 0.15", Thickness: mm(.15), Tolerance: mm(.015), Compression: .08, Sealing: true, Stock: 6},
		{Name: "paper 0.25", Thickness: mm(.25), Tolerance: mm(.02), Compression: .08, Sealing: true, Stock: 6},
		{Name: "paper 0.40", Thickness: mm(.40), Tolerance: mm(.03), Compression: .08, Sealing: true, Stock: 4},
		{Name: "film 0.05", Thickness: mm(.05), Tolerance: mm(.005), Stock: 6},
		{Name: "film 0.075", Thickness: mm(.075), Tolerance: mm(.006), Stock: 6},
		{Name: "film 0.125", Thickness: mm(.125), Tolerance: mm(.008), Stock: 4},
		{Name: "film 0.25", Thickness: mm(.25), Tolerance: mm(.012), Stock: 3},
	}
	for i, n := range stock {
		kinds[i].Stock = n
	}
	return kinds
}

var shortStock = []int{0, 1, 0, 1, 2, 0, 1}

func belief(t testing.TB, d *quantity.Estimate[quantity.Length], f *Feeler, prior *quantity.Estimate[quantity.Length]) *Belief {
	t.Helper()
	b, err := NewBelief(d, f, prior)
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func case1(t testing.TB) Problem {
	return Problem{Kinds: shelf(), Fitted: []int{0, 2, 0, 0, 0, 1, 0}, Low: mm(.14), High: mm(.20),
		Belief: belief(t, nil, &Feeler{Goes: leaf(.10), NoGo: leaf(.13)}, nil)}
}

func case2(t testing.TB) Problem {
	return Problem{Kinds: shelf(), Fitted: []int{0, 1, 1, 1, 0, 2, 0}, Low: mm(.18), High: mm(.24),
		Belief: belief(t, dial(.31, .008), nil, nil)}
}

// Checks: computed with numpy 1.24.2 / scipy 1.10.1, independent prototype of
// the same equations by plain enumeration; P_max, count and changes of four
// cases were confirmed with an integer program (CBC 2.10.8).
func TestCheckValues(t *testing.T) {
	case3 := Problem{Kinds: shelf(shortStock...), Fitted: []int{2, 0, 0, 0, 0, 1, 0}, Low: mm(.26), High: mm(.31),
		Belief: belief(t, nil, &Feeler{Goes: leaf(.20), NoGo: leaf(.23)}, nil)}
	case4 := Problem{Kinds: shelf(), Low: mm(.10), High: mm(.16), Belief: belief(t, dial(-.485, .012), nil, nil)}
	case5 := Problem{Kinds: shelf(shortStock...), Fitted: []int{2, 0, 0, 0, 0, 0, 0}, Low: mm(.60), High: mm(.64),
		Belief: belief(t, dial(.02, .008), nil, nil)}
	const none = -1
	tests := []struct {
		name            string
		problem         Problem
		pieces, changed int
		p, below        float64
	}{
		{"feeler .10 goes .13 not, window .14-.20", case1(t), 4, none, none, none},
		{"dial .31, window .18-.24", case2(t), none, 3, 0.997888, none},
		{"short stock, feeler .20 .23, window .26-.31", case3, 4, none, none, none},
		{"first stack from depths -.485", case4, none, 3, 0.893587, 0.036},
		{"far off, dial .02, window .60-.64, short stock", case5, 6, none, none, 0.044},
	}
	for _, tt := range tests {
		s, err := Solve(tt.problem)
		if err != nil {
			t.Fatal(tt.name, err)
		}
		t.Logf("%s: %v P %.6f below %.4f above %.4f changed %d of %d stacks", tt.name, s.Best.Order, s.Best.Probability, s.Best.ProbabilityBelow, s.Best.ProbabilityAbove, s.Best.Changed(), s.PossibleStacks)
		if tt.pieces != none && s.Best.Pieces != tt.pieces {
			t.Errorf("%s: %d gaskets, want %d", tt.name, s.Best.Pieces, tt.pieces)
		}
		if tt.changed != none && s.Best.Changed() != tt.changed {
			t.Errorf("%s: %d changed, want %d", tt.name, s.Best.Changed(), tt.changed)
		}
		if tt.p != none && math.Abs(s.Best.Probability-tt.p) > 0.002 {
			t.Errorf("%s: P %.6f, want %.6f", tt.name, s.Best.Probability, tt.p)
		}
		if tt.below != none && math.Abs(s.Best.ProbabilityBelow-tt.below) > 0.001 {
			t.Errorf("%s: P below %.4f, want %.3f", tt.name, s.Best.ProbabilityBelow, tt.below)
		}
	}
}

// plainBest is the rule written out: every stack, erf, a fine sum.
func plainBest(p Problem, points []weighted) (best []int, bestP float64) {
	type one struct {
		x               []int
		pieces, changed int
		chance          float64
	}
	var all []one
	x := make([]int, len(p.Kinds))
	var walk func(i, pieces int)
	walk = func(i, pieces int) {
		if i == len(x) {
			seals, joint, changed, shift, variance := 0, 0, 0, 0.0, 0.0
			for k, n := range x {
				kind, before := p.Kinds[k], 0
				if k < len(p.Fitted) {
					before = p.Fitted[k]
				}
				if kind.Sealing {
					seals += n
				}
				if !kind.Apart {
					joint += n
				}
				d := n - before
				sign := 1.0
				if kind.Closes {
					sign = -1
				}
				shift += sign * float64(d) * float64(kind.Thickness) * (1 - kind.Compression)
				changed += max(d, -d)
				variance += float64(max(d, -d)) * math.Pow(float64(kind.Tolerance)/2, 2)
			}
			if !p.Sealed && seals < 2 && !(seals == 1 && joint == 1) {
				return
			}
			sigma, chance := math.Sqrt(variance), 0.0
			for _, q := range points {
				if sigma == 0 {
					if s := q.s + shift; s >= float64(p.Low) && s <= float64(p.High) {
						chance += q.w
					}
					continue
				}
				chance += q.w * (distribution((float64(p.High)-q.s-shift)/sigma) - distribution((float64(p.Low)-q.s-shift)/sigma))
			}
			all = append(all, one{append([]int(nil), x...), pieces, changed, chance})
			return
		}
		before := 0
		if i < len(p.Fitted) {
			before = p.Fitted[i]
		}
		for n := 0; n <= before+p.Kinds[i].Stock && pieces+n <= p.MaxPieces; n++ {
			x[i] = n
			walk(i+1, pieces+n)
		}
		x[i] = 0
	}
	walk(0, 0)
	for _, o := range all {
		bestP = math.Max(bestP, o.chance)
	}
	var chosen *one
	for i := range all {
		o := &all[i]
		if o.chance < bestP-0.005 {
			continue
		}
		if chosen == nil || o.pieces < chosen.pieces || o.pieces == chosen.pieces && (o.changed < chosen.changed || o.changed == chosen.changed && o.chance > chosen.chance+1e-12) {
			chosen = o
		}
	}
	if chosen == nil {
		return nil, 0
	}
	return chosen.x, bestP
}

// pointsOf writes a belief as many points, without the solver's own grid.
func pointsOf(mean, u float64) []weighted {
	var list []weighted
	total := 0.0
	for i := -2000; i <= 2000; i++ {
		z := float64(i) / 250
		w := density(z)
		list = append(list, weighted{mean + z*u, w})
		total += w
	}
	for i := range list {
		list[i].w /= total
	}
	return list
}

func pointsOfFeeler(a, b, u float64) []weighted {
	var list []weighted
	total := 0.0
	const n = 6000
	for i := 0; i <= n; i++ {
		s := a - 7*u + (b-a+14*u)*float64(i)/n
		w := distribution((s-a)/u) * distribution((b-s)/u)
		list = append(list, weighted{s, w})
		total += w
	}
	for i := range list {
		list[i].w /= total
	}
	return list
}

func TestAgainstPlainEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 4).Draw(t, "kinds")
		p := Problem{MaxPieces: rapid.IntRange(1, 4).Draw(t, "pieces")}
		for i := range n {
			thickness := float64(rapid.IntRange(2, 16).Draw(t, "thickness")) * 25e-6
			p.Kinds = append(p.Kinds, Kind{Name: string(rune('a' + i)), Thickness: quantity.Length(thickness),
				// far below the step of this test's own grid the two sums differ
				Tolerance:   quantity.Length(thickness * rapid.Float64Range(0.005, 0.1).Draw(t, "tolerance")),
				Compression: rapid.SampledFrom([]float64{0, 0.08, 0.12}).Draw(t, "κ"),
				Sealing:     i == 0 || rapid.Bool().Draw(t, "sealing"), Stock: rapid.IntRange(0, 4).Draw(t, "stock")})
			if k := &p.Kinds[i]; i > 0 && rapid.IntRange(0, 2).Draw(t, "shim") == 0 {
				k.Shim, k.Sealing, k.Compression = true, false, 0
				k.Apart = rapid.Bool().Draw(t, "apart")
				k.Closes = k.Apart && rapid.Bool().Draw(t, "closes")
			}
			p.Fitted = append(p.Fitted, rapid.IntRange(0, 2).Draw(t, "fitted"))
		}
		p.Sealed = rapid.IntRange(0, 3).Draw(t, "sealed") == 0
		low := rapid.Float64Range(0.02, 0.6).Draw(t, "low")
		p.Low, p.High = mm(low), mm(low+rapid.Float64Range(0.03, 0.15).Draw(t, "width"))
		var points []weighted
		if rapid.Bool().Draw(t, "dial") {
			s, u := rapid.Float64Range(-0.5, 0.6).Draw(t, "s"), rapid.Float64Range(0.002, 0.03).Draw(t, "u")
			b, err := NewBelief(dial(s, u), nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			p.Belief, points = b, pointsOf(s*1e-3, u*1e-3)
		} else {
			a := rapid.Float64Range(0.03, 0.5).Draw(t, "a")
			b := a + rapid.Float64Range(0.01, 0.1).Draw(t, "leaf")
			u := rapid.Float64Range(0.003, 0.01).Draw(t, "feel")
			made, err := NewBelief(nil, &Feeler{Goes: leaf(a), NoGo: leaf(b), U: mm(u)}, nil)
			if err != nil {
				t.Fatal(err)
			}
			p.Belief, points = made, pointsOfFeeler(a*1e-3, b*1e-3, u*1e-3)
		}
		want, wantP := plainBest(p, points)
		got, err := Solve(p)
		if err != nil {
			if want != nil {
				t.Fatalf("refused %v, want %v", err, want)
			}
			return
		}
		if !got.Reachable {
			return
		}
		if math.Abs(got.Best.Probability-wantP) > 0.0051 || got.Best.Probability > wantP+2e-3 {
			t.Fatalf("P %.7f, best by enumeration %.7f", got.Best.Probability, wantP)
		}
		for i := range want {
			if want[i] != got.Best.Counts[i] {
				// A tie at the edge of 0.005 may fall either way.
				other := chanceOf(p, points, got.Best.Counts)
				if math.Abs(other-chanceOf(p, points, want)) < 1e-4 && effort(p, got.Best.Counts) == effort(p, want) {
					break // as many pieces and changes, and a chance alike to the grid of this test
				}
				if math.Abs(other-(wantP-0.005)) > 1e-3 && math.Abs(chanceOf(p, points, want)-(wantP-0.005)) > 1e-3 {
					t.Fatalf("counts %v (P %.6f), want %v of P %.6f", got.Best.Counts, other, want, wantP)
				}
				break
			}
		}
	})
}

// effort is the pieces of a stack and how many of them change.
func effort(p Problem, counts []int) (sum [2]int) {
	for k, n := range counts {
		sum[0] += n
		sum[1] += max(n-p.Fitted[k], p.Fitted[k]-n)
	}
	return sum
}

func chanceOf(p Problem, points []weighted, counts []int) float64 {
	fixed := p
	fixed.Kinds = append([]Kind(nil), p.Kinds...)
	shift, variance := 0.0, 0.0
	for k, n := range counts {
		d := n - p.Fitted[k]
		if p.Kinds[k].Closes {
			shift -= float64(d) * float64(p.Kinds[k].Compressed())
		} else {
			shift += float64(d) * float64(p.Kinds[k].Compressed())
		}
		variance += math.Abs(float64(d)) * math.Pow(float64(p.Kinds[k].Tolerance)/2, 2)
	}
	chance := 0.0
	for _, q := range points {
		chance += q.w * (distribution((float64(p.High)-q.s-shift)/math.Sqrt(variance)) - distribution((float64(p.Low)-q.s-shift)/math.Sqrt(variance)))
	}
	return chance
}

// The chance for a feeler is the same, to 1e-9, on the thinned grid as by a
// dense sum; spread 0 takes the cumulative curve.
func TestChanceIsExact(t *testing.T) {
	for _, c := range []struct{ a, b, u float64 }{{.10, .13, .005}, {.10, .11, .005}, {.20, .30, .003}, {.05, .06, .01}} {
		b := belief(t, nil, &Feeler{Goes: leaf(c.a), NoGo: leaf(c.b), U: mm(c.u)}, nil)
		dense := pointsOfFeeler(c.a*1e-3, c.b*1e-3, c.u*1e-3)
		for _, spread := range []float64{1.5e-6, 2.5e-6, 5e-6, 12e-6, 30e-6} {
			for _, shift := range []float64{-40e-6, 0, 25e-6, 60e-6} {
				low, high := 0.14e-3, 0.20e-3
				under, inside := b.chance(phi(), low, high, shift, spread)
				wantUnder, want := 0.0, 0.0
				for _, q := range dense {
					x := distribution((low - q.s - shift) / spread)
					wantUnder += q.w * x
					want += q.w * (distribution((high-q.s-shift)/spread) - x)
				}
				if math.Abs(inside-want) > 2e-9 || math.Abs(under-wantUnder) > 2e-9 {
					t.Errorf("leaves %v spread %g shift %g: %.12f, want %.12f; below %.12f, want %.12f", c, spread, shift, inside, want, under, wantUnder)
				}
			}
		}
	}
	worst := 0.0
	for z := -9.5; z < 9.5; z += 0.00037 {
		worst = math.Max(worst, math.Abs(phi().below(z)-distribution(z)))
	}
	if worst > 3e-10 {
		t.Errorf("table of the normal distribution is off by %g", worst)
	}
}

func TestBoundsLeaveNothingOut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{Kinds: shelf(), Fitted: []int{0, 2, 0, 0, 0, 1, 0}, Low: mm(.14), High: mm(.20), MaxPieces: 8}
		var err error
		if p.Belief, err = NewBelief(nil, &Feeler{Goes: leaf(.10), NoGo: leaf(.10 + rapid.Float64Range(.01, .05).Draw(t, "leaf"))}, nil); err != nil {
			t.Fatal(err)
		}
		r := &run{p: p, s: newSearch(p, p.items()), cells: newCells(), phi: phi(), low: float64(p.Low), high: float64(p.High)}
		level := rapid.Float64Range(0.02, 0.99).Draw(t, "chance")
		b := r.bounds(level)
		spread := rapid.Float64Range(0, r.s.widest()).Draw(t, "spread")
		shift := rapid.Float64Range(-400e-6, 400e-6).Draw(t, "shift")
		if _, inside := p.Belief.chance(r.phi, r.low, r.high, shift, spread); inside > level+1e-9 && !b.alive(shift, spread) {
			t.Fatalf("a stack of chance %g was left out below %g", inside, level)
		}
	})
}

func TestRefusals(t *testing.T) {
	tests := []struct {
		field string
		spoil func(p *Problem)
	}{
		{"kinds", func(p *Problem) { p.Kinds = nil }},
		{"kinds[1].thickness", func(p *Problem) { p.Kinds[1].Thickness = 0 }},
		{"kinds[1].tolerance", func(p *Problem) { p.Kinds[1].Tolerance = quantity.Length(math.NaN()) }},
		{"kinds[2].compression", func(p *Problem) { p.Kinds[2].Compression = 1 }},
		{"kinds[3].name", func(p *Problem) { p.Kinds[3].Name = "paper 0.15" }},
		{"kinds[0].stock", func(p *Problem) { p.Kinds[0].Stock = -1 }},
		{"window.low", func(p *Problem) { p.Low = p.High }},
		{"window.low", func(p *Problem) { p.Low = -1 }},
		{"max_pieces", func(p *Problem) { p.MaxPieces = 99 }},
		{"measured", func(p *Problem) { p.Belief = nil }},
		{"extra_compression", func(p *Problem) { p.ExtraCompression = 2 }},
		{"kinds", func(p *Problem) { // nothing that seals
			for i := range p.Kinds {
				p.Kinds[i].Sealing = false
			}
		}},
	}
	for _, tt := range tests {
		p := case1(t)
		tt.spoil(&p)
		_, err := Solve(p)
		if q := say.AsProblem(err); q == nil || q.Field != tt.field {
			t.Errorf("want %s refused, got %v", tt.field, err)
		}
	}
	beliefs := []struct {
		field  string
		dial   *quantity.Estimate[quantity.Length]
		feeler *Feeler
		prior  *quantity.Estimate[quantity.Length]
	}{
		{"measured", nil, nil, nil},
		{"u", dial(.1, 0), nil, nil},
		{"measured", dial(math.NaN(), 1), nil, nil},
		{"first.u", nil, nil, dial(.1, -1)},
		{"feeler", nil, &Feeler{Goes: leaf(.1)}, nil},
		{"feeler.no_go", nil, &Feeler{Goes: leaf(.1), NoGo: leaf(.1)}, nil},
		{"feeler.u", nil, &Feeler{Goes: leaf(.1), NoGo: leaf(.2), U: -1}, nil},
		{"feeler", nil, &Feeler{Goes: leaf(.1), NoGo: leaf(.12)}, dial(.9, .01)},
	}
	for _, tt := range beliefs {
		_, err := NewBelief(tt.dial, tt.feeler, tt.prior)
		if q := say.AsProblem(err); q == nil || q.Field != tt.field {
			t.Errorf("want %s refused, got %v", tt.field, err)
		}
	}
}

func benchmarkSolve(b *testing.B, p Problem) {
	for b.Loop() {
		if _, err := Solve(p); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSevenKindsEightPiecesFeeler(b *testing.B) { benchmarkSolve(b, case1(b)) }
func BenchmarkSevenKindsEightPiecesDial(b *testing.B)   { benchmarkSolve(b, case2(b)) }

func tenKinds(t testing.TB, u float64) Problem {
	kinds := append(shelf(9, 9, 9, 9, 9, 9, 9),
		Kind{Name: "paper 0.20", Thickness: mm(.20), Tolerance: mm(.02), Compression: .08, Sealing: true, Stock: 9},
		Kind{Name: "film 0.025", Thickness: mm(.025), Tolerance: mm(.003), Stock: 9},
		Kind{Name: "film 0.10", Thickness: mm(.10), Tolerance: mm(.007), Stock: 9})
	p := Problem{Kinds: kinds, Fitted: []int{0, 2, 0, 0, 0, 1, 0}, Low: mm(.14), High: mm(.20), MaxPieces: 12}
	if u > 0 {
		p.Fitted = nil
		p.Belief = belief(t, dial(-.8, u), nil, nil)
	} else {
		p.Belief = belief(t, nil, &Feeler{Goes: leaf(.10), NoGo: leaf(.13)}, nil)
	}
	return p
}

func BenchmarkTenKindsTwelvePiecesFeeler(b *testing.B) { benchmarkSolve(b, tenKinds(b, 0)) }
func BenchmarkTenKindsTwelvePiecesFirst(b *testing.B)  { benchmarkSolve(b, tenKinds(b, .012)) }
