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

// UnsureCompression is the standard uncertainty of a compression that is taken
// as listed and was never measured: ±0.05, equally likely. Our own convention.
const UnsureCompression = 0.029

// ChanceWithUnsureCompression returns the chance of the best stack when the
// compression has the given standard uncertainty on top of what the problem
// states; ok is false where that changes little: the compression was stated as
// unsure, or hardly any thickness changes.
func (s *Solution) ChanceWithUnsureCompression(u float64) (chance float64, ok bool) {
	p := s.Problem
	if s.Best == nil || p.ExtraCompressionU > 0 || !(u > 0) {
		return 0, false
	}
	shift, variance, free := 0.0, 0.0, 0.0
	for i, it := range p.items() {
		x := 0
		if i < len(p.Kinds) {
			x = s.Best.Counts[i]
		} else {
			for _, j := range s.Best.KeptPieces {
				if j == i-len(p.Kinds) {
					x = 1
				}
			}
		}
		in, out := it.change(x)
		shift += float64(x-it.before) * it.thickness
		variance += float64(in+out) * it.variance
		free += float64(x-it.before) * it.free
	}
	_, chance = p.Belief.chance(phi(), float64(p.Low), float64(p.High), shift, math.Sqrt(variance+u*u*free*free))
	return chance, s.Best.Probability-chance > 2*likelyEnough
}
