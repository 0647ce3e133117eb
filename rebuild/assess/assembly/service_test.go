package assembly_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/quantity"
	"pumpwright/calc/seal"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// An alignment that does not close moves no foot.
func TestAlignmentDoesNotClose(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindReading))
	clock := func(bottom string) map[string]any {
		return map[string]any{"top": 0, "right": "0.10 mm", "bottom": bottom, "left": "0.12 mm"}
	}
	b.add(job.KindAlignment, map[string]any{"state": "as-left", "method": "reverse", "growth": map[string]any{"near": 0, "far": 0},
		"dimensions": map[string]any{"between": "180 mm", "to_near_foot": "210 mm", "to_far_foot": "560 mm"},
		"readings":   map[string]any{"stationary_rim": clock("0.22 mm"), "movable_rim": clock("0.30 mm")}}, time.Minute)
	c := b.chapter()
	a := c.Alignment.Left
	if a.Plan.Valid || len(a.Moves) > 0 || a.Hold.IsZero() {
		t.Errorf("valid %v, moves %v", a.Plan.Valid, a.Moves)
	}
	near(t, "closure", a.Plan.Position.Closure.SI(), 0.08e-3, 1e-9)
	if !contains(c.Warnings, "do not close") {
		t.Errorf("warnings %v", c.Warnings)
	}
}

// Growth that decides a direction moves no foot before somebody confirmed it;
// without any growth nobody moves a foot of a pump that runs hot.
func TestGrowthIsConfirmedFirst(t *testing.T) {
	set := func(more map[string]any) *assembly.Alignment {
		b := open(t, "J-2041", ofKind(job.KindReading))
		body := map[string]any{"state": "as-left", "method": "tool", "dimensions": map[string]any{"to_near_foot": "210 mm", "to_far_foot": "560 mm"},
			"readings": map[string]any{"offset_vertical": "0.05 mm", "angle_vertical": 0, "offset_horizontal": 0, "angle_horizontal": 0}}
		for k, v := range more {
			body[k] = v
		}
		b.add(job.KindAlignment, body, time.Minute)
		return b.chapter().Alignment.Left
	}
	growth := map[string]any{"near": "-0.12 mm", "far": "-0.12 mm"}
	if a := set(nil); len(a.Moves) > 0 || !contains(a.Warnings, "growth") {
		t.Errorf("no growth: moves %v, warnings %v", a.Moves, a.Warnings)
	}
	if a := set(map[string]any{"growth": growth}); len(a.Moves) > 0 || !contains(a.Warnings, "nobody has confirmed") {
		t.Errorf("not confirmed: moves %v, warnings %v", a.Moves, a.Warnings)
	}
	a := set(map[string]any{"growth": growth, "growth_confirmed": true})
	// 0.05 up cold and 0.12 down with growth: the foot is raised by 0.07.
	if !contains(a.Moves, "near feet: raise 0.070 mm") {
		t.Errorf("confirmed: moves %v", a.Moves)
	}
}

// Alignment as found is asked for only where we took the pump off.
func TestAlignmentAsFound(t *testing.T) {
	if a := open(t, "J-2057", nil).chapter().Alignment; a.AskFound {
		t.Error("asked for although the plant removed the pump")
	}
	if a := open(t, "J-2063", nil).chapter().Alignment; !a.AskFound {
		t.Error("not asked for although we remove the pump")
	}
}

// A packing pump: the practice always, the sizes where the sheet has the box.
func TestPacking(t *testing.T) {
	b := open(t, "J-2063", nil)
	s := b.chapter().Seal
	if s.Load != nil || s.Rings != nil || !contains(s.Unknown, "bore of the stuffing box") || !contains(s.Reasons, "finger-tight") {
		t.Errorf("without the box: %v / %v", s.Unknown, s.Reasons)
	}
	b.change("demo-pump-l", "  rings: 6\n", "  rings: 6\n  box_bore: 95 mm\n  box_depth: 62.5 mm\n")
	s = b.chapter().Seal
	shaft := 70.0 // nominal of the invented sheet
	if s.Rings == nil {
		t.Fatalf("no rings: %v", s.Unknown)
	}
	near(t, "section", s.Rings.Section.SI(), (95-shaft)/2*1e-3, 2e-3) // geometry
	if s.Rings.Count != 5 || !contains(s.Warnings, "the sheet names 6") {
		t.Errorf("%d rings, warnings %v", s.Rings.Count, s.Warnings)
	}
}

// A lip seal at more than its pressure is said.
func TestLip(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindReading))
	b.change("demo-pump-m", "shaft_seal: bellows", "shaft_seal: lip")
	s := b.chapter().Seal
	if s.Lip == nil || s.Lip.Within || len(s.Warnings) == 0 {
		t.Errorf("8 bar on a lip: %+v, %v", s.Lip, s.Warnings)
	}
}

// Turning the bearing housing after the length was read moved the seal.
func TestHousingMovesSeal(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindTrial))
	b.change("demo-pump-m", "clearance_by: gaskets", "clearance_by: housing")
	if s := b.chapter().Seal; s.Moved || !contains(s.Notes, "moves the seal") {
		t.Errorf("moved %v, notes %v", s.Moved, s.Notes)
	}
	b.add(job.KindStep, job.Mark{Step: "build-housing", Mark: "done"}, time.Minute)
	c := b.chapter()
	if !c.Seal.Moved || !contains(c.Warnings, "seal moved") {
		t.Errorf("moved %v, warnings %v", c.Seal.Moved, c.Warnings)
	}
	b.add(job.KindReading, job.Reading{Feature: "seal-working-length", State: job.AsLeft, Values: []job.Value{{Text: "38.0 mm"}}}, time.Minute)
	if b.chapter().Seal.Moved {
		t.Error("still moved after it was read again")
	}
}

// A working length outside its tolerance, and a seal set too slowly.
func TestSealSetting(t *testing.T) {
	b := open(t, "J-2041", func(e *record.Entry) bool {
		return e.Kind == job.KindStep && strings.Contains(string(e.Body), `"build-seal"`)
	})
	b.add(job.KindStep, job.Mark{Step: "build-seal", Mark: "done", Amount: 14}, time.Minute)
	b.add(job.KindReading, job.Reading{Feature: "seal-working-length", State: job.AsLeft, Values: []job.Value{{Text: "39.0 mm"}}}, time.Minute)
	s := b.chapter().Seal
	if s.Setting.Decision != seal.DecisionMove || !contains(s.Warnings, "move it") || !contains(s.Warnings, "14 min") {
		t.Errorf("decision %s, warnings %v", s.Setting.Decision, s.Warnings)
	}
	// Hooke: 15 N/mm over 44 − 39 mm of the invented sheet.
	near(t, "spring", s.Force.SI(), 75, 1e-9)
}

// Readings in service: what is off is said, the baseline names what it lacks,
// a check that nobody made is overdue.
func TestRunning(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindRunning))
	b.add(job.KindRunning, map[string]any{"after": "15 min", "pressure": "9.5 bar", "leakage": 4, "vibration": "6 mm/s"}, time.Minute)
	b.add(job.KindRunning, map[string]any{"after": "24 h", "pressure": "8 bar", "flow": "155 L/min"}, 24*time.Hour)
	last := b.s.Entries[len(b.s.Entries)-1].At.Time()
	c := b.assessed(last.AddDate(0, 0, 20)).Assembly
	for _, want := range []string{"pressure reads 9.5 bar", "leakage at the seal reads 4", "vibration reads", "lacks temperature, viscosity", "readings after a week was due"} {
		if !contains(c.Running.Warnings, want) {
			t.Errorf("%q is not said: %v", want, c.Running.Warnings)
		}
	}
	if contains(c.Running.Warnings, "month was due") {
		t.Error("the month is not over")
	}
	if c.Running.Baseline != c.Running.Runs[1] {
		t.Error("the reading after 24 h is not the baseline")
	}
	if want := last.Add(-24 * time.Hour); c.Running.Started.Sub(want).Abs() > 20*time.Minute {
		t.Errorf("started %v, wanted about %v", c.Running.Started, want)
	}
}

type model struct {
	flow quantity.Estimate[quantity.Flow]
}

func (m model) Expect(at assembly.RunPoint) (assembly.Expected, error) {
	if at.Pressure == 0 || at.Speed == 0 || at.At == 0 {
		return assembly.Expected{}, fmt.Errorf("asked without a point")
	}
	return assembly.Expected{Flow: &m.flow}, nil
}

// A model of the pump is asked at the point that was read.
func TestExpectation(t *testing.T) {
	a := open(t, "J-2041", nil).assessed(time.Time{})
	in := assembly.Inputs{Sheet: a.Inputs.Sheet, Service: a.Inputs.Service, Liquid: a.Inputs.Liquid, State: a.Inputs.Job, Readings: a.Readings,
		Procedure: a.Inputs.Procedure, Shop: a.Inputs.Shop, AsOf: a.Inputs.AsOf}
	odd := func(flow, u float64) (asked, off int) {
		in.Expect = model{quantity.Within(quantity.Flow(flow/60e3), u/60e3)}
		for _, run := range assembly.InService(in, a.Assembly).Runs {
			for _, l := range run.Lines {
				if l.Name.ID() == "assembly.line_flow" && l.Expected != nil {
					asked++
					if l.Odd {
						off++
					}
				}
			}
		}
		return asked, off
	}
	read := a.Assembly.Running.Baseline.Body.Flow.SI() * 60e3
	if asked, off := odd(read+1, 2); asked != 2 || off != 0 {
		t.Errorf("asked %d, off %d", asked, off)
	}
	if _, off := odd(read+30, 2); off != 2 {
		t.Errorf("30 L/min less than expected: %d of 2 said", off)
	}
}

// The words: cautions stand where the step is, nothing clears a pump to run,
// no slot stays empty.
func TestWords(t *testing.T) {
	for _, name := range demo.Jobs() {
		c := open(t, name, nil).chapter()
		text := spelled(c)
		for _, never := range []string{"safe to start", "{", "%!", "<nil>", "NaN"} {
			if strings.Contains(text, never) {
				t.Errorf("%s: %q in the words", name, never)
			}
		}
		if !contains(c.Running.Cautions, "never started against a shut valve") || !contains(c.Running.Cautions, "licensed") {
			t.Errorf("%s: the caution of the start is missing", name)
		}
		if len(c.Presses[0].Cautions) == 0 || len(c.Bolts[0].Cautions) == 0 || len(c.Seal.Cautions) == 0 || len(c.Alignment.Cautions) == 0 {
			t.Errorf("%s: a step without its caution", name)
		}
		for _, n := range c.Workings() {
			if err := n.Check(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

// A kept chapter is the same as a new one after every entry of a job.
func TestKept(t *testing.T) {
	for _, name := range demo.Jobs() {
		s := open(t, name, nil).s
		keeper := new(assess.Keeper)
		for n := 4; n <= len(s.Entries); n++ {
			in, err := assess.FromJob(job.Fold(&record.Stream{Name: s.Name, Entries: s.Entries[:n]}), time.Time{})
			if err != nil {
				t.Fatal(err)
			}
			if kept, fresh := spelled(keeper.Assess(in).Assembly), spelled(assess.Assess(in).Assembly); kept != fresh {
				t.Fatalf("%s: after entry %d (%s) the kept chapter differs", name, n, s.Entries[n-1].Kind)
			}
		}
	}
}
