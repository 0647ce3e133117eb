package bushing

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNotPositive    = say.Define("bushing.not_positive", "this must be a finite number above zero")
	msgNotNegative    = say.Define("bushing.not_negative", "this must be a finite number, not below zero")
	msgClearanceLarge = say.Define("bushing.clearance_large", "the diametral clearance must stay below a twentieth of the diameter")
	msgTurbulent      = say.Define("bushing.turbulent", "the film turns over into vortices or turbulence (Taylor number {taylor:number} above 41): friction is higher than stated")
	msgPVOver         = say.Define("bushing.pv_over", "PV {pv:pressure_velocity} is above the published {limit:pressure_velocity} for {material}; it counts wherever the film does not carry")
	msgPressureOver   = say.Define("bushing.pressure_over", "projected pressure {pressure:stress} is above the published {limit:stress} for {material}")
	msgLimitMemory    = say.Define("bushing.limit_memory", "the PV limit of {material} is from memory and scatters by {scatter:percent}")
	msgFilmCarries    = say.Define("bushing.film_carries", "full film: {film:length} at the thinnest, {times:number} times the roughness of both parts")
	msgMixed          = say.Define("bushing.mixed", "mixed running: the film of {film:length} is only {times:number} times the roughness of both parts; PV and material decide")
	msgBoundary       = say.Define("bushing.boundary", "no carrying film at this point: the parts rub, PV and material decide")
	msgStart          = say.Define("bushing.start", "at every start the parts rub until the film builds: friction torque about {torque:torque}")
)

// Regime is how the load is carried.
type Regime string

// Show prints the word in the language of a style.
func (v Regime) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Regime) Message() say.Message { return say.Word("bushing", string(v)) }

// The regimes of lubrication, by film over combined roughness: 3 and more,
// 1 to 3, below 1.
const (
	FullFilm Regime = "full film"
	Mixed    Regime = "mixed"
	Boundary Regime = "boundary"
)

// Journal is a bushing at one point of running.
type Journal struct {
	Diameter           quantity.Length
	Length             quantity.Length
	DiametralClearance quantity.Length // bore less journal, at running temperature
	Load               quantity.Force
	Speed              quantity.RotationalSpeed // of the journal against the bushing
	Viscosity          quantity.DynamicViscosity
	Density            quantity.Density // 0 = not known: turbulence is not checked
	Material           *Material        // nil = not named: no PV verdict
	JournalRoughness   quantity.Length  // Ra; 0 = 0.4 µm, as ground
	BoreRoughness      quantity.Length  // Ra; 0 = 0.8 µm, as reamed
}

// Running is what Assess finds.
type Running struct {
	Journal
	ProjectedPressure quantity.Stress
	SurfaceSpeed      quantity.Speed
	PV                quantity.PressureVelocity
	Sommerfeld        float64
	Carries           bool // a film within the table exists; the film fields hold
	Film              Film
	MinFilm           quantity.Length
	MaxPressure       quantity.Stress
	Friction          float64 // coefficient
	Torque            quantity.Torque
	PowerLoss         quantity.Power
	Flow              quantity.Flow // through the film
	SideFlow          quantity.Flow // out of the ends
	FilmOverRoughness float64
	Regime            Regime
	StartTorque       quantity.Torque // before the film builds
	PVWithin          bool            // true when no limit is known
	Warnings          []say.Message
	Verdict           []say.Message
}

const (
	groundRoughness = 0.4e-6
	reamedRoughness = 0.8e-6
	// Ra to root mean square for a ground or reamed surface.
	rmsOverRa = 1.11
	// A film this many times the combined roughness keeps the parts apart.
	fullFilmRatio = 3
)

func positive(field string, q quantity.Quantity) error {
	if v := q.SI(); !(v > 0) || math.IsInf(v, 1) {
		return say.Refuse(field, q.Show(say.Style{}), msgNotPositive.With(), say.Message{})
	}
	return nil
}

func (j Journal) check() error {
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"diameter", j.Diameter}, {"length", j.Length}, {"diametral_clearance", j.DiametralClearance},
		{"load", j.Load}, {"speed", j.Speed}, {"viscosity", j.Viscosity}} {
		if err := positive(c.field, c.q); err != nil {
			return err
		}
	}
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"density", j.Density}, {"journal_roughness", j.JournalRoughness}, {"bore_roughness", j.BoreRoughness}} {
		if v := c.q.SI(); !(v >= 0) || math.IsInf(v, 1) {
			return say.Refuse(c.field, c.q.Show(say.Style{}), msgNotNegative.With(), say.Message{})
		}
	}
	if j.DiametralClearance > j.Diameter/20 {
		return say.Refuse("diametral_clearance", j.DiametralClearance.String(), msgClearanceLarge.With(), say.Message{})
	}
	return nil
}

// Assess computes a bushing at one point of running.
//
//	P = W/(l·d)    V = π d N    PV = P·V
//	S = (r/c)² µN/P,  h₀ = c(1 − ε),  f from (r/c)f,  power = f·W·V
//	Q = (Q/rcNl)·r c N l,  Qs = (Qs/Q)·Q
//
//	W   load                 N       > 0
//	d   journal diameter     m       > 0
//	l   bushing length       m       ≥ 0.1 d
//	c   radial clearance     m       half the diametral one, < d/40
//	N   speed of rotation    rev/s   > 0
//	µ   dynamic viscosity    Pa·s    > 0
//
// The regime is judged by h₀ over the combined root mean square roughness
// (1.11 Ra each): 3 and above full film, below 1 boundary (common practice).
// Where no film of the table carries the load, Carries is false and the film
// fields are zero.
// Errors: *say.Problem naming the field.
// Source: projected pressure and PV as in Mott, Machine Elements in Mechanical
// Design, ch. 16; film from FilmFor.
func Assess(j Journal) (Running, error) {
	if err := j.check(); err != nil {
		return Running{}, err
	}
	d, l, c := j.Diameter.SI(), j.Length.SI(), j.DiametralClearance.SI()/2
	n, mu, load := j.Speed.SI()/(2*math.Pi), j.Viscosity.SI(), j.Load.SI()
	r := d / 2
	pressure, speed := load/(l*d), math.Pi*d*n
	run := Running{Journal: j,
		ProjectedPressure: quantity.Stress(pressure), SurfaceSpeed: quantity.Speed(speed),
		PV:         quantity.PressureVelocity(pressure * speed),
		Sommerfeld: (r / c) * (r / c) * mu * n / pressure,
	}
	if !(run.Sommerfeld > 0) || math.IsInf(run.Sommerfeld, 1) || math.IsInf(pressure*speed, 1) {
		return Running{}, say.Refuse("load", j.Load.String(), msgNotPositive.With(), say.Message{})
	}
	if l/d < leastTableRatio {
		return Running{}, say.Refuse("length", j.Length.String(), msgLengthRatioRange.With(leastTableRatio), say.Message{})
	}
	film, err := FilmFor(run.Sommerfeld, l/d)
	switch {
	case IsNoFilm(err):
		run.Warnings = append(run.Warnings, say.AsProblem(err).Message)
	case err != nil:
		return Running{}, err
	default:
		run.carry(film, r, c, n, l)
	}
	run.judge()
	return run, nil
}

// carry fills the film fields.
func (run *Running) carry(film Film, r, c, n, l float64) {
	load, speed := run.Load.SI(), run.SurfaceSpeed.SI()
	run.Carries, run.Film = true, film
	run.MinFilm = quantity.Length(c * (1 - film.Eccentricity))
	run.MaxPressure = run.ProjectedPressure / quantity.Stress(film.PressureRatio)
	run.Friction = film.FrictionVariable * c / r
	run.Torque = quantity.Torque(run.Friction * load * r)
	run.PowerLoss = quantity.Power(run.Friction * load * speed)
	run.Flow = quantity.Flow(film.FlowVariable * r * c * n * l)
	run.SideFlow = quantity.Flow(film.SideFlowRatio) * run.Flow
	// Taylor's limit of laminar flow between cylinders, Re √(c/r) = 41.
	if taylor := run.Density.SI() * speed * c / run.Viscosity.SI() * math.Sqrt(c/r); taylor > 41.2 {
		run.Warnings = append(run.Warnings, msgTurbulent.With(taylor))
	}
}

func (run *Running) roughness() float64 {
	journal, bore := run.JournalRoughness.SI(), run.BoreRoughness.SI()
	if journal == 0 {
		journal = groundRoughness
	}
	if bore == 0 {
		bore = reamedRoughness
	}
	return rmsOverRa * math.Hypot(journal, bore)
}

// judge gives the regime and the verdicts.
func (run *Running) judge() {
	run.FilmOverRoughness = run.MinFilm.SI() / run.roughness()
	switch {
	case run.Carries && run.FilmOverRoughness >= fullFilmRatio:
		run.Regime = FullFilm
		run.Verdict = append(run.Verdict, msgFilmCarries.With(run.MinFilm, run.FilmOverRoughness))
	case run.Carries && run.FilmOverRoughness >= 1:
		run.Regime = Mixed
		run.Verdict = append(run.Verdict, msgMixed.With(run.MinFilm, run.FilmOverRoughness))
	default:
		run.Regime = Boundary
		run.Verdict = append(run.Verdict, msgBoundary.With())
	}
	friction := boundaryFrictionOfOil
	run.PVWithin = true
	if m := run.Material; m != nil {
		friction = m.Friction
		if run.PV > m.PV {
			run.PVWithin = false
			run.Warnings = append(run.Warnings, msgPVOver.With(run.PV, m.PV, m.Name))
		}
		if m.Pressure > 0 && run.ProjectedPressure > m.Pressure {
			run.PVWithin = false
			run.Warnings = append(run.Warnings, msgPressureOver.With(run.ProjectedPressure, m.Pressure, m.Name))
		}
		if m.Scatter > 0 {
			run.Warnings = append(run.Warnings, msgLimitMemory.With(m.Name, m.Scatter))
		}
	}
	run.StartTorque = quantity.Torque(friction * run.Load.SI() * run.Diameter.SI() / 2)
	run.Verdict = append(run.Verdict, msgStart.With(run.StartTorque))
}

// PetroffTorque returns the friction torque of a journal that runs without
// load in the middle of its bushing.
//
//	T = 4π² r³ l µ N/c
//
// Symbols as in Assess. It is a lower bound of the loaded torque.
// Source: Petroff's equation as in Shigley, Mechanical Engineering Design
// (from memory).
func PetroffTorque(j Journal) (quantity.Torque, error) {
	if j.Load == 0 {
		j.Load = 1
	}
	if err := j.check(); err != nil {
		return 0, err
	}
	r, c := j.Diameter.SI()/2, j.DiametralClearance.SI()/2
	return quantity.Torque(4 * math.Pi * math.Pi * r * r * r * j.Length.SI() * j.Viscosity.SI() * j.Speed.SI() / (2 * math.Pi) / c), nil
}

// VolumetricHeat is the density of a liquid times its specific heat, in
// J/(m³·K): about 1.7e6 for mineral oils, 4.2e6 for water.
type VolumetricHeat float64

// WarmingAcrossFilm returns how much the liquid warms that leaves at the ends,
// when all friction heat goes into it and half of what stays circulates.
//
//	ΔT = power/[ρc·Q·(1 − Qs/2Q)]
//
// It is an upper bound, for the housing carries heat away too.
// Source: Shigley, Mechanical Engineering Design, temperature rise of journal
// bearings (from memory).
func (run Running) WarmingAcrossFilm(heat VolumetricHeat) (quantity.TemperatureDifference, error) {
	if !(heat > 0) || math.IsInf(float64(heat), 1) {
		return 0, say.Refuse("volumetric_heat", number(float64(heat)), msgNotPositive.With(), say.Message{})
	}
	if !run.Carries {
		return 0, say.Refuse("load", run.Load.String(), msgNoFilm.With(NoFilmEccentricity), msgCarryFilm.With())
	}
	return quantity.TemperatureDifference(run.PowerLoss.SI() / (float64(heat) * run.Flow.SI() * (1 - 0.5*run.Film.SideFlowRatio))), nil
}

// IdlerPinLoad estimates the load that the pressure puts on the idler pin.
//
//	W = 0.8 Δp d_a b
//
//	Δp   discharge less suction       Pa   ≥ 0
//	d_a  outside diameter of the idler m   > 0
//	b    face width of the idler      m    > 0
//
// The factor is a convention of this tool: pressure falls along the crescent,
// so less than the whole projected area feels it. Calibrate it with wear.
func IdlerPinLoad(pressure quantity.PressureDifference, idlerOutside, faceWidth quantity.Length) (quantity.Force, error) {
	if v := pressure.SI(); !(v >= 0) || math.IsInf(v, 1) {
		return 0, say.Refuse("pressure", pressure.String(), msgNotNegative.With(), say.Message{})
	}
	if err := positive("idler_outside", idlerOutside); err != nil {
		return 0, err
	}
	if err := positive("face_width", faceWidth); err != nil {
		return 0, err
	}
	return quantity.Force(0.8 * pressure.SI() * idlerOutside.SI() * faceWidth.SI()), nil
}
