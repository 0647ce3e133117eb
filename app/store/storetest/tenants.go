package storetest

import (
	"errors"
	"testing"

	"pumpwright/app/store"
)

// testTenants: site a has one of everything; whoever asks for site b gets none
// of it and changes none of it, whatever id, hash or name he knows.
func testTenants(t *testing.T, s store.Store) {
	ctx := t.Context()
	e := mustAppend(t, s, "a", entry("job:J-1", 1))[0]
	head := store.Head{Stream: "job:J-1", Seq: 1, Hash: e.Hash}
	fail := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	fail(s.PutDerived(ctx, "a", head, &store.Summary{Waits: "w", Tag: "P-1", Serial: "9", Owner: "o", Data: "{}"},
		[]store.Text{{Stream: "job:J-1", Kind: "note", Text: "secret words"}}))
	mustAppend(t, s, "a", entry("job:J-2", 2)) // behind its summary
	blob, err := s.PutBlob(ctx, "a", store.Blob{Media: "image/jpeg"}, []byte("picture"))
	fail(err)
	fail(s.PutPerson(ctx, "a", store.Person{ID: "p", Name: "P", Roles: []string{"lead"}}))
	fail(s.PutDevice(ctx, "a", store.Device{ID: "d", Name: "D", Secret: "s"}))
	fail(s.PutSession(ctx, store.Session{Token: "t", ID: "i", Site: "a", Person: "p", Expires: 99}))
	fail(s.PutLink(ctx, store.Link{Token: "l", ID: "k", Site: "a", Stream: "job:J-1", Expires: 99}))
	fail(s.PutToken(ctx, store.Token{Secret: "x", ID: "x1", Site: "a", Person: "p", Name: "n", Scopes: []string{"read"}}))
	fail(s.PutHook(ctx, store.Hook{ID: "h", Site: "a", Address: "https://a.example/", Secret: "y"}))
	fail(s.PutDelivery(ctx, store.Delivery{ID: "v", Site: "a", Hook: "h", Body: "{}"}))

	// The same questions, once for the owner (who gets something, or the test
	// asks nothing) and once for the neighbour (who gets nothing).
	ask := func(site string) map[string]int {
		got := map[string]int{}
		count := func(name string, n int, err error) {
			if err != nil && !errors.Is(err, store.ErrNotFound) {
				t.Errorf("%s of site %s: %v", name, site, err)
			}
			got[name] = n
		}
		one := func(err error) int {
			if err == nil {
				return 1
			}
			return 0
		}
		stream, err := s.Load(ctx, site, "job:J-1", 0)
		count("load", len(stream.Entries), err)
		h, err := s.HeadOf(ctx, site, "job:J-1")
		count("head", int(h.Seq), err)
		_, err = s.Entry(ctx, site, e.ID)
		count("entry", one(err), err)
		heads, err := s.Heads(ctx, site, "")
		count("heads", len(heads), err)
		latest, err := s.Latest(ctx, site, "")
		count("latest", len(latest), err)
		behind, err := s.Behind(ctx, site, "", 9)
		count("behind", len(behind), err)
		for name, q := range map[string]store.SummaryQuery{"all": {}, "tag": {Tag: "P-1"}, "serial": {Serial: "9"}, "owner": {Owner: "o"}, "stream": {Stream: "job:J-1"}, "waits": {Waits: "w"}} {
			rows, err := s.Summaries(ctx, site, q)
			count("summaries by "+name, len(rows), err)
		}
		waits, err := s.CountWaits(ctx, site, "")
		count("waits", len(waits), err)
		texts, err := s.Search(ctx, site, []string{"secret"}, 9)
		count("search", len(texts), err)
		_, err = s.BlobOf(ctx, site, blob.Hash)
		count("blob", one(err), err)
		_, content, err := s.OpenBlob(ctx, site, blob.Hash)
		count("content", one(err), err)
		if err == nil {
			fail(content.Close())
		}
		_, err = s.Person(ctx, site, "p")
		count("person", one(err), err)
		people, err := s.People(ctx, site)
		count("people", len(people), err)
		devices, err := s.Devices(ctx, site)
		count("devices", len(devices), err)
		sessions, err := s.Sessions(ctx, site, "p")
		count("sessions", len(sessions), err)
		links, err := s.Links(ctx, site, "job:J-1")
		count("links", len(links), err)
		tokens, err := s.Tokens(ctx, site)
		count("tokens", len(tokens), err)
		hooks, err := s.Hooks(ctx, site)
		count("hooks", len(hooks), err)
		return got
	}
	for name, n := range ask("a") {
		if n == 0 {
			t.Errorf("%s: the owner gets nothing, so the question tells nothing", name)
		}
	}
	before := ask("a")
	for name, n := range ask("b") {
		if n != 0 {
			t.Errorf("%s: the neighbour gets %d", name, n)
		}
	}
	fail(s.RevokeSessions(ctx, "b", store.Session{Person: "p", ID: "i"}, 5))
	fail(s.RevokeLink(ctx, "b", "k", 5))
	fail(s.RevokeToken(ctx, "b", "x1", 5))
	fail(s.DropHook(ctx, "b", "h"))
	fail(s.ForgetDerived(ctx, "b"))
	for name, n := range ask("a") {
		if n != before[name] {
			t.Errorf("%s: the neighbour changed it from %d to %d", name, before[name], n)
		}
	}
	if one, err := s.SessionByToken(ctx, "t"); err != nil || one.Revoked != 0 {
		t.Errorf("the neighbour ended a sign-in: %v", err)
	}
	if one, err := s.LinkByToken(ctx, "l"); err != nil || one.Revoked != 0 {
		t.Errorf("the neighbour ended a link: %v", err)
	}
	if one, err := s.TokenBySecret(ctx, "x"); err != nil || one.Revoked != 0 {
		t.Errorf("the neighbour ended a token: %v", err)
	}
}
