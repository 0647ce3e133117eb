package calculator

import (
	"fmt"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/identify"
	"pumpwright/rebuild/sheet"
)

// identifyCalculators are those of a pump without a tag.
func identifyCalculators() []Calculator { return []Calculator{identifyCalculator()} }

type identifyIn struct {
	Sheets   []string           `json:"sheets" optional:"yes" help:"model sheets to compare with: files or names of demo sheets; all demo sheets when missing"`
	Measured []identifyMeasured `json:"measured" optional:"yes" help:"what was measured, counted or seen"`
	None     float64            `json:"none" default:"0.1" help:"chance, before anything is measured, that no sheet fits"`
	Seen     map[string]float64 `json:"seen" optional:"yes" help:"how many pumps of a sheet the shop has seen, by name; alike when missing"`
}

type identifyMeasured struct {
	What  string  `json:"what" help:"suction_port, discharge_port, bolt_circle, bolt_count, mass, casing_length, shaft, rotor_diameter, rotor_height, casing_bore, idler_pin, idler_width, rotor_teeth, idler_teeth; or a look: shaft_seal, relief_valve, jacketed, clearance_by"`
	Value anyWord `json:"value" help:"size with its unit, a number for a count, a word for a look"`
	U     *Any    `json:"u" help:"standard uncertainty; as it is usually measured when missing"`
}

// anyWord is a quantity, a number or a word.
type anyWord struct {
	raw  any
	text string
}

// FromInput keeps what was written.
func (a *anyWord) FromInput(raw any) error {
	switch v := raw.(type) {
	case bool:
		a.text = map[bool]string{true: "yes", false: "no"}[v]
	case nil, map[string]any, []any:
		return say.Refuse("", fmt.Sprint(raw), msgIdentifyValue.With(), say.Message{})
	default:
		a.text = fmt.Sprint(v)
	}
	a.raw = raw
	return nil
}

// KindName tells what is written there.
func (*anyWord) KindName() string { return "size with unit, number or word" }

type identifyOut struct {
	Candidates []candidateOut `json:"candidates" help:"model sheets, most likely first"`
	None       float64        `json:"none" help:"chance that it is none of them"`
	Best       string         `json:"best" help:"most likely sheet, or none"`
	Settled    bool           `json:"settled" help:"one answer has a chance of 0.95 or more"`
	Next       *identifyNext  `json:"next_measurement" help:"the measurement that tells most for each minute"`
	NextFew    []identifyNext `json:"next_measurements" help:"the best five"`
	Says       []say.Message  `json:"says" help:"the answer in words"`
}

type candidateOut struct {
	Sheet       string        `json:"sheet" help:"name of the model sheet"`
	Title       string        `json:"title" help:"what people call the model"`
	Probability float64       `json:"probability" help:"chance that the pump is of this model"`
	Fits        []identifyFit `json:"fits" help:"each measurement against the sheet"`
}

type identifyFit struct {
	What       string   `json:"what" help:"what was measured"`
	Fits       bool     `json:"fits" help:"it agrees with the sheet, or the sheet does not state it"`
	Sheet      string   `json:"sheet_says" help:"what the sheet says, empty when it does not"`
	Deviations *float64 `json:"deviations" help:"how far off, in standard deviations, for a size"`
}

type identifyNext struct {
	What    string      `json:"what" help:"what to measure, count or look at"`
	Name    say.Message `json:"name" help:"what people call it"`
	Gain    float64     `json:"gain_bits" help:"expected information"`
	Minutes float64     `json:"minutes" help:"how long it takes (a judgement)"`
	Opens   bool        `json:"opens_pump" help:"the pump must be opened for it"`
}

var (
	msgIdentifyValue  = say.Define("calculator.identify_value", "wanted is a size with its unit, a number or a word")
	msgIdentifyDemos  = say.Define("calculator.identify_demos", "no sheets are named: the invented demo sheets are compared, which no real pump is of")
	msgIdentifyManual = say.Define("calculator.identify_caution", "A likely model is no proof: compare with the manual before parts are ordered or a limit is used.")
)

const identifyShown = 5

func identifyCalculator() Calculator {
	return Define("identify", "Which pump is this, when its tag is missing?",
		"sheets: [demo-pump-s, demo-pump-m, demo-pump-l]\nmeasured:\n  - {what: suction_port, value: 79 mm}\n  - {what: bolt_count, value: 8}\n  - {what: relief_valve, value: casing}\n",
		runIdentify)
}

func runIdentify(env *Env, in identifyIn) (out identifyOut, notes Notes, err error) {
	names := in.Sheets
	if len(names) == 0 {
		names = sheet.DemoNames()
		notes.Warn(msgIdentifyDemos.With())
	}
	question := identify.Input{None: &in.None, Prior: in.Seen}
	for i, name := range names {
		s, remarks, err := readSheet(env, name)
		if err != nil {
			return out, notes, renamed(err, "sheet", fmt.Sprintf("sheets[%d]", i))
		}
		notes.Warn(remarks...)
		question.Sheets = append(question.Sheets, s)
	}
	byID := map[string]identify.What{}
	for _, w := range identify.Whats() {
		byID[w.ID] = w
	}
	for i, k := range in.Measured {
		m, err := k.read(byID[k.What])
		if err != nil {
			return out, notes, say.In(fmt.Sprintf("measured[%d]", i), err)
		}
		question.Measured = append(question.Measured, m)
	}
	r, err := identify.Rank(question)
	if err != nil {
		return out, notes, renamed(err, "prior", "seen")
	}
	out = identifyOut{None: r.None, Settled: r.Settled, Says: r.Says, Best: r.Candidates[0].Sheet.Name}
	if r.None > r.Candidates[0].Probability {
		out.Best = "none"
	}
	for _, c := range r.Candidates {
		one := candidateOut{Sheet: c.Sheet.Name, Title: c.Sheet.Title, Probability: c.Probability, Fits: []identifyFit{}}
		for _, f := range c.Fits {
			one.Fits = append(one.Fits, fitOut(f))
		}
		out.Candidates = append(out.Candidates, one)
	}
	for _, n := range r.Next {
		if len(out.NextFew) < identifyShown {
			out.NextFew = append(out.NextFew, identifyNext{What: n.ID, Name: n.Name, Gain: n.Bits, Minutes: n.Minutes, Opens: n.Opens})
		}
	}
	if len(out.NextFew) > 0 {
		out.Next = &out.NextFew[0]
	}
	notes.Warn(r.Warnings...)
	notes.Cautions = append(notes.Cautions, msgIdentifyManual.With())
	notes.Working = r.Working()
	return out, notes, nil
}

// renamed gives the field of a problem the name that it has here.
func renamed(err error, from, to string) error {
	p := say.AsProblem(err)
	if p == nil || p.Field != from && !strings.HasPrefix(p.Field, from+".") {
		return err
	}
	copied := *p
	copied.Field = to + strings.TrimPrefix(p.Field, from)
	return &copied
}

// read gives a measurement in SI. What is not known is refused by package
// identify, with the list of what is.
func (k identifyMeasured) read(w identify.What) (identify.Measurement, error) {
	m := identify.Measurement{What: k.What, Word: k.Value.text}
	if w.ID == "" || w.Words != nil {
		return m, nil
	}
	if w.Count() {
		if err := fields.Bind(k.Value.raw, &m.Value); err != nil {
			return m, say.In("value", err)
		}
		return m, nil
	}
	e, err := quantity.Parse(w.Dimension, k.Value.text)
	if err != nil {
		return m, say.In("value", err)
	}
	m.Value = e.SI
	if k.U != nil {
		u, err := k.U.As(fields.Difference(w.Dimension))
		if err != nil {
			return m, say.In("u", err)
		}
		m.U = u.SI
	}
	return m, nil
}

func fitOut(f identify.Fit) identifyFit {
	out := identifyFit{What: f.What.ID, Fits: f.Fits, Sheet: f.Word}
	if f.Nominal == nil {
		return out
	}
	out.Sheet = f.What.Quantity(*f.Nominal).Show(say.Style{})
	if !f.What.Count() {
		d := f.Deviations
		out.Deviations = &d
	}
	return out
}
