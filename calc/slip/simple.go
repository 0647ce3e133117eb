package slip

import (
	"math"
	"strconv"

	"gonum.org/v1/gonum/stat/distuv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Simple is the model of two numbers, for a pump whose teeth are not known:
//
//	Q = D·N − c·Δp/µ
//
// The apparent D contains the drag at no pressure. It knows no paths, so it
// states no share by part, and it carries to another viscosity as an estimate
// only.
type Simple struct {
	Displacement quantity.Estimate[quantity.Displacement]
	SlipConstant quantity.Estimate[quantity.Volume] // c, m³
	Correlation  float64
	Cost         float64 // Σ((predicted − measured)/u)²
	Limit        float64 // χ²(0.99) of the values beyond two; 0 when there are none
	Accepted     bool
	Off          []float64 // (predicted − measured)/u of each point
	Measured     []Measurement
}

var (
	// SimpleOnly goes with every result of the two-number model.
	SimpleOnly  = say.Define("slip.simple_only", "two-number model: the displacement contains what the walls drag at no pressure, no share by part is known, and another viscosity gets an estimate only")
	msgTwo      = say.Define("slip.simple_points", "two numbers need at least two bench points that differ in speed or in pressure over viscosity")
	stateNotTwo = say.Define("slip.simple_rejected", "two numbers do not describe these points: misfit {cost:number}, at most {limit:number} in 99 of 100 cases. Look for an open relief valve, air, or a wrong reading")
	stateNeg    = say.Define("slip.simple_negative", "the fitted slip constant is not above 0: these points show no slip that rises with pressure")
)

// FitSimple fits displacement and slip constant to bench points by weighted
// least squares. The viscosity is that of the liquid at rest.
func FitSimple(points []Measurement) (*Simple, error) {
	var aa, ab, bb, ay, by float64
	b := bench{}
	for i, p := range points {
		if err := b.checkPoint(p); err != nil {
			return nil, say.In("measured["+strconv.Itoa(i)+"]", err)
		}
		a, c := simpleTerms(p.Point, p.Liquid)
		w := 1 / sq(p.Flow.U)
		y := p.Flow.Value.SI()
		aa, ab, bb, ay, by = aa+w*a*a, ab+w*a*c, bb+w*c*c, ay+w*a*y, by+w*c*y
	}
	det := aa*bb - ab*ab
	if len(points) < 2 || !(det > 1e-12*aa*bb) {
		return nil, say.Refuse("measured", "", msgTwo.With(), say.Message{})
	}
	s := &Simple{
		Displacement: quantity.Within(quantity.Displacement((ay*bb-by*ab)/det), math.Sqrt(bb/det)),
		SlipConstant: quantity.Within(quantity.Volume((by*aa-ay*ab)/det), math.Sqrt(aa/det)),
		Correlation:  -ab / math.Sqrt(aa*bb), Measured: points, Accepted: true,
	}
	for _, p := range points {
		off := (s.Flow(p.Point, p.Liquid) - p.Flow.Value).SI() / p.Flow.U
		s.Off = append(s.Off, off)
		s.Cost += off * off
	}
	if n := len(points) - 2; n > 0 {
		s.Limit = distuv.ChiSquared{K: float64(n)}.Quantile(0.99)
		s.Accepted = s.Cost <= s.Limit
	}
	return s, nil
}

func simpleTerms(pt Point, l Liquid) (turns, leak float64) {
	return pt.Speed.SI() / (2 * math.Pi), -pt.Pressure.SI() / l.AtRest.SI()
}

// Flow returns the flow that the two numbers give.
func (s *Simple) Flow(pt Point, l Liquid) quantity.Flow {
	turns, leak := simpleTerms(pt, l)
	return quantity.Flow(s.Displacement.Value.SI()*turns + s.SlipConstant.Value.SI()*leak)
}

// Predict returns the flow with the uncertainty of the fit, and with every
// part: 5 % of slip for the model, and u(ln c) of 0.05 for each factor of ten
// that the viscosity lies from that of the bench points.
func (s *Simple) Predict(pt Point, l Liquid) (fit, whole quantity.Estimate[quantity.Flow], err error) {
	if !s.Accepted {
		return fit, whole, say.Refuse("measured", "", msgNotAccepted.With(), msgSamePumpModel.With())
	}
	if err := pt.check(); err != nil {
		return fit, whole, err
	}
	if err := l.check(); err != nil {
		return fit, whole, err
	}
	a, c := simpleTerms(pt, l)
	ua, uc := a*s.Displacement.U, c*s.SlipConstant.U
	slip := c * s.SlipConstant.Value.SI()
	lnBench := 0.0
	for _, p := range s.Measured {
		lnBench += math.Log(p.Liquid.AtRest.SI()) / float64(len(s.Measured))
	}
	decades := (math.Log(l.AtRest.SI()) - lnBench) / math.Ln10
	square := math.Max(0, ua*ua+uc*uc+2*s.Correlation*ua*uc)
	flow := s.Flow(pt, l)
	fit = quantity.Within(flow, math.Sqrt(square))
	whole = quantity.Within(flow, math.Sqrt(square+sq(ModelShareCalibrated*slip)+sq(CarrySlipPerDecade*decades*slip)))
	return fit, whole, nil
}

// Statements says what the two numbers are worth.
func (s *Simple) Statements() []say.Message {
	list := []say.Message{SimpleOnly.With()}
	if !s.Accepted {
		list = append(list, stateNotTwo.With(s.Cost, s.Limit))
	}
	if s.SlipConstant.Value <= 0 {
		list = append(list, stateNeg.With())
	}
	if math.Abs(s.Correlation) > tooAlike {
		list = append(list, stateAlike.With(nameDisplacement.With(), nameSlip.With(), s.Correlation))
	}
	return list
}
