package fit

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// GaugeReading is the force of the press at one place of the stroke.
type GaugeReading struct {
	Engaged quantity.Length // length that is in; 0: not given, where the force was greatest
	Force   quantity.Estimate[quantity.Force]
}

// StrokeVerdict says how a pressing went by its gauge.
type StrokeVerdict string

// Show prints the word in the language of a style.
func (v StrokeVerdict) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v StrokeVerdict) Message() say.Message { return say.Word("fit", string(v)) }

// The verdicts.
const (
	StrokeAsComputed StrokeVerdict = "as computed"
	StrokeAbove      StrokeVerdict = "well above the computed force"
	StrokeEarly      StrokeVerdict = "rose early"
	StrokeBelow      StrokeVerdict = "below the computed force"
)

// StrokeCheck is a pressing held against the computed force.
type StrokeCheck struct {
	Press         PressResult
	InterferenceU quantity.Length
	Verdict       StrokeVerdict
	Peak          quantity.Estimate[quantity.Force]
	Low           quantity.Force // at the end of the stroke, everything in its favour
	High          quantity.Force
	Friction      float64 // coefficient that the peak would mean
	EarlyAt       *GaugeReading
	Expected      quantity.Force // at EarlyAt, from the peak and the length that was in
	Message       say.Message
}

// The friction of metal and carbon parts under a press usually lies between
// these two; a force that is more than half as large again as its share of the
// stroke, and by more than a seventh of the peak, rose early. Both [common
// practice, no source].
const (
	frictionLeast = 0.05
	frictionMost  = 0.20
	earlyFactor   = 1.5
	earlyShare    = 0.15
)

var (
	msgStrokeRight = say.Define("fit.stroke_right", "the gauge showed {peak:force}, computed are {force:force} ({low:force} to {high:force}, whatever the lubrication): as it should be")
	msgStrokeAbove = say.Define("fit.stroke_above", "the gauge showed {peak:force}, more than the {high:force} that even a dry fit takes: cocked, over size, or the seat is rough or under size; press it out, measure both parts and look for score marks")
	msgStrokeEarly = say.Define("fit.stroke_early", "with {engaged:length} in, the gauge already showed {read:force}, where {expected:force} was its share: cocked or over size; press it out, measure both parts and look for score marks")
	msgStrokeBelow = say.Define("fit.stroke_below", "the gauge showed {peak:force}, less than the {low:force} that even a well lubricated fit takes: the fit is looser than measured and the bushing may turn; measure both parts again")
	msgNoForce     = say.Define("fit.no_force", "there is no computed force to compare with: the engaged length is missing")
	msgNoGauge     = say.Define("fit.no_gauge", "there is no reading of the press gauge")
	msgGaugeForce  = say.Define("fit.gauge_force", "a force is above zero")
	msgEngaged     = say.Define("fit.engaged", "the length that is in lies between 0 and {length:length}")
)

// CheckStroke holds the readings of the press gauge against the computed
// force.
//
//	F(x) = F x / L
//	band   F (µ_least/µ) (δ − 2u)/δ  …  F (µ_most/µ) (δ + 2u)/δ
//	early  F(x) > 1.5 F_peak x / L   and   F(x) − F_peak x / L > 0.15 F_peak
//
//	F      computed force at the end of the stroke   N
//	x      length that is in                         m   0 … L
//	L      engaged length                            m
//	δ, u   interference and its standard uncertainty m
//	µ      friction for which F was computed; 0.05 to 0.2 is usual
//
// Friction is the least sure number of a pressing, so the height of the force
// says little inside the band; its course over the stroke does not hang on
// friction, so it tells a part that went in askew.
//
// Valid: elastic, one diameter over the length, force read while it moves.
// Errors: a Problem naming the field.
// Source: F(x) derived here from the contact pressure, which is the same over
// the length; the limits are common practice, no source.
// Checked by: TestStrokeCases, TestStrokeLaws.
func (r PressResult) CheckStroke(readings []GaugeReading, interferenceU quantity.Length) (StrokeCheck, error) {
	full, length := float64(r.PressForce), r.Input.Length
	switch {
	case !(full > 0):
		return StrokeCheck{}, say.Refuse("length", length.String(), msgNoForce.With(), say.Message{})
	case len(readings) == 0:
		return StrokeCheck{}, say.Refuse("force", "", msgNoGauge.With(), say.Message{})
	}
	c := StrokeCheck{Press: r, InterferenceU: interferenceU, Verdict: StrokeAsComputed}
	for _, g := range readings {
		f := float64(g.Force.Value)
		switch {
		case !(f > 0) || math.IsInf(f, 0):
			return StrokeCheck{}, say.Refuse("force", g.Force.Value.String(), msgGaugeForce.With(), say.Message{})
		case !(g.Engaged >= 0 && g.Engaged <= length):
			return StrokeCheck{}, say.Refuse("engaged", g.Engaged.String(), msgEngaged.With(length), say.Message{})
		}
		if g.Force.Value > c.Peak.Value {
			c.Peak = g.Force
		}
	}
	friction, wide := r.Input.Friction, 2*float64(interferenceU)/float64(r.Input.Interference)
	c.Low = quantity.Force(full * min(1, frictionLeast/friction) * max(0, 1-wide))
	c.High = quantity.Force(full * max(1, frictionMost/friction) * (1 + wide))
	c.Friction = friction * float64(c.Peak.Value) / full
	c.findEarly(readings)
	peak, doubt := float64(c.Peak.Value), 2*c.Peak.U
	switch {
	case peak-doubt > float64(c.High):
		c.Verdict, c.Message = StrokeAbove, msgStrokeAbove.With(c.Peak.Value, c.High)
	case c.EarlyAt != nil:
		c.Verdict, c.Message = StrokeEarly, msgStrokeEarly.With(c.EarlyAt.Engaged, c.EarlyAt.Force.Value, c.Expected)
	case peak+doubt < float64(c.Low):
		c.Verdict, c.Message = StrokeBelow, msgStrokeBelow.With(c.Peak.Value, c.Low)
	default:
		c.Message = msgStrokeRight.With(c.Peak.Value, r.PressForce, c.Low, c.High)
	}
	return c, nil
}

// findEarly looks for the reading farthest above its share of the stroke.
func (c *StrokeCheck) findEarly(readings []GaugeReading) {
	peak, worst := float64(c.Peak.Value), 0.0
	for i := range readings {
		g := &readings[i]
		if g.Engaged == 0 {
			continue
		}
		share := peak * float64(g.Engaged) / float64(c.Press.Input.Length)
		f, doubt := float64(g.Force.Value), 2*g.Force.U
		over := f - doubt - share
		if f-doubt > earlyFactor*share && over > earlyShare*peak && over > worst {
			worst, c.EarlyAt, c.Expected = over, g, quantity.Force(share)
		}
	}
}

var (
	namePeak     = say.Define("fit.name_peak", "greatest force by the press gauge")
	nameBandLow  = say.Define("fit.name_band_low", "least force to expect")
	nameBandHigh = say.Define("fit.name_band_high", "greatest force to expect")
)

// Workings returns the greatest force and the ends of the band beside it.
func (c StrokeCheck) Workings() []*working.Node {
	force := working.Result("fit.band_force", nameForce.With(), "F", c.Press.PressForce, "F = π d L p µ", sourceLame)
	friction := working.Number("fit.band_friction", nameFriction.With(), "µ", c.Press.Input.Friction, refPress)
	delta := working.Leaf("fit.band_interference", nameInterference.With(), "δ", c.Press.Input.Interference, refPress).WithU(c.InterferenceU.SI())
	const source = "force in proportion to friction and interference; the limits of friction are common practice, no source"
	return []*working.Node{
		working.Leaf("fit.peak", namePeak.With(), "F_peak", c.Peak.Value, "press gauge").WithU(c.Peak.U),
		working.Result("fit.band_low", nameBandLow.With(), "", c.Low, "F (0.05/µ) (δ − 2u)/δ", source, force, friction, delta),
		working.Result("fit.band_high", nameBandHigh.With(), "", c.High, "F (0.2/µ) (δ + 2u)/δ", source, force, friction, delta),
	}
}
