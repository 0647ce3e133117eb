package slip

import "math"

// drags holds the friction of the walls by place, W, without k_v.
type drags struct {
	teeth, rim, rotorEnds, idlerHead, idlerFloor float64
	crescentOuter, crescentInner, crescentEnd    float64
	back, pin, shaft                             float64
}

func (d *drags) gaps() float64 {
	return d.teeth + d.rim + d.rotorEnds + d.idlerHead + d.idlerFloor + d.crescentOuter + d.crescentInner + d.crescentEnd + d.back
}

func (d *drags) sum() float64 { return d.gaps() + d.pin + d.shaft }

// film is the viscosity that a wall meets at speed u over a gap h: µ(u/h), and
// more when the film is turbulent.
//
//	F = 1 below Re = ρUh/µ = 1000, else 1 + 0.0012(Re^0.94 − 1000^0.94)
//
// Constantinescu's film stress, from memory, shifted to be continuous.
func (f *flow) film(u, h float64) float64 {
	mu := f.viscosity(u / h)
	if re := f.rho * u * h / mu; re > 1000 {
		mu *= 1 + 0.0012*(math.Pow(re, 0.94)-turbulentShift)
	}
	return mu
}

var turbulentShift = math.Pow(1000, 0.94)

// bushingFactor is the friction of a plain bushing off centre by half over the
// same one central, 1/√(1 − 0.5²), Petroff's law otherwise.
var bushingFactor = 1 / math.Sqrt(1-0.25)

// drags sums the friction of every wall: µ_τ U²A/h, discs and rings
// integrated. Derived here. All gaps must be open.
func (p *point) drags() drags {
	m, f := p.m, &p.f
	omega, omegaI := p.omega, p.omegaI
	slide := omegaI - omega
	var d drags
	u := omega * m.ro
	outside := f.film(u, m.c.od) * u * u / m.c.od / math.Sqrt(1-m.eps*m.eps)
	d.teeth = outside * m.zr * m.lod * m.b * closedShare
	d.rim = outside * 2 * math.Pi * m.ro * m.bd

	share := m.lr / (math.Pi * (m.rar + m.pump.Teeth.RotorRoot.SI()) / m.zr) // tooth of the pitch half-way up
	d.rotorEnds = f.film(omega*(m.rar+m.ro)/2, m.c.se) * sq(omega) * math.Pi / 2 * (fourth(m.ro) - fourth(m.rar)) * share / m.c.se

	inertia := math.Pi / 2 * (fourth(m.rfi) - fourth(m.rpin) + (fourth(m.rai)-fourth(m.rfi))/2)
	area := math.Pi * (sq(m.rfi) - sq(m.rpin) + (sq(m.rai)-sq(m.rfi))/2)
	head, floor := m.sigma*m.c.fi, (1-m.sigma)*m.c.fi
	d.idlerHead = f.film(0.7*omegaI*m.rai, head) * sq(omegaI) * inertia / head
	// against the rotor's floor the idler turns about the pitch point
	d.idlerFloor = f.film(slide*m.ri, floor) * sq(slide) * (inertia + sq(m.ri)*area) / floor

	tip := func(u, h, land, barriers float64) float64 { return f.film(u, h) * u * u * barriers * land * m.b / h }
	d.crescentOuter = tip(omega*m.rar, m.c.co, m.tipR, m.barriersRotor)
	d.crescentInner = tip(omegaI*m.rai, m.c.ci, m.tipI, m.barriersIdler)
	u = omega * m.endRadius
	d.crescentEnd = f.film(u, m.c.scr) * u * u * endShare * m.tc * m.arcR * m.endRadius / m.c.scr
	if s := m.pump.BackGap.SI(); s > 0 {
		d.back = f.film(0.7*omega*m.ro, s) * sq(omega) * math.Pi / 2 * (fourth(m.ro) - fourth(m.pump.ShaftRadius.SI())) / s
	}

	d.pin = f.bushing(m.pump.Pin, omegaI)
	if m.pump.ShaftBushing != nil {
		d.shaft = f.bushing(*m.pump.ShaftBushing, omega)
	}
	return d
}

func (f *flow) bushing(b Bushing, omega float64) float64 {
	r, c := b.Radius.SI(), b.Clearance.SI()
	if b.Length == 0 || c == 0 {
		return 0
	}
	u := omega * r
	return f.film(u, c) * 2 * math.Pi * r * b.Length.SI() * u * u / c * bushingFactor
}

func fourth(v float64) float64 { return v * v * v * v }

// filling returns the two parts of the pressure lost on the way into the tooth
// spaces, Pa, when the pump moves qth.
//
//	v = Q_th/(z_r(φ_port/2π) w_sp b)
//	Δp = 1.5ρv²/2 + 12µv(R_o − r_ar)/w_sp²,  µ at the shear rate 6v/w_sp
//
// A convention of this program, no source; a maker's inlet curve outranks it.
func (p *point) filling(qth float64) (inertial, viscous float64) {
	m := p.m
	w := m.pump.Filling.SpaceWidth.SI()
	v := qth / (m.zr * m.pump.Filling.PortArc.SI() / (2 * math.Pi) * w * m.b)
	inertial = 1.5 * p.f.rho * v * v / 2
	viscous = 12 * p.f.viscosity(6*v/w) * v * (m.ro - m.rar) / (w * w)
	return inertial, viscous
}

// blocked names what has no gap left, so that its friction is without bound.
func (m *Model) blocked() string {
	for _, x := range []struct {
		name string
		h    float64
	}{
		{"rotor radial clearance", m.c.od}, {"end clearance", m.c.se},
		{"idler face on the head", m.sigma * m.c.fi}, {"idler face on the rotor floor", (1 - m.sigma) * m.c.fi},
		{"crescent outer clearance", m.c.co}, {"crescent inner clearance", m.c.ci}, {"crescent end", m.c.scr},
	} {
		if x.h <= 0 {
			return x.name
		}
	}
	if m.pump.Pin.Length > 0 && m.pump.Pin.Clearance <= 0 {
		return "pin clearance"
	}
	if b := m.pump.ShaftBushing; b != nil && b.Length > 0 && b.Clearance <= 0 {
		return "shaft bushing clearance"
	}
	return ""
}
