package calculator

import (
	"strconv"

	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// shaftCalculators are those of run-out and alignment.
func shaftCalculators() []Calculator {
	return []Calculator{runoutCalculator(), alignCalculator(), softFootCalculator()}
}

type runoutIn struct {
	Readings []runoutReading `json:"readings" help:"dial readings around the shaft, at least three directions"`
}

type runoutReading struct {
	Angle   quantity.Angle  `json:"angle" help:"direction of the reading"`
	Reading quantity.Length `json:"reading" help:"what the dial reads"`
}

type runoutOut struct {
	TIR          quantity.Length `json:"tir" help:"highest less lowest reading"`
	Eccentricity quantity.Length `json:"eccentricity" help:"how far the shaft runs off centre"`
	HighAngle    quantity.Angle  `json:"high_angle" help:"direction of the high point"`
	Mean         quantity.Length `json:"mean" help:"mean of the fitted circle, from where the dial was zeroed"`
	Residual     quantity.Length `json:"residual" help:"highest less lowest of what the fit leaves: out-of-round"`
}

var (
	cautionTurnByHand     = say.Define("calculator.caution_turn_by_hand", "Turn the shaft by hand or with a strap wrench, never with a wrench that bites: it scars seal and bearing seats and bends a thin shaft.")
	cautionCouplingLocked = say.Define("calculator.caution_coupling_locked", "Lock out and tag the drive, try that it is dead, and take the coupling guard off only then; nobody's hands are near the coupling while another person turns it.")
	cautionLift           = say.Define("calculator.caution_lift", "Lift a machine for shims with jacks or bars made for it, never with fingers under the foot; loosen and tighten bolts in turn.")
	cautionAlignManual    = say.Define("calculator.caution_alignment_manual", "Limits of the makers of coupling and machine come before these tables.")
)

func runoutCalculator() Calculator {
	return Define("runout", "How far off centre does the shaft run, and how far out of round is it?",
		`readings:
  - {angle: 0°, reading: 0 µm}
  - {angle: 45°, reading: 12 µm}
  - {angle: 90°, reading: 18 µm}
  - {angle: 135°, reading: 15 µm}
  - {angle: 180°, reading: 3 µm}
  - {angle: 225°, reading: -8 µm}
  - {angle: 270°, reading: -14 µm}
  - {angle: 315°, reading: -11 µm}
`,
		func(_ *Env, in runoutIn) (runoutOut, Notes, error) {
			readings := make([]align.Reading, len(in.Readings))
			for i, r := range in.Readings {
				readings[i] = align.Reading{Angle: r.Angle, Dial: r.Reading}
			}
			r, err := align.FitRunout(readings)
			if err != nil {
				return runoutOut{}, Notes{}, err
			}
			return runoutOut{TIR: r.TIR, Eccentricity: r.Eccentricity, HighAngle: r.HighAngle, Mean: r.Mean, Residual: r.Residual},
				Notes{Warnings: r.Warnings, Cautions: []say.Message{cautionCouplingLocked.With(), cautionTurnByHand.With()}, Working: r.Working()}, nil
		})
}

type softFootIn struct {
	NearLeft  quantity.Length `json:"near_left" help:"rise of this foot when its bolt alone is loosened"`
	NearRight quantity.Length `json:"near_right" help:"rise of this foot when its bolt alone is loosened"`
	FarLeft   quantity.Length `json:"far_left" help:"rise of this foot when its bolt alone is loosened"`
	FarRight  quantity.Length `json:"far_right" help:"rise of this foot when its bolt alone is loosened"`
	Limit     quantity.Length `json:"limit" default:"0.06 mm" help:"largest rise allowed; 0.06 mm (2 mils) is published for any speed, 0.05 mm is often asked"`
}

type softFootOut struct {
	Within  bool            `json:"within" help:"no foot rises more than the limit"`
	Rocking bool            `json:"rocking" help:"the machine rocks over two opposite feet"`
	Worst   quantity.Length `json:"worst" help:"largest rise"`
	Words   []say.Message   `json:"words" help:"what to do"`
}

var (
	nameWorstFoot = say.Define("calculator.worst_foot", "largest rise of a foot")
	nameFootRise  = say.Define("calculator.foot_rise", "rise, {foot}")
)

func softFootCalculator() Calculator {
	return Define("soft-foot", "Does the machine stand on all its feet?",
		"near_left: 0.12 mm\nnear_right: 0.02 mm\nfar_left: 0.01 mm\nfar_right: 0.10 mm\n",
		func(_ *Env, in softFootIn) (softFootOut, Notes, error) {
			names := [4]string{"near_left", "near_right", "far_left", "far_right"}
			rises := [4]quantity.Length{in.NearLeft, in.NearRight, in.FarLeft, in.FarRight}
			s, err := align.CheckSoftFoot(rises, in.Limit)
			if err != nil {
				return softFootOut{}, Notes{}, softFootField(err, names)
			}
			out := softFootOut{Within: s.Within, Rocking: s.Rocking, Words: s.Says}
			node := &working.Node{ID: "align.worst_foot", Name: nameWorstFoot.With(), Dimension: quantity.LengthDimension, Equation: "the largest of the four", Source: "suggested shaft alignment tolerances, alignment handbook of 2000: 0.06 mm at any speed"}
			for i, r := range rises {
				out.Worst = max(out.Worst, r)
				node.Inputs = append(node.Inputs, working.Leaf("align.rise."+names[i], nameFootRise.With(names[i]), "", r, "input "+names[i]))
			}
			node.Value = out.Worst.SI()
			return out, Notes{Working: node, Found: s, Cautions: []say.Message{cautionCouplingLocked.With(), cautionLift.With()}}, nil
		})
}

func softFootField(err error, names [4]string) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	for i, name := range names {
		if p.Field == "rise["+strconv.Itoa(i)+"]" {
			renamed := *p
			renamed.Field = name
			return &renamed
		}
	}
	return err
}
