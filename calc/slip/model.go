package slip

import (
	"math"

	"pumpwright/calc/quantity"
)

// Model is a pump made ready for many operating points. It is never changed
// after Prepare and may be used from many goroutines.
type Model struct {
	pump Pump

	// Plain SI numbers, named as in the doc comments of the paths.
	zr, zi, ratio          float64 // teeth; ω_i/ω
	d                      float64 // displacement of a revolution
	e, b, ro, bd, lod      float64
	rar, rr, rai, rfi, ri  float64
	lr, li, tipR, tipI, tc float64
	c                      clearances
	eps, sigma             float64
	arcR                   float64
	barriersMesh           float64
	barriersRotor          float64
	barriersIdler          float64
	rpin                   float64
	bodyHead, bodyFloor    float64 // S of the two faces
	bodyLength             float64
	endRadius              float64 // middle radius of the crescent's end
	back                   bool
	mesh                   float64 // µ_f H_v × (P_i per Δp and ω)
	stations               [5]float64
	missing                []string // what the power lacks
}

type clearances struct{ se, fi, scr, od, co, ci float64 }

// closedShare is the part of the rotor's outside that runs in a closed bore.
// breadthShare is the part of the half circumference through which the rim
// leaks. endShare is the part of the crescent's thickness that seals at its
// end. Conventions of this program, no source.
const (
	closedShare  = 0.5
	breadthShare = 0.9
	endShare     = 0.8
	flankLength  = 0.002 // m, along the leak
)

// gauss holds the positive half of the 8-point Gauss–Legendre rule: the gap of
// a ring is the same on both sides of its widest place, so four points serve.
var gauss = [4][2]float64{
	{0.1834346424956498, 0.3626837833783620},
	{0.5255324099163290, 0.3137066458778873},
	{0.7966664774136267, 0.2223810344533745},
	{0.9602898564975363, 0.1012285362903763},
}

// Prepare checks a pump and makes it ready.
func Prepare(p Pump) (*Model, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	t := &p.Teeth
	m := &Model{
		pump: p, zr: float64(t.RotorTeeth), zi: float64(t.IdlerTeeth), d: t.Displacement.SI(),
		e: t.CenterDistance.SI(), b: t.FaceWidth.SI(), ro: p.RotorRadius.SI(), bd: p.RimWidth.SI(), lod: p.ToothLand.SI(),
		rar: t.RotorTip.SI(), rr: t.RotorPitch.SI(), rai: t.IdlerTip.SI(), rfi: t.IdlerRoot.SI(), ri: t.IdlerPitch.SI(),
		lr: t.RotorThickness.SI(), li: t.IdlerThickness.SI(), tipR: t.RotorTipLand.SI(), tipI: t.IdlerTipLand.SI(), tc: t.Crescent.SI(),
		eps: p.RotorDisplacement, sigma: p.HeadSideShare, arcR: p.RotorArc.SI(), rpin: p.Pin.Radius.SI(), back: !p.ClosedBack,
	}
	m.ratio = m.zr / m.zi
	m.barriersMesh = math.Max(1, t.Approach+t.Recess)
	m.barriersRotor = math.Max(1, m.arcR*m.zr/(2*math.Pi))
	m.barriersIdler = math.Max(1, p.IdlerArc.SI()*m.zi/(2*math.Pi))
	m.bodyLength = math.Pi / 4 * (m.rfi + m.rpin)
	m.endRadius = (m.rar + m.rai - m.e) / 2
	loss := math.Pi * (1/m.zi - 1/m.zr) * (1 - t.Approach - t.Recess + sq(t.Approach) + sq(t.Recess))
	m.mesh = p.MeshFriction * loss * m.b * m.ratio * (sq(m.rai) - sq(m.ri)) / 2
	for i := range m.stations { // crescent middle at 90°, five equal parts
		m.stations[i] = math.Cos(math.Pi/2 - m.arcR/2 + m.arcR*(float64(i)+0.5)/float64(len(m.stations)))
	}
	m.set(p.Clearances)
	if p.Seal == nil {
		m.missing = append(m.missing, "seal")
	}
	if p.Filling == nil {
		m.missing = append(m.missing, "space width and port arc")
	}
	return m, nil
}

// set takes clearances and what follows from them.
func (m *Model) set(c Clearances) {
	m.pump.Clearances = c
	m.c = clearances{se: c.End.SI(), fi: c.IdlerFloat.SI(), scr: c.CrescentEnd.SI(), od: c.RotorRadial.SI(), co: c.CrescentOuter.SI(), ci: c.CrescentInner.SI()}
	m.bodyHead, m.bodyFloor = 0, 0
	face := func(h float64) float64 {
		if h <= 0 {
			return 0
		}
		return bodyFactor(h, m.rfi, m.rpin, m.b, m.pump.Pin.Clearance.SI(), int(m.zi))
	}
	m.bodyHead = face(m.sigma * m.c.fi)
	if m.bodyFloor = m.bodyHead; m.sigma != 0.5 {
		m.bodyFloor = face((1 - m.sigma) * m.c.fi)
	}
}

// With returns the same pump with other clearances.
func (m *Model) With(c Clearances) (*Model, error) {
	p := m.pump
	p.Clearances = c
	if err := p.check(); err != nil {
		return nil, err
	}
	other := *m
	other.set(c)
	return &other, nil
}

// Pump returns what the model was made of.
func (m *Model) Pump() Pump { return m.pump }

// TheoreticalFlow returns D·N.
func (m *Model) TheoreticalFlow(speed quantity.RotationalSpeed) quantity.Flow {
	return quantity.Flow(m.d * speed.SI() / (2 * math.Pi))
}
