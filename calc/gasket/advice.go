package gasket

import (
	"math"

	"pumpwright/calc/quantity"
)

// WantedChance is the chance of landing from which a stack needs no warning.
// Our own convention.
const WantedChance = 0.95

// NeededU finds the standard uncertainty of the present clearance at which the
// best stack would land with the wanted chance, were the reading to stay where
// it is. ok is false when no reading, however good, is enough: then the pieces
// themselves are too uncertain (measure each one) or too coarse.
func NeededU(p Problem, chance float64) (u quantity.Length, ok bool) {
	const finest = 0.5e-6
	reaches := func(u float64) bool {
		p.Belief = normalBelief(p.Belief.mean, u)
		s, err := Solve(p)
		return err == nil && s.Best != nil && s.Best.Probability >= chance-likelyEnough
	}
	if p.Belief == nil || p.check() != nil {
		return 0, false
	}
	lo, hi := finest, math.Max(p.Belief.u, 2*finest)
	if !reaches(lo) {
		return 0, false
	}
	for hi-lo > 0.25e-6 {
		mid := (lo + hi) / 2
		if reaches(mid) {
			lo = mid
		} else {
			hi = mid
		}
	}
	return quantity.Length(lo), true
}
