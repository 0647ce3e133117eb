package calculator

import (
	"fmt"
	"reflect"
	"strings"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/calc/working"
	"pumpwright/rebuild/fields"
)

// Calculator is one entry of the registry.
type Calculator struct {
	Name     string
	Question string // one line, English; translated by the id "calculator.NAME"
	Example  string // YAML that runs as it is
	In       reflect.Type
	Out      reflect.Type
	run      func(env *Env, in any) (any, Notes, error)
}

// Env is what a calculator may reach beyond its input.
type Env struct {
	// ReadFile reads a file that the input names (a CSV, a model sheet). Nil
	// means that files are refused.
	ReadFile func(path string) ([]byte, error)
}

// Notes is what a calculator says beside its results.
type Notes struct {
	Warnings     []say.Message
	Cautions     []say.Message
	Working      *working.Node
	OutsideRange bool // a result lies outside the range of its equation
	// Found is what the calculation found, whole, where a drawing can be made
	// of it; else nil.
	Found any
}

// Aligned is what an alignment found: the plan, and that of the readings as
// found when they were given.
type Aligned struct{ Plan, Before *align.Plan }

// SealSet is what the setting of a seal found; Free and Force where the spring
// is known.
type SealSet struct {
	Set   seal.Set
	Free  quantity.Length
	Force *quantity.Force
}

// Bands are light bands on a face.
type Bands struct {
	Bands float64
	Light seal.Light
}

// Warn adds warnings.
func (n *Notes) Warn(messages ...say.Message) { n.Warnings = append(n.Warnings, messages...) }

// The types of fields that calculators share with everything else that people
// fill in.
type (
	Any       = fields.Any
	AnyResult = fields.AnyResult
	Hours     = fields.Hours
	Years     = fields.Years
	Field     = fields.Field
)

// Inputs describes the inputs.
func (c Calculator) Inputs() []Field { return fields.Describe(c.In) }

// Results describes the results.
func (c Calculator) Results() []Field { return fields.Describe(c.Out) }

// Define makes an entry from its typed function.
func Define[In, Out any](name, question, example string, run func(env *Env, in In) (Out, Notes, error)) Calculator {
	return Calculator{
		Name: name, Question: question, Example: example,
		In: reflect.TypeFor[In](), Out: reflect.TypeFor[Out](),
		run: func(env *Env, in any) (any, Notes, error) {
			out, notes, err := run(env, in.(In))
			return out, notes, err
		},
	}
}

// Find returns the calculator of a name from All.
func Find(name string) (Calculator, error) {
	all := All()
	names := make([]string, len(all))
	for i, c := range all {
		if c.Name == name {
			return c, nil
		}
		names[i] = c.Name
	}
	return Calculator{}, say.Refuse("calculator", name, msgNoCalculator.With(name), msgCalculatorsAre.With(names))
}

// Outcome is what one run gave.
type Outcome struct {
	Calculator string
	Out        any
	Notes      Notes
}

var (
	msgNoCalculator   = say.Define("calculator.no_calculator", "there is no calculator “{name}”")
	msgCalculatorsAre = say.Define("calculator.calculators_are", "the calculators are {names}")
	msgNotYAML        = say.Define("calculator.not_yaml", "the input is neither YAML nor JSON: {reason}")
	msgNotMap         = say.Define("calculator.not_map", "the input must be fields with values")
)

// Run reads an input (YAML or JSON) and computes. A refused input is a
// say.Problem that names the field.
func (c Calculator) Run(env *Env, input []byte) (*Outcome, error) {
	if env == nil {
		env = &Env{}
	}
	var raw any
	if err := yaml.Unmarshal(input, &raw); err != nil {
		return nil, say.Refuse("", firstLine(string(input)), msgNotYAML.With(firstLine(err.Error())), say.Message{})
	}
	if raw == nil {
		raw = map[string]any{}
	}
	if _, ok := raw.(map[string]any); !ok {
		return nil, say.Refuse("", firstLine(string(input)), msgNotMap.With(), say.Message{})
	}
	in := reflect.New(c.In)
	if err := fields.Bind(raw, in.Interface()); err != nil {
		return nil, err
	}
	out, err := c.RunOn(env, in.Elem().Interface())
	if err != nil {
		return nil, c.asWritten(err, raw)
	}
	return out, nil
}

// asWritten completes a refusal of the calculation, which sees only values:
// with what was written in the field, and with what the field means where
// nothing better is said to be accepted.
func (c Calculator) asWritten(err error, raw any) error {
	p := say.AsProblem(err)
	if p == nil || p.Field == "" {
		return err
	}
	complete := *p
	if text := fields.Written(raw, p.Field); text != "" && (p.Read == "" || beginsNumber(text) && beginsNumber(p.Read)) {
		complete.Read = text
	}
	if f, ok := fields.At(c.Inputs(), p.Field); ok && p.Accepted.IsZero() {
		complete.Accepted = f.Meaning()
	}
	return &complete
}

// RunOn computes from an In struct that is filled already. The bench app uses
// it for forms.
func (c Calculator) RunOn(env *Env, in any) (*Outcome, error) {
	if got := reflect.TypeOf(in); got != c.In {
		return nil, fmt.Errorf("calculator %s: input is %v, want %v", c.Name, got, c.In)
	}
	out, notes, err := c.run(env, in)
	if err != nil {
		return nil, err
	}
	return &Outcome{Calculator: c.Name, Out: out, Notes: notes}, nil
}

func beginsNumber(text string) bool {
	return text != "" && strings.ContainsAny(text[:1], "+-.0123456789")
}

func firstLine(text string) string {
	line, _, _ := strings.Cut(strings.TrimSpace(text), "\n")
	if len(line) > 200 {
		line = line[:200] + "…"
	}
	return line
}
