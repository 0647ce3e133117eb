package assembly_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// bench is a job that a test builds up: a demo job, or a part of one.
type bench struct {
	t testing.TB
	s *record.Stream
}

// open takes a demo job up to the first entry for which stop is true.
func open(t testing.TB, name string, stop func(e *record.Entry) bool) *bench {
	t.Helper()
	s, err := demo.Job(name)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Entries {
		if stop != nil && stop(&s.Entries[i]) {
			s.Entries = s.Entries[:i]
			break
		}
	}
	return &bench{t, s}
}

func ofKind(kind string) func(e *record.Entry) bool {
	return func(e *record.Entry) bool { return e.Kind == kind }
}

// add appends an entry some time after the last one.
func (b *bench) add(kind string, body any, after time.Duration) {
	b.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		b.t.Fatal(err)
	}
	last := b.s.Entries[len(b.s.Entries)-1]
	at := last.At.Time().Add(after)
	_, err = b.s.Append(record.Entry{ID: record.NewID(at, [10]byte{byte(len(b.s.Entries)), 7}), Stream: b.s.Name, Kind: kind, Version: 1,
		Body: raw, By: "mira", At: record.TimeOf(at), Seen: b.s.Head(), Device: "bench-1"})
	if err != nil {
		b.t.Fatal(err)
	}
}

// change replaces words of the model sheet.
func (b *bench) change(name string, pairs ...string) {
	b.t.Helper()
	text, err := sheet.DemoText(name)
	if err != nil {
		b.t.Fatal(err)
	}
	b.add(job.KindSheet, job.Text{Name: name, Text: replaced(b.t, string(text), pairs), Reason: "test"}, time.Minute)
}

// serve replaces words of the service.
func (b *bench) serve(name string, pairs ...string) {
	b.t.Helper()
	text, err := demo.ServiceText(name)
	if err != nil {
		b.t.Fatal(err)
	}
	b.add(job.KindService, job.Text{Name: name, Text: replaced(b.t, string(text), pairs), Reason: "test"}, time.Minute)
}

func replaced(t testing.TB, text string, pairs []string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%q is not in the text", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

func (b *bench) chapter() *assembly.Chapter {
	b.t.Helper()
	return b.assessed(time.Time{}).Assembly
}

func (b *bench) assessed(asOf time.Time) *assess.Assessment {
	b.t.Helper()
	in, err := assess.FromJob(job.Fold(b.s), asOf)
	if err != nil {
		b.t.Fatal(err)
	}
	return assess.Assess(in)
}

func contains(list []say.Message, words string) bool {
	for _, m := range list {
		if strings.Contains(m.String(), words) {
			return true
		}
	}
	return false
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: %g, wanted %g within %g", what, got, want, relative)
	}
}

// spelled writes down all that a chapter says.
func spelled(c *assembly.Chapter) string {
	var b strings.Builder
	put := func(lists ...[]say.Message) {
		for _, list := range lists {
			for _, m := range list {
				for _, units := range []say.Units{say.Metric, say.Inch} {
					fmt.Fprintln(&b, m.Text(say.Style{Units: units}))
				}
			}
		}
	}
	for _, p := range c.Presses {
		fmt.Fprintln(&b, p.Name, p.Stays, p.Measured, p.Stop, p.Interference)
		put(p.Reasons, p.Notes, p.Warnings, p.Cautions, p.Unknown)
		if p.Ream != nil {
			put([]say.Message{p.Ream.Verdict})
		}
	}
	for _, g := range c.Bolts {
		put(g.Reasons, g.Notes, g.Warnings, g.Cautions, g.Unknown)
		for _, p := range g.Passes {
			fmt.Fprintln(&b, p.Number, p.Torque, p.State)
		}
	}
	for _, f := range c.Films {
		put(f.Reasons, f.Warnings, f.Unknown)
		for _, p := range f.Points {
			put([]say.Message{p.Name, p.Verdict})
		}
	}
	if s := c.Seal; s != nil {
		put(s.Reasons, s.Notes, s.Advice, s.Warnings, s.Cautions, s.Unknown)
	}
	put(c.Alignment.Reasons, c.Alignment.Warnings, c.Alignment.Cautions, c.Alignment.Unknown)
	for _, a := range c.Alignment.Sets {
		put(a.Moves, a.Notes, a.Warnings, a.Unknown)
	}
	put(c.Running.Reasons, c.Running.Warnings, c.Running.Cautions, c.Running.Unknown)
	for _, r := range c.Running.Rechecks {
		fmt.Fprintln(&b, r.What, r.Due, r.Done, r.Overdue)
	}
	put(c.Warnings)
	return b.String()
}
