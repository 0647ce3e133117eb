package web

import (
	"context"
	"errors"
	"log/slog"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"pumpwright/app/language"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
)

// Config is what the pages need.
type Config struct {
	Shop *shop.Shop
	// Demo serves the invented scenario: anybody is one of its people, without
	// a sign-in. Only for this machine alone.
	Demo bool
	// More are places besides those of places.go, such as signing in.
	More []frame.Place
	Log  *slog.Logger
	// Secure is set when the pages are served over TLS.
	Secure bool
	// Address at which people reach the shop, such as https://pumps.workshop:8377,
	// for labels and links; the address of the page when it is empty.
	Address string
	// Who tells who looks at the pages, where that is settled already: on a
	// tablet without network. Files gives the addresses of style and scripts
	// there, since they lie with the server.
	Who   func() frame.Visitor
	Files func(name string) string
}

// Server answers the requests of browsers.
type Server struct {
	config  Config
	handler http.Handler
	menu    []frame.MenuLine
	live    context.Context
	stop    context.CancelFunc
}

// New makes the server. Close ends the live connections, so that a shutdown
// need not wait for them.
func New(c Config) *Server {
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	if c.Files == nil {
		c.Files = assetAddress
	}
	s := &Server{config: c}
	s.live, s.stop = context.WithCancel(context.Background())
	mux := http.NewServeMux()
	all := append(places(), c.More...)
	for _, p := range all {
		if !p.Menu.IsZero() {
			s.menu = append(s.menu, frame.MenuLine{Word: p.Menu, Address: p.Address, Needs: p.Needs})
		}
		for _, r := range p.Routes {
			mux.Handle(r.Pattern, s.page(r.Handle, r.Open, r.Most))
		}
	}
	for _, r := range s.common() {
		mux.Handle(r.Pattern, s.page(r.Handle, r.Open))
	}
	if c.Demo {
		mux.Handle("POST /person", s.page(takePerson, true))
	}
	serveFiles(mux)
	mux.Handle("GET /job/{job}/copy", s.page(giveCopy, false))
	mux.Handle("/", s.page(func(v *frame.Visit) error { return shop.ErrNotFound }, false))
	protection := http.NewCrossOriginProtection()
	s.handler = secure(c.Secure, s.calm(protection.Handler(mux)))
	return s
}

// common are the addresses that belong to no place.
func (s *Server) common() []frame.Route {
	return []frame.Route{
		{Pattern: "POST /job/{job}/entry", Handle: s.takeEntry},
		{Pattern: "POST /job/{job}/photo", Handle: s.takePhoto},
		{Pattern: "GET /job/{job}/photo/{hash}", Handle: showPhoto},
		{Pattern: "GET /live", Handle: s.showLive},
		{Pattern: "POST /look", Handle: takeLook, Open: true},
	}
}

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Close ends the live connections.
func (s *Server) Close() { s.stop() }

// secure sets the headers that keep a page to itself: no script but ours, no
// request to another host, no frame around it.
func secure(tls bool, next http.Handler) http.Handler {
	const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; " +
		"connect-src 'self'; worker-src 'self'; manifest-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", policy)
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(self), geolocation=(), microphone=()")
		if tls {
			h.Set("Strict-Transport-Security", "max-age=31536000")
		}
		next.ServeHTTP(w, r)
	})
}

// calm answers after a panic, so that one page never takes the server along.
func (s *Server) calm(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		defer func() {
			if what := recover(); what != nil {
				if what == http.ErrAbortHandler {
					panic(what)
				}
				s.config.Log.Error("page stopped", "address", logged(r.URL.Path), "reason", what)
				http.Error(w, "Something went wrong here. It has been noted.", http.StatusInternalServerError)
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// page makes a handler of a page's function.
func (s *Server) page(show func(*frame.Visit) error, open bool, most ...int64) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.Method == http.MethodPost {
			r.Body = http.MaxBytesReader(w, r.Body, slices.Max(append(most, mostBytes(r))))
		}
		v := &frame.Visit{ResponseWriter: w, Request: r, Shop: s.config.Shop, Files: s.config.Files, Secure: s.config.Secure, Address: s.config.Address}
		visitor, err := s.who(r)
		v.Visitor = visitor
		s.look(v)
		if as := r.Header.Get(personHeader); err == nil && as != "" && as != visitor.Key() && as != visitor.Person {
			err = frame.ErrNobody // what waits of one person never goes under the name of another
		}
		if err == nil {
			w.Header().Set(personHeader, visitor.Key())
			for _, m := range s.menu {
				if m.Needs == "" || visitor.May(m.Needs) {
					v.Menu = append(v.Menu, m)
				}
			}
		}
		if err == nil || open && errors.Is(err, frame.ErrNobody) {
			err = show(v)
		}
		if err != nil {
			s.fail(v, err)
		}
	})
}

// personHeader names the person that a page is for, and in a request the one
// who wrote what it brings: site and person, or the person alone from a tablet
// that has waited since before sites were written down.
const personHeader = "Pumpwright-Person"

// mostBytes bounds a request: a photo may be large, an entry is small.
func mostBytes(r *http.Request) int64 {
	if len(r.URL.Path) > 6 && r.URL.Path[len(r.URL.Path)-6:] == "/photo" {
		return 32 << 20
	}
	return 1 << 20
}

func (s *Server) fail(v *frame.Visit, err error) {
	if errors.Is(v.Context().Err(), context.Canceled) {
		return // nobody waits for the answer
	}
	status, ours := frame.StatusOf(err)
	if ours {
		s.config.Log.Error("page failed", "address", logged(v.URL.Path), "error", err)
	}
	if wantsJSON(v.Request) {
		_, text := frame.Words(err)
		answer(v, status, outcome{Problem: v.View.T(text)})
		return
	}
	if status == http.StatusUnauthorized && v.Method == http.MethodGet && v.URL.Path != "/live" {
		http.Redirect(v.ResponseWriter, v.Request, signIn+"?next="+url.QueryEscape(v.URL.RequestURI()), http.StatusSeeOther)
		return
	}
	if err := v.Fail(err); err != nil {
		s.config.Log.Error("page could not be written", "address", logged(v.URL.Path), "error", err)
	}
}

// logged is an address as it may stand in a log: the key of a link is not
// written down.
func logged(path string) string {
	for _, begins := range []string{frame.Shared, frame.Calendar} {
		if strings.HasPrefix(path, begins) {
			return begins + "…"
		}
	}
	return path
}

const (
	unitsCookie    = "units"
	themeCookie    = "theme"
	languageCookie = "language"
)

// look finds how the person wants to see things: what was chosen on this
// device, else what is kept for the person. The language is then that of the
// shop, and last the one that the browser asks for.
func (s *Server) look(v *frame.Visit) {
	units := v.Visitor.Units
	if c, err := v.Request.Cookie(unitsCookie); err == nil {
		units = say.Metric
		if c.Value == "inch" {
			units = say.Inch
		}
	}
	v.View = part.View{Style: language.Style(units, s.languageOf(v))}
	if c, err := v.Request.Cookie(themeCookie); err == nil {
		switch c.Value {
		case "paper", "dark", "contrast":
			v.Theme = c.Value
		}
	}
}

func (s *Server) languageOf(v *frame.Visit) string {
	if c, err := v.Request.Cookie(languageCookie); err == nil && language.Known(c.Value) {
		return c.Value
	}
	if v.Visitor.Language != "" {
		return v.Visitor.Language
	}
	if v.Visitor.Site != "" {
		tag, err := s.config.Shop.Language(v.Context(), v.Visitor.Site)
		if err != nil {
			s.config.Log.Error("the language of the shop could not be read", "error", err)
		}
		if tag != "" {
			return tag
		}
	}
	return language.Wanted(v.Request.Header.Get("Accept-Language"))
}

// takeLook keeps on the device how the person wants to see things.
func takeLook(v *frame.Visit) error {
	for _, name := range []string{unitsCookie, themeCookie, languageCookie} {
		if value, given := v.FormValue(name), v.PostForm.Has(name); given {
			v.SetCookie(name, value, 365*24*time.Hour)
		}
	}
	return v.Go(v.FormValue("next"))
}
