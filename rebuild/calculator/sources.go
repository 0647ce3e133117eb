package calculator

import (
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/sheet"
)

var (
	msgSheetNoFile   = say.Define("calculator.sheet_no_file", "no demo sheet has this name, and files cannot be read here")
	msgSheetWrong    = say.Define("calculator.sheet_wrong", "the sheet has a mistake: {finding:message}")
	msgLiquidWants   = say.Define("calculator.liquid_wants", "wanted is the name of a liquid, a file, or the liquid's own fields")
	msgLiquidNames   = say.Define("calculator.liquid_names", "the liquids that ship are {names:list}")
	msgLiquidNotYAML = say.Define("calculator.liquid_not_yaml", "this is no YAML: {reason}")
)

// readSheet returns a demo sheet by its name, or a sheet from a file.
func readSheet(env *Env, name string) (*sheet.Sheet, []say.Message, error) {
	for _, demo := range sheet.DemoNames() {
		if strings.EqualFold(demo, name) {
			s, err := sheet.Demo(demo)
			return s, nil, err
		}
	}
	if env == nil || env.ReadFile == nil {
		return nil, nil, say.Refuse("sheet", name, msgSheetNoFile.With(), say.Plain(fmt.Sprint(sheet.DemoNames())))
	}
	text, err := env.ReadFile(name)
	if err != nil {
		return nil, nil, err
	}
	s, findings := sheet.Parse(name, text)
	if wrong := findings.Problems(); len(wrong) > 0 {
		return nil, nil, say.Refuse("sheet", name, msgSheetWrong.With(wrong[0]), say.Message{})
	}
	var remarks []say.Message
	for _, f := range findings.Remarks() {
		remarks = append(remarks, say.Plain(f.Show(say.Style{})))
	}
	return s, remarks, nil
}

// LiquidInput is a liquid as people give it: the name of one that ships, a
// file, or its own fields.
type LiquidInput struct {
	name string
	own  map[string]any
}

// FromInput keeps what was written until files can be read.
func (l *LiquidInput) FromInput(raw any) error {
	switch v := raw.(type) {
	case string:
		l.name = v
	case map[string]any:
		l.own = v
	default:
		return say.Refuse("", fmt.Sprint(raw), msgLiquidWants.With(), msgLiquidNames.With(liquid.Names()))
	}
	return nil
}

// KindName names the kind for help.
func (LiquidInput) KindName() string { return "liquid: name, file or fields" }

// read returns the liquid; problems name the field "liquid".
func (l LiquidInput) read(env *Env) (*liquid.Liquid, error) {
	fields := l.own
	if fields == nil {
		for _, name := range liquid.Names() {
			if strings.EqualFold(name, l.name) {
				return liquid.Named(name)
			}
		}
		if env == nil || env.ReadFile == nil {
			return nil, say.Refuse("liquid", l.name, msgLiquidWants.With(), msgLiquidNames.With(liquid.Names()))
		}
		text, err := env.ReadFile(l.name)
		if err != nil {
			return nil, err
		}
		var raw any
		if err := yaml.Unmarshal(text, &raw); err != nil {
			return nil, say.Refuse("liquid", l.name, msgLiquidNotYAML.With(firstLine(err.Error())), say.Message{})
		}
		read, ok := raw.(map[string]any)
		if !ok {
			return nil, say.Refuse("liquid", l.name, msgLiquidWants.With(), msgLiquidNames.With(liquid.Names()))
		}
		fields = read
	}
	read, err := liquid.FromFields(completed(fields))
	return read, say.In("liquid", err)
}

// completed adds to the fields of a liquid what may be left out: its name, and
// the temperature of a density that is held constant anyway (the state of the
// liquid says so).
func completed(given map[string]any) map[string]any {
	full := map[string]any{"name": "liquid given"}
	for k, v := range given {
		if v != nil {
			full[k] = v
		}
	}
	if full["density"] != nil && full["density_temperature"] == nil && full["density_slope"] == nil && full["density_expansion"] == nil {
		full["density_temperature"] = "15 °C"
	}
	return full
}

// slipLiquid returns a liquid at a temperature for the leak paths; warnings and
// range go into the notes, each warning once.
func slipLiquid(l *liquid.Liquid, t quantity.Temperature, notes *Notes) (slip.Liquid, *liquid.State, error) {
	state, err := l.At(t)
	if err != nil {
		return slip.Liquid{}, nil, err
	}
	for _, w := range state.Warnings {
		notes.warnOnce(w)
	}
	notes.OutsideRange = notes.OutsideRange || state.OutsideRange
	s, err := sheet.SlipLiquid(state)
	return s, state, say.In("liquid", err)
}

// warnOnce adds a warning that does not stand there yet.
func (n *Notes) warnOnce(m say.Message) {
	text := m.String()
	for _, have := range n.Warnings {
		if have.String() == text {
			return
		}
	}
	n.Warnings = append(n.Warnings, m)
}
