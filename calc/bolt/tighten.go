package bolt

import (
	"math"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Surface is the state of thread and bearing face while tightening.
type Surface string

// Show prints the word in the language of a style.
func (v Surface) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Surface) Message() say.Message { return say.Word("bolt", string(v)) }

// The surfaces.
const (
	Dry       Surface = "dry"
	Oiled     Surface = "oiled"
	Plated    Surface = "plated"
	AntiSeize Surface = "anti-seize"
)

// surfaces holds the nut factor of each surface and the spread of preload at
// one torque.
var surfaces = map[Surface]struct {
	value, low, high, scatter float64
	source                    string
}{
	Dry:       {0.20, 0.20, 0.25, 0.35, "published nut factors quoting Shigley and Machinery's Handbook: dry steel 0.20 to 0.25; scatter from memory"},
	Oiled:     {0.18, 0.15, 0.20, 0.30, "published nut factors quoting Shigley and Machinery's Handbook: light oil 0.15 to 0.20; scatter from memory"},
	Plated:    {0.20, 0.17, 0.25, 0.30, "zinc plated, handbook value from memory"},
	AntiSeize: {0.14, 0.12, 0.16, 0.30, "published nut factors quoting Shigley and Machinery's Handbook: anti-seize 0.12 to 0.16; scatter from memory"},
}

// NutFactor returns the nut factor K of a surface with the range of published
// values.
func NutFactor(s Surface) (value, low, high float64, err error) {
	row, ok := surfaces[s]
	if !ok {
		return 0, 0, 0, say.Refuse("surface", string(s), msgSurface.With(), msgSurfaces.With())
	}
	return row.value, row.low, row.high, nil
}

var (
	msgSurface  = say.Define("bolt.surface", "this surface is not known")
	msgSurfaces = say.Define("bolt.surfaces", "write dry, oiled, plated or anti-seize")
	msgFraction = say.Define("bolt.fraction", "the preload must be more than 0 and at most 0.95 of the proof load")
	msgUsual    = say.Define("bolt.usual", "0.75 is usual for bolts that are opened again, 0.90 for those that are not")
	msgFactor   = say.Define("bolt.factor", "a nut factor lies between 0.05 and 0.5")
	msgFactorIs = say.Define("bolt.factor_is", "dry steel 0.20 to 0.25, light oil 0.15 to 0.20, anti-seize 0.12 to 0.16")
	msgFriction = say.Define("bolt.friction", "a coefficient of friction lies above 0 and below 0.6")
	msgPositive = say.Define("bolt.positive", "this must be more than zero")

	warnScatter = say.Define("bolt.warn_scatter",
		"a torque wrench sets the preload only within ± {scatter:percent}: from {low:force} to {high:force}")
	warnProof = say.Define("bolt.warn_proof",
		"at the high end of the scatter the bolt is over its proof load of {proof:force}")
	warnStainless = say.Define("bolt.warn_stainless", "stainless threads gall: use anti-seize and turn slowly")
	warnMixed     = say.Define("bolt.warn_mixed", "the grade and the thread are of different systems: read the mark on the head")
	warnHot       = say.Define("bolt.warn_hot",
		"at {temperature:temperature} the gasket creeps and the bolts lose tension: check the torque cold after the first heat, and the clearance with it")
	warnSoft = say.Define("bolt.warn_soft",
		"soft gaskets set: tighten again, cold and without pressure, after some hours and within 24 h, then measure the clearance again; follow the gasket maker, hardened sheet may crack when tightened hot")
	warnGasketLow  = say.Define("bolt.warn_gasket_low", "the gasket is pressed with {stress:stress}, less than the {wanted:stress} it needs")
	warnGasketHigh = say.Define("bolt.warn_gasket_high", "the gasket is pressed with {stress:stress}, more than the {allowed:stress} it bears")

	cautionBolt = say.Define("bolt.caution",
		"Isolate, drain and vent before a bolt is loosened; never tighten a joint under pressure. Support the head while bolts are out, keep fingers out of the gap, pull the wrench towards you with sure footing.")
	cautionManual = say.Define("bolt.caution_manual", "A torque in the maker's manual comes before a computed one. A bolt that was over its proof load, is stretched or corroded is replaced.")
)

// Input asks for a torque.
type Input struct {
	Thread          Thread
	Grade           Grade
	PreloadFraction float64 // of the proof load
	NutFactor       float64 // 0: from Friction, else from Surface
	Surface         Surface
	Friction        *Friction // nil: no long form
	Count           int       // 0: not given
	Passes          []float64
	Gasket          *Gasket
	SoftGasket      bool
	Temperature     quantity.Temperature // in service; 0 = not given
}

// Friction is what the long form of the torque needs.
type Friction struct {
	Thread, Collar float64
	CollarMean     quantity.Length // mean diameter under the head; 0 = 1.25 d
}

// Gasket is what the gasket check needs.
type Gasket struct {
	Area         quantity.Area
	PressureArea quantity.Area // on which the pressure opens the joint
	Pressure     quantity.PressureDifference
	Needs        quantity.Stress // to seal; 0 = not known
	Bears        quantity.Stress // before it is crushed; 0 = not known
}

// Result is the answer to an Input.
type Result struct {
	Input                   Input
	StressArea              quantity.Area
	ProofStrength           quantity.Stress
	ProofLoad               quantity.Force
	ProofPrinted            bool // read in the table of ISO 898-1
	Preload                 quantity.Force
	PreloadLow, PreloadHigh quantity.Force
	NutFactor               float64
	NutFactorSource         string
	Torque                  quantity.Torque
	PassTorques             []quantity.Torque
	Sequence                []int // nil without a count
	GasketStress            quantity.Stress
	GasketStressInService   quantity.Stress
	GasketAccepted          bool // true when not checked
	Warnings                []say.Message
	Cautions                []say.Message
}

// Tighten computes preload, torque, passes and order.
//
//	F = f F_p,   F_p = A_s S_p or as printed in ISO 898-1,   T = K d F
//
//	f     fraction of proof load   –    > 0 … 0.95
//	A_s   stress area              m²
//	S_p   proof strength           Pa   of the grade
//	K     nut factor               –    0.05 … 0.5
//	d     nominal diameter         m
//
// Errors: a Problem naming the field. A gasket pressed too little or too hard
// is a warning and GasketAccepted false.
// Source: Shigley and Mischke, Mechanical Engineering Design, ch. on threaded
// fasteners; ISO 898-1; SAE J429.
// Checked by: TestTorqueTables, TestTextbookTorque.
func Tighten(in Input) (Result, error) {
	if !(in.PreloadFraction > 0 && in.PreloadFraction <= 0.95) {
		return Result{}, say.Refuse("preload_fraction", strconv.FormatFloat(in.PreloadFraction, 'g', -1, 64), msgFraction.With(), msgUsual.With())
	}
	if err := checkPasses(in.Passes); err != nil {
		return Result{}, err
	}
	r := Result{Input: in, StressArea: in.Thread.StressArea(), GasketAccepted: true}
	var err error
	if r.ProofStrength, err = in.Grade.ProofStrength(in.Thread.Diameter); err != nil {
		return Result{}, err
	}
	if r.ProofLoad, r.ProofPrinted, err = in.Grade.ProofLoad(in.Thread); err != nil {
		return Result{}, err
	}
	r.Preload = r.ProofLoad * quantity.Force(in.PreloadFraction)
	if err := r.setFactor(); err != nil {
		return Result{}, err
	}
	r.Torque = TorqueFor(r.Preload, in.Thread.Diameter, r.NutFactor)
	for _, f := range in.Passes {
		r.PassTorques = append(r.PassTorques, r.Torque*quantity.Torque(f))
	}
	if in.Count != 0 {
		if r.Sequence, err = Sequence(in.Count); err != nil {
			return Result{}, err
		}
	}
	if err := r.checkGasket(); err != nil {
		return Result{}, err
	}
	r.speak()
	return r, nil
}

// TorqueFor returns T = K d F.
func TorqueFor(preload quantity.Force, diameter quantity.Length, nutFactor float64) quantity.Torque {
	return quantity.Torque(nutFactor * float64(diameter) * float64(preload))
}

func (r *Result) setFactor() error {
	in := r.Input
	row, ok := surfaces[in.Surface]
	if !ok {
		return say.Refuse("surface", string(in.Surface), msgSurface.With(), msgSurfaces.With())
	}
	switch {
	case in.NutFactor != 0:
		if !(in.NutFactor >= 0.05 && in.NutFactor <= 0.5) {
			return say.Refuse("nut_factor", strconv.FormatFloat(in.NutFactor, 'g', -1, 64), msgFactor.With(), msgFactorIs.With())
		}
		r.NutFactor, r.NutFactorSource = in.NutFactor, "stated"
	case in.Friction != nil:
		k, err := NutFactorFromFriction(in.Thread, *in.Friction)
		if err != nil {
			return err
		}
		r.NutFactor, r.NutFactorSource = k, "thread and collar friction: Jindal, Machine Design, ch. 9"
	default:
		r.NutFactor, r.NutFactorSource = row.value, row.source
	}
	r.PreloadLow = r.Preload * quantity.Force(1-row.scatter)
	r.PreloadHigh = r.Preload * quantity.Force(1+row.scatter)
	r.Warnings = append(r.Warnings, warnScatter.With(row.scatter, r.PreloadLow, r.PreloadHigh))
	if r.PreloadHigh > r.ProofLoad {
		r.Warnings = append(r.Warnings, warnProof.With(r.ProofLoad))
	}
	return nil
}

// NutFactorFromFriction returns K from the friction of thread and collar.
//
//	K = d_m/(2d) · (tan λ + µ sec α)/(1 − µ tan λ sec α) + µ_c d_c/(2d)
//	d_r = d − 1.2268 P (metric; 1.2990/n unified), d_m = (d + d_r)/2, tan λ = P/(π d_m), α = 30°
//
//	µ, µ_c   friction of thread, collar   –   > 0 … 0.6
//	d_c      mean collar diameter         m   1.25 d when 0
//
// Source: Jindal, Machine Design, ex. 9-3 p. 267.
func NutFactorFromFriction(t Thread, f Friction) (float64, error) {
	if !(f.Thread > 0 && f.Thread < 0.6) {
		return 0, say.Refuse("thread_friction", strconv.FormatFloat(f.Thread, 'g', -1, 64), msgFriction.With(), say.Message{})
	}
	if !(f.Collar > 0 && f.Collar < 0.6) {
		return 0, say.Refuse("collar_friction", strconv.FormatFloat(f.Collar, 'g', -1, 64), msgFriction.With(), say.Message{})
	}
	collar := float64(f.CollarMean)
	d := float64(t.Diameter)
	if collar == 0 {
		collar = 1.25 * d
	}
	if !(collar > 0) || math.IsInf(collar, 0) {
		return 0, say.Refuse("collar_diameter", f.CollarMean.String(), msgPositive.With(), say.Message{})
	}
	depth := 1.2268
	if t.Unified {
		depth = 1.2990
	}
	mean := d - depth*float64(t.Pitch)/2
	lead := float64(t.Pitch) / (math.Pi * mean)
	flank := f.Thread / math.Cos(math.Pi/6)
	return mean/(2*d)*(lead+flank)/(1-flank*lead) + f.Collar*collar/(2*d), nil
}

// TurnOfNut returns the turn after snug that stretches a bolt to a preload,
// the joint taken as rigid.
//
//	θ = 2π F L/(A E P)
//
//	L   grip                 m    > 0
//	A   area of the shank    m²   > 0
//	E   modulus of the bolt  Pa   > 0
//	P   pitch                m    > 0
//
// Source: Wentzell, Machine Design, ex. 6.2 p. 121.
func TurnOfNut(preload quantity.Force, grip quantity.Length, area quantity.Area, modulus quantity.Stress, pitch quantity.Length) (quantity.Angle, error) {
	for _, v := range []struct {
		field string
		value quantity.Quantity
	}{{"preload", preload}, {"grip", grip}, {"area", area}, {"modulus", modulus}, {"pitch", pitch}} {
		if !(v.value.SI() > 0) || math.IsInf(v.value.SI(), 0) {
			return 0, say.Refuse(v.field, v.value.Show(say.Style{}), msgPositive.With(), say.Message{})
		}
	}
	stretch := float64(preload) * float64(grip) / (float64(area) * float64(modulus))
	return quantity.Angle(2 * math.Pi * stretch / float64(pitch)), nil
}

// checkGasket compares the pressure on the gasket with what it needs and
// bears, assembled and with the pressure on.
//
//	σ = n F/A,  in service σ = (n F − p A_p)/A
//
// Source: balance of forces, derived here.
func (r *Result) checkGasket() error {
	g := r.Input.Gasket
	if g == nil {
		return nil
	}
	if r.Input.Count < 2 {
		return say.Refuse("count", "", msgCount.With(), msgCountIs.With(mostBolts))
	}
	if !(g.Area > 0) || math.IsInf(float64(g.Area), 0) {
		return say.Refuse("gasket_area", g.Area.String(), msgPositive.With(), say.Message{})
	}
	total := float64(r.Input.Count) * float64(r.Preload)
	scatter := float64(r.PreloadLow) / float64(r.Preload)
	r.GasketStress = quantity.Stress(total / float64(g.Area))
	// Needed at the loose end of the scatter is what a joint must hold.
	r.GasketStressInService = quantity.Stress((total - float64(g.Pressure)*float64(g.PressureArea)) / float64(g.Area))
	low := quantity.Stress((total*scatter - float64(g.Pressure)*float64(g.PressureArea)) / float64(g.Area))
	if g.Needs > 0 && low < g.Needs {
		r.GasketAccepted = false
		r.Warnings = append(r.Warnings, warnGasketLow.With(low, g.Needs))
	}
	high := quantity.Stress(float64(r.GasketStress) * float64(r.PreloadHigh) / float64(r.Preload))
	if g.Bears > 0 && high > g.Bears {
		r.GasketAccepted = false
		r.Warnings = append(r.Warnings, warnGasketHigh.With(high, g.Bears))
	}
	return nil
}

// hotFrom is the temperature from which bolted joints lose torque seriously:
// common practice, no source.
const hotFrom quantity.Temperature = 273.15 + 90

func (r *Result) speak() {
	in := r.Input
	if in.Grade.Name[0] == 'A' {
		r.Warnings = append(r.Warnings, warnStainless.With())
	}
	if unified := in.Grade.Name[0] == 'S'; unified != in.Thread.Unified && in.Grade.Name != "B7" {
		r.Warnings = append(r.Warnings, warnMixed.With())
	}
	if in.SoftGasket {
		r.Warnings = append(r.Warnings, warnSoft.With())
	}
	if in.Temperature > hotFrom {
		r.Warnings = append(r.Warnings, warnHot.With(in.Temperature))
	}
	r.Cautions = []say.Message{cautionBolt.With(), cautionManual.With()}
}
