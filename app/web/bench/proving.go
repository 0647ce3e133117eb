package bench

import (
	"math"
	"strconv"

	"pumpwright/app/report"
	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/proof"
	"pumpwright/rebuild/job"
)

var (
	wordCurve      = say.Define("bench.curve", "Expected band and points so far")
	wordCurveOf    = say.Define("bench.curve_of", "{liquid} at {temperature:temperature}, {speed:rotational_speed}: the band is what this pump should give on the stand, a mark is a point that was run.")
	wordElsewhere  = say.Define("bench.points_elsewhere", "{n:count|point was|points were} run in another liquid, at another speed or temperature, and {n:count|is|are} not drawn here.")
	wordPlan       = say.Define("bench.plan", "Points to run")
	wordPlanPoint  = say.Define("bench.plan_point", "{speed:rotational_speed}, {pressure:pressure_difference}")
	wordPlanFlow   = say.Define("bench.plan_flow", "expect {flow}")
	wordPlanBoth   = say.Define("bench.plan_both", "expect {flow} and {power}")
	wordPlanRun    = say.Define("bench.plan_run", "run")
	wordPlanNext   = say.Define("bench.plan_next", "next")
	wordPlanOpen   = say.Define("bench.plan_open", "open")
	wordSetTo      = say.Define("bench.set_to", "Set about {pressure:pressure_difference} at {speed:rotational_speed}, wait until it is steady, write what the gauges show.")
	wordPoints     = say.Define("bench.points_run", "Points so far")
	wordVerdictNow = say.Define("bench.verdict_now", "The test so far: {verdict}.")
)

// curveOf draws the pump on the stand with the points so far; "" when nothing
// is expected yet.
func curveOf(v part.View, a *assess.Assessment) string {
	f := report.BenchCurve(a)
	if f == nil {
		return ""
	}
	return part.SVG(f.Draw(v.Style), "curve")
}

// curve is the picture of a step at which the pump is run on the stand.
func (n *now) curve() string {
	if n.step.Step.Records != job.KindTestPoint {
		return ""
	}
	return curveOf(n.v.View, n.a)
}

// toRun is a planned point with where it stands.
type toRun struct {
	proof.Planned
	address string
	run     bool
	here    bool // the one that the form is filled for
}

// How near a point must come to a planned one to stand for it: the pressure
// within a part of the highest of the plan, the speed within a part of itself.
// Conventions of this program, no source.
const (
	nearPressure = 0.08
	nearSpeed    = 0.05
)

// plan lists the planned points; the one of the address is here, else the
// first that nobody has run.
func (n *now) plan() []toRun {
	p := n.a.Proof()
	list := make([]toRun, len(p.Planned))
	highest := quantity.PressureDifference(0)
	for _, x := range p.Planned {
		highest = max(highest, x.Point.Pressure)
	}
	asked, err := strconv.Atoi(n.v.URL.Query().Get("point"))
	for i, x := range p.Planned {
		list[i] = toRun{Planned: x, address: stepAddress(n.j, n.step.Step.ID) + "?point=" + strconv.Itoa(i+1), here: err == nil && asked == i+1}
		for k := range p.Points {
			at := p.Points[k].Point
			if p.Points[k].Refused.IsZero() && math.Abs((at.Pressure-x.Point.Pressure).SI()) <= nearPressure*highest.SI() &&
				math.Abs((at.Speed-x.Point.Speed).SI()) <= nearSpeed*x.Point.Speed.SI() {
				list[i].run = true
			}
		}
	}
	for i := range list {
		if list[i].here {
			return list
		}
	}
	for i := range list {
		if !list[i].run {
			list[i].here = true
			break
		}
	}
	return list
}

// nextPoint is the planned point that the form is for, nil when all were run.
func (n *now) nextPoint() *toRun {
	list := n.plan()
	for i := range list {
		if list[i].here {
			return &list[i]
		}
	}
	return nil
}

// testPoint: what stays the same from point to point is filled in from the
// last one, before the first from the plan.
func (n *now) testPoint() []part.Field {
	var last job.TestPoint
	if points := n.j.State.TestPoints; len(points) > 0 {
		last = points[len(points)-1].Body
	}
	next := n.nextPoint()
	pressure := must(n.measure("t/pressure", wordPressureDiff, quantity.PressureDifferenceDimension))
	if next != nil {
		last.Speed = n.v.View.T(wordSpeedIs.With(next.Point.Speed))
		pressure.Help = wordSetTo.With(next.Point.Pressure, next.Point.Speed)
		if last.Liquid == "" {
			last.Liquid = next.Named
			last.Temperature = n.v.View.T(wordTemperatureIs.With(next.Temperature))
			last.Viscosity = n.v.View.T(wordViscosityIs.With(next.Viscosity))
		}
	}
	keep := func(f part.Field, value string) part.Field { f.Value = value; return f }
	return []part.Field{
		pressure,
		must(n.measure("t/flow", wordFlow, quantity.FlowDimension)),
		n.measure("t/power", wordPower, quantity.PowerDimension),
		keep(must(n.measure("t/speed", wordSpeed, quantity.RotationalSpeedDimension)), last.Speed),
		keep(line("t/liquid", wordLiquid), last.Liquid),
		keep(n.measure("t/temperature", wordTemperature, quantity.TemperatureDimension), last.Temperature),
		keep(n.measure("t/viscosity", wordViscosity, quantity.KinematicViscosityDimension), last.Viscosity),
		line("t/note", wordRemark),
	}
}

var (
	wordSpeedIs       = say.Define("bench.speed_is", "{speed:rotational_speed}")
	wordTemperatureIs = say.Define("bench.temperature_is", "{temperature:temperature}")
	wordViscosityIs   = say.Define("bench.viscosity_is", "{viscosity:kinematic_viscosity}")
)
