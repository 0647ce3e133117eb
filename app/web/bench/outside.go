package bench

import (
	"pumpwright/app/access"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
)

var (
	wordOutside     = say.Define("bench.outside", "Work outside")
	wordOutsideSay  = say.Define("bench.outside_say", "Write down what leaves the shop. When it is back, measure it: nothing read before is believed, and nothing is believed because it is back.")
	wordSendOut     = say.Define("bench.send_out", "Send work out")
	wordSendDo      = say.Define("bench.send_do", "It is sent out")
	wordSendPart    = say.Define("bench.send_part", "What is sent")
	wordSendOther   = say.Define("bench.send_other", "something else (name it below)")
	wordSendWhat    = say.Define("bench.send_what", "What it is, when it is no part of the sheet")
	wordSendWork    = say.Define("bench.send_work", "What is to be done to it, with the size it must have")
	wordSendTo      = say.Define("bench.send_to", "Who does it")
	wordSendBy      = say.Define("bench.send_by", "Promised for (year-month-day)")
	wordSendByHelp  = say.Define("bench.send_by_help", "like 2026-06-30; empty when no day is promised")
	wordSendPrice   = say.Define("bench.send_price", "Price")
	wordItIsBack    = say.Define("bench.it_is_back", "It is back: measure it")
	wordAwayLine    = say.Define("bench.away_line", "{what}: {work}, with {to}")
	wordAwaySince   = say.Define("bench.away_since", "sent {when} by {who}")
	wordAwayBy      = say.Define("bench.away_by", "promised for {by}")
	wordAwayLate    = say.Define("bench.away_late", "promised for {by}: late")
	wordAwayBack    = say.Define("bench.away_back", "back {when}")
	wordNothingAway = say.Define("bench.nothing_away", "Nothing is away.")
	wordMeasureBack = say.Define("bench.measure_back", "still to be measured: {features:list}")
	wordMeasured    = say.Define("bench.measured_back", "measured after its return")
	wordIsAway      = say.Define("bench.is_away", "Away: {what}, with {to}. What was measured on it to go in counts no more; measure it when it is back.")

	wordAnyway    = say.Define("bench.anyway", "Use it anyway …")
	wordAnywaySay = say.Define("bench.anyway_say", "{instrument} is not in calibration. A lead or inspector may sign why its readings count in this job; the reason stands in the report.")
	wordAnywayDo  = say.Define("bench.anyway_do", "Sign: use it anyway")
	wordAnywayWhy = say.Define("bench.anyway_why", "Why its readings can be trusted")
	wordAnywayIs  = say.Define("bench.anyway_is", "{instrument} was used anyway, signed by {who}: {reason}")

	wordReliefSet    = say.Define("bench.relief_set", "Set to")
	wordReliefCrack  = say.Define("bench.relief_crack", "Begins to pass at, if read")
	wordReliefFull   = say.Define("bench.relief_full", "Full bypass at")
	wordReliefReseat = say.Define("bench.relief_reseat", "Closes again at, if read")
	wordReliefScrew  = say.Define("bench.relief_screw", "Height of its screw as left")
	wordReliefSealed = say.Define("bench.relief_sealed", "How it was locked and sealed")
	wordReliefStated = say.Define("bench.relief_stated", "The service states {pressure:pressure_difference}.")
	wordReliefIs     = say.Define("bench.relief_is", "Relief valve: {reasons:list}.")
)

// away is one piece of work outside with the form of its return.
type away struct {
	job.Away
	name    string
	late    bool
	back    *part.Entry // nil when it is back, or for who may not write
	missing []string    // features to be measured on return
	address string      // where they are measured
}

// outsides lists the work outside of the job, the last first.
func outsides(v *frame.Visit, j *frame.Job) []away {
	var list []away
	all := j.State.Outsides()
	for i := len(all) - 1; i >= 0; i-- {
		a := away{Away: all[i], name: all[i].Sent.Body.Subject()}
		if p := j.Assessment.Inputs.Sheet.Part(a.Sent.Body.Part); p != nil {
			a.name, a.address = p.Name, j.Path("/part/"+p.ID)
		}
		a.late = a.Overdue(j.State.Last)
		if a.Back == nil && j.State.Closed == nil && v.Visitor.May(access.WriteBench) {
			a.back = v.EntryFor(j, job.KindOutside, "back."+a.Sent.Ref, wordItIsBack.With(),
				part.Field{Name: "t/of", Kind: part.Hidden, Value: a.Sent.Ref},
				part.Field{Name: "b/returned", Kind: part.Hidden, Value: "yes"})
			subject := "t/part"
			if a.Sent.Body.Part == "" {
				subject = "t/what"
			}
			a.back.Fields = append(a.back.Fields, part.Field{Name: subject, Kind: part.Hidden, Value: a.Sent.Body.Subject()}, line("t/note", wordRemark))
			if a.address != "" {
				a.back.Next = a.address
			}
		}
		for _, f := range j.Assessment.Readings.Left {
			if f.Feature.Part == a.Sent.Body.Part && f.Feature.Part != "" && f.Feature.Difference == nil && f.Mean == nil && readable(f) {
				a.missing = append(a.missing, f.Feature.Name)
			}
		}
		list = append(list, a)
	}
	return list
}

// readable: a feature that is read once the pump is apart, not one of a state
// that is lost.
func readable(f *reading.Feature) bool { return !f.Feature.Lost }

// isAway returns the work for which a part is away, nil when it is here.
func isAway(j *frame.Job, id string) *job.Away {
	for _, a := range j.State.Outsides() {
		if a.Back == nil && a.Sent.Body.Part == id && id != "" {
			return &a
		}
	}
	return nil
}

// sendOut is the form of work that leaves the shop, for a part of the address.
func sendOut(v *frame.Visit, j *frame.Job) *part.Entry {
	which := part.Field{Name: "t/part", Word: wordSendPart.With(), Kind: part.Choice, Value: v.URL.Query().Get("part"), Options: []part.Option{{Value: "", Word: wordSendOther.With()}}}
	s := j.Assessment.Inputs.Sheet
	for i := range s.Parts {
		which.Options = append(which.Options, part.Option{Value: s.Parts[i].ID, Word: say.Plain(s.Parts[i].Name)})
	}
	by := line("t/by", wordSendBy)
	by.Help = wordSendByHelp.With()
	return v.EntryFor(j, job.KindOutside, "send", wordSendDo.With(), which, line("t/what", wordSendWhat), must(line("t/work", wordSendWork)), must(line("t/to", wordSendTo)), by,
		part.Field{Name: "n/price", Word: wordSendPrice.With(), Kind: part.Number}, line("t/currency", wordCurrency), line("t/note", wordRemark),
		part.Field{Name: "b/sent", Kind: part.Hidden, Value: "yes"})
}

func showOutside(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordOutside.With(), Job: j, Here: "known", Plain: true, Body: outsidePage(v, j, outsides(v, j), sendOut(v, j))})
}

// anyway is the form by which an instrument out of calibration is used all the
// same; nil for who may not sign it.
func anyway(v *frame.Visit, j *frame.Job, instrument string) *part.Entry {
	roles := v.Visitor.RolesOf([]string{string(access.Lead), string(access.Inspector)})
	if len(roles) == 0 || !v.Visitor.May(access.Decide) {
		return nil
	}
	e := v.EntryFor(j, job.KindAccepted, "anyway."+instrument, wordAnywayDo.With(),
		part.Field{Name: "t/instrument", Kind: part.Hidden, Value: instrument}, part.Field{Name: "t/role", Kind: part.Hidden, Value: roles[0]},
		must(line("t/reason", wordAnywayWhy)))
	e.Quiet = true
	return e
}

// blockedBy lists the instruments that block what is shown at the step.
func (n *now) blockedBy() []string {
	var list []string
	seen := map[string]bool{"": true}
	for _, f := range n.answered() {
		if f.Blocked && !seen[f.BlockedBy] {
			seen[f.BlockedBy] = true
			list = append(list, f.BlockedBy)
		}
	}
	return list
}

// relief is the form of the relief valve as it is set on the stand; what the
// service states stands beside it.
func (n *now) relief(e *part.Entry) *part.Entry {
	p := quantity.PressureDifferenceDimension
	set, crack, full, reseat := must(n.measure("t/set", wordReliefSet, p)), n.measure("t/crack", wordReliefCrack, p), must(n.measure("t/full_bypass", wordReliefFull, p)), n.measure("t/reseat", wordReliefReseat, p)
	if s := n.a.Inputs.Service; s != nil && s.Relief != nil {
		if s.Relief.Set != nil {
			set.Help = wordReliefStated.With(s.Relief.Set.Value)
		}
		if s.Relief.Crack != nil {
			crack.Help = wordReliefStated.With(s.Relief.Crack.Value)
		}
		if s.Relief.FullBypass != nil {
			full.Help = wordReliefStated.With(s.Relief.FullBypass.Value)
		}
		if s.Relief.Reseat != nil {
			reseat.Help = wordReliefStated.With(s.Relief.Reseat.Value)
		}
	}
	e.Fields = []part.Field{set, full, crack, reseat, n.measure("t/screw", wordReliefScrew, quantity.LengthDimension), line("t/sealed", wordReliefSealed), line("t/note", wordRemark)}
	e.Answers = n.j.Path("/answer")
	return e
}
