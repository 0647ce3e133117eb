package diagnose

import (
	"math"
	"sort"
)

// set is a set of at most three causes with its weight; free places are -1.
type set struct {
	causes [3]int16
	weight float64
}

// posterior is the sum over the sets.
type posterior struct {
	sets   []set
	total  float64 // Σ of weights
	beyond float64 // upper bound of the share of larger sets, 0 … 1
	causes []float64
}

// sum weighs every set of at most together causes:
//
//	w(S) = Π over j in S u_j · Π over found facts (1 − (1 − leak)·Π over j in S miss_j)
//	u_j  = odds of the prior · Π of halves · Π of misses of absent facts
//
// Factors that are the same for all sets are left out.
func (m *Model) sum(terms []term, odds []float64, together int) *posterior {
	n := len(odds)
	u := append([]float64(nil), odds...)
	var found []term
	for i := range terms {
		t := &terms[i]
		for j := range u {
			u[j] *= t.half[j]
			if t.state == Absent {
				u[j] *= t.miss[j]
			}
		}
		if t.state == Found {
			found = append(found, *t)
		}
	}
	k := len(found)
	q := make([][]float64, n) // [cause][fact] misses
	for j := range q {
		q[j] = make([]float64, k)
		for t := range found {
			q[j][t] = found[t].miss[j]
		}
	}
	start := make([]float64, k)
	for t := range found {
		start[t] = 1 - found[t].leak
	}
	p := &posterior{causes: make([]float64, n)}
	p.sets = make([]set, 0, setCount(n, together))
	none := chances(start)
	p.put(set{[3]int16{-1, -1, -1}, none})
	one, two := make([]float64, k), make([]float64, k)
	alone := make([]float64, n)
	order := make([]int, n)
	for a := range n {
		alone[a] = u[a] * chancesWith(start, q[a])
		order[a] = a
	}
	sort.SliceStable(order, func(x, y int) bool { return alone[order[x]] > alone[order[y]] })
	singles, pairs, triples := make([]float64, n), make([]float64, n), make([]float64, n)
	for x, a := range order {
		singles[x] = alone[a]
		p.put(set{[3]int16{int16(a), -1, -1}, alone[a]})
		if together < 2 {
			continue
		}
		multiply(one, start, q[a])
		for y := x + 1; y < n; y++ {
			b := order[y]
			multiply(two, one, q[b])
			pairs[y] = u[a] * u[b] * chances(two)
			p.put(set{[3]int16{int16(a), int16(b), -1}, pairs[y]})
			if together < 3 {
				continue
			}
			for z := y + 1; z < n; z++ {
				c := order[z]
				triples[z] = u[a] * u[b] * u[c] * chancesWith(two, q[c])
				p.put(set{[3]int16{int16(a), int16(b), int16(c)}, triples[z]})
			}
			p.beyond += larger(pairs[y], triples[y+1:])
		}
		if together == 2 {
			p.beyond += larger(alone[a], pairs[x+1:])
		}
	}
	if together == 1 {
		p.beyond = larger(none, singles)
	}
	for j := range p.causes {
		p.causes[j] /= p.total
	}
	p.beyond /= p.total + p.beyond
	return p
}

// larger bounds the weight of the sets that were not summed and begin, in the
// order of the causes, with a set of weight base and one of the causes whose
// sets with it weigh with[0], with[1], …
//
// A further cause multiplies the weight of a larger set by no more than that of
// a smaller one, r_j = with_j/base. So the larger sets that go on after cause c
// weigh at most
//
//	with_c·(Π over later j (1 + r_j) − 1)
func larger(base float64, with []float64) float64 {
	if !(base > 0) {
		return 0
	}
	var sum float64
	more := 0.0 // Π (1 + r) − 1 over the later causes
	for c := len(with) - 1; c >= 0; c-- {
		sum += with[c] * more
		more += (1 + more) * with[c] / base
	}
	return sum
}

func setCount(n, together int) int {
	count := 1 + n
	if together > 1 {
		count += n * (n - 1) / 2
	}
	if together > 2 {
		count += n * (n - 1) * (n - 2) / 6
	}
	return count
}

func (p *posterior) put(s set) {
	p.sets = append(p.sets, s)
	p.total += s.weight
	for _, j := range s.causes {
		if j >= 0 {
			p.causes[j] += s.weight
		}
	}
}

func multiply(to, a, b []float64) {
	for t := range to {
		to[t] = a[t] * b[t]
	}
}

func chances(miss []float64) float64 {
	w := 1.0
	for _, v := range miss {
		w *= 1 - v
	}
	return w
}

func chancesWith(miss, q []float64) float64 {
	w := 1.0
	q = q[:len(miss)]
	for t, v := range miss {
		w *= 1 - v*q[t]
	}
	return w
}

// heavy returns the heaviest sets that together hold at least a share of all
// weight, with their probabilities among themselves. Sets are taken by powers
// of two of their weight, which needs no sorting.
func (p *posterior) heavy(share float64) (sets []set, probability []float64) {
	_, top := math.Frexp(p.total)
	const depth = 200
	var held [depth]float64
	place := func(weight float64) int {
		_, e := math.Frexp(weight)
		return min(max(top-e, 0), depth-1)
	}
	for _, s := range p.sets {
		held[place(s.weight)] += s.weight
	}
	last, sum := 0, held[0]
	for last < depth-1 && sum < share*p.total {
		last++
		sum += held[last]
	}
	for _, s := range p.sets {
		if place(s.weight) <= last {
			sets = append(sets, s)
			probability = append(probability, s.weight/sum)
		}
	}
	return sets, probability
}
