package window

import (
	"fmt"
	"math"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	nameNeed     = say.Define("window.name_need", "gap that must remain")
	nameCloses   = say.Define("window.name_closes", "closing of the {gap} at the worst moment")
	namePlay     = say.Define("window.name_play", "thrust play that can carry the rotor to the head")
	nameSet      = say.Define("window.name_set", "later set of the gaskets")
	nameRunOut   = say.Define("window.name_runout", "half the run-out")
	nameTilt     = say.Define("window.name_tilt", "half the tilt of the head")
	nameU        = say.Define("window.name_u", "{k:number} times the standard uncertainty")
	nameOffset   = say.Define("window.name_offset", "the {gap} is larger than the end clearance by")
	nameFloor    = say.Define("window.name_floor", "minimum of the model sheet")
	nameRunning  = say.Define("window.name_running", "running end clearance at which the efficiency is used up")
	nameOpens    = say.Define("window.name_opens", "closing from bench to steady running")
	namePlayOpen = say.Define("window.name_play_open", "thrust play that opens the gap after the reading")
	nameMaximum  = say.Define("window.name_maximum", "largest end clearance, for priming")

	whyUnknown   = say.Define("window.lower_unknown", "the lower limit is {why:message}")
	whyMeasured  = say.Define("window.warm_up_unknown", "the warm-up is not known; the steady change is used, and a fast warm-up can close the gap further")
	whyFloor     = say.Define("window.floor_decides", "the model sheet's minimum of {minimum:length} decides the lower limit; contact when hot would allow {contact:length}")
	whyLower     = say.Define("window.lower_reason", "lower limit {limit:length}: {need:length} must remain ({why:message}), the {gap} closes by up to {closes:length} on the way to {temperature:temperature}, {local:length} for run-out and tilt, {rest:length} for play and gasket set, {guard:length} for uncertainty")
	whyThin      = say.Define("window.lower_small", "the lower limit of {limit:length} is below a thousandth of the rotor's diameter, and the sheet has no minimum: check it with the maker's manual")
	whyUpper     = say.Define("window.upper_reason", "upper limit {limit:length}: duty {duty:count} ({temperature:temperature}, {speed:rotational_speed}, {pressure:pressure_difference}) falls to {efficiency:percent} volumetric efficiency at {running:length} running")
	whyMaximum   = say.Define("window.upper_maximum", "upper limit {limit:length}: a larger end clearance costs priming; slip would allow {running:length} running")
	whyMaxOnly   = say.Define("window.upper_maximum_only", "upper limit {limit:length}: a larger end clearance costs priming; slip sets no limit")
	whyHopeless  = say.Define("window.hopeless", "duty {duty:count} ({temperature:temperature}, {speed:rotational_speed}, {pressure:pressure_difference}) does not reach {efficiency:percent} even without end clearance ({best:percent}): end clearance cannot cure it, look at the radial gaps")
	whySteadyUn  = say.Define("window.upper_unknown", "the upper limit is {why:message}")
	dutyTemplate = "duty[%d]"
)

func dutyField(i int) string { return fmt.Sprintf(dutyTemplate, i) }

// lower finds the lower limit, guarded and not.
func (r *Result) lower() {
	in := r.Inputs
	k := in.Coverage
	r.LowerUnguarded, r.Lower = r.lowest(0), r.lowest(k)
	if r.Lower == nil {
		for _, d := range in.Duties {
			if c := d.Service.Gaps[chain.EndGap].Steady; !c.Known() {
				r.Reasons = append(r.Reasons, whyUnknown.With(c.Unknown))
				break
			}
		}
		return
	}
	contact := r.Lower.Value
	guard := quantity.Length(k * in.U.SI())
	d := in.Duties[r.Lower.Duty]
	r.Reasons = append(r.Reasons, whyLower.With(contact, r.Need, r.NeedWhy, r.Lower.Gap.String(), -closing(d.Service.Gaps[r.Lower.Gap]),
		d.Service.Start.Liquid, (in.RunOut+in.Tilt)/2, r.play()+in.GasketSet, guard))
	if !d.Service.Gaps[r.Lower.Gap].Closest.Known() {
		r.Warnings = append(r.Warnings, whyMeasured.With())
	}
	if in.SheetMinimum != nil {
		for _, l := range []*Limit{r.Lower, r.LowerUnguarded} {
			if l.Value < *in.SheetMinimum {
				l.Value, l.Terms = *in.SheetMinimum, []Term{{nameFloor.With(), *in.SheetMinimum, "sheet_minimum"}}
			}
		}
		if contact < *in.SheetMinimum {
			r.Reasons = append(r.Reasons, whyFloor.With(*in.SheetMinimum, contact))
		}
	} else if least := leastOfDiameter * 2 * in.Model.Pump().RotorRadius.SI(); r.Lower.Value.SI() < least {
		r.Warnings = append(r.Warnings, whyThin.With(r.Lower.Value))
	}
	r.notes()
}

// play is the thrust play that can still close the gap.
func (r *Result) play() quantity.Length {
	if r.Inputs.PushedToHead {
		return 0
	}
	return r.Inputs.ThrustPlay
}

// closing is how a gap changes at its worst, never above zero.
func closing(g chain.GapInService) quantity.Length {
	if g.Closest.Known() {
		return min(0, g.Closest.Length)
	}
	return min(0, g.Steady.Length)
}

// lowest is the highest lower limit over duties and gaps; nil when the change
// of the end clearance is not known for a duty.
func (r *Result) lowest(k float64) *Limit {
	in := r.Inputs
	offsets := in.offsets()
	var best *Limit
	for i, d := range in.Duties {
		if !d.Service.Gaps[chain.EndGap].Steady.Known() {
			return nil
		}
		for _, gap := range []chain.GapName{chain.EndGap, chain.IdlerFloatGap, chain.CrescentEndGap} {
			change := d.Service.Gaps[gap]
			if !change.Steady.Known() {
				continue
			}
			l := &Limit{Gap: gap, Duty: i, Terms: []Term{
				{nameNeed.With(), r.Need, "needed_gap"},
				{nameCloses.With(gap.String()), -closing(change), "thermal"},
				{namePlay.With(), r.play(), "thrust_play"},
				{nameSet.With(), in.GasketSet, "gasket_set"},
				{nameRunOut.With(), in.RunOut / 2, "runout"},
				{nameTilt.With(), in.Tilt / 2, "tilt"},
				{nameU.With(k), quantity.Length(k * in.U.SI()), "clearance_u"},
			}}
			if gap != chain.EndGap {
				l.Terms = append(l.Terms, Term{nameOffset.With(gap.String()), -offsets[gap], "sheet"})
			}
			for _, t := range l.Terms {
				l.Value += t.Value
			}
			if best == nil || l.Value > best.Value {
				best = l
			}
		}
	}
	return best
}

// notes passes on what the thermal side has to say, each once.
func (r *Result) notes() {
	said := map[string]bool{}
	for _, d := range r.Inputs.Duties {
		for _, n := range d.Service.Notes {
			if !said[n.String()] {
				said[n.String()] = true
				r.Warnings = append(r.Warnings, n)
			}
		}
	}
}

// upper finds the upper limit over the duties.
func (r *Result) upper() error {
	in := r.Inputs
	r.RunningUpper = make([]*quantity.Length, len(in.Duties))
	r.LossOptimum = make([]*quantity.Length, len(in.Duties))
	maximum := quantity.Length(mostOfDiameter * 2 * in.Model.Pump().RotorRadius.SI())
	if in.Maximum != nil {
		maximum = *in.Maximum
	}
	hopeless, unknown := false, false
	var best *Limit
	for i, d := range in.Duties {
		running, atZero, err := in.runningUpper(i)
		if err != nil {
			return say.In(dutyField(i), err)
		}
		optimum, err := in.lossOptimum(i)
		if err != nil {
			return say.In(dutyField(i), err)
		}
		r.LossOptimum[i] = optimum
		if atZero < in.MinEfficiency {
			hopeless = true
			r.Reasons = append(r.Reasons, whyHopeless.With(i+1, d.Service.Start.Liquid, d.Point.Speed, d.Point.Pressure, in.MinEfficiency, atZero))
			continue
		}
		if running == nil {
			continue
		}
		r.RunningUpper[i] = running
		steady := d.Service.Gaps[chain.EndGap].Steady
		if !steady.Known() && !d.Cold {
			unknown = true
			r.Reasons = append(r.Reasons, whySteadyUn.With(steady.Unknown))
			continue
		}
		l := in.coldUpper(i, *running, in.Coverage)
		if best == nil || l.Value < best.Value {
			best = l
		}
	}
	if hopeless || unknown {
		return nil
	}
	r.setUpper(best, maximum)
	return nil
}

// coldUpper carries a running upper limit to the bench.
func (in Inputs) coldUpper(duty int, running quantity.Length, k float64) *Limit {
	d := in.Duties[duty]
	var steady, play quantity.Length
	if !d.Cold {
		steady = d.Service.Gaps[chain.EndGap].Steady.Length
	}
	if in.PushedToHead {
		play = in.ThrustPlay
	}
	l := &Limit{Gap: chain.EndGap, Duty: duty, Terms: []Term{
		{nameRunning.With(), running, "min_volumetric_efficiency"},
		{nameOpens.With(), -steady, "thermal"},
		{namePlayOpen.With(), -play, "thrust_play"},
		{nameU.With(k), quantity.Length(-k * in.U.SI()), "clearance_u"},
	}}
	for _, t := range l.Terms {
		l.Value += t.Value
	}
	return l
}

func (r *Result) setUpper(best *Limit, maximum quantity.Length) {
	in := r.Inputs
	top := func(k float64) *Limit {
		return &Limit{Value: maximum - quantity.Length(k*in.U.SI()), Gap: chain.EndGap,
			Terms: []Term{{nameMaximum.With(), maximum, "maximum"}, {nameU.With(k), quantity.Length(-k * in.U.SI()), "clearance_u"}}}
	}
	r.Upper, r.UpperUnguarded = top(in.Coverage), top(0)
	if best == nil {
		r.Reasons = append(r.Reasons, whyMaxOnly.With(r.Upper.Value))
		return
	}
	running := *r.RunningUpper[best.Duty]
	if best.Value > r.Upper.Value {
		r.Reasons = append(r.Reasons, whyMaximum.With(r.Upper.Value, running))
		return
	}
	d := in.Duties[best.Duty]
	r.Upper, r.UpperUnguarded = best, in.coldUpper(best.Duty, running, 0)
	r.Reasons = append(r.Reasons, whyUpper.With(best.Value, best.Duty+1, d.Service.Start.Liquid, d.Point.Speed, d.Point.Pressure, in.MinEfficiency, running))
}

// efficiency is the volumetric efficiency at a running end clearance.
func (in Inputs) efficiency(duty int, end quantity.Length) (float64, error) {
	m, err := in.Model.With(in.running(duty, end))
	if err != nil {
		return 0, err
	}
	r, err := m.At(in.Duties[duty].Liquid, in.Duties[duty].Point, in.Factors)
	if err != nil {
		return 0, err
	}
	return r.VolumetricEfficiency, nil
}

// runningUpper is the running end clearance at which the efficiency reaches
// its minimum; nil when it stays above it all the way. atZero is the
// efficiency with the end clearance closed.
func (in Inputs) runningUpper(duty int) (limit *quantity.Length, atZero float64, err error) {
	least := max(0, -in.Factors.EndBias)
	if atZero, err = in.efficiency(duty, least); err != nil || atZero < in.MinEfficiency {
		return nil, atZero, err
	}
	low, high := least, quantity.Length(searchOfDiameter*2*in.Model.Pump().RotorRadius.SI())
	eta, err := in.efficiency(duty, high)
	if err != nil || eta >= in.MinEfficiency {
		return nil, atZero, err
	}
	for range bisections {
		mid := (low + high) / 2
		if mid == low || mid == high {
			break
		}
		if eta, err = in.efficiency(duty, mid); err != nil {
			return nil, atZero, err
		}
		if eta >= in.MinEfficiency {
			low = mid
		} else {
			high = mid
		}
	}
	return &low, atZero, nil
}

// loss is what slip and drag cost together at a running end clearance; NaN
// where the drag is not known.
func (in Inputs) loss(duty int, end quantity.Length) (float64, error) {
	m, err := in.Model.With(in.running(duty, end))
	if err != nil {
		return 0, err
	}
	r, err := m.At(in.Duties[duty].Liquid, in.Duties[duty].Point, in.Factors)
	if err != nil {
		return 0, err
	}
	if r.Power == nil {
		return math.NaN(), nil
	}
	return in.Duties[duty].Point.Pressure.SI()*r.Slip.SI() + r.Power.Gaps.SI() + r.Power.Pin.SI() + r.Power.ShaftBushing.SI(), nil
}

// lossOptimum is the running end clearance between 0.02 and 1.5 mm at which
// slip and drag cost least: a scan in equal ratios, then golden sections. Nil
// where the drag is not known.
//
// The analytic core, loss = a μ U²/s + b Δp² s³/μ, gives s_opt ∝ (μU/Δp)^½.
func (in Inputs) lossOptimum(duty int) (*quantity.Length, error) {
	at := func(i float64) quantity.Length {
		return quantity.Length(searchLow * math.Pow(searchHigh/searchLow, i/searchScan))
	}
	best, least := 0, math.Inf(1)
	for i := 0; i <= searchScan; i++ {
		v, err := in.loss(duty, at(float64(i)))
		if err != nil || math.IsNaN(v) {
			return nil, err
		}
		if v < least {
			best, least = i, v
		}
	}
	low, high := math.Max(0, float64(best-1)), math.Min(searchScan, float64(best+1))
	for range goldenSteps {
		a, b := high-goldenShare*(high-low), low+goldenShare*(high-low)
		va, err := in.loss(duty, at(a))
		if err != nil {
			return nil, err
		}
		vb, err := in.loss(duty, at(b))
		if err != nil {
			return nil, err
		}
		if va < vb {
			high = b
		} else {
			low = a
		}
	}
	optimum := at((low + high) / 2)
	return &optimum, nil
}
