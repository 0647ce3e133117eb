package assess

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// later is the invented job with entries more, judged for a day.
func later(t *testing.T, keeper *Keeper, day time.Time, more ...[2]any) *Assessment {
	t.Helper()
	return shifted(t, keeper, day, 0, more...)
}

// shifted is later with every entry written some time after it was.
func shifted(t *testing.T, keeper *Keeper, day time.Time, by time.Duration, more ...[2]any) *Assessment {
	t.Helper()
	stream, err := demo.Job("J-2041")
	if err != nil {
		t.Fatal(err)
	}
	for i := range stream.Entries {
		e := &stream.Entries[i]
		e.At = record.TimeOf(e.At.Time().Add(by))
	}
	for i, e := range more {
		raw, err := json.Marshal(e[1])
		if err != nil {
			t.Fatal(err)
		}
		id := "more" + string(rune('a'+i))
		stream.Entries = append(stream.Entries, record.Entry{ID: id, Hash: id, Seq: int64(len(stream.Entries) + 1), Kind: e[0].(string), Version: 1, Body: raw, By: "odell"})
	}
	in, err := FromJob(job.Fold(stream), day)
	if err != nil {
		t.Fatal(err)
	}
	return keeper.Assess(in)
}

// An instrument out of calibration carries no decision until somebody has
// signed why it was used anyway; then the reason stands with the reading.
func TestAcceptedInstrument(t *testing.T) {
	keeper := new(Keeper)
	day := time.Date(2027, 6, 1, 12, 0, 0, 0, time.UTC) // every calibration of the scenario has ended
	const year = 365 * 24 * time.Hour
	before := shifted(t, keeper, day, year).Readings.ByID("idler-pin-od", job.AsFound)
	if !before.Blocked || before.BlockedBy == "" {
		t.Fatalf("not blocked: %+v", before.Warnings)
	}
	a := shifted(t, keeper, day, year, [2]any{job.KindAccepted, job.Accepted{Instrument: before.BlockedBy, Role: "lead", Reason: "checked against gauge blocks that morning"}})
	after := a.Readings.ByID("idler-pin-od", job.AsFound)
	if after.Blocked {
		t.Error("still blocked")
	}
	said := false
	for _, w := range after.Warnings {
		said = said || strings.Contains(w.String(), "used anyway") && strings.Contains(w.String(), "gauge blocks")
	}
	if !said {
		t.Errorf("the reason does not stand there: %v", after.Warnings)
	}
}

// A calibration that ran out after a reading says nothing against it; the
// finished job still stands years later.
func TestCalibrationOfTheDay(t *testing.T) {
	day := time.Date(2027, 6, 1, 12, 0, 0, 0, time.UTC)
	r := later(t, new(Keeper), day).Readings
	for _, f := range append(append([]*reading.Feature{}, r.Found...), r.Left...) {
		if f.Blocked {
			t.Errorf("%s is blocked by %s: %v", f.Feature.ID, f.BlockedBy, f.Warnings)
		}
	}
}

// The readings of the stand stand above what the service states of the relief
// valve, and mark the step done.
func TestReliefAsRead(t *testing.T) {
	keeper := new(Keeper)
	before := later(t, keeper, time.Time{})
	a := later(t, keeper, time.Time{}, [2]any{job.KindRelief, map[string]any{"set": "3 bar", "full_bypass": "3.6 bar", "reseat": "2.8 bar"}})
	d := a.Delivery()
	if d.ReliefAt == nil || d.Relief == nil || d.Relief.Valve.Set.SI() != 3e5 || d.Relief.Valve.Crack.SI() != 3e5 || d.Relief.Assumed {
		t.Fatalf("relief: %+v at %+v, before %+v", d.Relief, d.ReliefAt, before.Delivery().Relief)
	}
	if !d.Relief.Passes || d.Relief.Accepted {
		t.Error("a valve that opens below the working pressure is accepted")
	}
	if before.Delivery().ReliefAt != nil {
		t.Error("readings before any were written")
	}
}

// A part that comes back from outside is asked for again.
func TestOutsideAsksAgain(t *testing.T) {
	keeper := new(Keeper)
	before := later(t, keeper, time.Time{}).Readings.ByID("idler-pin-od", job.AsLeft)
	if before.Mean == nil {
		t.Fatal("the scenario measures the new pin")
	}
	part := before.Feature.Part
	a := later(t, keeper, time.Time{}, [2]any{job.KindOutside, job.Outside{Part: part, Work: "grind", To: "Hill Grinding (invented)", Sent: true}},
		[2]any{job.KindOutside, job.Outside{Of: "morea", Part: part, Returned: true}})
	if a.Readings.ByID("idler-pin-od", job.AsLeft).Mean != nil {
		t.Error("what was measured before it went away is still believed")
	}
	asked := false
	for _, m := range a.Progress.Missing {
		asked = asked || m.Feature.ID == "idler-pin-od" && m.State == job.AsLeft
	}
	if !asked {
		t.Errorf("it is not asked for again: next %v, missing %v", a.Progress.Next, a.Progress.Missing)
	}
}
