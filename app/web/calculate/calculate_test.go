package calculate

import (
	"strings"
	"testing"

	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
)

// What the example of a calculator says is what its form asks for, and the form
// gives it back as the registry reads it.
func TestExamplesThroughForms(t *testing.T) {
	for _, c := range calculator.All() {
		f := &form{v: &frame.Visit{View: part.View{}}, c: c, typed: exampleOf(c)}
		names := map[string]bool{}
		for _, field := range c.Inputs() {
			names[field.Name] = true
		}
		for name := range f.typed {
			if !names[name] {
				t.Errorf("%s: the example fills %q, which the form does not have", c.Name, name)
			}
		}
		input, problem := f.input()
		if problem != nil {
			t.Errorf("%s: %v", c.Name, problem)
			continue
		}
		byForm, err := c.Run(nil, input)
		if err != nil {
			t.Errorf("%s: %v", c.Name, err)
			continue
		}
		f.outcome = byForm
		if len(f.results()) == 0 {
			t.Errorf("%s: the answer is empty", c.Name)
		}
		straight, err := c.Run(nil, []byte(c.Example))
		if err != nil {
			t.Fatal(err)
		}
		g := &form{v: f.v, c: c, outcome: straight}
		if one, two := spelled(f.results()), spelled(g.results()); one != two {
			t.Errorf("%s: by the form %s, by the example %s", c.Name, one, two)
		}
	}
}

func spelled(lines []result) string {
	var b strings.Builder
	for _, l := range lines {
		b.WriteString(l.Name + "=" + l.Text + "[" + spelled(l.Lines) + "] ")
	}
	return b.String()
}

// A refusal belongs to its field, also when it lies deep in a list.
func TestRefusalFindsItsField(t *testing.T) {
	c, err := calculator.Find("gasket-stack")
	if err != nil {
		t.Fatal(err)
	}
	f := &form{v: &frame.Visit{View: part.View{}}, c: c, typed: exampleOf(c)}
	f.typed["kinds"] = "- name: paper\n  thickness: 0.15\n  tolerance: 0.01 mm"
	input, problem := f.input()
	if problem != nil {
		t.Fatal(problem)
	}
	_, err = c.Run(nil, input)
	if f.problem = say.AsProblem(err); f.problem == nil || f.problem.Field != "kinds[0].thickness" {
		t.Fatalf("%v", err)
	}
	for _, field := range c.Inputs() {
		if f.refuses(field) != (field.Name == "kinds") {
			t.Errorf("field %s: refused %v", field.Name, f.refuses(field))
		}
	}
	f.typed["kinds"] = "- a: ["
	if _, problem := f.input(); problem == nil || problem.Field != "kinds" {
		t.Errorf("broken lines were taken: %v", problem)
	}
}
