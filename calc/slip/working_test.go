package slip

import (
	"testing"

	"pumpwright/calc/working"
)

// Every number has its reasons, and the root of the tree is the result.
func TestWorkings(t *testing.T) {
	r := at(t, modelM(t), lightOil(40), operating(500, 10))
	n := r.Working("")
	if err := n.Check(); err != nil {
		t.Error(err)
	}
	if n.Value != r.VolumetricEfficiency {
		t.Errorf("root %v, result %v", n.Value, r.VolumetricEfficiency)
	}
	worn, points := benchE(t)
	c, err := worn.Calibrate(points, []Factor{FitSlip, FitDrag, FitDisplacement, FitEndBias})
	if err != nil {
		t.Fatal(err)
	}
	s, err := FitSimple(points)
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range []*working.Node{c.Working(), s.Working()} {
		if err := n.Check(); err != nil {
			t.Error(err)
		}
	}
}
