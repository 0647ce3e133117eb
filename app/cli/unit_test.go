package cli

import (
	"bytes"
	"os/exec"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// filledIn takes away the marks before the fields of a template.
func filledIn(template []byte) []byte {
	return bytes.ReplaceAll(template, []byte("\n#:"), []byte("\n"))
}

// The templates are accepted as they stand and with every field filled in, and
// name every group of fields there is.
func TestTemplates(t *testing.T) {
	for _, text := range [][]byte{sheetTemplate, filledIn(sheetTemplate)} {
		if _, findings := sheet.Parse("sheet.yaml", text); len(findings) > 0 {
			t.Errorf("%v %v", findings.Problems(), findings.Remarks())
		}
	}
	for _, text := range [][]byte{serviceTemplate, filledIn(serviceTemplate)} {
		if _, findings := sheet.ParseService("service.yaml", text); len(findings) > 0 {
			t.Errorf("%v %v", findings.Problems(), findings.Remarks())
		}
	}
	for _, c := range []struct {
		text   []byte
		fields []fields.Field
	}{
		{sheetTemplate, fields.Describe(reflect.TypeFor[sheet.Sheet]())},
		{serviceTemplate, fields.Describe(reflect.TypeFor[sheet.Service]())},
	} {
		for _, f := range c.fields {
			if f.Name != "invented" && !strings.Contains(string(filledIn(c.text)), "\n"+f.Name+":") {
				t.Errorf("the template does not show %q", f.Name)
			}
		}
	}
}

// Every kind of entry has a command, and no command is without a kind.
func TestEveryKind(t *testing.T) {
	var g grammar
	parser, err := newParser(&Env{Out: &bytes.Buffer{}, Err: &bytes.Buffer{}}, &g)
	if err != nil {
		t.Fatal(err)
	}
	var commands []string
	for _, o := range offerings(parser.Model.Node) {
		if rest, ok := strings.CutPrefix(o.path, "job add "); ok {
			commands = append(commands, rest)
		}
	}
	var kinds []string
	for _, k := range job.Kinds() {
		kinds = append(kinds, k[0])
	}
	slices.Sort(commands)
	slices.Sort(kinds)
	if !slices.Equal(commands, kinds) {
		t.Errorf("commands %v\nkinds    %v", commands, kinds)
	}
}

func TestWrap(t *testing.T) {
	cases := []struct {
		text  string
		width int
		want  []string
	}{
		{"one two three", 7, []string{"one two", "three"}},
		{"the gap is 0.130 ± 0.014 mm now", 16, []string{"the gap is", "0.130 ± 0.014 mm", "now"}},
		{"0.130 ± 0.014 mm", 8, []string{"0.130 ±", "0.014 mm"}},
		{"  indented words", 12, []string{"  indented", "  words"}},
		{"longerthanthat x", 4, []string{"longerthanthat", "x"}},
		{"a\nb", 9, []string{"a", "b"}},
		{"", 9, []string{""}},
	}
	for _, c := range cases {
		if got := wrap(c.text, c.width); !slices.Equal(got, c.want) {
			t.Errorf("%q at %d: %q, want %q", c.text, c.width, got, c.want)
		}
	}
}

func TestColumnWidths(t *testing.T) {
	got := columnWidths([][]string{{"name", strings.Repeat("x", 80)}, {"longer name", "y"}}, 60)
	if want := []int{11, 47}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

func TestPlace(t *testing.T) {
	cases := []struct {
		text, plane string
		angle       float64
		around, bad bool
	}{
		{"", "", 0, false, false},
		{"A", "A", 0, false, false},
		{"A/90", "A", 90, true, false},
		{"/120°", "", 120, true, false},
		{"A/", "", 0, false, true},
		{"A/x", "", 0, false, true},
		{"A/NaN", "", 0, false, true},
		{"A/1000", "", 0, false, true},
	}
	for _, c := range cases {
		plane, angle, err := place(c.text)
		if (err != nil) != c.bad || !c.bad && (plane != c.plane || (angle != nil) != c.around || angle != nil && *angle != c.angle) {
			t.Errorf("%q: %q %v %v", c.text, plane, angle, err)
		}
		if c.bad && say.AsProblem(err) == nil {
			t.Errorf("%q: %v is no problem", c.text, err)
		}
	}
}

// The bash script completes commands, words behind a file name and flags.
func TestBashCompletion(t *testing.T) {
	bash, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash here")
	}
	b := newBench(t)
	script, _, status := b.run("completion", "bash")
	if status != 0 {
		t.Fatalf("status %d", status)
	}
	cases := []struct{ line, want string }{
		{"pumpwright as", "assess"},
		{"pumpwright job ver", "verify"},
		{"pumpwright job add J.jsonl rea", "reading"},
		{"pumpwright job add J.jsonl reading f --as-l", "--as-left"},
		{"pumpwright calc press", "press-fit"},
		{"pumpwright completion z", "zsh"},
	}
	for _, c := range cases {
		list := strings.Fields(c.line)
		try := script + "\nCOMP_WORDS=(" + c.line + ")\nCOMP_CWORD=" + numberText(int64(len(list)-1)) + "\n_pumpwright\necho \"${COMPREPLY[@]}\"\n"
		out, err := exec.Command(bash, "-c", try).CombinedOutput()
		if got := strings.TrimSpace(string(out)); err != nil || got != c.want {
			t.Errorf("%s: %q %v, want %q", c.line, got, err, c.want)
		}
	}
}

// The other shells read their scripts without complaint, where they are there.
func TestOtherCompletions(t *testing.T) {
	for _, shell := range []string{"zsh", "fish"} {
		b := newBench(t)
		script, _, status := b.run("completion", shell)
		if status != 0 || !strings.Contains(script, "press-fit") || !strings.Contains(script, "job add") {
			t.Errorf("%s: status %d", shell, status)
		}
		path, err := exec.LookPath(shell)
		if err != nil {
			continue
		}
		command := exec.Command(path, "-n")
		command.Stdin = strings.NewReader(script)
		if out, err := command.CombinedOutput(); err != nil {
			t.Errorf("%s: %v %s", shell, err, out)
		}
	}
}

// A person at the keyboard who names no file is told what to do instead of
// waited for.
func TestKeyboard(t *testing.T) {
	b := newBench(t)
	b.keyboard = true
	if _, err, status := b.run("calc", "convert"); status != 2 || !strings.Contains(err, "pumpwright calc convert --example | pumpwright calc convert") {
		t.Errorf("status %d: %s", status, err)
	}
}

// The writer of an entry is named, or taken from the surroundings.
func TestWriter(t *testing.T) {
	b := newBench(t)
	b.env["USER"] = "tomas"
	if _, err, status := b.run("job", "new", "J.jsonl", "--sheet", "demo-pump-s"); status != 0 {
		t.Fatal(err)
	}
	b.env["PUMPWRIGHT_BY"] = "mira"
	if _, err, status := b.run("job", "add", "J.jsonl", "note", "hello"); status != 0 {
		t.Fatal(err)
	}
	out, _, _ := b.run("job", "entries", "J.jsonl")
	lines := strings.Split(strings.TrimSpace(out), "\n")
	if !strings.Contains(lines[1], "tomas") || !strings.Contains(lines[len(lines)-1], "mira") {
		t.Error(out)
	}
}
