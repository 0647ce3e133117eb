package assess_test

import (
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// stream returns the entries of a demo job up to the first one for which stop
// is true.
func stream(t testing.TB, name string, stop func(e *record.Entry) bool) *record.Stream {
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
	return s
}

func assessed(t testing.TB, s *record.Stream) *assess.Assessment {
	t.Helper()
	in, err := assess.FromJob(job.Fold(s), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	return assess.Assess(in)
}

// add appends an entry to a job.
func add(t testing.TB, s *record.Stream, kind string, body any) record.Entry {
	t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	last := s.Entries[len(s.Entries)-1]
	at := last.At.Time().Add(time.Minute)
	e, err := s.Append(record.Entry{ID: record.NewID(at, [10]byte{byte(len(s.Entries)), 1}), Stream: s.Name, Kind: kind, Version: 1, Body: raw, By: "mira", At: record.TimeOf(at), Seen: s.Head(), Device: "bench-1"})
	if err != nil {
		t.Fatal(err)
	}
	return e
}

func isKind(kind string) func(*record.Entry) bool {
	return func(e *record.Entry) bool { return e.Kind == kind }
}

// The cold end clearance without gaskets is the sum of the depths as they were
// typed: 80.01 − 74.93 − 5.4625 mm. (hand: means of the invented readings)
func TestBareClearance(t *testing.T) {
	a := assessed(t, stream(t, "J-2041", nil))
	got := a.Clearances.Bare.Value.SI() * 1e3
	if want := 80.01 - 74.93 - 5.4625; math.Abs(got-want) > 1e-6 {
		t.Errorf("bare clearance %v mm, want %v", got, want)
	}
}

// The advised stack lands in the window by the solver's own sum, starts and
// ends with a sealing gasket, and uses no more than the shelf holds.
func TestFirstStack(t *testing.T) {
	a := assessed(t, stream(t, "J-2041", isKind(job.KindTrial)))
	s := a.Clearances.Stack
	if s == nil || s.Best() == nil || !s.Solution.Reachable {
		t.Fatalf("no stack: %v", a.Clearances.Unknown)
	}
	best := s.Best()
	sum := s.Belief.Value.SI()
	for i, n := range best.Counts {
		sum += float64(n) * (s.Kinds[i].Compressed().SI() - a.Inputs.Shop.Compression.Extra*s.Kinds[i].Thickness.SI())
		if n > s.Kinds[i].Stock {
			t.Errorf("%s: %d pieces, the shelf holds %d", s.Kinds[i].Name, n, s.Kinds[i].Stock)
		}
	}
	if math.Abs(sum-best.Clearance.Value.SI()) > 1e-9 {
		t.Errorf("stack gives %v, stated %v", sum, best.Clearance.Value.SI())
	}
	if sum < a.Clearances.Window.Low.SI() || sum > a.Clearances.Window.High.SI() {
		t.Errorf("clearance %v lies outside %v to %v", sum, a.Clearances.Window.Low, a.Clearances.Window.High)
	}
	for _, end := range []string{best.Order[0], best.Order[len(best.Order)-1]} {
		if i := a.Inputs.Sheet.GasketIndex(end); i < 0 || !a.Inputs.Sheet.Gaskets[i].Sealing {
			t.Errorf("%q lies outside and does not seal", end)
		}
	}
}

// Pin and bushing go together, the seal goes with every gasket, and what is
// worn past its limit is replaced without anybody having decided.
func TestPartsInPairs(t *testing.T) {
	a := assessed(t, stream(t, "J-2041", isKind(job.KindDecision)))
	for id, want := range map[string]part.Verdict{
		"idler-pin": part.Replace, "idler-bushing": part.Replace, "shaft-seal": part.Replace, "head-gaskets": part.Replace,
		"gland-gasket": part.Replace, "rotor": part.Reuse, "casing": part.Reuse, "bracket": part.NotMeasured,
	} {
		if got := a.Parts.Of(id).Verdict; got != want {
			t.Errorf("%s: %s, want %s", id, got, want)
		}
	}
	s := stream(t, "J-2041", nil)
	add(t, s, job.KindDecision, job.Decision{Part: "idler-bushing", Decision: "reuse", Reason: "no time"})
	a = assessed(t, s)
	if d := a.Parts.Of("idler-bushing"); !d.Against || len(a.Parts.Warnings) < 2 {
		t.Errorf("a split pair against the readings was let pass: %+v, %v", d, a.Parts.Warnings)
	}
}

// A part that is replaced no longer lends its old readings to the clearance:
// the new one must be measured.
func TestNewPartIsMeasured(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	add(t, s, job.KindDecision, job.Decision{Part: "rotor", Decision: "replace", Reason: "chipped"})
	a := assessed(t, s)
	if a.Clearances.Bare.Known() {
		t.Error("the clearance rests on a rotor that is gone")
	}
	found := false
	for _, l := range a.Clearances.Lacks {
		found = found || l.Role == sheet.RoleRotorHeight && l.New
	}
	if !found {
		t.Errorf("nobody asks for the new rotor: %+v", a.Clearances.Lacks)
	}
}

// Limits rank: the customer's governs over the maker's, and the maker's stays
// shown.
func TestLimitsRank(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindDecision))
	add(t, s, job.KindLimit, job.Limit{Feature: "rotor-od", Min: "159.965 mm", Rank: "customer", Source: "contract"})
	f := assessed(t, s).Readings.ByID("rotor-od", job.AsFound)
	if g := f.Governs(); g == nil || g.Rank != "customer" || len(f.Judged) != 2 {
		t.Fatalf("governing: %+v", f.Governs())
	}
	if f.Word == reading.Good {
		t.Error("the customer's limit was passed over")
	}
}

// An instrument out of calibration keeps its value and decides nothing.
func TestOverdueInstrument(t *testing.T) {
	a := assessed(t, stream(t, "J-2057", nil))
	f := a.Readings.ByID("idler-bushing-bore", job.AsFound)
	if f.Mean == nil || !f.Blocked {
		t.Fatalf("mean %v, blocked %v", f.Mean, f.Blocked)
	}
	if got := a.Parts.Of("idler-bushing").Verdict; got != part.MeasureAgain {
		t.Errorf("a decision rests on it: %s", got)
	}
}

// The head does not come off before what would be lost is read, or a reason is
// written.
func TestHardStop(t *testing.T) {
	s := stream(t, "J-2041", func(e *record.Entry) bool {
		return e.Kind == job.KindReading && strings.Contains(string(e.Body), "end-clearance")
	})
	a := assessed(t, s)
	why := a.Progress.MayPass("down-head-off")
	if !strings.Contains(why.String(), "End clearance as found") {
		t.Fatalf("the head may come off: %q", why)
	}
	for _, step := range []string{"found-end-clearance", "found-relief-screw", "found-leak-path", "down-match-marks"} {
		add(t, s, job.KindStep, job.Mark{Step: step, Mark: "skipped", Reason: "seized, ports blocked"})
	}
	a = assessed(t, s)
	if why := a.Progress.MayPass("down-head-off"); !why.IsZero() {
		t.Errorf("the reason in writing does not pass it: %s", why)
	}
	if len(a.Progress.Skipped) != 4 {
		t.Errorf("what was passed over is not shown: %d", len(a.Progress.Skipped))
	}
}

// The end clearance as left is asked for, however good the computed stack.
func TestAsLeftIsAlwaysAsked(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	a := assessed(t, s)
	for _, m := range a.Progress.Missing {
		if m.Feature.RoleOf() == sheet.RoleEndClearance && m.State == job.AsLeft {
			return
		}
	}
	t.Error("nobody asks for the end clearance as left")
}

// A sheet without a number is assessed as far as it goes, and the number is
// named with its use.
func TestSheetWithoutNumbers(t *testing.T) {
	text, err := sheet.DemoText("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	short := strings.Replace(string(text), "  shaft_length: {value: 170 mm, page: p. 10}\n", "", 1)
	s := stream(t, "J-2041", nil)
	add(t, s, job.KindSheet, job.Text{Name: "short", Text: short, Reason: "test"})
	a := assessed(t, s)
	if !a.Clearances.Bare.Known() || a.Clearances.Gaps[0].Steady != nil {
		t.Errorf("cold %v, steady %v", a.Clearances.Bare.Known(), a.Clearances.Gaps[0].Steady)
	}
	if why := a.Clearances.Gaps[0].Unknown.String(); !strings.Contains(why, "shaft") {
		t.Errorf("the missing length is not named: %q", why)
	}
}

// The same job gives the same answer, on one core and on two, from nothing and
// after every entry of its life with kept chapters.
func TestDeterministic(t *testing.T) {
	for _, name := range demo.Jobs() {
		s := stream(t, name, nil)
		before := runtime.GOMAXPROCS(1)
		one := spelled(assessed(t, s))
		runtime.GOMAXPROCS(2)
		two := spelled(assessed(t, s))
		runtime.GOMAXPROCS(before)
		if one != two {
			t.Errorf("%s: one core and two disagree", name)
		}
		keeper := new(assess.Keeper)
		for n := 4; n <= len(s.Entries); n++ {
			part := &record.Stream{Name: s.Name, Entries: s.Entries[:n]}
			in, err := assess.FromJob(job.Fold(part), time.Time{})
			if err != nil {
				t.Fatal(err)
			}
			if kept, fresh := spelled(keeper.Assess(in)), spelled(assess.Assess(in)); kept != fresh {
				t.Fatalf("%s: after entry %d (%s) the kept answer differs", name, n, s.Entries[n-1].Kind)
			}
		}
	}
}

// spelled writes down what an assessment says.
func spelled(a *assess.Assessment) string {
	var b strings.Builder
	for _, d := range a.Parts.Decisions {
		fmt.Fprintln(&b, d.Part.ID, d.Verdict, say.Texts(d.Reasons, say.Style{}))
	}
	for _, g := range a.Clearances.Gaps {
		fmt.Fprintln(&b, g.Gap, g.Cold, g.Steady, g.Worst, g.Contact)
	}
	if st := a.Clearances.Stack; st != nil && st.Best() != nil {
		fmt.Fprintln(&b, st.Basis, st.Best().Order, st.Best().Clearance, st.Best().Probability)
	}
	fmt.Fprintln(&b, say.Texts(a.Warnings, say.Style{}), a.Progress.Stage, len(a.Progress.Missing), len(a.Progress.Holds))
	for _, w := range a.Workings() {
		fmt.Fprintln(&b, w.ID, w.Value, w.U)
	}
	return b.String()
}

// Every number has a working whose leaves say where they come from.
func TestWorkings(t *testing.T) {
	for _, name := range demo.Jobs() {
		for _, w := range assessed(t, stream(t, name, nil)).Workings() {
			if err := w.Check(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
	}
}

// Changing a leaf changes the root: each depth moves the bare clearance by its
// own change.
func TestLeafMovesRoot(t *testing.T) {
	base := assessed(t, stream(t, "J-2041", nil)).Clearances.Bare.Value.SI()
	for feature, sign := range map[string]float64{"casing-depth": 1, "rotor-height": -1, "head-boss": -1} {
		s := stream(t, "J-2041", nil)
		f := assessed(t, s).Inputs.Sheet.Feature(feature)
		var values []job.Value
		for _, angle := range f.Angles {
			values = append(values, job.Value{Angle: &angle, Text: fmt.Sprintf("%.3f mm", f.Nominal.SI*1e3+0.5)})
		}
		for _, v := range job.Fold(s).ValuesOf(feature, job.AsFound) {
			add(t, s, job.KindVoid, job.Void{Entry: v.Ref, Reason: "test"})
		}
		add(t, s, job.KindReading, job.Reading{Feature: feature, State: job.AsFound, Values: values, Confirmed: true})
		old := assessed(t, stream(t, "J-2041", nil)).Readings.ByID(feature, job.AsFound).Mean.Value
		got := assessed(t, s).Clearances.Bare.Value.SI() - base
		want := sign * (f.Nominal.SI + 0.5e-3 - old)
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: the clearance moved by %v, want %v", feature, got, want)
		}
	}
}

// A message of an assessment never shows an empty slot in either unit system.
func TestMessagesAreFilled(t *testing.T) {
	for _, name := range demo.Jobs() {
		a := assessed(t, stream(t, name, nil))
		for _, style := range []say.Style{{}, {Units: say.Inch}} {
			for _, text := range strings.Split(spelledIn(a, style), "\n") {
				if strings.ContainsAny(text, "{}") || strings.Contains(text, "%!") {
					t.Errorf("%s: %s", name, text)
				}
			}
		}
	}
}

func spelledIn(a *assess.Assessment, style say.Style) string {
	lines := say.Texts(a.Warnings, style)
	for _, d := range a.Parts.Decisions {
		lines = append(lines, say.Texts(d.Reasons, style)...)
	}
	for _, s := range a.Progress.Steps {
		lines = append(lines, s.Title.Text(style), s.Do.Text(style))
		lines = append(lines, say.Texts(s.Caution, style)...)
	}
	return strings.Join(append(lines, say.Texts(a.Clearances.Window.Reasons, style)...), "\n")
}

func TestJobWithoutSheet(t *testing.T) {
	_, err := assess.FromJob(&job.State{}, time.Time{})
	if p := say.AsProblem(err); p == nil || p.Field != "sheet" {
		t.Errorf("%v", err)
	}
	if reflect.TypeOf(err) == nil {
		t.Error("no error")
	}
}

// benchmarkJob is a job of 200 entries.
func benchmarkJob(b *testing.B) *record.Stream {
	s := stream(b, "J-2041", nil)
	for i := len(s.Entries); i < 200; i++ {
		add(b, s, job.KindNote, job.Note{Text: fmt.Sprint("note ", i)})
	}
	return s
}

func BenchmarkAssessFromNothing(b *testing.B) {
	in, err := assess.FromJob(job.Fold(benchmarkJob(b)), time.Time{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		assess.Assess(in)
	}
}

// BenchmarkAssessOneReading folds and assesses after one new reading of a
// feature that the clearances do not depend on; sheet and service are read
// already, as they are in the bench app.
func BenchmarkAssessOneReading(b *testing.B) { benchmarkReading(b, "idler-pin-od", "B") }

// BenchmarkAssessOneDepth is the same with a reading that moves the stack.
func BenchmarkAssessOneDepth(b *testing.B) { benchmarkReading(b, "casing-depth", "") }

func benchmarkReading(b *testing.B, feature, plane string) {
	s := benchmarkJob(b)
	in, err := assess.FromJob(job.Fold(s), time.Time{})
	if err != nil {
		b.Fatal(err)
	}
	nominal := in.Sheet.Feature(feature).Nominal.SI * 1e3
	keeper := new(assess.Keeper)
	keeper.Assess(in)
	for i := 0; b.Loop(); i++ {
		b.StopTimer()
		angle := 0.0
		add(b, s, job.KindReading, job.Reading{Feature: feature, State: job.AsFound, Confirmed: true, Values: []job.Value{{Plane: plane, Angle: &angle, Text: fmt.Sprintf("%.3f mm", nominal+0.001*float64(i%5))}}})
		b.StartTimer()
		in.Job = job.Fold(s)
		keeper.Assess(in)
		b.StopTimer()
		s.Entries = s.Entries[:200]
		b.StartTimer()
	}
}

// Gaskets that the shop has measured take the place of what the sheet prints:
// thicker pieces give a stack that expects more, and a surer one.
func TestMeasuredGaskets(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	state := job.Fold(s)
	shop := state.Basis[len(state.Basis)-1].Body.(map[string]any)
	delete(shop, "compression")
	delete(shop, "gasket_lots")
	add(t, s, job.KindBasis, shop)
	before := assessed(t, s).Clearances.Stack.Best()
	shop["gasket_lots"] = []any{
		map[string]any{"kind": "paper 0.15", "thickness": "0.150 mm", "u": "0.002 mm", "compression": 0.08},
		map[string]any{"kind": "film 0.075", "thickness": "0.075 mm", "u": "0.001 mm"},
		map[string]any{"kind": "film 0.125", "thickness": "0.125 mm", "u": "0.001 mm"},
	}
	add(t, s, job.KindBasis, shop)
	after := assessed(t, s).Clearances.Stack.Best()
	if !(after.Probability >= before.Probability) || !(after.Clearance.U < before.Clearance.U) {
		t.Errorf("measured pieces: %v at %v, printed: %v at %v", after.Clearance, after.Probability, before.Clearance, before.Probability)
	}
}
