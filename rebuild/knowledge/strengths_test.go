package knowledge

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"pgregory.net/rapid"

	"pumpwright/calc/diagnose"
	"pumpwright/calc/say"
)

// Rules of inference that are common practice, no source: two independent
// strong items beat five of some strength; absence of a strong item speaks
// against its cause, never more than finding it speaks for it; what speaks
// against halves.
func TestRulesOfInference(t *testing.T) {
	set := base(t).Strengths.Model
	causes := []diagnose.Cause{{ID: "strong", Prior: set.Prior}, {ID: "some", Prior: set.Prior}}
	var items []diagnose.Item
	var c diagnose.Case
	for i := range 7 {
		link := diagnose.Link{Cause: 0, Strength: set.Strong}
		if i > 1 {
			link = diagnose.Link{Cause: 1, Strength: set.Some}
		}
		items = append(items, diagnose.Item{ID: fmt.Sprint(i), Leak: set.Leak, Minutes: 1, For: []diagnose.Link{link}})
		c.Findings = append(c.Findings, diagnose.Finding{Item: i, State: diagnose.Found, Strength: set.Seen})
	}
	m, err := diagnose.NewModel(causes, items)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.Diagnose(c)
	if err != nil {
		t.Fatal(err)
	}
	if causes[r.Ranked[0].Cause].ID != "strong" {
		t.Errorf("five weak items beat two strong ones: %v", r.Ranked)
	}
	found := (set.Leak + (1-set.Leak)*set.Strong) / set.Leak
	if absent := 1 - set.Strong; 1/absent > found {
		t.Errorf("absence counts %v, presence %v", 1/absent, found)
	}
}

// Every item has its row of strengths, and every cause a strong item or at
// least one that speaks for it.
func TestStrengthsAreWhole(t *testing.T) {
	b := base(t)
	spoken := map[string]bool{}
	for _, e := range b.Evidence {
		links, ok := b.Strengths.Evidence[e.ID]
		if !ok {
			t.Errorf("%s has no strengths", e.ID)
		}
		for _, id := range append(links.Strong, links.Some...) {
			spoken[id] = true
		}
	}
	for _, c := range b.Causes {
		if !spoken[c.ID] {
			t.Errorf("nothing speaks for %s", c.ID)
		}
	}
}

func TestQuestions(t *testing.T) {
	b := base(t)
	early, late := 40.0, 20000.0
	ask := func(q Question) *Answer {
		t.Helper()
		a, err := b.Diagnose(q)
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	chance := func(a *Answer, id string) float64 {
		for _, r := range a.Ranked {
			if b.Causes[r.Cause].ID == id {
				return r.Probability
			}
		}
		return -1
	}
	// time in service
	wear := []Finding{{ID: "E36"}}
	if e, l := chance(ask(Question{Found: wear, Hours: &early}), "C32"), chance(ask(Question{Found: wear, Hours: &late}), "C32"); e >= l {
		t.Errorf("wear-out at 40 h %v, at 20 000 h %v", e, l)
	}
	// the early-failure item is not scored beside the hours
	if a := ask(Question{Found: []Finding{{ID: "E85"}}, Hours: &early}); len(a.NotScored) != 1 {
		t.Errorf("E85 was scored beside the hours")
	}
	// a measured fact says more than the same seen by eye
	if seen, measured := chance(ask(Question{Found: []Finding{{ID: "E62"}}}), "C17"), chance(ask(Question{Found: []Finding{{ID: "E62", Strength: 1}}}), "C17"); seen >= measured {
		t.Errorf("seen %v, measured %v", seen, measured)
	}
	// the outcome of a confirming check settles
	plain := ask(Question{Found: []Finding{{ID: "E53"}}})
	yes := ask(Question{Found: []Finding{{ID: "E53"}, {ID: "K03"}}})
	no := ask(Question{Found: []Finding{{ID: "E53"}}, Absent: []string{"K03"}})
	if !(chance(no, "C03") < chance(plain, "C03") && chance(plain, "C03") < chance(yes, "C03")) {
		t.Errorf("no %v, open %v, yes %v", chance(no, "C03"), chance(plain, "C03"), chance(yes, "C03"))
	}
	// a standing condition stands beside its cause and is not scored
	with := ask(Question{Found: []Finding{{ID: "E53"}}, Conditions: []string{"S10"}})
	if chance(with, "C03") != chance(plain, "C03") || len(with.Conditions["C03"]) != 1 {
		t.Errorf("conditions: %v", with.Conditions)
	}
	// washed evidence caps the certainty
	strong := Question{Found: []Finding{{ID: "E07", Strength: 1}, {ID: "E42", Strength: 1}, {ID: "E57", Strength: 1}}}
	if a := ask(strong); a.Certainty != diagnose.Likely {
		t.Errorf("certainty %v", a.Certainty)
	}
	strong.Spoiled = true
	if a := ask(strong); a.Certainty != diagnose.Possible {
		t.Errorf("washed: %v", a.Certainty)
	}
	for field, q := range map[string]Question{
		"found[0]":          {Found: []Finding{{ID: "E99"}}},
		"found[0].strength": {Found: []Finding{{ID: "E01", Strength: 2}}},
		"absent[0]":         {Absent: []string{"C01"}},
		"conditions[0]":     {Conditions: []string{"S99"}},
		"weights":           {Weights: map[string]float64{"C77": 2}},
	} {
		_, err := b.Diagnose(q)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}

func TestReadStrengthsRefuses(t *testing.T) {
	whole, err := embedded.ReadFile("strengths.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, field string }{
		{"strong: 0.8 ", "strong: 1.8 ", "strengths.yaml.model.strong"},
		{"E07: {strong: [C02]", "E07: {strong: [C92]", "strengths.yaml.evidence.E07"},
		{"E07: {strong: [C02]", "E07: {strong: [C14]", "strengths.yaml.evidence.E07"},
		{"- [E01, E02]", "- [E01]", "strengths.yaml.excludes[0]"},
		{"lets: [C06]", "lets: [C60]", "strengths.yaml.conditions[5].lets"},
		{"hours: 1000, weight: 1}", "hours: 10, weight: 1}", "strengths.yaml.onset.assembly.points[1]"},
	} {
		text := strings.Replace(string(whole), c.old, c.new, 1)
		if text == string(whole) {
			t.Fatalf("%q is not in the file", c.old)
		}
		_, err := Read(fstest.MapFS{"strengths.yaml": {Data: []byte(text)}})
		if p := say.AsProblem(err); p == nil || p.Field != c.field {
			t.Errorf("%s: %v", c.new, err)
		}
	}
}

// All 87 items reported, a third of them found.
func BenchmarkDiagnoseAllReported(b *testing.B) {
	k := base(b)
	var q Question
	for i, e := range k.Evidence {
		if i%3 == 0 {
			q.Found = append(q.Found, Finding{ID: e.ID})
		} else {
			q.Absent = append(q.Absent, e.ID)
		}
	}
	for b.Loop() {
		if _, err := k.Diagnose(q); err != nil {
			b.Fatal(err)
		}
	}
}

// A job as it comes: one of the stories, checks ranked over all other items.
func BenchmarkDiagnoseStory(b *testing.B) {
	k, q := base(b), stories(b)[1].question()
	for b.Loop() {
		if _, err := k.Diagnose(q); err != nil {
			b.Fatal(err)
		}
	}
}

// Nothing reported yet: which look tells most.
func BenchmarkDiagnoseNothing(b *testing.B) {
	k := base(b)
	for b.Loop() {
		if _, err := k.Diagnose(Question{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Whatever is reported, in whatever order: chances stay chances, the ranking
// is sorted, and the order of the findings does not matter.
func TestAnyFindings(t *testing.T) {
	b := base(t)
	ids := make([]string, 0, len(b.Evidence)+len(b.Causes))
	for _, e := range b.Evidence {
		ids = append(ids, e.ID)
	}
	for _, c := range b.Causes {
		ids = append(ids, "K"+c.ID[1:])
	}
	rapid.Check(t, func(t *rapid.T) {
		var q Question
		for _, id := range rapid.SliceOfN(rapid.SampledFrom(ids), 0, 30).Draw(t, "found") {
			q.Found = append(q.Found, Finding{ID: id, Strength: rapid.Float64Range(0.01, 1).Draw(t, "strength")})
		}
		q.Absent = rapid.SliceOfN(rapid.SampledFrom(ids), 0, 30).Draw(t, "absent")
		if rapid.Bool().Draw(t, "timed") {
			h := rapid.Float64Range(0, 1e5).Draw(t, "hours")
			q.Hours = &h
		}
		a, err := b.Diagnose(q)
		if err != nil {
			t.Fatal(err)
		}
		last := 1.0
		for _, r := range a.Ranked {
			if !(r.Probability >= 0 && r.Probability <= last+1e-12) {
				t.Fatalf("probability %v after %v", r.Probability, last)
			}
			last = r.Probability
		}
		if !(a.None >= 0 && a.None <= 1) || !(a.Beyond >= 0 && a.Beyond <= 1) {
			t.Fatalf("none %v, beyond %v", a.None, a.Beyond)
		}
		for _, c := range a.Checks {
			if !(c.Bits >= 0 && c.Bits <= 1) || !(c.Found >= 0 && c.Found <= 1) {
				t.Fatalf("check %+v", c)
			}
		}
		turned := q
		turned.Found = append([]Finding(nil), q.Found...)
		slices.Reverse(turned.Found)
		turned.Absent = append([]string(nil), q.Absent...)
		slices.Reverse(turned.Absent)
		again, err := b.Diagnose(turned)
		if err != nil {
			t.Fatal(err)
		}
		chance := map[int]float64{}
		for _, r := range a.Ranked {
			chance[r.Cause] = r.Probability
		}
		for _, r := range again.Ranked {
			if math.Abs(chance[r.Cause]-r.Probability) > 1e-9 {
				t.Fatalf("cause %d: %v, turned round %v", r.Cause, chance[r.Cause], r.Probability)
			}
		}
	})
}

// Any text typed for an id is refused with a problem and never panics.
func FuzzItem(f *testing.F) {
	for _, s := range []string{"", "E", "E07", "e7", "Ä", "K99", strings.Repeat("E0", 40)} {
		f.Add(s)
	}
	b := base(f)
	f.Fuzz(func(t *testing.T, id string) {
		e, err := b.Item(id)
		if err == nil && e.ID != id || err != nil && say.AsProblem(err) == nil {
			t.Errorf("%q: %v %v", id, e, err)
		}
		if _, err := b.Cause(id); err != nil && say.AsProblem(err) == nil {
			t.Errorf("%q: %v", id, err)
		}
	})
}
