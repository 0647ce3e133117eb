package diagnose

import "math"

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
	p.put(set{[3]int16{-1, -1, -1}, chances(start)})
	one, two := make([]float64, k), make([]float64, k)
	singles := make([]float64, n)
	pairs := make([]float64, n*n)
	rise := make([]float64, n*n) // Σ over third causes of w(pair and third)
	for a := range n {
		multiply(one, start, q[a])
		singles[a] = u[a] * chances(one)
		p.put(set{[3]int16{int16(a), -1, -1}, singles[a]})
		if together < 2 {
			continue
		}
		for b := a + 1; b < n; b++ {
			multiply(two, one, q[b])
			w := u[a] * u[b] * chances(two)
			pairs[a*n+b] = w
			p.put(set{[3]int16{int16(a), int16(b), -1}, w})
			if together < 3 {
				continue
			}
			for c := b + 1; c < n; c++ {
				w := u[a] * u[b] * u[c] * chancesWith(two, q[c])
				p.put(set{[3]int16{int16(a), int16(b), int16(c)}, w})
				rise[a*n+b] += w
				rise[a*n+c] += w
				rise[b*n+c] += w
			}
		}
	}
	for j := range p.causes {
		p.causes[j] /= p.total
	}
	p.bound(n, together, singles, pairs, rise)
	return p
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

// bound limits what the sets beyond together causes could weigh. With
// r(T) = Σ over further causes of w(T and it)/w(T), which falls as T grows:
//
//	W_(k+1) = Σ over sets T of k causes w(T)·r(T)/(k + 1) ≤ W_k·max r/(k + 1)
//
// r of a set of three is taken as the least r of its pairs. The series
// W_4·(1 + r/5 + r²/30 + …) is summed.
func (p *posterior) bound(n, together int, singles, pairs, rise []float64) {
	next, most := 0.0, 0.0 // bound of W_(together+1); greatest r of the last size
	switch together {
	case 3:
		for i := range pairs {
			if pairs[i] > 0 {
				rise[i] /= pairs[i]
			}
		}
		for _, s := range p.sets {
			if s.causes[2] < 0 {
				continue
			}
			a, b, c := int(s.causes[0]), int(s.causes[1]), int(s.causes[2])
			r := min(rise[a*n+b], rise[a*n+c], rise[b*n+c])
			next += s.weight * r / 4
			most = max(most, r)
		}
	case 2:
		r := make([]float64, n)
		for a := range n {
			for b := a + 1; b < n; b++ {
				r[a] += pairs[a*n+b]
				r[b] += pairs[a*n+b]
			}
		}
		for j := range r {
			if singles[j] > 0 {
				r[j] /= singles[j]
			}
		}
		for a := range n {
			for b := a + 1; b < n; b++ {
				least := min(r[a], r[b])
				next += pairs[a*n+b] * least / 3
				most = max(most, least)
			}
		}
	default:
		w0 := p.sets[0].weight
		for _, w := range singles {
			most += w / w0
		}
		next = w0 * most * most / 2
	}
	if together >= n {
		return
	}
	tail, step := 0.0, next
	for size := together + 2; size <= n+1; size++ {
		tail += step
		step *= most / float64(size)
	}
	p.beyond = tail / (p.total + tail)
	if math.IsNaN(p.beyond) {
		p.beyond = 1
	}
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
