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

	// Times counts, by cause, the shop's finished jobs by bands of time in
	// service; Band is the one of Hours.
	Times map[string][]int
	Band  int
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
	if q.Hours != nil && len(q.Times) > 0 {
		b.timed(weights, q)
	}
	for id, w := range q.Weights {
		if _, err := b.Cause(id); err != nil {
			return nil, say.In("weights", err)
		}
		weights[b.causeAt[id]] *= w
	}
	return weights, nil
}

// timeJobs is with how many jobs the weights by time in service begin, and
// bandJobs how many are spread evenly over the bands: the shop's own times
// count as much as the table's once there are as many. Our own convention.
const timeJobs, bandJobs = 10.0, 6.0

// timed joins the weights by time in service with the times that the shop's own
// finished jobs had run, by how a cause comes on (at once after an assembly, by
// wearing out …).
//
//	w_k = (n_kb/q_b + a w_0k)/(n_k + a),  q_b = (n_b + s/B)/(N + s)
//
//	n_kb  jobs of this kind of cause in the band of this time; n_k in all bands
//	q_b   share of that band among all jobs: n_b of N, s spread over B bands
//	w_0k  weight of the table at this time; a jobs stand for it
//
// Without jobs it is the table's. Source: mean of a Dirichlet distribution whose
// prior mean is w_0k q_b, over q_b.
func (b *Base) timed(weights []float64, q Question) {
	kind, inBand, all, allInBand, bands := map[Onset]float64{}, map[Onset]float64{}, 0.0, 0.0, 0
	for id, counts := range q.Times {
		at, known := b.causeAt[id]
		if !known || q.Band >= len(counts) {
			continue // counts of causes that are not known are told with the causes
		}
		onset := b.Causes[at].Onset
		for band, n := range counts {
			n := max(float64(n), 0)
			kind[onset] += n
			all += n
			if band == q.Band {
				inBand[onset] += n
				allInBand += n
			}
		}
		bands = max(bands, len(counts))
	}
	if all == 0 {
		return
	}
	share := (allInBand + bandJobs/float64(bands)) / (all + bandJobs)
	for j := range weights {
		onset := b.Causes[j].Onset
		weights[j] = (inBand[onset]/share + timeJobs*weights[j]) / (kind[onset] + timeJobs)
	}
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
