package calculator

import (
	"encoding/json"
	"strings"
	"testing"

	"pumpwright/calc/say"
)

// Every calculator runs its own example, describes every field, and shows its
// outcome in both unit systems.
func TestExamplesRun(t *testing.T) {
	names := map[string]bool{}
	for _, c := range All() {
		t.Run(c.Name, func(t *testing.T) {
			if names[c.Name] {
				t.Fatal("the name is used twice")
			}
			names[c.Name] = true
			outcome, err := c.Run(exampleEnv(), []byte(c.Example))
			if err != nil {
				t.Fatal(err)
			}
			for _, units := range []say.Units{say.Metric, say.Inch} {
				if _, err := json.Marshal(outcome.Document(say.Style{Units: units}, true)); err != nil {
					t.Fatal(err)
				}
			}
			if outcome.Notes.Working == nil {
				t.Error("the outcome has no working")
			} else if err := outcome.Notes.Working.Check(); err != nil {
				t.Error(err)
			}
			for _, list := range [][]Field{c.Inputs(), c.Results()} {
				checkHelp(t, list)
			}
		})
	}
}

func checkHelp(t *testing.T, list []Field) {
	for _, f := range list {
		if f.Help == "" {
			t.Errorf("field %s has no help", f.Name)
		}
		checkHelp(t, f.Fields)
	}
}

func exampleEnv() *Env { return &Env{} }

func TestRefusals(t *testing.T) {
	c, err := Find("convert")
	if err != nil {
		t.Fatal(err)
	}
	cases := []struct{ input, field, says string }{
		{"to: cSt", "value", "missing"},
		{"value: 150 SSU\nto: cSt\nweight: 3", "weight", "not known"},
		{"value: 150 SSU\nto: bananas", "to", "bananas"},
		{"value: [1]\nto: cSt", "value", "wanted"},
		{"- 1", "", "fields"},
	}
	for _, c2 := range cases {
		_, err := c.Run(nil, []byte(c2.input))
		p := say.AsProblem(err)
		if p == nil || p.Field != c2.field || !strings.Contains(p.Error(), c2.says) {
			t.Errorf("%q: got %v", c2.input, err)
		}
	}
	if _, err := Find("nothing"); err == nil {
		t.Error("an unknown calculator was found")
	}
}
