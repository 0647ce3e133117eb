// Package instruments is the place of the shop's measuring instruments: which
// there are, what their certificates say and until when, and which may carry
// no decision any more.
package instruments

import (
	"cmp"
	"errors"
	"maps"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/draw"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/metrology"
	"pumpwright/calc/say"
)

// Place is the place of the instruments.
func Place() frame.Place {
	return frame.Place{
		Menu: wordTools.With(), Address: "/instruments", Needs: access.ReadShop,
		Routes: []frame.Route{
			{Pattern: "GET /instruments", Handle: list},
			{Pattern: "POST /instruments", Handle: add},
			{Pattern: "GET /instruments/{instrument}", Handle: show},
			{Pattern: "POST /instruments/{instrument}", Handle: correct},
		},
	}
}

// soon is how early it is said that a calibration ends.
const soon = 30 * 24 * time.Hour

// line is an instrument in the list.
type line struct {
	shop.Instrument
	standing metrology.Standing
}

func lineOf(in shop.Instrument, now time.Time) line {
	y, m, d := now.In(time.Local).Date() // a calibration ends with a day of the shop
	standing, _ := in.Metrology().StandingOn(time.Date(y, m, d, 12, 0, 0, 0, time.UTC), soon)
	return line{in, standing}
}

// words say how an instrument stands.
func (l line) words() say.Message {
	switch l.standing {
	case metrology.FailedCheck:
		return wordFailed.With(l.FailedOn)
	case metrology.Overdue:
		return wordOverdue.With(l.Due)
	case metrology.DueSoon:
		return wordSoon.With(l.Due)
	case metrology.Uncalibrated:
		return wordUnknown.With()
	}
	return wordInDate.With(l.Due)
}

// state is the mark that goes with the words.
func (l line) state() draw.State {
	switch l.standing {
	case metrology.FailedCheck, metrology.Overdue:
		return draw.PastLimit
	case metrology.DueSoon:
		return draw.Worn
	case metrology.Uncalibrated:
		return draw.NotRead
	}
	return draw.Good
}

func address(id string) string { return "/instruments/" + url.PathEscape(id) }

// page is the list with the form of a new one.
type page struct {
	v       *frame.Visit
	lines   []line
	kinds   []string
	form    *form
	writes  bool
	no      int // how many may carry no decision
	problem *say.Problem
}

func (p *page) show(status int) error {
	all, err := p.v.Shop.Instruments(p.v.Context(), p.v.Visitor.Scope)
	if err != nil {
		return err
	}
	now := time.Now()
	for _, in := range all {
		l := lineOf(in, now)
		if !l.standing.MayDecide() {
			p.no++
		}
		p.lines = append(p.lines, l)
	}
	slices.SortStableFunc(p.lines, func(a, b line) int { // what wants something comes first
		return cmp.Or(order[a.standing]-order[b.standing], strings.Compare(a.Due, b.Due))
	})
	p.kinds = kindsOf(all)
	p.writes = p.v.Visitor.May(access.WriteTools)
	return p.v.Show(frame.Page{Title: wordTools.With(), Plain: true, Status: status, Body: listBody(p)})
}

var order = map[metrology.Standing]int{metrology.FailedCheck: 0, metrology.Overdue: 1, metrology.Uncalibrated: 2, metrology.DueSoon: 3, metrology.InDate: 4}

func list(v *frame.Visit) error {
	p := &page{v: v, form: &form{entry: frame.NewID()}}
	return p.show(http.StatusOK)
}

func add(v *frame.Visit) error {
	f, err := typed(v)
	if err != nil {
		return err
	}
	before, err := find(v, f.id)
	switch {
	case errors.Is(err, shop.ErrNotFound):
		err = f.save(v, map[string]any{})
	case err == nil && !v.Visitor.May(access.WriteTools):
		err = f.save(v, before.Fields) // says who may
	case err == nil:
		err = say.Refuse("id", f.id, wordTaken.With(), wordFirst.With())
	}
	if problem := frame.Refusal(err); problem != nil {
		p := &page{v: v, form: f, problem: problem}
		return p.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(address(f.id) + "?kept")
}

// find returns an instrument.
func find(v *frame.Visit, id string) (shop.Instrument, error) {
	all, err := v.Shop.Instruments(v.Context(), v.Visitor.Scope)
	if err != nil {
		return shop.Instrument{}, err
	}
	for _, in := range all {
		if in.ID == id {
			return in, nil
		}
	}
	return shop.Instrument{}, shop.ErrNotFound
}

// one is the page of an instrument.
type one struct {
	v       *frame.Visit
	line    line
	by      string // who wrote last
	kinds   []string
	form    *form
	writes  bool
	kept    bool
	problem *say.Problem
}

func (o *one) show(status int) error {
	all, err := o.v.Shop.Instruments(o.v.Context(), o.v.Visitor.Scope)
	if err != nil {
		return err
	}
	o.kinds, o.writes, o.by = kindsOf(all), o.v.Visitor.May(access.WriteTools), o.line.By
	if o.v.Visitor.May(access.ReadNames) {
		names, err := o.v.Shop.Names(o.v.Context(), o.v.Visitor.Scope)
		if err != nil {
			return err
		}
		if name := names[o.by]; name != "" {
			o.by = name
		}
	}
	return o.v.Show(frame.Page{Title: say.Plain(o.line.ID), Plain: true, Status: status, Body: oneBody(o)})
}

func show(v *frame.Visit) error {
	in, err := find(v, v.PathValue("instrument"))
	if err != nil {
		return err
	}
	o := &one{v: v, line: lineOf(in, time.Now()), form: formOf(in), kept: v.URL.Query().Has("kept")}
	return o.show(http.StatusOK)
}

func correct(v *frame.Visit) error {
	in, err := find(v, v.PathValue("instrument"))
	if err != nil {
		return err
	}
	f, err := typed(v)
	if err != nil {
		return err
	}
	f.id = in.ID
	err = f.save(v, in.Fields)
	if problem := frame.Refusal(err); problem != nil {
		o := &one{v: v, line: lineOf(in, time.Now()), form: f, problem: problem}
		return o.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(address(in.ID) + "?kept")
}

// form is what was typed about an instrument.
type form struct {
	entry string // id of the entry, so that a form sent twice is one
	id    string
	texts map[string]string
}

// asked are the fields of the form, by their names in the ledger.
var asked = []string{"kind", "name", "resolution", "calibration_u", "repeatability", "due", "failed_on"}

func typed(v *frame.Visit) (*form, error) {
	if err := v.ParseForm(); err != nil {
		return nil, err
	}
	f := &form{entry: v.PostForm.Get("entry"), id: strings.TrimSpace(v.PostForm.Get("id")), texts: map[string]string{}}
	for _, name := range asked {
		f.texts[name] = strings.TrimSpace(v.PostForm.Get(name))
	}
	return f, nil
}

func formOf(in shop.Instrument) *form {
	f := &form{entry: frame.NewID(), id: in.ID, texts: map[string]string{}}
	for _, name := range asked {
		f.texts[name] = textOf(in.Fields[name])
	}
	return f
}

// textOf is a field as it was written: a text, or a group of value and page.
func textOf(field any) string {
	switch x := field.(type) {
	case string:
		return x
	case map[string]any:
		text, _ := x["value"].(string)
		return text
	}
	return ""
}

// save keeps what was typed over what was written before.
func (f *form) save(v *frame.Visit, before map[string]any) error {
	fields := maps.Clone(before)
	fields["id"] = f.id
	for name, text := range f.texts {
		switch {
		case text == "":
			delete(fields, name)
		case text != textOf(fields[name]):
			fields[name] = text
		}
	}
	_, err := v.Shop.SaveInstrument(v.Context(), v.Visitor.Scope, shop.NewFact{ID: f.entry}, fields)
	return err
}

// usualKinds are offered besides those that the shop has.
var usualKinds = []string{"outside micrometer", "bore gauge", "depth micrometer", "depth gauge", "dial indicator", "feeler gauge", "caliper", "straightedge", "torque wrench"}

func kindsOf(all []shop.Instrument) []string {
	kinds := slices.Clone(usualKinds)
	for _, in := range all {
		kinds = append(kinds, in.Kind)
	}
	slices.Sort(kinds)
	return slices.Compact(kinds)
}
