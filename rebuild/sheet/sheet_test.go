package sheet

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/goccy/go-yaml"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"pumpwright/calc/say"
)

// The demo sheets are read without a problem or a remark, and their own
// numbers add up to the end clearance that they state.
func TestDemoSheets(t *testing.T) {
	if len(DemoNames()) != 3 {
		t.Fatalf("demo sheets: %v", DemoNames())
	}
	for _, name := range DemoNames() {
		text, _ := DemoText(name)
		s, findings := Parse(name, text)
		for _, f := range findings {
			t.Errorf("%s", f.Show(say.Style{}))
		}
		if s.Name != name || !s.Invented {
			t.Errorf("%s: name %q, invented %v", name, s.Name, s.Invented)
		}
		sum := s.ByRole(RoleCasingDepth).Nominal.SI - s.ByRole(RoleRotorHeight).Nominal.SI -
			s.ByRole(RoleHeadBoss).Nominal.SI + s.Dimensions.GasketStack.Value.SI()
		if want := s.ByRole(RoleEndClearance).Nominal.SI; sum-want > 1e-6 || want-sum > 1e-6 {
			t.Errorf("%s: depths and stack give %v m, stated are %v m", name, sum, want)
		}
	}
}

// What is wrong is said with its line, all at once, and the rest is read.
func TestFindings(t *testing.T) {
	text := `name: Bad Name
build:
  shaft_seal: rubber
colour: red
teeth: {rotor: 10, idler: 13, module: 8 mm, pressure_angle: 28 deg, rotor_addendum: 0.8, idler_addendum: 0.8, face_width: 60}
features:
  - id: pin
    part: pin
    name: pin
    nominal: 30 mm
    limits:
      - {max: 3 bar}
gaskets:
  - {name: film, thickness: 0.05 mm, tolerance: 0.005 mm, compression: 8}
`
	s, findings := Parse("x.yaml", []byte(text))
	want := []struct {
		line int
		says string
	}{
		{3, "rubber"}, {5, "face_width"}, {4, "colour"}, {1, "small letters"}, {7, "no part"}, {11, "does not go with"},
		{13, "between 0 and 1"}, {13, "seals"}, {5, "more teeth"},
	}
	for _, w := range want {
		found := false
		for _, f := range findings {
			found = found || strings.Contains(f.Show(say.Style{}), w.says) && (f.Line == w.line || f.Line == w.line+1)
		}
		if !found {
			t.Errorf("no finding about %q near line %d in:\n%v", w.says, w.line, showAll(findings))
		}
	}
	if len(s.Features) != 1 || s.Features[0].Nominal.SI != 0.030 {
		t.Error("what could be read was not kept")
	}
	if len(findings.Remarks()) != 1 {
		t.Errorf("remarks: %v", findings.Remarks())
	}
}

func showAll(list Findings) string {
	var lines []string
	for _, f := range list {
		lines = append(lines, f.Show(say.Style{}))
	}
	return strings.Join(lines, "\n")
}

func TestNotYAML(t *testing.T) {
	for _, text := range []string{"", "- a", "a: [", "\t", "a: b: c"} {
		if _, findings := Parse("x", []byte(text)); len(findings.Problems()) == 0 {
			t.Errorf("%q was taken", text)
		}
	}
}

func TestPages(t *testing.T) {
	s, err := Demo("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	if s.EndClearance.Minimum.Page != "p. 14" || s.EndClearance.Minimum.Value != 0.00008 {
		t.Errorf("minimum: %+v", s.EndClearance.Minimum)
	}
}

// The schema takes what the reader takes, and refuses a wrong word.
func TestSchema(t *testing.T) {
	text, err := Schema()
	if err != nil {
		t.Fatal(err)
	}
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	compiler := jsonschema.NewCompiler()
	if err := compiler.AddResource("sheet.json", doc); err != nil {
		t.Fatal(err)
	}
	schema, err := compiler.Compile("sheet.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range DemoNames() {
		source, _ := DemoText(name)
		var value any
		if err := yaml.Unmarshal(source, &value); err != nil {
			t.Fatal(err)
		}
		if err := schema.Validate(value); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		value.(map[string]any)["build"].(map[string]any)["shaft_seal"] = "rubber"
		if err := schema.Validate(value); err == nil {
			t.Errorf("%s: the schema takes a seal of rubber", name)
		}
	}
	var again map[string]any
	if err := json.Unmarshal(text, &again); err != nil || again["$schema"] == "" {
		t.Error("the schema names no version")
	}
}

func FuzzParse(f *testing.F) {
	files, _ := filepath.Glob("demo/*.yaml")
	for _, name := range files {
		if text, err := os.ReadFile(name); err == nil {
			f.Add(text)
		}
	}
	f.Add([]byte("name: x\nfeatures: [{id: a, nominal: {value: 1 mm, page: 3}}]"))
	f.Fuzz(func(t *testing.T, text []byte) {
		s, findings := Parse("f", text)
		if s == nil {
			t.Fatal("no sheet")
		}
		for _, one := range findings {
			one.Show(say.Style{})
		}
	})
}

func BenchmarkParse(b *testing.B) {
	text, err := DemoText("demo-pump-m")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		Parse("m", text)
	}
}
