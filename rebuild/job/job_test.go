package job

import (
	"encoding/json"
	"math"
	"strings"
	"testing"
	"time"

	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

type writer struct {
	t      *testing.T
	stream *record.Stream
	n      int
}

func newWriter(t *testing.T) *writer { return &writer{t: t, stream: &record.Stream{}} }

func (w *writer) add(kind string, body any) record.Entry {
	return w.from("p1", "tablet-1", "", kind, body)
}

func (w *writer) from(by, device, seen, kind string, body any) record.Entry {
	w.t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		w.t.Fatal(err)
	}
	w.n++
	at := time.Date(2026, 3, 2, 8, 0, w.n, 0, time.UTC)
	e, err := w.stream.Append(record.Entry{ID: record.NewID(at, [10]byte{byte(w.n)}), Stream: "job:J-1", Kind: kind, Version: 1, Body: raw, By: by, At: record.TimeOf(at), Device: device, Seen: seen})
	if err != nil {
		w.t.Fatal(err)
	}
	return e
}

func pin(text string) Reading {
	angle := 0.0
	return Reading{Feature: "idler-pin-od", State: AsFound, Values: []Value{{Plane: "B", Angle: &angle, Text: text}}}
}

func TestFold(t *testing.T) {
	w := newWriter(t)
	w.add(KindOpen, Open{Job: "J-1", Tag: "P-101"})
	wrong := w.add(KindReading, pin("29.39 mm"))
	w.add(KindVoid, Void{Entry: wrong.ID, Reason: "read again"})
	w.add(KindReading, pin("29.93 mm"))
	w.add("telepathy", map[string]any{"x": 1})
	w.add(KindReading, map[string]any{"feature": "idler-pin-od", "values": 3})
	w.add(KindReading, Reading{Feature: "end-clearance", State: AsFound, Values: []Value{{Goes: "0.10 mm", NoGo: "0.13 mm"}}})
	s := Fold(w.stream)
	if s.Open == nil || s.Open.Body.Tag != "P-101" {
		t.Error("the opening is lost")
	}
	if len(s.Values) != 2 || s.Values[0].Text != "29.93 mm" {
		t.Errorf("values: %+v", s.Values)
	}
	if v := s.Values[1]; !v.Interval || math.Abs(v.Goes.SI-0.0001) > 1e-12 || math.Abs(v.NoGo.SI-0.00013) > 1e-12 {
		t.Errorf("feeler: %+v", v)
	}
	if len(s.Voided) != 1 || s.Voided[wrong.ID].Body.Reason != "read again" {
		t.Error("the void is lost")
	}
	if len(s.Troubles) != 2 {
		t.Errorf("troubles: %+v", s.Troubles)
	}
}

// A voided void counts no more: the entry holds again.
func TestVoidOfAVoid(t *testing.T) {
	w := newWriter(t)
	first := w.add(KindReading, pin("29.93 mm"))
	void := w.add(KindVoid, Void{Entry: first.ID, Reason: "wrong pump"})
	w.add(KindVoid, Void{Entry: void.ID, Reason: "right pump after all"})
	if s := Fold(w.stream); len(s.Values) != 1 {
		t.Errorf("values: %+v", s.Values)
	}
}

// Two tablets at one place: a conflict while neither had seen the other's;
// a repeat by somebody who had; settled by a void.
func TestConflict(t *testing.T) {
	w := newWriter(t)
	open := w.add(KindOpen, Open{Job: "J-1"})
	w.from("p1", "tablet-1", open.Hash, KindReading, pin("29.93 mm"))
	second := w.from("p2", "tablet-2", open.Hash, KindReading, pin("29.90 mm"))
	s := Fold(w.stream)
	if len(s.Conflicts) != 1 || s.Conflicts[0].SecondText != "29.90 mm" || len(s.Values) != 2 {
		t.Fatalf("conflicts: %+v", s.Conflicts)
	}
	w.from("p1", "tablet-1", w.stream.Head(), KindVoid, Void{Entry: second.ID, Reason: "micrometer not zeroed"})
	if s := Fold(w.stream); len(s.Conflicts) != 0 || len(s.Values) != 1 {
		t.Errorf("not settled: %+v", s.Conflicts)
	}
	w = newWriter(t)
	first := w.from("p1", "tablet-1", "", KindReading, pin("29.93 mm"))
	w.from("p2", "tablet-2", first.Hash, KindReading, pin("29.90 mm"))
	if s := Fold(w.stream); len(s.Conflicts) != 0 {
		t.Error("a repeat is no conflict")
	}
}

func TestVet(t *testing.T) {
	m, err := sheet.Demo("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	vet := func(kind string, body any) (string, string) {
		raw, _ := json.Marshal(body)
		warnings, err := Vet(&State{}, m, kind, raw)
		text := ""
		for _, w := range warnings {
			text += w.String()
		}
		if err != nil {
			return text, err.Error()
		}
		return text, ""
	}
	if w, e := vet(KindReading, pin("29.93 mm")); w != "" || e != "" {
		t.Errorf("a good reading: %q %q", w, e)
	}
	refused := []struct {
		kind string
		body any
		says string
	}{
		{KindReading, Reading{Feature: "pin", State: AsFound, Values: []Value{{Text: "1 mm"}}}, "no feature"},
		{KindReading, pin("29.93 bar"), "measured as length"},
		{KindReading, pin("29.93"), "unit"},
		{KindReading, Reading{Feature: "idler-pin-od", State: "new", Values: []Value{{Text: "1 mm"}}}, "as-found or as-left"},
		{KindReading, Reading{Feature: "end-clearance", State: AsFound, Values: []Value{{Goes: "0.13 mm", NoGo: "0.10 mm"}}}, "thinner"},
		{KindTrial, Trial{Counts: map[string]int{"paper 0.3": 1}}, "no gasket"},
		{KindDecision, Decision{Part: "idler-pin", Decision: "throw away"}, "reuse"},
		{KindDecision, Decision{Part: "wing", Decision: "reuse"}, "no part"},
		{KindFinding, Finding{Evidence: "E99"}, "E99"},
		{KindFinding, Finding{Evidence: "E38", Part: "wing"}, "no part"},
		{KindFinding, Finding{Evidence: "E38", Strength: 2}, "between 0 and 1"},
		{KindCause, Cause{Cause: "C77"}, "C77"},
		{KindVoid, Void{Entry: "x"}, "reason"},
		{KindStep, Mark{Step: "x", Mark: "skipped"}, "reason"},
		{KindTestPoint, TestPoint{Speed: "500 rpm", Pressure: "8 bar", Flow: "150"}, "unit"},
		{KindReading, map[string]any{"feature": "idler-pin-od", "colour": "red"}, "colour"},
		{KindPress, map[string]any{"part": "idler-bushing"}, "a force or a pressure"},
		{KindPress, map[string]any{"part": "idler-bushing", "force": "9 kN", "pressure": "30 bar", "ram_area": "30 cm2"}, "a force or a pressure"},
		{KindPress, map[string]any{"part": "idler-bushing", "pressure": "30 bar"}, "area of the ram"},
		{KindPress, map[string]any{"part": "idler-bushing", "pressure": "30 bar", "ram_area": "0 cm2"}, "above zero"},
		{KindPress, map[string]any{"part": "idler-bushing", "force": "-9 kN"}, "above zero"},
		{KindPress, map[string]any{"part": "idler-bushing", "force": "9 bar"}, "force"},
		{KindPress, map[string]any{"part": "wing", "force": "9 kN"}, "no press fit"},
		{KindPress, map[string]any{"part": "idler-bushing", "stroke": []any{map[string]any{"engaged": "80 mm", "force": "9 kN"}}}, "58.000 mm long"},
		{KindPress, map[string]any{"part": "idler-bushing", "stroke": []any{map[string]any{"engaged": "0 mm", "force": "9 kN"}}}, "above zero"},
	}
	for _, r := range refused {
		if _, e := vet(r.kind, r.body); !strings.Contains(e, r.says) {
			t.Errorf("%s %+v: %q, want %q", r.kind, r.body, e, r.says)
		}
	}
	for _, body := range []map[string]any{
		{"part": "idler-bushing", "force": "9 kN"},
		{"part": "idler-bushing", "pressure": "450 psi", "ram_area": "4.9 in2", "instrument": "PG-01"},
		{"part": "idler-bushing", "force": "9 kN", "stroke": []any{map[string]any{"engaged": "12 mm", "force": "2 kN"}}},
	} {
		if w, e := vet(KindPress, body); w != "" || e != "" {
			t.Errorf("a good pressing: %q %q", w, e)
		}
	}
	asked := []struct{ feature, text, says string }{
		{"end-clearance", "0.152 in", "0.152 mm"},
		{"idler-pin-od", "2.993 mm", "29.93"},
		{"casing-bore", "16.025 mm", "160.25"},
	}
	for _, a := range asked {
		w, e := vet(KindReading, Reading{Feature: a.feature, State: AsFound, Values: []Value{{Text: a.text}}})
		if e != "" || !strings.Contains(w, a.says) {
			t.Errorf("%s %s: asked %q, refused %q", a.feature, a.text, w, e)
		}
	}
	// Wear that is only large is not asked about.
	if w, _ := vet(KindReading, Reading{Feature: "end-clearance", State: AsFound, Values: []Value{{Text: "0.38 mm"}}}); w != "" {
		t.Errorf("wear was taken for a mistake: %s", w)
	}
}

func BenchmarkFold(b *testing.B) {
	w := newWriter(&testing.T{})
	for range 200 {
		w.add(KindReading, pin("29.93 mm"))
	}
	for b.Loop() {
		Fold(w.stream)
	}
}
