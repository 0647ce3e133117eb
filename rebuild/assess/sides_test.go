package assess_test

import (
	"testing"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
)

// A pump that turns the other way, or whose head is turned, has its suction
// side swapped: the warning says so, what follows is named, and the groove of
// the bushing on the shaft is told to stay away from the other side. Both
// together leave it where it was.
func TestSwappedSuction(t *testing.T) {
	for _, c := range []struct {
		body    job.Sides
		suction sides.Side
		swapped bool
	}{
		{job.Sides{Rotation: "clockwise"}, sides.Left, false},
		{job.Sides{Rotation: "anticlockwise"}, sides.Right, true},
		{job.Sides{Rotation: "clockwise", HeadTurned: true}, sides.Right, true},
		{job.Sides{Rotation: "anticlockwise", HeadTurned: true}, sides.Left, false},
	} {
		s := stream(t, "J-2041", nil)
		add(t, s, job.KindSides, c.body)
		a := assessed(t, s)
		if a.Sides.Suction != c.suction || a.Sides.Swapped != c.swapped {
			t.Errorf("%+v: %+v", c.body, a.Sides)
		}
		if says(a.Warnings, "suction side is swapped") != c.swapped || says(a.Sides.Follows, "relief valve must return") != c.swapped {
			t.Errorf("%+v: %v %v", c.body, a.Warnings, a.Sides.Follows)
		}
		var reasons []say.Message
		for _, p := range a.Assembly.Presses {
			reasons = append(reasons, p.Reasons...)
		}
		if !says(reasons, "to the "+string(c.suction)+" seen from the head side; no groove there") || says(reasons, "groove is no pattern") != c.swapped {
			t.Errorf("%+v: the groove: %v", c.body, reasons)
		}
	}
}
