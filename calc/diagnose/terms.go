package diagnose

import (
	"fmt"
	"math"
	"slices"

	"pumpwright/calc/say"
)

// State of an item that was looked for.
type State uint8

// The states. An item that was not looked for is not in the list.
const (
	Found  State = 1
	Absent State = 2
)

// Finding is what a look gave.
type Finding struct {
	Item     int
	State    State
	Strength float64 // trust in it, above 0 and at most 1; 1 for a measured fact
}

// Case is what is known about one failure.
type Case struct {
	Findings  []Finding
	Weights   []float64 // on the prior odds of each cause (time in service, history); nil = 1
	Spoiled   bool      // evidence was washed, mixed or lost: no cause is more than possible
	Together  int       // causes at once, 1 … 3; 0 = 3
	TimeGiven bool      // the weights hold the time in service: items that tell it are not scored
}

// term is one fact as it enters the sum: the finding of one item, or the
// strongest of several items with one fact.
type term struct {
	items []int
	state State
	leak  float64
	miss  []float64 // [cause] 1 − trust·strength
	half  []float64 // [cause] ½^trust where the fact speaks against the cause, else 1
}

// terms groups the findings by fact. What was found outweighs what is absent
// within one fact.
func (m *Model) terms(c Case) (terms []term, leftOut []int, err error) {
	found := make([]bool, len(m.Items))
	for i, f := range c.Findings {
		at := fmt.Sprintf("findings[%d]", i)
		switch {
		case f.Item < 0 || f.Item >= len(m.Items):
			return nil, nil, say.Refuse(at, fmt.Sprint(f.Item), msgNoSuch.With(f.Item), say.Message{})
		case f.State != Found && f.State != Absent:
			return nil, nil, say.Refuse(at, "", msgState.With(), say.Message{})
		case !(f.Strength > 0 && f.Strength <= 1):
			return nil, nil, say.Refuse(at+".strength", fmt.Sprint(f.Strength), msgStrength.With(), say.Message{})
		}
		found[f.Item] = found[f.Item] || f.State == Found
	}
	at := map[string]int{}
	for _, state := range []State{Found, Absent} {
		for _, f := range c.Findings {
			e := &m.Items[f.Item]
			if f.State != state {
				continue
			}
			if e.Early && c.TimeGiven || state == Found && m.follows(f.Item, found) {
				leftOut = append(leftOut, f.Item)
				continue
			}
			fact := e.Fact
			if fact == "" {
				fact = "item " + e.ID
			}
			k, known := at[fact]
			if !known {
				at[fact] = len(terms)
				terms = append(terms, m.newTerm(f))
				continue
			}
			if terms[k].state != state {
				leftOut = append(leftOut, f.Item)
				continue
			}
			terms[k].join(m, f)
		}
	}
	return terms, leftOut, nil
}

func (m *Model) follows(item int, found []bool) bool {
	for _, i := range m.Items[item].Follows {
		if found[i] {
			return true
		}
	}
	return false
}

func (m *Model) newTerm(f Finding) term {
	t := term{items: []int{f.Item}, state: f.State, leak: m.Items[f.Item].Leak}
	t.miss = make([]float64, len(m.Causes))
	t.half = make([]float64, len(m.Causes))
	for j := range t.miss {
		t.miss[j] = 1
		t.half[j] = 1
	}
	t.add(m, f)
	return t
}

// join adds another item of the same fact.
func (t *term) join(m *Model, f Finding) {
	if !slices.Contains(t.items, f.Item) {
		t.items = append(t.items, f.Item)
	}
	t.leak = min(t.leak, m.Items[f.Item].Leak)
	t.add(m, f)
}

// add takes for each cause the stronger of the items. A cause is spoken
// against only when no item of the fact speaks for it.
func (t *term) add(m *Model, f Finding) {
	for j := range t.miss {
		t.miss[j] = min(t.miss[j], 1-f.Strength*m.strength[f.Item][j])
		if t.state == Found && m.against[f.Item][j] {
			t.half[j] = min(t.half[j], math.Pow(0.5, f.Strength))
		}
		if t.miss[j] < 1 && len(t.items) > 1 {
			t.half[j] = 1
		}
	}
}

// none returns the likelihood of the term when no cause is at work.
func (t *term) none() float64 {
	if t.state == Found {
		return t.leak
	}
	return 1 - t.leak
}

// ratio returns by how much the term alone multiplies the odds of a cause.
func (t *term) ratio(cause int) float64 {
	if t.state == Found {
		return (1 - (1-t.leak)*t.miss[cause]) * t.half[cause] / t.leak
	}
	return t.miss[cause]
}
