package cause

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/sheet"
)

// The marks of wear. [common practice, no source]
const (
	wornMark   = 0.02e-3 // wear that a micrometer and a finger nail agree on
	grooveMark = 0.02e-3 // depth of a groove that can be felt
	oneSided   = 0.4     // the least worn place has lost less than this share of the most worn
	allRound   = 0.7     // … more than this share
	belledFrom = 0.6     // share of the wear that lies at one end
	evenTo     = 0.3     // share of the wear that differs between places
)

var (
	whatPin      = say.Define("cause.pin", "idler pin, most worn place below its unworn size")
	whatBushing  = say.Define("cause.bushing", "idler bushing, most worn plane over its size as new")
	whatBracket  = say.Define("cause.bracket", "bracket bushing, most worn plane over its size as new")
	whatBore     = say.Define("cause.bore", "casing bore, how far its centre has moved")
	whatRound    = say.Define("cause.bore_round", "casing bore, mean over its size as new")
	whatGroove   = say.Define("cause.groove", "deepest groove in the head")
	whatOver     = say.Define("cause.over_limit", "{feature}")
	whyOneSide   = say.Define("cause.one_side", "the least worn place has lost {share:percent} of the most worn: one side; diameters do not tell which side")
	whyAllRound  = say.Define("cause.all_round", "worn all round: the least worn place has lost {share:percent} of the most worn")
	whyUnworn    = say.Define("cause.unworn", "not worn beyond the mark")
	whyBelled    = say.Define("cause.belled", "{share:percent} of the wear lies at one end")
	whyEven      = say.Define("cause.even", "round and alike at both ends: places differ by {share:percent} of the wear")
	whyOval      = say.Define("cause.oval", "out of round by {share:percent} of the wear: one side, diameters do not tell which")
	whyToSuction = say.Define("cause.to_suction", "the bore has moved {angle:number}° from the mesh, towards suction")
	whyToOther   = say.Define("cause.to_other", "the bore has moved {angle:number}° from the mesh, away from suction")
	whyBetween   = say.Define("cause.between", "casing bore: worn {amount:length} off centre at {angle:number}° from the mesh, neither towards suction nor away from it")
	whyBoreRound = say.Define("cause.bore_all_round", "the bore is wide all round, its centre has hardly moved")
	whyPartBell  = say.Define("cause.part_bell", "idler bushing: worn, {share:percent} of it at one end; neither even nor belled")
	whyDeeper    = say.Define("cause.limit_beyond", "against its limit ({rank})")
)

func (d *detector) wear() {
	d.pin()
	d.bushing()
	d.bracket()
	d.bore()
	d.groove()
	d.limits()
}

// losses returns the greatest and the least loss among the places of the most
// worn plane, in the direction in which the feature wears (+1 grows).
func losses(f *reading.Feature, reference, direction float64) (most, least float64, places int) {
	plane, found := "", false
	most = math.Inf(-1)
	for _, p := range f.Survey.Places {
		if loss := direction * (p.Mean.SI() - reference); loss > most {
			most, plane, found = loss, p.Plane, true
		}
	}
	least = most
	for _, p := range f.Survey.Places {
		if found && p.Plane == plane {
			places++
			least = math.Min(least, direction*(p.Mean.SI()-reference))
		}
	}
	return most, least, places
}

// pin: one-sided wear from the angles.
func (d *detector) pin() {
	f := d.found(sheet.RolePinOD)
	if f == nil {
		return
	}
	reference, _, known := asNew(f)
	for _, p := range f.Survey.Planes {
		if p.Name == f.Feature.Unworn && p.Places > 0 {
			reference, known = p.Mean.SI(), true
		}
	}
	if !known {
		return
	}
	most, least, places := losses(f, reference, -1)
	m := mark{item: "E38", what: whatPin.With(), number: length(most, math.Sqrt2*f.Worst.U), at: wornMark, chance: -1, worth: 0.8, refs: refsOf(f), absent: true, why: whyUnworn.With()}
	if beyond(most, m.number.U, wornMark) < beyondFrom {
		d.hold(m)
		return
	}
	share := math.Max(least, 0) / most
	switch {
	case places < 2:
	case share <= oneSided:
		m.why = whyOneSide.With(share)
		d.hold(m)
	case share >= allRound:
		d.absent("E38", textOver.With(m.what, m.number, length(wornMark, 0)), whyAllRound.With(share), m.number, m.refs)
	}
}

// planeWear returns the wear of the most and the least worn plane of a bore.
func planeWear(f *reading.Feature, reference float64) (most, least, oval float64) {
	most, least = math.Inf(-1), math.Inf(1)
	for _, p := range f.Survey.Planes {
		most = math.Max(most, p.Mean.SI()-reference)
		least = math.Min(least, p.Mean.SI()-reference)
	}
	return most, math.Max(least, 0), f.Survey.OutOfRound.SI()
}

// bushing: even, or belled at one end.
func (d *detector) bushing() {
	f := d.found(sheet.RoleIdlerBushingBore)
	if f == nil {
		return
	}
	middle, upper, known := asNew(f)
	if !known {
		return
	}
	most, least, oval := planeWear(f, middle)
	at := upper - middle + wornMark
	number := length(most, f.Mean.U)
	m := mark{what: whatBushing.With(), number: number, at: at, chance: -1, worth: 1, refs: refsOf(f), absent: true}
	if beyond(most, number.U, at) < beyondFrom {
		for _, item := range []string{"E36", "E37"} {
			m.item, m.why = item, whyUnworn.With()
			d.hold(m)
		}
		return
	}
	taper := (most - least) / most
	switch {
	case len(f.Survey.Planes) < 2:
	case taper >= belledFrom:
		m.item, m.why = "E37", whyBelled.With(taper)
		d.hold(m)
	case taper <= evenTo && oval/most <= evenTo:
		m.item, m.why = "E36", whyEven.With(math.Max(taper, oval/most))
		d.hold(m)
	default:
		d.undecided = append(d.undecided, whyPartBell.With(taper))
	}
}

// bracket: what stands still wears on one side.
func (d *detector) bracket() {
	f := d.found(sheet.RoleShaftBushingBore)
	if f == nil {
		return
	}
	middle, upper, known := asNew(f)
	if !known {
		return
	}
	most, _, oval := planeWear(f, middle)
	m := mark{item: "E64", what: whatBracket.With(), number: length(most, f.Mean.U), at: upper - middle + wornMark, chance: -1, worth: 0.6, refs: refsOf(f), absent: true, why: whyUnworn.With()}
	if beyond(most, m.number.U, m.at) >= beyondFrom {
		if oval < evenTo*most || oval < 3*f.Worst.U {
			return
		}
		m.why = whyOval.With(oval / most)
	}
	d.hold(m)
}

// bore: rubbed towards suction, away from it, or all round. Angles belong to
// the casing; a pump that turns the other way has its suction elsewhere.
func (d *detector) bore() {
	f := d.found(sheet.RoleCasingBore)
	if f == nil {
		return
	}
	middle, upper, known := asNew(f)
	if !known {
		return
	}
	refs := refsOf(f)
	at := upper - middle + wornMark
	worn := f.Survey.Largest.Mean.SI() - middle
	shift := 0.0
	if h, err := f.Survey.FirstHarmonic(); err == nil {
		shift = h.Amplitude.SI()
		m := mark{what: whatBore.With(), number: length(shift, f.Worst.U), at: wornMark, chance: -1, worth: 0.7, refs: refs, absent: true}
		high := d.in.Sides.FromMesh(h.HighAngle)
		side := math.Sin(high.SI())
		switch {
		case beyond(shift, f.Worst.U, wornMark) < beyondFrom:
			if worn < at {
				m.item, m.why = "E49", whyUnworn.With()
				d.hold(m)
			}
		case side >= 0.5:
			m.item, m.why = "E49", whyToSuction.With(degrees(high))
			d.hold(m)
		case side <= -0.5:
			m.item, m.why = "E78", whyToOther.With(degrees(high))
			d.hold(m)
		default:
			d.undecided = append(d.undecided, whyBetween.With(h.Amplitude, degrees(high)))
		}
	}
	mean := f.Survey.Mean.SI() - middle
	if shift <= 0.25*mean {
		d.hold(mark{item: "E50", what: whatRound.With(), number: length(mean, f.Mean.U), at: at, chance: -1, worth: 0.6, why: whyBoreRound.With(), refs: refs, absent: true})
	}
}

// degrees rounds an angle for the words: readings stand at few places.
func degrees(a quantity.Angle) float64 { return math.Round(a.SI() * 180 / math.Pi) }

func (d *detector) groove() {
	f := d.found(sheet.RoleGroove)
	if f == nil {
		return
	}
	d.hold(mark{item: "E57", what: whatGroove.With(), number: *f.Worst, at: grooveMark, chance: -1, worth: 1, refs: refsOf(f), absent: true})
}

// limits: run-out, end play and working length of the seal against the limits
// that govern them.
func (d *detector) limits() {
	for _, l := range []struct {
		role, item string
		worth      float64
		otherwise  float64 // mark where the sheet has no limit, 0 = none [common practice, no source]
	}{
		{sheet.RoleShaftRunOut, "E62", 1, 0.05e-3},
		{sheet.RoleEndPlay, "E79", 0.9, 0.10e-3},
		{sheet.RoleSealWorkingLength, "E75", 0.9, 0},
	} {
		f := d.found(l.role)
		if f == nil {
			continue
		}
		m := mark{item: l.item, what: whatOver.With(f.Feature.Name), number: *f.Worst, at: l.otherwise, chance: -1, worth: l.worth, refs: refsOf(f), absent: true}
		if j := f.Governs(); j != nil {
			m.number, m.chance = j.Number, 1-j.Decision.Probability
			m.at = nearest(j)
			m.why = whyDeeper.With(j.Rank)
		} else if l.otherwise == 0 {
			continue
		}
		if m.number.Dimension == quantity.LengthDimension {
			d.hold(m)
		}
	}
}

// nearest is the side of a limit that lies nearer to the number.
func nearest(j *reading.Judged) float64 {
	switch {
	case j.Min == nil:
		return j.Max.SI
	case j.Max == nil || math.Abs(j.Number.Value-j.Min.SI) < math.Abs(j.Number.Value-j.Max.SI):
		return j.Min.SI
	}
	return j.Max.SI
}
