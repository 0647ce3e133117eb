package cover

import (
	"math"
	"sort"

	"pumpwright/calc/say"
)

// Gap is how far an answer may be from the best, where the search was stopped
// before it was proved.
type Gap struct {
	What  say.Message // pieces left over, price, price and waiting
	Found float64
	Least float64 // no answer has less
}

var (
	gapPieces = say.Define("cover.gap_pieces", "number of pieces left over")
	gapPrice  = say.Define("cover.gap_price", "price")
	gapAmong  = say.Define("cover.gap_among", "price among the covers with as few pieces left over")
	gapTotal  = say.Define("cover.gap_total", "price and waiting together")
	warnGap   = say.Define("cover.warn_gap", "not proved least: {what:message} {found:number} is the best that was found, and none has less than {least:number}; split the needs, or leave out offers that cannot be best, for a proof")
)

// mostEffort is how much one question may take, in entries of tableaus: about
// 20 ms of processor time here. The larger part goes to the first measure where
// there are two.
const (
	mostEffort  = 30_000_000
	firstEffort = 22_000_000
)

func price(c column) float64 { return c.price }

// solve finds the counts of the offers for the aim.
func (p *problem) solve(in Input) (counts []int, nodes int, gap *Gap) {
	all := make([]bool, len(p.columns))
	for j := range all {
		all[j] = true
	}
	var x []int
	switch e := (&effort{mostEffort}); in.Aim {
	case LeastLeftOver:
		x, nodes, gap = p.fewestPieces(all)
	case LeastTotal:
		x, nodes, gap = p.leastTotal(in.CostOfWaiting, e)
	default:
		use := all
		if in.Aim == Soonest {
			use = p.upTo(p.soonest())
		}
		var least float64
		x, nodes, least = p.minimise(use, price, math.Inf(1), nil, e)
		gap = gapBetween(gapPrice.With(), p.sum(x, price), least)
	}
	counts = make([]int, len(in.Offers))
	for j, n := range x {
		counts[p.columns[j].offer] = n
	}
	return counts, nodes, gap
}

// gapBetween is nil where the two are the same but for rounding.
func gapBetween(what say.Message, found, least float64) *Gap {
	if found-least <= 1e-6*max(1, math.Abs(found)) {
		return nil
	}
	return &Gap{what, found, least}
}

func (p *problem) sum(x []int, weight func(column) float64) float64 {
	sum := 0.0
	for j, n := range x {
		sum += weight(p.columns[j]) * float64(n)
	}
	return sum
}

// fewestPieces takes the cheapest among the covers with the fewest pieces.
func (p *problem) fewestPieces(use []bool) ([]int, int, *Gap) {
	pieces := func(c column) float64 { return c.pieces }
	first := &effort{firstEffort}
	few, nodes, least := p.minimise(use, pieces, math.Inf(1), nil, first)
	limit, start := p.sum(few, pieces), p.sum(few, price)
	gap := gapBetween(gapPieces.With(), limit, least)
	if gap != nil { // what is left over, not what is bought
		needed := 0
		for _, n := range p.needs {
			needed += n
		}
		gap.Found, gap.Least = gap.Found-float64(needed), gap.Least-float64(needed)
	}
	second := &effort{max(first.left, 0) + mostEffort - firstEffort}
	x, more, leastPrice := p.minimise(use, price, start, &budget{weight: pieces, limit: limit}, second)
	if x == nil {
		x = few // nothing cheaper with as few pieces was found
	}
	if gap == nil {
		gap = gapBetween(gapAmong.With(), p.sum(x, price), leastPrice)
	}
	return x, nodes + more, gap
}

// leads lists the lead times of the columns, ascending, each once.
func (p *problem) leads() []float64 {
	var list []float64
	for _, c := range p.columns {
		list = append(list, c.lead)
	}
	sort.Float64s(list)
	kept := list[:0]
	for i, v := range list {
		if i == 0 || v != list[i-1] {
			kept = append(kept, v)
		}
	}
	return kept
}

// upTo marks the columns that arrive by a time.
func (p *problem) upTo(lead float64) []bool {
	use := make([]bool, len(p.columns))
	for j, c := range p.columns {
		use[j] = c.lead <= lead
	}
	return use
}

// covers reports whether the marked columns, all taken to their limits, cover
// every need.
func (p *problem) covers(use []bool) bool {
	for row, need := range p.needs {
		have := 0
		for j, c := range p.columns {
			if use[j] {
				have += c.counts[row] * c.limit
			}
		}
		if have < need {
			return false
		}
	}
	return true
}

// soonest returns the least lead time whose offers cover every need.
func (p *problem) soonest() float64 {
	leads := p.leads()
	i := sort.Search(len(leads)-1, func(i int) bool { return p.covers(p.upTo(leads[i])) })
	return leads[i]
}

const secondsPerDay = 86400

// leastTotal minimises price + waiting. For each lead time the cheapest cover
// of what arrives by then is a candidate. Those with the least bound are
// searched first, so that the best total soon rules out the rest.
func (p *problem) leastTotal(perDay float64, e *effort) ([]int, int, *Gap) {
	type candidate struct {
		search         *search
		waiting, bound float64
	}
	var list []candidate
	first := p.soonest()
	for _, lead := range p.leads() {
		if lead < first {
			continue
		}
		c := candidate{search: p.newSearch(p.upTo(lead), price, nil, e), waiting: perDay * lead / secondsPerDay}
		c.bound = c.waiting + c.search.bound()
		list = append(list, c)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].bound < list[j].bound })
	var best []int
	bestTotal, nodes, open := math.Inf(1), 0, math.Inf(1)
	for _, c := range list {
		if c.bound >= bestTotal {
			break
		}
		x := c.search.run(bestTotal - c.waiting)
		nodes += c.search.nodes
		open = min(open, c.waiting+c.search.open)
		if x == nil {
			continue
		}
		if total := p.total(x, perDay); total < bestTotal {
			best, bestTotal = x, total
		}
	}
	return best, nodes, gapBetween(gapTotal.With(), bestTotal, min(bestTotal, open))
}

// total returns price and waiting of counts.
func (p *problem) total(x []int, perDay float64) float64 {
	total, worst := 0.0, 0.0
	for j, count := range x {
		if count > 0 {
			total += p.columns[j].price * float64(count)
			worst = max(worst, p.columns[j].lead)
		}
	}
	return total + perDay*worst/secondsPerDay
}
