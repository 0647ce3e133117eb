package shop

import (
	"context"
	"errors"
	"slices"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
	"pumpwright/rebuild/job"
)

// People see the sites they belong to and no other: whoever belongs to two goes
// over with his sign-in, is another person there, and is out everywhere when
// he is out at home.
func TestPeopleOfSites(t *testing.T) {
	c := &clock{at: day}
	s := New(storetest.Open(t), Options{Now: c.now})
	t.Cleanup(func() { _ = s.Close() })
	ctx := t.Context()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(s.SetUpShop(ctx, SetUp{Shop: "Test Dock (invented)", Person: "ada", Name: "Ada Fell", Password: "loud kettle on the quay"}))
	must(s.AddSiteHere(ctx, "North Dock (invented)", Join{Person: "ada", Home: "main", Site: "north"}))
	main := Scope{Site: "main", Person: "ada", Roles: []access.Role{access.Lead}}
	must(s.SavePerson(ctx, main, Person{ID: "bo", Name: "Bo Stern", Roles: []access.Role{access.Technician}}))
	must(s.SavePerson(ctx, main, Person{ID: "cy", Name: "Cy Lund", Roles: []access.Role{access.Technician}}))
	for _, who := range []string{"bo", "cy"} {
		must(s.SetPassword(ctx, main, who, "", "slow ferry at dusk", "x"))
	}
	must(s.JoinHere(ctx, Join{Person: "bo", Home: "main", Site: "north", As: "bo-2", Roles: []access.Role{access.Lead}}))
	if err := s.JoinHere(ctx, Join{Person: "bo-2", Home: "north", Site: "main"}); err == nil {
		t.Error("a guest was taken for somebody at home")
	}
	signIn := func(person, password string) (string, Scope) {
		t.Helper()
		token, sc, _, err := s.SignIn(ctx, access.Attempt{Person: person, Password: password, Address: "a"})
		must(err)
		return token, sc
	}
	names := func(token string) (ids []string) {
		t.Helper()
		sites, err := s.Sites(ctx, token)
		must(err)
		for _, one := range sites {
			ids = append(ids, one.ID)
		}
		return ids
	}
	cy, _ := signIn("cy", "slow ferry at dusk")
	if got := names(cy); !slices.Equal(got, []string{"main"}) {
		t.Errorf("he belongs to %v", got)
	}
	for _, site := range []string{"north", "main", "nowhere", ""} {
		if _, _, err := s.GoTo(ctx, cy, site); !errors.Is(err, ErrNotFound) {
			t.Errorf("who does not belong to %q goes there: %v", site, err)
		}
	}
	bo, at := signIn("bo", "slow ferry at dusk")
	if _, err := s.Receive(ctx, main, Receipt{Job: "J-1", Open: job.Open{Tag: "P-1"}}); err != nil {
		t.Fatal(err)
	}
	if _, err := s.Job(ctx, at, "J-1"); err != nil {
		t.Errorf("at home: %v", err)
	}
	over, id, err := s.GoTo(ctx, bo, "north")
	must(err)
	there, _, err := s.Resume(ctx, over)
	must(err)
	if there.Site != "north" || there.Person != "bo-2" || id.Expires.After(day.Add(31*24*time.Hour)) || !slices.Equal(there.Roles, []access.Role{access.Lead}) {
		t.Errorf("over there he is %+v", there)
	}
	if _, _, err := s.Resume(ctx, bo); err == nil {
		t.Error("the sign-in he had still holds")
	}
	if _, err := s.Job(ctx, there, "J-1"); !errors.Is(err, ErrNotFound) {
		t.Errorf("over there he sees the job of home: %v", err)
	}
	people, err := s.People(ctx, there)
	must(err)
	for _, p := range people {
		if p.ID == "cy" || p.ID == "bo" {
			t.Errorf("over there he sees %s", p.ID)
		}
	}
	if got := names(over); !slices.Equal(got, []string{"main", "north"}) {
		t.Errorf("he belongs to %v", got)
	}
	// Out at home is out everywhere; a password that changes ends all sign-ins.
	must(s.SetPassword(ctx, main, "bo", "", "another slow ferry", "x"))
	if _, _, err := s.Resume(ctx, over); err == nil {
		t.Error("the password has changed at home, and the sign-in over there holds")
	}
	bo, _ = signIn("bo", "another slow ferry")
	over, _, err = s.GoTo(ctx, bo, "north")
	must(err)
	must(s.SavePerson(ctx, main, Person{ID: "bo", Name: "Bo Stern", Away: true}))
	if _, _, err := s.Resume(ctx, over); err == nil {
		t.Error("he is away at home and still in over there")
	}
	if _, _, _, err := s.SignIn(context.Background(), access.Attempt{Person: "bo-2@north", Password: "another slow ferry", Address: "b"}); err == nil {
		t.Error("a guest signs in without a password")
	}
	// The same name at two sites: who means the second says so.
	north := Scope{Site: "north", Person: "ada", Roles: []access.Role{access.Lead}}
	must(s.SavePerson(ctx, north, Person{ID: "cy", Name: "Cyd Moor", Roles: []access.Role{access.Technician}}))
	must(s.SetPassword(ctx, north, "cy", "", "cold tram at noon", "x"))
	if _, sc := signIn("cy", "slow ferry at dusk"); sc.Site != "main" {
		t.Errorf("cy is let in at %s", sc.Site)
	}
	if _, sc := signIn("cy@north", "cold tram at noon"); sc.Site != "north" {
		t.Errorf("cy of the north is let in at %s", sc.Site)
	}
	// A move takes who belongs where along.
	to := storetest.Open(t)
	t.Cleanup(func() { _ = to.Close() })
	must(store.Copy(ctx, s.store, to))
	if g, err := to.GuestOf(ctx, "north", "bo-2"); err != nil || g.HomePerson != "bo" {
		t.Errorf("%+v %v", g, err)
	}
}
