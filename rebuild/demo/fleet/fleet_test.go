package fleet

import (
	"crypto/sha256"
	"encoding/hex"
	"math"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

func simulate(t testing.TB, jobs int, seed uint64) *Fleet {
	t.Helper()
	f, err := Simulate(Options{Jobs: jobs, Seed: seed})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func BenchmarkPage100000(b *testing.B) {
	f := simulate(b, 100000, 1)
	jobs, pumps := f.Summaries(), f.Pumps()
	b.Run("gather", func(b *testing.B) {
		for b.Loop() {
			history.NewFleet(jobs, pumps, f.Options())
		}
	})
	fleet := history.NewFleet(jobs, pumps, f.Options())
	b.Run("page", func(b *testing.B) {
		for b.Loop() {
			fleet.Page(history.Filter{})
		}
	})
	b.Run("page of a liquid", func(b *testing.B) {
		for b.Loop() {
			fleet.Page(history.Filter{Liquid: "demo-water", Part: SealPart})
		}
	})
}

// What is read back from the entries is what the simulation says, and the
// lives computed from it are those that were drawn.
func TestStreamsTellTheTruth(t *testing.T) {
	f := simulate(t, 60, 3)
	truth := map[string]history.Summary{}
	for _, s := range f.Summaries() {
		truth[s.Job] = s
	}
	pumps := map[string]*history.Pump{}
	var read []history.Summary
	err := f.Streams(func(s *record.Stream) error {
		if strings.HasPrefix(s.Name, "pump:") {
			p := history.FoldPump(s)
			for _, trouble := range p.Troubles {
				t.Errorf("%s: %v", s.Name, trouble.Message)
			}
			pumps[p.Serial] = p
			return nil
		}
		state := job.Fold(s)
		for _, trouble := range state.Troubles {
			t.Errorf("%s: %v", s.Name, trouble.Message)
		}
		in, err := assess.FromJob(state, time.Time{})
		if err != nil {
			return err
		}
		read = append(read, history.Summarise(in))
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(read) != 60 {
		t.Fatalf("%d jobs", len(read))
	}
	for _, got := range read {
		want := truth[got.Job]
		for _, part := range []string{SealPart, PackingPart, BushingPart, bracketPart} {
			if got.FateOf(part) != want.FateOf(part) {
				t.Errorf("%s: %s was %s, reads %s", got.Job, part, want.FateOf(part), got.FateOf(part))
			}
		}
		for _, n := range want.Numbers {
			found := false
			for _, g := range got.Numbers {
				if g.Feature == n.Feature && g.State == n.State {
					found = true
					if math.Abs(g.Value-n.Value) > 1.5e-6 {
						t.Errorf("%s: %s %s is %.4f mm, reads %.4f mm", got.Job, n.State, n.Feature, n.Value*1e3, g.Value*1e3)
					}
					if g.Limit == nil || *g.Limit != *n.Limit || !g.Rising || math.Abs(*g.New-*n.New) > 1e-9 {
						t.Errorf("%s: %s: limit %v, new %v", got.Job, n.Feature, g.Limit, g.New)
					}
				}
			}
			if !found {
				t.Errorf("%s: %s %s was not read", got.Job, n.State, n.Feature)
			}
		}
		if got.Cost != want.Cost || got.Liquid != want.Liquid || got.HoursAYear != want.HoursAYear || got.Closed != want.Closed || got.Opened != want.Opened {
			t.Errorf("%s: %+v, want %+v", got.Job, got, want)
		}
	}
	from := history.NewFleet(read, pumps, f.Options()).PartLives(history.Filter{Part: SealPart})
	drawn := history.NewFleet(f.Summaries(), f.Pumps(), f.Options()).PartLives(history.Filter{Part: SealPart})
	if len(from) != len(drawn) || len(from) < 30 {
		t.Fatalf("%d lives of seals, %d drawn", len(from), len(drawn))
	}
	for i := range from {
		if from[i].Job != drawn[i].Job || from[i].Fate != drawn[i].Fate || from[i].Infant != drawn[i].Infant || math.Abs(from[i].Hours-drawn[i].Hours) > 2 {
			t.Errorf("life %d: %+v, drawn %+v", i, from[i], drawn[i])
		}
	}
}

// The same options give the same bytes.
func TestSameFleetTwice(t *testing.T) {
	digest := func() string {
		h := sha256.New()
		if err := simulate(t, 12, 9).Streams(func(s *record.Stream) error { return s.Write(h) }); err != nil {
			t.Fatal(err)
		}
		return hex.EncodeToString(h.Sum(nil))
	}
	if a, b := digest(), digest(); a != b {
		t.Errorf("%s and %s", a, b)
	}
}

func TestOptions(t *testing.T) {
	for _, o := range []Options{{}, {Jobs: -1}, {Jobs: MostJobs + 1}, {Jobs: 1, Years: 100}, {Jobs: 1, Laws: &Laws{}}} {
		if _, err := Simulate(o); say.AsProblem(err) == nil {
			t.Errorf("%+v: %v", o, err)
		}
	}
}
