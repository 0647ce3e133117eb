package calculator

import (
	"fmt"
	"strconv"
	"strings"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
)

type measuredPoint struct {
	operatingPoint
	Temperature quantity.Temperature `json:"temperature" help:"temperature of the liquid in the pump"`
	Flow        quantity.Flow        `json:"flow" help:"measured flow"`
	FlowU       *quantity.Flow       `json:"flow_u" help:"standard uncertainty of the flow (1 % when missing)"`
	Power       *quantity.Power      `json:"power" help:"measured power at the shaft"`
	PowerU      *quantity.Power      `json:"power_u" help:"standard uncertainty of the power (2 % when missing)"`
}

type predictPoint struct {
	operatingPoint
	Temperature quantity.Temperature `json:"temperature" help:"temperature of the liquid in the pump"`
	clearanceOverrides
	ClearanceU *clearanceUIn `json:"clearance_u" help:"standard uncertainty of the clearances"`
}

type calibrateIn struct {
	Sheet         *string         `json:"sheet" help:"name of a demo sheet, or file of a model sheet; not needed for the simple model"`
	Liquid        LiquidInput     `json:"liquid" help:"name of a liquid, a file, or its own fields"`
	Measured      []measuredPoint `json:"measured" help:"bench points"`
	Fit           []string        `json:"fit" optional:"yes" help:"what to fit: slip, drag, displacement, end_bias (slip, and drag when power was measured)"`
	Model         string          `json:"model" default:"paths" oneof:"paths|simple" help:"paths: all leak paths; simple: two numbers, no tooth data"`
	PredictPoints []predictPoint  `json:"predict_points" optional:"yes" help:"points to predict, with the clearances of the rebuilt pump where they differ from the sheet's"`
	clearanceOverrides
}

type factorsOut struct {
	Displacement float64         `json:"displacement" help:"displacement factor"`
	Slip         float64         `json:"slip" help:"slip factor"`
	Drag         float64         `json:"drag" help:"drag factor"`
	EndBias      quantity.Length `json:"end_bias" help:"added to end clearance, idler float and crescent end"`
}

type factorsUOut struct {
	Displacement *float64         `json:"displacement" help:"standard uncertainty of the displacement factor"`
	Slip         *float64         `json:"slip" help:"standard uncertainty of the logarithm of the slip factor"`
	Drag         *float64         `json:"drag" help:"standard uncertainty of the logarithm of the drag factor"`
	EndBias      *quantity.Length `json:"end_bias" help:"standard uncertainty of the end bias"`
}

type fittedPoint struct {
	Flow     quantity.Flow   `json:"flow" help:"flow of the fitted model"`
	FlowOff  float64         `json:"flow_off" help:"predicted less measured flow, in standard uncertainties"`
	Power    *quantity.Power `json:"power" help:"power of the fitted model"`
	PowerOff *float64        `json:"power_off" help:"predicted less measured power, in standard uncertainties"`
}

type predictedPoint struct {
	operatingPoint
	Flow                 quantity.Estimate[quantity.Flow]   `json:"flow" help:"predicted flow with the uncertainty of the fit alone"`
	FlowWithModel        quantity.Estimate[quantity.Flow]   `json:"flow_with_model" help:"the same with every part of the uncertainty: fit, model, clearances, place of the rotor, viscosity"`
	VolumetricEfficiency *float64                           `json:"volumetric_efficiency" help:"delivered over theoretical flow"`
	Slip                 *quantity.Flow                     `json:"slip" help:"theoretical less delivered flow"`
	Power                *quantity.Estimate[quantity.Power] `json:"power" help:"predicted power with the uncertainty of the fit alone"`
	PowerWithModel       *quantity.Estimate[quantity.Power] `json:"power_with_model" help:"the same with every part of the uncertainty"`
}

type calibrateOut struct {
	Factors      *factorsOut                               `json:"factors" help:"factors that the points support"`
	FactorsU     *factorsUOut                              `json:"factors_u" help:"their standard uncertainties, for those fitted"`
	Correlation  [][]float64                               `json:"correlation" optional:"yes" help:"correlation of the fitted factors, in the order of fit"`
	Displacement *quantity.Estimate[quantity.Displacement] `json:"displacement" help:"simple model: apparent displacement, the drag without pressure in it"`
	SlipConstant *quantity.Estimate[quantity.Volume]       `json:"slip_constant" help:"simple model: slip times viscosity over pressure"`
	Cost         float64                                   `json:"cost" help:"misfit: sum of squares, in standard uncertainties"`
	CostLimit    *float64                                  `json:"cost_limit" help:"the most that would be seen in 99 of 100 cases"`
	Accepted     bool                                      `json:"accepted" help:"the model can follow the points; otherwise nothing is predicted"`
	Points       []fittedPoint                             `json:"points" help:"what the fitted model gives at the bench points"`
	Predict      []predictedPoint                          `json:"predict" help:"predictions, in the order of predict_points"`
}

var (
	msgSheetWanted    = say.Define("calculator.calibrate_sheet", "the model of paths needs a sheet")
	msgSheetOrSimple  = say.Define("calculator.calibrate_sheet_accepted", "name a sheet, or take model: simple")
	msgFlowUAssumed   = say.Define("calculator.calibrate_flow_u", "no uncertainty was given for some flows; 1 % of each was taken")
	msgPowerUAssumed  = say.Define("calculator.calibrate_power_u", "no uncertainty was given for some powers; 2 % of each was taken")
	msgPredictWarning = say.Define("calculator.calibrate_predict", "a prediction holds for the pump model and liquids like those tested; u of flow and power is the fit's only, the fields “with model” count every part")
)

// Uncertainty taken for a bench value that came without one. A convention of
// this program, no source.
const (
	assumedFlowU  = 0.01
	assumedPowerU = 0.02
)

func calibrateCalculator() Calculator {
	return Define("calibrate", "What do bench points teach about this pump, and what will it deliver after the rebuild?",
		`sheet: demo-pump-m
liquid: demo-light-oil
end_clearance: 0.25 mm
rotor_radial_clearance: 0.20 mm
measured:
  - {speed: 500 rpm, pressure: 2 bar, temperature: 40 °C, flow: 162.130 L/min, flow_u: 0.8 L/min, power: 675.06 W, power_u: 15 W}
  - {speed: 500 rpm, pressure: 5 bar, temperature: 40 °C, flow: 154.436 L/min, flow_u: 0.8 L/min, power: 1529.37 W, power_u: 15 W}
  - {speed: 500 rpm, pressure: 8 bar, temperature: 40 °C, flow: 148.688 L/min, flow_u: 0.8 L/min, power: 2359.67 W, power_u: 15 W}
  - {speed: 300 rpm, pressure: 5 bar, temperature: 40 °C, flow: 88.355 L/min, flow_u: 0.8 L/min, power: 891.34 W, power_u: 15 W}
predict_points:
  - {speed: 500 rpm, pressure: 8 bar, temperature: 40 °C, end_clearance: 0.13 mm}
`, runCalibrate)
}

func runCalibrate(env *Env, in calibrateIn) (calibrateOut, Notes, error) {
	var notes Notes
	kind, err := in.Liquid.read(env)
	if err != nil {
		return calibrateOut{}, Notes{}, err
	}
	points, err := in.measurements(kind, &notes)
	if err != nil {
		return calibrateOut{}, Notes{}, err
	}
	var out calibrateOut
	if in.Model == "simple" {
		out, err = in.simple(kind, points, &notes)
	} else {
		out, err = in.paths(env, kind, points, &notes)
	}
	if err != nil {
		return calibrateOut{}, Notes{}, err
	}
	return out, notes, nil
}

func (in *calibrateIn) measurements(kind *liquid.Liquid, notes *Notes) ([]slip.Measurement, error) {
	points := make([]slip.Measurement, len(in.Measured))
	for i, p := range in.Measured {
		l, _, err := slipLiquid(kind, p.Temperature, notes)
		if err != nil {
			return nil, say.In("measured["+strconv.Itoa(i)+"]", err)
		}
		flow := quantity.Within(p.Flow, assumedFlowU*p.Flow.SI())
		if p.FlowU != nil {
			flow.U = p.FlowU.SI()
		} else {
			notes.warnOnce(msgFlowUAssumed.With())
		}
		m := slip.Measurement{Point: slip.Point{Speed: p.Speed, Pressure: p.Pressure}, Liquid: l, Flow: flow}
		if p.Power != nil {
			power := quantity.Within(*p.Power, assumedPowerU*p.Power.SI())
			if p.PowerU != nil {
				power.U = p.PowerU.SI()
			} else {
				notes.warnOnce(msgPowerUAssumed.With())
			}
			m.Power = &power
		}
		points[i] = m
	}
	return points, nil
}

func (in *calibrateIn) factors() []slip.Factor {
	var fit []slip.Factor
	for _, f := range in.Fit {
		fit = append(fit, slip.Factor(strings.ToLower(strings.TrimSpace(f))))
	}
	if in.Fit != nil {
		return fit
	}
	fit = []slip.Factor{slip.FitSlip}
	for _, p := range in.Measured {
		if p.Power != nil {
			return append(fit, slip.FitDrag)
		}
	}
	return fit
}

func (in *calibrateIn) paths(env *Env, kind *liquid.Liquid, points []slip.Measurement, notes *Notes) (calibrateOut, error) {
	if in.Sheet == nil {
		return calibrateOut{}, say.Refuse("sheet", "", msgSheetWanted.With(), msgSheetOrSimple.With())
	}
	asNew, err := pumpModel(env, *in.Sheet, notes)
	if err != nil {
		return calibrateOut{}, err
	}
	bench, err := in.clearanceOverrides.on(asNew)
	if err != nil {
		return calibrateOut{}, err
	}
	c, err := bench.Calibrate(points, in.factors())
	if err != nil {
		return calibrateOut{}, err
	}
	out := calibrateOut{
		Factors:  &factorsOut{Displacement: c.Factors.Displacement, Slip: c.Factors.Slip, Drag: c.Factors.Drag, EndBias: c.Factors.EndBias},
		FactorsU: &factorsUOut{}, Correlation: c.Correlation, Cost: c.Cost, CostLimit: &c.Limit, Accepted: c.Accepted, Predict: []predictedPoint{},
	}
	for i, f := range c.Fit {
		u := c.U[i]
		switch f {
		case slip.FitSlip:
			out.FactorsU.Slip = &u
		case slip.FitDrag:
			out.FactorsU.Drag = &u
		case slip.FitDisplacement:
			out.FactorsU.Displacement = &u
		case slip.FitEndBias:
			length := quantity.Length(u)
			out.FactorsU.EndBias = &length
		}
	}
	for _, f := range c.Fitted {
		row := fittedPoint{Flow: f.Flow, FlowOff: f.FlowOff, Power: f.Power}
		if f.Power != nil {
			off := f.PowerOff
			row.PowerOff = &off
		}
		out.Points = append(out.Points, row)
	}
	notes.Warn(c.Statements...)
	if c.Accepted {
		notes.Warn(slip.Calibrated.With(len(points)))
	}
	notes.Working = c.Working()
	if !c.Accepted || len(in.PredictPoints) == 0 {
		return out, nil
	}
	notes.Warn(msgPredictWarning.With())
	for i, p := range in.PredictPoints {
		row, err := p.predict(c, asNew, kind, notes)
		if err != nil {
			return calibrateOut{}, say.In(fmt.Sprintf("predict_points[%d]", i), err)
		}
		out.Predict = append(out.Predict, row)
	}
	return out, nil
}

func (p *predictPoint) predict(c *slip.Calibration, asNew *slip.Model, kind *liquid.Liquid, notes *Notes) (predictedPoint, error) {
	m, err := p.clearanceOverrides.on(asNew)
	if err != nil {
		return predictedPoint{}, err
	}
	l, _, err := slipLiquid(kind, p.Temperature, notes)
	if err != nil {
		return predictedPoint{}, err
	}
	pred, err := c.Predict(m, l, slip.Point{Speed: p.Speed, Pressure: p.Pressure}, p.ClearanceU.value())
	if err != nil {
		return predictedPoint{}, err
	}
	r := &pred.Result
	for _, w := range r.Warnings {
		notes.warnOnce(w)
	}
	notes.OutsideRange = notes.OutsideRange || r.Outside
	row := predictedPoint{
		operatingPoint: p.operatingPoint, Flow: quantity.Within(r.Flow, pred.FitU.SI()), FlowWithModel: pred.Flow,
		VolumetricEfficiency: &r.VolumetricEfficiency, Slip: &r.Slip, PowerWithModel: pred.Power,
	}
	if pred.Power != nil {
		power := quantity.Within(r.Power.Total, pred.FitUP.SI())
		row.Power = &power
	} else {
		notes.warnOnce(r.Unknown)
	}
	return row, nil
}

func (in *calibrateIn) simple(kind *liquid.Liquid, points []slip.Measurement, notes *Notes) (calibrateOut, error) {
	s, err := slip.FitSimple(points)
	if err != nil {
		return calibrateOut{}, err
	}
	out := calibrateOut{Displacement: &s.Displacement, SlipConstant: &s.SlipConstant, Cost: s.Cost, Accepted: s.Accepted, Predict: []predictedPoint{}}
	if s.Limit > 0 {
		out.CostLimit = &s.Limit
	}
	for i, off := range s.Off {
		out.Points = append(out.Points, fittedPoint{Flow: s.Flow(points[i].Point, points[i].Liquid), FlowOff: off})
	}
	notes.Warn(s.Statements()...)
	notes.Working = s.Working()
	if !s.Accepted {
		return out, nil
	}
	for i, p := range in.PredictPoints {
		l, _, err := slipLiquid(kind, p.Temperature, notes)
		if err != nil {
			return calibrateOut{}, say.In(fmt.Sprintf("predict_points[%d]", i), err)
		}
		flow, whole, err := s.Predict(slip.Point{Speed: p.Speed, Pressure: p.Pressure}, l)
		if err != nil {
			return calibrateOut{}, say.In(fmt.Sprintf("predict_points[%d]", i), err)
		}
		out.Predict = append(out.Predict, predictedPoint{operatingPoint: p.operatingPoint, Flow: flow, FlowWithModel: whole})
	}
	return out, nil
}
