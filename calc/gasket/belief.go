package gasket

import (
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// FeelerU is the standard uncertainty of the feel of a feeler leaf where
// nothing better is known: 0.005 mm, twice that through a port.
// Source: common practice, no source.
const FeelerU quantity.Length = 5e-6

// Feeler is what two leaves of a feeler gauge tell: one goes, the next does
// not. One of them may be nil: the thinnest leaf did not go, or the thickest
// went. A rotor that binds is NoGo = 0.
type Feeler struct {
	Goes, NoGo *quantity.Length
	U          quantity.Length // of the feel; FeelerU when zero
}

// Belief is what is known of a clearance: its distribution.
type Belief struct {
	mean, u  float64
	isNormal bool
	ref      string // what it was read with
	// Otherwise a fine grid: points start + i·step, weights add to 1.
	start, step float64
	weights     []float64
	cumulative  []float64 // up to each point
	sharpness   float64   // 1/τ² of the sharpest feature, 1/m²
	levels      []level
}

// level is the grid thinned to every stride-th point.
type level struct {
	step   float64
	points []weighted
}

type weighted struct{ s, w float64 }

const (
	normalSpan  = 6.0  // standard uncertainties covered beyond a leaf
	fineSteps   = 800  // a multiple of the coarsest stride
	gridFeature = 16.0 // grid steps per uncertainty of the feel, at least
	// The sum over equally spaced points of a function with features no
	// sharper than a normal curve of width τ errs by 2·exp(−2π²τ²/h²):
	// under 1e-9 for h ≤ 0.94·τ (Poisson summation).
	aliasFree       = 0.94
	contradictory   = 1e-9
	largestFineGrid = 40_000
)

var strides = [...]int{1, 2, 4, 8, 16, 32}

var (
	msgNothingKnown  = say.Define("gasket.nothing_known", "nothing is known of the clearance yet")
	msgKnownBy       = say.Define("gasket.known_by", "give a dial reading with its uncertainty, two feeler leaves, or the depths of the open pump")
	msgOneLeaf       = say.Define("gasket.one_leaf", "one leaf alone bounds the clearance on one side only")
	msgOneLeafNeeds  = say.Define("gasket.one_leaf_needs", "give the other leaf, a dial reading, or the clearance without gaskets from the depths")
	msgLeafOrder     = say.Define("gasket.leaf_order", "the leaf that goes must be thinner than the one that does not")
	msgUPositive     = say.Define("gasket.u_positive", "a standard uncertainty is above zero")
	msgContradiction = say.Define("gasket.contradiction", "the readings cannot all be true: the feeler does not agree with the rest")
	msgLookAgain     = say.Define("gasket.look_again", "measure again, and look whether the rotor was pushed the same way for each reading")
	msgNotFinite     = say.Define("gasket.not_finite", "the number must be finite")
	msgLeafNegative  = say.Define("gasket.leaf_negative", "a leaf is not thinner than nothing")
)

// NewBelief joins what is known of a clearance. dial is any reading with a
// standard uncertainty; prior is what was expected before (nil: nothing). A
// feeler adds the weight
//
//	Φ((s − a)/u_m)·Φ((b − s)/u_m)
//
// for the leaf a that goes and the leaf b that does not, u_m the feel.
//
// Errors: a say.Problem for leaves in the wrong order, one leaf alone,
// uncertainties that are not above zero, readings that contradict each other.
// Source: derived here (Bayes' rule with a normal threshold of feel).
func NewBelief(dial *quantity.Estimate[quantity.Length], feeler *Feeler, prior *quantity.Estimate[quantity.Length]) (*Belief, error) {
	var weight, moment float64
	ref := givenBy(dial != nil, feeler != nil, prior != nil)
	for i, e := range []*quantity.Estimate[quantity.Length]{dial, prior} {
		if e == nil {
			continue
		}
		field := [...]string{"measured", "first"}[i]
		if !finite(float64(e.Value)) {
			return nil, refuse(field, float64(e.Value), msgNotFinite)
		}
		if !(e.U > 0) || !finite(e.U) {
			return nil, refuse([...]string{"u", "first.u"}[i], e.U, msgUPositive)
		}
		weight += 1 / (e.U * e.U)
		moment += float64(e.Value) / (e.U * e.U)
	}
	if feeler == nil || feeler.Goes == nil && feeler.NoGo == nil {
		if weight == 0 {
			return nil, say.Refuse("measured", "", msgNothingKnown.With(), msgKnownBy.With())
		}
		b := normalBelief(moment/weight, 1/math.Sqrt(weight))
		b.ref = ref
		return b, nil
	}
	feel, err := feeler.check(weight > 0)
	if err != nil {
		return nil, err
	}
	low, high, goes, noGo := math.Inf(-1), math.Inf(1), math.Inf(-1), math.Inf(1)
	b := &Belief{sharpness: weight, ref: ref}
	if feeler.Goes != nil {
		goes = float64(*feeler.Goes)
		low = goes - normalSpan*feel
		b.sharpness += 1 / (feel * feel)
	}
	if feeler.NoGo != nil {
		noGo = float64(*feeler.NoGo)
		high = noGo + normalSpan*feel
		b.sharpness += 1 / (feel * feel)
	}
	centre, width := 0.0, math.Inf(1)
	if weight > 0 {
		centre, width = moment/weight, 1/math.Sqrt(weight)
		low, high = math.Max(low, centre-8*width), math.Min(high, centre+8*width)
	}
	if !(low < high) {
		return nil, say.Refuse("feeler", "", msgContradiction.With(), msgLookAgain.With())
	}
	weigh := func(s float64) float64 {
		d := 1.0
		if goes > math.Inf(-1) {
			d *= distribution((s - goes) / feel)
		}
		if noGo < math.Inf(1) {
			d *= distribution((noGo - s) / feel)
		}
		if weight > 0 {
			z := (s - centre) / width
			d *= math.Exp(-z * z / 2)
		}
		return d
	}
	if !b.fill(low, high, math.Min(feel, width), weigh) {
		return nil, say.Refuse("feeler", "", msgContradiction.With(), msgLookAgain.With())
	}
	return b, nil
}

// givenBy names the readings behind a belief.
func givenBy(dial, feeler, prior bool) string {
	var names []string
	for i, given := range [...]bool{dial, feeler, prior} {
		if given {
			names = append(names, [...]string{"measured", "feeler", "first"}[i])
		}
	}
	return strings.Join(names, ", ")
}

func (f Feeler) check(bounded bool) (feel float64, err error) {
	for i, leaf := range []*quantity.Length{f.Goes, f.NoGo} {
		field := [...]string{"feeler.goes", "feeler.no_go"}[i]
		if leaf == nil {
			continue
		}
		if !finite(float64(*leaf)) {
			return 0, refuse(field, float64(*leaf), msgNotFinite)
		}
		if *leaf < 0 {
			return 0, refuse(field, float64(*leaf), msgLeafNegative)
		}
	}
	if f.Goes != nil && f.NoGo != nil && !(*f.Goes < *f.NoGo) {
		return 0, refuse("feeler.no_go", float64(*f.NoGo), msgLeafOrder)
	}
	if (f.Goes == nil || f.NoGo == nil) && !bounded {
		return 0, say.Refuse("feeler", "", msgOneLeaf.With(), msgOneLeafNeeds.With())
	}
	feel = float64(f.U)
	if feel == 0 {
		feel = float64(FeelerU)
	}
	if !(feel > 0) || !finite(feel) {
		return 0, refuse("feeler.u", feel, msgUPositive)
	}
	return feel, nil
}

func normalBelief(mean, u float64) *Belief { return &Belief{mean: mean, u: u, isNormal: true} }

// fill puts the weight on the grid; false when there is hardly any.
func (b *Belief) fill(low, high, feature float64, weigh func(float64) float64) bool {
	coarsest := strides[len(strides)-1]
	n := max(fineSteps, int(math.Min(largestFineGrid, (high-low)/feature*gridFeature)))
	n = (n + coarsest - 1) / coarsest * coarsest
	b.start, b.step = low, (high-low)/float64(n)
	b.weights = make([]float64, n+1)
	total := 0.0
	for i := range b.weights {
		d := weigh(low + float64(i)*b.step)
		b.weights[i] = d
		total += d
	}
	if !(total*b.step > contradictory*feature) {
		return false
	}
	b.cumulative = make([]float64, n+1)
	for i := range b.weights {
		b.weights[i] /= total
		if i > 0 {
			b.cumulative[i] = b.cumulative[i-1] + (b.weights[i-1]+b.weights[i])/2
		}
		b.mean += b.weights[i] * b.point(i)
	}
	for i, w := range b.weights {
		d := b.point(i) - b.mean
		b.u += w * d * d
	}
	b.u = math.Sqrt(b.u)
	for _, stride := range strides {
		b.levels = append(b.levels, b.thin(stride))
	}
	return true
}

func (b *Belief) thin(stride int) level {
	l := level{step: b.step * float64(stride)}
	total := 0.0
	for i := 0; i < len(b.weights); i += stride {
		if b.weights[i] > 1e-14 {
			l.points = append(l.points, weighted{b.point(i), b.weights[i]})
			total += b.weights[i]
		}
	}
	for i := range l.points {
		l.points[i].w /= total
	}
	return l
}

func (b *Belief) point(i int) float64 { return b.start + float64(i)*b.step }

// Clearance returns the mean and the standard uncertainty.
func (b *Belief) Clearance() quantity.Estimate[quantity.Length] {
	return quantity.Within(quantity.Length(b.mean), b.u)
}

// chance returns the probability that the clearance, moved by shift and blurred
// by a normal spread, is below low, and that it lies from low to high.
func (b *Belief) chance(t *phiTable, low, high, shift, spread float64) (under, inside float64) {
	low, high = low-shift, high-shift
	if b.isNormal {
		v := math.Sqrt(b.u*b.u + spread*spread)
		under = t.below((low - b.mean) / v)
		return under, t.below((high-b.mean)/v) - under
	}
	points := b.pointsFor(spread)
	if points == nil {
		under = b.upTo(low)
		return under, b.upTo(high) - under
	}
	scale := 1 / spread
	for _, p := range points {
		a := (low - p.s) * scale
		c := (high - p.s) * scale
		switch {
		case a >= tableEnd:
			under += p.w
		case c <= -tableEnd:
		case a <= -tableEnd && c >= tableEnd:
			inside += p.w
		default:
			u := t.below(a)
			under += p.w * u
			inside += p.w * (t.below(c) - u)
		}
	}
	return under, inside
}

// pointsFor returns the thinnest grid that is still exact for a spread, nil
// when the spread is too small for the finest.
func (b *Belief) pointsFor(spread float64) []weighted {
	if spread <= 0 {
		return nil
	}
	limit := aliasFree / math.Sqrt(b.sharpness+1/(spread*spread))
	var best []weighted
	for _, l := range b.levels {
		if l.step > limit {
			break
		}
		best = l.points
	}
	return best
}

// upTo returns the probability that the clearance is at most s: the cumulative
// sum, cubic between its points.
func (b *Belief) upTo(s float64) float64 {
	if b.isNormal {
		return distribution((s - b.mean) / b.u)
	}
	n := len(b.weights) - 1
	x := (s - b.start) / b.step
	if x <= 0 {
		return 0
	}
	if x >= float64(n) {
		return 1
	}
	i := int(x)
	f := x - float64(i)
	w, v := b.weights[i], b.weights[i+1]
	rise := b.cumulative[i+1] - b.cumulative[i]
	return b.cumulative[i] + f*(w+f*((3*rise-2*w-v)+f*(w+v-2*rise)))
}

// quantile returns the clearance that is undercut with probability p.
func (b *Belief) quantile(p float64) float64 {
	if p <= 0 {
		return math.Inf(-1)
	}
	if p >= 1 {
		return math.Inf(1)
	}
	if b.isNormal {
		return b.mean - b.u*math.Sqrt2*math.Erfcinv(2*p)
	}
	lo, hi := b.start, b.point(len(b.weights)-1)
	for hi-lo > b.step/64 {
		mid := (lo + hi) / 2
		if b.upTo(mid) < p {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

func refuse(field string, v float64, why say.Template) error {
	return say.Refuse(field, strconv.FormatFloat(v, 'g', 6, 64), why.With(), say.Message{})
}
