package gasket

import (
	"math"
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Stack is one stack and what it will do.
type Stack struct {
	Counts           []int                              // of each kind
	KeptPieces       []int                              // indices of the fitted pieces that stay
	Order            []string                           // from casing to head, then the shims that lie apart
	Pack             []string                           // the shims that lie apart, thickest first
	Clearance        quantity.Estimate[quantity.Length] // expected
	Probability      float64                            // of landing in the window
	ProbabilityBelow float64                            // below it: the contact side
	ProbabilityAbove float64                            // above it: slip
	Pieces           int
	Added, Removed   int
	In, Out          []int // of each kind
	PiecesOut        []int // indices of the fitted pieces that come out
}

// Changed returns how many pieces go in or come out.
func (s Stack) Changed() int { return s.Added + s.Removed }

// Shortage is a kind of which the shelf holds too few.
type Shortage struct {
	Kind  int
	Short int
}

// Solution is the answer of the solver.
type Solution struct {
	Problem   Problem
	Reachable bool    // some stack's expected clearance lies in the window
	Best      *Stack  // nil when not reachable
	RunnersUp []Stack // the next ones
	Nearest   *Stack  // when not reachable
	// When not reachable: by how much the nearest misses the window (below
	// zero: too tight), the compressed thickness of a gasket that would settle
	// it (0: none would), and what a full shelf would have allowed.
	Misses         quantity.Length
	MissingGasket  quantity.Length
	Shortages      []Shortage
	PossibleStacks int // counted before any was left out
}

const (
	// likelyEnough: a stack this much less likely than the best is as good,
	// and the simpler one is taken. Our own convention.
	likelyEnough = 0.005
	runnersUp    = 4
	sameChance   = 1e-12
)

// Solve finds the best stack.
//
//	P = ∫ w(s)·[Φ((hi − s − Δ)/σ) − Φ((lo − s − Δ)/σ)] ds
//	Δ = Σ (x − x⁰)·t·(1 − κ)    σ² = Σ changed·(tol/2)² + (u_κ·Σ (x − x⁰)·t)²
//
// w is the belief of the present clearance. Of all stacks with P within 0.005
// of the best the one with the fewest gaskets is taken, then the one with the
// fewest changes, then the likeliest, then the first in the order of counts.
//
// The search is exact. A stack is left out unseen only where a bound shows
// that it cannot come within 0.005 of a stack already seen: for every k,
// P(s + σZ ≤ y) ≤ P(s ≤ y + kσ) + Φ(−k).
//
// Errors: a say.Problem naming the field; also when no stack can be built.
// Source: derived here; the choice rule is our own convention.
func Solve(p Problem) (*Solution, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	items := p.items()
	solution := &Solution{Problem: p, PossibleStacks: countStacks(items, p.maxPieces())}
	if solution.PossibleStacks > mostStacks {
		return nil, say.Refuse("kinds", "", msgTooManyStack.With(mostStacks), msgFewerKinds.With())
	}
	s := newSearch(p, items)
	r := &run{p: p, s: s, cells: newCells(), phi: phi(), low: float64(p.Low), high: float64(p.High)}

	// Stacks aimed into the window first: one of them gives the bound.
	r.collect(r.low-p.Belief.mean, r.high-p.Belief.mean, nil)
	if len(r.found) == 0 {
		return solution, r.unreachable(solution)
	}
	solution.Reachable = true
	bins := r.bounds(r.best - likelyEnough)
	r.found = r.found[:0]
	r.collect(bins.from, bins.to, bins)
	r.choose(solution)
	return solution, nil
}

// run is one search with what it has found.
type run struct {
	p         Problem
	s         *search
	cells     *cells
	phi       *phiTable
	low, high float64
	found     []candidate
	best      float64
}

type candidate struct {
	found
	chance float64
}

// collect visits the stacks that change the clearance by from…to and works
// out their chances; bounds (if any) leave out what cannot matter.
func (r *run) collect(from, to float64, b *bounds) {
	r.s.run(from, to, func(f *found) {
		spread := r.s.spread(f)
		shift := f.thickness - r.s.before
		if b != nil && !b.alive(shift, spread) {
			return
		}
		at, known := r.cells.slot(f.thickness, spread*spread)
		if !known {
			_, r.cells.values[at] = r.p.Belief.chance(r.phi, r.low, r.high, shift, spread)
		}
		chance := r.cells.values[at]
		if chance < r.best-likelyEnough {
			return
		}
		r.best = math.Max(r.best, chance)
		r.found = append(r.found, candidate{*f, chance})
	})
}

// bounds are, for steps of the spread, the changes outside which no stack
// reaches a chance.
type bounds struct {
	from, to float64 // for the widest spread
	step     float64
	bins     [][2]float64
}

const spreadBins = 48

func (r *run) bounds(chance float64) *bounds {
	widest := r.s.widest()
	b := &bounds{step: widest / spreadBins, from: math.Inf(-1), to: math.Inf(1)}
	slack := 0.0
	if !r.p.Belief.isNormal {
		slack = r.p.Belief.step // the quantiles' own error
	}
	b.bins = make([][2]float64, spreadBins+1)
	for j := range b.bins {
		spread := b.step * float64(j) // the upper edge of the bin
		from, to := math.Inf(-1), math.Inf(1)
		for k := 0.25; k <= 5; k += 0.25 {
			rest := chance - distribution(-k)
			if rest <= 0 {
				continue
			}
			to = math.Min(to, r.high+k*spread-r.p.Belief.quantile(rest)+slack)
			from = math.Max(from, r.low-k*spread-r.p.Belief.quantile(1-rest)-slack)
		}
		b.bins[j] = [2]float64{from, to}
	}
	b.from, b.to = b.bins[spreadBins][0], b.bins[spreadBins][1]
	return b
}

func (b *bounds) alive(shift, spread float64) bool {
	if b.step == 0 {
		return true
	}
	j := min(int(spread/b.step)+1, spreadBins)
	return shift >= b.bins[j][0] && shift <= b.bins[j][1]
}

// choose takes the best of what was found, and the next ones.
func (r *run) choose(solution *Solution) {
	likely := r.found[:0:0]
	for _, c := range r.found {
		if c.chance >= r.best-likelyEnough {
			likely = append(likely, c)
		}
	}
	sort.Slice(likely, func(i, j int) bool { return better(&likely[i], &likely[j]) })
	best := r.stack(&likely[0].found)
	solution.Best = &best
	for i := 1; i < len(likely) && i <= runnersUp; i++ {
		solution.RunnersUp = append(solution.RunnersUp, r.stack(&likely[i].found))
	}
}

// better is the rule of choice among stacks that are likely enough.
func better(a, b *candidate) bool {
	switch {
	case a.pieces != b.pieces:
		return a.pieces < b.pieces
	case a.changed != b.changed:
		return a.changed < b.changed
	case math.Abs(a.chance-b.chance) > sameChance:
		return a.chance > b.chance
	}
	return a.counts.before(b.counts)
}

// stack describes what was found.
func (r *run) stack(f *found) Stack {
	p, belief := r.p, r.p.Belief
	shift, spread := f.thickness-r.s.before, r.s.spread(f)
	below, inside := belief.chance(r.phi, r.low, r.high, shift, spread)
	below, inside = max(0, below), max(0, inside)
	st := Stack{
		Counts: make([]int, len(p.Kinds)), In: make([]int, len(p.Kinds)), Out: make([]int, len(p.Kinds)),
		Clearance:   quantity.Within(quantity.Length(belief.mean+shift), math.Sqrt(belief.u*belief.u+spread*spread)),
		Probability: inside, ProbabilityBelow: below, ProbabilityAbove: max(0, 1-below-inside),
		Pieces: f.pieces,
	}
	for _, it := range r.s.items {
		x := int(f.counts[it.index])
		in, out := it.change(x)
		st.Added += in
		st.Removed += out
		switch {
		case !it.fitted:
			st.Counts[it.index], st.In[it.index], st.Out[it.index] = x, in, out
		case out > 0:
			st.PiecesOut = append(st.PiecesOut, it.index-len(p.Kinds))
		default:
			st.KeptPieces = append(st.KeptPieces, it.index-len(p.Kinds))
		}
	}
	sort.Ints(st.PiecesOut)
	sort.Ints(st.KeptPieces)
	st.Order, st.Pack = order(p, st)
	return st
}
