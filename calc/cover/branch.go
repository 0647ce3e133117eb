package cover

import (
	"math"
	"sort"
)

// budget is one more condition: Σ weight x ≤ limit.
type budget struct {
	weight func(column) float64
	limit  float64
}

// search is one minimisation by branch and bound.
type search struct {
	columns []column // those in use
	places  []int    // their places among all
	width   int      // how many there are in all
	top     *tableau
	needs   []int
	weights []float64
	cap     *budget
	order   []int // columns, the worst buy last
	unit    float64
	best    []int
	bestZ   float64
	nodes   int
	effort  *effort
	open    float64 // least bound of the branches that were not looked at
	stack   []*tableau
	values  []float64
	trial   []int
}

// effort is the work that a search may take, counted in entries of the tableau
// that were touched: the same question stops at the same place everywhere.
type effort struct{ left int }

func (e *effort) spent() bool { return e.left <= 0 }

// minimise returns the counts of the columns that cover every need with the
// least Σ weight, if it is below a bound; nil if there is none. No answer has
// less than least: the answer's own weight where it is proved.
func (p *problem) minimise(use []bool, weight func(column) float64, below float64, cap *budget, e *effort) (x []int, nodes int, least float64) {
	s := p.newSearch(use, weight, cap, e)
	x = s.run(below)
	return x, s.nodes, s.least()
}

// least is the bound of what was found and of all that was not looked at; an
// answer is a multiple of the unit.
func (s *search) least() float64 {
	open := s.open
	if s.unit > 0 && !math.IsInf(open, 1) {
		open = math.Ceil(open/s.unit-1e-6) * s.unit
	}
	return min(s.bestZ, open)
}

// newSearch makes a search over the marked columns ready.
func (p *problem) newSearch(use []bool, weight func(column) float64, cap *budget, e *effort) *search {
	s := &search{needs: p.needs, cap: cap, width: len(p.columns), effort: e, open: math.Inf(1)}
	for j, c := range p.columns {
		if use[j] {
			s.places = append(s.places, j)
			s.columns = append(s.columns, c)
			s.weights = append(s.weights, weight(c))
		}
	}
	n := len(s.columns)
	s.values, s.trial = make([]float64, n), make([]int, n)
	s.unit = commonUnit(s.weights)
	s.rank()
	s.top = s.root()
	s.top.effort = e
	return s
}

// bound solves the relaxation and returns its value: no answer has less.
func (s *search) bound() float64 {
	if s.top.solve(math.Inf(1)) == hopeless {
		return math.Inf(1)
	}
	return s.top.z
}

// run looks for an answer below a bound.
func (s *search) run(below float64) []int {
	s.bestZ = below
	s.greedy()
	s.branch(s.top, 0)
	if s.best == nil {
		return nil
	}
	x := make([]int, s.width)
	for k, j := range s.places {
		x[j] = s.best[k]
	}
	return x
}

func (s *search) root() *tableau {
	n := len(s.columns)
	rows := make([][]float64, 0, len(s.needs)+1)
	needs := make([]float64, 0, len(s.needs)+1)
	for i, need := range s.needs {
		row := make([]float64, n)
		for j, c := range s.columns {
			// A count beyond the need covers no more, and a smaller
			// number makes the relaxation tighter.
			row[j] = float64(min(c.counts[i], need))
		}
		rows, needs = append(rows, row), append(needs, float64(need))
	}
	for i, need := range s.needs {
		for k := 2; k <= need; k++ {
			row, stronger := s.divided(i, need, k)
			if stronger {
				rows, needs = append(rows, row), append(needs, math.Ceil(float64(need)/float64(k)))
			}
		}
	}
	if s.cap != nil {
		row := make([]float64, n)
		for j, c := range s.columns {
			row[j] = -s.cap.weight(c)
		}
		rows, needs = append(rows, row), append(needs, -s.cap.limit)
	}
	limits := make([]float64, n)
	for j, c := range s.columns {
		limits[j] = float64(c.limit)
	}
	return newTableau(s.weights, rows, needs, limits)
}

// divided divides the condition of a part by k and rounds up, which every
// answer in whole numbers meets as well:
//
//	Σ ⌈a/k⌉ x ≥ ⌈need/k⌉
//
// stronger tells whether it cuts off something that the condition itself
// allows: some column alone would have to be taken more often.
//
// Source: Chvátal–Gomory rounding; Nemhauser and Wolsey, Integer and
// Combinatorial Optimization, II.1.
func (s *search) divided(i, need, k int) (row []float64, stronger bool) {
	row = make([]float64, len(s.columns))
	least := math.Ceil(float64(need) / float64(k))
	for j, c := range s.columns {
		a := min(c.counts[i], need)
		if a == 0 {
			continue
		}
		row[j] = math.Ceil(float64(a) / float64(k))
		if least/row[j] > float64(need)/float64(a)+1e-9 {
			stronger = true
		}
	}
	return row, stronger
}

// commonUnit returns the greatest number of which every weight is a multiple,
// looked for in hundredths; 0 when there is none. An answer that is better is
// better by a whole unit.
func commonUnit(weights []float64) float64 {
	const parts = 100
	unit := 0.0
	for _, w := range weights {
		v := w * parts
		whole := math.Round(v)
		if math.Abs(v-whole) > 1e-6 || whole > 1e12 {
			return 0
		}
		for whole > 0 { // greatest common divisor
			unit, whole = whole, math.Mod(unit, whole)
		}
	}
	return unit / parts
}

// cutoff returns the bound from which a branch cannot hold a better answer.
func (s *search) cutoff() float64 {
	if math.IsInf(s.bestZ, 1) {
		return s.bestZ
	}
	return s.bestZ - max(s.unit*(1-1e-4), 1e-9*max(1, math.Abs(s.bestZ)))
}

// rank orders the columns by weight for each needed piece, the best buy first.
func (s *search) rank() {
	value := make([]float64, len(s.columns))
	s.order = make([]int, len(s.columns))
	for j, c := range s.columns {
		pieces := 0
		for i, n := range c.counts {
			pieces += min(n, s.needs[i])
		}
		value[j] = s.weights[j] / float64(pieces)
		s.order[j] = j
	}
	sort.SliceStable(s.order, func(a, b int) bool { return value[s.order[a]] < value[s.order[b]] })
}

// greedy finds a first answer: always the offer with the least weight for each
// piece that is still missing.
func (s *search) greedy() {
	for j := range s.trial {
		s.trial[j] = 0
	}
	open := append([]int(nil), s.needs...)
	for {
		best, least := -1, math.Inf(1)
		for j, c := range s.columns {
			if s.trial[j] >= c.limit {
				continue
			}
			pieces := 0
			for i, n := range c.counts {
				pieces += max(0, min(n, open[i]))
			}
			if pieces > 0 {
				if rate := s.weights[j] / float64(pieces); rate < least {
					best, least = j, rate
				}
			}
		}
		if best < 0 {
			break
		}
		s.trial[best]++
		for i, n := range s.columns[best].counts {
			open[i] -= n
		}
	}
	s.offer()
}

// offer takes the trial counts as the best answer if they cover, after taking
// out what is not needed, and are better.
func (s *search) offer() {
	var spareRoom [64]int
	spare := spareRoom[:0]
	for i, need := range s.needs {
		have := -need
		for j, c := range s.columns {
			have += c.counts[i] * s.trial[j]
		}
		if have < 0 {
			return
		}
		spare = append(spare, have)
	}
	for place := len(s.order) - 1; place >= 0; place-- {
		j := s.order[place]
		for s.trial[j] > 0 && s.canSpare(j, spare) {
			s.trial[j]--
			for i, n := range s.columns[j].counts {
				spare[i] -= n
			}
		}
	}
	z := 0.0
	limited := 0.0
	for j, n := range s.trial {
		z += s.weights[j] * float64(n)
		if s.cap != nil {
			limited += s.cap.weight(s.columns[j]) * float64(n)
		}
	}
	if z >= s.bestZ || (s.cap != nil && limited > s.cap.limit*(1+1e-12)) {
		return
	}
	s.bestZ = z
	s.best = append(s.best[:0], s.trial...)
}

func (s *search) canSpare(j int, spare []int) bool {
	for i, n := range s.columns[j].counts {
		if spare[i] < n {
			return false
		}
	}
	return true
}

const whole = 1e-6 // distance from a whole number that counts as none

// branch solves the relaxation in t and looks at both sides of a column that
// is not whole.
func (s *search) branch(t *tableau, depth int) {
	for {
		if s.effort.spent() {
			s.open = min(s.open, t.z)
			return
		}
		s.nodes++
		if t.solve(s.cutoff()) == hopeless {
			return
		}
		t.values(s.values)
		row, down, up, tightened := s.pick(t)
		if row < 0 && !tightened {
			for j, v := range s.values {
				s.trial[j] = int(math.Round(v))
			}
			s.offer()
			return
		}
		s.roundUp()
		cutoff := s.cutoff()
		if t.z >= cutoff {
			return
		}
		t.fix(cutoff)
		if tightened {
			continue
		}
		v := t.basic[row]
		floor := math.Floor(t.x[row])
		child := s.room(depth)
		child.copyFrom(t)
		// The side with the smaller loss is looked at first.
		if up <= down {
			child.low[v] = floor + 1
			s.branch(child, depth+1)
			t.high[v] = floor
		} else {
			child.high[v] = floor
			s.branch(child, depth+1)
			t.low[v] = floor + 1
		}
	}
}

// pick chooses the basic column with the largest loss on its better side. A
// column whose loss on one side passes the cutoff is drawn in at once, and
// tightened is returned.
func (s *search) pick(t *tableau) (row int, down, up float64, tightened bool) {
	row = -1
	best := -1.0
	slack := s.cutoff() - t.z
	for i, v := range t.basic {
		if v >= t.n || math.Abs(t.x[i]-math.Round(t.x[i])) <= whole {
			continue
		}
		d, u := t.penalties(i)
		if d >= slack {
			t.low[v], tightened = math.Floor(t.x[i])+1, true
		}
		if u >= slack {
			t.high[v], tightened = math.Floor(t.x[i]), true
		}
		score := min(d, u) + 1e-3*min(max(d, u), 1e12)
		if score > best {
			row, best, down, up = i, score, d, u
		}
	}
	return row, down, up, tightened
}

// roundUp tries the relaxation with every broken count rounded up.
func (s *search) roundUp() {
	for j, v := range s.values {
		s.trial[j] = min(int(math.Ceil(v-whole)), s.columns[j].limit)
	}
	s.offer()
}

func (s *search) room(depth int) *tableau {
	for len(s.stack) <= depth {
		s.stack = append(s.stack, &tableau{})
	}
	return s.stack[depth]
}
