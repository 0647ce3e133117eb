package cover

import (
	"math"
	"sort"
)

// solve finds the counts of the offers for the aim.
func (p *problem) solve(in Input) ([]int, int, error) {
	all := make([]bool, len(p.columns))
	for j := range all {
		all[j] = true
	}
	price := func(c column) float64 { return c.price }
	var x []int
	nodes := 0
	var err error
	switch in.Aim {
	case Cheapest:
		x, nodes, err = p.minimise(all, price, math.Inf(1), nil)
	case LeastLeftOver:
		x, nodes, err = p.fewestPieces(all, price)
	case Soonest:
		use := p.upTo(p.soonest())
		x, nodes, err = p.minimise(use, price, math.Inf(1), nil)
	case LeastTotal:
		x, nodes, err = p.leastTotal(in.CostOfWaiting, price)
	}
	if err != nil {
		return nil, nodes, err
	}
	counts := make([]int, len(in.Offers))
	for j, n := range x {
		counts[p.columns[j].offer] = n
	}
	return counts, nodes, nil
}

// fewestPieces takes the cheapest among the covers with the fewest pieces.
func (p *problem) fewestPieces(use []bool, price func(column) float64) ([]int, int, error) {
	pieces := func(c column) float64 { return c.pieces }
	few, nodes, err := p.minimise(use, pieces, math.Inf(1), nil)
	if err != nil {
		return nil, nodes, err
	}
	limit, start := 0.0, 0.0
	for j, n := range few {
		limit += p.columns[j].pieces * float64(n)
		start += p.columns[j].price * float64(n)
	}
	cap := &budget{weight: pieces, limit: limit}
	x, more, err := p.minimise(use, price, start, cap)
	if x == nil {
		x = few // nothing cheaper with as few pieces
	}
	return x, nodes + more, err
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
func (p *problem) leastTotal(perDay float64, price func(column) float64) ([]int, int, error) {
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
		c := candidate{search: p.newSearch(p.upTo(lead), price, nil), waiting: perDay * lead / secondsPerDay}
		c.bound = c.waiting + c.search.bound()
		list = append(list, c)
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].bound < list[j].bound })
	var best []int
	bestTotal, nodes := math.Inf(1), 0
	for _, c := range list {
		if c.bound >= bestTotal {
			break
		}
		x, err := c.search.run(bestTotal - c.waiting)
		nodes += c.search.nodes
		if err != nil {
			return nil, nodes, err
		}
		if x == nil {
			continue
		}
		if total := p.total(x, perDay); total < bestTotal {
			best, bestTotal = x, total
		}
	}
	return best, nodes, nil
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
