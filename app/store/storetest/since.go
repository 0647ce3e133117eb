package storetest

import (
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"pumpwright/app/store"
)

// testSince: whoever asks again and again what changed since the last time
// misses no stream, however many write meanwhile.
func testSince(t *testing.T, s store.Store) {
	ctx := t.Context()
	mustAppend(t, s, "a", entry("job:J-0", 1))
	streams, mark, err := s.Since(ctx, "a", 0)
	if err != nil || len(streams) != 0 || mark <= 0 {
		t.Fatalf("the first question: %v %d %v", streams, mark, err)
	}
	const writers, each = 6, 20
	var group sync.WaitGroup
	var done atomic.Int64
	for w := range writers {
		group.Go(func() {
			defer done.Add(1)
			for n := range each {
				if _, _, err := s.Append(ctx, "a", store.AnyHead, entry(fmt.Sprintf("job:J-%d-%d", w, n), 100+w*each+n)); err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	seen := map[string]bool{}
	for last := false; ; {
		var found []string
		if found, mark, err = s.Since(ctx, "a", mark); err != nil {
			t.Fatal(err)
		}
		for _, name := range found {
			seen[name] = true
		}
		if last {
			break
		}
		last = done.Load() == writers
	}
	group.Wait()
	if len(seen) < writers*each {
		t.Errorf("%d streams were heard of, %d got entries", len(seen), writers*each)
	}
	if found, _, err := s.Since(ctx, "b", mark); err != nil || len(found) != 0 {
		t.Errorf("the other site hears of %v %v", found, err)
	}
	mustAppend(t, s, "a", entry("job:J-0", 2))
	if found, _, err := s.Since(ctx, "a", mark); err != nil || len(found) == 0 || len(found) > writers+1 {
		t.Errorf("one more entry gives %v %v", found, err)
	}
	all, err := s.LoadAll(ctx, "a", "job:J-")
	if err != nil || len(all) != writers*each+1 {
		t.Fatalf("%d streams %v", len(all), err)
	}
	for _, one := range all {
		want, err := s.Load(ctx, "a", one.Name, 0)
		if err != nil || len(one.Entries) != len(want.Entries) || one.Head() != want.Head() {
			t.Errorf("%s: %d entries, want %d: %v", one.Name, len(one.Entries), len(want.Entries), err)
		}
	}
}
