package knowledge

import (
	"fmt"
	"strings"

	"pumpwright/calc/diagnose"
	"pumpwright/calc/say"
)

// Finding is an item of evidence by its id: E… for what can be seen, K… for
// the confirming check of the cause C… of the same number.
type Finding struct {
	ID       string
	Strength float64 // trust, 0 … 1; 0 = seen by eye, 1 for a measured fact
}

// Question is what is known about one failure.
type Question struct {
	Found      []Finding
	Absent     []string // looked for and not there
	Hours      *float64 // since the last assembly; nil = not known
	Spoiled    bool     // evidence was washed, mixed or lost
	Conditions []string // standing conditions, shown and not scored
	Weights    map[string]float64
}

// Answer is a diagnosis in terms of this knowledge.
type Answer struct {
	*diagnose.Result
	Base       *Base
	Conditions map[string][]Condition // by cause id: what let it happen
}

// Diagnose ranks the causes of a failure.
//
// Ids that are not known are refused with those near them; the field is
// found[i], absent[i] or conditions[i].
func (b *Base) Diagnose(q Question) (*Answer, error) {
	c := diagnose.Case{Spoiled: q.Spoiled, TimeGiven: q.Hours != nil}
	for i, f := range q.Found {
		item, err := b.itemIndex(f.ID)
		if err != nil {
			return nil, say.In(fmt.Sprintf("found[%d]", i), err)
		}
		trust := f.Strength
		if trust == 0 {
			trust = b.Strengths.Model.Seen
		}
		if !(trust > 0 && trust <= 1) {
			return nil, say.Refuse(fmt.Sprintf("found[%d].strength", i), fmt.Sprint(f.Strength), msgTrust.With(), msgTrustIs.With())
		}
		c.Findings = append(c.Findings, diagnose.Finding{Item: item, State: diagnose.Found, Strength: trust})
	}
	for i, id := range q.Absent {
		item, err := b.itemIndex(id)
		if err != nil {
			return nil, say.In(fmt.Sprintf("absent[%d]", i), err)
		}
		c.Findings = append(c.Findings, diagnose.Finding{Item: item, State: diagnose.Absent, Strength: b.Strengths.Model.Seen})
	}
	weights, err := b.weights(q)
	if err != nil {
		return nil, err
	}
	c.Weights = weights
	a := &Answer{Base: b, Conditions: map[string][]Condition{}}
	for i, id := range q.Conditions {
		condition, err := b.Condition(id)
		if err != nil {
			return nil, say.In(fmt.Sprintf("conditions[%d]", i), err)
		}
		for _, cause := range condition.Lets {
			a.Conditions[cause] = append(a.Conditions[cause], *condition)
		}
	}
	if a.Result, err = b.model.Diagnose(c); err != nil {
		return nil, err
	}
	return a, nil
}

var (
	msgTrust   = say.Define("knowledge.trust", "the strength of a finding must lie above 0 and be at most 1")
	msgTrustIs = say.Define("knowledge.trust_is", "1 is a measured fact; without it the finding counts as seen by eye")
)

// weights joins the time in service with what a shop has learned.
func (b *Base) weights(q Question) ([]float64, error) {
	weights := make([]float64, len(b.Causes))
	for j, c := range b.Causes {
		weights[j] = 1
		if q.Hours != nil {
			w, err := diagnose.WeightAt(weightPoints(b.Strengths.Onset[c.Onset]), *q.Hours)
			if err != nil {
				return nil, err
			}
			weights[j] = w
		}
	}
	for id, w := range q.Weights {
		if _, err := b.Cause(id); err != nil {
			return nil, say.In("weights", err)
		}
		weights[b.causeAt[id]] *= w
	}
	return weights, nil
}

func (b *Base) itemIndex(id string) (int, error) {
	if at, ok := b.evidenceAt[id]; ok {
		return at, nil
	}
	if number, ok := strings.CutPrefix(id, "K"); ok {
		if at, ok := b.causeAt["C"+number]; ok {
			return len(b.Evidence) + at, nil
		}
	}
	_, err := b.Item(id)
	return 0, err
}

// Look is what a check of the model is in words.
type Look struct {
	ID, Name, Where string
	Minutes         float64
	Settles         string // the cause that a confirming check settles, "" for a look
}

// Look returns the words of an item of the model by its index.
func (b *Base) Look(item int) Look {
	if item < len(b.Evidence) {
		e := b.Evidence[item]
		return Look{ID: e.ID, Name: e.Name, Where: e.Where, Minutes: e.Minutes}
	}
	c := b.Causes[item-len(b.Evidence)]
	return Look{ID: "K" + c.ID[1:], Name: c.Name, Where: c.Confirm, Minutes: settleMinutes, Settles: c.ID}
}

// Strength returns how strongly a cause, by itself, leaves an item of evidence.
func (b *Base) Strength(evidence, cause string) (float64, error) {
	item, err := b.itemIndex(evidence)
	if err != nil {
		return 0, err
	}
	if _, err := b.Cause(cause); err != nil {
		return 0, err
	}
	return b.model.Strength(item, b.causeAt[cause]), nil
}
