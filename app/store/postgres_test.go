package store_test

import (
	"context"
	"fmt"
	"sync"
	"testing"
	"time"

	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
)

func openPostgres(t testing.TB, address, blobs string) *store.DB {
	t.Helper()
	db, err := store.Open(t.Context(), store.Place{Database: address, Photos: blobs})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := db.Close(); err != nil {
			t.Error(err)
		}
	})
	return db
}

func TestPostgres(t *testing.T) {
	server := storetest.Postgres(t)
	t.Run("suite", func(t *testing.T) {
		storetest.Run(t, func(t *testing.T) store.Store {
			return openPostgres(t, storetest.NewDatabase(t, server), t.TempDir())
		})
	})
	t.Run("start together", func(t *testing.T) { startTogether(t, storetest.NewDatabase(t, server)) })
	t.Run("two processes", func(t *testing.T) { twoProcesses(t, storetest.NewDatabase(t, server)) })
	t.Run("made anew by two", func(t *testing.T) { madeAnewByTwo(t, storetest.NewDatabase(t, server)) })
	t.Run("there and back", func(t *testing.T) { thereAndBack(t, storetest.NewDatabase(t, server)) })
}

// startTogether: servers that start at once on an empty database make its
// tables once.
func startTogether(t *testing.T, address string) {
	var wait sync.WaitGroup
	for range 6 {
		wait.Go(func() {
			db, err := store.Open(context.Background(), store.Place{Database: address})
			if err != nil {
				t.Error(err)
				return
			}
			if err := db.Close(); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
}

// twoProcesses: each hears of the other's entries and not of its own, and two
// who write to one stream at once keep one chain.
func twoProcesses(t *testing.T, address string) {
	blobs := t.TempDir()
	one, two := openPostgres(t, address, blobs), openPostgres(t, address, blobs)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	heard := map[*store.DB]chan store.Notice{}
	for _, db := range []*store.DB{one, two} {
		c := make(chan store.Notice, 200)
		heard[db] = c
		go db.Watch(ctx, func(n store.Notice) { c <- n })
		select {
		case n := <-c:
			if n != (store.Notice{}) {
				t.Fatalf("it begins with %v", n)
			}
		case <-time.After(10 * time.Second):
			t.Fatal("it does not listen")
		}
	}
	if err := one.AddSite(ctx, store.Site{ID: "a", Name: "A"}); err != nil {
		t.Fatal(err)
	}
	if _, _, err := one.Append(ctx, "a", store.AnyHead, note(0)); err != nil {
		t.Fatal(err)
	}
	select {
	case n := <-heard[two]:
		if n != (store.Notice{Site: "a", Stream: "job:J-1", Seq: 1}) {
			t.Errorf("heard %v", n)
		}
	case <-time.After(10 * time.Second):
		t.Fatal("the other process hears nothing")
	}
	const each = 40
	var wait sync.WaitGroup
	for w, db := range []*store.DB{one, two} {
		wait.Go(func() {
			for i := range each {
				if _, _, err := db.Append(context.Background(), "a", store.AnyHead, note(1+w*each+i)); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	wait.Wait()
	if damage, err := two.Check(ctx); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
	if h, err := one.HeadOf(ctx, "a", "job:J-1"); err != nil || h.Seq != 1+2*each {
		t.Errorf("%d entries are kept, %d were written: %v", h.Seq, 1+2*each, err)
	}
	for name, db := range map[string]*store.DB{"first": one, "second": two} {
		for n := range each {
			select {
			case <-heard[db]:
			case <-time.After(10 * time.Second):
				t.Fatalf("the %s process heard of %d of %d entries", name, n, each)
			}
		}
		select {
		case n := <-heard[db]:
			t.Errorf("the %s process also hears %v", name, n)
		case <-time.After(100 * time.Millisecond):
		}
	}
}

// thereAndBack: a shop moves from a file to PostgreSQL and back, every place
// and hash as it was.
func thereAndBack(t *testing.T, address string) {
	ctx := t.Context()
	from := filled(t, t.TempDir(), 30)
	photo, err := from.PutBlob(ctx, "a", store.Blob{Media: "image/jpeg"}, []byte("a picture"))
	if err != nil {
		t.Fatal(err)
	}
	there := openPostgres(t, address, t.TempDir())
	back := openFolder(t, t.TempDir())
	for _, move := range []struct{ from, to *store.DB }{{from, there}, {there, back}} {
		if err := store.Copy(ctx, move.from, move.to); err != nil {
			t.Fatal(err)
		}
		if damage, err := move.to.Check(ctx); err != nil || len(damage) > 0 {
			t.Fatalf("%v %v", damage, err)
		}
		want, err := from.Heads(ctx, "a", "")
		if err != nil {
			t.Fatal(err)
		}
		got, err := move.to.Heads(ctx, "a", "")
		if err != nil || len(want) == 0 || fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("%v, want %v; %v", got, want, err)
		}
		if _, content, err := move.to.OpenBlob(ctx, "a", photo.Hash); err != nil {
			t.Error(err)
		} else if err := content.Close(); err != nil {
			t.Error(err)
		}
		if n, err := move.to.Next(ctx, "a", "job"); err != nil || n < 1 {
			t.Error(n, err)
		}
	}
}

// madeAnewByTwo: two servers forget what was made from the entries and make it
// again at once; neither fails, and what each puts is whole.
func madeAnewByTwo(t *testing.T, address string) {
	ctx, blobs := t.Context(), t.TempDir()
	servers := []*store.DB{openPostgres(t, address, blobs), openPostgres(t, address, blobs)}
	if err := servers[0].AddSite(ctx, store.Site{ID: "a", Name: "A"}); err != nil {
		t.Fatal(err)
	}
	var heads []store.Head
	for n := range 8 {
		e := note(n)
		e.Stream = fmt.Sprintf("job:J-%d", n)
		sealed, _, err := servers[0].Append(ctx, "a", store.AnyHead, e)
		if err != nil {
			t.Fatal(err)
		}
		heads = append(heads, store.Head{Stream: e.Stream, Seq: sealed[0].Seq, Hash: sealed[0].Hash})
	}
	var wait sync.WaitGroup
	for w, db := range servers {
		wait.Go(func() {
			for i := range 60 {
				if err := db.ForgetDerived(ctx, "a"); err != nil {
					t.Error(err)
					return
				}
				for n := range heads {
					head := heads[(n+3*w)%len(heads)] // each in an order of its own
					summary := store.Summary{Waits: fmt.Sprint((i + n) % 3), Tag: "T", Serial: "S", Owner: "o", Data: "{}"}
					texts := []store.Text{{Stream: head.Stream, Ref: "r", Kind: "note", Text: fmt.Sprint("seal weeps ", i)}}
					if err := db.PutDerived(ctx, "a", head, &summary, texts); err != nil {
						t.Error(err)
						return
					}
				}
			}
		})
	}
	wait.Wait()
}
