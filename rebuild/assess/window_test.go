package assess_test

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// addBy is add with another writer.
func addBy(t testing.TB, s *record.Stream, by, kind string, body any) {
	t.Helper()
	add(t, s, kind, body)
	e := s.Entries[len(s.Entries)-1]
	s.Entries = s.Entries[:len(s.Entries)-1]
	e.By = by
	if _, err := s.Append(record.Entry{ID: e.ID, Stream: e.Stream, Kind: e.Kind, Version: e.Version, Body: e.Body, By: by, At: e.At, Seen: s.Head(), Device: e.Device}); err != nil {
		t.Fatal(err)
	}
}

func withSheet(t testing.TB, s *record.Stream, change func(text string) string) *record.Stream {
	t.Helper()
	a := assessed(t, s)
	add(t, s, job.KindSheet, job.Text{Name: "changed.yaml", Text: change(a.Inputs.Sheet.Text), Reason: "test"})
	return s
}

// without takes a group of a YAML text away: from its line to the next that is
// not indented.
func without(group string) func(string) string {
	return func(text string) string {
		var kept []string
		skipping := false
		for _, line := range strings.Split(text, "\n") {
			if strings.HasPrefix(line, group+":") {
				skipping = true
				continue
			}
			if skipping && line != "" && !strings.HasPrefix(line, " ") && !strings.HasPrefix(line, "#") {
				skipping = false
			}
			if !skipping {
				kept = append(kept, line)
			}
		}
		return strings.Join(kept, "\n")
	}
}

// The manual's window wins; a lead's signed limit wins over it, anybody else's
// does not, and the sheet's minimum is a floor for both.
func TestWindowRanks(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	if w := assessed(t, s).Clearances.Window; w.Rank != clearance.RankMaker || w.Computed == nil || w.Target == nil {
		t.Fatalf("the manual does not rule, or nothing stands beside it: %+v", w)
	}
	limit := job.Limit{Feature: "end-clearance", Min: "0.05 mm", Max: "0.30 mm", Rank: "lead", Source: "thin oil on trial"}
	addBy(t, s, "mira", job.KindLimit, limit)
	if w := assessed(t, s).Clearances.Window; w.Rank != clearance.RankMaker || !says(w.Warnings, "no lead's") {
		t.Errorf("a technician's limit ruled, or nobody said why it does not: %v %v", w.Rank, w.Warnings)
	}
	addBy(t, s, "odell", job.KindLimit, limit)
	a := assessed(t, s)
	w := a.Clearances.Window
	if w.Rank != "lead" || w.High != quantity.Length(0.30e-3) || w.SignedBy == "" || w.Row == nil {
		t.Errorf("a lead's limit does not rule, or the manual is gone: %+v", w)
	}
	if math.Abs(w.Low.SI()-0.08e-3) > 1e-12 {
		t.Errorf("the floor of the sheet is 0.08 mm, the window begins at %v", w.Low)
	}
	if a.Clearances.Stack == nil {
		t.Fatal(a.Clearances.Unknown, a.Clearances.Bare.Unknown, a.Clearances.Warnings)
	}
	if best := a.Clearances.Stack.Best(); best == nil || a.Clearances.Stack.Solution.Problem.Low != w.Low {
		t.Error("the stack does not aim at the window")
	}
}

// Without rows of a manual the computed limits rule, without their guard, for
// the choice of gaskets counts the uncertainty itself.
func TestComputedWindow(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	add(t, s, job.KindService, job.Text{Name: "easy", Text: "liquid: demo-light-oil\ntemperature: 40 °C\npressure: 8 bar\nspeed: 500 rpm\nmin_volumetric_efficiency: 0.9\n"})
	withSheet(t, s, func(text string) string {
		from, to := strings.Index(text, "  rows:\n"), strings.Index(text, "gaskets:\n")
		return text[:from] + text[to:]
	})
	w := assessed(t, s).Clearances.Window
	if !w.Known || w.Rank != clearance.RankComputed {
		t.Fatalf("no computed window: %+v", w)
	}
	if w.Low != w.Computed.LowerUnguarded.Value || w.High != w.Computed.UpperUnguarded.Value || w.Computed.Lower.Value < w.Low {
		t.Errorf("the gaskets must aim at the unguarded limits: %v to %v", w.Low, w.High)
	}
	if *w.Target < w.Low || *w.Target > w.High {
		t.Errorf("target %v outside %v to %v", *w.Target, w.Low, w.High)
	}
}

// A sheet without teeth, and a liquid without viscosity there, have no
// computed window, and say why; the manual's stays.
func TestWindowUnknown(t *testing.T) {
	s := withSheet(t, stream(t, "J-2041", isKind(job.KindTrial)), without("teeth"))
	if w := assessed(t, s).Clearances.Window; !w.Known || w.Computed != nil || w.NoComputed.IsZero() {
		t.Errorf("without teeth: %+v", w)
	}
	s = stream(t, "J-2041", isKind(job.KindTrial))
	add(t, s, job.KindService, job.Text{Name: "unknown liquid", Text: "temperature: 60 °C\npressure: 8 bar\nspeed: 500 rpm\n"})
	if w := assessed(t, s).Clearances.Window; w.Computed != nil || w.NoComputed.IsZero() {
		t.Errorf("without a liquid: %+v", w)
	}
}

func says(list []say.Message, words string) bool {
	for _, m := range list {
		if strings.Contains(m.String(), words) {
			return true
		}
	}
	return false
}
