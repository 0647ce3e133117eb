package diagnose

import (
	"fmt"
	"math"
	"sort"

	"pumpwright/calc/say"
)

// Reason is a fact that speaks for or against a cause.
type Reason struct {
	Item    int     // the item that says most
	Also    []int   // further items of the same fact, not counted again
	State   State   // found, or looked for and absent
	Ratio   float64 // by how much it multiplies the odds of the cause alone
	Through int     // the consequence by way of which it speaks; the cause itself when directly
}

// Ranked is one cause with its chance.
type Ranked struct {
	Cause       int
	Probability float64 // chance that it is a root
	For         []Reason
	Against     []Reason
}

// Check is a look that has not been taken.
type Check struct {
	Item  int
	Bits  float64 // expected fall of entropy
	Rate  float64 // bits for each minute
	Found float64 // chance that it will be found
}

// Certainty is how far the first cause may be relied on.
type Certainty uint8

// The certainties.
const (
	Open     Certainty = iota // several causes are as likely
	Possible                  // ahead, not proved
	Likely                    // well ahead, at least two independent facts
)

// String returns the word.
func (c Certainty) String() string { return [...]string{"open", "possible", "likely"}[c] }

// Result is a diagnosis.
type Result struct {
	Ranked      []Ranked // all causes, most likely first
	None        float64  // chance that none of the causes is at work
	Beyond      float64  // at most this share belongs to larger sets than were counted
	Together    int
	Checks      []Check // looks not taken, most bits for a minute first
	Certainty   Certainty
	Conflicts   []Conflict
	NotScored   []int   // findings explained by others, told already or by the time in service
	EntropyBits float64 // of the sets, before any further check

	model *Model
	terms []term
	sums  *posterior
}

// Conflict is a pair of findings that cannot both be true, or one item
// that was reported found and absent (both the same).
type Conflict struct{ A, B int }

const (
	gainShare     = 0.999 // share of weight over which the gain of checks is worked out
	likelyChance  = 0.7
	possibleLead  = 0.2
	tellingRatio  = 1.05 // facts that move the odds less than this are not listed
	countingRatio = 3    // a fact that counts as independent support
)

// Diagnose ranks the causes of a case.
//
// Errors: findings or weights outside their range, each naming its place.
func (m *Model) Diagnose(c Case) (*Result, error) {
	n := len(m.Causes)
	odds := make([]float64, n)
	for j, cause := range m.Causes {
		odds[j] = cause.Prior / (1 - cause.Prior)
		if c.Weights != nil {
			if j >= len(c.Weights) || !(c.Weights[j] > 0) || math.IsInf(c.Weights[j], 1) {
				return nil, say.Refuse(fmt.Sprintf("weights[%d]", j), "", msgFactor.With(), say.Message{})
			}
			odds[j] *= c.Weights[j]
		}
	}
	together := c.Together
	if together == 0 {
		together = 3
	}
	if together < 1 || together > 3 {
		return nil, say.Refuse("together", fmt.Sprint(c.Together), msgTogether.With(), say.Message{})
	}
	terms, leftOut, err := m.terms(c)
	if err != nil {
		return nil, err
	}
	p := m.sum(terms, odds, together)
	r := &Result{
		None: p.sets[0].weight / p.total, Beyond: p.beyond, Together: together,
		NotScored: leftOut, model: m, terms: terms, sums: p,
	}
	for j := range m.Causes {
		r.Ranked = append(r.Ranked, m.ranked(j, p.causes[j], terms))
	}
	sort.SliceStable(r.Ranked, func(a, b int) bool { return r.Ranked[a].Probability > r.Ranked[b].Probability })
	r.Conflicts = m.conflicts(c)
	r.Checks = m.checks(c, p, r)
	r.Certainty = certainty(r, c.Spoiled)
	return r, nil
}

func (m *Model) ranked(j int, probability float64, terms []term) Ranked {
	r := Ranked{Cause: j, Probability: probability}
	for i := range terms {
		t := &terms[i]
		reason := Reason{State: t.state, Ratio: t.ratio(j), Item: t.items[0], Through: j}
		for _, item := range t.items[1:] {
			if m.strength[item][j] > m.strength[reason.Item][j] {
				reason.Item = item
			}
		}
		for _, item := range t.items {
			if item != reason.Item {
				reason.Also = append(reason.Also, item)
			}
		}
		reason.Through = m.via[reason.Item][j]
		switch {
		case reason.Ratio >= tellingRatio:
			r.For = append(r.For, reason)
		case reason.Ratio <= 1/tellingRatio:
			r.Against = append(r.Against, reason)
		}
	}
	sort.SliceStable(r.For, func(a, b int) bool { return r.For[a].Ratio > r.For[b].Ratio })
	sort.SliceStable(r.Against, func(a, b int) bool { return r.Against[a].Ratio < r.Against[b].Ratio })
	return r
}

func certainty(r *Result, spoiled bool) Certainty {
	if len(r.Ranked) == 0 {
		return Open
	}
	first := r.Ranked[0]
	support := 0
	for _, f := range first.For {
		if f.Ratio >= countingRatio {
			support++
		}
	}
	level := Open
	switch {
	case first.Probability*(1-r.Beyond) >= likelyChance && support >= 2:
		level = Likely
	case first.Probability >= possibleLead && support >= 1:
		level = Possible
	}
	if spoiled {
		level = min(level, Possible)
	}
	return level
}

func (m *Model) conflicts(c Case) []Conflict {
	found := map[int]bool{}
	for _, f := range c.Findings {
		if f.State == Found {
			found[f.Item] = true
		}
	}
	var list []Conflict
	seen := map[int]bool{}
	for _, f := range c.Findings {
		if f.State == Absent && found[f.Item] && !seen[f.Item] {
			seen[f.Item] = true
			list = append(list, Conflict{f.Item, f.Item})
		}
	}
	for _, pair := range m.Excludes {
		if found[pair[0]] && found[pair[1]] {
			list = append(list, Conflict{pair[0], pair[1]})
		}
	}
	return list
}

// checks ranks the looks that were not taken by bits for each minute. A look
// at a fact that is found already tells nothing new and is left out.
func (m *Model) checks(c Case, p *posterior, r *Result) []Check {
	taken := make([]bool, len(m.Items))
	found := make([]bool, len(m.Items))
	facts := map[string]bool{}
	for _, f := range c.Findings {
		taken[f.Item] = true
		if f.State == Found {
			found[f.Item] = true
			facts[m.Items[f.Item].Fact] = true
		}
	}
	sets, probability := p.heavy(gainShare)
	r.EntropyBits = Entropy(probability)
	g := newGainer(m, sets, probability)
	var list []Check
	for i := range m.Items {
		e := &m.Items[i]
		if taken[i] || e.Fact != "" && facts[e.Fact] || e.Early && c.TimeGiven || m.follows(i, found) {
			continue
		}
		bits, mean := g.gain(i)
		list = append(list, Check{Item: i, Bits: bits, Rate: bits / e.Minutes, Found: mean})
	}
	sort.SliceStable(list, func(a, b int) bool { return list[a].Rate > list[b].Rate })
	return list
}

// Chain is a consequence of a cause that shows in what was found.
type Chain struct {
	Consequence int
	Reach       float64 // chance that the cause brings it about
	Items       []int   // found items that it explains
}

// Chains returns the consequences of a cause that show in the findings, the
// most certain first: the way from cause to damage.
func (r *Result) Chains(cause int) []Chain {
	m := r.model
	items := map[int][]int{}
	for i := range r.terms {
		if r.terms[i].state != Found {
			continue
		}
		for _, item := range r.terms[i].items {
			if m.strength[item][cause] > 0 {
				if k := m.via[item][cause]; k != cause {
					items[k] = append(items[k], item)
				}
			}
		}
	}
	var list []Chain
	for k, found := range items {
		list = append(list, Chain{Consequence: k, Reach: m.reach[cause][k], Items: found})
	}
	sort.Slice(list, func(a, b int) bool {
		if list[a].Reach != list[b].Reach {
			return list[a].Reach > list[b].Reach
		}
		return list[a].Consequence < list[b].Consequence
	})
	return list
}
