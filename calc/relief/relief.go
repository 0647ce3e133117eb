// Package relief judges a relief valve against the pump's working pressure and
// the limits that it protects.
//
// All pressures are differences over the pump (gauge where it draws from an
// open tank), so a valve that returns to the suction side is meant. A valve
// that is set right on paper still has to be proved on the bench, by people
// licensed to do so where the law asks for it.
package relief

import (
	"fmt"
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// Valve is a relief valve with the pressures around it.
type Valve struct {
	Set         quantity.PressureDifference  // to which it is adjusted
	Crack       quantity.PressureDifference  // where it begins to pass
	FullBypass  *quantity.PressureDifference // where it passes the whole flow of the pump
	Reseat      *quantity.PressureDifference // where it has closed again
	Working     quantity.PressureDifference  // highest that the pump works at
	CasingLimit quantity.PressureDifference  // allowed for casing and pipe
	DriveLimit  quantity.PressureDifference  // at which the drive reaches its rating
}

// Result is the judgement of a relief valve.
type Result struct {
	Valve      Valve
	Margin     quantity.PressureDifference // crack less working pressure
	Passes     bool                        // it passes at working pressure: a leak of its own
	FullBypass quantity.PressureDifference // as given, or assumed
	Assumed    bool                        // FullBypass is assumed
	Accepted   bool
	Reasons    []say.Message
	Warnings   []say.Message
}

var (
	msgPositive     = say.Define("relief.positive", "the pressure must be above zero")
	msgOrder        = say.Define("relief.order", "the pressure at full bypass is below the one at which the valve begins to pass")
	msgCheckBoth    = say.Define("relief.check_both", "check both readings")
	msgPassing      = say.Define("relief.passing", "it begins to pass at {crack:pressure_difference}, not above the working pressure {working:pressure_difference}: it is a leak path of its own and wears, heats and chatters")
	msgClear        = say.Define("relief.clear", "it begins to pass {margin:pressure_difference} above the working pressure")
	msgStaysOpen    = say.Define("relief.stays_open", "it closes again only at {reseat:pressure_difference}, not above the working pressure: once open it stays open")
	msgOverCasing   = say.Define("relief.over_casing", "at full bypass the pressure is {full:pressure_difference}, above the {limit:pressure_difference} that casing and pipe are allowed")
	msgOverDrive    = say.Define("relief.over_drive", "at full bypass the pressure is {full:pressure_difference}, above the {limit:pressure_difference} at which the drive is fully loaded")
	msgWithin       = say.Define("relief.within", "at full bypass the pressure is {full:pressure_difference}, within what casing, pipe and drive are allowed")
	msgAssumed      = say.Define("relief.assumed", "full bypass was not measured; 1.10 times the set pressure is assumed")
	msgNear         = say.Define("relief.near", "less than a tenth lies between working pressure and the valve's opening; a surge will open it")
	msgSetBelow     = say.Define("relief.set_below", "it begins to pass above the pressure to which it is set: the adjustment or a reading is wrong")
	msgWorkOverCase = say.Define("relief.work_over_case", "the working pressure itself is above a limit of casing or drive")
)

// accumulation is the pressure at full flow over the set pressure where it was
// not measured. Source: API 520/521 practice, from memory.
const accumulation = 1.10

// Judge compares a valve with the working pressure and the limits.
//
//	margin = p_crack − p_working
//	accepted: p_crack > p_working, p_reseat > p_working where measured,
//	          p_full ≤ casing limit and ≤ drive limit
//
// The pressure at full bypass is 1.10 times the set pressure where it was not
// measured (API 520/521 practice, from memory), and never below the crack.
func Judge(v Valve) (*Result, error) {
	for _, p := range []struct {
		field string
		value float64
	}{{"set", v.Set.SI()}, {"crack", v.Crack.SI()}, {"working_pressure", v.Working.SI()}, {"casing_limit", v.CasingLimit.SI()}, {"drive_limit", v.DriveLimit.SI()}} {
		if err := positive(p.field, p.value); err != nil {
			return nil, err
		}
	}
	r := &Result{Valve: v, Margin: v.Crack - v.Working, Passes: v.Crack <= v.Working, FullBypass: quantity.PressureDifference(math.Max(accumulation*v.Set.SI(), v.Crack.SI())), Assumed: v.FullBypass == nil}
	if v.FullBypass != nil {
		if err := positive("full_bypass", v.FullBypass.SI()); err != nil {
			return nil, err
		}
		if *v.FullBypass < v.Crack {
			return nil, say.Refuse("full_bypass", v.FullBypass.String(), msgOrder.With(), msgCheckBoth.With())
		}
		r.FullBypass = *v.FullBypass
	}
	staysOpen := false
	if v.Reseat != nil {
		if err := positive("reseat", v.Reseat.SI()); err != nil {
			return nil, err
		}
		staysOpen = *v.Reseat <= v.Working
	}
	overCasing, overDrive := r.FullBypass > v.CasingLimit, r.FullBypass > v.DriveLimit
	r.Accepted = !r.Passes && !staysOpen && !overCasing && !overDrive
	if r.Passes {
		r.Reasons = append(r.Reasons, msgPassing.With(v.Crack, v.Working))
	} else {
		r.Reasons = append(r.Reasons, msgClear.With(r.Margin))
		if r.Margin.SI() < 0.1*v.Working.SI() {
			r.Warnings = append(r.Warnings, msgNear.With())
		}
	}
	if staysOpen {
		r.Reasons = append(r.Reasons, msgStaysOpen.With(*v.Reseat))
	}
	if overCasing {
		r.Reasons = append(r.Reasons, msgOverCasing.With(r.FullBypass, v.CasingLimit))
	}
	if overDrive {
		r.Reasons = append(r.Reasons, msgOverDrive.With(r.FullBypass, v.DriveLimit))
	}
	if !overCasing && !overDrive {
		r.Reasons = append(r.Reasons, msgWithin.With(r.FullBypass))
	}
	if v.Working > v.CasingLimit || v.Working > v.DriveLimit {
		r.Accepted = false
		r.Reasons = append(r.Reasons, msgWorkOverCase.With())
	}
	if r.Assumed {
		r.Warnings = append(r.Warnings, msgAssumed.With())
	}
	if v.Crack > v.Set {
		r.Warnings = append(r.Warnings, msgSetBelow.With())
	}
	return r, nil
}

func positive(field string, v float64) error {
	if !(v > 0) || math.IsInf(v, 0) {
		return say.Refuse(field, fmt.Sprint(v), msgPositive.With(), say.Message{})
	}
	return nil
}

var (
	nameMargin  = say.Define("relief.name_margin", "margin between working pressure and opening")
	nameCrack   = say.Define("relief.name_crack", "pressure at which the valve begins to pass")
	nameWorking = say.Define("relief.name_working", "working pressure")
	nameFull    = say.Define("relief.name_full", "pressure at full bypass")
	nameSet     = say.Define("relief.name_set", "set pressure")
	nameVerdict = say.Define("relief.name_verdict", "relief valve")
	nameCasing  = say.Define("relief.name_casing", "limit of casing and pipe")
	nameDrive   = say.Define("relief.name_drive", "limit of the drive")
	textYes     = "accepted"
	textNo      = "not accepted"
)

// Working returns how the judgement came about.
func (r *Result) Working() *working.Node {
	v := r.Valve
	margin := working.Result("relief.margin", nameMargin.With(), "", r.Margin, "p_crack − p_working", "definition",
		working.Leaf("relief.crack", nameCrack.With(), "p_crack", v.Crack, "crack"),
		working.Leaf("relief.working", nameWorking.With(), "p_working", v.Working, "working_pressure"))
	full := working.Leaf("relief.full_bypass", nameFull.With(), "p_full", r.FullBypass, "full_bypass")
	if r.Assumed {
		full = working.Result("relief.full_bypass", nameFull.With(), "p_full", r.FullBypass, "p_full = 1.10 p_set", "API 520/521 practice, from memory",
			working.Leaf("relief.set", nameSet.With(), "p_set", v.Set, "set"))
	}
	text := textNo
	if r.Accepted {
		text = textYes
	}
	return &working.Node{ID: "relief.verdict", Name: nameVerdict.With(), Text: text,
		Equation: "p_crack > p_working, p_full ≤ both limits", Source: "common practice, no source",
		Inputs: []*working.Node{margin, full,
			working.Leaf("relief.casing", nameCasing.With(), "", v.CasingLimit, "casing_limit"),
			working.Leaf("relief.drive", nameDrive.With(), "", v.DriveLimit, "drive_limit")}}
}
