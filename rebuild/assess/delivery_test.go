package assess_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/assess/proof"
	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// The clearances of the leak paths are the readings as they were typed: half of
// mean bore less mean rotor, end clearance plus pocket less idler. (hand: means
// of the invented readings)
func TestClearancesOfTheMachine(t *testing.T) {
	a := assessed(t, stream(t, "J-2041", nil))
	d := a.Delivery()
	bore := (160.27 + 160.28 + 160.33 + 160.36 + 160.31 + 160.28 + 160.27 + 160.27 + 160.31 + 160.34 + 160.30 + 160.27) / 12
	rotor := (159.97 + 159.96 + 159.97 + 159.97) / 4
	idler := (59.91 + 59.90 + 59.91 + 59.91) / 4
	left := (0.18 + 0.17 + 0.18) / 3
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"radial gap", d.Found.Machine.Cold.RotorRadial.SI(), (bore - rotor) / 2},
		{"end clearance as found", d.Found.Machine.Cold.End.SI(), 0.375},
		{"idler float as found", d.Found.Machine.Cold.IdlerFloat.SI(), 0.375 + 60 - idler},
		{"end clearance as left", d.Left.Machine.Cold.End.SI(), left},
		{"idler float as left", d.Left.Machine.Cold.IdlerFloat.SI(), left + 60 - idler},
		{"crescent end as left moves along", (d.Left.Machine.Cold.CrescentEnd - d.Left.Machine.Cold.End).SI(), 60 - 59.88},
		{"pin as left", d.Left.Machine.Model.Pump().Pin.Clearance.SI(), (30.0825 - 29.99475) / 2},
	} {
		if math.Abs(c.got*1e3-c.want) > 2e-4 {
			t.Errorf("%s: %.5f mm, want %.5f", c.what, c.got*1e3, c.want)
		}
	}
}

// As found delivers least, as new most; what each part costs is never below
// nothing in slip; the bore is said to be beyond gaskets; the money follows by
// the prices of the service.
func TestDeliveryOfAFinishedJob(t *testing.T) {
	a := assessed(t, stream(t, "J-2041", nil))
	d := a.Delivery()
	found, left, fresh := d.Found.Duty.Flow.Value, d.Left.Duty.Flow.Value, d.New.Duty.Flow.Value
	if !(found < left && left < fresh) {
		t.Errorf("flows %v, %v, %v", found, left, fresh)
	}
	if !d.Calibrated || !says(d.Notes, "fitted to 5 bench points") {
		t.Error("accepted bench points must stand with the flows")
	}
	if len(d.Shares) < 4 || !says(d.Warnings, "a worn bore cannot be cured by gaskets") {
		t.Errorf("shares %d, %v", len(d.Shares), d.Warnings)
	}
	for _, s := range d.Shares {
		if s.Slip < 0 {
			t.Errorf("%s: replaced alone it slips more: %v", s.Name, s.Slip)
		}
	}
	for _, m := range d.Money {
		want := m.LostFlow.Value.SI() * 6000 * 3600 * 2.5 // hours and price of the service
		if m.Output == nil || math.Abs(*m.Output-want) > 1e-6*want || m.Energy == nil || *m.Energy <= 0 {
			t.Errorf("%s: %v, want %v", m.State, m.Output, want)
		}
	}
	if d.Relief == nil || !d.Relief.Accepted || d.Suction == nil || len(d.Drive) != 3 || d.Warm == nil {
		t.Error("relief valve, suction, drive or heat is missing")
	}
	if d.Drive[1].Viscosity <= d.Drive[0].Viscosity || d.Drive[1].Power.Value <= d.Drive[0].Power.Value {
		t.Errorf("the start must be checked at the thickest liquid: %+v", d.Drive)
	}
	// Δp/(ρ c): 8 bar in oil of 842.1 kg/m³ and 1900 J/(kg K). (hand)
	if want := 8e5 / (870 - 0.62*45) / 1900; math.Abs(d.Warm.Slipped.SI()-want) > 1e-3 {
		t.Errorf("slip comes back %v warmer, want %v", d.Warm.Slipped, want)
	}
}

// Before bench points the chapter says that no measurement proves the paths.
func TestSlipIsNeverShownBare(t *testing.T) {
	d := assessed(t, stream(t, "J-2041", isKind(job.KindTestPoint))).Delivery()
	if d.Left.Duty == nil || d.Calibrated || !says(d.Notes, "no published measurement proves") {
		t.Errorf("%v", d.Notes)
	}
	if p := assessed(t, stream(t, "J-2041", isKind(job.KindTestPoint))).Proof(); !says(p.Asks, "a bench point is asked for") || p.Verdict != proof.NotTested {
		t.Errorf("%v %v", p.Verdict, p.Asks)
	}
}

// Calibrating finds the factors behind the invented test points: they were
// made with 0.90 of the model's slip, 0.93 of its drag and 0.999 of its
// displacement, and noise.
func TestProofOfAFinishedJob(t *testing.T) {
	p := assessed(t, stream(t, "J-2041", nil)).Proof()
	if p.Usable != 5 || len(p.Points) != 6 || p.Points[0].Refused.IsZero() || !strings.Contains(p.Points[0].Refused.String(), "temperature, viscosity") {
		t.Fatalf("usable %d of %d: %v", p.Usable, len(p.Points), p.Points[0].Refused)
	}
	for i, truth := range []float64{math.Log(0.90), math.Log(0.93), 0.999} {
		k := []float64{math.Log(p.Calibration.Factors.Slip), math.Log(p.Calibration.Factors.Drag), p.Calibration.Factors.Displacement}[i]
		if math.Abs(k-truth) > 3*p.Calibration.U[i] {
			t.Errorf("factor %d: %v ± %v, made with %v", i, k, p.Calibration.U[i], truth)
		}
	}
	if p.Verdict != proof.Accepted || len(p.Requirements) != 2 {
		t.Errorf("%v: %v", p.Verdict, p.Reasons)
	}
	// A bench flow is no service figure.
	for _, list := range [][]say.Message{p.Reasons} {
		for _, m := range list {
			for _, bench := range []string{"166.1", "158.3", "75.7"} {
				if strings.Contains(m.String(), bench) {
					t.Errorf("a bench flow stands in the verdict: %s", m)
				}
			}
		}
	}
	if len(p.Planned) < 4 || p.Planned[0].Expected == nil || p.Planned[0].Point.Pressure > 0.5e5 {
		t.Errorf("planned: %+v", p.Planned)
	}
}

func testPoint(flow string) job.TestPoint {
	return job.TestPoint{Liquid: "demo-light-oil", Temperature: "40 °C", Viscosity: "46 mm2/s", Speed: "500 rpm", Pressure: "8 bar", Flow: flow, Power: "2.4 kW"}
}

// The verdict follows the chance: a pump that must deliver more than it can is
// refused, one that may or may not is not shown.
func TestVerdicts(t *testing.T) {
	for _, c := range []struct {
		flow string
		want proof.Verdict
	}{{"145 L/min", proof.Accepted}, {"150.5 L/min", proof.NotShown}, {"158 L/min", proof.Refused}} {
		s := stream(t, "J-2041", nil)
		add(t, s, job.KindService, job.Text{Name: "asked", Text: "liquid: demo-light-oil\ntemperature: 60 °C\npressure: 8 bar\nspeed: 500 rpm\nflow: " + c.flow + "\n"})
		if p := assessed(t, s).Proof(); p.Verdict != c.want {
			t.Errorf("%s: %v, want %v: %v", c.flow, p.Verdict, c.want, p.Reasons)
		}
	}
}

// A flow far below the band is no slip: it is said how much, nothing is fitted
// to it, and nothing is shown.
func TestMissingFlow(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTestPoint))
	add(t, s, job.KindTestPoint, testPoint("130 L/min"))
	p := assessed(t, s).Proof()
	if len(p.Missing) != 1 || p.Calibration != nil || p.Verdict != proof.NotShown || !says(p.Warnings, "relief valve that passes") {
		t.Fatalf("%+v %v", p.Missing, p.Verdict)
	}
	m := p.Missing[0]
	want := (m.Expected.Value - m.Measured.Value).SI() - 2*math.Hypot(m.Expected.U, m.Measured.U)
	if math.Abs(m.NotSlip.SI()-want) > 1e-12 || m.NotSlip <= 0 {
		t.Errorf("at least %v is not slip, want %v", m.NotSlip, want)
	}
	// In service, as found: the readings of the running pump come before any
	// reading as left.
	s = stream(t, "J-2041", isKind(job.KindDecision))
	add(t, s, job.KindRunning, map[string]any{"pressure": "8 bar", "flow": "90 L/min", "temperature": "60 °C"})
	p = assessed(t, s).Proof()
	if len(p.Missing) != 1 || p.Missing[0].State != machine.Found {
		t.Errorf("missing in service: %+v, %v", p.Missing, p.Warnings)
	}
}

// A sheet without teeth: the displacement by the rating, the two-number model
// by the points, no share by part, and what cannot be said is said.
func TestWithoutTeeth(t *testing.T) {
	s := withSheet(t, stream(t, "J-2041", nil), without("teeth"))
	a := assessed(t, s)
	d, p := a.Delivery(), a.Proof()
	if d.Found != nil || d.Fallback == nil || d.Fallback.Displacement == nil || len(d.Shares) > 0 || d.Unknown.IsZero() {
		t.Fatalf("%+v", d)
	}
	if p.Simple == nil || !p.Simple.Accepted || p.SimpleFlow == nil || d.Fallback.Flow == nil {
		t.Fatalf("two numbers: %+v, %v", p.Simple, p.Statements)
	}
	if !says(d.Fallback.CannotSay, "what each worn part costs") || !says(d.Notes, "two-number model") {
		t.Errorf("%v %v", d.Fallback.CannotSay, d.Notes)
	}
	if d.Relief == nil {
		t.Error("the relief valve needs no teeth")
	}
	s = withSheet(t, stream(t, "J-2041", isKind(job.KindTestPoint)), without("teeth"))
	d = assessed(t, s).Delivery()
	// D = Q/(N η_v): 155 L/min at 500 rpm and 0.95. (hand)
	if want := 155e-3 / 500 / 0.95; math.Abs(d.Fallback.Displacement.Value.SI()-want) > 1e-9 || d.Fallback.Flow != nil {
		t.Errorf("%v", d.Fallback.Displacement)
	}
}

// No viscosity, no service, nothing read: a sentence, no number.
func TestDeliveryUnknown(t *testing.T) {
	s := stream(t, "J-2041", nil)
	add(t, s, job.KindService, job.Text{Name: "bare", Text: "temperature: 60 °C\npressure: 8 bar\nspeed: 500 rpm\n"})
	if d := assessed(t, s).Delivery(); d.Found != nil || d.Unknown.IsZero() {
		t.Errorf("without a liquid: %+v", d)
	}
	add(t, s, job.KindService, job.Text{Name: "barer", Text: "liquid: demo-light-oil\ntemperature: 60 °C\n"})
	if d := assessed(t, s).Delivery(); d.Found != nil || !strings.Contains(d.Unknown.String(), "speed, pressure") {
		t.Errorf("without a point: %v", d.Unknown)
	}
	d := assessed(t, stream(t, "J-2063", nil)).Delivery()
	if d.Found == nil || d.Found.Duty != nil || d.Found.Contact.IsZero() || d.New.Duty == nil {
		t.Errorf("nothing was read, yet the pump as found delivers: %+v", d.Found)
	}
}

// Water: the demo's rinse pump slips most of what it moves, and the parts of
// the power that the sheet does not know are said.
func TestDeliveryOfWater(t *testing.T) {
	d := assessed(t, stream(t, "J-2057", nil)).Delivery()
	if d.Found.Duty == nil || d.Found.Duty.Result.VolumetricEfficiency > d.New.Duty.Result.VolumetricEfficiency {
		t.Fatalf("%+v", d.Found)
	}
	if !says(d.Warnings, "is not reached") || says(d.Warnings, "a worn bore") {
		t.Errorf("nobody read the bore: %v", d.Warnings)
	}
}

// An end clearance that closes when hot: a sentence, no flow and no power.
func TestContactGivesNoFlow(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTrial))
	for _, at := range []float64{0, 120, 240} {
		add(t, s, job.KindReading, job.Reading{Feature: "end-clearance", State: job.AsLeft, Confirmed: true, Instrument: "DI-03", Values: []job.Value{{Angle: &at, Text: "0.02 mm"}}})
	}
	a := assessed(t, s)
	if d := a.Delivery(); d.Left.Duty != nil || d.Left.Contact.IsZero() || !says(d.Warnings, "o flow and no power are given") {
		t.Errorf("0.02 mm cold, and a flow was given: %+v", d.Left)
	}
	if p := a.Proof(); p.Prediction != nil {
		t.Error("the bench chapter predicts for parts that touch")
	}
}

// Replacing a worn part never raises the pressure-driven slip of the model,
// whatever was read.
func TestReplacingNeverRaisesSlip(t *testing.T) {
	in, err := assess.FromJob(job.Fold(stream(t, "J-2041", isKind(job.KindTestPoint))), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	a := assess.Assess(in)
	base, _, err := in.Sheet.Pump()
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(t *rapid.T) {
		set := machine.Of(machine.Inputs{Sheet: in.Sheet, Readings: a.Readings}, machine.Found)
		for i := range set.Values {
			v := &set.Values[i]
			v.Size.Value += quantity.Length(rapid.Float64Range(-0.05e-3, 0.15e-3).Draw(t, v.Role))
		}
		temperature := quantity.Temperature(rapid.Float64Range(283, 363).Draw(t, "temperature"))
		l, _, err := machine.LiquidAt(in.Liquid, temperature)
		if err != nil {
			t.Fatal(err)
		}
		warm, err := machine.WarmTo(in.Sheet, machine.Bench, machine.Bench, temperature)
		if err != nil {
			t.Fatal(err)
		}
		pt := slip.Point{Speed: quantity.RotationalSpeed(rapid.Float64Range(5, 60).Draw(t, "speed")), Pressure: quantity.PressureDifference(rapid.Float64Range(1e4, 12e5).Draw(t, "pressure"))}
		driven := func(s machine.Set) float64 {
			m, err := machine.Assemble(base, s, warm)
			if err != nil {
				t.Fatal(err)
			}
			r, err := m.Model.At(l, pt, slip.DefaultFactors())
			if err != nil {
				t.Fatal(err)
			}
			return (r.Slip - r.SlipAtZero).SI()
		}
		before := driven(set)
		for _, p := range set.Parts(in.Sheet) {
			renewed, _ := set.Renew(p.ID)
			if after := driven(renewed); after > before*(1+1e-9) {
				t.Fatalf("%s renewed: slip %v, was %v", p.ID, after, before)
			}
		}
	})
}

// Two runs are equal, whoever asks first and however often; a keeper gives the
// same after every entry (see TestDeterministic, which spells the workings).
func TestLazyChaptersAreStable(t *testing.T) {
	for _, name := range demo.Jobs() {
		one, two := assessed(t, stream(t, name, nil)), assessed(t, stream(t, name, nil))
		two.Delivery()
		first := fmt.Sprint(one.Proof().Reasons, one.Delivery().Notes, one.FurtherWarnings())
		if second := fmt.Sprint(two.Proof().Reasons, two.Delivery().Notes, two.FurtherWarnings()); first != second {
			t.Errorf("%s: two runs differ", name)
		}
	}
}

// Every role that enters the leak paths is one of the sheet's.
func TestRolesOfTheMachine(t *testing.T) {
	for _, r := range sheet.Roles() {
		if r.ID == sheet.RoleCasingBore && !machine.Matters(r.ID) || r.ID == sheet.RoleSealWorkingLength && machine.Matters(r.ID) {
			t.Error(r.ID)
		}
	}
}

func BenchmarkDelivery(b *testing.B) { benchmarkLazy(b, func(a *assess.Assessment) { a.Delivery() }) }
func BenchmarkProof(b *testing.B)    { benchmarkLazy(b, func(a *assess.Assessment) { a.Proof() }) }

func benchmarkLazy(b *testing.B, ask func(*assess.Assessment)) {
	in, err := assess.FromJob(job.Fold(stream(b, "J-2041", func(*record.Entry) bool { return false })), time.Time{})
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		b.StopTimer()
		a := assess.Assess(in)
		b.StartTimer()
		ask(a)
	}
}

// Odd services and points get a sentence, never a number that is none.
func TestOddServicesAndPoints(t *testing.T) {
	services := map[string]string{
		"no speed":          "liquid: demo-light-oil\ntemperature: 60 °C\npressure: 8 bar\nspeed: 0 rpm\n",
		"no pressure":       "liquid: demo-light-oil\ntemperature: 60 °C\npressure: 0 bar\nspeed: 500 rpm\nflow: 100 L/min\n",
		"pressure reversed": "liquid: demo-light-oil\ntemperature: 60 °C\npressure: -2 bar\nspeed: 500 rpm\n",
		"boiling":           "liquid: demo-water\ntemperature: 94 °C\nhighest_temperature: 140 °C\npressure: 8 bar\nspeed: 500 rpm\nsuction: {static_head: -3 m, bore: 80 mm, length: 5 m}\n",
		"outside its data":  "liquid: demo-molasses\ntemperature: 120 °C\npressure: 8 bar\nspeed: 500 rpm\n",
		"too much asked":    "liquid: demo-light-oil\ntemperature: 60 °C\npressure: 8 bar\nspeed: 500 rpm\nflow: 900 L/min\ndrive: {power: 0.5 kW, max_speed: 100 rpm, max_torque: 1 N·m}\nrelief_valve: {set: 7 bar, crack: 6 bar}\n",
		"thick start":       "liquid: demo-molasses\ntemperature: 40 °C\nlowest_temperature: 12 °C\npressure: 6 bar\nspeed: 300 rpm\nsuction: {static_head: 0 m, bore: 40 mm, length: 20 m, fittings_k: 5}\ndrive: {power: 2 kW}\n",
	}
	points := []job.TestPoint{testPoint("0 L/min"), testPoint("-5 L/min"), {Liquid: "tar", Temperature: "40 °C", Viscosity: "3 Pa·s", Speed: "500 rpm", Pressure: "8 bar", Flow: "150 L/min"},
		{Liquid: "tar", Density: "1100 kg/m3", Temperature: "40 °C", Viscosity: "3 Pa·s", Speed: "500 rpm", Pressure: "0 bar", Flow: "160 L/min"}}
	for name, text := range services {
		s := stream(t, "J-2041", isKind(job.KindTestPoint))
		add(t, s, job.KindService, job.Text{Name: name, Text: text})
		for _, p := range points {
			add(t, s, job.KindTestPoint, p)
		}
		a := assessed(t, s)
		d, p := a.Delivery(), a.Proof()
		all := append(append(append(say.Texts(d.Notes, say.Style{}), say.Texts(d.Warnings, say.Style{})...), say.Texts(p.Warnings, say.Style{})...), say.Texts(p.Reasons, say.Style{})...)
		for _, m := range all {
			for _, never := range []string{"NaN", "Inf", "<nil>", "{", "%!"} {
				if strings.Contains(m, never) {
					t.Errorf("%s: %q", name, m)
				}
			}
		}
		for _, w := range a.Workings() {
			if err := w.Check(); err != nil {
				t.Errorf("%s: %v", name, err)
			}
		}
		if d.Unknown.IsZero() && d.Left != nil && d.Left.Duty == nil && len(d.Warnings) == 0 {
			t.Errorf("%s: nothing is known and nothing is said", name)
		}
	}
	s := stream(t, "J-2041", isKind(job.KindTestPoint))
	add(t, s, job.KindService, job.Text{Name: "too much asked", Text: services["too much asked"]})
	if d := assessed(t, s).Delivery(); !says(d.Warnings, "is over the") || !says(d.Warnings, "leak path of its own") || !says(d.Warnings, "above the 100 rpm") {
		t.Errorf("drive and relief valve: %v", d.Warnings)
	}
	s = stream(t, "J-2041", isKind(job.KindTestPoint))
	add(t, s, job.KindService, job.Text{Name: "thick start", Text: services["thick start"]})
	if d := assessed(t, s).Delivery(); !says(d.Warnings, "too thick for the suction line") && !says(d.Warnings, "it will not fill") && !says(d.Warnings, "boils in the line") {
		t.Errorf("suction: %v", d.Warnings)
	}
}

// Molasses at 12 °C through 20 m of a 40 mm line does not fill the pump at the
// start: the power of that line is not that of a full pump, and it says so.
// Light oil out of a tank above the pump fills it everywhere.
func TestStarvedStart(t *testing.T) {
	s := stream(t, "J-2041", isKind(job.KindTestPoint))
	full := assessed(t, s).Delivery()
	if len(full.Drive) < 2 {
		t.Fatalf("%d checks of the drive", len(full.Drive))
	}
	for _, d := range full.Drive {
		if !d.Starved.IsZero() {
			t.Errorf("light oil: %s", d.Starved)
		}
	}
	add(t, s, job.KindService, job.Text{Name: "thick start", Text: "liquid: demo-molasses\ntemperature: 40 °C\nlowest_temperature: 12 °C\npressure: 6 bar\nspeed: 300 rpm\nsuction: {static_head: 0 m, bore: 40 mm, length: 20 m, fittings_k: 5}\ndrive: {power: 2 kW}\n"})
	thick := assessed(t, s).Delivery()
	starved := 0
	for _, d := range thick.Drive {
		if !d.Starved.IsZero() {
			starved++
			if !says(thick.Warnings, d.Starved.String()) {
				t.Errorf("%s is no warning", d.Starved)
			}
		}
	}
	if starved == 0 {
		t.Errorf("nothing is starved: %v", thick.Warnings)
	}
}

// BenchmarkAssessOneBore is one new reading that moves the computed window.
func BenchmarkAssessOneBore(b *testing.B) { benchmarkReading(b, "casing-bore", "A") }

// The bench test's chapter and the return to service expect the same of a
// running pump, also off the temperature of the service and where the site is
// much warmer than the bench; a reading from before the rebuild is held against
// the pump as found.
func TestOneExpectationInService(t *testing.T) {
	for _, found := range []bool{true, false} {
		s := stream(t, "J-2041", func(e *record.Entry) bool {
			return found && e.Kind == job.KindDecision || e.Kind == job.KindTestPoint
		})
		add(t, s, job.KindService, job.Text{Name: "hot site", Text: "liquid: demo-light-oil\ntemperature: 60 °C\nambient: 55 °C\npressure: 8 bar\nspeed: 500 rpm\n"})
		add(t, s, job.KindRunning, map[string]any{"pressure": "8 bar", "flow": "90 L/min", "temperature": "57 °C"})
		a := assessed(t, s)
		missing := a.Proof().Missing
		runs := a.InService().Runs
		if len(missing) != 1 || len(runs) != 1 {
			t.Fatalf("%v %v", missing, runs)
		}
		for _, l := range runs[0].Lines {
			if l.Name.ID() != "assembly.line_flow" {
				continue
			}
			expected, ok := l.Expected.(quantity.Estimate[quantity.Flow])
			if !ok || expected != missing[0].Expected {
				t.Errorf("as found %v: return to service expects %v, the bench test's chapter %v", found, l.Expected, missing[0].Expected)
			}
		}
	}
}

// An upgrade that renews the worn casing delivers more than the rebuild alone;
// one that says nothing of gaps is taken for the rebuild, and that is said.
func TestUpgradeDelivers(t *testing.T) {
	in, err := assess.FromJob(job.Fold(stream(t, "J-2041", nil)), time.Time{})
	if err != nil {
		t.Fatal(err)
	}
	with := func(change func(*ledger.Upgrade)) *assess.Assessment {
		shop, prices := *in.Shop, *in.Shop.Prices
		upgrade := *in.Shop.UpgradeOf(in.Sheet.Name)
		upgrade.Renews, upgrade.EndClearance = nil, nil
		change(&upgrade)
		prices.Upgrades = []ledger.Upgrade{upgrade}
		shop.Prices = &prices
		in := in
		in.Shop = &shop
		return assess.Assess(in)
	}
	plain := with(func(*ledger.Upgrade) {})
	if plain.Delivery().Upgraded != nil || !says(plain.Offer().Life.Assumed, "does not say what it changes") {
		t.Errorf("nothing of its gaps is known: %v", plain.Offer().Life.Assumed)
	}
	sleeved := with(func(u *ledger.Upgrade) { u.Renews = []string{"casing", "no-such-part"} })
	d := sleeved.Delivery()
	if d.Upgraded == nil || d.Upgraded.Duty == nil || !(d.Upgraded.Duty.Flow.Value > d.Left.Duty.Flow.Value) {
		t.Fatalf("upgraded %+v, rebuilt %v", d.Upgraded, d.Left.Duty.Flow.Value)
	}
	if !says(d.Warnings, "no-such-part") || says(sleeved.Offer().Life.Assumed, "does not say what it changes") {
		t.Errorf("%v", d.Warnings)
	}
	worth := func(a *assess.Assessment) float64 {
		for _, o := range a.Offer().Life.Result.Options {
			if o.Name == string(offer.Upgrade) {
				return o.PresentValue
			}
		}
		t.Fatal("the upgrade is not compared")
		return 0
	}
	// the rebuilt pump meets the flow asked for already: what is left is the
	// power, and narrower gaps drag more
	if more := d.Upgraded.Duty.Power.Value > d.Left.Duty.Power.Value; more != (worth(sleeved) > worth(plain)) || worth(sleeved) == worth(plain) {
		t.Errorf("the comparison does not follow its power: %v, %v", worth(sleeved), worth(plain))
	}
	wide := quantity.Length(0.4e-3)
	if open := with(func(u *ledger.Upgrade) { u.EndClearance = &wide }).Delivery(); !(open.Upgraded.Duty.Flow.Value < d.Left.Duty.Flow.Value) {
		t.Errorf("opened to 0.4 mm it delivers %v, before %v", open.Upgraded.Duty.Flow.Value, d.Left.Duty.Flow.Value)
	}
}
