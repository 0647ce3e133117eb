package bolt

import (
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameArea     = say.Define("bolt.name_area", "tensile stress area of {thread}")
	nameDiameter = say.Define("bolt.name_diameter", "nominal diameter of {thread}")
	namePitch    = say.Define("bolt.name_pitch", "pitch of {thread}")
	nameStrength = say.Define("bolt.name_strength", "proof strength of grade {grade}")
	nameProof    = say.Define("bolt.name_proof", "proof load")
	nameFraction = say.Define("bolt.name_fraction", "fraction of the proof load")
	namePreload  = say.Define("bolt.name_preload", "preload of one bolt")
	nameFactor   = say.Define("bolt.name_factor", "nut factor")
	nameTorque   = say.Define("bolt.name_torque", "full torque")
)

// Working tells how the torque follows from thread, grade and friction.
func (r Result) Working() *working.Node {
	in := r.Input
	equation := "A_s = π/4 (d − 0.9382 P)²"
	source := "ISO 898-1"
	if in.Thread.Unified {
		equation, source = "A_t = π/4 (d − 0.9743/n)²", "ASME B1.1"
	}
	diameter := working.Leaf("bolt.diameter", nameDiameter.With(in.Thread.Name), "d", in.Thread.Diameter, "input")
	area := working.Result("bolt.stress_area", nameArea.With(in.Thread.Name), "A_s", r.StressArea, equation, source,
		diameter, working.Leaf("bolt.pitch", namePitch.With(in.Thread.Name), "P", in.Thread.Pitch, "input"))
	load, loadSource := "F_p = A_s S_p", source
	if r.ProofPrinted {
		load, loadSource = "F_p as printed (A_s S_p, rounded)", "ISO 898-1, table of proof loads"
	}
	proof := working.Result("bolt.proof_load", nameProof.With(), "F_p", r.ProofLoad, load, loadSource,
		area, working.Leaf("bolt.proof_strength", nameStrength.With(in.Grade.Name), "S_p", r.ProofStrength, "").From(in.Grade.Source))
	preload := working.Result("bolt.preload", namePreload.With(), "F", r.Preload, "F = f F_p", "Shigley and Mischke, Mechanical Engineering Design",
		proof, working.Number("bolt.preload_fraction", nameFraction.With(), "f", in.PreloadFraction, "input"))
	return working.Result("bolt.torque", nameTorque.With(), "T", r.Torque, "T = K d F", "Shigley and Mischke, Mechanical Engineering Design",
		working.Number("bolt.nut_factor", nameFactor.With(), "K", r.NutFactor, "").From(r.NutFactorSource), diameter, preload)
}
