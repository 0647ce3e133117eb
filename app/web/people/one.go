package people

import (
	"net/http"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// file is the page of one person.
type file struct {
	v       *frame.Visit
	person  shop.Person
	lead    bool // looks after all people; else the page is somebody's own
	own     bool
	signIns []shop.SignInRow
	tablets map[string]string // names by id
	said    say.Message       // what was just done

	form    string // which form was refused
	problem *say.Problem
}

// wrong returns what is wrong about a form.
func (f *file) wrong(form string) *say.Problem {
	if f.form == form {
		return f.problem
	}
	return nil
}

// open gathers what the page of a person shows. Whoever is no lead gets only
// his own.
func open(v *frame.Visit, id string) (*file, error) {
	f := &file{v: v, own: id == v.Visitor.Person, lead: v.Visitor.May(access.WritePeople), tablets: map[string]string{}}
	if f.own && !f.lead {
		f.person = shop.Person{ID: id, Name: v.Visitor.Name}
	} else {
		var err error
		if f.person, err = find(v, id); err != nil {
			return nil, err
		}
		tablets, err := v.Shop.Tablets(v.Context(), v.Visitor.Scope)
		if err != nil {
			return nil, err
		}
		for _, t := range tablets {
			f.tablets[t.ID] = t.Name
		}
	}
	var err error
	f.signIns, err = v.Shop.SignIns(v.Context(), v.Visitor.Scope, id)
	return f, err
}

func (f *file) show(status int) error {
	title := say.Plain(f.person.Name)
	if !f.lead {
		title = wordOwn.With()
	}
	return f.v.Show(frame.Page{Title: title, Plain: true, Status: status, Body: fileBody(f)})
}

func show(v *frame.Visit) error { return showOne(v, v.PathValue("person")) }

func showOne(v *frame.Visit, id string) error {
	f, err := open(v, id)
	if err != nil {
		return err
	}
	for name, said := range map[string]say.Message{"added": wordAdded.With(), "changed": wordChanged.With(), "ended": wordEnded.With()} {
		if v.URL.Query().Has(name) {
			f.said = said
		}
	}
	return f.show(http.StatusOK)
}

// refuse shows the page again with what is wrong about one of its forms.
func refuse(v *frame.Visit, id, form string, problem *say.Problem, with func(*file)) error {
	f, err := open(v, id)
	if err != nil {
		return err
	}
	f.form, f.problem = form, problem
	if with != nil {
		with(f)
	}
	return f.show(http.StatusUnprocessableEntity)
}

// done ends a form: with what is wrong about it, or on the page of the person.
func done(v *frame.Visit, id, form, said string, err error, with func(*file)) error {
	if problem := frame.Refusal(err); problem != nil {
		return refuse(v, id, form, problem, with)
	}
	if err != nil {
		return err
	}
	if !v.Visitor.May(access.WritePeople) {
		return v.Go("/own?" + said)
	}
	return v.Go(address(id) + "?" + said)
}

func change(v *frame.Visit) error {
	id := v.PathValue("person")
	was, err := find(v, id)
	if err != nil {
		return err
	}
	p, err := typed(v, id)
	if err != nil {
		return err
	}
	p.Away = was.Away
	err = v.Shop.SavePerson(v.Context(), v.Visitor.Scope, p)
	return done(v, id, "change", "changed", err, func(f *file) {
		p.Password, p.PIN = f.person.Password, f.person.PIN
		f.person = p
	})
}

// end lets a person in no more, or again.
func end(v *frame.Visit) error {
	p, err := find(v, v.PathValue("person"))
	if err != nil {
		return err
	}
	p.Away = v.FormValue("do") != "back"
	err = v.Shop.SavePerson(v.Context(), v.Visitor.Scope, p)
	return done(v, p.ID, "end", "changed", err, nil)
}

func forget(v *frame.Visit) error {
	p, err := find(v, v.PathValue("person"))
	if err != nil {
		return err
	}
	if v.FormValue("sure") == "" {
		err = say.Refuse("sure", "", wordSayYes.With(), wordTickIt.With())
	} else {
		err = v.Shop.ForgetPerson(v.Context(), v.Visitor.Scope, p.ID)
	}
	return done(v, p.ID, "forget", "changed", err, nil)
}

func password(v *frame.Visit) error {
	id := v.PathValue("person")
	err := v.Shop.SetPassword(v.Context(), v.Visitor.Scope, id, v.FormValue("old"), v.FormValue("password"), addressOf(v.Request))
	return done(v, id, "password", "changed", mayNot(v, id, err), nil)
}

func pin(v *frame.Visit) error {
	id := v.PathValue("person")
	err := v.Shop.SetPIN(v.Context(), v.Visitor.Scope, id, v.FormValue("old"), v.FormValue("pin"), addressOf(v.Request))
	return done(v, id, "pin", "changed", mayNot(v, id, err), nil)
}

// mayNot turns away whoever tries to change the secrets of another without
// being a lead: the page of that person is not for him.
func mayNot(v *frame.Visit, id string, err error) error {
	if err != nil && id != v.Visitor.Person {
		if _, denied := find(v, id); denied != nil {
			return denied
		}
	}
	return err
}

func endSignIns(v *frame.Visit) error {
	id := v.PathValue("person")
	err := v.Shop.EndSignIns(v.Context(), v.Visitor.Scope, id, v.FormValue("id"))
	return done(v, id, "sign-ins", "ended", err, nil)
}
