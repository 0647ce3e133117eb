package calculator

import (
	"fmt"
	"math"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

type gasketTrialIn struct {
	Counts   map[string]int   `json:"counts" help:"pieces of each kind in the trial"`
	Feeler   *feelerIn        `json:"feeler" help:"clearance read with feeler leaves"`
	Measured *quantity.Length `json:"measured" help:"clearance read with a dial"`
	U        *quantity.Length `json:"u" help:"standard uncertainty of that reading"`
	Float    *quantity.Length `json:"float" help:"bearing float inside the dial reading: it is taken off"`
}

type gasketPriorIn struct {
	ClearanceWithoutGaskets *quantity.Length `json:"clearance_without_gaskets" help:"what the depths said, usually negative"`
	U                       *quantity.Length `json:"u" help:"its standard uncertainty"`
	ExtraCompression        float64          `json:"extra_compression" default:"0" help:"compression expected beyond the kinds' own"`
	ExtraCompressionU       float64          `json:"extra_compression_u" default:"0.05" help:"its standard uncertainty"`
}

type gasketLearnIn struct {
	Kinds  []gasketKindIn  `json:"kinds" help:"the kinds of gaskets used"`
	Trials []gasketTrialIn `json:"trials" help:"trial assemblies: what was fitted and what was read after torque"`
	Prior  *gasketPriorIn  `json:"prior" help:"what was expected before"`
}

type gasketLearnOut struct {
	ClearanceWithoutGaskets quantity.Estimate[quantity.Length] `json:"clearance_without_gaskets" help:"clearance without gaskets, with its standard uncertainty"`
	ExtraCompression        AnyResult                          `json:"extra_compression" help:"compression beyond the kinds' own, a fraction, with its standard uncertainty"`
	Correlation             float64                            `json:"correlation" help:"correlation of the two"`
}

var (
	msgPriorPair     = say.Define("calculator.prior_pair", "the clearance without gaskets needs its standard uncertainty")
	warnUninformed   = say.Define("calculator.warn_uninformed", "these trials say little about the compression: it is still what was expected; a trial with a clearly thicker or thinner stack would tell")
	warnExtraExtreme = say.Define("calculator.warn_extra_extreme", "a compression that differs by {extra:number} of the thickness is unusual: look for a folded piece, a burr or a missed torque pass")
)

func gasketLearnCalculator() Calculator {
	return Define("gasket-learn", "What do the trial assemblies say of the clearance without gaskets and of the real compression?",
		exampleShelf+`trials:
  - {counts: {paper 0.25: 2, film 0.125: 1}, feeler: {goes: 0.10 mm, no_go: 0.13 mm}}
  - {counts: {paper 0.25: 2, film 0.125: 2}, feeler: {goes: 0.20 mm, no_go: 0.23 mm}}
prior: {clearance_without_gaskets: -0.45 mm, u: 0.03 mm}
`, runGasketLearn)
}

func runGasketLearn(_ *Env, in gasketLearnIn) (gasketLearnOut, Notes, error) {
	kinds := gasketKinds(in.Kinds)
	trials := make([]gasket.Trial, len(in.Trials))
	for i, t := range in.Trials {
		at := fmt.Sprintf("trials[%d]", i)
		counts, err := gasketCounts(kinds, t.Counts)
		if err != nil {
			return gasketLearnOut{}, Notes{}, say.In(at, say.In("counts", err))
		}
		dial, err := dialReading(t.Measured, t.U, t.Float)
		if err != nil {
			return gasketLearnOut{}, Notes{}, say.In(at, err)
		}
		trials[i] = gasket.Trial{Counts: counts, Measured: dial, Feeler: t.Feeler.feeler()}
	}
	prior := gasket.DefaultPrior()
	if w := in.Prior; w != nil {
		prior.ExtraCompression, prior.ExtraCompressionU = w.ExtraCompression, w.ExtraCompressionU
		if w.ClearanceWithoutGaskets != nil {
			if w.U == nil {
				return gasketLearnOut{}, Notes{}, say.Refuse("prior.u", "", msgPriorPair.With(), say.Message{})
			}
			e := quantity.Within(*w.ClearanceWithoutGaskets, float64(*w.U))
			prior.WithoutGaskets = &e
		}
	}
	l, err := gasket.Learn(kinds, trials, prior)
	if err != nil {
		return gasketLearnOut{}, Notes{}, err
	}
	notes := Notes{Working: l.Working(), Cautions: []say.Message{cautionLockOut.With(), cautionTorque.With(), cautionTurn.With(), cautionManual.With()}}
	if !l.Informative {
		notes.Warn(warnUninformed.With())
	}
	const unusual = 0.1
	if math.Abs(l.ExtraCompression) > unusual {
		notes.Warn(warnExtraExtreme.With(l.ExtraCompression))
	}
	return gasketLearnOut{
		ClearanceWithoutGaskets: l.WithoutGaskets,
		ExtraCompression:        AnyResult{SI: l.ExtraCompression, U: l.ExtraCompressionU},
		Correlation:             l.Correlation,
	}, notes, nil
}

type housingTurnIn struct {
	ThreadPitch    *quantity.Length `json:"thread_pitch" help:"pitch of the housing's thread; or give threads per inch"`
	ThreadsPerInch *float64         `json:"threads_per_inch" unit:"1/in|/in|tpi|TPI" help:"threads per inch; or give the pitch"`
	Measured       quantity.Length  `json:"measured" help:"end clearance now"`
	U              *quantity.Length `json:"u" help:"standard uncertainty of the reading (0.01 mm when missing)"`
	Float          *quantity.Length `json:"float" help:"bearing float inside the reading: it is taken off"`
	Window         windowIn         `json:"window" help:"the clearance wanted"`
	Notches        *int             `json:"notches" help:"locking positions of one turn; without them any angle is possible"`
	Hand           string           `json:"hand" default:"right" oneof:"right|left" help:"hand of the thread"`
}

type housingTurnOut struct {
	Angle             quantity.Angle                     `json:"angle" help:"how far to turn; the direction says which way"`
	Notches           *int                               `json:"notches" help:"locking positions to move, positive opens the clearance"`
	Opens             bool                               `json:"opens" help:"the turn opens the clearance"`
	Direction         say.Message                        `json:"direction" help:"which way to turn, and the end it is seen from"`
	ExpectedClearance quantity.Estimate[quantity.Length] `json:"expected_clearance" help:"clearance to expect, with its standard uncertainty"`
	Probability       float64                            `json:"probability" help:"chance of landing in the window, as far as the reading can tell"`
	ProbabilityBelow  float64                            `json:"probability_below" help:"chance of landing below it: the contact side"`
	Reachable         bool                               `json:"reachable" help:"the expected clearance lies in the window"`
}

var (
	msgPitchOrThreads = say.Define("calculator.pitch_or_threads", "give either the thread pitch or the threads per inch, not both and not neither")
	msgPitchAccepted  = say.Define("calculator.pitch_accepted", "a pitch like 1.5 mm, or threads per inch like 16")
	msgThreadsRange   = say.Define("calculator.threads_range", "threads per inch lie between 1 and 100")
	msgNotchesRange   = say.Define("calculator.notches_range", "there is at least one notch in a turn; leave the field out when any angle is possible")
	warnAssumedU      = say.Define("calculator.warn_assumed_u", "the uncertainty of the reading was not given; {u:length} is assumed")
	warnNotchMisses   = say.Define("calculator.warn_notch_misses", "no notch brings the expected clearance into the window; the nearest is given")
)

const assumedDialU = quantity.Length(10e-6)

func housingTurnCalculator() Calculator {
	return Define("housing-turn", "How far must the adjustable bearing housing be turned, and which way?",
		`thread_pitch: 1.5 mm
notches: 24
measured: 0.31 mm
u: 0.008 mm
window: {low: 0.18 mm, high: 0.24 mm}
`, runHousingTurn)
}

func runHousingTurn(_ *Env, in housingTurnIn) (housingTurnOut, Notes, error) {
	if (in.ThreadPitch == nil) == (in.ThreadsPerInch == nil) {
		return housingTurnOut{}, Notes{}, say.Refuse("thread_pitch", "", msgPitchOrThreads.With(), msgPitchAccepted.With())
	}
	h := gasket.Housing{Low: in.Window.Low, High: in.Window.High}
	if in.ThreadPitch != nil {
		h.Pitch = *in.ThreadPitch
	} else {
		if !(*in.ThreadsPerInch >= 1 && *in.ThreadsPerInch <= 100) {
			return housingTurnOut{}, Notes{}, say.Refuse("threads_per_inch", fmt.Sprint(*in.ThreadsPerInch), msgThreadsRange.With(), say.Message{})
		}
		h.Pitch = quantity.Length(25.4e-3 / *in.ThreadsPerInch)
	}
	if in.Notches != nil {
		if *in.Notches < 1 {
			return housingTurnOut{}, Notes{}, say.Refuse("notches", fmt.Sprint(*in.Notches), msgNotchesRange.With(), say.Message{})
		}
		h.Notches = *in.Notches
	}
	if in.Hand == "left" {
		h.Hand = gasket.LeftHand
	}
	notes := Notes{Cautions: []say.Message{cautionLockOut.With(), cautionLock.With(), cautionTurn.With(), cautionSeal.With(), cautionManual.With()}}
	u := in.U
	if u == nil {
		assumed := assumedDialU
		u = &assumed
		notes.Warn(warnAssumedU.With(assumed))
	}
	dial, err := dialReading(&in.Measured, u, in.Float)
	if err != nil {
		return housingTurnOut{}, Notes{}, err
	}
	if h.Belief, err = gasket.NewBelief(dial, nil, nil); err != nil {
		return housingTurnOut{}, Notes{}, err
	}
	t, err := h.Best()
	if err != nil {
		return housingTurnOut{}, Notes{}, err
	}
	notes.Working = t.Working()
	out := housingTurnOut{
		Angle: t.Angle, Opens: t.Opens, Direction: t.Direction, ExpectedClearance: t.Clearance,
		Probability: t.Probability, ProbabilityBelow: t.Below, Reachable: t.Reachable,
	}
	if in.Notches != nil {
		out.Notches = &t.Notches
	}
	const contactChance = 0.01
	if t.Below > contactChance && h.Low < h.High {
		notes.Warn(warnBelow.With(t.Below))
	}
	if !t.Reachable {
		notes.Warn(warnNotchMisses.With())
	}
	return out, notes, nil
}
