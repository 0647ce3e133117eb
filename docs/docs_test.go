package docs_test

import (
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path"
	"regexp"
	"strings"
	"testing"

	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/docs"
	"pumpwright/rebuild/calculator"
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

var (
	heading = regexp.MustCompile(`(?m)^#+ (.+)$`)
	link    = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	noLink  = regexp.MustCompile("(?s)```.*?```|`[^`\n]*`")
)

// Every link inside the handbook leads somewhere.
func TestLinks(t *testing.T) {
	list, err := docs.Files.ReadDir(".")
	if err != nil {
		t.Fatal(err)
	}
	anchors, texts := map[string]bool{}, map[string]string{}
	for _, file := range list {
		anchors[file.Name()] = true
		if path.Ext(file.Name()) != ".md" {
			continue
		}
		raw, err := docs.Files.ReadFile(file.Name())
		if err != nil {
			t.Fatal(err)
		}
		texts[file.Name()] = noLink.ReplaceAllString(string(raw), "")
		for _, h := range heading.FindAllStringSubmatch(string(raw), -1) {
			anchors[file.Name()+"#"+slug(h[1])] = true
		}
	}
	links := 0
	for name, text := range texts {
		for _, l := range link.FindAllStringSubmatch(text, -1) {
			to := l[1]
			if strings.HasPrefix(to, "https://") {
				continue
			}
			links++
			if strings.HasPrefix(to, "#") {
				to = name + to
			}
			if _, err := os.Stat(strings.SplitN(to, "#", 2)[0]); !anchors[to] && (err != nil || strings.Contains(to, "#")) {
				t.Errorf("%s: %s leads nowhere", name, l[1])
			}
		}
	}
	if links < 40 {
		t.Errorf("only %d links found: the search is broken", links)
	}
}

func slug(text string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(text) {
		switch {
		case r == ' ' || r == '-':
			b.WriteByte('-')
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '_':
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Every chapter is there and begins with its title.
func TestChapters(t *testing.T) {
	for _, c := range docs.Chapters() {
		raw, err := docs.Files.ReadFile(c.Name + ".md")
		if err != nil || !strings.HasPrefix(string(raw), "# "+c.Title+"\n") {
			t.Errorf("%s: no chapter %q (%v)", c.Name, c.Title, err)
		}
	}
}

var block = regexp.MustCompile("(?s)```sh\n(.*?)```")

// Every command of the handbook runs, in the order of its chapter.
func TestCommands(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	bin := t.TempDir()
	if out, err := exec.Command("go", "build", "-o", bin+"/pumpwright", "pumpwright/cmd/pumpwright").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	ran := 0
	for _, c := range docs.Chapters() {
		raw, err := docs.Files.ReadFile(c.Name + ".md")
		if err != nil {
			t.Fatal(err)
		}
		folder := t.TempDir()
		for _, b := range block.FindAllStringSubmatch(string(raw), -1) {
			for line := range strings.Lines(b[1]) {
				line = strings.TrimSpace(line)
				if line == "" {
					continue
				}
				command := exec.Command("sh", "-c", line)
				command.Dir = folder
				command.Env = append(os.Environ(), "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"))
				out, err := command.CombinedOutput()
				if command.ProcessState.ExitCode() == calculator.StatusNotYet {
					err = nil // the answer is a no or a not yet; it is an answer
				}
				if err != nil {
					t.Errorf("%s: %s: %v\n%s", c.Name, line, err, out)
				}
				ran++
			}
		}
	}
	if ran < 8 {
		t.Errorf("only %d commands found: the search is broken", ran)
	}
}
