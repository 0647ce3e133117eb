package window

import (
	"math"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
)

// Duty is one thing that the pump must do, with how its gaps change for it.
type Duty struct {
	Liquid     slip.Liquid // at the pumping temperature
	Lubricates bool
	Point      slip.Point
	Service    *chain.Service // from the bench to this duty
	Cold       bool           // it must be done before the parts are warm: the steady change does not help
}

// Inputs are what the window depends on. The clearances of the model are the
// cold ones; of the end clearance only the differences to idler float and
// crescent end matter.
type Inputs struct {
	Model   *slip.Model
	Factors slip.Factors
	Duties  []Duty // the first is the normal one: the target is made for it

	MinEfficiency float64 // volumetric efficiency that must remain at every duty
	Pair          Pair
	NeededGap     *quantity.Length // asked for
	Roughness     *quantity.Length // of both faces together
	Solids        *quantity.Length // size that 98 % pass

	RunOut       quantity.Length // total indicator reading of the rotor's face
	Tilt         quantity.Length // of the head, over the rotor's diameter
	ThrustPlay   quantity.Length // of the thrust bearing
	PushedToHead bool            // the end clearance is read with the shaft pushed to the head
	GasketSet    quantity.Length // what the gaskets still give way in service
	U            quantity.Length // standard uncertainty of the cold end clearance
	RadialU      quantity.Length // standard uncertainty of the radial gaps
	Coverage     float64         // k, 2 when 0

	SheetMinimum *quantity.Length // never below
	Maximum      *quantity.Length // never above; 0.003 of the rotor's diameter when nil
}

// Conventions of this program, no source.
const (
	defaultCoverage   = 2
	mostOfDiameter    = 0.003 // a larger end clearance costs priming
	leastOfDiameter   = 0.001 // below it without a minimum of the sheet: say so
	radialNeed        = 0.025e-3
	keepAway          = 0.05e-3 // of the target from both limits, or a quarter of the window
	searchOfDiameter  = 0.02    // how far the efficiency is followed
	searchLow         = 0.02e-3
	searchHigh        = 1.5e-3
	searchScan        = 48
	bisections        = 60
	goldenSteps       = 48
	goldenShare       = 0.6180339887498949
	smallestEndInTest = 1e-9
)

// Term is one part of a limit.
type Term struct {
	Name  say.Message
	Value quantity.Length
	Ref   string // field or place it came from
}

// Limit is a limit of the cold end clearance and how it is made up.
type Limit struct {
	Value quantity.Length
	Terms []Term
	Gap   chain.GapName // the gap that decides
	Duty  int           // the duty that decides
}

// Result is the window. A nil limit is not known or does not exist; Reasons
// say why.
type Result struct {
	Inputs Inputs

	Need    quantity.Length // gap that must remain
	NeedWhy say.Message

	Lower, LowerUnguarded *Limit
	Upper, UpperUnguarded *Limit
	Target                *quantity.Length

	RunningUpper []*quantity.Length // of each duty, hot; nil: efficiency is no limit, or out of reach
	LossOptimum  []*quantity.Length // of each duty, hot: arithmetic, not advice

	Governing    int // duty that closes the end clearance most
	ChangeSteady quantity.Length
	ChangeWorst  quantity.Length
	ChangesKnown bool

	RadialOK    bool
	RadialKnown bool
	Possible    bool // lower ≤ upper
	Reasons     []say.Message
	Warnings    []say.Message
}

var (
	msgNoDuty     = say.Define("window.no_duty", "no duty is given")
	msgGiveDuty   = say.Define("window.give_duty", "give at least one temperature, speed and pressure")
	msgNoModel    = say.Define("window.no_model", "the pump model is missing")
	msgNoService  = say.Define("window.no_service", "how the gaps change for this duty is missing")
	msgEfficiency = say.Define("window.efficiency", "the volumetric efficiency must lie between 0 and 1")
	msgMaxBelow   = say.Define("window.max_below", "the largest end clearance is below the least one")
)

func (in *Inputs) check() error {
	if in.Model == nil {
		return say.Refuse("sheet", "", msgNoModel.With(), say.Message{})
	}
	if len(in.Duties) == 0 {
		return say.Refuse("duty", "", msgNoDuty.With(), msgGiveDuty.With())
	}
	for i, d := range in.Duties {
		if d.Service == nil {
			return say.Refuse(dutyField(i), "", msgNoService.With(), say.Message{})
		}
	}
	if !(in.MinEfficiency > 0 && in.MinEfficiency < 1) {
		return say.Refuse("min_volumetric_efficiency", "", msgEfficiency.With(), say.Message{})
	}
	if in.Coverage == 0 {
		in.Coverage = defaultCoverage
	}
	if in.Factors == (slip.Factors{}) {
		in.Factors = slip.DefaultFactors()
	}
	for _, v := range []struct {
		field string
		value float64
	}{{"runout", in.RunOut.SI()}, {"tilt", in.Tilt.SI()}, {"thrust_play", in.ThrustPlay.SI()}, {"gasket_set", in.GasketSet.SI()},
		{"clearance_u", in.U.SI()}, {"radial_u", in.RadialU.SI()}, {"coverage", in.Coverage}} {
		if err := notNegative(v.field, v.value); err != nil {
			return err
		}
	}
	for field, v := range map[string]*quantity.Length{"sheet_minimum": in.SheetMinimum, "maximum": in.Maximum} {
		if v != nil {
			if err := notNegative(field, v.SI()); err != nil {
				return err
			}
		}
	}
	if in.SheetMinimum != nil && in.Maximum != nil && *in.Maximum < *in.SheetMinimum {
		return say.Refuse("maximum", in.Maximum.String(), msgMaxBelow.With(), say.Message{})
	}
	return nil
}

// Find works out the window.
//
//	lower = max over duties and gaps of h_need − min_t Δ + a_th + w_g + TIR/2 + tilt/2 + k u − offset,
//	        never below the sheet's minimum
//	upper = min over duties of running upper − Δs_steady − a_th' − k u,
//	        never above the maximum
//
//	h_need   gap that must remain                         see MetalGap, solids, roughness, own
//	Δ        change of end clearance, idler float, crescent end; min over the warm-up
//	offset   cold idler float (crescent end) less cold end clearance; 0 for the end clearance
//	a_th     thrust play that can carry the rotor to the head after the reading; 0 when read
//	         pushed to the head, and then a_th' = a_th opens the gap instead
//	w_g      what the gaskets still give way
//	k u      coverage times standard uncertainty; 0 for the unguarded limits
//
// The running upper is the end clearance at which the volumetric efficiency
// reaches its minimum, with the radial gaps as they are when hot (bisection:
// slip rises with the end clearance).
//
// Errors: a say.Problem naming the input. A length or material that is missing
// leaves the limit unknown, with a reason.
// Source: derived here; conventions without source as marked.
func Find(in Inputs) (*Result, error) {
	if err := in.check(); err != nil {
		return nil, err
	}
	r := &Result{Inputs: in}
	var err error
	if r.Need, r.NeedWhy, err = in.need(); err != nil {
		return nil, err
	}
	r.changes()
	r.lower()
	if err := r.upper(); err != nil {
		return nil, err
	}
	r.radial()
	r.judge()
	return r, nil
}

// changes finds the duty that closes the end clearance most.
func (r *Result) changes() {
	worst := math.Inf(1)
	for i, d := range r.Inputs.Duties {
		end := d.Service.Gaps[chain.EndGap]
		if !end.Steady.Known() {
			continue
		}
		closest := math.Min(0, end.Steady.SI())
		if end.Closest.Known() {
			closest = end.Closest.SI()
		}
		if closest < worst {
			worst = closest
			r.Governing, r.ChangesKnown = i, true
			r.ChangeSteady, r.ChangeWorst = end.Steady.Length, quantity.Length(closest)
		}
	}
}

// offsets of the gaps that move with the end clearance, cold.
func (in Inputs) offsets() map[chain.GapName]quantity.Length {
	c := in.Model.Pump().Clearances
	return map[chain.GapName]quantity.Length{chain.EndGap: 0, chain.IdlerFloatGap: c.IdlerFloat - c.End, chain.CrescentEndGap: c.CrescentEnd - c.End}
}

// running returns the clearances when warm for a running end clearance. A gap
// that would be below nothing is closed.
func (in Inputs) running(duty int, end quantity.Length) slip.Clearances {
	gaps := in.Duties[duty].Service.Gaps
	change := func(g chain.GapName) quantity.Length {
		if c := gaps[g].Steady; c.Known() && !in.Duties[duty].Cold {
			return c.Length
		}
		return 0
	}
	c := in.Model.Pump().Clearances.WithEnd(end - change(chain.EndGap))
	c.End = end
	c.IdlerFloat += change(chain.IdlerFloatGap)
	c.CrescentEnd += change(chain.CrescentEndGap)
	c.RotorRadial += change(chain.RadialGap)
	c.CrescentOuter += change(chain.CrescentOuterGap)
	c.CrescentInner += change(chain.CrescentInnerGap)
	for _, gap := range []*quantity.Length{&c.IdlerFloat, &c.CrescentEnd, &c.RotorRadial, &c.CrescentOuter, &c.CrescentInner} {
		*gap = max(0, *gap)
	}
	return c
}
