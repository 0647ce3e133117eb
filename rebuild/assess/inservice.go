package assess

import (
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/proof"
)

func (a *Assessment) assemblyInputs() assembly.Inputs {
	in := a.Inputs
	return assembly.Inputs{
		Sheet: in.Sheet, Service: in.Service, Liquid: in.Liquid, State: in.Job, Readings: a.Readings, Replaced: a.Parts.Replaced(),
		Procedure: in.Procedure, Shop: in.Shop, AsOf: in.AsOf, Sides: a.Sides,
	}
}

// InService sets the readings of the running pump beside what the model of the
// pump as left expects. It costs a prediction for each reading, so the chapter
// itself goes without.
func (a *Assessment) InService() assembly.Service {
	in := a.assemblyInputs()
	if _, _, err := in.Sheet.Pump(); err == nil && in.Liquid != nil && len(in.State.Running) > 0 {
		in.Expect = expectation{a}
	}
	return assembly.InService(in, a.Assembly)
}

// expectation is the model of the pump: as left, or as found for a reading
// from before.
type expectation struct{ a *Assessment }

// Expect predicts flow and power.
func (e expectation) Expect(at assembly.RunPoint) (assembly.Expected, error) {
	in, chapter := e.a.Inputs, e.a.Proof()
	state := (&proof.Inputs{LeftFrom: leftFrom(in.Job)}).StateOf(at.Seq)
	p, err := chapter.InService(state, proof.RunAt{Point: slip.Point{Speed: at.Speed, Pressure: at.Pressure}, Temperature: at.At, Viscosity: at.Viscosity},
		machine.FitOf(chapter.Calibration, in.Shop, in.Sheet.Name))
	if err != nil {
		return assembly.Expected{}, err
	}
	return assembly.Expected{Flow: &p.Flow, Power: p.Power}, nil
}
