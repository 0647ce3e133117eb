package clearance

import (
	"math"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
)

// fromTrials uses the last trial assembly; two or more also teach the real
// compression of these gaskets.
func (c *Chapter) fromTrials(in Inputs, s *Stack, problem *gasket.Problem) *gasket.Belief {
	var trials []gasket.Trial
	var belief *gasket.Belief
	for _, t := range in.Trials {
		one, b, err := c.readTrial(in, t, s)
		if err != nil {
			s.Warnings = append(s.Warnings, msgTrialUnread.With(err))
			continue
		}
		trials = append(trials, one)
		belief = b
		s.Fitted = one.Counts
		s.TrialText = trialText(t.Body)
	}
	s.Trials = len(trials)
	if belief == nil {
		return nil
	}
	s.Basis = FromTrial
	last := in.Trials[len(in.Trials)-1].Body
	if !last.AfterTorque {
		s.Warnings = append(s.Warnings, msgNotTorqued.With())
	}
	now := belief.Clearance()
	s.Measured = &reading.Estimate{Dimension: quantity.LengthDimension, Value: now.Value.SI(), U: now.U, Ref: in.Trials[len(in.Trials)-1].Ref}
	if c.Window.Known {
		landed := c.Window.Landing(now.Value) == Inside
		s.Landed = &landed
	}
	if len(trials) >= 2 {
		prior := gasket.DefaultPrior()
		if in.Shop != nil && in.Shop.Compression != nil {
			prior.ExtraCompression, prior.ExtraCompressionU = in.Shop.Compression.Extra, in.Shop.Compression.U
		}
		if learned, err := gasket.Learn(s.Kinds, trials, prior); err == nil {
			s.Learned = learned
			problem.ExtraCompression, problem.ExtraCompressionU = learned.ExtraCompression, learned.ExtraCompressionU
			problem.ExtraSource = msgOfTrials.With(len(trials)).String()
		}
	}
	return belief
}

var msgOfTrials = say.Define("clearance.of_trials", "from the {n:count} trials of this job")

func (c *Chapter) readTrial(in Inputs, t job.Kept[job.Trial], s *Stack) (gasket.Trial, *gasket.Belief, error) {
	counts := make([]int, len(s.Kinds))
	for name, n := range t.Body.Counts {
		if i := in.Sheet.GasketIndex(name); i >= 0 && in.Sheet.SetsClearance(i) {
			counts[i] = n
		}
	}
	one := gasket.Trial{Counts: counts}
	dial, feeler, err := readMeasured(t.Body)
	if err != nil {
		return one, nil, err
	}
	one.Measured, one.Feeler = dial, feeler
	var prior *quantity.Estimate[quantity.Length]
	if feeler != nil && (feeler.Goes == nil || feeler.NoGo == nil) && c.Bare.Known() {
		// One leaf alone needs to know what was to be expected.
		sum, u2 := 0.0, c.Bare.U*c.Bare.U
		for i, k := range s.Kinds {
			sum += float64(counts[i]) * k.Adds(0).SI()
			u2 += float64(counts[i]) * math.Pow(k.Tolerance.SI()/2, 2)
		}
		p := quantity.Within(quantity.Length(c.Bare.Value.SI()+sum), math.Sqrt(u2))
		prior = &p
	}
	belief, err := gasket.NewBelief(dial, feeler, prior)
	return one, belief, err
}

func readMeasured(t job.Trial) (*quantity.Estimate[quantity.Length], *gasket.Feeler, error) {
	read := func(text string) (*quantity.Given[quantity.Length], error) {
		if text == "" {
			return nil, nil
		}
		g, err := quantity.Read[quantity.Length](text)
		return &g, err
	}
	float, err := read(t.Float)
	if err != nil {
		return nil, nil, say.In("float", err)
	}
	off := quantity.Length(0)
	if float != nil {
		off = float.Value
	}
	measured, err := read(t.Measured)
	if err != nil {
		return nil, nil, say.In("measured", err)
	}
	if measured != nil {
		u := math.Max(measured.Resolution/2, 0.005e-3)
		if given, err := read(t.U); err != nil {
			return nil, nil, say.In("u", err)
		} else if given != nil {
			u = given.Value.SI()
		}
		e := quantity.Within(measured.Value-off, u)
		return &e, nil, nil
	}
	goes, err := read(t.Goes)
	if err != nil {
		return nil, nil, say.In("goes", err)
	}
	noGo, err := read(t.NoGo)
	if err != nil {
		return nil, nil, say.In("no_go", err)
	}
	f := &gasket.Feeler{}
	if goes != nil {
		f.Goes = &goes.Value
	}
	if noGo != nil {
		f.NoGo = &noGo.Value
	}
	if t.Bound {
		zero := quantity.Length(0)
		f.NoGo = &zero
	}
	return nil, f, nil
}

func trialText(t job.Trial) string {
	switch {
	case t.Measured != "":
		return t.Measured
	case t.Bound:
		return "bound"
	}
	return t.Goes + " … " + t.NoGo
}
