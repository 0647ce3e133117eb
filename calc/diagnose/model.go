package diagnose

import (
	"fmt"

	"pumpwright/calc/say"
)

// Link leads from a cause to a mark or to a consequence.
type Link struct {
	Cause    int     // index in the causes
	Strength float64 // chance, 0 … 1
}

// Cause is one cause of failure.
type Cause struct {
	ID      string
	Prior   float64 // chance before anything is seen, above 0 and below 1
	LeadsTo []Link  // causes that it brings about
}

// Item is one mark that can be found.
type Item struct {
	ID      string
	Fact    string  // items with one fact count once; "" = a fact of its own
	Leak    float64 // chance of the mark without any listed cause
	For     []Link
	Against []int   // causes that it speaks against
	Minutes float64 // what a look costs
	Follows []int   // items that explain it; it is not scored when one of them was found
	Early   bool    // tells the time in service; not scored when that is known
}

// Model is a set of causes and items, checked, with the strength of every
// cause on every item by way of its consequences.
type Model struct {
	Causes   []Cause
	Items    []Item
	Excludes [][2]int // items that cannot both be true

	reach    [][]float64 // [cause][consequence]
	strength [][]float64 // [item][cause] by way of all consequences
	via      [][]int     // [item][cause] the consequence that carries most, itself when direct
	against  [][]bool    // [item][cause]
}

var (
	msgNoCauses = say.Define("diagnose.no_causes", "there are no causes")
	msgChance   = say.Define("diagnose.chance", "a chance lies between 0 and 1")
	msgNoSuch   = say.Define("diagnose.no_such", "there is no entry {n:count}")
	msgCircle   = say.Define("diagnose.circle", "the consequences of {id} lead back to it")
	msgMinutes  = say.Define("diagnose.minutes", "the minutes of a look are more than 0")
	msgTooMany  = say.Define("diagnose.too_many", "{n:count|cause|causes} are more than this is made for")
	msgMost     = say.Define("diagnose.most", "up to {n:count}")
	msgStrength = say.Define("diagnose.strength", "the strength of a finding is above 0 and at most 1")
	msgState    = say.Define("diagnose.state", "a finding is found or absent")
	msgFactor   = say.Define("diagnose.factor", "a weight on a cause is a finite number above 0")
	msgTogether = say.Define("diagnose.together", "one to three causes at once are counted")
)

// mostCauses keeps the sums over three at once within memory and time.
const mostCauses = 120

// NewModel checks causes and items and works out the strengths.
func NewModel(causes []Cause, items []Item) (*Model, error) {
	m := &Model{Causes: causes, Items: items}
	n := len(causes)
	if n == 0 {
		return nil, say.Refuse("causes", "", msgNoCauses.With(), say.Message{})
	}
	if n > mostCauses {
		return nil, say.Refuse("causes", fmt.Sprint(n), msgTooMany.With(n), msgMost.With(mostCauses))
	}
	for i, c := range causes {
		at := fmt.Sprintf("causes[%d]", i)
		if !(c.Prior > 0 && c.Prior < 1) {
			return nil, say.Refuse(at+".prior", fmt.Sprint(c.Prior), msgChance.With(), say.Message{})
		}
		if err := checkLinks(at+".leads_to", c.LeadsTo, n); err != nil {
			return nil, err
		}
	}
	for i, e := range items {
		at := fmt.Sprintf("items[%d]", i)
		if !(e.Leak > 0 && e.Leak < 1) {
			return nil, say.Refuse(at+".leak", fmt.Sprint(e.Leak), msgChance.With(), say.Message{})
		}
		if !(e.Minutes > 0) {
			return nil, say.Refuse(at+".minutes", fmt.Sprint(e.Minutes), msgMinutes.With(), say.Message{})
		}
		if err := checkLinks(at+".for", e.For, n); err != nil {
			return nil, err
		}
		for _, j := range e.Against {
			if j < 0 || j >= n {
				return nil, say.Refuse(at+".against", fmt.Sprint(j), msgNoSuch.With(j), say.Message{})
			}
		}
		for _, j := range e.Follows {
			if j < 0 || j >= len(items) {
				return nil, say.Refuse(at+".follows", fmt.Sprint(j), msgNoSuch.With(j), say.Message{})
			}
		}
	}
	if err := m.spread(); err != nil {
		return nil, err
	}
	return m, nil
}

func checkLinks(at string, links []Link, n int) error {
	for _, l := range links {
		if l.Cause < 0 || l.Cause >= n {
			return say.Refuse(at, fmt.Sprint(l.Cause), msgNoSuch.With(l.Cause), say.Message{})
		}
		if !(l.Strength >= 0 && l.Strength < 1) {
			return say.Refuse(at, fmt.Sprint(l.Strength), msgChance.With(), say.Message{})
		}
	}
	return nil
}

// spread works out reach and strength along the chains of consequences.
func (m *Model) spread() error {
	n := len(m.Causes)
	order, err := m.order()
	if err != nil {
		return err
	}
	m.reach = make([][]float64, n)
	for j := range m.Causes {
		miss := make([]float64, n) // chance that k is not brought about by j
		for k := range miss {
			miss[k] = 1
		}
		miss[j] = 0
		for _, p := range order {
			if miss[p] == 1 {
				continue
			}
			for _, l := range m.Causes[p].LeadsTo {
				if l.Cause != j {
					miss[l.Cause] *= 1 - (1-miss[p])*l.Strength
				}
			}
		}
		m.reach[j] = make([]float64, n)
		for k := range miss {
			m.reach[j][k] = 1 - miss[k]
		}
	}
	m.strength = make([][]float64, len(m.Items))
	m.via = make([][]int, len(m.Items))
	m.against = make([][]bool, len(m.Items))
	for i, e := range m.Items {
		m.strength[i] = make([]float64, n)
		m.via[i] = make([]int, n)
		m.against[i] = make([]bool, n)
		for j := range n {
			miss, most := 1.0, 0.0
			m.via[i][j] = j
			for _, l := range e.For {
				s := m.reach[j][l.Cause] * l.Strength
				miss *= 1 - s
				if s > most {
					most = s
					m.via[i][j] = l.Cause
				}
			}
			m.strength[i][j] = 1 - miss
		}
		for _, j := range e.Against {
			m.against[i][j] = true
		}
	}
	return nil
}

// order sorts the causes so that each comes before its consequences.
func (m *Model) order() ([]int, error) {
	state := make([]int, len(m.Causes))
	var order []int
	var visit func(j int) error
	visit = func(j int) error {
		state[j] = 1
		for _, l := range m.Causes[j].LeadsTo {
			if state[l.Cause] == 1 {
				return say.Refuse(fmt.Sprintf("causes[%d].leads_to", j), m.Causes[l.Cause].ID, msgCircle.With(m.Causes[l.Cause].ID), say.Message{})
			}
			if state[l.Cause] == 0 {
				if err := visit(l.Cause); err != nil {
					return err
				}
			}
		}
		state[j] = 2
		order = append(order, j)
		return nil
	}
	for j := range m.Causes {
		if state[j] == 0 {
			if err := visit(j); err != nil {
				return nil, err
			}
		}
	}
	for a, b := 0, len(order)-1; a < b; a, b = a+1, b-1 {
		order[a], order[b] = order[b], order[a]
	}
	return order, nil
}

// Strength returns how strongly a cause as a root leaves a mark, by way of all
// its consequences.
func (m *Model) Strength(item, cause int) float64 { return m.strength[item][cause] }

// Reach returns the chance that a cause as a root brings about another.
func (m *Model) Reach(cause, consequence int) float64 { return m.reach[cause][consequence] }
