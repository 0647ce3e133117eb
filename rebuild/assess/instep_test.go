package assess_test

import (
	"testing"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/job"
)

// Each step says the numbers that it needs; the values are those of the
// chapters (invented pump), the words are asked for.
func TestNumbersInTheirStep(t *testing.T) {
	a := assessed(t, stream(t, "J-2041", nil))
	at := func(a *assess.Assessment, id string) []say.Message {
		for _, s := range a.Progress.Steps {
			if s.Step.ID == id {
				return a.InStep(s.Step)
			}
		}
		t.Fatalf("no step %s", id)
		return nil
	}
	press := a.Assembly.Presses[0]
	for id, want := range map[string][]string{
		"build-press-idler":   {"the force rises evenly to " + press.Result.PressForce.Show(say.Style{}), "interference"},
		"build-press-bracket": {"groove up"},
		"build-bore-after":    {"the bore reads"},
		"build-head":          {"pass 2: 36 N·m (60 %), done", "order 1, 5, 3, 7, 2, 6, 4, 8"},
		"build-seal-length":   {"working length as left"},
		"return-align":        {"far feet: raise"},
		"return-rotation":     {"seen from the drive end"},
		"return-first-run":    {"expected of this pump at 8 bar"},
		"follow-bolts":        {"tighten again cold"},
	} {
		for _, w := range want {
			if list := at(a, id); !says(list, w) {
				t.Errorf("%s: %q is not said: %v", id, w, list)
			}
		}
	}
	s := stream(t, "J-2041", isKind(job.KindRunning))
	if list := at(assessed(t, s), "return-first-run"); !says(list, "24 h after the start") || !says(list, "a month after the start") {
		t.Errorf("checks after the start: %v", list)
	}
}
