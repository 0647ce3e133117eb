package assess

import (
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/machine"
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
	if pump, _, err := in.Sheet.Pump(); err == nil && in.Liquid != nil && len(in.State.Running) > 0 {
		in.Expect = &expectation{a: a, pump: pump}
	}
	return assembly.InService(in, a.Assembly)
}

// expectation is the model of the pump as left.
type expectation struct {
	a    *Assessment
	pump slip.Pump
}

// Expect predicts flow and power.
func (e *expectation) Expect(at assembly.RunPoint) (assembly.Expected, error) {
	a, in := e.a, e.a.Inputs
	set := machine.Of(machine.Inputs{Sheet: in.Sheet, Readings: a.Readings, Replaced: a.Parts.Replaced(), Expected: a.Clearances.Expected()}, machine.Left)
	ambient := machine.Bench
	if s := in.Service; s != nil && s.Ambient != nil {
		ambient = s.Ambient.Value
	}
	warm, err := machine.WarmTo(in.Sheet, machine.BenchOf(in.Shop), ambient, at.At)
	if err != nil {
		return assembly.Expected{}, err
	}
	m, err := machine.Assemble(e.pump, set, warm)
	if err != nil {
		return assembly.Expected{}, err
	}
	if !m.Contact.IsZero() {
		return assembly.Expected{}, say.Refuse("clearances", "", m.Contact, say.Message{})
	}
	l, _, err := machine.LiquidAt(in.Liquid, at.At)
	if err != nil {
		return assembly.Expected{}, err
	}
	p, err := m.PredictBy(machine.FitOf(a.Proof().Calibration, in.Shop, in.Sheet.Name), machine.AsRead(l, at.Viscosity), slip.Point{Speed: at.Speed, Pressure: at.Pressure})
	if err != nil {
		return assembly.Expected{}, err
	}
	return assembly.Expected{Flow: &p.Flow, Power: p.Power}, nil
}
