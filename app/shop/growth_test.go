package shop

import (
	"encoding/json"
	"reflect"
	"testing"

	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/learned"
	"pumpwright/rebuild/record"
)

// What is kept of a job for the history of its machine says the same as what
// is made anew; a row of another form, or behind its job, is made again.
func TestKeptPast(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	past, err := s.Past(ctx, as(t, s, "odell"))
	if err != nil {
		t.Fatal(err)
	}
	site := as(t, s, "odell").Site
	fresh := func() *Past {
		t.Helper()
		s.pasts = pastCache{}
		p, err := s.Past(ctx, as(t, s, "odell"))
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	same := func(what string, a, b []history.Summary) {
		t.Helper()
		if len(a) == 0 || !reflect.DeepEqual(a, b) {
			x, _ := json.Marshal(a)
			y, _ := json.Marshal(b)
			t.Errorf("%s:\n%s\nwant\n%s", what, y, x)
		}
	}
	kept := fresh()
	same("read back", past.Jobs, kept.Jobs)
	for _, sum := range past.Jobs {
		j, err := s.peek(ctx, jobKey{site, sum.Stream})
		if err != nil {
			t.Fatal(err)
		}
		same(sum.Job, []history.Summary{s.summarise(j)}, []history.Summary{sum})
	}
	for _, old := range []string{"", "{", `{"form":0,"summary":{}}`} {
		rows, err := s.store.Summaries(ctx, site, store.SummaryQuery{Stream: "job:J-2063"})
		if err != nil || len(rows) != 1 {
			t.Fatal(rows, err)
		}
		head, err := s.store.HeadOf(ctx, site, "job:J-2063")
		if err != nil {
			t.Fatal(err)
		}
		rows[0].Past = old
		if err := s.store.PutDerived(ctx, site, head, &rows[0], nil); err != nil {
			t.Fatal(err)
		}
		same("made anew", past.Jobs, fresh().Jobs)
		if again, err := s.store.Pasts(ctx, site, "job:J-2063"); err != nil || again[0].Past == old {
			t.Errorf("%q was kept: %v", old, err)
		}
	}
	if _, err := s.Add(ctx, as(t, s, "mira"), "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "x"})}); err != nil {
		t.Fatal(err)
	}
	after, err := s.Past(ctx, as(t, s, "odell"))
	if err != nil {
		t.Fatal(err)
	}
	same("after an entry", fresh().Jobs, after.Jobs)
}

// What the closed jobs teach is the same however often it was asked before.
func TestLessonsFollow(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	site := as(t, s, "odell").Site
	lessons := func() ([]learned.Lesson, *learned.Learned) {
		t.Helper()
		s.taught.mutex.Lock()
		at, err := s.lessons(ctx, site)
		s.taught.mutex.Unlock()
		if err != nil || len(at.sorted) == 0 {
			t.Fatalf("the closed job teaches nothing: %v", err)
		}
		all, _, err := s.learnedBut(ctx, site, "")
		if err != nil {
			t.Fatal(err)
		}
		if _, n, err := s.learnedBut(ctx, site, "J-2041"); err != nil || n != len(at.sorted) {
			t.Errorf("%d lessons without the job itself, %v", n, err)
		}
		return at.sorted, all
	}
	first, _ := lessons()
	if _, err := s.Add(ctx, as(t, s, "mira"), "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "x"})}); err != nil {
		t.Fatal(err)
	}
	kept, keptAll := lessons()
	s.taught = taughtCache{}
	anew, anewAll := lessons()
	if !reflect.DeepEqual(kept, anew) || len(anew) != len(first) || !reflect.DeepEqual(keptAll, anewAll) {
		t.Errorf("%d lessons are kept, %d made anew", len(kept), len(anew))
	}
	if but, _, err := s.learnedBut(ctx, site, "J-2041"); err != nil || but.Jobs != keptAll.Jobs-1 {
		t.Errorf("without the job itself: %+v, %v", but, err)
	}
}

// A copy of the groups that lists show is counted as entries come: it agrees
// with the rows.
func TestCountsAgree(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	sc := as(t, s, "odell")
	for range 3 {
		if _, err := s.Receive(ctx, sc, Receipt{Open: job.Open{Tag: "P-1", Owner: "Harrow Lane"}, Sheet: "demo-pump-m"}); err != nil {
			t.Fatal(err)
		}
	}
	for _, owner := range []string{"", "Harrow Lane"} {
		if err := s.CatchUp(ctx, sc.Site); err != nil {
			t.Fatal(err)
		}
		counts, err := s.store.CountWaits(ctx, sc.Site, owner)
		if err != nil || len(counts) == 0 {
			t.Fatal(counts, err)
		}
		for _, w := range Waits() {
			rows, err := s.store.Summaries(ctx, sc.Site, store.SummaryQuery{Waits: string(w), Owner: owner})
			if err != nil || len(rows) != counts[string(w)] {
				t.Errorf("%s of %q: counted %d, there are %d: %v", w, owner, counts[string(w)], len(rows), err)
			}
		}
	}
}

// Common words are looked for through the newest texts first: the answer is
// the same as through all.
func TestSearchCommonWords(t *testing.T) {
	db := storetest.Open(t)
	ctx := t.Context()
	s := New(db, Options{})
	t.Cleanup(func() { _ = s.Close() })
	if err := s.LoadDemo(ctx); err != nil {
		t.Fatal(err)
	}
	site := as(t, s, "odell").Site
	head, err := db.HeadOf(ctx, site, "job:J-2063")
	if err != nil {
		t.Fatal(err)
	}
	const many = 6000
	texts := make([]store.Text, many)
	for i := range texts {
		words := "common pin"
		if i < 3 {
			words = "common pin seldom" // the oldest ones
		}
		if i%2 == 0 {
			words += " even"
		}
		texts[i] = store.Text{Stream: head.Stream, Ref: string(rune('a'+i%26)) + string(rune('0'+i/26)), Kind: "note", Text: words, At: record.Time(1 + i)}
	}
	if err := db.PutDerived(ctx, site, head, nil, texts); err != nil {
		t.Fatal(err)
	}
	for query, want := range map[string]int{"common": 50, "common even": 50, "com pi": 50, "seldom": 3, "common seldom": 3, "common absent": 0, "even seldom pin": 2} {
		found, err := db.Search(ctx, site, store.Words(query), 50)
		if err != nil || len(found) != want {
			t.Errorf("“%s” finds %d, want %d: %v", query, len(found), want, err)
		}
		for i := 1; i < len(found); i++ {
			if found[i].At > found[i-1].At {
				t.Errorf("“%s”: not the newest first", query)
				break
			}
		}
	}
}
