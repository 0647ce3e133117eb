// Package people is the place of the people of a shop: who there is and in
// which roles, their passwords, PINs and sign-ins, and the tablets that the
// shop has paired. A lead looks after all of them; everybody after his own
// password, PIN and sign-ins.
package people

import (
	"errors"
	"net"
	"net/http"
	"net/url"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Place is the place of the people.
func Place() frame.Place {
	return frame.Place{
		Menu: wordPeople.With(), Address: "/people", Needs: access.WritePeople,
		Routes: []frame.Route{
			{Pattern: "GET /people", Handle: list},
			{Pattern: "POST /people", Handle: add},
			{Pattern: "GET /people/{person}", Handle: show},
			{Pattern: "POST /people/{person}", Handle: change},
			{Pattern: "POST /people/{person}/end", Handle: end},
			{Pattern: "POST /people/{person}/forget", Handle: forget},
			{Pattern: "POST /people/{person}/password", Handle: password},
			{Pattern: "POST /people/{person}/pin", Handle: pin},
			{Pattern: "POST /people/{person}/sign-ins", Handle: endSignIns},
			{Pattern: "POST /people-language", Handle: takeLanguage},
			{Pattern: "POST /tablets", Handle: pairing},
			{Pattern: "POST /tablets/{tablet}/end", Handle: unpair},
		},
	}
}

// Own is the place where everybody looks after his own sign-in.
func Own() frame.Place {
	return frame.Place{
		Menu: wordOwn.With(), Address: "/own",
		Routes: []frame.Route{{Pattern: "GET /own", Handle: func(v *frame.Visit) error { return showOne(v, v.Visitor.Person) }}},
	}
}

// roster is the page of all people and tablets.
type roster struct {
	v        *frame.Visit
	people   []shop.Person
	tablets  []shop.Tablet
	now      record.Time
	ended    bool
	language string // of the shop

	typed   shop.Person // of the form that adds
	problem *say.Problem

	tablet     string // as typed
	tabletWhy  *say.Problem
	code       string // shown once
	codeTablet shop.Tablet
}

func (r *roster) show(status int) error {
	var err error
	if r.people, err = r.v.Shop.People(r.v.Context(), r.v.Visitor.Scope); err != nil {
		return err
	}
	if r.tablets, err = r.v.Shop.Tablets(r.v.Context(), r.v.Visitor.Scope); err != nil {
		return err
	}
	if r.language, err = r.v.Shop.Language(r.v.Context(), r.v.Visitor.Site); err != nil {
		return err
	}
	r.now = record.TimeOf(time.Now())
	return r.v.Show(frame.Page{Title: wordPeople.With(), Plain: true, Status: status, Body: rosterBody(r)})
}

func list(v *frame.Visit) error {
	r := &roster{v: v, ended: v.URL.Query().Has("ended")}
	return r.show(http.StatusOK)
}

// typed reads the form of a person.
func typed(v *frame.Visit, id string) (shop.Person, error) {
	if err := v.ParseForm(); err != nil {
		return shop.Person{}, err
	}
	get := func(name string) string { return strings.TrimSpace(v.PostForm.Get(name)) }
	p := shop.Person{ID: id, Name: get("name"), Owner: get("owner"), Units: get("units"), Language: get("language")}
	if id == "" {
		p.ID = get("id")
	}
	for _, r := range v.PostForm["roles"] {
		p.Roles = append(p.Roles, access.Role(r))
	}
	return p, nil
}

func add(v *frame.Visit) error {
	p, err := typed(v, "")
	if err != nil {
		return err
	}
	_, err = find(v, p.ID)
	switch {
	case err == nil:
		err = say.Refuse("id", p.ID, wordTaken.With(), wordOther.With())
	case errors.Is(err, shop.ErrNotFound):
		err = v.Shop.SavePerson(v.Context(), v.Visitor.Scope, p)
	}
	if problem := frame.Refusal(err); problem != nil {
		r := &roster{v: v, typed: p, problem: problem}
		return r.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(address(p.ID) + "?added")
}

// find returns a person, to a lead.
func find(v *frame.Visit, id string) (shop.Person, error) {
	people, err := v.Shop.People(v.Context(), v.Visitor.Scope)
	if err != nil {
		return shop.Person{}, err
	}
	for _, p := range people {
		if p.ID == id {
			return p, nil
		}
	}
	return shop.Person{}, shop.ErrNotFound
}

// takeLanguage settles the language of the shop.
func takeLanguage(v *frame.Visit) error {
	err := v.Shop.SaveSettings(v.Context(), v.Visitor.Scope, shop.NewFact{}, map[string]any{"language": v.FormValue("language")})
	if err != nil {
		return err
	}
	return v.Go("/people")
}

func pairing(v *frame.Visit) error {
	name := strings.TrimSpace(v.FormValue("name"))
	code, tablet, err := v.Shop.PairingCode(v.Context(), v.Visitor.Scope, name)
	if problem := frame.Refusal(err); problem != nil {
		r := &roster{v: v, tablet: name, tabletWhy: problem}
		return r.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	r := &roster{v: v, code: code, codeTablet: tablet}
	return r.show(http.StatusOK)
}

func unpair(v *frame.Visit) error {
	if err := v.Shop.Unpair(v.Context(), v.Visitor.Scope, v.PathValue("tablet")); err != nil {
		return err
	}
	return v.Go("/people?ended")
}

func address(person string) string { return "/people/" + url.PathEscape(person) }

// when prints a moment on the clock of the shop.
func when(t record.Time) say.Moment {
	if t == 0 {
		return "–"
	}
	return say.Moment(t.Time().In(time.Local).Format("2006-01-02 15:04"))
}

// addressOf is where a request came from. Headers that a sender can write
// himself count for nothing.
func addressOf(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		return r.RemoteAddr
	}
	return host
}
