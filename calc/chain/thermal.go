package chain

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Mass is one of the five lumped masses of a pump.
type Mass int

// The masses, in the order of every array of this package.
const (
	RotorMass   Mass = iota // rotor and idler
	ShaftMass               // shaft
	CasingMass              // casing
	HeadMass                // head, idler pin, crescent
	BracketMass             // bracket or bearing housing
	massCount
)

// MassCount is the number of lumped masses.
const MassCount = int(massCount)

var massNames = [massCount]string{"rotor", "shaft", "casing", "head", "bracket"}

// String returns the name used in model sheets.
func (m Mass) String() string {
	if m < 0 || m >= massCount {
		return "?"
	}
	return massNames[m]
}

// Masses returns all masses in order.
func Masses() []Mass { return []Mass{RotorMass, ShaftMass, CasingMass, HeadMass, BracketMass} }

// Temperatures of the five masses.
type Temperatures [massCount]quantity.Temperature

// Joint is the conductance between two masses that touch.
type Joint struct {
	A, B        Mass
	Conductance quantity.Conductance
}

// Block is the thermal block of a model sheet: the pump as five masses.
//
//	C_k·dT_k/dt = hA_liq·(T_l − T_k) + hA_amb·(T_a − T_k) + hA_jac·(T_j − T_k) + Σ_j G_kj·(T_j − T_k)
//
// The conductances are rough: treat what comes of them as a band.
type Block struct {
	Capacity    [massCount]quantity.HeatCapacity // C
	ToLiquid    [massCount]quantity.Conductance  // hA_liq
	ToAmbient   [massCount]quantity.Conductance  // hA_amb
	ToJacket    [massCount]quantity.Conductance  // hA_jac; 0 without a jacket
	Joints      []Joint                          // G
	Ref         string                           // where in the sheet
	WithoutBand bool                             // conductances were measured: no ±50 % band
}

// StartKind is the order in which a pump is warmed up.
type StartKind uint8

// The ways to start.
const (
	LiquidFirst StartKind = iota // the hot liquid meets a cold pump
	JacketFirst                  // the jacket warms casing and head through, then the liquid comes
	Ramp                         // liquid (and jacket, where there is one) rise together at a given rate
)

// String returns the word of the contract.
func (s StartKind) String() string {
	return [...]string{"liquid_first", "jacket_first", "ramp"}[s]
}

// Start is how the pump is brought to temperature.
type Start struct {
	Kind    StartKind
	Bench   quantity.Temperature  // at which the parts were measured (20 °C)
	Ambient quantity.Temperature  // surroundings, and the pump before the start
	Liquid  quantity.Temperature  // service temperature of the liquid
	Jacket  *quantity.Temperature // heating medium; nil without a jacket
	// TimeConstant of the liquid's rise at the pump, T_l − (T_l − T_a)·exp(−t/τ).
	TimeConstant quantity.Time
	// RatePerSecond of liquid and jacket in K/s; needed by Ramp, and by
	// JacketFirst in place of a sudden jacket.
	RatePerSecond float64
}

var (
	msgPositive    = say.Define("chain.positive", "this must be above zero")
	msgNotNegative = say.Define("chain.not_negative", "this cannot be below zero")
	msgCutOff      = say.Define("chain.cut_off", "the {mass} exchanges heat with nothing, so its temperature is not known")
	msgNoJacket    = say.Define("chain.no_jacket", "a start with the jacket first needs the jacket's temperature and a conductance from the jacket to the casing or head")
	msgNoRate      = say.Define("chain.no_rate", "a ramp needs its rate, in kelvin per minute")
	msgKelvin      = say.Define("chain.kelvin", "a temperature lies above absolute zero")
	msgJoint       = say.Define("chain.joint", "a joint is between two different masses")
)

func (b Block) check() error {
	for _, m := range Masses() {
		if !(float64(b.Capacity[m]) > 0) || !finite(float64(b.Capacity[m])) {
			return refuseNumber("capacity."+m.String(), float64(b.Capacity[m]), msgPositive)
		}
		for i, g := range []quantity.Conductance{b.ToLiquid[m], b.ToAmbient[m], b.ToJacket[m]} {
			if !(g >= 0) || !finite(float64(g)) {
				name := [...]string{"to_liquid.", "to_ambient.", "to_jacket."}[i]
				return refuseNumber(name+m.String(), float64(g), msgNotNegative)
			}
		}
	}
	for _, j := range b.Joints {
		if j.A == j.B || j.A < 0 || j.B < 0 || j.A >= massCount || j.B >= massCount {
			return say.Refuse("joints", j.A.String(), msgJoint.With(), say.Message{})
		}
		if !(j.Conductance >= 0) || !finite(float64(j.Conductance)) {
			return refuseNumber("joints", float64(j.Conductance), msgNotNegative)
		}
	}
	return nil
}

func (s Start) check(b Block) error {
	for i, t := range []quantity.Temperature{s.Bench, s.Ambient, s.Liquid} {
		if !(t > 0) || !finite(float64(t)) {
			return refuseNumber([...]string{"bench", "ambient", "liquid"}[i], float64(t), msgKelvin)
		}
	}
	if s.Jacket != nil && (!(*s.Jacket > 0) || !finite(float64(*s.Jacket))) {
		return refuseNumber("jacket_temperature", float64(*s.Jacket), msgKelvin)
	}
	if !(s.TimeConstant >= 0) || !finite(float64(s.TimeConstant)) {
		return refuseNumber("time_constant", float64(s.TimeConstant), msgNotNegative)
	}
	if !(s.RatePerSecond >= 0) || !finite(s.RatePerSecond) {
		return refuseNumber("ramp", s.RatePerSecond*60, msgNotNegative)
	}
	if s.Kind == Ramp && s.RatePerSecond == 0 {
		return say.Refuse("ramp", "", msgNoRate.With(), say.Message{})
	}
	if s.Kind == JacketFirst && (s.Jacket == nil || b.ToJacket == [massCount]quantity.Conductance{}) {
		return say.Refuse("jacket_temperature", "", msgNoJacket.With(), say.Message{})
	}
	return nil
}

// Steady returns the temperatures after a long time.
//
//	0 = hA_liq·(T_l − T_k) + hA_amb·(T_a − T_k) + hA_jac·(T_j − T_k) + Σ G_kj·(T_j − T_k)
//
// jacket is nil without one. Errors: a say.Problem naming a capacity or
// conductance below zero, or a mass that exchanges heat with nothing.
// Source: derived here (heat balance of lumped masses).
func (b Block) Steady(liquid, ambient quantity.Temperature, jacket *quantity.Temperature) (Temperatures, error) {
	if err := b.check(); err != nil {
		return Temperatures{}, err
	}
	jacketTemperature := 0.0
	if jacket != nil {
		jacketTemperature = float64(*jacket)
	} else {
		b.ToJacket = [massCount]quantity.Conductance{}
	}
	return b.steady(float64(liquid), float64(ambient), jacketTemperature)
}

func (b Block) steady(liquid, ambient, jacket float64) (Temperatures, error) {
	n := int(massCount)
	a := mat.NewDense(n, n, nil)
	rhs := mat.NewVecDense(n, nil)
	for k := range n {
		l, m, j := float64(b.ToLiquid[k]), float64(b.ToAmbient[k]), float64(b.ToJacket[k])
		a.Set(k, k, l+m+j)
		rhs.SetVec(k, l*liquid+m*ambient+j*jacket)
	}
	for _, j := range b.Joints {
		g := float64(j.Conductance)
		a.Set(int(j.A), int(j.A), a.At(int(j.A), int(j.A))+g)
		a.Set(int(j.B), int(j.B), a.At(int(j.B), int(j.B))+g)
		a.Set(int(j.A), int(j.B), a.At(int(j.A), int(j.B))-g)
		a.Set(int(j.B), int(j.A), a.At(int(j.B), int(j.A))-g)
	}
	for k := range n {
		if a.At(k, k) == 0 {
			return Temperatures{}, say.Refuse("", "", msgCutOff.With(Mass(k).String()), say.Message{})
		}
	}
	var x mat.VecDense
	if err := x.SolveVec(a, rhs); err != nil {
		return Temperatures{}, say.Refuse("", "", msgCutOff.With("block"), say.Message{})
	}
	var t Temperatures
	for k := range n {
		t[k] = quantity.Temperature(x.AtVec(k))
	}
	return t, nil
}

// scaled returns the block with its conductances to liquid and jacket, and to
// the surroundings, multiplied.
func (b Block) scaled(liquid, ambient float64) Block {
	for k := range b.ToLiquid {
		b.ToLiquid[k] *= quantity.Conductance(liquid)
		b.ToJacket[k] *= quantity.Conductance(liquid)
		b.ToAmbient[k] *= quantity.Conductance(ambient)
	}
	return b
}

// fastest returns the shortest time constant C/ΣG of the masses, in s.
func (b Block) fastest() float64 {
	var sum [massCount]float64
	for k := range sum {
		sum[k] = float64(b.ToLiquid[k] + b.ToAmbient[k] + b.ToJacket[k])
	}
	for _, j := range b.Joints {
		sum[j.A] += float64(j.Conductance)
		sum[j.B] += float64(j.Conductance)
	}
	shortest := math.Inf(1)
	for k, g := range sum {
		if g > 0 {
			shortest = math.Min(shortest, float64(b.Capacity[k])/g)
		}
	}
	return shortest
}
