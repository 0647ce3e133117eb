package cli

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"pumpwright/app/language"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/calculator"
)

// calcCommand answers one engineering question.
type calcCommand struct {
	Name    string `arg:"" optional:"" help:"Which calculator; without a name they are listed."`
	File    string `arg:"" optional:"" help:"Input in YAML or JSON; - or nothing reads the standard input."`
	Example bool   `help:"Print an input that runs as it is."`
	Fields  bool   `help:"Print the inputs and results: name, dimension, default, meaning."`
	JSON    bool   `name:"json" help:"Print the answer as JSON, for programs."`
	Working bool   `help:"Show the working: equations, sources and what went in."`
	Units
}

// Help shows how it is called.
func (*calcCommand) Help() string {
	return `Every quantity is a text with its unit: "0.15 mm", "5 thou", "38 °C", "150 SSU". The example of a calculator is a good start:

  pumpwright calc
  pumpwright calc press-fit --fields
  pumpwright calc press-fit --example > press.yaml
  pumpwright calc press-fit press.yaml --working
  echo '{value: 150 SSU, to: mm2/s}' | pumpwright calc convert --json
`
}

// Run answers.
func (c *calcCommand) Run(env *Env) error {
	if c.Name == "" {
		return c.list(env)
	}
	one, err := calculator.Find(c.Name)
	switch {
	case err != nil:
		return err
	case c.Example:
		_, err := io.WriteString(env.Out, strings.TrimRight(one.Example, "\n")+"\n")
		return err
	case c.Fields:
		return c.fields(env, one)
	}
	input, err := c.input(env)
	if err != nil {
		return err
	}
	outcome, err := one.Run(&calculator.Env{ReadFile: env.Folder.Read}, input)
	if err != nil {
		return err
	}
	if c.JSON {
		err = writeJSON(env.Out, outcome.Document(c.style(), c.Working))
	} else {
		err = c.print(env, one, outcome)
	}
	if err == nil && outcome.Status() != calculator.StatusDone {
		return status(outcome.Status())
	}
	return err
}

func (c *calcCommand) list(env *Env) error {
	var rows [][]string
	var list []any
	for _, one := range calculator.All() {
		rows = append(rows, []string{one.Name, say.Known(one.Question).Text(language.Style(say.Metric, env.language))})
		list = append(list, map[string]string{"name": one.Name, "question": one.Question})
	}
	if c.JSON {
		return writeJSON(env.Out, map[string]any{"calculators": list})
	}
	p := newPage(env, c.style())
	p.table("", nil, rows)
	return p.err
}

var (
	msgKeyboard  = say.Define("cli.keyboard", "there is no input")
	msgGiveInput = say.Define("cli.give_input", "name a file, or send the input: {command}")
)

func (c *calcCommand) input(env *Env) ([]byte, error) {
	if c.File != "" && c.File != "-" {
		return env.Folder.Read(c.File)
	}
	if env.Keyboard && c.File == "" {
		command := fmt.Sprintf("%[1]s calc %[2]s --example | %[1]s calc %[2]s", name, c.Name)
		return nil, say.Refuse("", "", msgKeyboard.With(), msgGiveInput.With(command))
	}
	input, err := io.ReadAll(env.In)
	if err != nil {
		return nil, fmt.Errorf("cli: standard input: %w", err)
	}
	return input, nil
}

var (
	headInputs  = say.Define("cli.inputs", "inputs")
	headResults = say.Define("cli.results", "results")
	wordNeeded  = say.Define("cli.needed", "needed")
	wordMayLack = say.Define("cli.may_lack", "may be missing")
)

func (c *calcCommand) fields(env *Env, one calculator.Calculator) error {
	if c.JSON {
		return writeJSON(env.Out, map[string]any{"calculator": one.Name, "question": one.Question,
			"inputs": fieldDocuments(one.Inputs(), true), "results": fieldDocuments(one.Results(), false)})
	}
	p := newPage(env, c.style())
	p.say(say.Known(one.Question))
	p.head(headInputs.With())
	p.table("", nil, fieldRows(nil, one.Inputs(), true, p.style))
	p.head(headResults.With())
	p.table("", nil, fieldRows(nil, one.Results(), false, p.style))
	return p.err
}

func fieldDocuments(list []calculator.Field, inputs bool) []any {
	documents := []any{}
	for _, f := range list {
		d := map[string]any{"name": f.Name, "kind": f.Kind, "help": f.Help}
		if inputs {
			d["required"] = f.Required
			if f.Default != "" {
				d["default"] = f.Default
			}
		}
		if len(f.Words) > 0 {
			d["words"] = f.Words
		}
		if len(f.Fields) > 0 {
			d["fields"] = fieldDocuments(f.Fields, inputs)
		}
		documents = append(documents, d)
	}
	return documents
}

func fieldRows(rows [][]string, list []calculator.Field, inputs bool, s say.Style) [][]string {
	for _, f := range list {
		kind := f.Kind
		if len(f.Words) > 0 {
			kind = strings.Join(f.Words, " | ")
		}
		row := []string{strings.Repeat("  ", f.Depth) + f.Name, kind}
		if inputs {
			need := wordMayLack.With().Text(s)
			switch {
			case f.Default != "":
				need = "= " + f.Default
			case f.Required:
				need = wordNeeded.With().Text(s)
			}
			row = append(row, need)
		}
		rows = append(rows, append(row, say.Known(f.Help).Text(s)))
		rows = fieldRows(rows, f.Fields, inputs, s)
	}
	return rows
}

// print shows an outcome to a person.
func (c *calcCommand) print(env *Env, one calculator.Calculator, o *calculator.Outcome) error {
	p := newPage(env, c.style())
	results, _ := o.Document(p.style, false)["results"].(map[string]any)
	printResults(p, "", one.Results(), results)
	p.notes(o.Notes.Warnings, o.Notes.Cautions)
	if c.Working && o.Notes.Working != nil {
		p.working(o.Notes.Working)
	}
	return p.err
}

var (
	msgWarning  = say.Define("cli.warning", "warning: {text:message}")
	msgCaution  = say.Define("cli.caution", "CAUTION: {text:message}")
	headWorking = say.Define("cli.working", "working")
)

// notes writes warnings and cautions.
func (p *page) notes(warnings, cautions []say.Message) {
	if len(warnings)+len(cautions) > 0 {
		p.blank()
	}
	for _, w := range warnings {
		p.item("", msgWarning.With(w))
	}
	for _, c := range cautions {
		p.item("", msgCaution.With(c))
	}
}

// working writes the tree of reasons, each node once.
func (p *page) working(root *working.Node) {
	p.head(headWorking.With())
	root.Walk(func(n *working.Node, depth int) {
		text := n.Name.Text(p.style)
		if n.Symbol != "" {
			text += " (" + n.Symbol + ")"
		}
		text += " = " + n.Show(p.style)
		var why []string
		for _, part := range []string{n.Equation, n.Source, n.Ref} {
			if part != "" {
				why = append(why, part)
			}
		}
		if len(why) > 0 {
			text += "  [" + strings.Join(why, "; ") + "]"
		}
		p.text(strings.Repeat("  ", depth), text)
	})
}

// printResults writes results as names and values, lists of groups as tables.
func printResults(p *page, indent string, fields []calculator.Field, results map[string]any) {
	var rows [][]string
	flush := func() {
		p.table(indent, nil, rows)
		rows = nil
	}
	longest := 0 // one column of names for all blocks
	for _, f := range fields {
		if _, there := results[f.Name]; there && len(f.Fields) == 0 {
			longest = max(longest, len(f.Name))
		}
	}
	for _, f := range fields {
		value, there := results[f.Name]
		if !there || value == nil {
			continue
		}
		switch v := value.(type) {
		case []any:
			if len(f.Fields) > 0 && len(v) > 0 {
				flush()
				p.line(indent + f.Name)
				printGroups(p, indent+"  ", f.Fields, v)
				continue
			}
		case map[string]any:
			if _, isQuantity := v["text"]; !isQuantity {
				flush()
				p.line(indent + f.Name)
				printMap(p, indent+"  ", f, v)
				continue
			}
		}
		rows = append(rows, []string{f.Name + strings.Repeat(" ", max(0, longest-len(f.Name))), resultText(value)})
	}
	flush()
}

// printMap writes a group of named fields, or values by name in the order of
// their names.
func printMap(p *page, indent string, f calculator.Field, v map[string]any) {
	for _, inner := range f.Fields {
		if _, there := v[inner.Name]; there {
			printResults(p, indent, f.Fields, v)
			return
		}
	}
	names := make([]string, 0, len(v))
	for name := range v {
		names = append(names, name)
	}
	sort.Strings(names)
	rows := make([][]string, len(names))
	for i, name := range names {
		rows[i] = []string{name, resultText(v[name])}
	}
	p.table(indent, nil, rows)
}

// printGroups writes a list of groups as a table; what is itself a group is
// written as text.
func printGroups(p *page, indent string, fields []calculator.Field, list []any) {
	var columns []calculator.Field
	var heads []string
	for _, f := range fields {
		for _, item := range list {
			if group, ok := item.(map[string]any); ok && group[f.Name] != nil {
				columns = append(columns, f)
				heads = append(heads, f.Name)
				break
			}
		}
	}
	rows := [][]string{heads}
	for _, item := range list {
		group, ok := item.(map[string]any)
		if !ok {
			continue
		}
		row := make([]string, len(columns))
		for i, f := range columns {
			row[i] = resultText(group[f.Name])
		}
		rows = append(rows, row)
	}
	p.table(indent, nil, rows)
}

// resultText writes one value.
func resultText(value any) string {
	switch v := value.(type) {
	case nil:
		return "–"
	case map[string]any:
		if text, ok := v["text"].(string); ok {
			return text
		}
		names := make([]string, 0, len(v))
		for name := range v {
			names = append(names, name)
		}
		sort.Strings(names)
		parts := make([]string, len(names))
		for i, name := range names {
			parts[i] = name + " " + resultText(v[name])
		}
		return strings.Join(parts, ", ")
	case []any:
		parts := make([]string, len(v))
		for i, item := range v {
			parts[i] = resultText(item)
		}
		return strings.Join(parts, ", ")
	case float64:
		return fmt.Sprintf("%.6g", v)
	case bool:
		if v {
			return "yes"
		}
		return "no"
	}
	return fmt.Sprint(value)
}
