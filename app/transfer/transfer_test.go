package transfer

import (
	"bufio"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"pumpwright/rebuild/record"
)

const writerVariable = "PUMPWRIGHT_TEST_WRITER"

// TestMain lets the test binary be the writer that is killed.
func TestMain(m *testing.M) {
	if path := os.Getenv(writerVariable); path != "" {
		writeForEver(path)
	}
	os.Exit(m.Run())
}

// writeForEver adds entries and prints the id of each once it is in the file.
func writeForEver(path string) {
	for i := 0; ; i++ {
		id := fmt.Sprintf("%d-%d", os.Getpid(), i)
		if _, err := Folder("").Append(path, one(id)); err != nil {
			fmt.Println("error", err)
			os.Exit(1)
		}
		fmt.Println(id)
	}
}

func one(id string) func(*record.Stream, []record.Fault) ([]record.Entry, error) {
	return func(*record.Stream, []record.Fault) ([]record.Entry, error) {
		return []record.Entry{note(id)}, nil
	}
}

func note(id string) record.Entry {
	body, _ := json.Marshal(map[string]string{"text": strings.Repeat("n", 300)})
	return record.Entry{ID: id, Stream: "job:T", Kind: "note", Version: 1, Body: body, By: "mira", At: 1}
}

func newFile(t *testing.T) (Folder, string) {
	t.Helper()
	folder := Folder(t.TempDir())
	stream := &record.Stream{}
	if _, err := stream.Append(note("first")); err != nil {
		t.Fatal(err)
	}
	if err := folder.CreateStream("T.jsonl", stream); err != nil {
		t.Fatal(err)
	}
	return folder, "T.jsonl"
}

// A writer that is killed at any moment leaves a whole file that holds every
// entry it had reported, and the next writer goes on at once.
func TestKilledWriter(t *testing.T) {
	folder, name := newFile(t)
	path := folder.Path(name)
	random := rand.New(rand.NewPCG(1, 2))
	reported := map[string]bool{}
	for range 25 {
		child := exec.Command(os.Args[0])
		child.Env = append(os.Environ(), writerVariable+"="+path)
		out, err := child.StdoutPipe()
		if err != nil {
			t.Fatal(err)
		}
		if err := child.Start(); err != nil {
			t.Fatal(err)
		}
		// Once it has written, any moment will do: a machine that is busy is slow
		// to start it.
		lines := bufio.NewScanner(out)
		lost := time.AfterFunc(30*time.Second, func() { _ = child.Process.Kill() })
		for n := 0; lines.Scan(); n++ {
			if n == 0 {
				time.AfterFunc(time.Duration(random.IntN(25000))*time.Microsecond, func() { _ = child.Process.Kill() })
			}
			if strings.HasPrefix(lines.Text(), "error") {
				t.Fatal(lines.Text())
			}
			reported[lines.Text()] = true
		}
		lost.Stop()
		_ = child.Wait() // it was killed
		checkWhole(t, folder, name, reported)
	}
	if len(reported) < 25 {
		t.Errorf("only %d entries were written before the kills: the test is blind", len(reported))
	}
	if _, err := folder.Append(name, one("after")); err != nil {
		t.Errorf("after the kills: %v", err)
	}
	left, err := filepath.Glob(folder.Path(".*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func checkWhole(t *testing.T, folder Folder, name string, reported map[string]bool) {
	t.Helper()
	stream, faults, err := folder.ReadStream(name)
	if err != nil || len(faults) > 0 {
		t.Fatalf("%v %v", faults, err)
	}
	there := map[string]bool{}
	for _, e := range stream.Entries {
		there[e.ID] = true
	}
	for id := range reported {
		if !there[id] {
			t.Fatalf("entry %s was reported and is not in the file", id)
		}
	}
}

// Many writers at once lose nothing and keep the chain.
func TestManyWriters(t *testing.T) {
	folder, name := newFile(t)
	const writers, each = 8, 10
	var wait sync.WaitGroup
	for w := range writers {
		wait.Go(func() {
			for i := range each {
				if _, err := folder.Append(name, one(fmt.Sprintf("%d-%d", w, i))); err != nil {
					t.Error(err)
				}
			}
		})
	}
	wait.Wait()
	stream, faults, err := folder.ReadStream(name)
	if err != nil || len(faults) > 0 || len(stream.Entries) != 1+writers*each {
		t.Errorf("%d entries, %v, %v", len(stream.Entries), faults, err)
	}
}

func TestAppend(t *testing.T) {
	folder, name := newFile(t)
	path := folder.Path(name)
	if err := os.Chmod(path, 0o640); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(name, folder.Path("link.jsonl")); err != nil {
		t.Skip(err)
	}
	added, err := folder.Append("link.jsonl", one("second"))
	if err != nil || len(added) != 1 || added[0].Seq != 2 || added[0].Hash == "" {
		t.Fatalf("%v %v", added, err)
	}
	if again, err := folder.Append(name, one("second")); err != nil || again[0].Seq != 2 {
		t.Errorf("the same entry twice: %v %v", again, err)
	}
	if info, _ := os.Lstat(folder.Path("link.jsonl")); info.Mode()&fs.ModeSymlink == 0 {
		t.Error("the link was replaced")
	}
	if info, _ := os.Stat(path); info.Mode().Perm() != 0o640 {
		t.Errorf("permissions became %v", info.Mode().Perm())
	}
	before, _ := os.ReadFile(path)
	refusal := errors.New("no")
	if _, err := folder.Append(name, func(*record.Stream, []record.Fault) ([]record.Entry, error) { return nil, refusal }); !errors.Is(err, refusal) {
		t.Error(err)
	}
	if after, _ := os.ReadFile(path); string(after) != string(before) {
		t.Error("a refused entry changed the file")
	}
	if err := folder.CreateStream(name, &record.Stream{}); !errors.Is(err, fs.ErrExist) {
		t.Errorf("an existing file was created again: %v", err)
	}
	if _, err := folder.Append("none.jsonl", one("x")); !errors.Is(err, fs.ErrNotExist) {
		t.Error(err)
	}
}

// A cut file takes further entries behind the cut, and still says that it was
// cut.
func TestAppendToCutFile(t *testing.T) {
	folder, name := newFile(t)
	if _, err := folder.Append(name, one("second")); err != nil {
		t.Fatal(err)
	}
	content, _ := folder.Read(name)
	if err := folder.Write(name, content[:len(content)-40]); err != nil {
		t.Fatal(err)
	}
	if _, err := folder.Append(name, one("third")); err != nil {
		t.Fatal(err)
	}
	stream, faults, err := folder.ReadStream(name)
	if err != nil || len(stream.Entries) != 2 || stream.Entries[1].ID != "third" || len(faults) != 1 {
		t.Errorf("%d entries, %v, %v", len(stream.Entries), faults, err)
	}
}
