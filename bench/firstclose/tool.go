package main

import (
	"fmt"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
)

// practice is how a shop works with the solver.
type practice struct {
	name        string
	thrice      bool // three readings of each depth, at three places
	compression bool // the compression is said to be unsure
	learned     bool // compression learned from earlier jobs
	micrometer  bool // each piece about to be fitted is measured
	fixture     bool // the stack about to be fitted is measured under torque
	newLot      bool // the gaskets are of a lot that nothing was learned from
	feeler      bool // trials are read with the feeler, else with a dial
}

// rebuild closes one pump by the solver.
func (w practice) rebuild(j *job) (outcome, error) {
	stack, belief, chance, err := w.firstStack(j)
	if err != nil {
		return outcome{}, err
	}
	o := outcome{stated: chance}
	for n := 1; n <= mostAssemblies; n++ {
		s := j.clearance(stack)
		if n == 1 {
			o.below = s < j.low
		}
		if j.right(s) {
			o.assemblies = n
			return o, nil
		}
		now, err := w.trial(j, s, belief)
		if err != nil {
			return o, err
		}
		p := w.problem(j, stack)
		p.Belief = now
		solution, err := gasket.Solve(p)
		if err != nil {
			return o, err
		}
		best := solution.Best
		if best == nil {
			best = solution.Nearest
		}
		if best.Changed() == 0 {
			o.stopped = true
			return o, nil
		}
		belief = &best.Clearance
		stack = w.refit(j, stack, best)
	}
	return o, nil
}

// firstStack finds the stack for the first assembly, what is believed of its
// clearance and the chance that is stated for it.
func (w practice) firstStack(j *job) ([]piece, *quantity.Estimate[quantity.Length], float64, error) {
	times, u := 1, statedDepthOnce
	if w.thrice {
		times, u = 3, statedDepthThrice
	}
	gap := estimate(j.depths(times), u)
	var stack []piece // chosen so far, lying on the bench
	belief := gap
	var chance float64
	for range 5 {
		p := w.problem(j, stack)
		now, err := gasket.NewBelief(belief, nil, nil)
		if err != nil {
			return nil, nil, 0, err
		}
		p.Belief = now
		if w.micrometer {
			p = withMeasured(p, stack)
		}
		solution, err := gasket.Solve(p)
		if err != nil {
			return nil, nil, 0, err
		}
		best := solution.Best
		if best == nil {
			best = solution.Nearest
		}
		chance = best.Probability
		expected := best.Clearance
		switch {
		case w.fixture:
			if stack != nil && best.Changed() == 0 {
				return stack, &expected, chance, nil
			}
			stack = w.refit(j, stack, best)
			belief = estimate(inMM(gap.Value)+j.fixtureReading(stack), sqrt(u*u+statedFixture*statedFixture))
		case w.micrometer:
			chosen, fresh := j.chooseMeasured(stack, best)
			if !fresh {
				return chosen, &expected, chance, nil
			}
			stack = chosen
		default:
			return w.refit(j, nil, best), &expected, chance, nil
		}
	}
	return stack, belief, chance, nil
}

// problem is the question for the solver. Pieces in stack are fitted.
func (w practice) problem(j *job, stack []piece) gasket.Problem {
	p := gasket.Problem{Kinds: shelf(), Low: mm(j.low), High: mm(j.high)}
	if w.compression {
		p.ExtraCompressionU = statedCompression
	}
	if w.learned {
		l := j.shop.learned[0]
		if w.micrometer {
			l = j.shop.learned[1]
		}
		p.ExtraCompression, p.ExtraCompressionU = l.extra, l.u
	}
	p.Fitted = make([]int, len(p.Kinds))
	for _, q := range stack {
		p.Fitted[q.kind]++
	}
	for i, n := range p.Fitted {
		p.Kinds[i].Stock -= n
	}
	return p
}

// withMeasured asks for a first stack again, with the pieces measured so far
// as kinds of their own.
func withMeasured(p gasket.Problem, measured []piece) gasket.Problem {
	kinds := append([]gasket.Kind(nil), p.Kinds...)
	for i, q := range measured {
		kinds = append(kinds, measuredKind(q, i))
	}
	p.Kinds, p.Fitted = kinds, nil
	return p
}

// chooseMeasured takes the measured pieces of a solution and measures the
// others it wants; fresh tells whether there were any.
func (j *job) chooseMeasured(measured []piece, best *gasket.Stack) (all []piece, fresh bool) {
	var chosen []piece
	kinds := len(shelf())
	for i, q := range measured {
		if best.Counts[kinds+i] > 0 {
			chosen = append(chosen, q)
		}
	}
	for kind := range kinds {
		for range best.Counts[kind] {
			chosen, fresh = append(chosen, j.measure(j.take(kind))), true
		}
	}
	return chosen, fresh
}

// refit changes a stack as the solver says.
func (w practice) refit(j *job, stack []piece, best *gasket.Stack) []piece {
	return j.build(stack, best.Counts[:len(shelf())])
}

// trial is what is known after a trial assembly. A dial reading stands alone:
// what was expected before is less sure than it, and may be wrong together
// with the compression. A leaf needs the expectation beside it, unless the two
// contradict each other.
func (w practice) trial(j *job, s float64, expected *quantity.Estimate[quantity.Length]) (*gasket.Belief, error) {
	dial, feeler := w.read(j, s)
	if dial != nil {
		return gasket.NewBelief(dial, nil, nil)
	}
	if b, err := gasket.NewBelief(nil, feeler, expected); err == nil {
		return b, nil
	}
	if feeler.Goes == nil { // it binds, by no more than a leaf or two
		return gasket.NewBelief(nil, feeler, estimate(0, 2*thinnestLeaf))
	}
	return gasket.NewBelief(nil, feeler, nil)
}

// read is the reading of a trial assembly.
func (w practice) read(j *job, s float64) (*quantity.Estimate[quantity.Length], *gasket.Feeler) {
	if !w.feeler {
		return estimate(j.dial(s), statedDial), nil
	}
	goes, noGo, ok := j.feeler(s)
	f := &gasket.Feeler{U: mm(statedFeel)}
	high := mm(noGo)
	f.NoGo = &high
	if ok {
		low := mm(goes)
		f.Goes = &low
	}
	return nil, f
}

// learn lets a shop learn its compression from earlier jobs: one trial each,
// depths read three times, the clearance by dial. What is learned with the
// printed thickness holds the offset of the lots too, so it is kept apart from
// what is learned with pieces under the micrometer.
func (s *shop) learn(jobs []*job) {
	s.learned = [2]learned{{0, statedCompression}, {0, statedCompression}}
	for _, j := range jobs {
		counts := nearestNominal(nil, j.middle()-j.gap)
		stack := j.build(nil, counts)
		gap := estimate(j.depths(3), statedDepthThrice)
		reading := estimate(j.dial(j.clearance(stack)), statedDial)
		s.learned[0].from(shelf(), counts, gap, reading)
		kinds := make([]gasket.Kind, len(stack))
		ones := make([]int, len(stack))
		for i, q := range stack {
			kinds[i] = measuredKind(j.measure(q), i)
			ones[i] = 1
		}
		s.learned[1].from(kinds, ones, gap, reading)
	}
}

// from takes one trial in. Readings that contradict each other teach nothing.
func (l *learned) from(kinds []gasket.Kind, counts []int, gap, reading *quantity.Estimate[quantity.Length]) {
	prior := gasket.LearnPrior{ExtraCompression: l.extra, ExtraCompressionU: l.u, WithoutGaskets: gap}
	got, err := gasket.Learn(kinds, []gasket.Trial{{Counts: counts, Measured: reading}}, prior)
	if err == nil {
		*l = learned{got.ExtraCompression, got.ExtraCompressionU}
	}
}

// measure puts a piece under the micrometer.
func (j *job) measure(q piece) piece {
	q.read = q.free + j.shop.micrometer + j.normal(micrometerNoise)
	return q
}

// measuredKind is a measured piece as a kind of its own.
func measuredKind(q piece, i int) gasket.Kind {
	k := shelf()[q.kind]
	k.Name = fmt.Sprintf("%s, piece %d", k.Name, i+1)
	k.Thickness, k.Tolerance, k.Stock = mm(q.read), mm(2*statedPiece), 1
	return k
}
