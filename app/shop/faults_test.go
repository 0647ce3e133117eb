package shop

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"pumpwright/rebuild/job"
)

// The clock of the machine jumps back and forth by years: entries keep their
// order, each is there once, the chain holds, and lists show them all.
func TestClockJumps(t *testing.T) {
	s, c := openDemo(t)
	ctx := t.Context()
	sc := as(t, s, "mira")
	before, err := s.Job(ctx, sc, "J-2063")
	if err != nil {
		t.Fatal(err)
	}
	jumps := []time.Duration{time.Hour, -10 * 365 * 24 * time.Hour, 20 * 365 * 24 * time.Hour, -time.Second, -30 * 365 * 24 * time.Hour, 40 * 365 * 24 * time.Hour}
	for i, jump := range jumps {
		c.pass(jump)
		n := NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: fmt.Sprint("jump ", i)})}
		if i%2 == 0 { // the writer's clock is wrong as well
			n.At = day.Add(-jump)
		}
		for range 2 {
			a, err := s.Add(ctx, sc, "J-2063", n)
			if err != nil || !a.Kept {
				t.Fatalf("jump %d: %v", i, err)
			}
			n.ID = a.Entry.ID // sent again
			n.At = a.Entry.At.Time()
		}
		if _, err := s.Jobs(ctx, sc, JobQuery{}); err != nil {
			t.Errorf("jump %d: %v", i, err)
		}
		if _, err := s.Past(ctx, sc); err != nil {
			t.Errorf("jump %d: %v", i, err)
		}
	}
	j, err := s.Job(ctx, sc, "J-2063")
	if err != nil || len(j.State.Notes) != len(before.State.Notes)+len(jumps) {
		t.Fatalf("%d notes, want %d: %v", len(j.State.Notes), len(before.State.Notes)+len(jumps), err)
	}
	for i, k := range j.State.Notes[len(before.State.Notes):] {
		if want := fmt.Sprint("jump ", i); k.Body.Text != want {
			t.Errorf("note %d is %q, want %q", i, k.Body.Text, want)
		}
	}
	if damage, err := s.Check(ctx); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
}

// Two hundred tablets write at once, each entry twice, to a handful of jobs
// through two processes on one file: each entry is there once.
func TestTwoHundredTablets(t *testing.T) {
	if testing.Short() {
		t.Skip("takes some seconds")
	}
	folder := t.TempDir()
	open := func() *Shop {
		s, err := OpenFolder(t.Context(), folder, Options{})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = s.Close() })
		return s
	}
	one := open()
	if err := one.LoadDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	shops := []*Shop{one, open()}
	jobs := []string{"J-2057", "J-2063"}
	const tablets, each = 200, 3
	had := map[string]int{}
	sc := as(t, one, "mira")
	for _, name := range jobs {
		j, err := one.Job(t.Context(), sc, name)
		if err != nil {
			t.Fatal(err)
		}
		had[name] = len(j.State.Notes)
	}
	var group sync.WaitGroup
	for w := range tablets {
		group.Go(func() {
			for n := range each {
				entry := NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: fmt.Sprint(w, " ", n)})}
				for range 2 {
					a, err := shops[w%2].Add(t.Context(), sc, jobs[w/2%2], entry)
					if err != nil || !a.Kept {
						t.Errorf("tablet %d: %v", w, err)
						return
					}
					entry.ID, entry.At = a.Entry.ID, a.Entry.At.Time()
				}
			}
		})
	}
	group.Wait()
	for _, name := range jobs {
		for _, s := range shops {
			j, err := s.Job(t.Context(), sc, name)
			if err != nil || len(j.State.Notes) != had[name]+tablets/2*each {
				t.Errorf("%s: %d notes, want %d: %v", name, len(j.State.Notes), had[name]+tablets/2*each, err)
			}
		}
	}
	if damage, err := one.Check(t.Context()); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
}
