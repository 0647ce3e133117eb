package calculate

import (
	"fmt"
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
		fmt.Fprint(&b, l.Name, "=", l.Text, l.Items, l.Head, l.Rows, "[", spelled(l.Lines), "] ")
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

// Lists of texts and of records without lists below stand as they are read:
// in points and in tables; nothing of them is lost.
func TestListsInPointsAndTables(t *testing.T) {
	c, err := calculator.Find("align")
	if err != nil {
		t.Fatal(err)
	}
	outcome, err := c.Run(nil, []byte(c.Example))
	if err != nil {
		t.Fatal(err)
	}
	f := &form{v: &frame.Visit{View: part.View{}}, c: c, outcome: outcome}
	found := map[string]result{}
	for _, l := range f.results() {
		found[l.Name] = l
	}
	if m := found["moves"]; len(m.Items) != 4 || m.Lines != nil {
		t.Errorf("moves: %+v", m)
	}
	if v := found["verdicts"]; len(v.Rows) != 2 || len(v.Head) != 7 || v.Head[0] != "table" || v.Rows[1][1] != "1500 rpm" || v.Lines != nil {
		t.Errorf("verdicts: %+v", v)
	}
	if s := found["feet"]; len(s.Lines) != 2 {
		t.Errorf("feet: %+v", s)
	}
}

// What a calculator found is drawn, in both units, where a drawing tells more
// than numbers.
func TestAnswersAreDrawn(t *testing.T) {
	for name, says := range map[string]string{"align": "Seen from the side", "bushing": "thinnest film", "bolt-torque": "1, 5, 3, 7, 2, 6, 4, 8", "press-fit": "force rises", "seal-setting": "set collar to", "flatness": "light bands of helium", "soft-foot": "near left"} {
		c, err := calculator.Find(name)
		if err != nil {
			t.Fatal(err)
		}
		outcome, err := c.Run(nil, []byte(c.Example))
		if err != nil {
			t.Fatal(err)
		}
		for _, style := range []say.Style{{}, {Units: say.Inch}} {
			drawn := drawingOf(outcome.Notes.Found)
			if drawn == nil {
				t.Fatalf("%s: no drawing", name)
			}
			if text := drawn.Draw(style).Description(); !strings.Contains(text, says) {
				t.Errorf("%s does not say %q: %s", name, says, text)
			}
		}
	}
}
