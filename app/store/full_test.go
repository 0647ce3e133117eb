//go:build linux

package store_test

import (
	"bufio"
	"context"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"pumpwright/app/store"
	"pumpwright/rebuild/record"
)

// Variables that make this test binary a writer with little room, or one that
// may not write.
const (
	fullFolder   = "PUMPWRIGHT_TEST_FULL_DISK"
	fullLimit    = "PUMPWRIGHT_TEST_FULL_BYTES"
	closedFolder = "PUMPWRIGHT_TEST_READ_ONLY"
)

func init() {
	if folder := os.Getenv(fullFolder); folder != "" {
		writeUntilFull(folder)
	}
	if folder := os.Getenv(closedFolder); folder != "" {
		openClosed(folder)
	}
}

// writeUntilFull writes until the disk takes no more: no file of this process
// may grow beyond the limit, as if the disk ended there. It says each entry
// and photo that was kept, then the error, and goes on reading.
func writeUntilFull(folder string) {
	signal.Ignore(syscall.SIGXFSZ)
	limit, err := strconv.ParseUint(os.Getenv(fullLimit), 10, 64)
	if err == nil {
		err = syscall.Setrlimit(syscall.RLIMIT_FSIZE, &syscall.Rlimit{Cur: limit, Max: limit})
	}
	var db *store.DB
	ctx := context.Background()
	if err == nil {
		db, err = store.OpenFolder(ctx, folder)
	}
	if err != nil {
		fmt.Println("no start:", err)
		os.Exit(1)
	}
	for n := range 100_000 {
		if _, _, err = db.Append(ctx, "a", store.AnyHead, bigNote(n)); err != nil {
			break
		}
		fmt.Println("kept", n)
	}
	_, photo := db.PutBlob(ctx, "a", store.Blob{Media: "image/jpeg"}, make([]byte, limit+1))
	s, reading := db.Load(ctx, "a", "job:J-1", 0)
	fmt.Println("full", err != nil, "photo refused", photo != nil, "read", len(s.Entries), reading == nil)
	os.Exit(0)
}

func bigNote(n int) record.Entry {
	e := note(n)
	e.Body = []byte(fmt.Sprintf(`{"n":%d,"text":%q}`, n, strings.Repeat("x", 3000)))
	return e
}

// The disk is full: the entry that does not fit is refused with an error, none
// that was acknowledged is lost, what is there can be read meanwhile, and with
// room again the work goes on.
func TestDiskFull(t *testing.T) {
	for _, limit := range []int{300_000, 700_000, 5_000_000} { // the journal, then the database itself meets the end
		folder := t.TempDir()
		db := openFolder(t, folder)
		if err := db.AddSite(t.Context(), store.Site{ID: "a", Name: "A"}); err != nil {
			t.Fatal(err)
		}
		if err := db.Close(); err != nil {
			t.Fatal(err)
		}
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), fullFolder+"="+folder, fullLimit+"="+strconv.Itoa(limit))
		out, err := child.CombinedOutput()
		if err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		kept, last := 0, ""
		for lines := bufio.NewScanner(strings.NewReader(string(out))); lines.Scan(); {
			last = lines.Text()
			if strings.HasPrefix(last, "kept ") {
				kept++
			}
		}
		if want := fmt.Sprintf("full true photo refused true read %d true", kept); last != want || kept == 0 {
			t.Errorf("with %d bytes: %s, want %s", limit, last, want)
		}
		again := openFolder(t, folder)
		s, err := again.Load(t.Context(), "a", "job:J-1", 0)
		if err != nil || len(s.Entries) != kept {
			t.Errorf("with %d bytes: %d entries are there, %d were acknowledged: %v", limit, len(s.Entries), kept, err)
		}
		if damage, err := again.Check(t.Context()); err != nil || len(damage) > 0 {
			t.Errorf("with %d bytes: %v %v", limit, damage, err)
		}
		if _, _, err := again.Append(t.Context(), "a", store.AnyHead, bigNote(kept)); err != nil {
			t.Errorf("with room again: %v", err)
		}
		if left, _ := filepath.Glob(filepath.Join(folder, "blobs", "*", ".new-*")); len(left) > 0 {
			t.Errorf("half a photo is left: %v", left)
		}
		t.Logf("%d bytes: %d entries kept", limit, kept)
	}
}

// openClosed opens a shop in a folder that it may not write to.
func openClosed(folder string) {
	_, err := store.OpenFolder(context.Background(), folder)
	fmt.Println("opened", err == nil, err)
	os.Exit(0)
}

// A folder that may only be read is said at the start, not at the first entry.
func TestReadOnlyFolder(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "shop")
	if err := filled(t, folder, 3).Close(); err != nil {
		t.Fatal(err)
	}
	program := os.Args[0]
	child := exec.Command(program)
	if os.Getuid() == 0 { // root may write anywhere: another user tries
		program = filepath.Join(t.TempDir(), "writer")
		text, err := os.ReadFile(os.Args[0])
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(program, text, 0o755); err != nil {
			t.Fatal(err)
		}
		child = exec.Command(program)
		child.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	open := func(path string, mode os.FileMode) {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
	}
	for up := filepath.Dir(folder); up != os.TempDir() && up != "/"; up = filepath.Dir(up) {
		open(up, 0o755)
	}
	open(filepath.Dir(program), 0o755)
	files, err := filepath.Glob(filepath.Join(folder, "*"))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if info, err := os.Stat(f); err == nil && !info.IsDir() {
			open(f, 0o444)
		}
	}
	open(folder, 0o555)
	t.Cleanup(func() { open(folder, 0o700) })
	child.Env = append(os.Environ(), closedFolder+"="+folder)
	child.Dir = "/"
	out, err := child.CombinedOutput()
	if err != nil {
		t.Skipf("not tested: a process of another user cannot be started here: %v %s", err, out)
	}
	if !strings.HasPrefix(string(out), "opened false") || !strings.Contains(string(out), "nothing can be written in this folder") {
		t.Errorf("it says: %s", out)
	}
	t.Logf("%s", out)
}

// Pages of the database file are overwritten: it is found and said, and every
// stream that does not lie there is given out.
func TestDamagedFile(t *testing.T) {
	folder := t.TempDir()
	db := openFolder(t, folder)
	ctx := t.Context()
	if err := db.AddSite(ctx, store.Site{ID: "a", Name: "A"}); err != nil {
		t.Fatal(err)
	}
	const streams = 200
	for n := range streams {
		e := bigNote(n)
		e.Stream = fmt.Sprintf("job:J-%03d", n)
		if _, _, err := db.Append(ctx, "a", store.AnyHead, e); err != nil {
			t.Fatal(err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(folder, store.FileName)
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	for page := len(text) / 4096 / 2; page < len(text)/4096/2+6; page++ {
		copy(text[page*4096:(page+1)*4096], strings.Repeat("\xa5", 4096))
	}
	if err := os.WriteFile(path, text, 0o600); err != nil {
		t.Fatal(err)
	}
	again := openFolder(t, folder)
	damage, err := again.Check(ctx)
	if err == nil && len(damage) == 0 {
		t.Fatal("the damage is not found")
	}
	t.Log(damage, err)
	saved := 0
	for n := range streams {
		if s, err := again.Load(ctx, "a", fmt.Sprintf("job:J-%03d", n), 0); err == nil && len(s.Entries) == 1 && s.Entries[0].ComputeHash() == s.Entries[0].Hash {
			saved++
		}
	}
	if saved < streams*9/10 || saved == streams {
		t.Errorf("%d of %d streams can be read", saved, streams)
	}
}
