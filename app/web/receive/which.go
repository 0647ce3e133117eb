package receive

import (
	"math"
	"net/http"
	"net/url"
	"strings"
	"unicode"
	"unicode/utf8"

	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/identify"
)

var (
	wordWhichTitle = say.Define("receive.which_title", "Which pump is this?")
	wordWhichSay   = say.Define("receive.which_say", "Measure what can be reached, leave the rest empty, and ask. Each answer says what to measure next. A number without a unit is taken in {unit}; 79 ± 1 mm says how sure it is.")
	wordWhichProof = say.Define("receive.which_proof", "A likely model is no proof: compare with the maker's manual before a part is ordered or a limit is used.")
	wordOutsideOf  = say.Define("receive.which_outside", "From outside")
	wordInside     = say.Define("receive.which_inside", "With the pump open")
	wordMinutes    = say.Define("receive.which_minutes", "about {minutes:number} min")
	wordNotLooked  = say.Define("receive.which_not_looked", "not looked at")
	wordAsk        = say.Define("receive.which_ask", "Ask")
	wordRank       = say.Define("receive.which_rank", "The models, most likely first")
	wordNoneOf     = say.Define("receive.which_none", "None of them")
	wordNoneSay    = say.Define("receive.which_none_say", "Then it needs a model sheet of its own: copy one that is near, and change what differs.")
	wordToPapers   = say.Define("receive.which_papers", "Model sheets")
	wordTake       = say.Define("receive.which_take", "Receive it as this model")
	wordTakeFull   = say.Define("receive.which_take_full", "Receive it as this model: {title}")
	wordWithout    = say.Define("receive.which_without", "Receive it without a model sheet")
	wordFits       = say.Define("receive.which_fits", "{what:message}: {read}, the sheet says {wanted}: fits")
	wordMisfits    = say.Define("receive.which_misfits", "{what:message}: {read}, the sheet says {wanted}: does not fit")
	wordUnstated   = say.Define("receive.which_unstated", "{what:message}: {read}; the sheet does not say")
	wordNextHead   = say.Define("receive.which_next", "What would tell most for its time")
	wordNextOne    = say.Define("receive.which_next_one", "{what:message}: {bits:number} bit in about {minutes:number} min")
	wordNextOpen   = say.Define("receive.which_next_open", "{what:message}: {bits:number} bit in about {minutes:number} min, the pump must be opened")
	wordChanceOf   = say.Define("receive.which_chance", "chance {chance:percent}")
	wordPercent    = say.Define("receive.which_percent", "{chance:percent}")
	wordNoSheet    = say.Define("receive.which_no_sheet", "The shop has no model sheet yet to compare with.")
)

// asked is the question which pump it is, with the answer.
type asked struct {
	v        *frame.Visit
	unit     string
	whats    []identify.What
	typed    url.Values
	problem  *say.Problem
	result   *identify.Result
	measured bool
}

// which asks which pump it is: everything stands in the address, so that it
// can be sent to somebody else.
func which(v *frame.Visit) error {
	a := &asked{v: v, unit: v.View.LengthUnits()[0], whats: identify.Whats(), typed: v.URL.Query()}
	var measured []identify.Measurement
	for i := range a.whats {
		w := &a.whats[i]
		text := strings.TrimSpace(a.typed.Get(w.ID))
		if text == "" {
			continue
		}
		m, err := w.Read(text, a.unitOf(w))
		if a.problem = frame.Refusal(err); a.problem != nil {
			return a.show(http.StatusUnprocessableEntity)
		}
		measured = append(measured, m)
	}
	a.measured = len(measured) > 0
	var err error
	a.result, err = v.Shop.WhichPump(v.Context(), v.Visitor.Scope, measured)
	if p := frame.Refusal(err); p != nil {
		if p.Field == "sheets" {
			return a.show(http.StatusOK)
		}
		a.problem = a.named(p, measured)
		return a.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return a.show(http.StatusOK)
}

// named gives a problem of a measurement the name of its field.
func (a *asked) named(p *say.Problem, measured []identify.Measurement) *say.Problem {
	for i, m := range measured {
		if strings.HasPrefix(p.Field, "measured["+number(i)+"]") {
			copied := *p
			copied.Field = m.What
			return &copied
		}
	}
	return p
}

func (a *asked) unitOf(w *identify.What) string {
	if w.ID == "mass" {
		if a.v.View.Inch() {
			return "lb"
		}
		return "kg"
	}
	return a.unit
}

func (a *asked) show(status int) error {
	return a.v.Show(frame.Page{Title: wordWhichTitle.With(), Plain: true, Status: status, Body: whichBody(a)})
}

// some are what is measured from outside, or with the pump open.
func (a *asked) some(open bool) []*identify.What {
	var list []*identify.What
	for i := range a.whats {
		if a.whats[i].Opens == open {
			list = append(list, &a.whats[i])
		}
	}
	return list
}

// anyInside reports whether something inside was typed or is wrong.
func (a *asked) anyInside() bool {
	for _, w := range a.some(true) {
		if a.typed.Get(w.ID) != "" {
			return true
		}
	}
	return false
}

func (a *asked) wrong(id string) *say.Problem {
	if a.problem != nil && a.problem.Field == id {
		return a.problem
	}
	return nil
}

// fit says how one measurement lies to a sheet.
func (a *asked) fit(f *identify.Fit) say.Message {
	read := a.typed.Get(f.What.ID)
	wanted := f.Word
	if f.Nominal != nil {
		wanted = f.What.Quantity(*f.Nominal).Show(a.v.View.Style)
	}
	switch {
	case wanted == "":
		return wordUnstated.With(f.What.Name, read)
	case f.Fits:
		return wordFits.With(f.What.Name, read, wanted)
	}
	return wordMisfits.With(f.What.Name, read, wanted)
}

// receiving is the address that receives the pump as a model.
func (a *asked) receiving(sheet string) string {
	q := url.Values{}
	for _, name := range []string{"tag", "serial"} {
		if text := a.typed.Get(name); text != "" {
			q.Set(name, text)
		}
	}
	if sheet != "" {
		q.Set("sheet", sheet)
	}
	return "/receive?" + q.Encode()
}

// fewNext are the measurements that are proposed.
func (a *asked) fewNext() []identify.Next {
	list := a.result.Next
	return list[:min(4, len(list))]
}

func nextWords(n *identify.Next) say.Message {
	if n.Opens {
		return wordNextOpen.With(n.Name, hundredths(n.Bits), n.Minutes)
	}
	return wordNextOne.With(n.Name, hundredths(n.Bits), n.Minutes)
}

func titleOfSheet(c *identify.Candidate) string {
	if c.Sheet.Title != "" {
		return c.Sheet.Title
	}
	return c.Sheet.Name
}

func hundredths(v float64) float64 { return math.Round(100*v) / 100 }

// capital begins a text with a capital.
func capital(text string) string {
	for i, r := range text {
		return string(unicode.ToUpper(r)) + text[i+utf8.RuneLen(r):]
	}
	return text
}
