package calculator

import (
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/working"
)

// clearanceOverrides are clearances that differ from the sheet's.
type clearanceOverrides struct {
	EndClearance           *quantity.Length `json:"end_clearance" help:"end clearance in place of the sheet's; the idler's float and the crescent end move with it"`
	RotorRadialClearance   *quantity.Length `json:"rotor_radial_clearance" help:"radial gap between rotor and casing in place of the sheet's"`
	CrescentOuterClearance *quantity.Length `json:"crescent_outer_clearance" help:"gap between rotor tips and crescent in place of the sheet's"`
	CrescentInnerClearance *quantity.Length `json:"crescent_inner_clearance" help:"gap between idler tips and crescent in place of the sheet's"`
}

func (o clearanceOverrides) on(m *slip.Model) (*slip.Model, error) {
	c := m.Pump().Clearances
	if o.EndClearance != nil {
		c = c.WithEnd(*o.EndClearance)
	}
	for _, x := range []struct {
		given *quantity.Length
		into  *quantity.Length
	}{{o.RotorRadialClearance, &c.RotorRadial}, {o.CrescentOuterClearance, &c.CrescentOuter}, {o.CrescentInnerClearance, &c.CrescentInner}} {
		if x.given != nil {
			*x.into = *x.given
		}
	}
	if c == m.Pump().Clearances {
		return m, nil
	}
	return m.With(c)
}

type clearanceUIn struct {
	EndClearance           quantity.Length `json:"end_clearance" default:"0" help:"standard uncertainty of the end clearance"`
	RotorRadialClearance   quantity.Length `json:"rotor_radial_clearance" default:"0" help:"standard uncertainty of the rotor's radial gap"`
	CrescentOuterClearance quantity.Length `json:"crescent_outer_clearance" default:"0" help:"standard uncertainty of the gap between rotor tips and crescent"`
	CrescentInnerClearance quantity.Length `json:"crescent_inner_clearance" default:"0" help:"standard uncertainty of the gap between idler tips and crescent"`
	RotorPlaced            bool            `json:"rotor_placed" default:"false" help:"true when the place of the rotor in its bore was measured"`
}

func (u *clearanceUIn) value() slip.ClearanceU {
	if u == nil {
		return slip.ClearanceU{}
	}
	return slip.ClearanceU{
		End: u.EndClearance, RotorRadial: u.RotorRadialClearance, CrescentOuter: u.CrescentOuterClearance,
		CrescentInner: u.CrescentInnerClearance, RotorKnown: u.RotorPlaced,
	}
}

type factorsIn struct {
	Displacement float64         `json:"displacement" default:"1" help:"displacement factor"`
	Slip         float64         `json:"slip" default:"1" help:"slip factor"`
	Drag         float64         `json:"drag" default:"1" help:"drag factor"`
	EndBias      quantity.Length `json:"end_bias" default:"0" help:"added to end clearance, idler float and crescent end"`
}

func (f *factorsIn) value() slip.Factors {
	if f == nil {
		return slip.DefaultFactors()
	}
	return slip.Factors{Displacement: f.Displacement, Slip: f.Slip, Drag: f.Drag, EndBias: f.EndBias}
}

type operatingPoint struct {
	Speed    quantity.RotationalSpeed    `json:"speed" help:"speed of the rotor"`
	Pressure quantity.PressureDifference `json:"pressure" help:"discharge less suction pressure"`
}

type performanceIn struct {
	Sheet       string               `json:"sheet" help:"name of a demo sheet, or file of a model sheet"`
	Liquid      LiquidInput          `json:"liquid" help:"name of a liquid, a file, or its own fields"`
	Temperature quantity.Temperature `json:"temperature" help:"temperature of the liquid in the pump"`
	Points      []operatingPoint     `json:"points" help:"operating points"`
	clearanceOverrides
	ClearanceU    *clearanceUIn              `json:"clearance_u" help:"standard uncertainty of the clearances"`
	Factors       *factorsIn                 `json:"factors" help:"factors of a calibration"`
	InletPressure *quantity.AbsolutePressure `json:"inlet_pressure" pressure:"absolute" help:"absolute pressure at the pump's inlet, to see whether the tooth spaces fill"`
}

type powerByPart struct {
	Hydraulic    quantity.Power `json:"hydraulic" help:"delivery and slip: pressure times theoretical flow less drag flow"`
	Gaps         quantity.Power `json:"gaps" help:"friction of the gaps"`
	Pin          quantity.Power `json:"pin" help:"friction of the idler on its pin"`
	ShaftBushing quantity.Power `json:"shaft_bushing" help:"friction of the bushing on the shaft"`
	Mesh         quantity.Power `json:"mesh" help:"friction of the mesh"`
	Seal         quantity.Power `json:"seal" help:"friction of the shaft seal"`
	Filling      quantity.Power `json:"filling" help:"filling and emptying of the tooth spaces"`
}

type performancePoint struct {
	operatingPoint
	TheoreticalFlow      quantity.Flow                      `json:"theoretical_flow" help:"displacement times speed"`
	Flow                 quantity.Estimate[quantity.Flow]   `json:"flow" help:"delivered flow; its uncertainty counts clearances, place of the rotor and the model"`
	VolumetricEfficiency float64                            `json:"volumetric_efficiency" help:"delivered over theoretical flow"`
	Slip                 quantity.Flow                      `json:"slip" help:"theoretical less delivered flow"`
	SlipByPath           slip.Paths                         `json:"slip_by_path" help:"net leak of each group of paths; negative: the walls drag more to the discharge than the pressure drives back"`
	SlipWithoutPressure  quantity.Flow                      `json:"slip_without_pressure" help:"slip at no pressure: what the walls drag"`
	Power                *quantity.Estimate[quantity.Power] `json:"power" help:"power at the shaft"`
	Torque               *quantity.Torque                   `json:"torque" help:"torque at the shaft"`
	PowerByPart          *powerByPart                       `json:"power_by_part" help:"parts of the power; they add to it"`
	MechanicalEfficiency *float64                           `json:"mechanical_efficiency" help:"hydraulic part over power"`
	OverallEfficiency    *float64                           `json:"overall_efficiency" help:"pressure times delivered flow over power"`
	FillingPressureLoss  *quantity.PressureDifference       `json:"filling_pressure_loss" help:"pressure lost on the way into the tooth spaces"`
	SpacesFill           *bool                              `json:"spaces_fill" help:"the inlet pressure fills the tooth spaces (a lower bound: port and teeth only)"`
	Shares               []uncertaintyShare                 `json:"uncertainty" help:"what the uncertainty of the flow comes from"`
}

type uncertaintyShare struct {
	Name say.Message   `json:"name" help:"what is not known exactly"`
	Flow quantity.Flow `json:"flow" help:"standard uncertainty of the flow from it"`
}

type performanceOut struct {
	Displacement quantity.Displacement `json:"displacement" help:"volume moved by one turn of the rotor, by the teeth"`
	Points       []performancePoint    `json:"points" help:"the pump at each operating point"`
}

var (
	msgNoPoints       = say.Define("calculator.performance_no_points", "at least one operating point is needed")
	msgPointsAccepted = say.Define("calculator.performance_points", "a list of points, each with speed and pressure")
	msgVaporUnknown   = say.Define("calculator.performance_vapor", "whether the tooth spaces fill is not known, because the vapour pressure of the liquid is not")
	msgFactorsGiven   = say.Define("calculator.performance_factors", "the factors given are taken as a calibration of this pump model; their own uncertainty is not counted")
	namePerformance   = say.Define("calculator.performance_name", "flow and power at each operating point")
	msgPumpInvented   = say.Define("calculator.performance_invented", "{sheet} is an invented pump of the demo")
)

func performanceCalculator() Calculator {
	return Define("performance", "What does the pump deliver, where does it slip, and what power does it take?",
		`sheet: demo-pump-m
liquid: demo-light-oil
temperature: 40 °C
end_clearance: 0.13 mm
points:
  - {speed: 500 rpm, pressure: 10 bar}
  - {speed: 500 rpm, pressure: 5 bar}
`, runPerformance)
}

// pumpModel makes the pump of a sheet ready and notes what was assumed.
func pumpModel(env *Env, name string, notes *Notes) (*slip.Model, error) {
	s, remarks, err := readSheet(env, name)
	if err != nil {
		return nil, err
	}
	notes.Warn(remarks...)
	pump, said, err := s.Pump()
	if err != nil {
		return nil, say.In("sheet", err)
	}
	notes.Warn(said...)
	if s.Invented {
		notes.Warn(msgPumpInvented.With(s.Name))
	}
	m, err := slip.Prepare(pump)
	return m, say.In("sheet", err)
}

func runPerformance(env *Env, in performanceIn) (performanceOut, Notes, error) {
	var notes Notes
	fail := func(err error) (performanceOut, Notes, error) { return performanceOut{}, Notes{}, err }
	if len(in.Points) == 0 {
		return fail(say.Refuse("points", "", msgNoPoints.With(), msgPointsAccepted.With()))
	}
	m, err := pumpModel(env, in.Sheet, &notes)
	if err != nil {
		return fail(err)
	}
	if m, err = in.clearanceOverrides.on(m); err != nil {
		return fail(err)
	}
	kind, err := in.Liquid.read(env)
	if err != nil {
		return fail(err)
	}
	l, state, err := slipLiquid(kind, in.Temperature, &notes)
	if err != nil {
		return fail(err)
	}
	if in.Factors == nil {
		notes.Warn(slip.NoBenchPoint.With())
	} else {
		notes.Warn(msgFactorsGiven.With())
	}
	k := in.Factors.value()
	out := performanceOut{Displacement: m.Pump().Teeth.Displacement}
	root := &working.Node{ID: "performance", Name: namePerformance.With(), Text: strconv.Itoa(len(in.Points)), Equation: "each point by the leak paths", Source: "derived here"}
	for i, pt := range in.Points {
		p, err := m.Band(l, slip.Point{Speed: pt.Speed, Pressure: pt.Pressure}, k, in.ClearanceU.value())
		if err != nil {
			return fail(pointField(err, "points", i))
		}
		row := performanceRow(pt, p, &notes)
		if in.InletPressure != nil {
			if state.VaporPressure == nil {
				notes.warnOnce(msgVaporUnknown.With())
			} else if fills, _, known := p.Result.Fills(*in.InletPressure, *state.VaporPressure); known {
				row.SpacesFill = &fills
				if !fills {
					notes.Warn(p.Result.SuctionGate(*in.InletPressure, *state.VaporPressure))
					notes.OutsideRange = true
				}
			}
		}
		out.Points = append(out.Points, row)
		root.Inputs = append(root.Inputs, p.Result.Working("sheet:"+in.Sheet))
	}
	notes.Working = root
	return out, notes, nil
}

// pointField puts the place of a point before fields that belong to it.
func pointField(err error, list string, i int) error {
	if p := say.AsProblem(err); p != nil && (p.Field == "speed" || p.Field == "pressure") {
		return say.In(list+"["+strconv.Itoa(i)+"]", err)
	}
	return err
}

func performanceRow(pt operatingPoint, p *slip.Prediction, notes *Notes) performancePoint {
	r := &p.Result
	row := performancePoint{
		operatingPoint: pt, TheoreticalFlow: r.TheoreticalFlow, Flow: p.Flow, VolumetricEfficiency: r.VolumetricEfficiency,
		Slip: r.Slip, SlipByPath: r.Paths, SlipWithoutPressure: r.SlipAtZero, FillingPressureLoss: r.Filling,
	}
	for _, s := range p.Shares {
		row.Shares = append(row.Shares, uncertaintyShare{Name: s.Name, Flow: s.Flow})
	}
	for _, w := range r.Warnings {
		notes.warnOnce(w)
	}
	notes.OutsideRange = notes.OutsideRange || r.Outside
	if r.Power == nil {
		notes.warnOnce(r.Unknown)
		return row
	}
	q := r.Power
	row.Power, row.Torque = p.Power, &q.Torque
	row.MechanicalEfficiency, row.OverallEfficiency = &q.Mechanical, &q.Overall
	row.PowerByPart = &powerByPart{
		Hydraulic: q.Hydraulic, Gaps: q.Gaps, Pin: q.Pin, ShaftBushing: q.ShaftBushing, Mesh: q.Mesh, Seal: q.Seal, Filling: q.Filling,
	}
	return row
}
