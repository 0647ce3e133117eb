// Package storetest is the suite that every store must pass.
package storetest

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var day = time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)

// entry makes an entry; the same number gives the same entry.
func entry(stream string, n int) record.Entry {
	body, _ := json.Marshal(map[string]any{"n": n, "text": "a <b> & ü"})
	return record.Entry{
		ID: record.NewID(day.Add(time.Duration(n)*time.Second), [10]byte{byte(n >> 8), byte(n), byte(len(stream))}), Stream: stream, Kind: "note", Version: 1,
		Body: body, By: "p1", At: record.TimeOf(day), Device: "d1", Seen: "seen", Received: record.TimeOf(day) + record.Time(n),
	}
}

// Run runs the suite; open gives a new and empty store each time.
func Run(t *testing.T, open func(t *testing.T) store.Store) {
	run(t, open, map[string]func(*testing.T, store.Store){
		"append": testAppend, "same id": testSameID, "expected head": testExpected, "all or none": testAllOrNone,
		"concurrent": testConcurrent, "sites": testSites, "lists": testLists, "derived": testDerived, "search": testSearch,
		"blobs": testBlobs, "people": testPeople, "devices": testDevices, "sessions": testSessions, "tries": testTries,
		"links": testLinks, "model": testModel, "tenants": testTenants, "append all": testAppendAll, "since": testSince, "programs": testPrograms,
	})
}

// RunPhotos runs the part of the suite that has to do with photos and papers.
func RunPhotos(t *testing.T, open func(t *testing.T) store.Store) {
	run(t, open, map[string]func(*testing.T, store.Store){"blobs": testBlobs, "tenants": testTenants})
}

func run(t *testing.T, open func(t *testing.T) store.Store, tests map[string]func(*testing.T, store.Store)) {
	for name, test := range tests {
		t.Run(name, func(t *testing.T) {
			s := open(t)
			for _, id := range []string{"a", "b"} {
				if err := s.AddSite(t.Context(), store.Site{ID: id, Name: "site " + id, Created: 1}); err != nil {
					t.Fatal(err)
				}
			}
			test(t, s)
			damage, err := s.Check(t.Context())
			if err != nil || len(damage) > 0 {
				t.Errorf("afterwards the store is damaged: %v %v", damage, err)
			}
		})
	}
	t.Run("copy", func(t *testing.T) { testCopy(t, open(t), open(t)) })
}

func mustAppend(t *testing.T, s store.Store, site string, entries ...record.Entry) []record.Entry {
	t.Helper()
	sealed, _, err := s.Append(t.Context(), site, store.AnyHead, entries...)
	if err != nil {
		t.Fatal(err)
	}
	return sealed
}

func testAppend(t *testing.T, s store.Store) {
	var want record.Stream
	for n := range 5 {
		e, err := want.Append(entry("job:J-1", n))
		if err != nil {
			t.Fatal(err)
		}
		got := mustAppend(t, s, "a", entry("job:J-1", n))
		if !reflect.DeepEqual(got[0], e) {
			t.Fatalf("kept as %+v, want %+v", got[0], e)
		}
	}
	back, err := s.Load(t.Context(), "a", "job:J-1", 0)
	if err != nil || !reflect.DeepEqual(back, &want) {
		t.Errorf("read back %+v %v", back, err)
	}
	if tail, err := s.Load(t.Context(), "a", "job:J-1", 3); err != nil || len(tail.Entries) != 2 || tail.Entries[0].Seq != 4 {
		t.Errorf("the entries after the third: %+v %v", tail, err)
	}
	one, err := s.Entry(t.Context(), "a", want.Entries[2].ID)
	if err != nil || !reflect.DeepEqual(one, want.Entries[2]) {
		t.Errorf("by id: %+v %v", one, err)
	}
	if _, err := s.Entry(t.Context(), "a", "nothing"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("an entry that is not there gives %v", err)
	}
}

func testSameID(t *testing.T, s store.Store) {
	first := mustAppend(t, s, "a", entry("job:J-1", 1))
	mustAppend(t, s, "a", entry("job:J-1", 2))
	again := entry("job:J-1", 1)
	again.Body = json.RawMessage(` {"text":"a <b> & ü",  "n":1} `) // other spelling, same content
	again.Seen, again.Received = "other", 99                       // not the writer's content
	got, fresh, err := s.Append(t.Context(), "a", store.AnyHead, again)
	if err != nil || fresh != 0 || !reflect.DeepEqual(got, first) {
		t.Errorf("the same entry again: %+v fresh %d %v", got, fresh, err)
	}
	for name, change := range map[string]func(*record.Entry){
		"body":   func(e *record.Entry) { e.Body = json.RawMessage(`{"n":7}`) },
		"kind":   func(e *record.Entry) { e.Kind = "reading" },
		"person": func(e *record.Entry) { e.By = "p2" },
		"stream": func(e *record.Entry) { e.Stream = "job:J-2" },
		"time":   func(e *record.Entry) { e.At++ },
	} {
		other := entry("job:J-1", 1)
		change(&other)
		if _, _, err := s.Append(t.Context(), "a", store.AnyHead, other); say.AsProblem(err) == nil {
			t.Errorf("other %s under a taken id gives %v", name, err)
		}
	}
	if h, _ := s.HeadOf(t.Context(), "a", "job:J-1"); h.Seq != 2 {
		t.Errorf("the head stands at %d", h.Seq)
	}
	twice := entry("job:J-1", 3)
	if got, fresh, err := s.Append(t.Context(), "a", store.AnyHead, twice, twice); err != nil || fresh != 1 || got[0].Seq != got[1].Seq {
		t.Errorf("one entry twice in one step: %+v fresh %d %v", got, fresh, err)
	}
}

func testExpected(t *testing.T, s store.Store) {
	ctx := t.Context()
	none := store.Head{Stream: "job:J-1"}
	sealed, _, err := s.Append(ctx, "a", none, entry("job:J-1", 1))
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.Append(ctx, "a", none, entry("job:J-1", 2)); !errors.Is(err, store.ErrMoved) {
		t.Errorf("a stream that was expected to be empty: %v", err)
	}
	here, _ := s.HeadOf(ctx, "a", "job:J-1")
	if here.Seq != 1 || here.Hash != sealed[0].Hash {
		t.Errorf("head %+v", here)
	}
	if _, fresh, err := s.Append(ctx, "a", here, entry("job:J-1", 2)); err != nil || fresh != 1 {
		t.Errorf("with the right head: %v", err)
	}
	if _, fresh, err := s.Append(ctx, "a", here, entry("job:J-1", 2)); err != nil || fresh != 0 {
		t.Errorf("the same again with the old head: %v", err)
	}
	if _, _, err := s.Append(ctx, "a", here, entry("job:J-1", 3)); !errors.Is(err, store.ErrMoved) {
		t.Errorf("with an old head: %v", err)
	}
}

func testAllOrNone(t *testing.T, s store.Store) {
	mustAppend(t, s, "a", entry("job:J-1", 1))
	bad := entry("job:J-1", 1)
	bad.By = "somebody else"
	if _, _, err := s.Append(t.Context(), "a", store.AnyHead, entry("job:J-1", 2), bad); say.AsProblem(err) == nil {
		t.Fatalf("a refused entry gives %v", err)
	}
	if _, _, err := s.Append(t.Context(), "a", store.AnyHead, entry("job:J-1", 2), entry("job:J-2", 3)); say.AsProblem(err) == nil {
		t.Fatalf("two streams in one step give %v", err)
	}
	if h, _ := s.HeadOf(t.Context(), "a", "job:J-1"); h.Seq != 1 {
		t.Errorf("a part was kept: the head stands at %d", h.Seq)
	}
	if _, _, err := s.Append(t.Context(), "nowhere", store.AnyHead, entry("job:J-1", 9)); err == nil {
		t.Error("a site that is not there took an entry")
	}
}

// Many writers on few streams, each entry sent twice: each is kept once, the
// chains hold, and each writer's own entries stand in his order.
func testConcurrent(t *testing.T, s store.Store) {
	const writers, each = 8, 25
	var group sync.WaitGroup
	for w := range writers {
		group.Go(func() {
			stream := fmt.Sprintf("job:J-%d", w%2)
			for n := range each {
				e := entry(stream, w*1000+n)
				for range 2 {
					if _, _, err := s.Append(t.Context(), "a", store.AnyHead, e); err != nil {
						t.Errorf("writer %d: %v", w, err)
						return
					}
				}
			}
		})
	}
	group.Wait()
	for i := range 2 {
		stream, err := s.Load(t.Context(), "a", fmt.Sprintf("job:J-%d", i), 0)
		if err != nil || len(stream.Entries) != writers/2*each {
			t.Fatalf("%d entries %v", len(stream.Entries), err)
		}
		last := map[int]int{}
		for _, e := range stream.Entries {
			var body struct{ N int }
			if err := json.Unmarshal(e.Body, &body); err != nil {
				t.Fatal(err)
			}
			w, n := body.N/1000, body.N%1000+1
			if n != last[w]+1 {
				t.Fatalf("writer %d: %d follows %d", w, n, last[w])
			}
			last[w] = n
		}
	}
}

func testSites(t *testing.T, s store.Store) {
	ctx := t.Context()
	mustAppend(t, s, "a", entry("job:J-1", 1))
	if l, err := s.Load(ctx, "b", "job:J-1", 0); err != nil || len(l.Entries) != 0 {
		t.Errorf("the other site reads %+v %v", l, err)
	}
	if _, err := s.Entry(ctx, "b", entry("job:J-1", 1).ID); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("the other site finds the entry: %v", err)
	}
	if heads, _ := s.Heads(ctx, "b", ""); len(heads) != 0 {
		t.Errorf("the other site lists %v", heads)
	}
	mustAppend(t, s, "b", entry("job:J-1", 1)) // the same archive may be at two sites
	if err := s.AddSite(ctx, store.Site{ID: "a", Name: "renamed", Created: 5}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []struct {
		site string
		n    int64
	}{{"a", 1}, {"a", 2}, {"b", 1}, {"a", 3}} {
		if n, err := s.Next(ctx, want.site, "job"); err != nil || n != want.n {
			t.Errorf("next of %s: %d, want %d; %v", want.site, n, want.n, err)
		}
	}
	sites, err := s.Sites(ctx)
	if err != nil || len(sites) != 2 || sites[0].Name != "renamed" || sites[0].Created != 1 {
		t.Errorf("%+v %v", sites, err)
	}
}

func testLists(t *testing.T, s store.Store) {
	ctx := t.Context()
	for i, name := range []string{"sheet:b", "sheet:a", "sheet:a", "sheets", "sheet", "job:sheet:c"} {
		mustAppend(t, s, "a", entry(name, i))
	}
	for _, c := range []struct {
		behind string
		limit  int
		want   string
	}{{"", 1, "sheet:a"}, {"", 9, "sheet:a sheet:b"}, {"sheet:a", 9, "sheet:b"}, {"sheet:b", 9, ""}, {"z", 9, ""}} {
		some, err := s.LoadSome(ctx, "a", "sheet:", c.behind, c.limit)
		names := make([]string, len(some))
		for i, stream := range some {
			names[i] = stream.Name
		}
		if got := strings.Join(names, " "); err != nil || got != c.want {
			t.Errorf("%d behind %q: %q, want %q; %v", c.limit, c.behind, got, c.want, err)
		}
	}
	for _, text := range []string{"a\x00b", "a\xffb"} { // kept by one database, not by the other: by none
		if _, err := s.HeadOf(ctx, "a", text); say.AsProblem(err) == nil {
			t.Errorf("asked for %q: %v", text, err)
		}
		if _, _, err := s.Append(ctx, "a", store.AnyHead, entry("job:"+text, 9)); say.AsProblem(err) == nil {
			t.Errorf("written as %q: %v", text, err)
		}
		if err := s.PutPerson(ctx, "a", store.Person{ID: "p", Name: text}); say.AsProblem(err) == nil {
			t.Errorf("a person %q: %v", text, err)
		}
	}
	heads, err := s.Heads(ctx, "a", "sheet:")
	if err != nil || len(heads) != 2 || heads[0].Stream != "sheet:a" || heads[0].Seq != 2 {
		t.Errorf("%+v %v", heads, err)
	}
	latest, err := s.Latest(ctx, "a", "sheet:")
	if err != nil || len(latest) != 2 || latest[0].ID != entry("sheet:a", 2).ID || latest[1].Stream != "sheet:b" {
		t.Errorf("%+v %v", latest, err)
	}
}

func testDerived(t *testing.T, s store.Store) {
	ctx := t.Context()
	put := func(n int, waits, owner string, since record.Time) {
		t.Helper()
		stream := fmt.Sprintf("job:J-%d", n)
		e := mustAppend(t, s, "a", entry(stream, n))[0]
		sum := store.Summary{Waits: waits, Since: since, Opened: record.Time(n), Tag: "T", Serial: "S", Owner: owner, Data: "{}"}
		if err := s.PutDerived(ctx, "a", store.Head{Stream: stream, Seq: e.Seq, Hash: e.Hash}, &sum, nil); err != nil {
			t.Fatal(err)
		}
	}
	for n := range 5 {
		put(n, "hand", "o1", record.Time(10-n))
	}
	put(5, "sign", "o2", 3)
	if behind, err := s.Behind(ctx, "a", "job:", 9); err != nil || len(behind) != 0 {
		t.Errorf("behind %v %v", behind, err)
	}
	mustAppend(t, s, "a", entry("job:J-2", 100))
	if behind, err := s.Behind(ctx, "a", "job:", 9); err != nil || len(behind) != 1 || behind[0].Seq != 2 {
		t.Errorf("behind %v %v", behind, err)
	}
	if counts, err := s.CountWaits(ctx, "a", ""); err != nil || !reflect.DeepEqual(counts, map[string]int{"hand": 5, "sign": 1}) {
		t.Errorf("%v %v", counts, err)
	}
	if counts, err := s.CountWaits(ctx, "a", "o2"); err != nil || !reflect.DeepEqual(counts, map[string]int{"sign": 1}) {
		t.Errorf("%v %v", counts, err)
	}
	var seen []string
	q := store.SummaryQuery{Waits: "hand", Limit: 2}
	for {
		page, err := s.Summaries(ctx, "a", q)
		if err != nil {
			t.Fatal(err)
		}
		if len(page) == 0 {
			break
		}
		for _, one := range page {
			seen = append(seen, one.Stream)
		}
		q.After = &page[len(page)-1]
	}
	if want := []string{"job:J-4", "job:J-3", "job:J-2", "job:J-1", "job:J-0"}; !reflect.DeepEqual(seen, want) {
		t.Errorf("pages give %v, want %v", seen, want)
	}
	if page, err := s.Summaries(ctx, "a", store.SummaryQuery{Serial: "S"}); err != nil || len(page) != 6 || page[0].Stream != "job:J-5" {
		t.Errorf("by serial %+v %v", page, err)
	}
	// A summary that was made from less than what is there changes nothing.
	old := store.Summary{Waits: "old"}
	if err := s.PutDerived(ctx, "a", store.Head{Stream: "job:J-2", Seq: 0}, &old, nil); err != nil {
		t.Fatal(err)
	}
	if page, _ := s.Summaries(ctx, "a", store.SummaryQuery{Waits: "old"}); len(page) != 0 {
		t.Errorf("an old summary was taken: %+v", page)
	}
	if err := s.ForgetDerived(ctx, "a"); err != nil {
		t.Fatal(err)
	}
	if behind, err := s.Behind(ctx, "a", "job:", 99); err != nil || len(behind) != 6 {
		t.Errorf("behind %v %v", behind, err)
	}
	if page, _ := s.Summaries(ctx, "a", store.SummaryQuery{}); len(page) != 0 {
		t.Errorf("%d summaries are left", len(page))
	}
}

func testSearch(t *testing.T, s store.Store) {
	ctx := t.Context()
	e := mustAppend(t, s, "a", entry("job:J-1", 1))[0]
	texts := []store.Text{
		{Stream: "job:J-1", Ref: "", Kind: "job", Text: "J-1 P-310 Kärcherstraße pump of Søren", At: 5},
		{Stream: "job:J-1", Ref: "x", Kind: "note", Text: "gland nut rusted; grit in the gland", At: 6},
	}
	head := store.Head{Stream: "job:J-1", Seq: e.Seq, Hash: e.Hash}
	for range 2 { // twice is the same as once
		if err := s.PutDerived(ctx, "a", head, nil, texts); err != nil {
			t.Fatal(err)
		}
	}
	for query, want := range map[string]int{
		"p310": 1, "310": 1, "P-3": 1, "karcher": 1, "kärcherstrasse": 1, "gla nut": 1, "gl": 1, "PUMP j-1": 1, "x": 0, "gland pump": 0, "nut z": 0, "søren": 1, "": 0, "—": 0,
	} {
		found, err := s.Search(ctx, "a", store.Words(query), 10)
		if err != nil || len(found) != want {
			t.Errorf("“%s” finds %d, want %d: %+v %v", query, len(found), want, found, err)
		}
		if found, _ := s.Search(ctx, "b", store.Words(query), 10); len(found) != 0 {
			t.Errorf("the other site finds %+v", found)
		}
	}
	texts[1].Text = "gland nut cleaned"
	if err := s.PutDerived(ctx, "a", head, nil, texts[1:]); err != nil {
		t.Fatal(err)
	}
	for query, want := range map[string]int{"rusted": 0, "cleaned": 1, "p310": 0} {
		if found, _ := s.Search(ctx, "a", store.Words(query), 10); len(found) != want {
			t.Errorf("after the change “%s” finds %d, want %d", query, len(found), want)
		}
	}
}

func testBlobs(t *testing.T, s store.Store) {
	ctx := t.Context()
	content := []byte("a picture")
	b, err := s.PutBlob(ctx, "a", store.Blob{Media: "image/jpeg", Name: "p.jpg", Thumb: "t", Created: 3}, content)
	if err != nil || b.Hash != store.HashOf(content) || b.Size != int64(len(content)) {
		t.Fatalf("%+v %v", b, err)
	}
	if again, err := s.PutBlob(ctx, "a", b, content); err != nil || again != b {
		t.Errorf("the same again: %+v %v", again, err)
	}
	got, file, err := s.OpenBlob(ctx, "a", b.Hash)
	if err != nil || got != b {
		t.Fatalf("%+v %v", got, err)
	}
	read := make([]byte, 100)
	n, _ := file.Read(read)
	if string(read[:n]) != string(content) {
		t.Errorf("read %q", read[:n])
	}
	if err := file.Close(); err != nil {
		t.Error(err)
	}
	if _, _, err := s.OpenBlob(ctx, "b", b.Hash); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("the other site opens it: %v", err)
	}
	if _, _, err := s.OpenBlob(ctx, "a", "../../etc"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a path opens something: %v", err)
	}
}

// testModel: whatever is appended in whatever order, the store holds what a
// stream in memory would hold.
func testModel(t *testing.T, s store.Store) {
	round := 0
	rapid.Check(t, func(t *rapid.T) {
		round++
		name := fmt.Sprintf("job:M-%d", round)
		model := record.Stream{Name: name}
		for _, n := range rapid.SliceOfN(rapid.IntRange(0, 9), 0, 12).Draw(t, "entries") {
			e := entry(name, round*10+n)
			if rapid.Bool().Draw(t, "changed") {
				e.Kind = "finding"
			}
			_, wantErr := model.Append(e)
			_, _, err := s.Append(context.Background(), "a", store.AnyHead, e)
			if (err == nil) != (wantErr == nil) {
				t.Fatalf("the store says %v, the model %v", err, wantErr)
			}
		}
		got, err := s.Load(context.Background(), "a", name, 0)
		if err != nil || len(got.Entries) != len(model.Entries) || got.Head() != model.Head() {
			t.Fatalf("%d entries, want %d; %v", len(got.Entries), len(model.Entries), err)
		}
	})
}

func testAppendAll(t *testing.T, s store.Store) {
	ctx := t.Context()
	mustAppend(t, s, "a", entry("job:J-1", 1))
	if err := s.AppendAll(ctx, "a", []record.Entry{entry("job:J-2", 3), entry("job:J-1", 1), entry("job:J-1", 2)}, nil); err != nil {
		t.Fatal(err)
	}
	heads, err := s.Heads(ctx, "a", "")
	if err != nil || len(heads) != 2 || heads[0].Seq != 2 || heads[1].Seq != 1 {
		t.Errorf("%+v %v", heads, err)
	}
	other := entry("job:J-1", 1)
	other.Kind = "reading" // taken by another content: nothing of the lot is kept
	if err := s.AppendAll(ctx, "a", []record.Entry{entry("job:J-0", 9), other}, nil); say.AsProblem(err) == nil {
		t.Errorf("a taken id gives %v", err)
	}
	if heads, err := s.Heads(ctx, "a", "job:J-0"); err != nil || len(heads) != 0 {
		t.Errorf("half of it was kept: %+v %v", heads, err)
	}
}

func testCopy(t *testing.T, from, to store.Store) {
	ctx := t.Context()
	if err := from.AddSite(ctx, store.Site{ID: "a", Name: "site", Created: 1}); err != nil {
		t.Fatal(err)
	}
	mustAppend(t, from, "a", entry("job:J-1", 1), entry("job:J-1", 2))
	mustAppend(t, from, "a", entry("sheet:x", 3))
	b, err := from.PutBlob(ctx, "a", store.Blob{Media: "application/pdf"}, []byte("paper"))
	if err != nil {
		t.Fatal(err)
	}
	if err := from.PutPerson(ctx, "a", store.Person{ID: "p1", Name: "One", Roles: []string{"lead"}, Password: "hash"}); err != nil {
		t.Fatal(err)
	}
	if err := store.Copy(ctx, from, to); err != nil {
		t.Fatal(err)
	}
	for _, stream := range []string{"job:J-1", "sheet:x"} {
		want, _ := from.Load(ctx, "a", stream, 0)
		if got, err := to.Load(ctx, "a", stream, 0); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %+v %v", stream, got, err)
		}
	}
	if _, file, err := to.OpenBlob(ctx, "a", b.Hash); err != nil {
		t.Error(err)
	} else if err := file.Close(); err != nil {
		t.Error(err)
	}
	if p, err := to.Person(ctx, "a", "p1"); err != nil || p.Password != "hash" || p.Roles[0] != "lead" {
		t.Errorf("%+v %v", p, err)
	}
	if behind, err := to.Behind(ctx, "a", "job:", 9); err != nil || len(behind) != 1 {
		t.Errorf("summaries are to be made again: %v %v", behind, err)
	}
	if damage, err := to.Check(ctx); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
	if err := store.Copy(ctx, from, to); say.AsProblem(err) == nil {
		t.Errorf("a store in use was filled: %v", err)
	}
}
