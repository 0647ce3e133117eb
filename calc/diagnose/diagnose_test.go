package diagnose

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

// enumerate is the model as doc.go states it, summed over every set of causes
// and written down independently of the sums over small sets.
func enumerate(m *Model, c Case) (chance []float64, beyond func(size int) float64) {
	n := len(m.Causes)
	bySize := make([]float64, n+1)
	chance = make([]float64, n)
	var total float64
	for mask := 0; mask < 1<<n; mask++ {
		w, size := 1.0, 0
		for j := range n {
			odds := m.Causes[j].Prior
			if c.Weights != nil {
				o := odds / (1 - odds) * c.Weights[j]
				odds = o / (1 + o)
			}
			if mask>>j&1 == 1 {
				w *= odds
				size++
			} else {
				w *= 1 - odds
			}
		}
		for _, f := range c.Findings {
			e := m.Items[f.Item]
			miss := 1 - e.Leak
			for j := range n {
				if mask>>j&1 == 0 {
					continue
				}
				// marks by way of consequences, one path at a time
				for _, l := range e.For {
					miss *= 1 - f.Strength*m.reach[j][l.Cause]*l.Strength
				}
				for _, against := range e.Against {
					if against == j && f.State == Found {
						w *= math.Pow(0.5, f.Strength)
					}
				}
			}
			if f.State == Found {
				w *= 1 - miss
			} else {
				w *= miss
			}
		}
		total += w
		bySize[size] += w
		for j := range n {
			if mask>>j&1 == 1 {
				chance[j] += w
			}
		}
	}
	for j := range chance {
		chance[j] /= total
	}
	return chance, func(size int) float64 {
		var sum float64
		for k := size + 1; k <= n; k++ {
			sum += bySize[k]
		}
		return sum / total
	}
}

func drawModel(t *rapid.T, n int) (*Model, Case) {
	share := rapid.Float64Range(0.05, 0.95)
	causes := make([]Cause, n)
	for j := range causes {
		causes[j] = Cause{ID: fmt.Sprint(j), Prior: rapid.Float64Range(0.005, 0.3).Draw(t, "prior")}
		if j+1 < n && rapid.Bool().Draw(t, "leads") {
			causes[j].LeadsTo = []Link{{rapid.IntRange(j+1, n-1).Draw(t, "to"), share.Draw(t, "link")}}
		}
	}
	items := make([]Item, rapid.IntRange(1, 8).Draw(t, "items"))
	var c Case
	for i := range items {
		items[i] = Item{ID: fmt.Sprint(i), Leak: rapid.Float64Range(0.02, 0.3).Draw(t, "leak"), Minutes: 1}
		for j := range causes {
			switch rapid.IntRange(0, 4).Draw(t, "link") {
			case 0:
				// one link each, so that trust enters once for a mark
				items[i].For = append(items[i].For, Link{j, share.Draw(t, "s")})
			case 1:
				items[i].Against = append(items[i].Against, j)
			}
		}
		if s := rapid.IntRange(0, 2).Draw(t, "state"); s > 0 {
			c.Findings = append(c.Findings, Finding{i, State(s), 1})
		}
	}
	return &Model{Causes: causes, Items: items}, c
}

// Up to three causes the sums are those of full enumeration; for more, the
// truth lies within the stated bound.
func TestAgainstFullEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 12).Draw(t, "n")
		drawn, c := drawModel(t, n)
		m, err := NewModel(drawn.Causes, drawn.Items)
		if err != nil {
			t.Fatal(err)
		}
		if rapid.Bool().Draw(t, "weighted") {
			c.Weights = make([]float64, n)
			for j := range c.Weights {
				c.Weights[j] = rapid.Float64Range(0.1, 5).Draw(t, "weight")
			}
		}
		c.Together = rapid.IntRange(1, 3).Draw(t, "together")
		r, err := m.Diagnose(c)
		if err != nil {
			t.Fatal(err)
		}
		want, beyond := enumerate(m, c)
		rest := beyond(c.Together)
		if r.Beyond < rest-1e-9 {
			t.Fatalf("larger sets hold %v, stated at most %v", rest, r.Beyond)
		}
		if c.Together >= n && r.Beyond != 0 {
			t.Fatalf("nothing is beyond, stated %v", r.Beyond)
		}
		for _, got := range r.Ranked {
			// p = (inside·q + outside part)/1
			low, high := got.Probability*(1-rest), got.Probability*(1-rest)+rest
			if w := want[got.Cause]; w < low-1e-9 || w > high+1e-9 {
				t.Fatalf("cause %d: %v, full enumeration %v (rest %v)", got.Cause, got.Probability, w, rest)
			}
			if n <= c.Together && math.Abs(got.Probability-want[got.Cause]) > 1e-9 {
				t.Fatalf("cause %d: %v, full enumeration %v", got.Cause, got.Probability, want[got.Cause])
			}
		}
	})
}

// What one more finding does: a mark raises the causes that leave it, its
// absence lowers them, never by more than finding it raises; a second item of
// the same fact changes nothing.
func TestFindings(t *testing.T) {
	causes := []Cause{{ID: "a", Prior: 0.025}, {ID: "b", Prior: 0.025}, {ID: "c", Prior: 0.025}}
	items := []Item{
		{ID: "1", Fact: "heat", Leak: 0.08, For: []Link{{0, 0.8}}, Against: []int{1}, Minutes: 2},
		{ID: "2", Fact: "heat", Leak: 0.08, For: []Link{{0, 0.8}}, Minutes: 2},
		{ID: "3", Leak: 0.08, For: []Link{{2, 0.8}}, Minutes: 2},
		{ID: "4", Leak: 0.08, For: []Link{{0, 0.12}}, Minutes: 2, Follows: []int{2}},
	}
	m, err := NewModel(causes, items)
	if err != nil {
		t.Fatal(err)
	}
	m.Excludes = [][2]int{{0, 2}}
	chance := func(c Case, cause int) float64 {
		t.Helper()
		r, err := m.Diagnose(c)
		if err != nil {
			t.Fatal(err)
		}
		for _, k := range r.Ranked {
			if k.Cause == cause {
				return k.Probability
			}
		}
		return math.NaN()
	}
	odds := func(p float64) float64 { return p / (1 - p) }
	nothing := chance(Case{}, 0)
	near(t, "prior", nothing, 0.025, 1e-12)
	found := chance(Case{Findings: []Finding{{0, Found, 1}}}, 0)
	near(t, "odds ratio found", odds(found)/odds(nothing), (1-0.92*0.2)/0.08, 1e-9)
	absent := chance(Case{Findings: []Finding{{0, Absent, 1}}}, 0)
	near(t, "odds ratio absent", odds(absent)/odds(nothing), 0.2, 1e-9)
	if odds(nothing)/odds(absent) > odds(found)/odds(nothing) {
		t.Error("absence says more than presence")
	}
	near(t, "against halves the odds", odds(chance(Case{Findings: []Finding{{0, Found, 1}}}, 1))/odds(0.025), 0.5, 0.05)
	near(t, "one fact twice", chance(Case{Findings: []Finding{{0, Found, 1}, {1, Found, 1}}}, 0), found, 0.01)
	once, twice := chance(Case{Findings: []Finding{{0, Found, 1}}}, 1), chance(Case{Findings: []Finding{{0, Found, 1}, {0, Found, 1}}}, 1)
	near(t, "one item given twice", twice, once, 1e-15)
	if weak := chance(Case{Findings: []Finding{{0, Found, 0.5}}}, 0); !(weak > nothing && weak < found) {
		t.Errorf("a finding half trusted gives %v between %v and %v", weak, nothing, found)
	}
	// explained by another finding: not scored
	r, err := m.Diagnose(Case{Findings: []Finding{{3, Found, 1}, {2, Found, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.NotScored) != 1 || r.NotScored[0] != 3 {
		t.Errorf("not scored: %v", r.NotScored)
	}
	// conflicts are shown
	r, err = m.Diagnose(Case{Findings: []Finding{{0, Found, 1}, {2, Found, 1}, {0, Absent, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Conflicts) != 2 || r.Conflicts[0] != (Conflict{0, 0}) || r.Conflicts[1] != (Conflict{0, 2}) {
		t.Errorf("conflicts: %v", r.Conflicts)
	}
}

// A cause is not beaten by its own consequence.
func TestConsequence(t *testing.T) {
	causes := []Cause{{ID: "bypass", Prior: 0.025, LeadsTo: []Link{{1, 0.5}}}, {ID: "hot", Prior: 0.025}, {ID: "other", Prior: 0.025}}
	items := []Item{
		{ID: "seat worn", Leak: 0.08, For: []Link{{0, 0.8}}, Minutes: 1},
		{ID: "rings hard", Leak: 0.08, For: []Link{{1, 0.8}}, Minutes: 1},
		{ID: "lacquer", Leak: 0.08, For: []Link{{1, 0.8}}, Minutes: 1},
	}
	m, err := NewModel(causes, items)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Diagnose(Case{Findings: []Finding{{0, Found, 1}, {1, Found, 1}, {2, Found, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if r.Ranked[0].Cause != 0 {
		t.Errorf("first is %s", causes[r.Ranked[0].Cause].ID)
	}
	chains := r.Chains(0)
	if len(chains) != 1 || chains[0].Consequence != 1 || len(chains[0].Items) != 2 {
		t.Errorf("chains: %v", chains)
	}
	// without its own mark the consequence stays first
	r, err = m.Diagnose(Case{Findings: []Finding{{1, Found, 1}, {2, Found, 1}}})
	if err != nil {
		t.Fatal(err)
	}
	if r.Ranked[0].Cause != 1 {
		t.Errorf("first is %s", causes[r.Ranked[0].Cause].ID)
	}
}

// The gain of a check is what an explicit table of outcomes gives, and the
// check that tells most for a minute comes first.
func TestChecks(t *testing.T) {
	causes := []Cause{{ID: "a", Prior: 0.3}, {ID: "b", Prior: 0.2}}
	items := []Item{
		{ID: "quick", Leak: 0.1, For: []Link{{0, 0.6}}, Minutes: 1},
		{ID: "slow", Leak: 0.1, For: []Link{{0, 0.8}}, Minutes: 30},
		{ID: "useless", Leak: 0.5, Minutes: 1},
	}
	m, err := NewModel(causes, items)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Diagnose(Case{})
	if err != nil {
		t.Fatal(err)
	}
	p := []float64{0.7 * 0.8, 0.3 * 0.8, 0.7 * 0.2, 0.3 * 0.2} // none, a, b, a and b
	for _, c := range r.Checks {
		e := items[c.Item]
		with := e.Leak
		if len(e.For) > 0 {
			with = NoisyOr(e.Leak, e.For[0].Strength)
		}
		yes := []float64{e.Leak, with, e.Leak, with}
		no := []float64{1 - yes[0], 1 - yes[1], 1 - yes[2], 1 - yes[3]}
		near(t, "bits of "+e.ID, c.Bits, Gain(p, [][]float64{yes, no}), 1e-9)
	}
	if items[r.Checks[0].Item].ID != "quick" || items[r.Checks[len(r.Checks)-1].Item].ID != "useless" {
		t.Errorf("order: %v", r.Checks)
	}
}

func TestRefusals(t *testing.T) {
	good := []Cause{{ID: "a", Prior: 0.1}, {ID: "b", Prior: 0.1}}
	item := Item{ID: "1", Leak: 0.1, Minutes: 1}
	for _, c := range []struct {
		causes      []Cause
		items       []Item
		field, says string
	}{
		{nil, nil, "causes", "no causes"},
		{[]Cause{{Prior: 1}}, nil, "causes[0].prior", "between 0 and 1"},
		{[]Cause{{Prior: .1, LeadsTo: []Link{{3, .5}}}}, nil, "causes[0].leads_to", "no entry 3"},
		{[]Cause{{ID: "a", Prior: .1, LeadsTo: []Link{{1, .5}}}, {ID: "b", Prior: .1, LeadsTo: []Link{{0, .5}}}}, nil, "causes[1].leads_to", "lead back"},
		{good, []Item{{Leak: 0, Minutes: 1}}, "items[0].leak", "between 0 and 1"},
		{good, []Item{{Leak: .1}}, "items[0].minutes", "more than 0"},
		{good, []Item{{Leak: .1, Minutes: 1, For: []Link{{0, 1}}}}, "items[0].for", "between"},
	} {
		_, err := NewModel(c.causes, c.items)
		p := say.AsProblem(err)
		if p == nil || p.Field != c.field || !strings.Contains(p.Error(), c.says) {
			t.Errorf("got %v, want %s: %s", err, c.field, c.says)
		}
	}
	m, err := NewModel(good, []Item{item})
	if err != nil {
		t.Fatal(err)
	}
	for field, c := range map[string]Case{
		"findings[0]":          {Findings: []Finding{{4, Found, 1}}},
		"findings[0].strength": {Findings: []Finding{{0, Found, 1.5}}},
		"weights[1]":           {Weights: []float64{1, -1}},
		"together":             {Together: 5},
	} {
		_, err := m.Diagnose(c)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: got %v", field, err)
		}
	}
}

func TestWeightAt(t *testing.T) {
	points := []WeightPoint{{100, 3}, {10000, 0.03}}
	for hours, want := range map[float64]float64{0: 3, 100: 3, 1000: 0.3, 10000: 0.03, 50000: 0.03} {
		got, err := WeightAt(points, hours)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprint(hours), got, want, 1e-12)
	}
	if _, err := WeightAt(points, -1); err == nil {
		t.Error("negative hours were taken")
	}
	if _, err := WeightAt([]WeightPoint{{5, 1}, {4, 1}}, 1); err == nil {
		t.Error("points out of order were taken")
	}
}

// Evidence that was washed caps the certainty.
func TestSpoiled(t *testing.T) {
	m, err := NewModel([]Cause{{ID: "a", Prior: 0.1}}, []Item{
		{ID: "1", Leak: 0.05, For: []Link{{0, 0.9}}, Minutes: 1}, {ID: "2", Leak: 0.05, For: []Link{{0, 0.9}}, Minutes: 1}})
	if err != nil {
		t.Fatal(err)
	}
	c := Case{Findings: []Finding{{0, Found, 1}, {1, Found, 1}}}
	for _, want := range []Certainty{Likely, Possible} {
		r, err := m.Diagnose(c)
		if err != nil {
			t.Fatal(err)
		}
		if r.Certainty != want {
			t.Errorf("certainty %v, want %v", r.Certainty, want)
		}
		c.Spoiled = true
	}
}
