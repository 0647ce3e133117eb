package people_test

import (
	"net/http"
	"regexp"
	"strings"
	"testing"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

func wants(t *testing.T, a webtest.Answer, status int, says ...string) {
	t.Helper()
	if a.Status != status {
		t.Errorf("status %d, want %d", a.Status, status)
	}
	for _, s := range says {
		if !strings.Contains(a.Text, s) {
			t.Errorf("the page lacks %q", s)
		}
	}
}

func goes(t *testing.T, a webtest.Answer, to string) {
	t.Helper()
	if a.Status != http.StatusSeeOther || a.Goes != to {
		t.Errorf("status %d, goes to %q, want %q\n%.600s", a.Status, a.Goes, to, a.Text)
	}
}

// A lead adds somebody, who then signs in, gets other roles, a new password,
// and is ended.
func TestPerson(t *testing.T) {
	s := webtest.New(t, shop.Options{})
	lead := s.Browse()
	goes(t, lead.SignIn(webtest.Lead, webtest.Password), "/")
	wants(t, lead.Get("/people"), http.StatusOK, "Ada Fell", "lead, office", "No tablet is paired.")

	goes(t, lead.Post("/people", "id", "bo", "name", "Bo Stern", "roles", "technician", "units", "inch"), "/people/bo?added")
	wants(t, lead.Get("/people/bo?added"), http.StatusOK, "Bo Stern", "has neither password nor PIN", "Set a password now")
	bo := s.Browse()
	wants(t, bo.SignIn("bo", "slow ferry at dusk"), http.StatusUnprocessableEntity)
	wants(t, lead.Post("/people/bo/password", "password", "short"), http.StatusUnprocessableEntity, "The password is too short")
	goes(t, lead.Post("/people/bo/password", "password", "slow ferry at dusk"), "/people/bo?changed")
	goes(t, bo.SignIn("bo", "slow ferry at dusk"), "/")
	wants(t, bo.Get("/"), http.StatusOK, "Bo Stern")

	// he is no lead: nothing of people is his, save his own sign-in
	wants(t, bo.Get("/people"), http.StatusForbidden, "You may not do this", "lead")
	if text := bo.Get("/").Text; strings.Contains(text, `href="/people"`) || !strings.Contains(text, `href="/own"`) {
		t.Error("the menu of a technician is wrong")
	}
	for _, path := range []string{"/people/ada", "/people/nobody"} {
		wants(t, bo.Get(path), http.StatusForbidden)
	}
	for path, fields := range map[string][]string{
		"/people":              {"id", "eve", "name", "Eve", "roles", "lead"},
		"/people/bo":           {"name", "Bo", "roles", "lead"},
		"/people/ada":          {"name", "Ada", "roles", "reader"},
		"/people/ada/end":      {"do", "end"},
		"/people/bo/end":       {"do", "back"},
		"/people/ada/forget":   {"sure", "yes"},
		"/people/ada/password": {"password", "a very long password"},
		"/people/ada/pin":      {"pin", "2758"},
		"/people/ada/sign-ins": {},
		"/tablets":             {"name", "mine"},
		"/tablets/x/end":       {},
	} {
		if a := bo.Post(path, fields...); a.Status != http.StatusForbidden {
			t.Errorf("%s: a technician gets status %d", path, a.Status)
		}
	}

	goes(t, lead.Post("/people/bo", "name", "Bo Stern", "roles", "technician", "roles", "inspector"), "/people/bo?changed")
	wants(t, lead.Get("/people"), http.StatusOK, "technician, inspector")
	goes(t, lead.Post("/people/bo/end", "do", "end"), "/people/bo?changed")
	wants(t, lead.Get("/people/bo"), http.StatusOK, "may not sign in", "There is none.")
	goes(t, bo.Get("/"), "/sign-in?next=%2F")
	wants(t, bo.SignIn("bo", "slow ferry at dusk"), http.StatusUnprocessableEntity)
	goes(t, lead.Post("/people/bo/end", "do", "back"), "/people/bo?changed")
	goes(t, bo.SignIn("bo", "slow ferry at dusk"), "/")

	wants(t, lead.Post("/people/bo/forget"), http.StatusUnprocessableEntity, "the box is not ticked")
	goes(t, lead.Post("/people/bo/forget", "sure", "yes"), "/people/bo?changed")
	if strings.Contains(lead.Get("/people").Text, "Bo Stern") {
		t.Error("a forgotten name still shows")
	}
}

// What is refused comes back with what was typed, and changes nothing.
func TestRefusedInPlace(t *testing.T) {
	s := webtest.New(t, shop.Options{})
	lead := s.Browse()
	lead.SignIn(webtest.Lead, webtest.Password)
	for name, c := range map[string]struct {
		path   string
		fields []string
		says   []string
	}{
		"a name with a slash": {"/people", []string{"id", "b/o", "name", "Bo Stern", "roles", "reader"}, []string{"This cannot be a name here", `value="b/o"`, `value="Bo Stern"`, `value="reader" checked`}},
		"no name":             {"/people", []string{"id", "bo", "name", " ", "owner", "Quay Works"}, []string{"The name is missing", `value="bo"`, `value="Quay Works"`}},
		"somebody's id":       {"/people", []string{"id", "ada", "name", "Another"}, []string{"Somebody has this short name already", `value="Another"`}},
		"no such role":        {"/people", []string{"id", "bo", "name", "Bo", "roles", "captain"}, []string{"there is no role “captain”", `value="Bo"`}},
		"the last lead":       {"/people/ada", []string{"name", "Ada F.", "roles", "reader"}, []string{"Nobody else could change people any more", `value="Ada F."`, `value="reader" checked`}},
		"ends the last lead":  {"/people/ada/end", []string{"do", "end"}, []string{"Nobody else could change people any more"}},
		"a wrong password":    {"/people/ada/password", []string{"old", "something else", "password", "another good password"}, []string{"This is not the password that holds now"}},
		"a PIN in a row":      {"/people/ada/pin", []string{"old", webtest.Password, "pin", "1234"}, []string{"this PIN is guessed first"}},
		"a tablet, no name":   {"/tablets", []string{"name", ""}, []string{"Name the tablet"}},
	} {
		t.Run(name, func(t *testing.T) {
			a := lead.Post(c.path, c.fields...)
			wants(t, a, http.StatusUnprocessableEntity)
			for _, s := range c.says {
				if !strings.Contains(strings.ToLower(a.Text), strings.ToLower(s)) {
					t.Errorf("the page lacks %q", s)
				}
			}
			if strings.Contains(a.Text, "another good password") || strings.Contains(a.Text, webtest.Password) {
				t.Error("a password stands on the page")
			}
		})
	}
	people, err := s.Shop.People(t.Context(), shop.Scope{Site: "main", Person: webtest.Lead, Roles: []access.Role{access.Lead}})
	if err != nil || len(people) != 1 || people[0].Name != "Ada Fell" || people[0].PIN {
		t.Errorf("%+v %v", people, err)
	}
	for _, path := range []string{"/people", "/people/ada/password", "/tablets", "/pair"} {
		if a := lead.PostFrom("https://elsewhere.example", path, "name", "x"); a.Status != http.StatusForbidden {
			t.Errorf("%s from another site: status %d", path, a.Status)
		}
	}
}

var codeOnPage = regexp.MustCompile(`class="code">([^<]+)<`)

// A lead makes a code, a tablet is paired with it, somebody switches on it by
// PIN, and the lead ends it.
func TestTablet(t *testing.T) {
	s := webtest.New(t, shop.Options{})
	lead := s.Browse()
	lead.SignIn(webtest.Lead, webtest.Password)
	goes(t, lead.Post("/people/ada/pin", "old", webtest.Password, "pin", "2758"), "/people/ada?changed")
	page := lead.Post("/tablets", "name", "bench 2")
	wants(t, page, http.StatusOK, "Code for bench 2", "its code waits until")
	found := codeOnPage.FindStringSubmatch(page.Text)
	if found == nil {
		t.Fatal("no code on the page")
	}
	if strings.Contains(lead.Get("/people").Text, found[1]) {
		t.Error("the code shows again")
	}
	tablet := s.Browse()
	wants(t, tablet.Post("/pair", "code", "AAAA-AAAA"), http.StatusUnprocessableEntity)
	goes(t, tablet.Post("/pair", "code", found[1]), "/sign-in")
	wants(t, tablet.Get("/sign-in"), http.StatusOK, "On this tablet (bench 2)", "Ada Fell")
	goes(t, tablet.Post("/sign-in", "person", "ada", "pin", "2758"), "/")
	wants(t, lead.Get("/people/ada"), http.StatusOK, "by PIN on bench 2", "with the password", "End all of them")

	list, err := s.Shop.Tablets(t.Context(), shop.Scope{Site: "main", Person: webtest.Lead, Roles: []access.Role{access.Lead}})
	if err != nil || len(list) != 1 {
		t.Fatalf("%+v %v", list, err)
	}
	goes(t, lead.Post("/tablets/"+list[0].ID+"/end"), "/people?ended")
	wants(t, lead.Get("/people"), http.StatusOK, "No tablet is paired.", "Ended and unused (1)")
	goes(t, tablet.Get("/"), "/sign-in?next=%2F")
	if strings.Contains(tablet.Get("/sign-in").Text, "Ada Fell") {
		t.Error("an ended tablet still names people")
	}
}

// Everybody changes his own password with the old one, and ends his sign-ins.
func TestOwn(t *testing.T) {
	s := webtest.New(t, shop.Options{})
	lead := s.Browse()
	lead.SignIn(webtest.Lead, webtest.Password)
	lead.Post("/people", "id", "bo", "name", "Bo Stern", "roles", "reader")
	lead.Post("/people/bo/password", "password", "slow ferry at dusk")
	bo, elsewhere := s.Browse(), s.Browse()
	bo.SignIn("bo", "slow ferry at dusk")
	elsewhere.SignIn("bo", "slow ferry at dusk")
	wants(t, bo.Get("/own"), http.StatusOK, "Your password now", "End all of them")
	wants(t, bo.Post("/people/bo/password", "old", "wrong wrong wrong", "password", "grey gulls over it"), http.StatusUnprocessableEntity, "This is not the password that holds now")
	goes(t, bo.Post("/people/bo/pin", "old", "slow ferry at dusk", "pin", "2758"), "/own?changed")
	goes(t, bo.Post("/people/bo/password", "old", "slow ferry at dusk", "password", "grey gulls over it"), "/own?changed")
	goes(t, elsewhere.Get("/own"), "/sign-in?next=%2Fown")
	goes(t, bo.SignIn("bo", "grey gulls over it"), "/")
	goes(t, bo.Post("/people/bo/sign-ins"), "/own?ended")
	goes(t, bo.Get("/own"), "/sign-in?next=%2Fown")
}

// Who belongs to two sites goes over on a page; who belongs to one is told so.
func TestSites(t *testing.T) {
	s := webtest.New(t, shop.Options{})
	if err := s.Shop.AddSiteHere(t.Context(), "North Dock (invented)", shop.Join{Person: webtest.Lead, Home: "main", Site: "north"}); err != nil {
		t.Fatal(err)
	}
	lead := s.Browse()
	goes(t, lead.SignIn(webtest.Lead, webtest.Password), "/")
	wants(t, lead.Get("/own"), http.StatusOK, `href="/sites"`)
	wants(t, lead.Get("/sites"), http.StatusOK, "you are here", "Go to North Dock (invented)")
	goes(t, lead.Post("/people", "id", "bo", "name", "Bo Stern", "roles", "technician", "units", "inch"), "/people/bo?added")
	wants(t, lead.Post("/sites", "site", "nowhere"), http.StatusNotFound)
	goes(t, lead.Post("/sites", "site", "north"), "/")
	wants(t, lead.Get("/sites"), http.StatusOK, "North Dock (invented): you are here", "Go to Test Dock (invented)")
	wants(t, lead.Get("/people/bo"), http.StatusNotFound)
}
