package metrology

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// Verdict is the answer of a decision against limits.
type Verdict string

// Show prints the word in the language of a style.
func (v Verdict) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Verdict) Message() say.Message { return say.Word("metrology", string(v)) }

// The verdicts. Their texts are part of the contract with the outside.
const (
	Reuse            Verdict = "reuse"
	Replace          Verdict = "replace"
	MeasureAgain     Verdict = "measure again"
	BetterInstrument Verdict = "a better instrument"
)

var (
	msgNoLimit       = say.Define("metrology.no_limit", "there is no limit to decide against")
	msgGiveLimit     = say.Define("metrology.give_limit", "give a lower limit, an upper limit or both")
	msgLimitsTurned  = say.Define("metrology.limits_turned", "the lower limit is not below the upper limit")
	msgTurnLimits    = say.Define("metrology.turn_limits", "give the lower limit below the upper limit")
	msgUSettles      = say.Define("metrology.u_settles", "a standard uncertainty of {u:quantity} or less would settle it for a reading like this one")
	msgOnLimit       = say.Define("metrology.on_limit", "the reading lies on the limit: no uncertainty would settle it")
	msgNoZone        = say.Define("metrology.no_zone", "with this uncertainty no reading could prove that the part is good")
	msgConformity    = say.Define("metrology.conformity", "probability that the part meets its limits")
	msgMeasuredValue = say.Define("metrology.measured_value", "measured value")
	msgLowerLimit    = say.Define("metrology.lower_limit", "lower limit")
	msgUpperLimit    = say.Define("metrology.upper_limit", "upper limit")
)

// Case is a measured value that is to be judged against limits, in the SI unit
// of its dimension (plain numbers for NoDimension).
type Case struct {
	Dimension  quantity.Dimension
	Measured   float64
	U          float64  // standard uncertainty, ≥ 0
	Lower      *float64 // nil: no lower limit
	Upper      *float64
	Confidence float64 // needed for reuse and for replace, 0.5 … 1
}

// Decision is the answer with what led to it.
type Decision struct {
	Case            Case
	Verdict         Verdict
	Probability     float64  // that the true value meets the limits
	AcceptanceLower *float64 // least reading that allows reuse; nil: none
	AcceptanceUpper *float64
	SettlingU       *float64 // greatest u that would settle it at this reading; nil: settled, or none would
	Reasons         []say.Message
}

// Decide judges a normal result against its limits:
//
//	p_c = Φ((T_U − y)/u) − Φ((T_L − y)/u)        JCGM 106:2012, 7.4
//
// reuse when p_c ≥ confidence, replace when p_c ≤ 1 − confidence. Between them
// a better instrument when no reading at all could reach the confidence (two
// limits close together beside u), else measure again. The acceptance limits
// are the readings where p_c equals the confidence (JCGM 106, 8.3).
func Decide(c Case) (Decision, error) {
	if err := c.check(); err != nil {
		return Decision{}, err
	}
	d := Decision{Case: c, Probability: c.probability(c.Measured, c.U)}
	d.AcceptanceLower, d.AcceptanceUpper = c.acceptance()
	noZone := d.AcceptanceLower == nil && d.AcceptanceUpper == nil
	switch {
	case d.Probability >= c.Confidence:
		d.Verdict = Reuse
	case d.Probability <= 1-c.Confidence:
		d.Verdict = Replace
	case noZone:
		d.Verdict = BetterInstrument
		d.Reasons = append(d.Reasons, msgNoZone.With())
	default:
		d.Verdict = MeasureAgain
	}
	if d.Verdict == MeasureAgain || d.Verdict == BetterInstrument {
		if u, ok := c.settlingU(); ok {
			d.SettlingU = &u
			d.Reasons = append(d.Reasons, msgUSettles.With(value{c.differenceDimension(), u}))
		} else {
			d.Reasons = append(d.Reasons, msgOnLimit.With())
		}
	}
	return d, nil
}

func (c Case) check() error {
	if err := finite("measured", c.Measured); err != nil {
		return err
	}
	if err := zeroOrMore("u", c.U); err != nil {
		return err
	}
	if err := checkConfidence(c.Confidence); err != nil {
		return err
	}
	if c.Lower == nil && c.Upper == nil {
		return say.Refuse("upper", "", msgNoLimit.With(), msgGiveLimit.With())
	}
	if c.Lower != nil {
		if err := finite("lower", *c.Lower); err != nil {
			return err
		}
	}
	if c.Upper != nil {
		if err := finite("upper", *c.Upper); err != nil {
			return err
		}
	}
	if c.Lower != nil && c.Upper != nil && !(*c.Lower < *c.Upper) {
		return say.Refuse("lower", quantity.Show(c.Dimension, *c.Lower, say.Style{}), msgLimitsTurned.With(), msgTurnLimits.With())
	}
	return nil
}

// probability is p_c for a reading y with uncertainty u. Tails are added on
// the side where they are small, so that nothing is lost to rounding.
func (c Case) probability(y, u float64) float64 {
	if u == 0 {
		if c.Lower != nil && y < *c.Lower || c.Upper != nil && y > *c.Upper {
			return 0
		}
		return 1
	}
	above, below := math.Inf(1), math.Inf(-1)
	if c.Upper != nil {
		above = (*c.Upper - y) / u
	}
	if c.Lower != nil {
		below = (*c.Lower - y) / u
	}
	if below > 0 {
		return phi(-below) - phi(-above)
	}
	return phi(above) - phi(below)
}

// phi is the distribution function of the unit normal.
func phi(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// acceptance finds the readings where p_c equals the confidence.
func (c Case) acceptance() (lower, upper *float64) {
	guard := distuv.UnitNormal.Quantile(c.Confidence) * c.U
	switch {
	case c.Lower == nil:
		return nil, pointer(*c.Upper - guard)
	case c.Upper == nil:
		return pointer(*c.Lower + guard), nil
	}
	middle := *c.Lower + (*c.Upper-*c.Lower)/2
	if c.probability(middle, c.U) < c.Confidence {
		return nil, nil
	}
	if c.U == 0 {
		return pointer(*c.Lower), pointer(*c.Upper)
	}
	inside, outside := 0.0, *c.Upper-middle // p_c falls with the distance from the middle, below ½ at the limit
	for range 200 {
		half := inside + (outside-inside)/2
		if half == inside || half == outside {
			break
		}
		if c.probability(middle+half, c.U) >= c.Confidence {
			inside = half
		} else {
			outside = half
		}
	}
	return pointer(middle - inside), pointer(middle + inside)
}

// settlingU finds the greatest uncertainty at which a reading like this one
// would be decided.
func (c Case) settlingU() (float64, bool) {
	inside := c.probability(c.Measured, 0) == 1
	settled := func(u float64) bool {
		p := c.probability(c.Measured, u)
		if inside {
			return p >= c.Confidence
		}
		return p <= 1-c.Confidence
	}
	low, high := 0.0, c.U
	if onLimit(c.Measured, c.Lower) || onLimit(c.Measured, c.Upper) {
		return 0, false
	}
	for range 200 {
		mid := low + (high-low)/2
		if mid == low || mid == high {
			break
		}
		if settled(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	return low, low > 0
}

func onLimit(y float64, limit *float64) bool { return limit != nil && y == *limit }

func pointer(v float64) *float64 { return &v }

// value shows a number of a dimension known only when the program runs.
type value struct {
	dimension quantity.Dimension
	si        float64
}

func (v value) Show(s say.Style) string { return quantity.Show(v.dimension, v.si, s) }

// differenceDimension is the dimension in which an uncertainty is shown.
func (c Case) differenceDimension() quantity.Dimension {
	switch c.Dimension {
	case quantity.TemperatureDimension:
		return quantity.TemperatureDifferenceDimension
	case quantity.AbsolutePressureDimension:
		return quantity.PressureDifferenceDimension
	}
	return c.Dimension
}

// Working returns the tree of the probability.
func (d Decision) Working() *working.Node {
	leaf := func(id string, name say.Message, symbol string, v float64, ref string) *working.Node {
		return &working.Node{ID: id, Name: name, Symbol: symbol, Dimension: d.Case.Dimension, Value: v, Ref: ref}
	}
	root := &working.Node{ID: "decide.probability", Name: msgConformity.With(), Symbol: "p_c", Value: d.Probability,
		Equation: "p_c = Φ((T_U − y)/u) − Φ((T_L − y)/u)", Source: "JCGM 106:2012, 7.4"}
	root.Inputs = append(root.Inputs, leaf("decide.measured", msgMeasuredValue.With(), "y", d.Case.Measured, "measured").WithU(d.Case.U))
	if d.Case.Lower != nil {
		root.Inputs = append(root.Inputs, leaf("decide.lower", msgLowerLimit.With(), "T_L", *d.Case.Lower, "lower"))
	}
	if d.Case.Upper != nil {
		root.Inputs = append(root.Inputs, leaf("decide.upper", msgUpperLimit.With(), "T_U", *d.Case.Upper, "upper"))
	}
	return root
}
