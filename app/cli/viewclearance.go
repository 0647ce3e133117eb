package cli

import (
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/reading"
)

var (
	headClearances = say.Define("cli.head_clearances", "Clearances")
	msgFoundClear  = say.Define("cli.found_clearance", "End clearance as found: {found}.")
	msgLeftClear   = say.Define("cli.left_clearance", "End clearance as left: {left}.")
	msgBare        = say.Define("cli.bare", "Without gaskets it would be {bare} (from the depths).")
	msgWanted      = say.Define("cli.wanted", "Wanted, cold: {low:length} to {high:length}: {reasons:message}.")
	msgNotWanted   = say.Define("cli.not_wanted", "The wanted end clearance is not known: {reason:message}.")
	msgComputed    = say.Define("cli.computed", "Beside it, from liquid, temperature and slip, with the allowance for uncertainty: {low:length} to {high:length}.")
	msgComputedLow = say.Define("cli.computed_low", "Beside it, from liquid and temperature, with the allowance for uncertainty: at least {low:length}; the slip that is asked for cannot be met by the end clearance.")
	msgNotComputed = say.Define("cli.not_computed", "Nothing could be computed beside it: {reason:message}.")
	msgNeighbour   = say.Define("cli.neighbour", "row {low:length} to {high:length} ({page})")
	headGap        = say.Define("cli.head_gap", "clearance")
	headCold       = say.Define("cli.head_cold", "cold, bench")
	headSteady     = say.Define("cli.head_steady", "steady, in service")
	headTightest   = say.Define("cli.head_tightest", "tightest while warming up")
	headAfter      = say.Define("cli.head_after", "after")
	headNote       = say.Define("cli.head_note", "note")
	wordContact    = say.Define("cli.contact", "CONTACT")
	msgColdNote    = say.Define("cli.cold_note", "The end clearance in the table is the one to be expected of the stack or the turn below, until it is measured as left.")
	msgLacks       = say.Define("cli.lacks", "Not known yet:")
	msgLack        = say.Define("cli.lack", "{name} (needed for: {use})")
	msgLackNew     = say.Define("cli.lack_new", "{name} of the new part (needed for: {use})")
)

func (v *view) clearances() {
	c := v.a.Clearances
	v.head(headClearances.With())
	if f := c.AsFound; f != nil && f.Mean != nil {
		v.say(msgFoundClear.With(f.Mean.Show(v.style)))
	}
	if f := c.AsLeft; f != nil && f.Mean != nil {
		v.say(msgLeftClear.With(f.Mean.Show(v.style)))
	}
	if c.Bare.Known() {
		e := reading.Estimate{Dimension: quantity.LengthDimension, Value: c.Bare.Value.SI(), U: c.Bare.U}
		v.say(msgBare.With(e.Show(v.style)))
	}
	v.window(c.Window)
	v.blank()
	v.gaps(c)
	if len(c.Lacks) > 0 {
		v.say(msgLacks.With())
		for _, l := range c.Lacks {
			words := msgLack
			if l.New {
				words = msgLackNew
			}
			v.item("  - ", words.With(l.Name, l.Use))
		}
	}
}

func (v *view) window(w clearance.Window) {
	if !w.Known {
		v.say(msgNotWanted.With(w.Unknown))
		for _, r := range w.Between {
			page := r.Low.Page
			if page == "" {
				page = "–"
			}
			v.item("  - ", msgNeighbour.With(r.Low.Value, r.High.Value, page))
		}
		return
	}
	v.say(msgWanted.With(w.Low, w.High, w.Reasons))
	v.beside(w)
}

// beside shows what liquid, temperature and slip ask for, where the manual or
// a lead rules.
func (v *view) beside(w clearance.Window) {
	r := w.Computed
	switch {
	case w.Rank == clearance.RankComputed:
	case r == nil:
		if !w.NoComputed.IsZero() {
			v.say(msgNotComputed.With(w.NoComputed))
		}
	case r.Lower != nil && r.Upper != nil && r.Possible:
		v.say(msgComputed.With(r.Lower.Value, r.Upper.Value))
	case r.Lower != nil:
		v.say(msgComputedLow.With(r.Lower.Value))
	}
}

func (v *view) gaps(c *clearance.Chapter) {
	var rows [][]string
	for _, l := range c.Gaps {
		note := l.Unknown.Text(v.style)
		if l.Contact {
			note = wordContact.With().Text(v.style)
		}
		row := []string{l.Gap.String(), v.orDash(l.Cold)}
		if c.Hot != nil {
			after := "–"
			if l.Worst != nil && l.Closest.Time > 0 {
				after = l.Closest.Time.Show(v.style)
			}
			row = append(row, v.orDash(l.Steady), v.orDash(l.Worst), after)
		}
		rows = append(rows, append(row, note))
	}
	heads := []say.Message{headGap.With(), headCold.With()}
	if c.Hot != nil {
		heads = append(heads, headSteady.With(), headTightest.With(), headAfter.With())
	}
	v.table("", append(heads, headNote.With()), rows)
	if (c.AsLeft == nil || c.AsLeft.Mean == nil) && (c.Stack != nil || c.Turn != nil) {
		v.say(msgColdNote.With())
	}
}

func (v *view) orDash(e *reading.Estimate) string {
	if e == nil {
		return "–"
	}
	return e.Show(v.style)
}

var (
	headSetting   = say.Define("cli.head_setting", "Setting the end clearance")
	msgFit        = say.Define("cli.fit", "Fit, from casing to head: {stack:list}.")
	msgNearest    = say.Define("cli.nearest", "No stack from the shelf reaches the window. Nearest, from casing to head: {stack:list}.")
	msgExpect     = say.Define("cli.expect", "Expected end clearance {clearance}; chance of landing in the window {chance:percent}, of being too tight {below:percent}.")
	msgBasis      = say.Define("cli.basis", "Worked out from: {basis}.")
	msgChange     = say.Define("cli.change", "{added:count|piece|pieces} more to fit and {removed:count|piece|pieces} to take out of what is fitted now.")
	msgStays      = say.Define("cli.stays", "Leave it as it is fitted, from casing to head: {stack:list}.")
	msgLanded     = say.Define("cli.landed", "The last trial ({text}) lies in the window.")
	msgMissed     = say.Define("cli.missed", "The last trial ({text}) lies outside the window.")
	msgShortShelf = say.Define("cli.shortage", "The shelf holds too few: {short:list}.")
	msgOther      = say.Define("cli.other", "Next best:")
	msgOtherOne   = say.Define("cli.other_one", "{stack:list}: {clearance}, chance {chance:percent}")
	msgNoAdvice   = say.Define("cli.no_advice", "There is no advice yet: {reason:message}.")
	msgShort      = say.Define("cli.short", "{name} ({n:number} more)")
	msgTurned     = say.Define("cli.turned", "Expected end clearance {clearance}, from {now} now; chance of landing in the window {chance:percent}, of being too tight {below:percent}.")
	msgNotches    = say.Define("cli.notches", "That is {n:count|notch|notches}.")
)

// mostOthers is how many other stacks are shown.
const mostOthers = 2

// setting says what stack or what turn sets the end clearance.
func (v *view) setting() {
	c := v.a.Clearances
	v.head(headSetting.With())
	if !c.Unknown.IsZero() {
		v.say(msgNoAdvice.With(c.Unknown))
	}
	if c.Turn != nil && c.Turn.Turn != nil {
		v.turn(c.Turn)
	}
	s := c.Stack
	if s == nil || s.Best() == nil {
		return
	}
	v.stack(s)
	v.say(msgBasis.With(s.Basis))
	v.otherStacks(s)
}

// stack says which gaskets to fit, or that the fitted ones stay.
func (v *view) stack(s *clearance.Stack) {
	best := s.Best()
	words := msgFit
	switch {
	case !s.Solution.Reachable:
		words = msgNearest
	case s.Trials > 0 && best.Changed() == 0:
		words = msgStays
	}
	v.say(words.With(best.Order))
	if !s.Pack.IsZero() {
		v.say(s.Pack)
	}
	v.say(msgExpect.With(lengthWithU(best.Clearance, v.style), best.Probability, best.ProbabilityBelow))
	if s.Landed == nil {
		return
	}
	words = msgMissed
	if *s.Landed {
		words = msgLanded
	}
	v.say(words.With(s.TrialText))
	if best.Changed() > 0 {
		v.say(msgChange.With(best.Added, best.Removed))
	}
}

func (v *view) otherStacks(s *clearance.Stack) {
	if list := s.Solution.Shortages; len(list) > 0 {
		var short []string
		for _, one := range list {
			short = append(short, msgShort.With(s.Kinds[one.Kind].Name, float64(one.Short)).Text(v.style))
		}
		v.say(msgShortShelf.With(short))
	}
	others := s.Solution.RunnersUp
	if len(others) == 0 {
		return
	}
	v.say(msgOther.With())
	for _, o := range others[:min(len(others), mostOthers)] {
		v.item("  - ", msgOtherOne.With(o.Order, lengthWithU(o.Clearance, v.style), o.Probability))
	}
}

func (v *view) turn(h *clearance.Housing) {
	t := h.Turn
	v.say(sentence(t.Direction, v.style))
	if t.Notches != 0 {
		v.say(msgNotches.With(max(t.Notches, -t.Notches)))
	}
	v.say(msgTurned.With(lengthWithU(t.Clearance, v.style), lengthWithU(h.From, v.style), t.Probability, t.Below))
	for _, w := range h.Warnings {
		v.item("  ", msgCaution.With(w))
	}
}

// sentence begins a message with a capital letter and ends it with a stop.
func sentence(m say.Message, s say.Style) say.Message {
	text := m.Text(s)
	if text == "" {
		return m
	}
	return say.Plain(strings.ToUpper(text[:1]) + text[1:] + ".")
}

func lengthWithU(e quantity.Estimate[quantity.Length], s say.Style) string {
	return quantity.ShowWithU(quantity.LengthDimension, e.Value.SI(), e.U, s)
}
