package cli

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// What is due by the archive of a simulated fleet is what is due by its streams:
// nothing is lost on the way through the files.
func TestDemoFleetIsItsFleet(t *testing.T) {
	const size, seed = 120, 5
	b := newBench(t)
	if _, err, status := b.run("demo", "fleet", "--jobs", strconv.Itoa(size), "--seed", strconv.Itoa(seed), "--dir", "f"); status != 0 {
		t.Fatalf("status %d: %s", status, err)
	}
	out, errText, status := b.run("due", "f", "--json")
	if status != 0 {
		t.Fatalf("status %d: %s", status, errText)
	}
	var answer struct {
		Due []struct{ Serial, Feature, Day string }
	}
	if err := json.Unmarshal([]byte(out), &answer); err != nil {
		t.Fatal(err)
	}
	f, err := fleet.Simulate(fleet.Options{Jobs: size, Seed: seed})
	if err != nil {
		t.Fatal(err)
	}
	var jobs []history.Summary
	pumps := map[string]*history.Pump{}
	var texts assess.Texts
	if err := f.Streams(func(s *record.Stream) error {
		if !strings.HasPrefix(s.Name, "job:") {
			pump := history.FoldPump(s)
			pumps[pump.Serial] = pump
			return nil
		}
		in, err := texts.FromJob(job.Fold(s), time.Time{})
		jobs = append(jobs, history.Summarise(in))
		return err
	}); err != nil {
		t.Fatal(err)
	}
	machines := history.ByMachine(jobs, pumps, f.Options())
	want := map[string]string{}
	for _, e := range history.DueList(machines, history.NewFamily(machines), false) {
		if e.Track.Feature == fleet.WearFeature {
			want[e.Serial] = string(e.Day().Day())
		}
	}
	compared := 0
	for _, d := range answer.Due {
		if d.Feature != fleet.WearFeature {
			continue
		}
		compared++
		if want[d.Serial] != d.Day {
			t.Errorf("%s: due %s, the fleet itself says %s", d.Serial, d.Day, want[d.Serial])
		}
	}
	if compared < 10 {
		t.Errorf("only %d dates compared", compared)
	}
	text, err := os.ReadFile(filepath.Join(b.folder, "f", "truth.csv"))
	if err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(text), "\ufeff"))).ReadAll()
	if err != nil || len(rows) != len(f.Truths())+1 {
		t.Errorf("%d rows of truth for %d bushings: %v", len(rows), len(f.Truths()), err)
	}
}

// Two files that tell one job in two ways are not put together.
func TestTwoWays(t *testing.T) {
	b := newBench(t)
	b.scenario(t)
	whole, err := os.ReadFile(filepath.Join(b.folder, "J-2063.jsonl"))
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"one.jsonl", "two.jsonl"} {
		if err := os.WriteFile(filepath.Join(b.folder, name), whole, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	add := func(file, note string) {
		t.Helper()
		if _, errText, status := b.run("job", "add", file, "note", note, "--by", "mira"); status != 0 {
			t.Fatalf("status %d: %s", status, errText)
		}
	}
	add("one.jsonl", "first")
	if out, errText, status := b.run("history", "J-2063.jsonl", "one.jsonl"); status != 0 || !strings.Contains(out, "1 job") {
		t.Errorf("a job and its beginning: status %d: %s%s", status, out, errText)
	}
	add("two.jsonl", "second")
	if _, errText, status := b.run("history", "one.jsonl", "two.jsonl"); status != 2 || !strings.Contains(errText, "another way") {
		t.Errorf("status %d: %s", status, errText)
	}
}
