package bolt

import (
	"strconv"

	"pumpwright/calc/say"
)

var (
	msgCount   = say.Define("bolt.count", "a joint has at least 2 bolts")
	msgCountIs = say.Define("bolt.count_is", "give a count from 2 to {most:count}")
	msgPasses  = say.Define("bolt.passes", "passes are fractions that rise above 0 to 1")
	msgPassIs  = say.Define("bolt.passes_is", "give a number from 1 to {most:count}, or fractions like [0.3, 0.6, 1]")
)

const (
	mostBolts  = 400
	mostPasses = 10
)

// Sequence returns the order in which the bolts of a circle are tightened,
// numbered from 1 in the order in which they stand. Each next bolt is at least
// a quarter of the circle away, with any count: opposite pairs, each pair as
// far as can be from those before it; with an odd count the steps of nearly
// half a circle.
//
// Why a pair order always crosses: from bolt a + n/2 to the next pair (b,
// b + n/2) one of the two lies n/4 steps or more away.
//
// Source: common practice, no source; derived here for any count.
func Sequence(count int) ([]int, error) {
	if count < 2 || count > mostBolts {
		return nil, say.Refuse("count", strconv.Itoa(count), msgCount.With(), msgCountIs.With(mostBolts))
	}
	order := make([]int, 0, count)
	if count%2 == 1 {
		step := (count - 1) / 2
		for i, bolt := 0, 0; i < count; i, bolt = i+1, (bolt+step)%count {
			order = append(order, bolt+1)
		}
		return order, nil
	}
	half := count / 2
	for _, pair := range spread(half) {
		first, second := pair, pair+half
		if len(order) > 0 {
			last := order[len(order)-1] - 1
			if apart(last, second, count) > apart(last, first, count) {
				first, second = second, first
			}
		}
		order = append(order, first+1, second+1)
	}
	return order, nil
}

// apart counts the steps between two bolts the short way round.
func apart(a, b, count int) int {
	d := (a - b + count) % count
	return min(d, count-d)
}

// spread orders n places on a circle so that each is as far as can be from
// those before it, the lowest number first among equals.
func spread(n int) []int {
	distance := make([]int, n)
	for i := range distance {
		distance[i] = n + 1
	}
	order := make([]int, 0, n)
	for len(order) < n {
		best := 0
		for i, d := range distance {
			if d > distance[best] {
				best = i
			}
		}
		order = append(order, best)
		for i := range distance {
			distance[i] = min(distance[i], apart(i, best, n))
		}
		distance[best] = -1
	}
	return order
}

// Passes returns the fractions of the full torque for a number of passes.
//
//	1: 1.00 · 2: 0.50, 1.00 · 3: 0.30, 0.60, 1.00 · n: equal steps
//
// After the last pass goes one more round at full torque, bolt by bolt in
// order, until none moves.
//
// Source: common practice for gasketed joints (the cross pattern rounds of
// ASME PCC-1, from memory: snug, 20 to 30 %, 50 to 70 %, 100 %, then 100 % in
// circular order).
func Passes(count int) ([]float64, error) {
	switch {
	case count < 1 || count > mostPasses:
		return nil, say.Refuse("passes", strconv.Itoa(count), msgPasses.With(), msgPassIs.With(mostPasses))
	case count == 3:
		return []float64{0.30, 0.60, 1.00}, nil
	}
	fractions := make([]float64, count)
	for i := range fractions {
		fractions[i] = float64(i+1) / float64(count)
	}
	return fractions, nil
}

// checkPasses refuses fractions that do not rise from above 0 to 1.
func checkPasses(fractions []float64) error {
	last := 0.0
	for i, f := range fractions {
		if !(f > last) || f > 1 {
			return say.Refuse("passes["+strconv.Itoa(i)+"]", strconv.FormatFloat(f, 'g', -1, 64), msgPasses.With(), msgPassIs.With(mostPasses))
		}
		last = f
	}
	if last != 1 {
		return say.Refuse("passes", "", msgPasses.With(), msgPassIs.With(mostPasses))
	}
	return nil
}
