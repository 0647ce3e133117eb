package sides_test

import (
	"math"
	"strings"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

const degree = math.Pi / 180

func entry(rotation string, turned bool) []job.Kept[job.Sides] {
	return []job.Kept[job.Sides]{{Meta: job.Meta{Ref: "e"}, Body: job.Sides{Rotation: rotation, HeadTurned: turned}}}
}

// Teeth that part draw liquid in; clockwise at one end of a shaft is against
// the clock at the other; half a turn of the head carries the mesh across.
// Reasoning of the trade, no source; suction of the sheet's pump is at 90°.
func TestWhereSuctionIs(t *testing.T) {
	for _, c := range []struct {
		name    string
		sheet   string
		entries []job.Kept[job.Sides]
		open    bool
		suction sides.Side
		swapped bool
		seen    bool // clockwise from the head side
	}{
		{"as the sheet", "clockwise", nil, false, sides.Left, false, false},
		{"an anticlockwise sheet", "anticlockwise", nil, false, sides.Right, false, true},
		{"reversed", "clockwise", entry("anticlockwise", false), false, sides.Right, true, true},
		{"head turned", "clockwise", entry("clockwise", true), false, sides.Right, true, false},
		{"reversed and turned", "clockwise", entry("anticlockwise", true), false, sides.Left, false, true},
		{"by reception", "clockwise", nil, true, sides.Right, true, true},
		{"looked at again", "clockwise", entry("clockwise", false), true, sides.Left, false, false},
		{"both allowed", "both", entry("anticlockwise", false), false, sides.Right, true, true},
		{"anticlockwise sheet reversed", "anticlockwise", entry("clockwise", false), false, sides.Left, true, false},
	} {
		s := &sheet.Sheet{Build: sheet.Build{Rotation: c.sheet, ReliefValve: "head"}}
		state := &job.State{Sides: c.entries}
		if c.open {
			state.Open = &job.Kept[job.Open]{Meta: job.Meta{Ref: "o"}, Body: job.Open{Swapped: true}}
		}
		x := sides.Of(s, state)
		if x.Suction != c.suction || x.Swapped != c.swapped || x.SeenClockwise() != c.seen {
			t.Errorf("%s: suction %v, swapped %v, seen clockwise %v", c.name, x.Suction, x.Swapped, x.SeenClockwise())
		}
		if (len(x.Follows) > 0) != c.swapped || !strings.Contains(x.Turns.String(), string(c.suction)) {
			t.Errorf("%s: %v %v", c.name, x.Turns, x.Follows)
		}
		// Whatever it does, suction is a quarter turn from the mesh.
		if a := x.FromMesh(x.SuctionAngle()).SI(); math.Abs(a-90*degree) > 1e-9 {
			t.Errorf("%s: suction at %v° from the mesh", c.name, a/degree)
		}
		mesh := 0.0
		if x.HeadTurned {
			mesh = 180
		}
		if a := math.Mod(x.FromMesh(sidesAngle(mesh)).SI()+1e-9, 2*math.Pi); a > 1e-6 {
			t.Errorf("%s: the mesh lies at %v°", c.name, a/degree)
		}
	}
	if x := sides.Of(&sheet.Sheet{Build: sheet.Build{Rotation: "both"}}, &job.State{}); len(x.Warnings) != 1 {
		t.Errorf("both rotations: %v", x.Warnings)
	}
}

func sidesAngle(degrees float64) quantity.Angle { return quantity.Angle(degrees * degree) }
