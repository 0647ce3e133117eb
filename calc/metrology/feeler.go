package metrology

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNoFeeler     = say.Define("metrology.no_feeler", "neither a leaf that goes nor one that does not is given")
	msgGiveFeeler   = say.Define("metrology.give_feeler", "give the thickest leaf that goes, the thinnest that does not, or both")
	msgNeedsPrior   = say.Define("metrology.needs_prior", "with one leaf only, the gap has no other end")
	msgGivePrior    = say.Define("metrology.give_prior", "give the leaf on the other side too, or what the gap is expected to be with its uncertainty")
	msgFeelerTurned = say.Define("metrology.feeler_turned", "the leaf that goes ({goes:length}) is not thinner than the one that does not ({no_go:length})")
	msgReadFeeler   = say.Define("metrology.read_feeler", "read both leaves again")
	msgFeelerU      = say.Define("metrology.feeler_u", "the uncertainty of a feeler leaf must be greater than zero")
	msgWriteFeelerU = say.Define("metrology.write_feeler_u", "usual is 0.005 mm, or 0.01 mm through a port")
	msgAgainstPrior = say.Define("metrology.against_prior", "the leaves and what was expected of the gap contradict each other")
	msgCheckBoth    = say.Define("metrology.check_both", "read the gap again and check what was expected")
)

// Feeler is a gap tried with leaves: the thickest that goes, the thinnest that
// does not. One side may be missing.
type Feeler struct {
	Goes *quantity.Length
	NoGo *quantity.Length
	U    quantity.Length // standard uncertainty of trying a leaf, > 0
}

// Belief is what is believed of a length: points with weights that add to 1.
type Belief struct {
	Points  []float64 // m, rising, evenly spaced
	Weights []float64
}

const (
	feelerPoints = 801
	feelerReach  = 6 // standard uncertainties beyond the leaves
)

// Belief returns the density of the gap s:
//
//	w(s) ∝ Φ((s − a)/u) · Φ((b − s)/u) · prior(s)
//
// a goes, b does not, u > 0. With one leaf only a prior is needed (normal);
// with both it may be left out. 801 points. Source: derived here (probability
// that a leaf of thickness a goes into a gap s is Φ((s − a)/u)).
func (f Feeler) Belief(prior *quantity.Estimate[quantity.Length]) (Belief, error) {
	if err := f.check(prior); err != nil {
		return Belief{}, err
	}
	u := f.U.SI()
	low, high := f.reach(prior)
	if !(low < high) {
		return Belief{}, say.Refuse("feeler", "", msgAgainstPrior.With(), msgCheckBoth.With())
	}
	b := Belief{Points: make([]float64, feelerPoints), Weights: make([]float64, feelerPoints)}
	total := 0.0
	for i := range b.Points {
		s := low + (high-low)*float64(i)/(feelerPoints-1)
		w := 1.0
		if f.Goes != nil {
			w *= phi((s - f.Goes.SI()) / u)
		}
		if f.NoGo != nil {
			w *= phi((f.NoGo.SI() - s) / u)
		}
		if prior != nil {
			z := (s - prior.Value.SI()) / prior.U
			w *= math.Exp(-z * z / 2)
		}
		b.Points[i], b.Weights[i] = s, w
		total += w
	}
	if !(total > 1e-9) {
		return Belief{}, say.Refuse("feeler", "", msgAgainstPrior.With(), msgCheckBoth.With())
	}
	for i := range b.Weights {
		b.Weights[i] /= total
	}
	return b, nil
}

// reach is where the density can differ from zero.
func (f Feeler) reach(prior *quantity.Estimate[quantity.Length]) (low, high float64) {
	low, high = math.Inf(-1), math.Inf(1)
	margin := feelerReach * f.U.SI()
	if f.Goes != nil {
		low = f.Goes.SI() - margin
	}
	if f.NoGo != nil {
		high = f.NoGo.SI() + margin
	}
	if prior != nil {
		low = math.Max(low, prior.Value.SI()-feelerReach*prior.U)
		high = math.Min(high, prior.Value.SI()+feelerReach*prior.U)
	}
	return low, high
}

func (f Feeler) check(prior *quantity.Estimate[quantity.Length]) error {
	if f.Goes == nil && f.NoGo == nil {
		return say.Refuse("goes", "", msgNoFeeler.With(), msgGiveFeeler.With())
	}
	if !(f.U > 0) || math.IsInf(f.U.SI(), 0) {
		return say.Refuse("u", formatNumber(f.U.SI())+" m", msgFeelerU.With(), msgWriteFeelerU.With())
	}
	if f.Goes != nil {
		if err := zeroOrMore("goes", f.Goes.SI()); err != nil {
			return err
		}
	}
	if f.NoGo != nil {
		if err := zeroOrMore("no_go", f.NoGo.SI()); err != nil {
			return err
		}
	}
	if f.Goes != nil && f.NoGo != nil && !(*f.Goes < *f.NoGo) {
		return say.Refuse("goes", f.Goes.String(), msgFeelerTurned.With(*f.Goes, *f.NoGo), msgReadFeeler.With())
	}
	if prior == nil && (f.Goes == nil || f.NoGo == nil) {
		return say.Refuse("first", "", msgNeedsPrior.With(), msgGivePrior.With())
	}
	if prior != nil {
		if err := finite("first.gap", prior.Value.SI()); err != nil {
			return err
		}
		if !(prior.U > 0) || math.IsInf(prior.U, 0) {
			return say.Refuse("first.u", formatNumber(prior.U)+" m", msgFeelerU.With(), msgGivePrior.With())
		}
	}
	return nil
}

// Estimate returns mean and standard uncertainty.
func (b Belief) Estimate() quantity.Estimate[quantity.Length] {
	mean, variance := 0.0, 0.0
	for i, w := range b.Weights {
		mean += w * b.Points[i]
	}
	for i, w := range b.Weights {
		variance += w * (b.Points[i] - mean) * (b.Points[i] - mean)
	}
	return quantity.Within(quantity.Length(mean), math.Sqrt(variance))
}

// Probability returns the chance that the length lies between two limits; a
// point stands for the stretch halfway to its neighbours.
func (b Belief) Probability(low, high quantity.Length) float64 {
	if len(b.Points) < 2 {
		return 0
	}
	step := b.Points[1] - b.Points[0]
	total := 0.0
	for i, w := range b.Weights {
		left, right := b.Points[i]-step/2, b.Points[i]+step/2
		overlap := math.Min(right, high.SI()) - math.Max(left, low.SI())
		if overlap > 0 {
			total += w * math.Min(1, overlap/step)
		}
	}
	return math.Min(1, total)
}
