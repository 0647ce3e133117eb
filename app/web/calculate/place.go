package calculate

import (
	"net/http"
	"slices"
	"strings"

	"github.com/goccy/go-yaml"

	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/calculator"
)

// Place is the place of the calculators. They need no permission of the shop:
// they read nothing of it.
func Place() frame.Place {
	return frame.Place{
		Menu: wordCalculators.With(), Address: "/calculators",
		Routes: []frame.Route{
			{Pattern: "GET /calculators", Handle: list},
			{Pattern: "GET /calculators/{name}", Handle: show},
			{Pattern: "POST /calculators/{name}", Handle: answer},
		},
	}
}

var (
	wordCalculators = say.Define("calculate.calculators", "Calculators")
	wordTitle       = say.Define("calculate.title", "{name}: {question}")
	wordAsk         = say.Define("calculate.ask", "Work it out")
	wordExample     = say.Define("calculate.example", "Fill in the example")
	wordEmpty       = say.Define("calculate.empty", "Empty the form")
	wordAnswer      = say.Define("calculate.answer", "Answer")
	wordNotYet      = say.Define("calculate.not_yet", "The answer is a no, or a not yet, or lies outside the range of its equation: read the warnings.")
	wordWorkingOf   = say.Define("calculate.working", "How it came about")
	wordRequired    = say.Define("calculate.required", "needed")
	wordUsual       = say.Define("calculate.usual", "{default} when empty")
	wordMay         = say.Define("calculate.may", "may be empty")
	wordLines       = say.Define("calculate.lines", "A few lines as in the example: names with values, a dash before each item of a list.")
	wordNotLines    = say.Define("calculate.not_lines", "these lines cannot be read: {reason}")
)

func list(v *frame.Visit) error {
	return v.Show(frame.Page{Title: wordCalculators.With(), Plain: true, Body: listBody(v, calculator.All())})
}

func find(v *frame.Visit) (calculator.Calculator, error) { return calculator.Find(v.PathValue("name")) }

func show(v *frame.Visit) error {
	c, err := find(v)
	if err != nil {
		return err
	}
	f := &form{v: v, c: c, typed: map[string]string{}}
	if v.URL.Query().Has("example") {
		f.typed = exampleOf(c)
	}
	return f.page(http.StatusOK)
}

func answer(v *frame.Visit) error {
	c, err := find(v)
	if err != nil {
		return err
	}
	if err := v.ParseForm(); err != nil {
		return err
	}
	f := &form{v: v, c: c, typed: map[string]string{}}
	for _, field := range c.Inputs() {
		f.typed[field.Name] = strings.TrimSpace(strings.ReplaceAll(v.PostForm.Get(field.Name), "\r\n", "\n"))
	}
	input, problem := f.input()
	if problem == nil {
		outcome, err := c.Run(nil, input)
		if problem = say.AsProblem(err); err != nil && problem == nil {
			return err
		}
		f.outcome = outcome
	}
	f.problem = problem
	status := http.StatusOK
	if problem != nil {
		status = http.StatusUnprocessableEntity
	}
	return f.page(status)
}

// form is one calculator with what was typed and what came of it.
type form struct {
	v       *frame.Visit
	c       calculator.Calculator
	typed   map[string]string
	outcome *calculator.Outcome
	problem *say.Problem
}

func (f *form) page(status int) error {
	title := wordTitle.With(f.c.Name, say.Known(f.c.Question))
	return f.v.Show(frame.Page{Title: title, Plain: true, Status: status, Body: formBody(f)})
}

// inLines reports whether a field is written in lines of YAML.
func inLines(field calculator.Field) bool {
	return len(field.Fields) > 0 || strings.HasPrefix(field.Kind, "list") || strings.HasPrefix(field.Kind, "by name") || field.Kind == "group"
}

// input puts what was typed together as the registry reads it.
func (f *form) input() ([]byte, *say.Problem) {
	values := map[string]any{}
	for _, field := range f.c.Inputs() {
		text := f.typed[field.Name]
		switch {
		case text == "":
			continue
		case inLines(field):
			var raw any
			if err := yaml.Unmarshal([]byte(text), &raw); err != nil {
				first, _, _ := strings.Cut(err.Error(), "\n")
				return nil, say.Refuse(field.Name, text, wordNotLines.With(first), wordLines.With())
			}
			values[field.Name] = raw
		case field.Kind == "true or false":
			values[field.Name] = text == "true"
		default:
			values[field.Name] = text
		}
	}
	input, err := yaml.Marshal(values)
	if err != nil {
		return nil, say.Refuse("", "", wordNotLines.With(err), say.Message{})
	}
	return input, nil
}

// exampleOf is the example of a calculator as it would be typed.
func exampleOf(c calculator.Calculator) map[string]string {
	typed := map[string]string{}
	var raw map[string]any
	if err := yaml.Unmarshal([]byte(c.Example), &raw); err != nil {
		return typed
	}
	for name, value := range raw {
		if text, ok := value.(string); ok {
			typed[name] = text
			continue
		}
		if text, err := yaml.Marshal(value); err == nil {
			typed[name] = strings.TrimSpace(string(text))
		}
	}
	return typed
}

// refuses reports whether the problem is about a field or a part of it.
func (f *form) refuses(field calculator.Field) bool {
	if f.problem == nil {
		return false
	}
	rest, found := strings.CutPrefix(f.problem.Field, field.Name)
	return found && (rest == "" || rest[0] == '.' || rest[0] == '[')
}

// refusesNone reports whether the problem is about no field of the form.
func (f *form) refusesNone() bool {
	return f.problem != nil && !slices.ContainsFunc(f.c.Inputs(), f.refuses)
}

// note says when a field may be left empty.
func note(field calculator.Field) say.Message {
	switch {
	case field.Default != "":
		return wordUsual.With(field.Default)
	case field.Required:
		return wordRequired.With()
	}
	return wordMay.With()
}

func (f *form) reason() *working.Node { return f.outcome.Notes.Working }
