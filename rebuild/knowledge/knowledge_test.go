package knowledge

import (
	"fmt"
	"strings"
	"testing"
	"testing/fstest"

	"pumpwright/calc/say"
)

func TestEmbedded(t *testing.T) {
	b, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	if len(b.Causes) != 39 || len(b.Evidence) != 87 {
		t.Fatalf("%d causes, %d items", len(b.Causes), len(b.Evidence))
	}
	for i, c := range b.Causes {
		if want := fmt.Sprintf("C%02d", i+1); c.ID != want {
			t.Errorf("cause %d is %s, want %s", i, c.ID, want)
		}
	}
	for i, e := range b.Evidence {
		if want := fmt.Sprintf("E%02d", i+1); e.ID != want {
			t.Errorf("item %d is %s, want %s", i, e.ID, want)
		}
	}
}

func TestUnknownID(t *testing.T) {
	b, err := Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for typed, near := range map[string]string{"E7": "E07", "e12": "E12", "E88": "E08", "pits sand-blasting": "E53", "E112": "E12", "bananas": "E01 to E87"} {
		_, err := b.Item(typed)
		p := say.AsProblem(err)
		if p == nil || p.Read != typed || !strings.Contains(p.Accepted.Text(say.Style{}), near) && !strings.Contains(p.Error(), near) {
			t.Errorf("%q: %v, want a hint at %s", typed, err, near)
		}
	}
	if _, err := b.Cause("C1"); err == nil || !strings.Contains(err.Error(), "C01 (ran dry") {
		t.Errorf("C1: %v", err)
	}
}

// Every check refuses what it is there for.
func TestReadRefuses(t *testing.T) {
	cause := func(more string) string {
		return "causes:\n- {id: C01, name: a, mechanism: b, confirm: c, change: d, onset: running" + more + "}\n"
	}
	item := func(more string) string {
		return "parts: {p: q}\nevidence:\n- {id: E01, part: p, fact: f, name: a, looks: b, where: c" + more + "}\n"
	}
	cases := []struct{ file, text, field, says string }{
		{"causes.yaml", cause(", leads_to: [C77]"), "causes.yaml: causes[0].leads_to[0]", "no cause"},
		{"causes.yaml", cause(", leads_to: [C01]"), "causes.yaml: C01.leads_to", "comes back"},
		{"causes.yaml", cause(", iso_cause: '9.9'"), "causes.yaml: causes[0].iso_cause", "not in the list"},
		{"causes.yaml", cause(", colour: red"), "causes.yaml", "colour"},
		{"causes.yaml", strings.Replace(cause(""), "running", "sometimes", 1), "causes.yaml: causes[0].onset", "no onset"},
		{"causes.yaml", strings.Replace(cause(""), "C01", "X1", 1), "causes.yaml: causes[0].id", "no id"},
		{"causes.yaml", cause("") + strings.TrimPrefix(cause(""), "causes:\n"), "causes.yaml: causes[1].id", "twice"},
		{"causes.yaml", strings.Replace(cause(""), "name: a, ", "", 1), "causes.yaml: causes[0].name", "missing"},
		{"evidence.yaml", item(""), "evidence.yaml: evidence[0].minutes", "more than 0"},
		{"evidence.yaml", item(", minutes: 3, iso: '7'"), "evidence.yaml: evidence[0].iso", "not in the list"},
		{"evidence.yaml", item(", minutes: 3, source: x"), "evidence.yaml: evidence[0].source", "not in the list"},
		{"evidence.yaml", strings.Replace(item(", minutes: 3"), "part: p", "part: r", 1), "evidence.yaml: evidence[0].part", "not in the list"},
	}
	for _, c := range cases {
		_, err := Read(fstest.MapFS{c.file: {Data: []byte(c.text)}})
		p := say.AsProblem(err)
		if p == nil || p.Field != c.field || !strings.Contains(p.Error(), c.says) {
			t.Errorf("%s: got %v, want field %q saying %q", c.text, err, c.field, c.says)
		}
	}
}
