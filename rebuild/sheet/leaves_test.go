package sheet

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
)

// Every value of the demo sheets is found at its place, and put back as it was
// it changes nothing.
func TestLeaves(t *testing.T) {
	for _, name := range DemoNames() {
		raw, err := DemoText(name)
		if err != nil {
			t.Fatal(err)
		}
		text := string(raw)
		leaves, err := Leaves(text)
		if err != nil || len(leaves) < 50 {
			t.Fatalf("%s: %d values, %v", name, len(leaves), err)
		}
		fixed := 0
		paths := map[string]bool{}
		for _, l := range leaves {
			if paths[l.Path] {
				t.Errorf("%s: %s twice", name, l.Path)
			}
			paths[l.Path] = true
			if l.Fixed {
				fixed++
				continue
			}
			if got := text[l.from:l.to]; strings.Trim(got, `"'`) != l.Value && !strings.ContainsAny(got, `\`) {
				t.Errorf("%s: %s at line %d is %q, the text has %q", name, l.Path, l.Line, l.Value, got)
			}
		}
		if fixed*10 > len(leaves) {
			t.Errorf("%s: %d of %d values have no place", name, fixed, len(leaves))
		}
	}
}

// A value is changed where it stands; comments and all else stay, and the two
// texts differ in that value alone.
func TestPut(t *testing.T) {
	raw, err := DemoText("demo-pump-s")
	if err != nil {
		t.Fatal(err)
	}
	text := string(raw)
	leaves, err := Leaves(text)
	if err != nil {
		t.Fatal(err)
	}
	leaves = slices.DeleteFunc(leaves, func(l Leaf) bool {
		return l.Fixed || strings.HasSuffix(l.Path, ".id") || strings.HasSuffix(l.Path, ".name") || strings.HasSuffix(l.Path, ".part") || strings.HasSuffix(l.Path, ".step")
	})
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom(leaves).Draw(t, "leaf")
		value := rapid.SampledFrom([]string{"12.5 mm", "1 1/2 in", "yes: no", `a "quoted" word`, "# not a comment", "{x}", "225 °F", "- dash", "it's"}).Draw(t, "value")
		if value == l.Value {
			return
		}
		after, err := Put(text, map[string]string{l.Path: value})
		if err != nil {
			t.Fatalf("%s = %q: %v", l.Path, value, err)
		}
		changes, err := Compare(text, after)
		if err != nil || len(changes) != 1 || changes[0] != (FieldChange{l.Path, l.Value, value}) {
			t.Fatalf("%+v %v", changes, err)
		}
		if strings.Count(after, "#") < strings.Count(text, "#") {
			t.Fatal("a comment is gone")
		}
	})
	for path, value := range map[string]string{"nothing.here": "1"} {
		if _, err := Put(text, map[string]string{path: value}); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", path, err)
		}
	}
	if _, err := Leaves("a: [1"); say.AsProblem(err) == nil {
		t.Errorf("%v", err)
	}
}

func TestCompare(t *testing.T) {
	older := "a: 1\nlist:\n  - {id: pin, d: 2 mm}\n  - {id: bush, d: 3 mm}\ngone: x\n"
	newer := "# said\na: 1\nlist:\n  - {id: new, d: 9 mm}\n  - {id: bush, d: 3 mm}\n  - {id: pin, d: 2.5 mm}\n"
	got, err := Compare(older, newer)
	want := []FieldChange{{"list[new].id", "", "new"}, {"list[new].d", "", "9 mm"}, {"list[pin].d", "2 mm", "2.5 mm"}, {"gone", "x", ""}}
	if err != nil || !slices.Equal(got, want) {
		t.Errorf("%+v %v", got, err)
	}
}

func FuzzLeaves(f *testing.F) {
	for _, seed := range []string{"a: 1", "a: [1, {b: 'x''y'}]", "a: |\n  two\n  lines\n", "- 1\n- é: \"\\u00e9\"\n", "a: &x 1\nb: *x\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		leaves, err := Leaves(text)
		if err != nil {
			return
		}
		for _, l := range leaves {
			if !l.Fixed && (l.from < 0 || l.to > len(text) || l.from >= l.to) {
				t.Fatalf("%+v", l)
			}
		}
	})
}
