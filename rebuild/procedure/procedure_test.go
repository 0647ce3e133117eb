package procedure

import (
	"strings"
	"testing"

	"pumpwright/rebuild/sheet"
)

func crescent(t *testing.T) *Procedure {
	p, err := Crescent()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Every stage has steps for every build, and every build has exactly one way
// to take the seal out and at most one way to set the clearance.
func TestEveryBuild(t *testing.T) {
	p := crescent(t)
	for _, seal := range []string{"bellows", "wedge", "o-ring", "cartridge", "packing", "lip"} {
		for _, by := range []string{"gaskets", "housing", "shims"} {
			for _, paper := range []bool{true, false} {
				for _, bushing := range []string{"bronze", "carbon", "iron"} {
					b := sheet.Build{ShaftSeal: seal, ClearanceBy: by, PaperOutside: paper, IdlerBushing: bushing, BracketBushing: "none", IdlerPin: "pressed", ReliefValve: "none", ThrustBearing: "ball"}
					checkBuild(t, p, b)
				}
			}
		}
	}
}

func checkBuild(t *testing.T, p *Procedure, b sheet.Build) {
	stages := map[Stage]int{}
	count := map[string]int{}
	for _, s := range p.For(b) {
		stages[s.Stage]++
		if s.OpensSeal {
			count["seal out"]++
		}
		if s.Opens {
			count["head off"]++
		}
		if strings.HasPrefix(s.ID, "build-stack") || s.ID == "build-gasket-single" {
			count["stack"]++
		}
		if strings.HasPrefix(s.ID, "build-press-") {
			count["press"]++
		}
	}
	for _, stage := range Stages() {
		if stages[stage] == 0 {
			t.Errorf("%+v: stage %s has no step", b, stage)
		}
	}
	for what, n := range map[string]int{"seal out": 1, "head off": 1, "stack": 1, "press": 1} {
		if count[what] != n {
			t.Errorf("%+v: %s: %d steps, want %d", b, what, count[what], n)
		}
	}
}

// What cannot be done later comes before the step that ends it.
func TestNothingIsAskedTooLate(t *testing.T) {
	open, seal := false, false
	for _, s := range crescent(t).Steps {
		if s.Opens {
			open = true
		}
		if s.OpensSeal {
			seal = true
		}
		if s.BeforeLoss && open || s.BeforeSeal && seal {
			t.Errorf("step %s comes too late", s.ID)
		}
	}
	if !open || !seal {
		t.Error("no step opens the head or takes the seal out")
	}
}

// The roles that steps read exist, and dangerous work carries its caution.
func TestSteps(t *testing.T) {
	p := crescent(t)
	roles := map[string]bool{}
	for _, r := range sheet.Roles() {
		roles[r.ID] = true
	}
	for _, s := range p.Steps {
		for _, r := range s.Reads {
			if !roles[r] {
				t.Errorf("step %s reads %q, which is no role", s.ID, r)
			}
		}
		text := strings.ToLower(s.Title + " " + s.Do)
		for word, caution := range map[string]string{"press the": "press", "lock out": "energy", "by induction": "bearing-heat"} {
			if strings.Contains(text, word) && !has(s.Cautions, caution) {
				t.Errorf("step %s speaks of %q without the caution %q", s.ID, word, caution)
			}
		}
		if strings.Contains(text, "safe to start") {
			t.Errorf("step %s calls something safe to start", s.ID)
		}
	}
	for _, s := range p.Steps {
		for _, id := range s.Cautions {
			if p.Caution(id).IsZero() {
				t.Errorf("caution %s of step %s says nothing", id, s.ID)
			}
		}
	}
}

func has(list []string, want string) bool {
	for _, s := range list {
		if s == want {
			return true
		}
	}
	return false
}

func TestParseRefuses(t *testing.T) {
	for text, says := range map[string]string{
		"name: x\ntitle: x\nsteps: [{id: a, stage: nowhere, title: t, do: d}]":                                       "no stage",
		"name: x\ntitle: x\nsteps: [{id: a, stage: judge, title: t, do: d}, {id: a, stage: judge, title: t, do: d}]": "twice",
		"name: x\ntitle: x\nsteps: [{id: a, stage: judge, title: t, do: d, cautions: [nothing]}]":                    "no caution",
		"name: x\ntitle: x\nsteps: [{id: a, stage: prove, title: t, do: d}, {id: b, stage: judge, title: t, do: d}]": "earlier",
		"name: x\ntitle: x\nsteps: [{id: a, stage: judge, title: t, do: d, only: {colour: [red]}}]":                  "no field",
	} {
		if _, err := Parse([]byte(text), []byte("cautions: []")); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%s: %v", text, err)
		}
	}
}
