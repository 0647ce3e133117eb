package web

import (
	"net/http"
	"time"

	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// personCookie says who somebody is in the demonstration.
const personCookie = "person"

// signIn is the address to which a browser is sent when nobody is signed in.
const signIn = "/sign-in"

// firstInDemo is the person whom the demonstration takes.
const firstInDemo = "tomas"

// who finds the person behind a request.
func (s *Server) who(r *http.Request) (frame.Visitor, error) {
	if s.config.Who != nil {
		return s.config.Who(), nil
	}
	if s.config.Demo {
		return s.inDemo(r)
	}
	cookie, err := r.Cookie(frame.SessionCookie)
	if err != nil {
		return frame.Visitor{}, frame.ErrNobody
	}
	scope, id, err := s.config.Shop.Resume(r.Context(), cookie.Value)
	if say.AsProblem(err) != nil {
		return frame.Visitor{}, frame.ErrNobody
	}
	if err != nil {
		return frame.Visitor{}, err
	}
	return frame.Visitor{Scope: scope, Name: id.Person.Name, Units: unitsOf(id.Person.Units), Language: id.Person.Language}, nil
}

func unitsOf(name string) say.Units {
	if name == say.Inch.String() {
		return say.Inch
	}
	return say.Metric
}

func (s *Server) inDemo(r *http.Request) (frame.Visitor, error) {
	people, err := s.config.Shop.DemoPeople(r.Context())
	if err != nil {
		return frame.Visitor{}, err
	}
	name := firstInDemo
	if c, err := r.Cookie(personCookie); err == nil {
		name = c.Value
	}
	for _, p := range people {
		if p.ID != name {
			continue
		}
		scope, err := s.config.Shop.DemoScope(r.Context(), p.ID)
		return frame.Visitor{Scope: scope, Name: p.Name, Units: unitsOf(p.Units), Language: p.Language, Others: people}, err
	}
	scope, err := s.config.Shop.DemoScope(r.Context(), firstInDemo)
	return frame.Visitor{Scope: scope, Name: firstInDemo, Others: people}, err
}

// takePerson takes another of the invented people.
func takePerson(v *frame.Visit) error {
	v.SetCookie(personCookie, v.FormValue("person"), 24*time.Hour)
	return v.Go(v.FormValue("next"))
}
