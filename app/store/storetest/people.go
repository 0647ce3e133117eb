package storetest

import (
	"errors"
	"reflect"
	"testing"

	"pumpwright/app/store"
	"pumpwright/rebuild/record"
)

func testPeople(t *testing.T, s store.Store) {
	ctx := t.Context()
	p := store.Person{ID: "mira", Name: "Mira", Roles: []string{"technician", "lead"}, Owner: "o", Units: "inch", Language: "de", Password: "h1", PIN: "h2", Created: 4}
	if err := s.PutPerson(ctx, "a", p); err != nil {
		t.Fatal(err)
	}
	if got, err := s.Person(ctx, "a", "mira"); err != nil || !reflect.DeepEqual(got, p) {
		t.Errorf("%+v %v", got, err)
	}
	if _, err := s.Person(ctx, "b", "mira"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("the other site knows her: %v", err)
	}
	p.Name, p.Away, p.Roles = "M.", true, []string{}
	if err := s.PutPerson(ctx, "a", p); err != nil {
		t.Fatal(err)
	}
	if all, err := s.People(ctx, "a"); err != nil || len(all) != 1 || !reflect.DeepEqual(all[0], p) {
		t.Errorf("%+v %v", all, err)
	}
}

func testDevices(t *testing.T, s store.Store) {
	ctx := t.Context()
	d := store.Device{ID: "d1", Name: "bench tablet", Code: "code", Until: 100, By: "odell"}
	if err := s.PutDevice(ctx, "a", d); err != nil {
		t.Fatal(err)
	}
	for _, try := range []struct {
		code string
		at   int64
	}{{"other", 50}, {"", 50}, {"code", 101}} {
		if _, _, err := s.PairDevice(ctx, try.code, "secret", record.Time(try.at)); !errors.Is(err, store.ErrNotFound) {
			t.Errorf("code %q at %d pairs: %v", try.code, try.at, err)
		}
	}
	if _, _, err := s.DeviceBySecret(ctx, ""); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("no secret finds a device: %v", err)
	}
	site, got, err := s.PairDevice(ctx, "code", "secret", 60)
	if err != nil || site != "a" || got.Paired != 60 || got.Code != "" {
		t.Fatalf("%s %+v %v", site, got, err)
	}
	if _, _, err := s.PairDevice(ctx, "code", "secret2", 61); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a code pairs twice: %v", err)
	}
	got.Revoked = 70
	if err := s.PutDevice(ctx, "a", got); err != nil {
		t.Fatal(err)
	}
	if _, _, err := s.DeviceBySecret(ctx, "secret"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a revoked device is found: %v", err)
	}
	if all, err := s.Devices(ctx, "a"); err != nil || len(all) != 1 {
		t.Errorf("%+v %v", all, err)
	}
}

func testSessions(t *testing.T, s store.Store) {
	ctx := t.Context()
	for _, id := range []string{"mira", "odell"} {
		if err := s.PutPerson(ctx, "a", store.Person{ID: id}); err != nil {
			t.Fatal(err)
		}
	}
	all := []store.Session{
		{Token: "t1", ID: "s1", Site: "a", Person: "mira", Device: "d1", ByPIN: true, Created: 1, Used: 1, Expires: 9},
		{Token: "t2", ID: "s2", Site: "a", Person: "mira", Created: 1, Used: 2, Expires: 9},
		{Token: "t3", ID: "s3", Site: "a", Person: "odell", Device: "d1", Created: 1, Used: 3, Expires: 9},
	}
	for _, one := range all {
		if err := s.PutSession(ctx, one); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := s.SessionByToken(ctx, "t1"); err != nil || got != all[0] {
		t.Errorf("%+v %v", got, err)
	}
	if err := s.UseSession(ctx, "t1", 5); err != nil {
		t.Fatal(err)
	}
	if list, err := s.Sessions(ctx, "a", "mira"); err != nil || len(list) != 2 || list[0].ID != "s1" || list[0].Used != 5 {
		t.Errorf("%+v %v", list, err)
	}
	revoked := func() (tokens string) {
		for _, one := range all {
			if got, _ := s.SessionByToken(ctx, one.Token); got.Revoked != 0 {
				tokens += one.Token
			}
		}
		return tokens
	}
	for _, step := range []struct {
		site  string
		which store.Session
		want  string
	}{{"b", store.Session{Person: "mira"}, ""}, {"a", store.Session{Person: "odell", ID: "s1"}, ""}, {"a", store.Session{ID: "s2"}, "t2"}, {"a", store.Session{Device: "d1"}, "t1t2t3"}} {
		if err := s.RevokeSessions(ctx, step.site, step.which, 7); err != nil {
			t.Fatal(err)
		}
		if got := revoked(); got != step.want {
			t.Errorf("after %+v of %s: revoked %s, want %s", step.which, step.site, got, step.want)
		}
	}
	if err := s.RevokeSessions(ctx, "a", store.Session{}, 7); err == nil {
		t.Error("nobody named, all revoked")
	}
}

func testTries(t *testing.T, s store.Store) {
	ctx := t.Context()
	for i, step := range []struct{ at, since, want int64 }{{10, 0, 1}, {11, 0, 2}, {12, 11, 3}, {30, 20, 1}} {
		if err := s.Failed(ctx, "who", record.Time(step.at), record.Time(step.since)); err != nil {
			t.Fatal(err)
		}
		n, last, err := s.Tries(ctx, "who")
		if err != nil || int64(n) != step.want || last != record.Time(step.at) {
			t.Errorf("step %d: %d at %d, want %d; %v", i, n, last, step.want, err)
		}
	}
	if err := s.NotFailed(ctx, "who"); err != nil {
		t.Fatal(err)
	}
	if n, _, err := s.Tries(ctx, "who"); err != nil || n != 0 {
		t.Errorf("one taken back: %d %v", n, err)
	}
	if err := s.ClearTries(ctx, "who"); err != nil {
		t.Fatal(err)
	}
	if n, _, err := s.Tries(ctx, "who"); err != nil || n != 0 {
		t.Errorf("%d %v", n, err)
	}
}

func testLinks(t *testing.T, s store.Store) {
	ctx := t.Context()
	l := store.Link{Token: "t", ID: "l1", Site: "a", Stream: "job:J-1", Person: "ines", Note: "for the plant", Created: 1, Expires: 9}
	if err := s.PutLink(ctx, l); err != nil {
		t.Fatal(err)
	}
	if got, err := s.LinkByToken(ctx, "t"); err != nil || got != l {
		t.Errorf("%+v %v", got, err)
	}
	if err := s.RevokeLink(ctx, "b", "l1", 3); err != nil {
		t.Fatal(err)
	}
	if got, _ := s.LinkByToken(ctx, "t"); got.Revoked != 0 {
		t.Error("the other site revoked it")
	}
	if err := s.RevokeLink(ctx, "a", "l1", 3); err != nil {
		t.Fatal(err)
	}
	if list, err := s.Links(ctx, "a", "job:J-1"); err != nil || len(list) != 1 || list[0].Revoked != 3 {
		t.Errorf("%+v %v", list, err)
	}
}
