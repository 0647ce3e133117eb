package assess_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
)

// walker looks through everything that an assessment holds.
type walker struct {
	seen  map[uintptr]bool
	wrong []string
	texts []say.Message
}

func (w *walker) walk(v reflect.Value, path string) {
	if len(w.wrong) > 5 || strings.Count(path, ".") > 14 {
		return
	}
	switch v.Kind() {
	case reflect.Float64:
		if math.IsNaN(v.Float()) || math.IsInf(v.Float(), 0) {
			w.wrong = append(w.wrong, fmt.Sprintf("%s = %v", path, v.Float()))
		}
	case reflect.Pointer:
		if v.IsNil() || w.seen[v.Pointer()] {
			return
		}
		w.seen[v.Pointer()] = true
		w.walk(v.Elem(), path)
	case reflect.Interface:
		if !v.IsNil() {
			w.walk(v.Elem(), path)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			w.walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i))
		}
	case reflect.Map:
		for _, k := range v.MapKeys() {
			w.walk(v.MapIndex(k), path+"."+fmt.Sprint(k))
		}
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[say.Message]() {
			if v.CanInterface() {
				w.texts = append(w.texts, v.Interface().(say.Message))
			}
			return
		}
		if v.Type().PkgPath() == "time" {
			return
		}
		for i := range v.NumField() {
			if f := v.Type().Field(i); f.IsExported() && f.Name != "Inputs" {
				w.walk(v.Field(i), path+"."+f.Name)
			}
		}
	}
}

// examineAll holds what must be true of every assessment: finite numbers, no
// empty sentence, nothing that says a pump may be started, and chapters that do
// not contradict one another.
func examineAll(t interface {
	Errorf(string, ...any)
}, a *assess.Assessment, what string) {
	w := &walker{seen: map[uintptr]bool{}}
	service := a.InService()
	for name, chapter := range map[string]any{"Readings": a.Readings, "Parts": a.Parts, "Clearances": a.Clearances, "Assembly": a.Assembly, "Progress": a.Progress,
		"Proof": a.Proof(), "Delivery": a.Delivery(), "Cause": a.Cause(), "Offer": a.Offer(), "Sides": a.Sides, "InService": service, "Warnings": a.Warnings} {
		w.walk(reflect.ValueOf(chapter), name)
	}
	if len(w.texts) < 20 {
		t.Errorf("%s: only %d texts were looked at", what, len(w.texts))
	}
	for _, wrong := range w.wrong {
		t.Errorf("%s: %s", what, wrong)
	}
	for _, m := range w.texts {
		for _, style := range []say.Style{{}, {Units: say.Inch}} {
			text := m.Text(style)
			if m.ID() != "" && strings.TrimSpace(text) == "" {
				t.Errorf("%s: %s says nothing", what, m.ID())
			}
			for _, bad := range []string{"NaN", "+Inf", "-Inf", "%!", "<nil>", "{", "()", "  ", ": .", ", ,", "safe to start"} {
				if strings.Contains(text, bad) {
					t.Errorf("%s: %s says %q", what, m.ID(), text)
				}
			}
		}
	}
	for _, root := range a.Workings() {
		if root == nil || root.Name.IsZero() {
			t.Errorf("%s: a working without a name", what)
		}
	}
	// Contact means no figures; a stack that lands in a window means a window.
	d := a.Delivery()
	if d.Left != nil && d.Left.Duty != nil && !(d.Left.Duty.Flow.Value.SI() < 1) {
		t.Errorf("%s: delivers %v", what, d.Left.Duty.Flow)
	}
	if p := a.Proof(); p.Prediction != nil && p.Calibration == nil && p.Simple == nil {
		t.Errorf("%s: a prediction from no fit", what)
	}
	if s := a.Clearances.Stack; s != nil && a.Inputs.Sheet.Build.ClearanceBy == "housing" {
		t.Errorf("%s: gaskets are advised where the housing is turned", what)
	}
}

// Pumps that few shops see, on the invented middle pump: no panic, no number
// that is none, no empty sentence, no contradiction. Invented data.
func TestUnusualPumps(t *testing.T) {
	service := func(text string) string { return text + "\n" }
	usual := service("liquid: demo-light-oil\ntemperature: 60 °C\npressure: 8 bar\nspeed: 500 rpm")
	for _, c := range []struct {
		name    string
		change  func(text string) string
		service string
	}{
		{"packing", swap("shaft_seal: bellows", "shaft_seal: packing"), usual},
		{"lip seal", swap("shaft_seal: bellows", "shaft_seal: lip"), usual},
		{"cartridge", swap("shaft_seal: bellows", "shaft_seal: cartridge"), usual},
		{"no relief valve", swap("relief_valve: casing", "relief_valve: none"), usual},
		{"anticlockwise", swap("rotation: clockwise", "rotation: anticlockwise"), usual},
		{"both rotations", swap("rotation: clockwise", "rotation: both"), usual},
		{"no idler bushing", swap("idler_bushing: bronze", "idler_bushing: none"), usual},
		{"carbon idler bushing", swap("idler_bushing: bronze", "idler_bushing: carbon"), usual},
		{"cast pin", swap("idler_pin: pressed", "idler_pin: cast"), usual},
		{"100 Pa s", nil, service("liquid: {name: pitch, family: other, points: [{temperature: 20 °C, viscosity: 100000 mm2/s}, {temperature: 60 °C, viscosity: 90000 mm2/s}], density: 1000 kg/m3}\ntemperature: 40 °C\npressure: 8 bar\nspeed: 20 rpm")},
		{"water at 95 °C", nil, service("liquid: water\ntemperature: 95 °C\npressure: 3 bar\nspeed: 500 rpm\nsuction: {static_head: -1 m, bore: 80 mm, length: 4 m, fittings_k: 2}")},
		{"no service", nil, ""},
		{"hardly a service", nil, service("liquid: demo-light-oil")},
		{"no pressure", nil, service("liquid: demo-light-oil\ntemperature: 60 °C\npressure: 0 bar\nspeed: 500 rpm")},
		{"frost", nil, service("liquid: demo-light-oil\ntemperature: 10 °C\nlowest_temperature: -25 °C\nambient: -25 °C\npressure: 8 bar\nspeed: 300 rpm")},
	} {
		for _, name := range []string{"J-2041", "J-2057"} {
			s := stream(t, name, nil)
			what := c.name + " " + name
			if c.change != nil {
				s = withSheet(t, s, c.change)
			}
			if c.service != "" {
				add(t, s, job.KindService, job.Text{Name: c.name, Text: c.service})
			} else {
				var kept = s.Entries[:0]
				for _, e := range s.Entries {
					if e.Kind != job.KindService {
						kept = append(kept, e)
					}
				}
				s.Entries = kept
			}
			examineAll(t, assessed(t, s), what)
		}
	}
}

func swap(old, with string) func(string) string {
	return func(text string) string { return strings.Replace(text, old, with, 1) }
}

// FuzzUnusualPumps draws a build, groups of the sheet that are missing, a
// service and how far the job is; every seed is one pump.
func FuzzUnusualPumps(f *testing.F) {
	for seed := range uint64(24) {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, seed uint64) {
		draw := rand.New(rand.NewPCG(seed, 7))
		pick := func(list ...string) string { return list[draw.IntN(len(list))] }
		name := pick("J-2041", "J-2057", "J-2063")
		s := stream(t, name, nil)
		s.Entries = s.Entries[:4+draw.IntN(len(s.Entries)-3)]
		text := assessed(t, s).Inputs.Sheet.Text
		for _, field := range [][]string{{"shaft_seal", "bellows", "wedge", "o-ring", "cartridge", "packing", "lip"}, {"relief_valve", "none", "head", "casing"},
			{"clearance_by", "gaskets", "housing", "shims"}, {"idler_bushing", "bronze", "carbon", "iron", "none"}, {"bracket_bushing", "bronze", "carbon", "none"},
			{"idler_pin", "pressed", "bolted", "cast"}, {"rotation", "clockwise", "anticlockwise", "both"}, {"jacketed", "true", "false"}} {
			if draw.IntN(2) == 0 {
				text = regexp.MustCompile(`(?m)^  `+field[0]+`: .*$`).ReplaceAllString(text, "  "+field[0]+": "+pick(field[1:]...))
			}
		}
		for _, group := range []string{"teeth", "flow_path", "thermal", "seal", "bushings", "fasteners", "materials", "dimensions", "rating", "gaskets"} {
			if draw.IntN(6) == 0 {
				text = without(group)(text)
			}
		}
		if draw.IntN(3) > 0 {
			add(t, s, job.KindSheet, job.Text{Name: "drawn.yaml", Text: text, Reason: "drawn"})
		}
		service := ""
		for _, line := range []string{
			"liquid: " + pick("demo-light-oil", "demo-molasses", "water", "demo-water", "{name: pitch, family: other, points: [{temperature: 20 °C, viscosity: 100000 mm2/s}, {temperature: 60 °C, viscosity: 90000 mm2/s}], density: 1000 kg/m3}"),
			fmt.Sprintf("temperature: %d °C", 5+draw.IntN(145)), fmt.Sprintf("pressure: %d bar", draw.IntN(17)), fmt.Sprintf("speed: %d rpm", 1+draw.IntN(600)),
			fmt.Sprintf("ambient: %d °C", draw.IntN(80)-30), fmt.Sprintf("lowest_temperature: %d °C", draw.IntN(60)-30), fmt.Sprintf("flow: %d L/min", 1+draw.IntN(300)),
			"suction: {static_head: -2 m, bore: 50 mm, length: 20 m, fittings_k: 5}", "relief_valve: {set: 9 bar, crack: 7 bar}", "drive: {power: 3 kW, max_torque: 90 N·m}",
			"hazards: [hot, toxic]", "solids: 0.1 mm", "warm_up: {start: jacket_first, jacket_temperature: 120 °C}", "hours_a_year: 4000", "acceptance: {flow_tolerance: 0.05}",
		} {
			if draw.IntN(4) > 0 {
				service += line + "\n"
			}
		}
		if service != "" {
			add(t, s, job.KindService, job.Text{Name: "drawn", Text: service})
		}
		if draw.IntN(2) == 0 {
			add(t, s, job.KindSides, job.Sides{Rotation: pick("clockwise", "anticlockwise"), HeadTurned: draw.IntN(2) == 0})
		}
		if draw.IntN(2) == 0 {
			add(t, s, job.KindRunning, map[string]any{"after": pick("15 min", "24 h", "7 h"), "pressure": "7 bar", "flow": "100 L/min", "temperature": pick("20 °C", "57 °C", "95 °C")})
		}
		if draw.IntN(2) == 0 {
			add(t, s, job.KindTestPoint, testPoint(pick("20 L/min", "148 L/min", "400 L/min")))
		}
		in, err := assess.FromJob(job.Fold(s), time.Time{})
		if err != nil {
			return // the sheet is refused, and says why
		}
		examineAll(t, assess.Assess(in), fmt.Sprint(name, " seed ", seed))
	})
}
