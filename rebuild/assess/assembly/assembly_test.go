package assembly_test

import (
	"encoding/json"
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/fit"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// bench is a job that a test builds up: a demo job, or a part of one.
type bench struct {
	t testing.TB
	s *record.Stream
}

// open takes a demo job up to the first entry for which stop is true.
func open(t testing.TB, name string, stop func(e *record.Entry) bool) *bench {
	t.Helper()
	s, err := demo.Job(name)
	if err != nil {
		t.Fatal(err)
	}
	for i := range s.Entries {
		if stop != nil && stop(&s.Entries[i]) {
			s.Entries = s.Entries[:i]
			break
		}
	}
	return &bench{t, s}
}

func ofKind(kind string) func(e *record.Entry) bool {
	return func(e *record.Entry) bool { return e.Kind == kind }
}

// add appends an entry some time after the last one.
func (b *bench) add(kind string, body any, after time.Duration) {
	b.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		b.t.Fatal(err)
	}
	last := b.s.Entries[len(b.s.Entries)-1]
	at := last.At.Time().Add(after)
	_, err = b.s.Append(record.Entry{ID: record.NewID(at, [10]byte{byte(len(b.s.Entries)), 7}), Stream: b.s.Name, Kind: kind, Version: 1,
		Body: raw, By: "mira", At: record.TimeOf(at), Seen: b.s.Head(), Device: "bench-1"})
	if err != nil {
		b.t.Fatal(err)
	}
}

// change replaces words of the model sheet.
func (b *bench) change(name string, pairs ...string) {
	b.t.Helper()
	text, err := sheet.DemoText(name)
	if err != nil {
		b.t.Fatal(err)
	}
	b.add(job.KindSheet, job.Text{Name: name, Text: replaced(b.t, string(text), pairs), Reason: "test"}, time.Minute)
}

// serve replaces words of the service.
func (b *bench) serve(name string, pairs ...string) {
	b.t.Helper()
	text, err := demo.ServiceText(name)
	if err != nil {
		b.t.Fatal(err)
	}
	b.add(job.KindService, job.Text{Name: name, Text: replaced(b.t, string(text), pairs), Reason: "test"}, time.Minute)
}

func replaced(t testing.TB, text string, pairs []string) string {
	t.Helper()
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(text, pairs[i]) {
			t.Fatalf("%q is not in the text", pairs[i])
		}
		text = strings.Replace(text, pairs[i], pairs[i+1], 1)
	}
	return text
}

func (b *bench) chapter() *assembly.Chapter {
	b.t.Helper()
	return b.assessed(time.Time{}).Assembly
}

func (b *bench) assessed(asOf time.Time) *assess.Assessment {
	b.t.Helper()
	in, err := assess.FromJob(job.Fold(b.s), asOf)
	if err != nil {
		b.t.Fatal(err)
	}
	return assess.Assess(in)
}

func contains(list []say.Message, words string) bool {
	for _, m := range list {
		if strings.Contains(m.String(), words) {
			return true
		}
	}
	return false
}

func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if math.Abs(got-want) > relative*math.Abs(want) {
		t.Errorf("%s: %g, wanted %g within %g", what, got, want, relative)
	}
}

// The finished job: measured fit, bore right, every pass ticked, alignment in,
// baseline marked, checks made.
func TestFinishedJob(t *testing.T) {
	c := open(t, "J-2041", nil).chapter()
	p := c.Presses[0]
	// Means of the invented readings: 40.0365 − 40.0075 mm.
	if !p.Measured || p.Stop {
		t.Fatalf("measured %v, stop %v", p.Measured, p.Stop)
	}
	near(t, "interference", p.Interference.Value.SI(), 0.029e-3, 1e-6)
	if p.Ream == nil || p.Ream.Read == nil || !strings.Contains(p.Ream.Verdict.String(), "right for") {
		t.Errorf("bore: %+v", p.Ream)
	}
	if !c.Bolts[0].Complete || c.Bolts[1].Complete {
		t.Errorf("head bolts %v, gland bolts %v", c.Bolts[0].Complete, c.Bolts[1].Complete)
	}
	if s := c.Seal; s.Setting == nil || s.Setting.Decision != seal.DecisionSet || s.Took != 240 || s.Grip != 600 {
		t.Errorf("seal: %+v", s)
	}
	a := c.Alignment
	if a.Left == nil || a.Left.Plan == nil || !a.Left.Plan.Within || !a.Left.Hold.IsZero() || a.Change == nil {
		t.Fatalf("alignment as left: %+v", a.Left)
	}
	// ΔL = h α ΔT, the definition of the coefficient of expansion.
	near(t, "growth", a.Left.Plan.Growth.Near.SI(), 0.160*(11.7e-6*15-11e-6*30), 1e-9)
	if c.Running.Baseline == nil || *c.Running.Baseline.Body.After != 86400 {
		t.Errorf("baseline %+v", c.Running.Baseline)
	}
	for _, r := range c.Running.Rechecks {
		if !r.Done || r.Overdue {
			t.Errorf("%s: done %v, overdue %v", r.What, r.Done, r.Overdue)
		}
	}
}

// The order of tightening goes over every bolt once.
func TestOrderIsComplete(t *testing.T) {
	for _, name := range demo.Jobs() {
		for _, g := range open(t, name, nil).chapter().Bolts {
			order := append([]int{}, g.Order...)
			sort.Ints(order)
			for i, n := range order {
				if n != i+1 {
					t.Fatalf("%s, %s: order %v", name, g.Fastener.Name, g.Order)
				}
			}
			if len(order) != g.Fastener.Count {
				t.Errorf("%s: %d of %d bolts", g.Fastener.Name, len(order), g.Fastener.Count)
			}
		}
	}
}

// Load on the pin over its projected area, 10 bar on the demo pump: computed
// with an independent prototype of the same equations (numpy 1.24), 3.22207
// MPa for a pin of 30 mm.
func TestPinLoad(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindReading))
	b.serve("service-light-oil", "pressure: 8 bar", "pressure: 10 bar")
	f := b.chapter().Films[0]
	if len(f.Points) != 3 {
		t.Fatalf("points %d, unknown %v", len(f.Points), f.Unknown)
	}
	near(t, "projected pressure", f.Points[0].Running.ProjectedPressure.SI(), 3.22207e6, 1e-3)
	// The idler turns faster than the rotor by the ratio of the teeth.
	near(t, "speed", f.Speed.SI(), 500*2*math.Pi/60*17/13, 1e-9)
	if thin, thick := f.Points[1].Running.MinFilm, f.Points[2].Running.MinFilm; !(thin < thick) {
		t.Errorf("film %v hot, %v at a cold start", thin, thick)
	}
}

// Carbon that would break is a stop, and says so among the warnings; bronze
// that yields only when hot is a warning.
func TestPressStops(t *testing.T) {
	b := open(t, "J-2057", nil)
	if p := b.chapter().Presses[0]; p.Stop {
		t.Fatalf("stopped as drawn: %v", p.Warnings)
	}
	b.change("demo-pump-s", "interference: 0.0015 in", "interference: 0.0090 in")
	c := b.chapter()
	if p := c.Presses[0]; !p.Stop || !contains(p.Warnings, "do not press") || !contains(c.Warnings, "do not press") {
		t.Errorf("stop %v, warnings %v", p.Stop, p.Warnings)
	}
	if !contains(c.Presses[0].Cautions, "one continuous stroke") {
		t.Error("the caution for carbon is missing")
	}
	m := open(t, "J-2041", ofKind(job.KindReading))
	m.change("demo-pump-m", "interference: {value: 0.030 mm", "interference: {value: 0.045 mm")
	if p := m.chapter().Presses[0]; p.Stop || !contains(p.Warnings, "gives way when hot") {
		t.Errorf("bronze: stop %v, warnings %v", p.Stop, p.Warnings)
	}
}

// A carbon bushing in iron loosens as it warms, a bronze one does not: carbon
// expands less than iron, bronze more (handbook expansions).
func TestLoosening(t *testing.T) {
	carbon := open(t, "J-2057", nil).chapter().Presses[0]
	bronze := open(t, "J-2041", nil).chapter().Presses[0]
	if carbon.LooseAt == nil || bronze.LooseAt != nil {
		t.Fatalf("carbon %v, bronze %v", carbon.LooseAt, bronze.LooseAt)
	}
	if !(carbon.Result.Hot.Interference < carbon.Result.Cold.Interference && bronze.Result.Hot.Interference > bronze.Result.Cold.Interference) {
		t.Error("the interference goes the wrong way when hot")
	}
	b := open(t, "J-2057", nil)
	b.serve("service-hot-water", "liquid: demo-water", "liquid: demo-light-oil", "highest_temperature: 85 °C", "highest_temperature: 260 °C")
	if p := b.chapter().Presses[0]; !contains(p.Warnings, "press fit is gone") {
		t.Errorf("loose in service, warnings %v", p.Warnings)
	}
}

// The bore to ream to is the measured pin and the clearance of the sheet; the
// reading after pressing says how much is left.
func TestReam(t *testing.T) {
	b := open(t, "J-2041", func(e *record.Entry) bool {
		return e.Kind == job.KindReading && strings.Contains(string(e.Body), "idler-bushing-bore") && strings.Contains(string(e.Body), job.AsLeft)
	})
	r := b.chapter().Presses[0].Ream
	near(t, "aim", r.Bore.SI(), r.Pin.Value.SI()+0.080e-3, 1e-12)
	if r.Decision != fit.FinishRemove || r.Read != nil {
		t.Errorf("before the reading: %+v", r)
	}
	for _, c := range []struct {
		text, want string
		warned     bool
	}{{"30.020 mm", "ream", false}, {"30.075 mm", "right for", false}, {"30.200 mm", "larger than", true}} {
		one := open(t, "J-2041", nil)
		one.s.Entries = b.s.Entries[:len(b.s.Entries):len(b.s.Entries)]
		one.add(job.KindReading, job.Reading{Feature: "idler-bushing-bore", State: job.AsLeft, Instrument: "BG-02", Values: []job.Value{{Plane: "A", Angle: new(float64), Text: c.text}}}, time.Minute)
		p := one.chapter().Presses[0]
		if got := p.Ream.Verdict.String(); !strings.Contains(got, c.want) || contains(p.Warnings, c.want) != c.warned {
			t.Errorf("%s: %s (warnings %v)", c.text, got, p.Warnings)
		}
	}
}

// A wrench out of calibration on the day of the pass carries no tick; a wrong
// torque and a pass left out are said.
func TestTorquePasses(t *testing.T) {
	start := func() *bench { return open(t, "J-2041", ofKind(job.KindTorque)) }
	pass := func(b *bench, n int, torque, wrench string, after time.Duration) {
		b.add(job.KindTorque, job.Torque{Fastener: "head-bolts", Pass: n, Torque: torque, Instrument: wrench}, after)
	}
	late := start()
	pass(late, 1, "18 N·m", "TW-02", 365*24*time.Hour) // due 2026-08-31
	g := late.chapter().Bolts[0]
	if g.Passes[0].State != assembly.PassDoubts || !contains(g.Warnings, "TW-02") {
		t.Errorf("overdue: %s, %v", g.Passes[0].State, g.Warnings)
	}
	// The same pass in time stays good when the job is read a year later.
	good := start()
	pass(good, 1, "18 N·m", "TW-02", time.Minute)
	if g := good.assessed(time.Date(2027, 6, 1, 0, 0, 0, 0, time.UTC)).Assembly.Bolts[0]; g.Passes[0].State != assembly.PassGood {
		t.Errorf("in date on the day: %s, %v", g.Passes[0].State, g.Warnings)
	}
	odd := start()
	pass(odd, 1, "12 N·m", "TW-02", time.Minute)
	pass(odd, 3, "72 N·m", "", time.Minute)
	g = odd.chapter().Bolts[0]
	for i, want := range []assembly.PassState{assembly.PassLow, assembly.PassOpen, assembly.PassHigh} {
		if g.Passes[i].State != want {
			t.Errorf("pass %d: %s, wanted %s", i+1, g.Passes[i].State, want)
		}
	}
	if g.Complete || !contains(g.Warnings, "pass 3 was entered and pass 2 was not") {
		t.Errorf("complete %v, warnings %v", g.Complete, g.Warnings)
	}
}

// Without a torque of the manual it comes from grade and nut factor:
// T = K d F with F = 0.75 × 48.9 kN, the proof load that ISO 898-1 prints for
// M12 8.8, and K = 0.2.
func TestComputedTorque(t *testing.T) {
	b := open(t, "J-2041", ofKind(job.KindTorque))
	b.change("demo-pump-m", ", torque: {value: 60 N·m, page: p. 20}", "")
	g := b.chapter().Bolts[0]
	if g.Manual {
		t.Fatal("still of the manual")
	}
	near(t, "torque", g.Torque.SI(), 0.2*0.012*0.75*48.9e3, 1e-3)
}

// Every number that is missing is named where it is needed.
func TestMissingNumbers(t *testing.T) {
	fresh := func(stop func(*record.Entry) bool) *bench { return open(t, "J-2041", stop) }
	reading := ofKind(job.KindReading)
	for _, c := range []struct {
		name   string
		change func(b *bench)
		found  func(c *assembly.Chapter) []say.Message
		want   string
	}{
		{"grade", func(b *bench) {
			b.change("demo-pump-m", `thread: M12, grade: "8.8"`, "thread: M12")
		}, func(c *assembly.Chapter) []say.Message { return c.Bolts[0].Unknown }, "preload: not known, because grade of the bolts is missing"},
		{"pressure", func(b *bench) { b.serve("service-light-oil", "pressure: 8 bar\n", "") },
			func(c *assembly.Chapter) []say.Message { return c.Films[0].Unknown }, "not known, because pressure of the service is missing"},
		{"pressure at the seal", func(b *bench) { b.serve("service-light-oil", "pressure: 8 bar\n", "") },
			func(c *assembly.Chapter) []say.Message { return c.Seal.Unknown }, "not known, because pressure of the service is missing"},
		{"liquid", func(b *bench) { b.serve("service-light-oil", "liquid: demo-light-oil\n", "") },
			func(c *assembly.Chapter) []say.Message { return c.Films[0].Unknown }, "not known, because liquid of the service is missing"},
		{"temperature", func(b *bench) {
			b.serve("service-light-oil", "\ntemperature: 60 °C", "", "highest_temperature: 80 °C\n", "")
		}, func(c *assembly.Chapter) []say.Message { return c.Presses[0].Unknown }, "fit in service: not known, because temperature of the service is missing"},
		{"working length", func(b *bench) {
			b.change("demo-pump-m", "  working_length: {value: 38.0 mm, page: p. 17}\n", "")
		}, func(c *assembly.Chapter) []say.Message { return c.Seal.Unknown }, "not known, because working length of the sheet is missing"},
		{"balance", func(b *bench) { b.change("demo-pump-m", "  balance_ratio: 0.8\n", "") },
			func(c *assembly.Chapter) []say.Message { return c.Seal.Unknown }, "not known, because balance diameter of the seal is missing"},
		{"elastomer", func(b *bench) { b.change("demo-pump-m", "  elastomer: FKM\n", "") },
			func(c *assembly.Chapter) []say.Message { return c.Seal.Unknown }, "not known, because elastomer of the seal is missing"},
		{"material", func(b *bench) {
			b.change("demo-pump-m", "    material: bearing bronze\n    housing", "    material: unobtainium\n    housing")
		}, func(c *assembly.Chapter) []say.Message { return c.Presses[0].Unknown }, "press fit: not known, because material"},
		{"feet", func(b *bench) {
			b.add(job.KindAlignment, map[string]any{"state": "as-left", "method": "tool", "dimensions": map[string]any{"to_near_foot": "200 mm"},
				"readings": map[string]any{"offset_vertical": 0, "angle_vertical": 0, "offset_horizontal": 0, "angle_horizontal": 0}}, time.Minute)
		}, func(c *assembly.Chapter) []say.Message { return c.Alignment.Unknown }, "not known, because distance to the far feet is missing"},
		{"dial", func(b *bench) {
			b.add(job.KindAlignment, map[string]any{"state": "as-left", "method": "reverse", "dimensions": map[string]any{"between": "180 mm", "to_near_foot": "200 mm", "to_far_foot": "500 mm"},
				"readings": map[string]any{"movable_rim": map[string]any{"right": 0, "bottom": 0, "left": 0}}}, time.Minute)
		}, func(c *assembly.Chapter) []say.Message { return c.Alignment.Unknown }, "readings.stationary_rim"},
		{"start", func(b *bench) { b.add(job.KindRunning, map[string]any{"pressure": "8 bar"}, time.Minute) },
			func(c *assembly.Chapter) []say.Message { return c.Running.Unknown }, "because time after the start of the first reading is missing"},
	} {
		b := fresh(reading)
		c.change(b)
		if list := c.found(b.chapter()); !contains(list, c.want) {
			t.Errorf("%s: %v", c.name, list)
		}
	}
}

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
	if at.Pressure == 0 || at.Speed == 0 || at.Viscosity == 0 {
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

// spelled writes down all that a chapter says.
func spelled(c *assembly.Chapter) string {
	var b strings.Builder
	put := func(lists ...[]say.Message) {
		for _, list := range lists {
			for _, m := range list {
				for _, units := range []say.Units{say.Metric, say.Inch} {
					fmt.Fprintln(&b, m.Text(say.Style{Units: units}))
				}
			}
		}
	}
	for _, p := range c.Presses {
		fmt.Fprintln(&b, p.Name, p.Stays, p.Measured, p.Stop, p.Interference)
		put(p.Reasons, p.Notes, p.Warnings, p.Cautions, p.Unknown)
		if p.Ream != nil {
			put([]say.Message{p.Ream.Verdict})
		}
	}
	for _, g := range c.Bolts {
		put(g.Reasons, g.Notes, g.Warnings, g.Cautions, g.Unknown)
		for _, p := range g.Passes {
			fmt.Fprintln(&b, p.Number, p.Torque, p.State)
		}
	}
	for _, f := range c.Films {
		put(f.Reasons, f.Warnings, f.Unknown)
		for _, p := range f.Points {
			put([]say.Message{p.Name, p.Verdict})
		}
	}
	if s := c.Seal; s != nil {
		put(s.Reasons, s.Notes, s.Advice, s.Warnings, s.Cautions, s.Unknown)
	}
	put(c.Alignment.Reasons, c.Alignment.Warnings, c.Alignment.Cautions, c.Alignment.Unknown)
	for _, a := range c.Alignment.Sets {
		put(a.Moves, a.Notes, a.Warnings, a.Unknown)
	}
	put(c.Running.Reasons, c.Running.Warnings, c.Running.Cautions, c.Running.Unknown)
	for _, r := range c.Running.Rechecks {
		fmt.Fprintln(&b, r.What, r.Due, r.Done, r.Overdue)
	}
	put(c.Warnings)
	return b.String()
}

func BenchmarkAssess(b *testing.B) {
	a := open(b, "J-2041", nil).assessed(time.Time{})
	in := assembly.Inputs{Sheet: a.Inputs.Sheet, Service: a.Inputs.Service, Liquid: a.Inputs.Liquid, State: a.Inputs.Job, Readings: a.Readings,
		Replaced: a.Parts.Replaced(), Procedure: a.Inputs.Procedure, Shop: a.Inputs.Shop, AsOf: a.Inputs.AsOf}
	b.ReportAllocs()
	for b.Loop() {
		assembly.Assess(in)
	}
}
