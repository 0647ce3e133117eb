package store_test

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strconv"
	"testing"
	"time"

	"pumpwright/app/store"
)

// killedFolder makes this test binary a writer that somebody kills.
const killedFolder = "PUMPWRIGHT_TEST_KILLED_WRITER"

func TestMain(m *testing.M) {
	if folder := os.Getenv(killedFolder); folder != "" {
		writeUntilKilled(folder)
	}
	os.Exit(m.Run())
}

// writeUntilKilled appends entries and says each number once it is kept.
func writeUntilKilled(folder string) {
	ctx := context.Background()
	db, err := store.OpenFolder(ctx, folder)
	if err == nil {
		err = db.AddSite(ctx, store.Site{ID: "a", Name: "A"})
	}
	head := store.Head{}
	if err == nil {
		head, err = db.HeadOf(ctx, "a", "job:J-1")
	}
	for n := int(head.Seq); err == nil; n++ {
		if _, _, err = db.Append(ctx, "a", store.AnyHead, note(n)); err == nil {
			fmt.Println(n)
		}
	}
	fmt.Fprintln(os.Stderr, err)
	os.Exit(1)
}

// A writer is killed without warning, again and again: whatever it said it
// kept is there, once, and the chain holds.
func TestKilledWriter(t *testing.T) {
	if testing.Short() {
		t.Skip("kills processes for some seconds")
	}
	folder := t.TempDir()
	said := -1
	for round := range 12 {
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), killedFolder+"="+folder)
		out, err := child.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		lines := bufio.NewScanner(out)
		if !lines.Scan() {
			t.Fatal("the writer did not start")
		}
		time.AfterFunc(time.Duration(3+7*round)*time.Millisecond, func() { _ = child.Process.Kill() })
		for more := true; more; more = lines.Scan() {
			if n, err := strconv.Atoi(lines.Text()); err == nil && n > said {
				said = n
			}
		}
		_, _ = io.Copy(io.Discard, out)
		_ = child.Wait() // it was killed: that is its error

		db, err := store.OpenFolder(t.Context(), folder)
		if err != nil {
			t.Fatal(err)
		}
		s, err := db.Load(t.Context(), "a", "job:J-1", 0)
		if err != nil {
			t.Fatal(err)
		}
		if len(s.Entries) < said+1 || len(s.Entries) > said+2 {
			t.Fatalf("round %d: %d entries are kept, %d were acknowledged", round, len(s.Entries), said+1)
		}
		for i, e := range s.Entries {
			if e.ID != fmt.Sprintf("id-%d", i) {
				t.Fatalf("round %d: entry %d is %s", round, i, e.ID)
			}
		}
		if damage, err := db.Check(t.Context()); err != nil || len(damage) > 0 {
			t.Fatalf("round %d: %v %v", round, damage, err)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
	}
	if said < 20 {
		t.Errorf("only %d entries were written: the kills came too early to mean anything", said+1)
	}
}
