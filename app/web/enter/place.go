// Package enter is the way in and out: the first set-up of a shop, signing in
// with a password, switching person with a PIN on a tablet that the shop has
// paired, signing out. What was typed on a tablet waits there until its writer
// is back.
package enter

import (
	"net"
	"net/http"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
)

// Place is the way in and out.
func Place() frame.Place {
	return frame.Place{Routes: []frame.Route{
		{Pattern: "GET /sign-in", Handle: showSignIn, Open: true},
		{Pattern: "POST /sign-in", Handle: signIn, Open: true},
		{Pattern: "POST /sign-out", Handle: signOut, Open: true},
		{Pattern: "GET /set-up", Handle: showSetUp, Open: true},
		{Pattern: "POST /set-up", Handle: setUp, Open: true},
		{Pattern: "POST /pair", Handle: pair, Open: true},
	}}
}

// tabletCookie holds the secret of a paired tablet.
const tabletCookie = "tablet"

// tabletHolds is how long a browser keeps the secret of a tablet.
const tabletHolds = 2 * 365 * 24 * time.Hour

// signInPage is what the page of signing in shows.
type signInPage struct {
	v       *frame.Visit
	next    string
	person  string // as typed, or tapped
	problem say.Shower
	tablet  shop.Tablet
	people  []shop.Person // who may switch on this tablet
}

func showSignIn(v *frame.Visit) error {
	needed, err := v.Shop.NeedsSetUp(v.Context())
	if err != nil {
		return err
	}
	if needed {
		return v.Go("/set-up")
	}
	return ask(v, v.FormValue("next"), "", nil)
}

func ask(v *frame.Visit, next, person string, problem say.Shower) error {
	p := &signInPage{v: v, next: frame.Local(next, "/"), person: person, problem: problem}
	if c, err := v.Cookie(tabletCookie); err == nil {
		tablet, _, people, err := v.Shop.TabletPeople(v.Context(), c.Value)
		if err == nil {
			p.tablet, p.people = tablet, people
		} else if say.AsProblem(err) == nil {
			return err
		}
	}
	status := http.StatusOK
	if problem != nil {
		status = http.StatusUnprocessableEntity
	}
	return v.Show(frame.Page{Title: wordSignIn.With(), Plain: true, Status: status, Body: signInBody(p)})
}

func signIn(v *frame.Visit) error {
	next, person := v.FormValue("next"), v.FormValue("person")
	a := access.Attempt{Person: person, Password: v.FormValue("password"), PIN: v.FormValue("pin"), Address: addressOf(v.Request)}
	if c, err := v.Cookie(tabletCookie); err == nil {
		a.Device = c.Value
	}
	token, _, id, err := v.Shop.SignIn(v.Context(), a)
	if p := say.AsProblem(err); p != nil {
		return ask(v, next, person, frame.Bare(p))
	}
	if err != nil {
		return err
	}
	if c, err := v.Cookie(frame.SessionCookie); err == nil { // the one before leaves
		if err := v.Shop.SignOut(v.Context(), c.Value); err != nil {
			return err
		}
	}
	v.SetCookie(frame.SessionCookie, token, time.Until(id.Expires))
	return v.Go(frame.Local(next, "/"))
}

func signOut(v *frame.Visit) error {
	if c, err := v.Cookie(frame.SessionCookie); err == nil {
		if err := v.Shop.SignOut(v.Context(), c.Value); err != nil {
			return err
		}
	}
	v.SetCookie(frame.SessionCookie, "", -time.Second)
	return v.Go("/sign-in")
}

func showSetUp(v *frame.Visit) error {
	needed, err := v.Shop.NeedsSetUp(v.Context())
	if err != nil {
		return err
	}
	if !needed {
		return v.Go("/sign-in")
	}
	return v.Show(frame.Page{Title: wordSetUp.With(), Plain: true, Body: setUpBody(v, shop.SetUp{}, nil)})
}

func setUp(v *frame.Visit) error {
	u := shop.SetUp{Shop: v.FormValue("shop"), Person: v.FormValue("person"), Name: v.FormValue("name"), Password: v.FormValue("password"), Units: v.FormValue("units")}
	err := v.Shop.SetUpShop(v.Context(), u)
	if p := say.AsProblem(err); p != nil {
		u.Password = ""
		return v.Show(frame.Page{Title: wordSetUp.With(), Plain: true, Status: http.StatusUnprocessableEntity, Body: setUpBody(v, u, p)})
	}
	if err != nil {
		return err
	}
	token, _, id, err := v.Shop.SignIn(v.Context(), access.Attempt{Person: u.Person, Password: u.Password, Address: addressOf(v.Request)})
	if err != nil {
		return err
	}
	v.SetCookie(frame.SessionCookie, token, time.Until(id.Expires))
	return v.Go("/")
}

// pair makes this browser a tablet of the shop.
func pair(v *frame.Visit) error {
	secret, _, err := v.Shop.Pair(v.Context(), v.FormValue("code"), addressOf(v.Request))
	if p := say.AsProblem(err); p != nil {
		return ask(v, "/", "", frame.Bare(p))
	}
	if err != nil {
		return err
	}
	v.SetCookie(tabletCookie, secret, tabletHolds)
	return v.Go("/sign-in")
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
