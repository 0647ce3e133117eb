// Package webtest serves a shop on loopback for the tests of the places, and
// asks its pages as a browser without script would.
package webtest

import (
	"context"
	"html"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/record"
)

// Site is a shop that is served.
type Site struct {
	t      *testing.T
	Shop   *shop.Shop
	Server *httptest.Server
}

// Demo serves the invented scenario.
func Demo(t *testing.T, o shop.Options) *Site {
	t.Helper()
	s := serve(t, o, true)
	if err := s.Shop.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	return s
}

// Fleet serves a simulated fleet beside the invented scenario, on the day after
// its last.
func Fleet(t *testing.T, o fleet.Options) (*Site, *fleet.Fleet) {
	t.Helper()
	f, err := fleet.Simulate(o)
	if err != nil {
		t.Fatal(err)
	}
	s := Demo(t, shop.Options{Now: func() time.Time { return fleet.DefaultAsOf.Add(9 * time.Hour) }})
	sc, err := s.Shop.DemoScope(t.Context(), "odell")
	if err != nil {
		t.Fatal(err)
	}
	in, err := s.Shop.Exchange(t.Context(), sc)
	if err != nil {
		t.Fatal(err)
	}
	var all []record.Entry
	if err := f.Streams(func(stream *record.Stream) error {
		for _, e := range stream.Entries {
			e.Seq, e.Prev, e.Hash = 0, "", ""
			all = append(all, e)
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	if err := in.Take(all); err != nil {
		t.Fatal(err)
	}
	return s, f
}

// The first person of a new shop.
const (
	Lead     = "ada"
	Password = "loud kettle on the quay"
)

// New serves a new shop that Lead has set up.
func New(t *testing.T, o shop.Options) *Site {
	t.Helper()
	s := serve(t, o, false)
	if err := s.Shop.SetUpShop(context.Background(), shop.SetUp{Shop: "Test Dock (invented)", Person: Lead, Name: "Ada Fell", Password: Password}); err != nil {
		t.Fatal(err)
	}
	return s
}

func serve(t *testing.T, o shop.Options, demo bool) *Site {
	t.Helper()
	kept, err := shop.OpenMemory(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	pages := web.New(web.Config{Shop: kept, Demo: demo})
	s := &Site{t: t, Shop: kept, Server: httptest.NewServer(pages)}
	t.Cleanup(func() {
		pages.Close()
		s.Server.CloseClientConnections()
		s.Server.Close()
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	})
	return s
}

// Browser keeps cookies, and follows no forwarding.
type Browser struct {
	t      *testing.T
	home   string
	client http.Client
}

// Answer is what came back: Text is the page with its entities undone.
type Answer struct {
	Status int
	Header http.Header
	Text   string
	Goes   string // where it sends the browser
	Body   []byte // as it came
}

// Browse opens a browser.
func (s *Site) Browse() *Browser {
	jar, err := cookiejar.New(nil)
	if err != nil {
		s.t.Fatal(err)
	}
	return &Browser{t: s.t, home: s.Server.URL, client: http.Client{Jar: jar, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}}
}

// As opens a browser as one of the invented people.
func (s *Site) As(person string) *Browser {
	b := s.Browse()
	home, err := url.Parse(s.Server.URL)
	if err != nil {
		s.t.Fatal(err)
	}
	b.client.Jar.SetCookies(home, []*http.Cookie{{Name: "person", Value: person, Path: "/"}})
	return b
}

// SignIn signs somebody in.
func (b *Browser) SignIn(person, password string) Answer {
	b.t.Helper()
	return b.Post("/sign-in", "person", person, "password", password)
}

// Get asks for a page.
func (b *Browser) Get(path string) Answer {
	b.t.Helper()
	r, err := http.NewRequest(http.MethodGet, b.home+path, nil)
	if err != nil {
		b.t.Fatal(err)
	}
	return b.send(r)
}

// Post sends a form of this site: names and values in turn.
func (b *Browser) Post(path string, fields ...string) Answer {
	b.t.Helper()
	return b.PostFrom(b.home, path, fields...)
}

// PostFrom sends a form that stands on a page of an origin.
func (b *Browser) PostFrom(origin, path string, fields ...string) Answer {
	b.t.Helper()
	form := url.Values{}
	for i := 0; i+1 < len(fields); i += 2 {
		form.Add(fields[i], fields[i+1])
	}
	r, err := http.NewRequest(http.MethodPost, b.home+path, strings.NewReader(form.Encode()))
	if err != nil {
		b.t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	r.Header.Set("Origin", origin)
	return b.send(r)
}

// Send sends a body of any kind, as a page of this site does.
func (b *Browser) Send(path, kind string, body io.Reader) Answer {
	b.t.Helper()
	r, err := http.NewRequest(http.MethodPost, b.home+path, body)
	if err != nil {
		b.t.Fatal(err)
	}
	r.Header.Set("Content-Type", kind)
	r.Header.Set("Origin", b.home)
	return b.send(r)
}

func (b *Browser) send(r *http.Request) Answer {
	b.t.Helper()
	answer, err := b.client.Do(r)
	if err != nil {
		b.t.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		b.t.Fatal(err)
	}
	return Answer{answer.StatusCode, answer.Header, html.UnescapeString(string(text)), answer.Header.Get("Location"), text}
}
