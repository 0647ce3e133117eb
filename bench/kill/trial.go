package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"pumpwright/app/shop"
	"pumpwright/rebuild/job"
)

// trial is a shop in which a worker is killed again and again.
type trial struct {
	program string
	home    shop.Home
	random  *rand.Rand

	rounds   int
	kept     map[string]bool // acknowledged
	again    string          // was being sent when the worker was killed
	unsaid   int             // kept, but the kill came before it was said
	lost     int             // not kept, and not said either: sent again
	backups  int
	restored int
}

func (t *trial) setUp(ctx context.Context) (err error) {
	t.kept = map[string]bool{}
	s, err := t.home.Open(ctx, shop.Options{})
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return s.LoadDemo(ctx)
}

func (t *trial) said() string {
	return fmt.Sprintf("%d entries acknowledged, all there once; %d kept though the kill came before the word; %d cut off before the commit and sent again; %d backups, %d of them restored",
		len(t.kept), t.unsaid, t.lost, t.backups, t.restored)
}

// longest is how long a worker lives at most once it is ready.
const longest = 250 * time.Millisecond

// round starts a worker, kills it and looks at what is left.
func (t *trial) round(ctx context.Context) error {
	t.rounds++
	child := exec.CommandContext(ctx, t.program)
	child.Env = append(os.Environ(), folderVariable+"="+t.home.Folder, databaseVariable+"="+t.home.Database,
		roundVariable+"="+strconv.Itoa(t.rounds), againVariable+"="+t.again)
	var fault strings.Builder
	child.Stderr = &fault
	out, err := child.StdoutPipe()
	if err != nil {
		return err
	}
	if err := child.Start(); err != nil {
		return err
	}
	last, newest := t.again, ""
	t.again = ""
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		word, rest, _ := strings.Cut(lines.Text(), " ")
		switch word {
		case saidReady:
			time.AfterFunc(time.Duration(t.random.Int64N(int64(longest))), func() { _ = child.Process.Kill() })
		case saidTrying:
			last = rest
		case saidKept:
			t.kept[rest] = true
			last = ""
		case saidBackup:
			t.backups++
			newest = rest
		}
	}
	_, _ = io.Copy(io.Discard, out)
	if err := child.Wait(); child.ProcessState.Exited() {
		return fmt.Errorf("the worker ended by itself: %v: %s", err, fault.String())
	}
	if err := t.look(ctx, last); err != nil {
		return err
	}
	if newest != "" && t.random.IntN(8) == 0 {
		return t.restore(ctx, newest)
	}
	return nil
}

// look opens the shop and compares it with what was acknowledged.
func (t *trial) look(ctx context.Context, last string) (err error) {
	s, err := t.home.Open(ctx, shop.Options{})
	if err != nil {
		return fmt.Errorf("the shop does not open: %w", err)
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	damage, err := s.Check(ctx)
	if err != nil {
		return err
	}
	if len(damage) > 0 {
		return fmt.Errorf("the shop is damaged: %s", damage[0].Message)
	}
	sc, err := s.DemoScope(ctx, worker)
	if err != nil {
		return err
	}
	j, err := s.Job(ctx, sc, workedJob)
	if err != nil {
		return err
	}
	there, contents := map[string]int{}, map[string]bool{}
	for i := range j.Entries {
		e := &j.Entries[i]
		there[e.ID]++
		content := string(e.Body)
		if e.Kind == job.KindPhoto {
			var p job.Photo
			if err := json.Unmarshal(e.Body, &p); err != nil {
				return err
			}
			for _, small := range []bool{false, true} {
				f, err := s.File(ctx, sc, workedJob, p.Blob, small)
				if err != nil {
					return fmt.Errorf("the photo of entry %s: %w", e.ID, err)
				}
				if err := f.Content.Close(); err != nil {
					return err
				}
			}
		}
		if (e.Kind == job.KindNote || e.Kind == job.KindPhoto) && e.By == worker && contents[content] {
			return fmt.Errorf("entry %s is there twice under two ids", e.ID)
		}
		contents[content] = true
	}
	for id := range t.kept {
		if there[id] != 1 {
			return fmt.Errorf("entry %s was acknowledged and is there %d times", id, there[id])
		}
	}
	if last != "" {
		if there[last] > 1 {
			return fmt.Errorf("entry %s is there %d times", last, there[last])
		}
		if there[last] == 1 {
			t.unsaid++
		} else {
			t.lost++
		}
		t.again = last // the tablet does not know: it sends it again
	}
	return nil
}

// restore puts a backup that has its name into a new folder, which checks it.
func (t *trial) restore(ctx context.Context, backup string) error {
	folder, err := os.MkdirTemp("", "pumpwright-restored-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(folder)
	if err := shop.Restore(ctx, backup, filepath.Join(folder, "shop")); err != nil {
		return fmt.Errorf("the backup %s: %w", filepath.Base(backup), err)
	}
	t.restored++
	return nil
}
