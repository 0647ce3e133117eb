package calculator

import (
	"fmt"
	"strings"

	"pumpwright/calc/diagnose"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/knowledge"
)

// causeCalculators are those of failure causes.
func causeCalculators() []Calculator { return []Calculator{causesCalculator()} }

// EvidenceInput is something found: an id, or an id with its strength.
type EvidenceInput struct {
	ID       string
	Strength *float64
}

// FromInput reads an id or a group of id and strength.
func (e *EvidenceInput) FromInput(raw any) error {
	if id, ok := raw.(string); ok {
		e.ID = evidenceID(id)
		return nil
	}
	if _, ok := raw.(map[string]any); !ok {
		return say.Refuse("", fmt.Sprint(raw), msgWantsEvidence.With(), say.Message{})
	}
	var group struct {
		ID       string   `json:"id"`
		Strength *float64 `json:"strength"`
	}
	if err := fields.Bind(raw, &group); err != nil {
		return err
	}
	e.ID, e.Strength = evidenceID(group.ID), group.Strength
	return nil
}

// evidenceID is an id as it is listed: e01 is E01.
func evidenceID(text string) string { return strings.ToUpper(strings.TrimSpace(text)) }

// KindName tells what is written there.
func (*EvidenceInput) KindName() string { return "id, or id and strength" }

type causesIn struct {
	Evidence   []EvidenceInput `json:"evidence" help:"what was found: E01 … E87, or K01 … K39 for the confirming check of a cause; strength above 0 up to 1, 1 for a measured fact"`
	Absent     []string        `json:"absent" optional:"yes" help:"what was looked for and is not there"`
	Hours      *Hours          `json:"hours" help:"running hours since the last assembly"`
	Spoiled    bool            `json:"spoiled" default:"false" help:"evidence was washed, mixed or lost: no cause is called more than possible"`
	Conditions []string        `json:"conditions" optional:"yes" help:"standing conditions S01 … S12: shown beside the causes they allow, not scored"`
}

type causesOut struct {
	Causes     []causeOut      `json:"causes" help:"all causes, most likely first"`
	NextCheck  *checkOut       `json:"next_check" help:"the look that tells most for each minute"`
	NextChecks []checkOut      `json:"next_checks" help:"the best five looks"`
	Certainty  string          `json:"certainty" help:"open, possible or likely: how far the first cause may be relied on"`
	None       float64         `json:"none" help:"chance that no listed cause is at work"`
	Beyond     float64         `json:"beyond" help:"more than three causes at once are at work with at most this chance"`
	Conflicts  []say.Message   `json:"conflicts" help:"findings that cannot both be true"`
	NotScored  []string        `json:"not_scored" help:"findings that others explain or tell already"`
	Chain      []causeChainOut `json:"chain" help:"what the first cause brought about, as far as it shows"`
}

type causeOut struct {
	ID          string      `json:"id" help:"C01 …"`
	Name        string      `json:"name" help:"the cause"`
	Probability float64     `json:"probability" help:"chance that it began the failure; a ranking aid, no frequency"`
	For         []reasonOut `json:"for" help:"what speaks for it, strongest first"`
	Against     []reasonOut `json:"against" help:"what speaks against it"`
	Confirm     string      `json:"confirm" help:"what would settle it"`
	Change      string      `json:"change" help:"what to change so that it does not come again"`
	ISOCause    string      `json:"iso_cause" help:"failure cause code of ISO 14224, empty where none is assigned"`
	Conditions  []string    `json:"conditions" help:"what let it happen, as stated"`
}

type reasonOut struct {
	ID      string   `json:"id" help:"E01 …"`
	Name    string   `json:"name" help:"the evidence"`
	Absent  bool     `json:"absent" help:"it was looked for and is not there"`
	Factor  float64  `json:"factor" help:"by how much it multiplies the odds of this cause"`
	Through string   `json:"through" help:"the consequence by way of which it speaks, empty when directly"`
	Also    []string `json:"also" help:"findings of the same fact, not counted again"`
}

type checkOut struct {
	ID       string  `json:"id" help:"what to look for"`
	Name     string  `json:"name" help:"the evidence"`
	Where    string  `json:"where" help:"where to look and with what"`
	GainBits float64 `json:"gain_bits" help:"expected information"`
	Minutes  float64 `json:"minutes" help:"how long the look takes (a judgement)"`
	Chance   float64 `json:"chance" help:"chance that it will be found"`
}

type causeChainOut struct {
	ID    string   `json:"id" help:"the consequence"`
	Name  string   `json:"name" help:"its name"`
	Found []string `json:"found" help:"what shows it"`
}

var (
	msgWantsEvidence   = say.Define("calculator.wants_evidence", "wanted is an id of evidence, or a group of id and strength")
	msgOwnConflict     = say.Define("calculator.own_conflict", "{id} ({name}) is given as found and as absent")
	msgConflict        = say.Define("calculator.conflict", "{a} ({first}) and {b} ({second}) cannot both be true of one part")
	msgConflictWarning = say.Define("calculator.conflict_warning", "findings contradict each other: {conflict:message}")
	msgJudged          = say.Define("calculator.causes_judged", "the strengths behind this are a compiler's judgement, not measured: a ranking aid, no frequency")
	msgBeyond          = say.Define("calculator.causes_beyond", "sets of more than three causes are not counted; they may hold up to {share:percent}")
	msgSpoiled         = say.Define("calculator.causes_spoiled", "evidence was washed, mixed or lost: no cause is more than possible")
	msgNothingFound    = say.Define("calculator.causes_nothing", "nothing was found yet: the order below is no answer")
	cautionCause       = say.Define("calculator.caution_cause", "Do not start the pump again because a cause is named: the cause must be removed, and the site's release is needed.")
)

const checksShown = 5

func causesCalculator() Calculator {
	return Define("causes", "Why did it fail?",
		"evidence: [E08, E16, E41, {id: E45, strength: 1}]\nabsent: [E53, E70]\nhours: 2100\n",
		func(_ *Env, in causesIn) (causesOut, Notes, error) {
			base, err := knowledge.Embedded()
			if err != nil {
				return causesOut{}, Notes{}, err
			}
			return in.answer(base)
		})
}

func (in causesIn) answer(base *knowledge.Base) (out causesOut, notes Notes, err error) {
	q := knowledge.Question{Absent: in.Absent, Spoiled: in.Spoiled, Conditions: in.Conditions}
	for i, e := range in.Evidence {
		f := knowledge.Finding{ID: e.ID}
		if e.Strength != nil {
			if f.Strength = *e.Strength; f.Strength == 0 {
				f.Strength = -1 // refused with its place
			}
		}
		if f.Strength < 0 || f.Strength > 1 {
			return out, notes, say.Refuse(fmt.Sprintf("evidence[%d].strength", i), fmt.Sprint(*e.Strength), msgMustBePositive.With(), msgUpToOne.With())
		}
		q.Found = append(q.Found, f)
	}
	if in.Hours != nil {
		h := float64(*in.Hours)
		q.Hours = &h
	}
	a, err := base.Diagnose(q)
	if err != nil {
		return out, notes, evidenceField(err)
	}
	out = causesOut{
		Certainty: a.Certainty.String(), None: a.None, Beyond: a.Beyond,
		Causes: []causeOut{}, NextChecks: []checkOut{}, Conflicts: []say.Message{}, NotScored: []string{}, Chain: []causeChainOut{},
	}
	for _, r := range a.Ranked {
		out.Causes = append(out.Causes, in.cause(a, r))
	}
	for _, c := range a.Checks {
		look := base.Look(c.Item)
		if look.Settles != "" || len(out.NextChecks) == checksShown {
			continue
		}
		out.NextChecks = append(out.NextChecks, checkOut{ID: look.ID, Name: look.Name, Where: look.Where, GainBits: c.Bits, Minutes: look.Minutes, Chance: c.Found})
	}
	if len(out.NextChecks) > 0 {
		out.NextCheck = &out.NextChecks[0]
	}
	for _, item := range a.NotScored {
		out.NotScored = append(out.NotScored, base.Look(item).ID)
	}
	for _, c := range a.Chains(a.Ranked[0].Cause) {
		k := base.Causes[c.Consequence]
		out.Chain = append(out.Chain, causeChainOut{ID: k.ID, Name: k.Name, Found: lookIDs(base, c.Items)})
	}
	in.warn(a, &out, &notes)
	notes.Working = a.Working(3)
	return out, notes, nil
}

func (in causesIn) cause(a *knowledge.Answer, r diagnose.Ranked) causeOut {
	c := a.Base.Causes[r.Cause]
	out := causeOut{ID: c.ID, Name: c.Name, Probability: r.Probability, Confirm: c.Confirm, Change: c.Change, ISOCause: c.ISOCause,
		For: reasons(a.Base, r, r.For), Against: reasons(a.Base, r, r.Against), Conditions: []string{}}
	for _, s := range a.Conditions[c.ID] {
		out.Conditions = append(out.Conditions, s.Name)
	}
	return out
}

func reasons(base *knowledge.Base, r diagnose.Ranked, list []diagnose.Reason) []reasonOut {
	out := make([]reasonOut, 0, len(list))
	for _, reason := range list {
		look := base.Look(reason.Item)
		o := reasonOut{ID: look.ID, Name: look.Name, Absent: reason.State == diagnose.Absent, Factor: reason.Ratio, Also: lookIDs(base, reason.Also)}
		if reason.Through != r.Cause {
			o.Through = base.Causes[reason.Through].ID
		}
		out = append(out, o)
	}
	return out
}

func lookIDs(base *knowledge.Base, items []int) []string {
	ids := make([]string, len(items))
	for i, item := range items {
		ids[i] = base.Look(item).ID
	}
	return ids
}

func (in causesIn) warn(a *knowledge.Answer, out *causesOut, notes *Notes) {
	for _, c := range a.Conflicts {
		x, y := a.Base.Look(c.A), a.Base.Look(c.B)
		m := msgConflict.With(x.ID, x.Name, y.ID, y.Name)
		if c.A == c.B {
			m = msgOwnConflict.With(x.ID, x.Name)
		}
		out.Conflicts = append(out.Conflicts, m)
		notes.Warn(msgConflictWarning.With(m))
	}
	if len(in.Evidence) == 0 {
		notes.Warn(msgNothingFound.With())
	}
	if in.Spoiled {
		notes.Warn(msgSpoiled.With())
	}
	notes.Warn(msgBeyond.With(a.Beyond), msgJudged.With())
	notes.Cautions = append(notes.Cautions, cautionCause.With())
}

var msgUpToOne = say.Define("calculator.up_to_one", "write a number above 0 and at most 1; 1 is a measured fact")

// evidenceField gives the field of a problem the name it has here.
func evidenceField(err error) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	copied := *p
	const inside = "found["
	if len(copied.Field) > len(inside) && copied.Field[:len(inside)] == inside {
		copied.Field = "evidence[" + copied.Field[len(inside):]
	}
	return &copied
}
