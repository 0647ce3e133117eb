package gasket

import (
	"fmt"
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Trial is one trial assembly: its stack and what was read.
type Trial struct {
	Counts   []int // of each kind
	Measured *quantity.Estimate[quantity.Length]
	Feeler   *Feeler
}

// LearnPrior is what is expected before the trials.
type LearnPrior struct {
	WithoutGaskets    *quantity.Estimate[quantity.Length] // nil: nothing
	ExtraCompression  float64
	ExtraCompressionU float64 // > 0
}

// DefaultPrior expects no extra compression, within 0.05. [our own convention]
func DefaultPrior() LearnPrior { return LearnPrior{ExtraCompressionU: 0.05} }

// Learned is what trials tell.
type Learned struct {
	Kinds             []Kind
	Trials            []Trial
	Prior             LearnPrior
	WithoutGaskets    quantity.Estimate[quantity.Length] // s₀
	ExtraCompression  float64                            // dκ
	ExtraCompressionU float64
	Correlation       float64 // of the two
	Informative       bool    // the trials told something of the compression
}

const (
	gridClearance   = 241
	gridCompression = 121
	gridReach       = 5.0 // standard uncertainties
)

var (
	msgNoTrials    = say.Define("gasket.no_trials", "there is no trial to learn from")
	msgTrialEmpty  = say.Define("gasket.trial_empty", "a trial needs a dial reading with its uncertainty or feeler leaves")
	msgTrialBoth   = say.Define("gasket.trial_both", "give the dial reading or the feeler leaves of a trial, not both")
	msgTrialCounts = say.Define("gasket.trial_counts", "the counts do not belong to the kinds")
	msgUnbounded   = say.Define("gasket.unbounded", "these trials bound the clearance on one side only")
)

// Learn finds the clearance without gaskets and the compression beyond the
// kinds' own from trial assemblies.
//
//	ŝ = s₀ + Σ t·(1 − κ) − dκ·Σ t          σ² = u² + Σ (tol/2)²
//	likelihood: Φ((b − ŝ)/σ) − Φ((a − ŝ)/σ) for leaves a, b;
//	            exp(−(m − ŝ)²/2σ²) for a dial reading m
//
// on a grid of 241 × 121 points of (s₀, dκ), with normal priors. dκ holds for
// all pieces, films too: joints bed in; not for shims of metal. Pieces count as drawn anew in each
// trial, which is slightly cautious.
//
// Errors: a say.Problem naming the trial; one-sided trials without a prior.
// Source: derived here (Bayes' rule).
func Learn(kinds []Kind, trials []Trial, prior LearnPrior) (*Learned, error) {
	if err := checkKinds(kinds); err != nil {
		return nil, err
	}
	if len(trials) == 0 {
		return nil, say.Refuse("trials", "", msgNoTrials.With(), say.Message{})
	}
	if !(prior.ExtraCompressionU > 0 && prior.ExtraCompressionU <= 0.3) {
		return nil, refuse("prior.extra_compression_u", prior.ExtraCompressionU, msgExtra)
	}
	if !(math.Abs(prior.ExtraCompression) <= 0.3) {
		return nil, refuse("prior.extra_compression", prior.ExtraCompression, msgExtra)
	}
	if w := prior.WithoutGaskets; w != nil && (!(w.U > 0) || !finite(w.U) || !finite(float64(w.Value))) {
		return nil, refuse("prior.u", w.U, msgUPositive)
	}
	seen := make([]evidence, len(trials))
	for i, t := range trials {
		e, err := t.evidence(kinds)
		if err != nil {
			return nil, say.In(fmt.Sprintf("trials[%d]", i), err)
		}
		seen[i] = e
	}
	g, err := newGrid(seen, prior)
	if err != nil {
		return nil, err
	}
	out := &Learned{Kinds: kinds, Trials: trials, Prior: prior}
	// A second pass on the region that the first one found keeps the grid fine.
	for range 2 {
		if !g.fill(seen, prior) {
			return nil, say.Refuse("trials", "", msgContradiction.With(), msgLookAgain.With())
		}
		out.WithoutGaskets = quantity.Within(quantity.Length(g.mean[0]), g.u[0])
		out.ExtraCompression, out.ExtraCompressionU, out.Correlation = g.mean[1], g.u[1], g.rho
		g.zoom()
	}
	out.Informative = out.ExtraCompressionU < 0.9*prior.ExtraCompressionU
	return out, nil
}

// evidence is a trial as the grid sees it: low…high for the clearance, or a
// normal reading when they are equal.
type evidence struct {
	low, high  float64
	sigma      float64
	compressed float64 // Σ t·(1 − κ)
	free       float64 // Σ t
}

func (t Trial) evidence(kinds []Kind) (evidence, error) {
	e := evidence{low: math.Inf(-1), high: math.Inf(1)}
	if len(t.Counts) > len(kinds) {
		return e, say.Refuse("counts", fmt.Sprint(len(t.Counts)), msgTrialCounts.With(), say.Message{})
	}
	variance := 0.0
	for i, n := range t.Counts {
		if n < 0 || n > MostPieces {
			return e, say.Refuse("counts", fmt.Sprint(n), msgCount.With(), say.Message{})
		}
		sd := float64(kinds[i].Tolerance) / 2
		variance += float64(n) * sd * sd
		compressed, free := kinds[i].move(0)
		e.compressed += float64(n) * compressed
		e.free += float64(n) * free
	}
	switch {
	case t.Measured != nil && t.Feeler != nil:
		return e, say.Refuse("feeler", "", msgTrialBoth.With(), say.Message{})
	case t.Measured != nil:
		if !finite(float64(t.Measured.Value)) {
			return e, refuse("measured", float64(t.Measured.Value), msgNotFinite)
		}
		if !(t.Measured.U > 0) || !finite(t.Measured.U) {
			return e, refuse("u", t.Measured.U, msgUPositive)
		}
		e.low, e.high = float64(t.Measured.Value), float64(t.Measured.Value)
		variance += t.Measured.U * t.Measured.U
	case t.Feeler != nil && (t.Feeler.Goes != nil || t.Feeler.NoGo != nil):
		feel, err := t.Feeler.check(true)
		if err != nil {
			return e, err
		}
		if t.Feeler.Goes != nil {
			e.low = float64(*t.Feeler.Goes)
		}
		if t.Feeler.NoGo != nil {
			e.high = float64(*t.Feeler.NoGo)
		}
		variance += feel * feel
	default:
		return e, say.Refuse("measured", "", msgTrialEmpty.With(), say.Message{})
	}
	e.sigma = math.Sqrt(variance)
	return e, nil
}

// logLikelihood of a clearance.
func (e evidence) logLikelihood(s float64) float64 {
	if e.low == e.high {
		z := (s - e.low) / e.sigma
		return -z * z / 2
	}
	// The difference is taken on the side where it does not cancel.
	a, b := (e.low-s)/e.sigma, (e.high-s)/e.sigma
	if a > 0 {
		a, b = -b, -a
	}
	return math.Log(math.Max(distribution(b)-distribution(a), 1e-300))
}

type grid struct {
	centre, reach [2]float64
	mean, u       [2]float64
	rho           float64
}

func newGrid(seen []evidence, prior LearnPrior) (*grid, error) {
	g := &grid{}
	g.centre[1], g.reach[1] = prior.ExtraCompression, gridReach*prior.ExtraCompressionU
	low, high := math.Inf(1), math.Inf(-1)
	if w := prior.WithoutGaskets; w != nil {
		low, high = float64(w.Value)-gridReach*w.U, float64(w.Value)+gridReach*w.U
	} else {
		above, under := false, false
		for _, e := range seen {
			for _, dk := range [2]float64{g.centre[1] - g.reach[1], g.centre[1] + g.reach[1]} {
				base := e.compressed - dk*e.free
				if !math.IsInf(e.low, -1) {
					low, above = math.Min(low, e.low-base-gridReach*e.sigma), true
				}
				if !math.IsInf(e.high, 1) {
					high, under = math.Max(high, e.high-base+gridReach*e.sigma), true
				}
			}
		}
		if !above || !under || !(low < high) {
			return nil, say.Refuse("trials", "", msgUnbounded.With(), msgOneLeafNeeds.With())
		}
	}
	g.centre[0], g.reach[0] = (low+high)/2, (high-low)/2
	return g, nil
}

// fill works the moments of the grid out; false when nothing is likely.
func (g *grid) fill(seen []evidence, prior LearnPrior) bool {
	logs := make([]float64, gridClearance*gridCompression)
	best := math.Inf(-1)
	for i := range gridClearance {
		s0 := g.at(0, i, gridClearance)
		for j := range gridCompression {
			dk := g.at(1, j, gridCompression)
			z := (dk - prior.ExtraCompression) / prior.ExtraCompressionU
			l := -z * z / 2
			if w := prior.WithoutGaskets; w != nil {
				z := (s0 - float64(w.Value)) / w.U
				l -= z * z / 2
			}
			for _, e := range seen {
				l += e.logLikelihood(s0 + e.compressed - dk*e.free)
			}
			logs[i*gridCompression+j] = l
			best = math.Max(best, l)
		}
	}
	if best < -200 { // nothing on the grid comes near the readings
		return false
	}
	var total float64
	var first [2]float64
	for i := range gridClearance {
		for j := range gridCompression {
			w := math.Exp(logs[i*gridCompression+j] - best)
			logs[i*gridCompression+j] = w
			total += w
			first[0] += w * g.at(0, i, gridClearance)
			first[1] += w * g.at(1, j, gridCompression)
		}
	}
	g.mean = [2]float64{first[0] / total, first[1] / total}
	var square [2]float64
	var cross float64
	for i := range gridClearance {
		a := g.at(0, i, gridClearance) - g.mean[0]
		for j := range gridCompression {
			b, w := g.at(1, j, gridCompression)-g.mean[1], logs[i*gridCompression+j]
			square[0] += w * a * a
			square[1] += w * b * b
			cross += w * a * b
		}
	}
	g.u = [2]float64{math.Sqrt(square[0] / total), math.Sqrt(square[1] / total)}
	if g.u[0] > 0 && g.u[1] > 0 {
		g.rho = cross / total / (g.u[0] * g.u[1])
	}
	return true
}

func (g *grid) at(axis, i, n int) float64 {
	return g.centre[axis] + g.reach[axis]*(2*float64(i)/float64(n-1)-1)
}

// zoom puts the grid where the first pass found something.
func (g *grid) zoom() {
	for axis := range g.centre {
		reach := math.Min(g.reach[axis], 6*g.u[axis]+g.reach[axis]/60)
		g.centre[axis], g.reach[axis] = g.mean[axis], reach
	}
}
