package sheet

import (
	"math"
	"testing"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/slip"
)

// The invented demo sheet gives the operating point P05 of the independent
// prototype (numpy 1.24.2 / scipy 1.10.1; proves the arithmetic, not the pump).
func TestPumpOfDemoSheet(t *testing.T) {
	s, err := Demo("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	pump, said, err := s.Pump()
	if err != nil {
		t.Fatal(err)
	}
	if len(said) != 0 {
		t.Errorf("the demo sheet is complete, yet: %v", said)
	}
	m, err := slip.Prepare(pump)
	if err != nil {
		t.Fatal(err)
	}
	oil, err := liquid.Named("demo-light-oil")
	if err != nil {
		t.Fatal(err)
	}
	state, err := oil.At(273.15 + 40)
	if err != nil {
		t.Fatal(err)
	}
	l, err := SlipLiquid(state)
	if err != nil {
		t.Fatal(err)
	}
	r, err := m.At(l, slip.Point{Speed: quantity.RotationalSpeed(500 * math.Pi / 30), Pressure: 10e5}, slip.DefaultFactors())
	if err != nil {
		t.Fatal(err)
	}
	if q := r.Flow.SI() * 60000; math.Abs(q-160.570) > 0.003*160.570 {
		t.Errorf("P05 flow %.4g L/min, want 160.570", q)
	}
	if p := r.Power.Total.SI(); math.Abs(p-3003.9) > 0.003*3003.9 {
		t.Errorf("P05 power %.5g W, want 3003.9", p)
	}
}

func TestPumpOfAShopsOwnSheet(t *testing.T) {
	s, err := Demo("demo-pump-m")
	if err != nil {
		t.Fatal(err)
	}
	bare := *s
	path := *s.FlowPath
	path.RotorDisplacement, path.HeadSideShare, path.RotorArc, path.IdlerArc, path.BackGap, path.MeshFriction = nil, nil, nil, nil, nil, nil
	path.ShaftClearance, path.SpaceWidth = nil, nil
	bare.FlowPath, bare.Seal = &path, nil
	pump, said, err := bare.Pump()
	if err != nil {
		t.Fatal(err)
	}
	if len(said) != 9 {
		t.Errorf("six assumptions and three missing things must be said, got %d: %v", len(said), said)
	}
	if pump.Seal != nil || pump.Filling != nil || pump.ShaftBushing != nil {
		t.Error("what is missing must stay unknown")
	}
	bare.FlowPath = nil
	if _, _, err := bare.Pump(); err == nil {
		t.Error("a sheet without flow path gave a pump")
	}
	for _, name := range DemoNames() {
		s, err := Demo(name)
		if err != nil {
			t.Fatal(err)
		}
		p, _, err := s.Pump()
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if _, err := slip.Prepare(p); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
}
