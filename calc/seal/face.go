package seal

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	msgAbove       = say.Define("seal.above", "this must be a finite number above zero")
	msgNotBelow    = say.Define("seal.not_below", "this must be a finite number, not below zero")
	msgFraction    = say.Define("seal.fraction", "this must lie between {low:number} and {high:number}")
	msgOuterLarger = say.Define("seal.outer_larger", "the outer diameter of the face must be larger than the inner one")
	msgBalanceFar  = say.Define("seal.balance_far", "the balance diameter must lie near the face: between {low:length} and {high:length}")
	msgSideWord    = say.Define("seal.side_word", "the pressure is outside or inside of the face")
	msgOpens       = say.Define("seal.opens", "the liquid pushes the faces apart harder than spring and pressure close them: the seal opens")
	msgLowBalance  = say.Define("seal.low_balance", "a balance ratio of {ratio:number} is below the usual 0.60 of balanced seals: the faces may open")
	msgHighBalance = say.Define("seal.high_balance", "a balance ratio of {ratio:number} is above the usual 1.60: heavily loaded faces")
	msgStarting    = say.Define("seal.starting", "at the start the seal may take about five times its running torque")
)

// Side is the side of the faces on which the pressure stands.
type Side string

// Show prints the word in the language of a style.
func (v Side) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Side) Message() say.Message { return say.Word("seal", string(v)) }

// The sides.
const (
	Outside Side = "outside"
	Inside  Side = "inside"
)

// Kind is the kind of a seal by its balance ratio.
type Kind string

// Show prints the word in the language of a style.
func (v Kind) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Kind) Message() say.Message { return say.Word("seal", string(v)) }

// Balanced seals have a balance ratio below 1.
const (
	Balanced   Kind = "balanced"
	Unbalanced Kind = "unbalanced"
)

// Face is a pair of faces at one point of running.
type Face struct {
	Inner, Outer    quantity.Length // diameters of the narrow face
	BalanceDiameter quantity.Length
	SpringForce     quantity.Force
	Pressure        quantity.PressureDifference // across the faces
	Speed           quantity.RotationalSpeed
	Friction        float64 // coefficient between the faces
	PressureFactor  float64 // k, mean of the pressure in the gap over the whole drop
	Side            Side
}

// Load is what FaceLoad finds.
type Load struct {
	Face
	BalanceRatio   float64
	Kind           Kind
	Area           quantity.Area
	SpringPressure quantity.Stress
	NetPressure    quantity.Stress // that the faces carry on each other
	ClosingForce   quantity.Force
	OpeningForce   quantity.Force
	MeanDiameter   quantity.Length
	MeanSpeed      quantity.Speed
	PV             quantity.PressureVelocity
	Torque         quantity.Torque
	StartingTorque quantity.Torque
	Heat           quantity.Power
	Opens          bool
	Warnings       []say.Message
}

func aboveZero(field string, q quantity.Quantity) error {
	if v := q.SI(); !(v > 0) || math.IsInf(v, 1) {
		return say.Refuse(field, q.Show(say.Style{}), msgAbove.With(), say.Message{})
	}
	return nil
}

func notBelowZero(field string, q quantity.Quantity) error {
	if v := q.SI(); !(v >= 0) || math.IsInf(v, 1) {
		return say.Refuse(field, q.Show(say.Style{}), msgNotBelow.With(), say.Message{})
	}
	return nil
}

func between(field string, v, low, high float64) error {
	if !(v >= low && v <= high) {
		return say.Refuse(field, number(v), msgFraction.With(low, high), say.Message{})
	}
	return nil
}

func (f *Face) check() error {
	if f.Side == "" {
		f.Side = Outside
	}
	if f.Side != Outside && f.Side != Inside {
		return say.Refuse("pressure_side", string(f.Side), msgSideWord.With(), say.Message{})
	}
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"face_inner", f.Inner}, {"face_outer", f.Outer}, {"balance_diameter", f.BalanceDiameter}} {
		if err := aboveZero(c.field, c.q); err != nil {
			return err
		}
	}
	if f.Outer <= f.Inner {
		return say.Refuse("face_outer", f.Outer.String(), msgOuterLarger.With(), say.Message{})
	}
	if low, high := f.Inner/2, 2*f.Outer; f.BalanceDiameter < low || f.BalanceDiameter > high {
		return say.Refuse("balance_diameter", f.BalanceDiameter.String(), msgBalanceFar.With(low, high), say.Message{})
	}
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"spring_force", f.SpringForce}, {"pressure", f.Pressure}, {"speed", f.Speed}} {
		if err := notBelowZero(c.field, c.q); err != nil {
			return err
		}
	}
	if err := between("friction", f.Friction, 0, 1); err != nil {
		return err
	}
	return between("pressure_factor", f.PressureFactor, 0, 1)
}

// FaceLoad works out a pair of faces.
//
//	A = π(Do² − Di²)/4
//	B = (Do² − Db²)/(Do² − Di²)   pressure outside
//	B = (Db² − Di²)/(Do² − Di²)   pressure inside
//	p_sp = F_sp/A,  p_net = Δp(B − k) + p_sp
//	closing force = A(Δp B + p_sp),  opening force = A k Δp
//	V = π N (Do + Di)/2,  PV = p_net V,  heat = f PV A
//
//	Do, Di  face diameters            m
//	Db      balance diameter          m
//	F_sp    spring force              N     ≥ 0
//	Δp      pressure across           Pa    ≥ 0
//	k       pressure factor           –     0…1, 0.5 for flat parallel faces
//	f       coefficient of friction   –     0…1
//
// A net pressure below zero means that the faces open; a warning says so, and
// PV, torque and heat are then zero.
// Errors: *say.Problem naming the field.
// Source: Lobanoff and Ross, Centrifugal Pumps Design and Application, 2nd ed.
// p. 363; ISO 21049 (API 682) annex on seal heat (from memory).
func FaceLoad(f Face) (Load, error) {
	if err := f.check(); err != nil {
		return Load{}, err
	}
	di, do, db := f.Inner.SI(), f.Outer.SI(), f.BalanceDiameter.SI()
	squares := do*do - di*di
	ratio := (do*do - db*db) / squares
	if f.Side == Inside {
		ratio = (db*db - di*di) / squares
	}
	area := math.Pi / 4 * squares
	spring := f.SpringForce.SI() / area
	load := Load{Face: f, BalanceRatio: ratio, Area: quantity.Area(area), SpringPressure: quantity.Stress(spring),
		NetPressure:  FacePressure(f.Pressure, ratio, f.PressureFactor, quantity.Stress(spring)),
		ClosingForce: quantity.Force(area * (f.Pressure.SI()*ratio + spring)),
		OpeningForce: quantity.Force(area * f.PressureFactor * f.Pressure.SI()),
		MeanDiameter: (f.Outer + f.Inner) / 2,
	}
	load.MeanSpeed = quantity.Speed(f.Speed.SI() * load.MeanDiameter.SI() / 2)
	load.Kind = Unbalanced
	if ratio < 1 {
		load.Kind = Balanced
	}
	carried := max(0, load.NetPressure.SI())
	load.PV = quantity.PressureVelocity(carried * load.MeanSpeed.SI())
	load.Torque = quantity.Torque(f.Friction * carried * area * load.MeanDiameter.SI() / 2)
	load.StartingTorque = startingFactor * load.Torque
	load.Heat = quantity.Power(f.Friction * load.PV.SI() * area)
	if load.NetPressure < 0 {
		load.Opens = true
		load.Warnings = append(load.Warnings, msgOpens.With())
	}
	switch {
	case f.Pressure > 0 && ratio < usualBalance[0]-1e-9:
		load.Warnings = append(load.Warnings, msgLowBalance.With(ratio))
	case f.Pressure > 0 && ratio > usualBalance[1]+1e-9:
		load.Warnings = append(load.Warnings, msgHighBalance.With(ratio))
	}
	if load.Torque > 0 {
		load.Warnings = append(load.Warnings, msgStarting.With())
	}
	return load, nil
}

// usualBalance is the range of balance ratios: balanced 0.60 to 0.90,
// unbalanced 1.10 to 1.60. Source: question column of a hydraulic standards
// institute.
var usualBalance = [2]float64{0.60, 1.60}

// startingFactor is starting torque over running torque. Source: Lobanoff and
// Ross p. 363, about 5.
const startingFactor = 5

// FacePressure returns the pressure that the faces carry on each other,
// Δp(B − k) + p_sp, below zero when they open. Source: Lobanoff and Ross,
// Centrifugal Pumps, 2nd ed. p. 363.
func FacePressure(across quantity.PressureDifference, balanceRatio, pressureFactor float64, spring quantity.Stress) quantity.Stress {
	return quantity.Stress(across.SI()*(balanceRatio-pressureFactor)) + spring
}

// VolumetricHeat is the density of a liquid times its specific heat, in
// J/(m³·K): about 1.7e6 for mineral oils, 4.2e6 for water.
type VolumetricHeat float64

// FlushFlow returns the flow that carries the heat of the faces away.
//
//	Q = heat/(ρc ΔT)
//
//	heat  face heat                 W        ≥ 0
//	ρc    volumetric heat           J/(m³·K) > 0
//	ΔT    warming allowed           K        > 0
//
// Source: heat balance; derived here. Heat soaked from a hot pump comes on
// top.
func FlushFlow(heat quantity.Power, liquid VolumetricHeat, warming quantity.TemperatureDifference) (quantity.Flow, error) {
	if err := notBelowZero("heat", heat); err != nil {
		return 0, err
	}
	if !(liquid > 0) || math.IsInf(float64(liquid), 1) {
		return 0, say.Refuse("volumetric_heat", number(float64(liquid)), msgAbove.With(), say.Message{})
	}
	if err := aboveZero("warming", warming); err != nil {
		return 0, err
	}
	return quantity.Flow(heat.SI() / (float64(liquid) * warming.SI())), nil
}

var (
	nameInner    = say.Define("seal.face_inner", "inner diameter of the face")
	nameOuter    = say.Define("seal.face_outer", "outer diameter of the face")
	nameBalance  = say.Define("seal.balance_diameter", "balance diameter")
	nameSpring   = say.Define("seal.spring_force", "spring force")
	namePressure = say.Define("seal.pressure", "pressure across the faces")
	nameSpeed    = say.Define("seal.speed", "speed of rotation")
	nameFriction = say.Define("seal.friction", "coefficient of friction")
	nameFactor   = say.Define("seal.pressure_factor", "pressure factor")
	nameArea     = say.Define("seal.face_area", "face area")
	nameRatio    = say.Define("seal.balance_ratio", "balance ratio")
	nameSprung   = say.Define("seal.spring_pressure", "pressure of the spring on the face")
	nameNet      = say.Define("seal.net_face_pressure", "net face pressure")
	nameMean     = say.Define("seal.mean_speed", "speed at the mean face diameter")
	namePV       = say.Define("seal.pv", "face pressure times speed")
	nameHeat     = say.Define("seal.heat", "heat of the faces")
)

const lobanoff = "Lobanoff and Ross, Centrifugal Pumps Design and Application, 2nd ed. p. 363"

// Working builds the tree of reasons.
func (l Load) Working() *working.Node {
	di := working.Leaf("seal.face_inner", nameInner.With(), "Di", l.Inner, "input face_inner")
	do := working.Leaf("seal.face_outer", nameOuter.With(), "Do", l.Outer, "input face_outer")
	db := working.Leaf("seal.balance_diameter", nameBalance.With(), "Db", l.BalanceDiameter, "input balance_diameter")
	sp := working.Leaf("seal.spring_force", nameSpring.With(), "F_sp", l.SpringForce, "input spring_force")
	dp := working.Leaf("seal.pressure", namePressure.With(), "Δp", l.Pressure, "input pressure")
	n := working.Leaf("seal.speed", nameSpeed.With(), "N", l.Speed, "input speed")
	f := working.Number("seal.friction", nameFriction.With(), "f", l.Friction, "input friction")
	k := working.Number("seal.pressure_factor", nameFactor.With(), "k", l.PressureFactor, "input pressure_factor")
	equation := "B = (Do² − Db²)/(Do² − Di²)"
	if l.Side == Inside {
		equation = "B = (Db² − Di²)/(Do² − Di²)"
	}
	area := working.Result("seal.face_area", nameArea.With(), "A", l.Area, "A = π(Do² − Di²)/4", "geometry", do, di)
	ratio := &working.Node{ID: "seal.balance_ratio", Name: nameRatio.With(), Symbol: "B", Value: l.BalanceRatio,
		Equation: equation, Source: "definition", Inputs: []*working.Node{do, di, db}}
	spring := working.Result("seal.spring_pressure", nameSprung.With(), "p_sp", l.SpringPressure, "p_sp = F_sp/A", "definition", sp, area)
	net := working.Result("seal.net_face_pressure", nameNet.With(), "p_net", l.NetPressure, "p_net = Δp(B − k) + p_sp", lobanoff, dp, ratio, k, spring)
	speed := working.Result("seal.mean_speed", nameMean.With(), "V", l.MeanSpeed, "V = πN(Do + Di)/2", "geometry", n, do, di)
	pv := working.Result("seal.pv", namePV.With(), "PV", l.PV, "PV = p_net·V, 0 when the faces open", lobanoff, net, speed)
	return working.Result("seal.heat", nameHeat.With(), "H", l.Heat, "H = f·PV·A", lobanoff, f, pv, area)
}
