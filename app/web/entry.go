package web

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"time"

	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// letter is an entry as the script of a page sends it: the entry's own id and
// time, and either its body or the fields of its form.
type letter struct {
	ID     string            `json:"id"`
	Kind   string            `json:"kind"`
	At     int64             `json:"at"`  // microseconds since 1970 UTC
	Now    int64             `json:"now"` // when it was sent, by the same clock
	Seen   string            `json:"seen"`
	Body   json.RawMessage   `json:"body,omitempty"`
	Fields map[string]string `json:"fields,omitempty"`
	Draft  string            `json:"draft"`
	From   string            `json:"from"`
	Next   string            `json:"next"`
	Quiet  bool              `json:"quiet"` // sent later, from a page that does not show the form
}

// outcome is the answer to a letter.
type outcome struct {
	Saved   bool     `json:"saved"`
	Fresh   bool     `json:"fresh"`
	Seq     int64    `json:"seq,omitempty"`
	Hash    string   `json:"hash,omitempty"`
	After   string   `json:"after,omitempty"` // the entry before it, so that who writes on knows what he has seen
	Address string   `json:"address,omitempty"`
	Problem string   `json:"problem,omitempty"`
	Field   string   `json:"field,omitempty"`
	Ask     []string `json:"ask,omitempty"`
	Page    string   `json:"page,omitempty"`  // the page to show now
	Clock   string   `json:"clock,omitempty"` // what is wrong with the clock of the device
}

var (
	msgClock  = say.Define("web.clock", "the time of the entry lies far from now")
	msgNoJSON = say.Define("web.no_json", "the entry cannot be read: {reason}")
)

func wantsJSON(r *http.Request) bool {
	return strings.HasPrefix(r.Header.Get("Content-Type"), "application/json") || strings.HasPrefix(r.Header.Get("Accept"), "application/json")
}

func answer(v *frame.Visit, status int, o outcome) {
	v.ResponseWriter.Header().Set("Content-Type", "application/json")
	v.ResponseWriter.Header().Set("Cache-Control", "no-store")
	var text bytes.Buffer
	encoder := json.NewEncoder(&text)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(o); err != nil { // texts and numbers only
		http.Error(v.ResponseWriter, err.Error(), http.StatusInternalServerError)
		return
	}
	_ = frame.Send(v.ResponseWriter, v.Request, status, text.Bytes()) // a reader who went away
}

// readLetter reads an entry from JSON or from a plain form.
func readLetter(v *frame.Visit) (letter, error) {
	var l letter
	if strings.HasPrefix(v.Request.Header.Get("Content-Type"), "application/json") {
		if err := json.NewDecoder(v.Body).Decode(&l); err != nil {
			return l, say.Refuse("", "", msgNoJSON.With(err), say.Message{})
		}
		return l, nil
	}
	if err := v.ParseForm(); err != nil {
		return l, say.Refuse("", "", msgNoJSON.With(err), say.Message{})
	}
	f := v.PostForm
	l = letter{
		ID: f.Get("id"), Kind: f.Get("kind"), Seen: f.Get("seen"), Draft: f.Get("draft"),
		From: f.Get("from"), Next: f.Get("next"), Fields: map[string]string{},
	}
	for name, values := range f {
		if len(name) > 1 && name[1] == '/' && len(values) > 0 {
			l.Fields[name] = values[0]
		}
	}
	return l, nil
}

func (l *letter) typed() url.Values {
	typed := url.Values{}
	for name, text := range l.Fields {
		typed.Set(name, text)
	}
	return typed
}

// note makes what is written down of a letter.
func (l *letter) note() (shop.NewEntry, error) {
	n := shop.NewEntry{ID: l.ID, Kind: l.Kind, Seen: l.Seen}
	if l.At != 0 {
		n.At, n.Sent = record.Time(l.At).Time(), timeOf(l.Now)
		if l.Now == 0 && n.At.After(time.Now().Add(farOff)) { // with it we know how far its clock is off
			return n, say.Refuse("at", n.At.Format(time.RFC3339), msgClock.With(), say.Message{})
		}
	}
	body := l.Body
	if len(l.Fields) > 0 || len(body) == 0 {
		var err error
		if body, err = part.Body(l.typed()); err != nil {
			return n, err
		}
	}
	canonical, err := record.Canonical(body)
	if err != nil {
		return n, say.Refuse("body", "", msgNoJSON.With(err), say.Message{})
	}
	n.Body = canonical
	return n, nil
}

// farOff is how far ahead of ours the moment of an entry may be.
const farOff = 24 * time.Hour

func timeOf(microseconds int64) time.Time {
	if microseconds == 0 {
		return time.Time{}
	}
	return record.Time(microseconds).Time()
}

// takeEntry takes an entry of a job. The answer is a redirect for a plain
// form; for the script it holds the page to show next. What is refused comes
// back with its form and what was typed.
func (s *Server) takeEntry(v *frame.Visit) error {
	l, err := readLetter(v)
	if err != nil {
		return err
	}
	n, err := l.note()
	taken := &shop.Answer{}
	if err == nil {
		if taken, err = v.Shop.Add(v.Context(), v.Visitor.Scope, v.PathValue("job"), n); err != nil {
			taken = &shop.Answer{}
		}
	}
	if taken.Kept {
		next := frame.Local(l.Next, frame.Local(l.From, "/"))
		if !wantsJSON(v.Request) {
			return v.Go(next)
		}
		o := outcome{Saved: true, Fresh: taken.Fresh, Seq: taken.Entry.Seq, Hash: taken.Entry.Hash, After: taken.After, Address: next, Clock: clockWords(v, taken)}
		if !l.Quiet {
			o.Page, o.Address = s.pageAt(v, next, nil)
		}
		answer(v, http.StatusOK, o)
		return nil
	}
	problem := say.AsProblem(err)
	if status, _ := frame.StatusOf(err); err != nil && status != http.StatusUnprocessableEntity && status != http.StatusForbidden {
		return err
	}
	back := &frame.Returned{Draft: l.Draft, Typed: l.typed(), Ask: taken.Warnings}
	o := outcome{Address: frame.Local(l.From, "/"), Ask: say.Texts(taken.Warnings, v.View.Style)}
	if problem != nil {
		back.Problem = frame.Bare(problem)
		o.Problem, o.Field = back.Problem.Show(v.View.Style), problem.Field
	}
	if !wantsJSON(v.Request) {
		return s.showAgain(v, o.Address, back)
	}
	if !l.Quiet {
		o.Page, o.Address = s.pageAt(v, o.Address, back)
	}
	answer(v, http.StatusUnprocessableEntity, o)
	return nil
}

// page answers of our own are caught here.
type catcher struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (c *catcher) Header() http.Header { return c.header }
func (c *catcher) WriteHeader(s int)   { c.status = s }
func (c *catcher) Write(b []byte) (int, error) {
	return c.body.Write(b)
}

// ask asks our own pages for an address on behalf of the visitor.
func (s *Server) ask(v *frame.Visit, address string, back *frame.Returned) (*catcher, error) {
	target, err := url.ParseRequestURI(address)
	if err != nil {
		return nil, fmt.Errorf("web: address %q: %w", address, err)
	}
	ctx := v.Context()
	if back != nil {
		ctx = frame.WithReturned(ctx, back)
	}
	r := v.Request.Clone(ctx)
	r.Method, r.URL, r.RequestURI, r.Body, r.ContentLength = http.MethodGet, target, address, http.NoBody, 0
	r.Header.Del("Content-Type")
	r.Header.Del("Accept-Encoding")
	r.Form, r.PostForm, r.MultipartForm = nil, nil, nil
	c := &catcher{header: http.Header{}, status: http.StatusOK}
	s.handler.ServeHTTP(c, r)
	return c, nil
}

// pageAt returns the page at an address and where it ended up after
// redirects.
func (s *Server) pageAt(v *frame.Visit, address string, back *frame.Returned) (page, at string) {
	for range 4 {
		c, err := s.ask(v, address, back)
		if err != nil {
			return "", address
		}
		if to := c.header.Get("Location"); c.status == http.StatusSeeOther && to != "" {
			address = frame.Local(to, "/")
			continue
		}
		return c.body.String(), address
	}
	return "", address
}

// showAgain answers a plain form with its page and what was typed.
func (s *Server) showAgain(v *frame.Visit, address string, back *frame.Returned) error {
	page, _ := s.pageAt(v, address, back)
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "text/html; charset=utf-8")
	h.Set("Cache-Control", "no-store")
	return frame.Send(v.ResponseWriter, v.Request, http.StatusUnprocessableEntity, []byte(page))
}
