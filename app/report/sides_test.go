package report

import (
	"strings"
	"testing"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
)

// The face view is seen from the head: clockwise at the drive end is against
// the clock there. Reversed rotation or a turned head swaps suction on it.
func TestFaceFollowsSides(t *testing.T) {
	for _, c := range []struct {
		rotation string
		turned   bool
		side     string
	}{{sides.Clockwise, false, "left"}, {sides.Anticlockwise, false, "right"}, {sides.Clockwise, true, "right"}, {sides.Anticlockwise, true, "left"}} {
		a := assessed(t, "J-2041")
		a.Sides = sides.Of(a.Inputs.Sheet, &job.State{Sides: []job.Kept[job.Sides]{{Body: job.Sides{Rotation: c.rotation, HeadTurned: c.turned}}}})
		f := Face(a)
		if f == nil {
			t.Fatal("no face view")
		}
		svg := f.Draw(say.Style{}).SVG(draw.SVGOptions{})
		if !strings.Contains(svg, "suction is at the "+c.side) {
			t.Errorf("%+v: suction is elsewhere", c)
		}
	}
}
