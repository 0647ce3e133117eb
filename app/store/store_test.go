package store_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pumpwright/app/store"
	"pumpwright/app/store/storetest"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

func openFolder(t testing.TB, folder string) *store.DB {
	t.Helper()
	db, err := store.OpenFolder(context.Background(), folder)
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

func TestFolder(t *testing.T) {
	storetest.Run(t, func(t *testing.T) store.Store { return openFolder(t, t.TempDir()) })
}

func TestMemory(t *testing.T) {
	storetest.Run(t, func(t *testing.T) store.Store {
		db, err := store.OpenMemory(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = db.Close() })
		return db
	})
}

func note(n int) record.Entry {
	body, _ := json.Marshal(map[string]int{"n": n})
	return record.Entry{ID: fmt.Sprintf("id-%d", n), Stream: "job:J-1", Kind: "note", Version: 1, Body: body, By: "p", At: 1}
}

func filled(t testing.TB, folder string, n int) *store.DB {
	db := openFolder(t, folder)
	ctx := context.Background()
	if err := db.AddSite(ctx, store.Site{ID: "a", Name: "A"}); err != nil {
		t.Fatal(err)
	}
	for i := range n {
		if _, _, err := db.Append(ctx, "a", store.AnyHead, note(i)); err != nil {
			t.Fatal(err)
		}
	}
	return db
}

// A folder that is opened again holds what was kept; marks in its name that
// mean something in an address do no harm.
func TestOpenAgain(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "a #1 100% ? b")
	db := filled(t, folder, 3)
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	again := openFolder(t, folder)
	s, err := again.Load(t.Context(), "a", "job:J-1", 0)
	if err != nil || len(s.Entries) != 3 {
		t.Errorf("%d entries %v", len(s.Entries), err)
	}
	if _, err := os.Stat(filepath.Join(folder, store.FileName)); err != nil {
		t.Error(err)
	}
}

// Two processes may have one file open: the head moves by compare and swap.
func TestTwoOpen(t *testing.T) {
	folder := t.TempDir()
	one := filled(t, folder, 0)
	two := openFolder(t, folder)
	var group sync.WaitGroup
	for w, db := range []*store.DB{one, two} {
		group.Go(func() {
			for n := range 50 {
				if _, _, err := db.Append(t.Context(), "a", store.AnyHead, note(w*100+n)); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	group.Wait()
	if h, err := one.HeadOf(t.Context(), "a", "job:J-1"); err != nil || h.Seq != 100 {
		t.Errorf("%+v %v", h, err)
	}
	if damage, err := two.Check(t.Context()); err != nil || len(damage) > 0 {
		t.Errorf("%v %v", damage, err)
	}
}

func TestBackup(t *testing.T) {
	folder, backups := t.TempDir(), t.TempDir()
	db := filled(t, folder, 20)
	ctx := t.Context()
	blob, err := db.PutBlob(ctx, "a", store.Blob{Media: "image/png"}, []byte("picture"))
	if err != nil {
		t.Fatal(err)
	}
	stop, writing := make(chan struct{}), sync.WaitGroup{}
	writing.Go(func() { // work goes on meanwhile
		for n := 100; ; n++ {
			select {
			case <-stop:
				return
			default:
				if _, _, err := db.Append(ctx, "a", store.AnyHead, note(n)); err != nil {
					t.Error(err)
					return
				}
			}
		}
	})
	path, err := db.Backup(ctx, backups, record.TimeOf(time.Date(2026, 5, 1, 2, 0, 0, 0, time.UTC)))
	close(stop)
	writing.Wait()
	if err != nil {
		t.Fatal(err)
	}
	target := filepath.Join(t.TempDir(), "new")
	if err := store.Restore(ctx, path, target); err != nil {
		t.Fatal(err)
	}
	back := openFolder(t, target)
	s, err := back.Load(ctx, "a", "job:J-1", 0)
	if err != nil || len(s.Entries) < 20 {
		t.Errorf("%d entries %v", len(s.Entries), err)
	}
	if _, file, err := back.OpenBlob(ctx, "a", blob.Hash); err != nil {
		t.Error(err)
	} else if err := file.Close(); err != nil {
		t.Error(err)
	}
	if _, _, err := back.Append(ctx, "a", store.AnyHead, note(1000)); err != nil {
		t.Errorf("the restored shop takes no entry: %v", err)
	}
	if err := store.Restore(ctx, path, target); say.AsProblem(err) == nil {
		t.Errorf("a shop was overwritten: %v", err)
	}
}

// damaged changes a store behind its back.
func damaged(t *testing.T, folder, old, new string) {
	t.Helper()
	path := filepath.Join(folder, store.FileName)
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(content), old) {
		t.Fatalf("the file holds no %q", old)
	}
	if err := os.WriteFile(path, []byte(strings.ReplaceAll(string(content), old, new)), 0o600); err != nil {
		t.Fatal(err)
	}
}

// A changed entry is found by the check, by a backup and by a restore.
func TestDamage(t *testing.T) {
	folder, backups := t.TempDir(), t.TempDir()
	db := filled(t, folder, 9)
	ctx := t.Context()
	path, err := db.Backup(ctx, backups, 1)
	if err != nil {
		t.Fatal(err)
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	damaged(t, folder, `{"n":4}`, `{"n":7}`)
	bad := openFolder(t, folder)
	damage, err := bad.Check(ctx)
	if err != nil || len(damage) != 1 || damage[0].Stream != "job:J-1" || damage[0].Seq != 5 {
		t.Errorf("%+v %v", damage, err)
	}
	if _, err := bad.Backup(ctx, backups, 2); say.AsProblem(err) == nil {
		t.Errorf("a damaged store was copied as sound: %v", err)
	}
	if s, err := bad.Load(ctx, "a", "job:J-1", 0); err != nil || len(s.Entries) != 9 {
		t.Errorf("the rest cannot be read: %v", err)
	}
	copyFolder := filepath.Dir(path)
	if err := os.Rename(path, filepath.Join(copyFolder, store.FileName)); err != nil {
		t.Fatal(err)
	}
	damaged(t, copyFolder, `{"n":4}`, `{"n":7}`)
	if err := store.Restore(ctx, filepath.Join(copyFolder, store.FileName), filepath.Join(t.TempDir(), "x")); say.AsProblem(err) == nil {
		t.Errorf("a damaged backup was restored: %v", err)
	}
}

// A missing or changed photo is found.
func TestBlobDamage(t *testing.T) {
	folder := t.TempDir()
	db := filled(t, folder, 1)
	for i, harm := range []func(string) error{os.Remove, func(path string) error { return os.WriteFile(path, []byte("x"), 0o600) }} {
		b, err := db.PutBlob(t.Context(), "a", store.Blob{}, []byte{byte(i)})
		if err != nil {
			t.Fatal(err)
		}
		if err := harm(filepath.Join(folder, "blobs", b.Hash[:2], b.Hash[2:])); err != nil {
			t.Fatal(err)
		}
		if damage, err := db.Check(t.Context()); err != nil || len(damage) != i+1 {
			t.Errorf("%v %v", damage, err)
		}
	}
}

func BenchmarkAppend(b *testing.B) {
	db := filled(b, b.TempDir(), 0)
	for i := 0; b.Loop(); i++ {
		if _, _, err := db.Append(b.Context(), "a", store.AnyHead, note(i)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAppendFiftyWriters(b *testing.B) {
	db := filled(b, b.TempDir(), 0)
	var n sync.Mutex
	next := 0
	b.SetParallelism(25)
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			n.Lock()
			next++
			e := note(next)
			n.Unlock()
			e.Stream = fmt.Sprintf("job:J-%d", next%50)
			if _, _, err := db.Append(context.Background(), "a", store.AnyHead, e); err != nil {
				b.Fatal(err)
			}
		}
	})
}
