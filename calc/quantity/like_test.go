package quantity

import (
	"testing"

	"pumpwright/calc/say"
)

// A pass of 30 % is read on the same scale of the wrench as the full torque.
func TestLike(t *testing.T) {
	const footPound = 1.3558179483314004 // N·m, exact by definition of foot and pound-force (NIST SP 811)
	full, third := Torque(23*footPound), Torque(0.3*23*footPound)
	for _, c := range []struct {
		style say.Style
		want  string
	}{{say.Style{Units: say.Inch}, "6.9 ft·lb"}, {say.Style{}, "9.355 N·m"}} {
		got := Like(third, full).Show(c.style)
		if want := ShowUnit(TorqueDimension, full.SI(), c.style); got[len(got)-len(want):] != want {
			t.Errorf("%s, wanted the unit %s", got, want)
		}
		if got[:3] != c.want[:3] {
			t.Errorf("%s, wanted %s", got, c.want)
		}
	}
}
