package gasket

import (
	"fmt"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameChance   = say.Define("gasket.name_chance", "chance of landing in the window")
	nameExpected = say.Define("gasket.name_expected", "expected clearance")
	nameNow      = say.Define("gasket.name_now", "present clearance")
	nameMove     = say.Define("gasket.name_move", "change of the compressed stack")
	nameLow      = say.Define("gasket.name_low", "lower end of the window")
	nameHigh     = say.Define("gasket.name_high", "upper end of the window")
	nameKind     = say.Define("gasket.name_kind", "{count:count|piece|pieces} of {kind}, compressed thickness of one")
	nameWithout  = say.Define("gasket.name_without", "clearance without gaskets")
	nameExtra    = say.Define("gasket.name_extra", "extra compression")
	nameTrial    = say.Define("gasket.name_trial", "trial {number:count}: compressed stack by the kinds' own compression")
	nameAngle    = say.Define("gasket.name_angle", "angle to turn the housing")
	namePitch    = say.Define("gasket.name_pitch", "pitch of the thread")
)

const choiceSource = "derived here; choice rule: within 0.005 of the best chance the fewest gaskets, then the fewest changes"

// Working shows how the answer came about.
func (s *Solution) Working() *working.Node {
	p, st := s.Problem, s.Best
	if st == nil {
		st = s.Nearest
	}
	now := working.Leaf("gasket.now", nameNow.With(), "s_now", p.Belief.Clearance().Value, p.Belief.ref).WithU(p.Belief.u)
	move := &working.Node{
		ID: "gasket.change", Name: nameMove.With(), Symbol: "Δ", Dimension: quantity.LengthDimension,
		Value: float64(st.Clearance.Value) - p.Belief.mean, Equation: "Δ = Σ (x − x⁰)·t·(1 − κ)", Source: "derived here",
	}
	for i, n := range st.Counts {
		before := 0
		if i < len(p.Fitted) {
			before = p.Fitted[i]
		}
		if n > 0 || before > 0 {
			k := p.Kinds[i]
			t, _ := k.move(p.ExtraCompression)
			move.Inputs = append(move.Inputs, working.Leaf("gasket.kind", nameKind.With(n, k.Name), "t·(1 − κ)", quantity.Length(t), fmt.Sprintf("kinds[%d]", i)).WithU(float64(k.Tolerance)/2))
		}
	}
	if p.ExtraCompression != 0 || p.ExtraCompressionU > 0 {
		move.Inputs = append(move.Inputs, working.Number("gasket.extra", nameExtra.With(), "dκ", p.ExtraCompression, "extra_compression").From(p.ExtraSource).WithU(p.ExtraCompressionU))
	}
	expected := working.Result("gasket.expected", nameExpected.With(), "s_new", st.Clearance.Value, "s_new = s_now + Δ", "derived here", now, move).WithU(st.Clearance.U)
	return &working.Node{
		ID: "gasket.chance", Name: nameChance.With(), Symbol: "P", Value: st.Probability,
		Equation: "P = ∫ w(s)·[Φ((hi − s − Δ)/σ) − Φ((lo − s − Δ)/σ)] ds", Source: choiceSource,
		Inputs: []*working.Node{expected,
			working.Leaf("gasket.low", nameLow.With(), "lo", p.Low, "window.low"),
			working.Leaf("gasket.high", nameHigh.With(), "hi", p.High, "window.high")},
	}
}

// Working shows the trials and what they gave.
func (l *Learned) Working() *working.Node {
	extra := &working.Node{ID: "gasket.extra_compression", Name: nameExtra.With(), Symbol: "dκ", Value: l.ExtraCompression, U: l.ExtraCompressionU,
		Equation: "posterior mean on a grid of (s₀, dκ)", Source: "derived here (Bayes' rule)"}
	for i, t := range l.Trials {
		sum := quantity.Length(0)
		for k, n := range t.Counts {
			compressed, _ := l.Kinds[k].move(0)
			sum += quantity.Length(float64(n) * compressed)
		}
		extra.Inputs = append(extra.Inputs, working.Leaf("gasket.trial", nameTrial.With(i+1), "Σ t·(1 − κ)", sum, fmt.Sprintf("trials[%d]", i)))
	}
	return working.Result("gasket.without_gaskets", nameWithout.With(), "s₀", l.WithoutGaskets.Value,
		"ŝ = s₀ + Σ t·(1 − κ) − dκ·Σ t", "derived here (Bayes' rule)", extra).WithU(l.WithoutGaskets.U)
}

// Working shows the turn of the housing.
func (t *Turn) Working() *working.Node {
	h := t.Housing
	return working.Result("gasket.angle", nameAngle.With(), "φ", t.Angle, "φ = 2π·|s_new − s_now|/pitch", "geometry of a thread",
		working.Leaf("gasket.now", nameNow.With(), "s_now", h.Belief.Clearance().Value, h.Belief.ref).WithU(h.Belief.u),
		working.Leaf("gasket.pitch", namePitch.With(), "P", h.Pitch, "thread_pitch"),
		working.Leaf("gasket.low", nameLow.With(), "lo", h.Low, "window.low"),
		working.Leaf("gasket.high", nameHigh.With(), "hi", h.High, "window.high"))
}
