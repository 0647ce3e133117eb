package shop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"sort"
	"sync"
	"testing"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

var day = time.Date(2026, 6, 1, 8, 0, 0, 0, time.UTC)

// clock is a clock that a test sets.
type clock struct {
	mutex sync.Mutex
	at    time.Time
}

func (c *clock) now() time.Time {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.at = c.at.Add(time.Millisecond)
	return c.at
}

func (c *clock) pass(d time.Duration) {
	c.mutex.Lock()
	defer c.mutex.Unlock()
	c.at = c.at.Add(d)
}

func openDemo(t testing.TB) (*Shop, *clock) {
	t.Helper()
	c := &clock{at: day}
	home := Home{Folder: t.TempDir()}
	if database := storetest.Database(t); database != "" {
		home = Home{Database: database}
	}
	s, err := home.Open(context.Background(), Options{Now: c.now})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.Close(); err != nil {
			t.Error(err)
		}
	})
	if err := s.LoadDemo(context.Background()); err != nil {
		t.Fatal(err)
	}
	return s, c
}

func as(t testing.TB, s *Shop, person string) Scope {
	t.Helper()
	sc, err := s.DemoScope(context.Background(), person)
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

func body(t testing.TB, v any) json.RawMessage {
	t.Helper()
	raw, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// The demo is the same after it was loaded, twice, as it is by itself.
func TestLoadDemo(t *testing.T) {
	s, _ := openDemo(t)
	if err := s.LoadDemo(t.Context()); err != nil {
		t.Fatal(err)
	}
	for _, name := range demo.Jobs() {
		want, err := demo.Job(name)
		if err != nil {
			t.Fatal(err)
		}
		j, err := s.Job(t.Context(), as(t, s, "odell"), name)
		if err != nil {
			t.Fatal(err)
		}
		if !reflect.DeepEqual(j.Entries, want.Entries) {
			t.Errorf("%s: the entries differ", name)
		}
		in, err := assess.FromJob(job.Fold(want), time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := fmt.Sprint(j.Assessment.Warnings), fmt.Sprint(assess.Assess(in).Warnings); got != want {
			t.Errorf("%s: warnings\n%s\nwant\n%s", name, got, want)
		}
	}
	damage, err := s.Check(t.Context())
	if err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
}

func TestJobList(t *testing.T) {
	s, _ := openDemo(t)
	groups, err := s.Jobs(t.Context(), as(t, s, "odell"), JobQuery{})
	if err != nil {
		t.Fatal(err)
	}
	open := map[string]Wait{}
	for _, g := range groups {
		for _, r := range g.Rows {
			open[r.Job] = g.Waits
			if r.NextTitle().IsZero() || r.Steps == 0 || len(r.Stages) == 0 {
				t.Errorf("the row of %s says too little: %+v", r.Job, r)
			}
		}
	}
	if len(open) != 2 || open["J-2063"] == "" || open["J-2057"] == "" {
		t.Errorf("open jobs are %v", open)
	}
	closed, err := s.Jobs(t.Context(), as(t, s, "odell"), JobQuery{Waits: Done})
	if err != nil || len(closed) != 1 || closed[0].Rows[0].Job != "J-2041" || closed[0].Rows[0].Result != "in service" {
		t.Errorf("%+v %v", closed, err)
	}
}

// A pump is received, read, judged: each entry gives its answer, a hint and a
// row in the list; the same entry again changes nothing.
func TestReceiveAndAdd(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	office, bench := as(t, s, "ines"), as(t, s, "mira")
	hints, leave := s.Subscribe(bench)
	defer leave()
	r := Receipt{ID: deriveID(day, "receipt", "x"), Open: job.Open{Tag: "P-9", Serial: "KQ-0999", Owner: "Somebody (invented)", Complaint: "drips"}, Sheet: "demo-pump-m", Service: "service-light-oil", At: day}
	a, err := s.Receive(ctx, office, r)
	if err != nil {
		t.Fatal(err)
	}
	if a.Job.Assessment == nil || a.Job.Name != "J-1001" || a.Job.State.Open.Body.Tag != "P-9" || a.Job.Assessment.Inputs.Service == nil || len(a.Job.Assessment.Inputs.Shop.Instruments) == 0 {
		t.Fatalf("%+v", a.Job)
	}
	if len(a.Job.Assessment.Inputs.Shop.People) > 0 {
		t.Error("the job carries names of people")
	}
	again, err := s.Receive(ctx, office, r)
	if err != nil || again.Job.Name != a.Job.Name || again.Job.Seq != a.Job.Seq || again.Fresh {
		t.Errorf("received again: %+v %v", again, err)
	}
	if h := nextHint(t, hints, "job:J-1001"); h.Seq != a.Job.Seq {
		t.Errorf("hint %+v", h)
	}

	n := NewEntry{ID: deriveID(day, "reading", "x"), Kind: job.KindReading, Seen: a.Job.Head,
		Body: body(t, job.Reading{Feature: "end-play", State: job.AsFound, Instrument: "DI-03", Values: []job.Value{{Text: "0.04 mm"}}})}
	first, err := s.Add(ctx, bench, "J-1001", n)
	if err != nil || !first.Kept || !first.Fresh || first.Job.Seq != a.Job.Seq+1 {
		t.Fatalf("%+v %v", first, err)
	}
	if f := first.Job.Assessment.Readings.ByID("end-play", job.AsFound); f == nil || f.Survey == nil {
		t.Error("the reading is not in the answer")
	}
	moved := bench
	moved.Device = "another sign-in"
	twice, err := s.Add(ctx, moved, "J-1001", n)
	if err != nil || !twice.Kept || twice.Fresh || !reflect.DeepEqual(twice.Entry, first.Entry) {
		t.Errorf("the same again: %+v %v", twice, err)
	}
	other := n
	other.Body = body(t, job.Reading{Feature: "end-play", State: job.AsFound, Values: []job.Value{{Text: "0.05 mm"}}})
	if _, err := s.Add(ctx, bench, "J-1001", other); say.AsProblem(err) == nil {
		t.Errorf("other content under the id: %v", err)
	}
	if _, err := s.Add(ctx, as(t, s, "tomas"), "J-1001", n); say.AsProblem(err) == nil {
		t.Errorf("another person under the id: %v", err)
	}
	if h := nextHint(t, hints, "job:J-1001"); h.Seq != first.Job.Seq {
		t.Errorf("hint %+v", h)
	}

	groups, err := s.Jobs(ctx, bench, JobQuery{})
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, g := range groups {
		for _, row := range g.Rows {
			if row.Job == "J-1001" {
				found = row.Seq == first.Job.Seq && row.By == "mira"
			}
		}
	}
	if !found {
		t.Errorf("the list is behind: %+v", groups)
	}
	next, err := s.Receive(ctx, office, Receipt{Open: job.Open{Tag: "P-10"}})
	if err != nil || next.Job.Name != "J-1002" || next.Job.Assessment != nil || next.Job.NotAssessed == nil {
		t.Errorf("without a sheet: %+v %v", next, err)
	}
}

func nextHint(t *testing.T, hints <-chan Hint, stream string) Hint {
	t.Helper()
	for {
		select {
		case h := <-hints:
			if h.Stream == stream {
				return h
			}
		case <-time.After(5 * time.Second):
			t.Fatal("no hint came")
		}
	}
}

// What cannot be right is refused with the field; what is unlikely is asked
// about and kept once it is confirmed.
func TestRefused(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	bench := as(t, s, "mira")
	before, err := s.Job(ctx, bench, "J-2063")
	if err != nil {
		t.Fatal(err)
	}
	reading := func(feature, text string, confirmed bool) NewEntry {
		return NewEntry{Kind: job.KindReading, Body: body(t, job.Reading{Feature: feature, State: job.AsFound, Confirmed: confirmed, Values: []job.Value{{Text: text}}})}
	}
	for name, c := range map[string]struct {
		entry NewEntry
		field string
	}{
		"no such feature": {reading("nothing", "1 mm", false), "feature"},
		"wrong dimension": {reading("end-play", "3 bar", false), "values[0].text"},
		"no number":       {reading("end-play", "much", false), "values[0].text"},
		"kind":            {NewEntry{Kind: "shout", Body: body(t, 1)}, "kind"},
		"open":            {NewEntry{Kind: job.KindOpen, Body: body(t, job.Open{})}, "kind"},
		"body":            {NewEntry{Kind: job.KindNote, Body: json.RawMessage(`[1]`)}, "body"},
		"no JSON":         {NewEntry{Kind: job.KindNote, Body: json.RawMessage(`{`)}, "body"},
		"large":           {NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: string(make([]byte, mostBody))})}, "body"},
		"id":              {NewEntry{ID: "../../x", Kind: job.KindNote, Body: body(t, job.Note{Text: "x"})}, "id"},
		"void nothing":    {NewEntry{Kind: job.KindVoid, Body: body(t, job.Void{Entry: "nothing", Reason: "r"})}, "entry"},
		"void no reason":  {NewEntry{Kind: job.KindVoid, Body: body(t, job.Void{Entry: before.Entries[5].ID})}, "reason"},
		"skip no reason":  {NewEntry{Kind: job.KindStep, Body: body(t, job.Mark{Step: "receive-missing", Mark: "skipped"})}, "reason"},
		"hold as step":    {NewEntry{Kind: job.KindStep, Body: body(t, job.Mark{Step: "receive-liquid", Mark: "skipped", Reason: "r"})}, "step"},
		"behind a hold":   {NewEntry{Kind: job.KindStep, Body: body(t, job.Mark{Step: "safe-remove", Mark: "done"})}, "step"},
	} {
		if _, err := s.Add(ctx, bench, "J-2063", c.entry); say.AsProblem(err) == nil || say.AsProblem(err).Field != c.field {
			t.Errorf("%s: %v", name, err)
		}
	}
	after, _ := s.Job(ctx, bench, "J-2063")
	if after.Seq != before.Seq {
		t.Error("something was kept")
	}
	asked, err := s.Add(ctx, bench, "J-2063", reading("rotor-od", "15.9 mm", false))
	if err != nil || asked.Kept || len(asked.Warnings) == 0 {
		t.Errorf("an unlikely value: %+v %v", asked, err)
	}
	sure, err := s.Add(ctx, bench, "J-2063", reading("rotor-od", "15.9 mm", true))
	if err != nil || !sure.Kept {
		t.Errorf("confirmed: %+v %v", sure, err)
	}
	if _, err := s.Add(ctx, bench, "J-9999", reading("rotor-od", "159.9 mm", false)); !errors.Is(err, ErrNotFound) {
		t.Errorf("a job that is not there: %v", err)
	}
	if _, err := s.Add(ctx, bench, "../sheet", reading("rotor-od", "159.9 mm", false)); !errors.Is(err, ErrNotFound) {
		t.Errorf("a path: %v", err)
	}
}

func TestSignAndVoid(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	bench, lead, plant := as(t, s, "mira"), as(t, s, "odell"), as(t, s, "plant")
	for name, c := range map[string]struct {
		sc    Scope
		sign  job.Sign
		field string
	}{
		"a role of others":  {bench, job.Sign{Step: "receive-liquid", Role: "lead"}, "role"},
		"a role too little": {bench, job.Sign{Step: "receive-liquid", Role: "technician"}, "role"},
		"no hold point":     {lead, job.Sign{Step: "receive-identify", Role: "lead"}, "step"},
		"the plant":         {plant, job.Sign{Step: "receive-liquid", Role: "operations"}, "role"},
	} {
		if _, err := s.Sign(ctx, c.sc, "J-2063", "", c.sign, ""); say.AsProblem(err) == nil || say.AsProblem(err).Field != c.field {
			t.Errorf("%s: %v", name, err)
		}
	}
	a, err := s.Sign(ctx, lead, "J-2063", "", job.Sign{Step: "receive-liquid", Role: "lead", For: "papers seen"}, "")
	if err != nil || len(a.Job.State.Signs) == 0 {
		t.Fatalf("%+v %v", a, err)
	}
	// What the signature rests on is in the job; once, as long as it stays so.
	n := len(a.Job.State.Basis)
	if a.Entry.Kind != job.KindSign || a.Job.Entries[len(a.Job.Entries)-2].Kind != job.KindBasis {
		t.Errorf("no basis before the signature: %+v", a.Entry)
	}
	plantSign := job.Sign{Step: "safe-isolate", Role: "operations"}
	again, err := s.Sign(ctx, plant, "J-2063", "", plantSign, "")
	if err != nil || len(again.Job.State.Basis) != n {
		t.Errorf("%d copies of the same basis, had %d; %v", len(again.Job.State.Basis), n, err)
	}
	if _, err := s.SaveInstrument(ctx, lead, NewFact{}, map[string]any{"id": "OM-04", "kind": "outside micrometer", "due": "2031-01-31"}); err != nil {
		t.Fatal(err)
	}
	again, err = s.Sign(ctx, plant, "J-2063", "", plantSign, "")
	if err != nil || len(again.Job.State.Basis) != n+1 || again.Job.Assessment.Inputs.Shop.Find("OM-04").Due != "2031-01-31" {
		t.Errorf("the new certificate is not in the basis: %v", err)
	}
	note, err := s.Add(ctx, bench, "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "wrong pump"})})
	if err != nil {
		t.Fatal(err)
	}
	var no *Denied
	if _, err := s.Void(ctx, as(t, s, "tomas"), "J-2063", "", note.Entry.ID, "not mine", ""); !errors.As(err, &no) || no.Operation != access.VoidAny {
		t.Errorf("voided by another: %v", err)
	}
	v, err := s.Void(ctx, bench, "J-2063", "", note.Entry.ID, "typed at the wrong job", "")
	if err != nil || len(v.Job.State.Voided) != 1 {
		t.Errorf("%+v %v", v, err)
	}
	if _, err := s.Void(ctx, lead, "J-2063", "", note.Entry.ID, "again", ""); say.AsProblem(err) == nil {
		t.Errorf("voided twice: %v", err)
	}
	if _, err := s.Void(ctx, lead, "J-2063", "", v.Job.Entries[0].ID, "gone", ""); say.AsProblem(err) == nil {
		t.Errorf("the opening was voided: %v", err)
	}
	if _, err := s.Add(ctx, bench, "J-2041", NewEntry{Kind: job.KindStep, Body: body(t, job.Mark{Step: "clean", Mark: "done"})}); say.AsProblem(err) == nil {
		t.Errorf("a closed job took a step: %v", err)
	}
	if _, err := s.Add(ctx, bench, "J-2041", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "still runs"})}); err != nil {
		t.Errorf("a closed job takes notes: %v", err)
	}
}

// The whole demo job, entry by entry as people would write it, is taken and
// ends in the same state.
func TestWholeJob(t *testing.T) {
	s, c := openDemo(t)
	ctx := t.Context()
	for _, name := range demo.Jobs() {
		stream, err := demo.Job(name)
		if err != nil {
			t.Fatal(err)
		}
		want := job.Fold(stream)
		var open job.Open
		if err := json.Unmarshal(stream.Entries[0].Body, &open); err != nil {
			t.Fatal(err)
		}
		r := Receipt{Job: "again-" + name, Open: open, At: stream.Entries[0].At.Time()}
		r.Sheet, r.Service = trimYAML(want.Sheets[0].Body.Name), trimYAML(want.Services[0].Body.Name)
		if _, err := s.Receive(ctx, as(t, s, "ines"), r); err != nil {
			t.Fatal(err)
		}
		for _, e := range stream.Entries {
			if e.Kind == job.KindOpen || e.Kind == job.KindSheet || e.Kind == job.KindService || e.Kind == job.KindBasis {
				continue
			}
			c.pass(time.Second)
			a, err := s.Add(ctx, as(t, s, e.By), r.Job, NewEntry{Kind: e.Kind, Body: e.Body, At: e.At.Time()})
			if err != nil || !a.Kept {
				t.Fatalf("%s: entry %d (%s by %s) %s: %v %v", name, e.Seq, e.Kind, e.By, e.Body, err, a)
			}
		}
		j, err := s.Job(ctx, as(t, s, "odell"), r.Job)
		if err != nil {
			t.Fatal(err)
		}
		in, err := assess.FromJob(want, time.Time{})
		if err != nil {
			t.Fatal(err)
		}
		if got, want := j.Assessment.Progress.Done, assess.Assess(in).Progress.Done; got != want {
			t.Errorf("%s: %d steps are done, want %d", name, got, want)
		}
	}
}

func trimYAML(name string) string { return name[:len(name)-len(".yaml")] }

// A kept assessment is the same as a new one, whoever writes and however many
// at once; every acknowledged entry is there once.
func TestManyAtOnce(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	people := []string{"mira", "tomas", "odell"}
	var group sync.WaitGroup
	var mutex sync.Mutex
	ids := map[string]bool{}
	for w := range 9 {
		group.Go(func() {
			sc := as(t, s, people[w%3])
			for n := range 8 {
				a, err := s.Add(ctx, sc, "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: fmt.Sprintf("%d %d", w, n)})})
				if err != nil {
					t.Error(err)
					return
				}
				mutex.Lock()
				ids[a.Entry.ID] = true
				mutex.Unlock()
			}
		})
	}
	group.Wait()
	j, err := s.Job(ctx, as(t, s, "odell"), "J-2063")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, e := range j.Entries {
		if ids[e.ID] {
			found++
		}
	}
	if found != 72 || len(ids) != 72 {
		t.Errorf("%d of %d acknowledged entries are there", found, len(ids))
	}
	stream := &record.Stream{Name: j.Stream, Entries: j.Entries}
	in, err := assess.FromJob(job.Fold(stream), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := fmt.Sprint(j.Assessment.Warnings), fmt.Sprint(assess.Assess(in).Warnings); got != want {
		t.Errorf("warnings %s, want %s", got, want)
	}
}

// Two processes on one file: each sees the other's entries with the next
// question, and vets against them.
func TestTwoShops(t *testing.T) {
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
	two := open()
	for i := range 6 {
		s := []*Shop{one, two}[i%2]
		a, err := s.Add(t.Context(), as(t, s, "mira"), "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: fmt.Sprint(i)})})
		if err != nil || len(a.Job.State.Notes) != i+2 {
			t.Fatalf("%d: %d notes %v", i, len(a.Job.State.Notes), err)
		}
	}
}

func TestSearch(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	if _, err := s.Add(ctx, as(t, s, "mira"), "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: "Überlauf tastes of burnt caramel"})}); err != nil {
		t.Fatal(err)
	}
	for typed, want := range map[string]string{
		"caram": "note J-2063", "uberl": "note J-2063", "kq0187": "job J-2041", "P-7": "job J-2063", "tarn hol": "job J-2063", "demo-pump-m": "sheet demo-pump-m", "torque wr": "instrument TW-02",
	} {
		hits, err := s.Search(ctx, as(t, s, "mira"), typed)
		if err != nil {
			t.Fatal(err)
		}
		found := false
		for _, h := range hits {
			found = found || h.Kind+" "+h.Name == want
		}
		if !found {
			t.Errorf("“%s” does not find %s: %+v", typed, want, hits)
		}
	}
	before, _ := s.Search(ctx, as(t, s, "mira"), "p")
	if err := s.Remake(ctx, as(t, s, "odell")); err != nil {
		t.Fatal(err)
	}
	after, _ := s.Search(ctx, as(t, s, "mira"), "p")
	keys := func(hits []Hit) (list []string) {
		for _, h := range hits {
			list = append(list, h.Kind+h.Name+h.Ref)
		}
		sort.Strings(list)
		return list
	}
	if len(before) < 3 || !reflect.DeepEqual(keys(before), keys(after)) {
		t.Errorf("made again, the search finds %v, before %v", keys(after), keys(before))
	}
}

func TestPumpHistory(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	a, err := s.Receive(ctx, as(t, s, "ines"), Receipt{Open: job.Open{Tag: "P-310", Serial: "KQ-0187", Owner: "Saltmarsh Blending (invented)"}, Sheet: "demo-pump-m"})
	if err != nil {
		t.Fatal(err)
	}
	p, machine, place, err := s.Pump(ctx, as(t, s, "mira"), "KQ-0187")
	if err != nil || p.Tag != "P-310" || p.Sheet != "demo-pump-m" || len(machine) != 2 || machine[0].Job != a.Job.Name || len(place) != 0 {
		t.Errorf("%+v %+v %+v %v", p, machine, place, err)
	}
	if pumps, err := s.Pumps(ctx, as(t, s, "mira"), "", 9); err != nil || len(pumps) != 3 {
		t.Errorf("%+v %v", pumps, err)
	}
	if _, _, _, err := s.Pump(ctx, as(t, s, "mira"), "nothing"); !errors.Is(err, ErrNotFound) {
		t.Errorf("%v", err)
	}
}

// What else is kept of a machine, such as its running hours, leaves alone what
// it is and how it is found.
func TestPumpWithMeter(t *testing.T) {
	s, _ := openDemo(t)
	ctx := t.Context()
	mira := as(t, s, "mira")
	before, _, _, err := s.Pump(ctx, mira, "KQ-0187")
	if err != nil || before.Tag == "" {
		t.Fatalf("%+v %v", before, err)
	}
	meter := record.Entry{ID: deriveID(day, "meter", "x"), Stream: "pump:KQ-0187", Kind: "meter", Version: 1, Body: body(t, map[string]any{"hours": 1200}), By: "mira", At: record.TimeOf(day), Received: record.TimeOf(day)}
	put := meter
	put.ID, put.Stream, put.Kind, put.Body = deriveID(day, "put", "x"), "pump:ZZ-1", "installed", body(t, map[string]any{"tag": "P-900", "owner": "Quay Works (invented)", "on": "2026-01-02"})
	for _, e := range []record.Entry{meter, put} {
		if _, _, err := s.store.Append(ctx, demoSite, store.AnyHead, e); err != nil {
			t.Fatal(err)
		}
	}
	if after, _, _, err := s.Pump(ctx, mira, "KQ-0187"); err != nil || after != before {
		t.Errorf("%+v %v, want %+v", after, err, before)
	}
	pumps, err := s.Pumps(ctx, mira, "", 9)
	if err != nil || len(pumps) != 4 || !slices.ContainsFunc(pumps, func(p PumpRow) bool { return p.Pump == before }) {
		t.Errorf("%+v %v", pumps, err)
	}
	if last := pumps[len(pumps)-1]; last.Name != "ZZ-1" || last.Tag != "P-900" {
		t.Errorf("%+v", last)
	}
	if err := s.Remake(ctx, as(t, s, "odell")); err != nil {
		t.Fatal(err)
	}
	for typed, want := range map[string]string{before.Tag + " " + before.Serial: "KQ-0187", "P-900": "ZZ-1"} {
		hits, err := s.Search(ctx, mira, typed)
		if found := slices.ContainsFunc(hits, func(h Hit) bool { return h.Kind == "pump" && h.Name == want }); err != nil || !found {
			t.Errorf("%s: %+v %v", typed, hits, err)
		}
	}
}
