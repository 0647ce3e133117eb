package watch

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/shop"
)

// Config is what watching needs.
type Config struct {
	Shop    *shop.Shop
	Version string
	Log     *slog.Logger // one line for each request; nil for none
	Now     func() time.Time
}

// Server watches the answers of another handler.
type Server struct {
	config Config
	next   http.Handler
	mux    *http.ServeMux
	counts counts
}

// The addresses that are answered here.
const (
	HealthPath  = "/health"
	MetricsPath = "/metrics"
)

// New watches a handler, and answers HealthPath and MetricsPath.
func New(c Config, next http.Handler) *Server {
	if c.Now == nil {
		c.Now = time.Now
	}
	s := &Server{config: c, next: next, mux: http.NewServeMux()}
	s.counts = counts{started: c.Now(), routes: map[routeKey]*routeCount{}}
	s.mux.HandleFunc("GET "+HealthPath, s.showHealth)
	s.mux.HandleFunc("GET "+MetricsPath, s.showMetrics)
	s.mux.Handle("/", next)
	return s
}

// ServeHTTP answers a request and notes how.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	start := time.Now() // its steady part: a clock that is set changes no duration
	s.counts.begin()
	seen := &watched{ResponseWriter: w}
	defer func() {
		took, route := time.Since(start), routeOf(r)
		status := seen.status
		if status == 0 {
			status = http.StatusOK
		}
		s.counts.end(route, status, took)
		if s.config.Log != nil {
			s.config.Log.Info("request", "route", route, "status", status, "bytes", seen.bytes, "ms", float64(took.Microseconds())/1000)
		}
	}()
	s.mux.ServeHTTP(seen, r)
}

// routeOf names the route that answered: the pattern, not what stood in it.
func routeOf(r *http.Request) string {
	switch r.Pattern {
	case "", "/":
		return "none"
	}
	if !strings.Contains(r.Pattern, " ") {
		return r.Method + " " + r.Pattern
	}
	return r.Pattern
}

// watched notes the status and the size of an answer.
type watched struct {
	http.ResponseWriter
	status int
	bytes  int64
}

// WriteHeader notes the status.
func (w *watched) WriteHeader(status int) {
	if w.status == 0 && status >= 200 {
		w.status = status
	}
	w.ResponseWriter.WriteHeader(status)
}

// Write notes the size.
func (w *watched) Write(content []byte) (int, error) {
	if w.status == 0 {
		w.status = http.StatusOK
	}
	n, err := w.ResponseWriter.Write(content)
	w.bytes += int64(n)
	return n, err
}

// Unwrap lets live answers be flushed.
func (w *watched) Unwrap() http.ResponseWriter { return w.ResponseWriter }

// health is how the server does.
type health struct {
	OK       bool   `json:"ok"`
	Database bool   `json:"database"` // it answers
	Backup   bool   `json:"backup"`   // the last good one is young enough, or none is kept
	Version  string `json:"version"`

	state shop.BackupState
}

// answerWithin is how long the database may take.
const answerWithin = 5 * time.Second

// Look looks how the server does. A backup that is late is told, but the
// server is well: whoever restarts it for that gains nothing.
func (s *Server) look(ctx context.Context) health {
	ctx, cancel := context.WithTimeout(ctx, answerWithin)
	defer cancel()
	h := health{Version: s.config.Version}
	state, err := s.config.Shop.Alive(ctx)
	h.Database = err == nil
	h.state = state
	h.Backup = err == nil && state.Warning.IsZero()
	h.OK = h.Database
	return h
}

func (s *Server) showHealth(w http.ResponseWriter, r *http.Request) {
	h := s.look(r.Context())
	status := http.StatusOK
	if !h.OK {
		status = http.StatusServiceUnavailable
	}
	text, err := json.Marshal(h)
	if err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	head(w, "application/json")
	w.WriteHeader(status)
	_, _ = w.Write(append(text, '\n')) // a reader who went away
}

func head(w http.ResponseWriter, media string) {
	w.Header().Set("Content-Type", media)
	w.Header().Set("Cache-Control", "no-store")
	w.Header().Set("X-Content-Type-Options", "nosniff")
}

// showMetrics answers whoever asks from this machine, or shows a token that
// may read what belongs to the shop.
func (s *Server) showMetrics(w http.ResponseWriter, r *http.Request) {
	if !s.mayMeasure(r) {
		w.Header().Set("WWW-Authenticate", "Bearer")
		http.Error(w, "ask from this machine, or with a token that may read", http.StatusUnauthorized)
		return
	}
	var text bytes.Buffer
	if err := s.write(&text, s.look(r.Context())); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	head(w, "text/plain; version=0.0.4; charset=utf-8")
	_, _ = w.Write(text.Bytes()) // a reader who went away
}

func (s *Server) mayMeasure(r *http.Request) bool {
	if secret, shown := strings.CutPrefix(r.Header.Get("Authorization"), "Bearer "); shown {
		sc, err := s.config.Shop.OpenToken(r.Context(), secret)
		return err == nil && sc.May(access.ReadShop)
	}
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	ip := net.ParseIP(host)
	return err == nil && ip != nil && ip.IsLoopback() && r.Header.Get("Forwarded") == "" && r.Header.Get("X-Forwarded-For") == ""
}
