package assess_test

import (
	"math"
	"strings"
	"testing"

	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

const shimKinds = `gaskets:
  - {name: shim 0.05, thickness: 0.05 mm, tolerance: 0.004 mm, compression: 0, shim: true, stock: 4}
  - {name: shim 0.10, thickness: 0.10 mm, tolerance: 0.004 mm, compression: 0, shim: true, stock: 4}
  - {name: shim 0.30, thickness: 0.30 mm, tolerance: 0.006 mm, compression: 0, shim: true, stock: 0}
`

// shimmed is the demo job up to its first decision, on a pump with shims
// behind the thrust bearing; found are the shims that were found there.
func shimmed(t *testing.T, by string, closes bool, found ...string) *record.Stream {
	t.Helper()
	s := stream(t, "J-2041", isKind(job.KindDecision))
	text, err := sheet.DemoText("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	pairs := []string{"clearance_by: gaskets", "clearance_by: " + by + "\n  shims: bearing", "gaskets:\n", shimKinds}
	if closes {
		pairs = append(pairs, "end_clearance:\n  minimum", "end_clearance:\n  shims_close: true\n  minimum")
	}
	changed := string(text)
	for i := 0; i < len(pairs); i += 2 {
		if !strings.Contains(changed, pairs[i]) {
			t.Fatalf("%q is not in the sheet", pairs[i])
		}
		changed = strings.Replace(changed, pairs[i], pairs[i+1], 1)
	}
	add(t, s, job.KindSheet, job.Text{Name: "demo-pump-m", Text: changed, Reason: "test"})
	var pieces []job.Piece
	for _, kind := range found {
		pieces = append(pieces, job.Piece{Kind: kind})
	}
	if len(pieces) > 0 {
		add(t, s, job.KindStackFound, job.StackFound{Pieces: pieces})
	}
	return s
}

// Shims alone: 0.375 mm was found (leaves of 0.35 and 0.40 mm) with a shim of
// 0.30 mm that opens. What is advised comes to the window by plain addition,
// uses what the shelf and the old pack hold, and no gasket.
func TestShimsAlone(t *testing.T) {
	for _, c := range []struct {
		name    string
		closes  bool
		found   []string
		without float64 // clearance without shims, mm, by hand
	}{
		{"open", false, []string{"shim 0.30"}, 0.375 - 0.30},
		{"close", true, []string{"shim 0.05", "shim 0.05"}, 0.375 + 0.10},
	} {
		a := assessed(t, shimmed(t, "shims", c.closes, c.found...))
		st := a.Clearances.Stack
		if st == nil || st.Solution == nil || !st.Solution.Reachable {
			t.Fatalf("%s: %v %v", c.name, a.Clearances.Unknown, a.Clearances.Warnings)
		}
		if st.Basis != clearance.FromFound {
			t.Errorf("%s: from %s", c.name, st.Basis)
		}
		sum := c.without
		for i, n := range st.Best().Counts {
			k := st.Kinds[i]
			if n > 0 && !k.Shim {
				t.Errorf("%s: %d of %s", c.name, n, k.Name)
			}
			if c.closes {
				sum -= float64(n) * k.Thickness.SI() * 1e3
			} else {
				sum += float64(n) * k.Thickness.SI() * 1e3
			}
		}
		if got := st.Best().Clearance.Value.SI() * 1e3; math.Abs(got-sum) > 0.003 {
			t.Errorf("%s: %.4f mm expected, by hand %.4f", c.name, got, sum)
		}
		if w := a.Clearances.Window; !(st.Best().Clearance.Value >= w.Low && st.Best().Clearance.Value <= w.High) {
			t.Errorf("%s: %v outside %v to %v", c.name, st.Best().Clearance, w.Low, w.High)
		}
		if st.Pack.IsZero() || len(st.Best().Pack) != st.Best().Pieces {
			t.Errorf("%s: pack %s of %v", c.name, st.Pack, st.Best())
		}
	}
}

// The shims that were found go back: without any on the shelf the pack is made
// of the old ones. Without an entry of what lay there nothing is made up.
func TestOldShims(t *testing.T) {
	s := shimmed(t, "shims", false, "shim 0.30")
	if k := assessed(t, s).Clearances.Stack.Kinds[2]; k.Stock != 1 {
		t.Errorf("%s: %d to use, the old one goes back", k.Name, k.Stock)
	}
	none := assessed(t, shimmed(t, "shims", false)).Clearances
	if none.Stack != nil || !strings.Contains(none.Unknown.String(), "pack of shims") {
		t.Errorf("without the old pack: %+v, %s", none.Stack, none.Unknown)
	}
	if none.Bare.Known() {
		t.Error("the depths do not tell where shims hold the shaft")
	}
}

// Gaskets and shims together: the stack seals, and either may be changed.
func TestGasketsAndShims(t *testing.T) {
	a := assessed(t, shimmed(t, "gaskets", false, "shim 0.30"))
	st := a.Clearances.Stack
	if st == nil || st.Best() == nil {
		t.Fatalf("%v", a.Clearances.Unknown)
	}
	best := st.Best()
	joint := best.Order[:len(best.Order)-len(best.Pack)]
	if len(joint) == 0 || !strings.HasPrefix(joint[0], "paper") || !strings.HasPrefix(joint[len(joint)-1], "paper") {
		t.Errorf("order %v", best.Order)
	}
	// 0.375 mm found, less the old pieces as measured (0.762 mm) and the shim.
	sum := 0.375 - 0.762 - 0.30
	for i, n := range best.Counts {
		sum += float64(n) * st.Kinds[i].Adds(0).SI() * 1e3
	}
	extra := a.Inputs.Shop.Compression.Extra // on the paper and film
	for i, n := range best.Counts {
		if !st.Kinds[i].Shim {
			sum -= float64(n) * st.Kinds[i].Thickness.SI() * 1e3 * extra
		}
	}
	if got := best.Clearance.Value.SI() * 1e3; math.Abs(got-sum) > 0.004 {
		t.Errorf("%.4f mm, by hand %.4f", got, sum)
	}
}

// The steps ask for the shims, the seal is read after them, and a trial with
// shims is the basis of the next advice.
func TestShimsInTheJob(t *testing.T) {
	s := shimmed(t, "shims", false, "shim 0.30")
	if got := status(assessed(t, s), "down-shims"); got != progress.Done {
		t.Errorf("shims found: %s", got)
	}
	if got := status(assessed(t, shimmed(t, "shims", false)), "down-shims"); got == progress.Done {
		t.Error("done without an entry")
	}
	add(t, s, job.KindReading, job.Reading{Feature: "seal-working-length", State: job.AsLeft, Values: []job.Value{{Text: "38.1 mm"}}})
	add(t, s, job.KindTrial, job.Trial{Counts: map[string]int{"shim 0.05": 1}, Measured: "0.12 mm", U: "0.008 mm", AfterTorque: true})
	a := assessed(t, s)
	// 0.10 mm in the place of 0.05 mm: the fewest pieces.
	if st := a.Clearances.Stack; st == nil || st.Basis != clearance.FromTrial || st.Best() == nil || math.Abs(st.Best().Clearance.Value.SI()*1e3-.17) > 1e-6 || st.Best().Pieces != 1 || st.Best().Added != 1 || st.Best().Removed != 1 {
		t.Errorf("after the trial: %+v", st)
	}
	if seal := a.Assembly.Seal; seal == nil || !seal.Moved || !mentions(seal, "shims") {
		t.Errorf("seal %+v", seal)
	}
}

func mentions(s *assembly.Seal, word string) bool {
	for _, w := range s.Warnings {
		if strings.Contains(w.String(), word) {
			return true
		}
	}
	return false
}

func status(a *assess.Assessment, id string) progress.Status {
	for _, s := range a.Progress.Steps {
		if s.Step.ID == id {
			return s.Status
		}
	}
	return ""
}
