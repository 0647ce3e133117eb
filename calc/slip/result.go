package slip

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Point is an operating point: speed of the rotor, discharge pressure less
// suction pressure.
type Point struct {
	Speed    quantity.RotationalSpeed
	Pressure quantity.PressureDifference
}

// Factors carry what bench points have taught about a pump model. DefaultFactors
// when nothing is known.
type Factors struct {
	Displacement float64         // k_D
	Slip         float64         // k_s
	Drag         float64         // k_v
	EndBias      quantity.Length // δ, added to end clearance, idler float and crescent end
}

// DefaultFactors is the model as it stands, without a bench point.
func DefaultFactors() Factors { return Factors{Displacement: 1, Slip: 1, Drag: 1} }

// Paths is the net leak of each group of paths. A negative one drags more
// liquid to the discharge than the pressure drives back.
type Paths struct {
	Mesh          quantity.Flow `json:"mesh" help:"past the mesh: outside of the rotor teeth, tooth ends, idler teeth"`
	RotorCrescent quantity.Flow `json:"rotor_crescent" help:"on the rotor's side of the crescent"`
	IdlerCrescent quantity.Flow `json:"idler_crescent" help:"on the idler's side of the crescent"`
	IdlerBody     quantity.Flow `json:"idler_body" help:"over the faces of the idler's body and through its bore"`
	CrescentEnd   quantity.Flow `json:"crescent_end" help:"between the end of the crescent and the rotor's floor"`
	Back          quantity.Flow `json:"back" help:"behind the rotor's disc"`
}

// Sum returns the net slip.
func (p Paths) Sum() quantity.Flow {
	return p.Mesh + p.RotorCrescent + p.IdlerCrescent + p.IdlerBody + p.CrescentEnd + p.Back
}

// Drag is the friction of the walls by place, as the model gives it (without
// the drag factor).
type Drag struct {
	RotorTeeth, RotorRim, RotorEnds, IdlerHead, IdlerFloor        quantity.Power
	CrescentOuter, CrescentInner, CrescentEnd, Back, Pin, Bushing quantity.Power
}

// PowerParts is the power at the shaft. The parts add to Total.
type PowerParts struct {
	Hydraulic    quantity.Power // Δp(Q_th − q₀): delivery and slip
	Gaps         quantity.Power // friction of the gaps, with the drag factor
	Pin          quantity.Power
	ShaftBushing quantity.Power
	Mesh         quantity.Power
	Seal         quantity.Power
	Filling      quantity.Power
	Total        quantity.Power
	Torque       quantity.Torque
	Mechanical   float64 // η_m = Δp(Q_th − q₀)/P
	Overall      float64 // η = ΔpQ/P
	Drag         Drag
}

// Result is the pump at one operating point.
type Result struct {
	Point   Point
	Liquid  Liquid
	Factors Factors

	TheoreticalFlow      quantity.Flow // k_D·D·N
	Flow                 quantity.Flow
	Slip                 quantity.Flow // Q_th − Q
	SlipAtZero           quantity.Flow // q₀, slip without pressure
	VolumetricEfficiency float64
	Paths                Paths                       // with the slip factor; they add to Slip
	BackPressure         quantity.PressureDifference // behind the disc, counted from suction

	Power    *PowerParts // nil: not known, see Unknown
	Unknown  say.Message // why there is no power
	Filling  *quantity.PressureDifference
	Warnings []say.Message // what lies outside the range of the model, and what else to know
	Outside  bool          // something lies outside the range of the model

	model *Model
}

var (
	// NoBenchPoint must stand wherever slip is shown without a bench point.
	NoBenchPoint = say.Define("slip.no_bench_point", "no published measurement proves the leak paths of a whole pump of this kind; without a bench point take slip as known to about a third. Measure flow (and power) at one or two pressures and calibrate")
	// Calibrated stands wherever slip rests on bench points.
	Calibrated = say.Define("slip.calibrated", "fitted to {n:count|bench point|bench points}; it holds for this pump model, liquids like those tested, and the clearances that were measured")

	unknownContact = say.Define("slip.power_contact", "no power is given: the {gap} is closed, and a rubbing contact has no friction that could be computed")
	unknownMissing = say.Define("slip.power_missing", "no power is given: {what:list} not known for this pump")
	warnNoDelivery = say.Define("slip.nothing_delivered", "at {pressure:pressure_difference} slip is as large as the theoretical flow: nothing is delivered")
	warnWide       = say.Define("slip.wide_gap", "{gap} of {height:length} is more than a twentieth of its land: the gap law is stretched")
	warnViscosity  = say.Define("slip.viscosity_range", "the viscosity in the gaps, {viscosity:dynamic_viscosity}, lies outside 0.3 mPa s to 100 Pa s, the range of this model")
	msgSpeed       = say.Define("slip.speed_accepted", "a speed greater than 0")
	msgPressureUp  = say.Define("slip.pressure_accepted", "a pressure difference from 0 up, discharge less suction")
	msgPoint       = say.Define("slip.point_refused", "this is no operating point of a pump that delivers")
	msgFactors     = say.Define("slip.factors_accepted", "factors greater than 0")
	msgContact     = say.Define("slip.contact", "with this bias the parts touch; there is no flow to predict")
)

func (pt Point) check() error {
	if !(pt.Speed > 0) || !finite(pt.Speed.SI()) {
		return say.Refuse("speed", pt.Speed.String(), msgPoint.With(), msgSpeed.With())
	}
	if !(pt.Pressure >= 0) || !finite(pt.Pressure.SI()) {
		return say.Refuse("pressure", pt.Pressure.String(), msgPoint.With(), msgPressureUp.With())
	}
	return nil
}

func (k Factors) check() error {
	for _, v := range []struct {
		field string
		value float64
	}{{"displacement", k.Displacement}, {"slip", k.Slip}, {"drag", k.Drag}} {
		if !(v.value > 0) || !finite(v.value) {
			return say.Refuse("factors."+v.field, number(v.value), msgPumpRefused.With(), msgFactors.With())
		}
	}
	if !finite(k.EndBias.SI()) {
		return say.Refuse("factors.end_bias", k.EndBias.String(), msgPumpRefused.With(), msgFinite.With())
	}
	return nil
}

// At returns flow, slip by path and power at one operating point.
//
//	Q = k_D D N − [k_s(q − q₀) + q₀]
//	P = Δp(k_D D N − q₀) + k_v ΣP_drag + P_mesh + P_seal + P_fill
//
// Valid: 0.3 mPa s to 100 Pa s, gaps less than a twentieth of their lands, full
// tooth spaces. Outside: the values come with warnings.
// Errors: a Problem for speeds not above 0, negative pressures, NaN.
// Source: derived here; the laws of gap and film as named there.
func (m *Model) At(l Liquid, pt Point, k Factors) (Result, error) {
	if err := l.check(); err != nil {
		return Result{}, err
	}
	if err := pt.check(); err != nil {
		return Result{}, err
	}
	if err := k.check(); err != nil {
		return Result{}, err
	}
	m, err := m.biased(k)
	if err != nil {
		return Result{}, err
	}
	var state state
	m.turn(&state, l, pt.Speed)
	return m.result(&state, l, pt, k), nil
}

// result puts factors on what the model gives at one pressure.
func (m *Model) result(s *state, l Liquid, pt Point, k Factors) Result {
	r := Result{Point: pt, Liquid: l, Factors: k, model: m}
	raw := s.at(pt.Pressure.SI())
	r.fill(m, &raw, k)
	known := len(r.Warnings)
	r.Warnings = m.warnings(l, pt, r.Warnings)
	r.Outside = len(r.Warnings) > known
	return r
}

// raw is what the model gives before any factor but the end bias.
type raw struct {
	qth          float64 // D·N
	q, q0        leaks
	drag         drags
	mesh, seal   float64
	inertial     float64
	viscous      float64
	omega, dp    float64
	powerKnown   bool
	fillingKnown bool
}

// state is the pump turning at one speed in one liquid: all that does not
// depend on the pressure.
type state struct {
	p     point
	still raw
}

func (m *Model) turn(s *state, l Liquid, speed quantity.RotationalSpeed) {
	f := l.flow(m.pump.EntryExitLoss)
	omega := speed.SI()
	m.prepare(&s.p, &f, omega)
	r := &s.still
	*r = raw{omega: omega, qth: m.d * omega / (2 * math.Pi)}
	r.q0 = s.p.leaks(0)
	if m.pump.Filling != nil {
		r.inertial, r.viscous = s.p.filling(r.qth)
		r.fillingKnown = true
	}
	if len(m.missing) == 0 && m.blocked() == "" {
		r.powerKnown = true
		r.drag = s.p.drags()
	}
}

func (s *state) at(dp float64) raw {
	r, m := s.still, s.p.m
	r.dp, r.q = dp, r.q0
	if dp > 0 {
		r.q = s.p.leaks(dp)
	}
	if r.powerKnown {
		r.mesh = m.mesh * dp * r.omega
		seal := m.pump.Seal
		r.seal = seal.Friction * seal.FaceArea.SI() * (seal.BalanceRatio*r.q.pBack + seal.SpringPressure.SI()) * r.omega * seal.MeanRadius.SI()
	}
	return r
}

// flow returns the delivered flow for factors other than the end bias.
func (r *raw) flow(k *Factors) float64 {
	q, q0 := r.q.sum(), r.q0.sum()
	return k.Displacement*r.qth - (k.Slip*(q-q0) + q0)
}

// power returns the shaft power for factors other than the end bias.
func (r *raw) power(k *Factors) float64 {
	return r.dp*(k.Displacement*r.qth-r.q0.sum()) + k.Drag*r.drag.sum() + r.mesh + r.seal + r.filling(k)
}

// filling is the loss of power on the way in; the pressure loss is reported
// for D·N itself, the viscous part follows the drag factor.
func (r *raw) filling(k *Factors) float64 {
	return 2 * k.Displacement * r.qth * (r.inertial + k.Drag*r.viscous)
}

func (r *Result) fill(m *Model, raw *raw, k Factors) {
	scale := func(q, q0 float64) quantity.Flow { return quantity.Flow(k.Slip*(q-q0) + q0) }
	q, q0 := &raw.q, &raw.q0
	r.Paths = Paths{
		Mesh: scale(q.mesh, q0.mesh), RotorCrescent: scale(q.rotor, q0.rotor), IdlerCrescent: scale(q.idler, q0.idler),
		IdlerBody: scale(q.body, q0.body), CrescentEnd: scale(q.end, q0.end), Back: scale(q.back, q0.back),
	}
	r.TheoreticalFlow = quantity.Flow(k.Displacement * raw.qth)
	r.Flow = quantity.Flow(raw.flow(&k))
	r.Slip = r.TheoreticalFlow - r.Flow
	r.SlipAtZero = quantity.Flow(q0.sum())
	r.VolumetricEfficiency = r.Flow.SI() / r.TheoreticalFlow.SI()
	r.BackPressure = quantity.PressureDifference(q.pBack)
	if raw.fillingKnown {
		loss := quantity.PressureDifference(raw.inertial + raw.viscous)
		r.Filling = &loss
	}
	if r.Flow <= 0 {
		r.Warnings = append(r.Warnings, warnNoDelivery.With(r.Point.Pressure))
	}
	if !raw.powerKnown {
		if gap := m.blocked(); gap != "" {
			r.Unknown = unknownContact.With(gap)
		} else {
			r.Unknown = unknownMissing.With(m.missing)
		}
		return
	}
	r.power(raw, k)
}

func (r *Result) power(raw *raw, k Factors) {
	d, q0 := &raw.drag, &raw.q0
	hydraulic, total := raw.dp*(r.TheoreticalFlow.SI()-q0.sum()), raw.power(&k)
	watt := func(v float64) quantity.Power { return quantity.Power(v) }
	r.Power = &PowerParts{
		Hydraulic: watt(hydraulic), Gaps: watt(k.Drag * d.gaps()), Pin: watt(k.Drag * d.pin), ShaftBushing: watt(k.Drag * d.shaft),
		Mesh: watt(raw.mesh), Seal: watt(raw.seal), Filling: watt(raw.filling(&k)), Total: watt(total),
		Torque: quantity.Torque(total / raw.omega), Mechanical: hydraulic / total, Overall: raw.dp * r.Flow.SI() / total,
		Drag: Drag{
			RotorTeeth: watt(d.teeth), RotorRim: watt(d.rim), RotorEnds: watt(d.rotorEnds), IdlerHead: watt(d.idlerHead), IdlerFloor: watt(d.idlerFloor),
			CrescentOuter: watt(d.crescentOuter), CrescentInner: watt(d.crescentInner), CrescentEnd: watt(d.crescentEnd),
			Back: watt(d.back), Pin: watt(d.pin), Bushing: watt(d.shaft),
		},
	}
}

// warnings adds what lies outside the range of the model.
func (m *Model) warnings(l Liquid, pt Point, list []say.Message) []say.Message {
	for _, g := range []struct {
		name    string
		h, land float64
	}{
		{"end clearance", m.c.se, m.lr}, {"idler float on one face", math.Max(m.sigma, 1-m.sigma) * m.c.fi, m.li},
		{"rotor radial clearance", m.c.od * (1 + m.eps), math.Min(m.lod, m.bd)},
		{"crescent outer clearance", m.c.co, m.tipR}, {"crescent inner clearance", m.c.ci, m.tipI},
	} {
		if g.h > 0.05*g.land {
			list = append(list, warnWide.With(g.name, quantity.Length(g.h)))
		}
	}
	f := l.flow(0)
	slow := f.viscosity(1)
	fast := slow
	if m.c.od > 0 {
		fast = f.viscosity(pt.Speed.SI() * m.ro / m.c.od)
	}
	if fast < 0.3e-3*(1-1e-9) {
		list = append(list, warnViscosity.With(quantity.DynamicViscosity(fast)))
	} else if slow > 100*(1+1e-9) {
		list = append(list, warnViscosity.With(quantity.DynamicViscosity(slow)))
	}
	return list
}
