package identify

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/sheet"
)

// Measurement is one thing measured, counted or seen.
type Measurement struct {
	What  string
	Value float64 // SI, or the count
	U     float64 // standard uncertainty, SI; 0 = as it is usually measured
	Word  string  // for a look
}

// Input asks which pump it is.
type Input struct {
	Sheets   []*sheet.Sheet
	Measured []Measurement
	None     *float64           // chance, before anything is measured, that no sheet fits; nil = 0.1
	Prior    map[string]float64 // weight of a sheet by its name, how many of it the shop sees; 1 when missing
}

// Fit is one measurement held against a sheet.
type Fit struct {
	What       What
	Measured   Measurement
	Nominal    *float64 // nil when the sheet does not state it
	Word       string
	Deviations float64 // in standard deviations, of a length or a mass
	Fits       bool
}

// Candidate is one model sheet with its chance.
type Candidate struct {
	Sheet       *sheet.Sheet
	Probability float64
	Fits        []Fit
}

// Next is a measurement that was not made.
type Next struct {
	What
	Bits float64 // expected information
	Rate float64 // bits for each minute
}

// Result is which pump it may be.
type Result struct {
	Input      Input
	Candidates []Candidate // most likely first
	None       float64     // chance that it is none of them
	Entropy    float64     // bits that are open
	Next       []Next      // most information for a minute first
	Settled    bool
	Says       []say.Message
	Warnings   []say.Message
}

// settledFrom is from which chance an answer counts as settled; farOff is from
// how many standard deviations a size does not fit. Our own conventions.
const (
	settledFrom = 0.95
	farOff      = 3.0
	noneBefore  = 0.1
)

var (
	msgNoSheets  = say.Define("identify.no_sheets", "there is no model sheet to compare with")
	msgTwice     = say.Define("identify.twice", "two sheets have the name {name}")
	msgWhat      = say.Define("identify.what", "this cannot be compared with a sheet")
	msgWhatsAre  = say.Define("identify.whats_are", "what can be compared: {ids:list}")
	msgAgain     = say.Define("identify.again", "“{what}” is given twice")
	msgPositive  = say.Define("identify.positive", "this must be above zero")
	msgCount     = say.Define("identify.count", "this must be a whole number above zero")
	msgU         = say.Define("identify.uncertainty", "an uncertainty is not below zero")
	msgWord      = say.Define("identify.word", "this word is not known here")
	msgWordsAre  = say.Define("identify.words_are", "write one of {words:list}")
	msgNone      = say.Define("identify.none", "the chance of none lies above 0 and below 1")
	msgWeight    = say.Define("identify.weight", "a weight is above zero")
	msgNothing   = say.Define("identify.nothing", "nothing was measured yet: the order below is no answer")
	saysSettled  = say.Define("identify.settled", "{title}: {chance:percent}")
	saysOpen     = say.Define("identify.open", "not settled: {title} leads with {chance:percent}")
	saysNone     = say.Define("identify.says_none", "none of the sheets: {chance:percent}")
	saysNext     = say.Define("identify.says_next", "measure next: {what:message} ({bits:number} bit, about {minutes:number} min)")
	warnMisfit   = say.Define("identify.misfit", "{title}: {what:message} does not fit ({times:number} standard deviations off)")
	warnCount    = say.Define("identify.misfit_count", "{title}: {what:message} does not fit ({found} against {wanted})")
	warnUnstated = say.Define("identify.unstated", "{title} does not state: {whats:list}")
	warnSame     = say.Define("identify.same", "{first} and {second} are alike in all that was measured and all that can be")
)

// Rank ranks the sheets.
//
// Errors: a Problem naming sheets, measured[i].what, measured[i].value,
// measured[i].u, none or prior.
func Rank(in Input) (*Result, error) {
	whats := Whats()
	if err := check(in, whats); err != nil {
		return nil, err
	}
	m := newModel(in, whats)
	log := m.start()
	for _, k := range in.Measured {
		w := m.byID[k.What]
		for i := range log {
			log[i] += math.Log(m.likelihood(w, i, k))
		}
	}
	p := normalised(log)
	r := &Result{Input: in, None: p[len(p)-1], Entropy: entropy(p)}
	for i, s := range in.Sheets {
		c := Candidate{Sheet: s, Probability: p[i]}
		for _, k := range in.Measured {
			c.Fits = append(c.Fits, m.fit(m.byID[k.What], i, k))
		}
		r.Candidates = append(r.Candidates, c)
	}
	sort.SliceStable(r.Candidates, func(a, b int) bool { return r.Candidates[a].Probability > r.Candidates[b].Probability })
	r.Next = m.next(in, p)
	r.say()
	return r, nil
}

func check(in Input, whats []What) error {
	if len(in.Sheets) == 0 {
		return say.Refuse("sheets", "", msgNoSheets.With(), say.Message{})
	}
	names := map[string]bool{}
	for i, s := range in.Sheets {
		if names[s.Name] {
			return say.Refuse(fmt.Sprintf("sheets[%d]", i), s.Name, msgTwice.With(s.Name), say.Message{})
		}
		names[s.Name] = true
	}
	if n := in.None; n != nil && !(*n > 0 && *n < 1) {
		return say.Refuse("none", fmt.Sprint(*n), msgNone.With(), say.Message{})
	}
	for name, w := range in.Prior {
		if !(w > 0) || math.IsInf(w, 1) {
			return say.Refuse("prior."+name, fmt.Sprint(w), msgWeight.With(), say.Message{})
		}
	}
	ids := make([]string, len(whats))
	byID := map[string]*What{}
	for i := range whats {
		ids[i] = whats[i].ID
		byID[whats[i].ID] = &whats[i]
	}
	seen := map[string]bool{}
	for i, k := range in.Measured {
		at := fmt.Sprintf("measured[%d]", i)
		w := byID[k.What]
		switch {
		case w == nil:
			return say.Refuse(at+".what", k.What, msgWhat.With(), msgWhatsAre.With(ids))
		case seen[k.What]:
			return say.Refuse(at+".what", k.What, msgAgain.With(k.What), say.Message{})
		case w.Words != nil:
			if !has(w.Words, k.Word) {
				return say.Refuse(at+".value", k.Word, msgWord.With(), msgWordsAre.With(w.Words))
			}
		case w.Count() && (k.Value != math.Trunc(k.Value) || !(k.Value > 0 && k.Value < 1e4)):
			return say.Refuse(at+".value", fmt.Sprint(k.Value), msgCount.With(), say.Message{})
		case !(k.Value > 0) || math.IsInf(k.Value, 1):
			return say.Refuse(at+".value", fmt.Sprint(k.Value), msgPositive.With(), say.Message{})
		case !(k.U >= 0) || math.IsInf(k.U, 1):
			return say.Refuse(at+".u", fmt.Sprint(k.U), msgU.With(), say.Message{})
		}
		seen[k.What] = true
	}
	return nil
}

func has(list []string, want string) bool {
	for _, s := range list {
		if s == want {
			return true
		}
	}
	return false
}

func title(s *sheet.Sheet) string {
	if s.Title != "" {
		return s.Title
	}
	return s.Name
}

// say puts the answer in words.
func (r *Result) say() {
	first := r.Candidates[0]
	switch {
	case len(r.Input.Measured) == 0:
		r.Warnings = append(r.Warnings, msgNothing.With())
	case r.None >= settledFrom || r.None > first.Probability:
		r.Settled = r.None >= settledFrom
		r.Says = append(r.Says, saysNone.With(r.None))
	case first.Probability >= settledFrom:
		r.Settled = true
		r.Says = append(r.Says, saysSettled.With(title(first.Sheet), first.Probability))
	default:
		r.Says = append(r.Says, saysOpen.With(title(first.Sheet), first.Probability))
	}
	if !r.Settled && len(r.Next) > 0 {
		n := r.Next[0]
		r.Says = append(r.Says, saysNext.With(n.Name, n.Bits, n.Minutes))
	}
	if first.Probability < r.None {
		return
	}
	var unstated []string
	for _, f := range first.Fits {
		switch {
		case f.Nominal == nil && f.Word == "":
			unstated = append(unstated, f.What.Name.String())
		case f.Fits:
		case f.What.Words != nil:
			r.Warnings = append(r.Warnings, warnCount.With(title(first.Sheet), f.What.Name, f.Measured.Word, f.Word))
		case f.What.Count():
			r.Warnings = append(r.Warnings, warnCount.With(title(first.Sheet), f.What.Name, fmt.Sprint(f.Measured.Value), fmt.Sprint(*f.Nominal)))
		default:
			r.Warnings = append(r.Warnings, warnMisfit.With(title(first.Sheet), f.What.Name, f.Deviations))
		}
	}
	if len(unstated) > 0 {
		r.Warnings = append(r.Warnings, warnUnstated.With(title(first.Sheet), unstated))
	}
	if !r.Settled && len(r.Next) > 0 && r.Next[0].Bits < 0.01 && len(r.Candidates) > 1 && r.Candidates[1].Probability > 0.2 {
		r.Warnings = append(r.Warnings, warnSame.With(title(first.Sheet), title(r.Candidates[1].Sheet)))
	}
}

var (
	nameChance  = say.Define("identify.name_chance", "chance of {title}")
	nameNone    = say.Define("identify.name_none", "chance that it is none of them")
	nameSize    = say.Define("identify.name_size", "{what:message}, measured")
	namePrior   = say.Define("identify.name_prior", "chance of none before anything was measured")
	sourceBayes = "Bayes' rule; spreads are our own convention"
)

// Working returns how the chances came about.
func (r *Result) Working() *working.Node {
	none := noneBefore
	if r.Input.None != nil {
		none = *r.Input.None
	}
	root := &working.Node{ID: "identify.none", Name: nameNone.With(), Symbol: "P", Value: r.None, Equation: "P(none | x) = P(none)·Π P(x | none) / Σ", Source: sourceBayes,
		Inputs: []*working.Node{working.Number("identify.prior", namePrior.With(), "", none, "input none")}}
	var leaves []*working.Node
	for _, k := range r.Input.Measured {
		for _, w := range Whats() {
			if w.ID != k.What {
				continue
			}
			n := &working.Node{ID: "identify.measured." + k.What, Name: nameSize.With(w.Name), Dimension: w.Dimension, Value: k.Value, U: k.U, Ref: "input measured " + k.What}
			if w.Words != nil {
				n.Text = k.Word
			}
			leaves = append(leaves, n)
		}
	}
	for i, c := range r.Candidates {
		if i == 5 {
			break
		}
		n := &working.Node{ID: "identify." + strings.ReplaceAll(c.Sheet.Name, ".", "_"), Name: nameChance.With(title(c.Sheet)), Symbol: "P", Value: c.Probability,
			Source: sourceBayes}
		if len(leaves) > 0 {
			n.Equation = "P(model | x) ∝ P(model)·Π P(x | model)"
			n.Inputs = leaves
		}
		root.Inputs = append(root.Inputs, n)
	}
	return root
}

// Quantity shows a measured value in the dimension of what it is.
func (w *What) Quantity(v float64) say.Shower {
	return shown{w.Dimension, v}
}

type shown struct {
	dimension quantity.Dimension
	v         float64
}

func (s shown) Show(style say.Style) string { return quantity.Show(s.dimension, s.v, style) }
