package job

import (
	"encoding/json"
	"strconv"
	"strings"
	"testing"

	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// written folds entries of kinds and bodies, in order.
func written(t *testing.T, entries ...[2]any) *State {
	t.Helper()
	s := &record.Stream{Name: "job:J-1"}
	for i, e := range entries {
		raw, err := json.Marshal(e[1])
		if err != nil {
			t.Fatal(err)
		}
		n := strconv.Itoa(i + 1)
		s.Entries = append(s.Entries, record.Entry{ID: "e" + n, Seq: int64(i + 1), Kind: e[0].(string), Version: 1, Body: raw, By: "mira", Hash: "h" + n})
	}
	return Fold(s)
}

func refused(t *testing.T, state *State, s *sheet.Sheet, kind string, body any, want string) {
	t.Helper()
	raw, err := json.Marshal(body)
	if err != nil {
		t.Fatal(err)
	}
	_, err = Vet(state, s, kind, raw)
	switch {
	case want == "" && err != nil:
		t.Errorf("%s %s: %v", kind, raw, err)
	case want != "" && (err == nil || !strings.Contains(err.Error(), want)):
		t.Errorf("%s %s: %v, wanted %q", kind, raw, err, want)
	}
}

// Nothing is believed of a part that was outside until it has been measured
// again; what was read before stays on record.
func TestOutsideOvertakesReadings(t *testing.T) {
	m, err := sheet.Demo("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	f := m.ByRole(sheet.RoleIdlerBushingBore)
	read := func(text string) [2]any {
		return [2]any{KindReading, Reading{Feature: f.ID, State: AsLeft, Values: []Value{{Text: text}}}}
	}
	away := Outside{Part: f.Part, Work: "bore to size", To: "Hill Grinding (invented)", By: "2026-06-30", Sent: true}
	s := written(t, read("30.05 mm"), [2]any{KindOutside, away})
	list := s.Outsides()
	if len(list) != 1 || list[0].Back != nil || list[0].Sent.Body.To != away.To {
		t.Fatalf("away: %+v", list)
	}
	if got := s.Standing(m).ValuesOf(f.ID, AsLeft); len(got) != 0 {
		t.Errorf("believed while it is away: %+v", got)
	}
	s = written(t, read("30.05 mm"), [2]any{KindOutside, away}, [2]any{KindOutside, Outside{Of: "e2", Part: f.Part, Returned: true}})
	if list := s.Outsides(); list[0].Back == nil {
		t.Error("it is back")
	}
	if got := s.Standing(m).ValuesOf(f.ID, AsLeft); len(got) != 0 || len(s.ValuesOf(f.ID, AsLeft)) != 1 {
		t.Errorf("believed before it was measured: %+v", got)
	}
	s = written(t, read("30.05 mm"), [2]any{KindOutside, away}, [2]any{KindOutside, Outside{Of: "e2", Part: f.Part, Returned: true}}, read("30.20 mm"))
	if got := s.Standing(m).ValuesOf(f.ID, AsLeft); len(got) != 1 || got[0].Text != "30.20 mm" {
		t.Errorf("the new reading: %+v", got)
	}
	refused(t, s, m, KindOutside, away, "")
	refused(t, s, m, KindOutside, Outside{Part: f.Part, Returned: true}, "nothing of this is away")
	refused(t, s, m, KindOutside, Outside{Part: f.Part, Sent: true, To: "x"}, "what is to be done")
	refused(t, s, m, KindOutside, Outside{Part: f.Part, Sent: true, Work: "x"}, "who does it")
	refused(t, s, m, KindOutside, Outside{Part: "bananas", Sent: true, Work: "x", To: "y"}, "no part")
	refused(t, s, m, KindOutside, Outside{Part: f.Part, Sent: true, Work: "x", To: "y", By: "soon"}, "no day")
	refused(t, s, m, KindOutside, Outside{Sent: true, Work: "x", To: "y"}, "what is sent out")
}

func TestReliefReadings(t *testing.T) {
	refused(t, nil, nil, KindRelief, map[string]any{"set": "9.5 bar", "full_bypass": "10.4 bar", "reseat": "8.8 bar"}, "")
	refused(t, nil, nil, KindRelief, map[string]any{"set": "9.5 bar", "crack": "9.2 bar", "full_bypass": "10.4 bar", "screw": "31.5 mm"}, "")
	refused(t, nil, nil, KindRelief, map[string]any{"full_bypass": "10.4 bar"}, "was set is missing")
	refused(t, nil, nil, KindRelief, map[string]any{"set": "9.5 bar"}, "full bypass is missing")
	refused(t, nil, nil, KindRelief, map[string]any{"set": "9.5 bar", "full_bypass": "9 bar"}, "not below")
	refused(t, nil, nil, KindRelief, map[string]any{"set": "9.5 bar", "full_bypass": "10 bar", "reseat": "11 bar"}, "closes at or below")
	refused(t, nil, nil, KindRelief, map[string]any{"set": "-1 bar", "full_bypass": "10 bar"}, "above zero")
	refused(t, nil, nil, KindRelief, map[string]any{"set": "9.5 mm", "full_bypass": "10 bar"}, "set")
}

func TestMarksOnPhotos(t *testing.T) {
	s := written(t, [2]any{KindPhoto, Photo{Blob: "b"}},
		[2]any{KindMarks, Marks{Photo: "e1", Marks: []PhotoMark{{Shape: MarkCircle, X: 0.2, Y: 0.3}}}},
		[2]any{KindMarks, Marks{Photo: "e1", Marks: []PhotoMark{{Shape: MarkArrow, X: 0.9, Y: 0.1, Text: "score"}}}})
	marks := s.MarksOf("e1")
	if len(marks) != 1 || marks[0].Text != "score" || s.MarksOf("e2") != nil {
		t.Errorf("marks: %+v", marks)
	}
	if x, y := marks[0].End(); x != 0.75 || y != 0.25 {
		t.Errorf("the arrow comes from %v, %v", x, y)
	}
	mark := func(m PhotoMark) Marks { return Marks{Photo: "e1", Marks: []PhotoMark{m}} }
	refused(t, s, nil, KindMarks, mark(PhotoMark{Shape: MarkNumber, X: 1, Y: 0}), "")
	refused(t, s, nil, KindMarks, mark(PhotoMark{Shape: "star", X: 0.1, Y: 0.1}), "circle, an arrow or a number")
	refused(t, s, nil, KindMarks, mark(PhotoMark{Shape: MarkCircle, X: 1.2, Y: 0.1}), "outside the picture")
	refused(t, s, nil, KindMarks, Marks{Photo: "e9"}, "no such photo")
	refused(t, s, nil, KindMarks, Marks{Photo: "e1", Marks: make([]PhotoMark, MostMarks+1)}, "too many marks")
}
