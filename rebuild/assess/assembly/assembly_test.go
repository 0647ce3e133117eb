package assembly_test

import (
	"fmt"
	"math"
	"sort"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/fit"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

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

func BenchmarkAssess(b *testing.B) {
	a := open(b, "J-2041", nil).assessed(time.Time{})
	in := assembly.Inputs{Sheet: a.Inputs.Sheet, Service: a.Inputs.Service, Liquid: a.Inputs.Liquid, State: a.Inputs.Job, Readings: a.Readings,
		Replaced: a.Parts.Replaced(), Procedure: a.Inputs.Procedure, Shop: a.Inputs.Shop, AsOf: a.Inputs.AsOf}
	b.ReportAllocs()
	for b.Loop() {
		assembly.Assess(in)
	}
}

// The press gauge is held against the computed force: an over-size bushing and
// one that went in askew are warnings, a good one is a reason; a gauge out of
// calibration carries no decision. The force itself is checked in package fit.
func TestPressGauge(t *testing.T) {
	start := func() *bench {
		return open(t, "J-2041", func(e *record.Entry) bool {
			return e.Kind == job.KindStep && strings.Contains(string(e.Body), "build-press-idler")
		})
	}
	force := start().chapter().Presses[0].Result.PressForce.SI()
	for _, c := range []struct {
		name, word string
		warned     bool
		body       map[string]any
	}{
		{"right", "as it should be", false, map[string]any{"force": fmt.Sprintf("%.0f N", force)}},
		{"too high", "cocked, over size", true, map[string]any{"force": fmt.Sprintf("%.0f N", 3*force)}},
		{"early", "already showed", true, map[string]any{"force": fmt.Sprintf("%.0f N", force),
			"stroke": []any{map[string]any{"engaged": "12 mm", "force": fmt.Sprintf("%.0f N", 0.7*force)}}}},
		{"by the ram", "as it should be", false, map[string]any{"pressure": fmt.Sprintf("%.3f bar", force/30e-4/1e5), "ram_area": "30 cm2"}},
		{"loose", "looser than measured", true, map[string]any{"pressure": fmt.Sprintf("%.3f bar", 0.2*force/30e-4/1e5), "ram_area": "30 cm2"}},
	} {
		b := start()
		c.body["part"] = "idler-bushing"
		b.add(job.KindPress, c.body, time.Minute)
		a := b.assessed(time.Time{})
		p := a.Assembly.Presses[0]
		list := p.Reasons
		if c.warned {
			list = a.Warnings
		}
		if p.Stroke == nil || p.Stroke.Check == nil || !contains(list, c.word) {
			t.Errorf("%s: %v, warnings %v", c.name, p.Reasons, p.Warnings)
		}
		if m := stepOf(a, "build-press-idler"); m == nil || m.Status != progress.Done {
			t.Errorf("%s: the step is not done", c.name)
		}
	}
	// TW-02 is no press gauge, but it is due on 2026-08-31.
	b := start()
	b.add(job.KindPress, map[string]any{"part": "idler-bushing", "force": fmt.Sprintf("%.0f N", force), "instrument": "TW-02"}, 365*24*time.Hour)
	if p := b.chapter().Presses[0]; !p.Stroke.Doubted || !contains(p.Warnings, "carries no decision") {
		t.Errorf("overdue: %v", p.Warnings)
	}
	// A pressing of another bushing is none of this one.
	b = start()
	b.add(job.KindPress, map[string]any{"part": "bracket-bushing", "force": "9 kN"}, time.Minute)
	if a := b.assessed(time.Time{}); a.Assembly.Presses[0].Stroke != nil || stepOf(a, "build-press-idler").Status == progress.Done {
		t.Error("taken for another bushing")
	}
}

func stepOf(a *assess.Assessment, id string) *progress.Step {
	for _, s := range a.Progress.Steps {
		if s.Step.ID == id {
			return s
		}
	}
	return nil
}
