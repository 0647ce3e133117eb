package api

import (
	"encoding/json"
	"log/slog"
	"net/http"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"pumpwright/app/shop"
)

// Config is what the interface needs.
type Config struct {
	Shop    *shop.Shop
	Version string // of the program
	// Demo serves the invented scenario: who shows no token is the person of
	// this id. Only for this machine alone.
	Demo string
	Log  *slog.Logger
	Now  func() time.Time // nil: the clock of the machine
	// Rate bounds what one program may ask; the zero value takes the usual.
	Rate Rate
}

// Root is where everything lies.
const Root = "/api"

// Server answers programs.
type Server struct {
	config  Config
	handler http.Handler
	api     huma.API
	limits  *limiter
	page    []byte
}

// words that stand at the head of the document.
const about = `Everything a person can do on the pages, for programs. Quantities are sent as text with their unit ("0.15 mm", "5 thou"); in answers each is {value, unit, u, text} with the value in SI units. Times are RFC 3339. Ids of entries are UUIDs made by the writer: the same entry sent again is kept once.`

// New makes the server.
func New(c Config) (*Server, error) {
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	if c.Now == nil {
		c.Now = time.Now
	}
	if c.Version == "" {
		c.Version = "unreleased"
	}
	s := &Server{config: c, limits: newLimiter(c.Rate, c.Now)}
	mux := http.NewServeMux()
	registry := huma.NewMapRegistry("#/components/schemas/", huma.DefaultSchemaNamer)
	s.api = humago.New(mux, huma.Config{
		OpenAPI: &huma.OpenAPI{
			OpenAPI: "3.1.0",
			Info:    &huma.Info{Title: "Pumpwright", Version: c.Version, Description: about},
			Components: &huma.Components{
				Schemas:         registry,
				SecuritySchemes: map[string]*huma.SecurityScheme{tokenScheme: {Type: "http", Scheme: "bearer", Description: "A token that a lead of the shop made. It acts for a person, within the grants it was given."}},
			},
			Security: []map[string][]string{{tokenScheme: {}}},
		},
		Formats: huma.DefaultFormats, DefaultFormat: "application/json", RejectUnknownQueryParameters: true,
	})
	s.api.UseMiddleware(s.come)
	s.jobs()
	s.entries()
	s.files()
	s.pumps()
	s.papers()
	s.past()
	s.money()
	s.tables()
	s.signIns()
	s.calculators()
	s.shelf()
	s.people()
	s.programs()
	if p := registry.Map()["ErrorModel"]; p != nil { // RFC 9457, 3.1.1: a reference, here one to this host
		p.Properties["type"].Format = "uri-reference"
		p.Properties["instance"].Format = "uri-reference"
	}
	document, err := json.MarshalIndent(s.api.OpenAPI(), "", "  ")
	if err != nil {
		return nil, err
	}
	if s.page, err = makePage(s.api.OpenAPI()); err != nil {
		return nil, err
	}
	mux.HandleFunc("GET "+Root+"/openapi.json", func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", "application/openapi+json")
		_, _ = w.Write(document)
	})
	mux.HandleFunc("GET "+Root+"/page.css", showStyle)
	mux.HandleFunc("GET "+Root, s.showPage)
	mux.HandleFunc("GET "+Root+"/{$}", s.showPage)
	mux.HandleFunc(Root+"/", func(w http.ResponseWriter, r *http.Request) { writeProblem(w, gone()) })
	s.handler = s.calm(http.NewCrossOriginProtection().Handler(mux))
	return s, nil
}

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Document is the OpenAPI document.
func (s *Server) Document() *huma.OpenAPI { return s.api.OpenAPI() }

// calm sets what holds for every answer, and answers after a panic, so that
// one request never takes the server along.
func (s *Server) calm(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "private, no-cache")
		h.Set("Content-Security-Policy", "default-src 'none'; style-src 'self'; frame-ancestors 'none'")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Referrer-Policy", "no-referrer")
		defer func() {
			if what := recover(); what != nil {
				if what == http.ErrAbortHandler {
					panic(what)
				}
				s.config.Log.Error("request stopped", "route", r.Pattern, "reason", what)
				writeProblem(w, broken())
			}
		}()
		next.ServeHTTP(w, r)
	})
}

// register adds a route: how it is done is told by a function of the shop's.
func register[In, Out any](s *Server, o huma.Operation, do func(*visit, *In) (*Out, error)) {
	o.Path = Root + o.Path
	if o.Errors == nil {
		o.Errors = []int{http.StatusUnauthorized, http.StatusForbidden, http.StatusNotFound, http.StatusUnprocessableEntity, http.StatusTooManyRequests}
	}
	huma.Register(s.api, o, func(ctx context, in *In) (*Out, error) {
		out, err := do(visitOf(ctx), in)
		if err != nil {
			return nil, s.problem(ctx, err)
		}
		return out, nil
	})
}
