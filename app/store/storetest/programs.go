package storetest

import (
	"errors"
	"reflect"
	"sync"
	"sync/atomic"
	"testing"

	"pumpwright/app/store"
)

func testPrograms(t *testing.T, s store.Store) {
	ctx := t.Context()
	fail := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	want := store.Token{Secret: "hash", ID: "t1", Site: "a", Person: "p", Name: "balance", Scopes: []string{"read", "enter"}, Created: 1, Expires: 9}
	fail(s.PutToken(ctx, want))
	if got, err := s.TokenBySecret(ctx, "hash"); err != nil || !reflect.DeepEqual(got, want) {
		t.Errorf("%+v %v", got, err)
	}
	if _, err := s.TokenBySecret(ctx, "other"); !errors.Is(err, store.ErrNotFound) {
		t.Errorf("a token that is not there: %v", err)
	}
	fail(s.RevokeToken(ctx, "a", "t1", 5))
	fail(s.RevokeToken(ctx, "a", "t1", 7))
	if got, err := s.TokenBySecret(ctx, "hash"); err != nil || got.Revoked != 5 {
		t.Errorf("%+v %v", got, err)
	}

	fail(s.PutHook(ctx, store.Hook{ID: "h", Site: "a", Address: "https://a.example/", Secret: "s"}))
	delivery := func(id string) []store.Delivery {
		return []store.Delivery{{ID: id, Site: "a", Hook: "h", Body: "{}", Due: 10, Created: 1}}
	}
	head := func(seq int64) store.Head { return store.Head{Stream: "job:J-1", Seq: seq} }
	for _, c := range []struct {
		seq   int64
		stage string
		told  bool
	}{{1, "receive", true}, {2, "receive", false}, {3, "strip", true}, {2, "receive", false}, {5, "receive", true}} {
		told, err := s.Stage(ctx, "a", head(c.seq), c.stage, delivery("d-"+c.stage+string(rune('0'+c.seq))))
		if err != nil || told != c.told {
			t.Errorf("%+v: told %v, %v", c, told, err)
		}
	}
	if list, err := s.Deliveries(ctx, "a", "h", 9); err != nil || len(list) != 3 {
		t.Errorf("%+v %v", list, err)
	}
	// Many who see the same change tell it once.
	var wait sync.WaitGroup
	var told atomic.Int64
	for range 12 {
		wait.Go(func() {
			yes, err := s.Stage(ctx, "a", head(9), "close", delivery("d-close"))
			if err != nil {
				t.Error(err)
			}
			if yes {
				told.Add(1)
			}
		})
	}
	wait.Wait()
	if told.Load() != 1 {
		t.Errorf("one change was told %d times", told.Load())
	}
	if early, err := s.ClaimDeliveries(ctx, 9, 99, 9); err != nil || len(early) != 0 {
		t.Errorf("before they are due: %+v %v", early, err)
	}
	// Many who send take each delivery once.
	var claimed atomic.Int64
	for range 6 {
		wait.Go(func() {
			list, err := s.ClaimDeliveries(ctx, 10, 99, 9)
			if err != nil {
				t.Error(err)
			}
			claimed.Add(int64(len(list)))
		})
	}
	wait.Wait()
	if claimed.Load() != 4 {
		t.Errorf("4 deliveries were taken %d times", claimed.Load())
	}
	done := delivery("d-close")[0]
	done.Done, done.Tries, done.Note = 100, 1, "200"
	fail(s.PutDelivery(ctx, done))
	if list, err := s.ClaimDeliveries(ctx, 200, 300, 9); err != nil || len(list) != 3 {
		t.Errorf("what arrived is sent again: %+v %v", list, err)
	}
	fail(s.DropHook(ctx, "a", "h"))
	if list, err := s.ClaimDeliveries(ctx, 900, 999, 9); err != nil || len(list) != 0 {
		t.Errorf("of a hook that is gone: %+v %v", list, err)
	}
	fail(s.PutDelivery(ctx, done)) // its last attempt ends after the hook went
}
