package docs_test

import (
	"flag"
	"fmt"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/procedure"
)

var update = flag.Bool("update", false, "write the generated chapters")

// The chapter of results comes from the calculators themselves: their fields,
// their own examples, the equations and sources of what they worked out. So it
// cannot tell anything else than the program does.
func TestResults(t *testing.T) {
	var b strings.Builder
	b.WriteString("# How each result is computed\n\nEach calculator with its fields, an example, and every equation the example went through, with the source of the equation. All numbers in the examples are invented. `pumpwright calc NAME --example | pumpwright calc NAME` computes the same.\n\n")
	all := calculator.All()
	for _, c := range all {
		fmt.Fprintf(&b, "- [%s](#%s): %s\n", c.Name, c.Name, c.Question)
	}
	for _, c := range all {
		out, err := c.Run(&calculator.Env{}, []byte(c.Example))
		if err != nil {
			t.Errorf("%s does not run its own example: %v", c.Name, err)
			continue
		}
		fmt.Fprintf(&b, "\n## %s\n\n%s\n\n", c.Name, c.Question)
		fieldTable(&b, "What goes in", c.Inputs(), true)
		fieldTable(&b, "What comes out", c.Results(), false)
		fmt.Fprintf(&b, "An example:\n\n```yaml\n%s\n```\n\n", strings.TrimSpace(c.Example))
		if out.Notes.Working != nil {
			b.WriteString("| what | value | equation | source |\n|---|---|---|---|\n")
			out.Notes.Working.Walk(func(n *working.Node, depth int) {
				if n.Equation == "" {
					return
				}
				symbol := ""
				if n.Symbol != "" {
					symbol = ", " + cell(n.Symbol)
				}
				fmt.Fprintf(&b, "| %s%s | %s | %s | %s |\n", cell(n.Name.String()), symbol, cell(n.Show(say.Style{})), cell(n.Equation), cell(n.Source))
			})
			b.WriteString("\n")
		}
		for _, w := range out.Notes.Warnings {
			fmt.Fprintf(&b, "It warns: %s\n\n", cell(w.String()))
		}
		for _, w := range out.Notes.Cautions {
			fmt.Fprintf(&b, "**Caution:** %s\n\n", cell(w.String()))
		}
	}
	kept(t, "results.md", b.String())
}

func fieldTable(b *strings.Builder, head string, list []calculator.Field, inputs bool) {
	if len(list) == 0 {
		return
	}
	fmt.Fprintf(b, "%s:\n\n| field | kind | meaning |\n|---|---|---|\n", head)
	fieldRows(b, list, "", inputs)
	b.WriteString("\n")
}

func fieldRows(b *strings.Builder, list []calculator.Field, within string, inputs bool) {
	for _, f := range list {
		meaning := f.Help
		switch {
		case !inputs:
		case f.Default != "":
			meaning += "; " + f.Default + " when missing"
		case !f.Required:
			meaning += "; may be missing"
		}
		kind := f.Kind
		if len(f.Words) > 0 {
			kind = strings.Join(f.Words, ", ")
		}
		fmt.Fprintf(b, "| `%s%s` | %s | %s |\n", within, f.Name, cell(kind), cell(meaning))
		fieldRows(b, f.Fields, within+f.Name+".", inputs)
	}
}

func cell(text string) string {
	return strings.NewReplacer("|", "\\|", "\n", " ", "<", "&lt;", "*", "\\*", "_", "\\_").Replace(text)
}

func kept(t *testing.T, name, text string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	have, err := os.ReadFile(name)
	if err != nil || string(have) != text {
		t.Errorf("%s is not what the program says (%v): go test ./docs -update", name, err)
	}
}

// The cautions are those of the procedure, with the steps at which they are
// said.
func TestCautions(t *testing.T) {
	p, err := procedure.Crescent()
	if err != nil {
		t.Fatal(err)
	}
	var b strings.Builder
	b.WriteString("# Cautions\n\nPrompts, no more: the maker's manual, site rules, local codes and licensed trades come first. Each is shown at its steps, before the step. Nothing here clears a pump to run.\n\n")
	for _, c := range p.Cautions {
		fmt.Fprintf(&b, "## %s\n\n%s\n\n**%s**\n\n", strings.ReplaceAll(c.ID, "-", " "), c.Harm, c.Do)
		var at []string
		for _, s := range p.Steps {
			if slices.Contains(s.Cautions, c.ID) {
				at = append(at, s.Title)
			}
		}
		if len(at) > 0 {
			fmt.Fprintf(&b, "Said at: %s.\n\n", strings.Join(at, "; "))
		}
	}
	kept(t, "cautions.md", b.String())
}

// The drawings of the measuring guide are those that the bench shows.
func TestDrawings(t *testing.T) {
	plain := say.Style{}
	for name, d := range map[string]*draw.Drawing{
		"measure-pin":    figure.Places{What: say.Plain("idler pin"), Planes: 3, Angles: 4, LoadSide: true}.Draw(plain),
		"measure-bore":   figure.Places{What: say.Plain("casing bore"), Inside: true, Planes: 3, Angles: 4, LoadSide: true}.Draw(plain),
		"measure-feeler": figure.Feeler{}.Draw(plain),
		"measure-dial":   figure.Dial{}.Draw(plain),
		"measure-gasket": figure.GasketMeasure{Places: 4}.Draw(plain),
	} {
		kept(t, name+".svg", d.SVG(draw.SVGOptions{}))
	}
}

// meant says what the parts of the assessment hold; a part that is not here,
// or here and not in the JSON, fails.
var meant = map[string]string{
	"as_of":         "Until when the job was looked at.",
	"assembly":      "Putting together: alignment, bolts with torque and passes, presses, the setting of the seal.",
	"bench_test":    "What the test asks, the points run, and the verdict with its reasons.",
	"causes":        "Why it failed: causes with their chance, what speaks for and against each, the next look.",
	"clearances":    "Each gap cold, in service and at its tightest while warming up; how far heat changes it.",
	"conflicts":     "Entries that contradict each other until somebody settles them.",
	"delivery":      "Flow, slip and power as found, as left and as new.",
	"end_clearance": "The end clearance as found and as left, and what is lacking to tell it.",
	"entries":       "How many entries the job has.",
	"faults":        "Entries that could not be read, with the reason; they are kept.",
	"gasket_stack":  "Which gaskets to fit, what is expected of them, and other stacks.",
	"head":          "The hash of the last entry.",
	"holds":         "What still waits for a signature, whose, and for what.",
	"job":           "Number, tag, serial number, owner, place and complaint as written down.",
	"missing":       "Readings that are still asked for.",
	"next":          "The next step.",
	"no_advice":     "Why there is no advice yet on window and stack; absent when there is.",
	"offers":        "Parts and work: ways to cover what is needed, with prices.",
	"parts":         "Each part: advice, decision and reasons.",
	"readings":      "Each feature read: mean, worst place, spread, limits.",
	"service":       "Which service the answers are for.",
	"sheet":         "Which model sheet, in which version.",
	"stage":         "Where the job stands.",
	"steps":         "Every step with its state.",
	"steps_done":    "How many steps are done.",
	"stream":        "The name of the list of entries.",
	"troubles":      "What went wrong while working out; the rest stands.",
	"warnings":      "What to bear in mind.",
	"window":        "The end clearance wanted, from the manual and worked out.",
}

// The fields of the JSON are those that TestFieldNames of the command line
// finds in the three invented jobs.
func TestJSON(t *testing.T) {
	raw, err := os.ReadFile("../app/cli/testdata/assess-fields.golden")
	if err != nil {
		t.Fatal(err)
	}
	fields := map[string][]string{}
	for _, path := range strings.Split(strings.TrimSpace(string(raw)), "\n") {
		top, _, _ := strings.Cut(path, ".")
		top = strings.TrimSuffix(top, "[]")
		fields[top] = append(fields[top], path)
	}
	var b strings.Builder
	b.WriteString("# The JSON of a job's assessment\n\n`pumpwright assess JOBFILE --json` gives it. Names stay as they are; new ones may come. `[]` stands for each item of a list, `KIND` for the name of a gasket kind. A quantity has `value` (SI), `unit`, `text` (as people read it) and `u` (standard uncertainty, absent when none). What is not known is absent, and said under `unknown`. The names below are those that occur in the three invented jobs.\n\n")
	for _, top := range slices.Sorted(maps.Keys(fields)) {
		if meant[top] == "" {
			t.Errorf("nothing says what %q holds", top)
		}
		fmt.Fprintf(&b, "## %s\n\n%s\n\n", top, meant[top])
		for _, path := range fields[top] {
			if path != top {
				fmt.Fprintf(&b, "- `%s`\n", path)
			}
		}
		b.WriteString("\n")
	}
	for top := range meant {
		if fields[top] == nil {
			t.Errorf("%q is described and not there", top)
		}
	}
	kept(t, "json.md", strings.ReplaceAll(b.String(), "\n\n\n", "\n\n"))
}
