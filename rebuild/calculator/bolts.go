package calculator

import (
	"strconv"

	"pumpwright/calc/bolt"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

type gasketLoadIn struct {
	Area         quantity.Area                `json:"area" help:"area of the gasket"`
	Pressure     *quantity.PressureDifference `json:"pressure" help:"pressure that opens the joint (gauge)"`
	PressureArea *quantity.Area               `json:"pressure_area" help:"area on which it acts"`
	Needs        *quantity.Stress             `json:"needs" help:"stress the gasket needs to seal"`
	Bears        *quantity.Stress             `json:"bears" help:"stress at which it is crushed"`
}

type boltTorqueIn struct {
	Thread             string                `json:"thread" help:"M12, M16x1.5, 1/2-13 UNC, #10-24"`
	Grade              string                `json:"grade" help:"8.8, 10.9, SAE 5, SAE 8 and others, as the head is marked"`
	PreloadFraction    float64               `json:"preload_fraction" default:"0.75" help:"preload as a fraction of the proof load"`
	NutFactor          *float64              `json:"nut_factor" help:"K of torque = K × diameter × preload; without it the surface gives it"`
	Surface            string                `json:"surface" default:"dry" oneof:"dry|oiled|plated|anti-seize" help:"state of thread and bearing face"`
	ThreadFriction     *float64              `json:"thread_friction" help:"friction in the thread, for the long form"`
	CollarFriction     *float64              `json:"collar_friction" help:"friction under the head, for the long form"`
	CollarDiameter     *quantity.Length      `json:"collar_diameter" help:"mean diameter under the head (1.25 times the thread when missing)"`
	Count              *int                  `json:"count" help:"bolts on the circle; without it there is no sequence"`
	Passes             PassesInput           `json:"passes" default:"3" help:"number of passes (3 = 0.30, 0.60, 1.00), or their fractions; then once round at full torque"`
	Gasket             *gasketLoadIn         `json:"gasket" help:"gasket between the parts, to check its load"`
	SoftGasket         bool                  `json:"soft_gasket" default:"false" help:"paper, fibre, PTFE: a gasket that sets"`
	ServiceTemperature *quantity.Temperature `json:"service_temperature" help:"temperature of the joint in service"`
}

type boltTorqueOut struct {
	StressArea      quantity.Area     `json:"stress_area" help:"tensile stress area"`
	ProofLoad       quantity.Force    `json:"proof_load" help:"proof load of one bolt"`
	Preload         quantity.Force    `json:"preload" help:"preload of one bolt"`
	PreloadLow      quantity.Force    `json:"preload_low" help:"low end of what a torque wrench really sets"`
	PreloadHigh     quantity.Force    `json:"preload_high" help:"high end of what a torque wrench really sets"`
	NutFactor       float64           `json:"nut_factor" help:"nut factor used"`
	Torque          quantity.Torque   `json:"torque" help:"full torque"`
	Passes          []quantity.Torque `json:"passes" help:"torque of each pass, crosswise"`
	FinalRound      quantity.Torque   `json:"final_round" help:"torque of the last round, bolt by bolt in order, until none moves"`
	Sequence        []int             `json:"sequence" optional:"yes" help:"order of the bolts, numbered round the circle"`
	GasketStress    *quantity.Stress  `json:"gasket_stress" help:"pressure on the gasket as assembled"`
	GasketStressHot *quantity.Stress  `json:"gasket_stress_in_service" help:"pressure on the gasket with the pressure on"`
	Accepted        *bool             `json:"accepted" help:"whether the gasket is pressed enough and not too hard; absent without a gasket"`
	Steps           []say.Message     `json:"steps" help:"what to do, in words"`
}

var (
	msgBothFrictions = say.Define("calculator.both_frictions", "the long form needs thread_friction and collar_friction")
	msgStepSnug      = say.Define("calculator.step_snug", "snug all bolts by hand, the gap even all round")
	msgStepPass      = say.Define("calculator.step_pass", "pass {number:count}: {torque:torque} crosswise")
	msgStepOrder     = say.Define("calculator.step_order", "pass {number:count}: {torque:torque} in the order {order}")
	msgStepRound     = say.Define("calculator.step_round", "once round at {torque:torque}, bolt by bolt, until none moves; mark each")
)

func boltTorqueCalculator() Calculator {
	return Define("bolt-torque", "How tight are the bolts, in which passes and in which order?",
		"thread: M12\ngrade: 8.8\npreload_fraction: 0.75\nnut_factor: 0.20\ncount: 8\npasses: 3\n",
		func(_ *Env, in boltTorqueIn) (boltTorqueOut, Notes, error) {
			input, err := boltInput(in)
			if err != nil {
				return boltTorqueOut{}, Notes{}, err
			}
			r, err := bolt.Tighten(input)
			if err != nil {
				p := say.AsProblem(err)
				if in.Gasket != nil && p != nil && p.Field == "gasket_area" {
					err = say.Refuse("gasket.area", p.Read, p.Message, p.Accepted)
				}
				return boltTorqueOut{}, Notes{}, err
			}
			out := boltTorqueOut{
				StressArea: r.StressArea, ProofLoad: r.ProofLoad, Preload: r.Preload, PreloadLow: r.PreloadLow, PreloadHigh: r.PreloadHigh,
				NutFactor: r.NutFactor, Torque: r.Torque, Passes: r.PassTorques, FinalRound: r.Torque, Sequence: r.Sequence,
			}
			if in.Gasket != nil {
				accepted := r.GasketAccepted
				out.GasketStress, out.GasketStressHot, out.Accepted = &r.GasketStress, &r.GasketStressInService, &accepted
			}
			out.Steps = boltSteps(r)
			return out, Notes{Warnings: r.Warnings, Cautions: r.Cautions, Working: r.Working(), Found: r}, nil
		})
}

// boltSteps words the passes; the order is written out once, at the first.
func boltSteps(r bolt.Result) []say.Message {
	steps := []say.Message{msgStepSnug.With()}
	order := make([]string, len(r.Sequence))
	for i, n := range r.Sequence {
		order[i] = strconv.Itoa(n)
	}
	for i, torque := range r.PassTorques {
		if i == 0 && len(order) > 0 {
			steps = append(steps, msgStepOrder.With(i+1, torque, order))
			continue
		}
		steps = append(steps, msgStepPass.With(i+1, torque))
	}
	return append(steps, msgStepRound.With(r.Torque))
}

func boltInput(in boltTorqueIn) (bolt.Input, error) {
	thread, err := bolt.ParseThread(in.Thread)
	if err != nil {
		return bolt.Input{}, err
	}
	grade, err := bolt.FindGrade(in.Grade)
	if err != nil {
		return bolt.Input{}, err
	}
	input := bolt.Input{Thread: thread, Grade: grade, PreloadFraction: in.PreloadFraction, Surface: bolt.Surface(in.Surface), Passes: in.Passes.Fractions, SoftGasket: in.SoftGasket}
	if in.Passes.Fractions == nil {
		if input.Passes, err = bolt.Passes(in.Passes.Count); err != nil {
			return bolt.Input{}, err
		}
	}
	if in.NutFactor != nil {
		if *in.NutFactor == 0 {
			return bolt.Input{}, say.Refuse("nut_factor", "0", msgAboveZero.With(), say.Message{})
		}
		input.NutFactor = *in.NutFactor
	}
	switch {
	case in.ThreadFriction != nil && in.CollarFriction != nil:
		input.Friction = &bolt.Friction{Thread: *in.ThreadFriction, Collar: *in.CollarFriction}
		if in.CollarDiameter != nil {
			input.Friction.CollarMean = *in.CollarDiameter
		}
	case in.ThreadFriction != nil:
		return bolt.Input{}, say.Refuse("collar_friction", "", msgBothFrictions.With(), say.Message{})
	case in.CollarFriction != nil:
		return bolt.Input{}, say.Refuse("thread_friction", "", msgBothFrictions.With(), say.Message{})
	}
	if in.Count != nil {
		if input.Count = *in.Count; input.Count < 2 {
			_, err := bolt.Sequence(input.Count)
			return bolt.Input{}, err
		}
	}
	if in.ServiceTemperature != nil {
		input.Temperature = *in.ServiceTemperature
	}
	if g := in.Gasket; g != nil {
		input.Gasket = &bolt.Gasket{Area: g.Area}
		set(&input.Gasket.Pressure, g.Pressure)
		set(&input.Gasket.PressureArea, g.PressureArea)
		set(&input.Gasket.Needs, g.Needs)
		set(&input.Gasket.Bears, g.Bears)
	}
	return input, nil
}

// set copies an optional value when there is one.
func set[T any](to, from *T) {
	if from != nil {
		*to = *from
	}
}
