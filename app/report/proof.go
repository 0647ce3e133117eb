package report

import (
	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/proof"
)

var (
	headProof   = say.Define("report.head_proof", "Bench test")
	headPlanned = say.Define("report.head_planned", "Points to run, and what they should read")
	headTested  = say.Define("report.head_tested", "Points that were run")
	headShown   = say.Define("report.head_shown", "What it shows")

	colSetting   = say.Define("report.col_setting", "point")
	colPlanFlow  = say.Define("report.col_plan_flow", "flow expected")
	colPlanPower = say.Define("report.col_plan_power", "power expected")
	colFor       = say.Define("report.col_for", "what it is for")
	colMeasured  = say.Define("report.col_measured", "flow measured")
	colMeasPow   = say.Define("report.col_measured_power", "power measured")
	colWorthIt   = say.Define("report.col_as_evidence", "as evidence")

	settingPlan  = say.Define("report.setting_plan", "{speed:rotational_speed}, {pressure}")
	planLiquid   = say.Define("report.plan_liquid", "In {liquid} at {temperature:temperature} ({viscosity:kinematic_viscosity}), with the clearances that the pump then has. A reading beyond twice the uncertainty from what is expected is looked into before the pump leaves the stand.")
	settingTest  = say.Define("report.setting_test", "{liquid}, {temperature}, {viscosity}, {speed}, {pressure}")
	verdictWords = say.Define("report.verdict", "Verdict: {verdict}.")
	captionBench = say.Define("report.caption_bench", "The pump on the stand: {liquid} at {temperature:temperature}. These are no figures of the service.")
	nameExpected = say.Define("report.curve_expected", "expected beforehand")
	nameFitted   = say.Define("report.curve_fitted", "fitted to the points")
)

// proof adds the chapter about the bench test.
func (b *builder) proof() {
	p := b.a.Proof()
	b.heading(headProof)
	if !p.Unknown.IsZero() {
		b.paragraph(p.Unknown)
	}
	b.planned(p)
	b.tested(p)
	if f := BenchCurve(b.a); f != nil {
		b.add(document.Figure{Caption: captionBench.With(p.Curve.Liquid, p.Curve.Temperature), Draw: f.Draw, Share: 0.85})
	}
	b.relief()
	b.add(document.Heading{Level: 2, Text: headShown.With()})
	b.paragraph(verdictWords.With(p.Verdict))
	var items []document.Text
	for _, list := range [][]say.Message{p.Reasons, p.Statements, p.Asks} {
		for _, m := range list {
			items = append(items, m)
		}
	}
	if len(items) > 0 {
		b.add(document.List{Items: items})
	}
	for _, w := range p.Warnings {
		b.add(document.Note{Text: w})
	}
}

func (b *builder) planned(p *proof.Chapter) {
	if len(p.Planned) == 0 || p.Usable > 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colSetting.With()}, {Head: colPlanFlow.With(), Number: true}, {Head: colPlanPower.With(), Number: true}, {Head: colFor.With()}}}
	column := quantity.ColumnOf(pressuresOf(p.Planned)...)
	for _, x := range p.Planned {
		flow, power := document.Words(dash), document.Words(dash)
		if x.Expected != nil {
			flow = document.Words(x.Expected.Flow)
			if x.Expected.Power != nil {
				power = document.Words(*x.Expected.Power)
			}
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(settingPlan.With(x.Point.Speed, column.Cell(x.Point.Pressure))), flow, power, document.Words(x.For)}})
	}
	first := p.Planned[0]
	b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headPlanned.With()}, document.Paragraph{Text: planLiquid.With(first.Liquid, first.Temperature, first.Viscosity)}, table}})
}

func pressuresOf(list []proof.Planned) []quantity.PressureDifference {
	var pressures []quantity.PressureDifference
	for _, x := range list {
		pressures = append(pressures, x.Point.Pressure)
	}
	return pressures
}

func (b *builder) tested(p *proof.Chapter) {
	if len(p.Points) == 0 {
		return
	}
	table := document.Table{Columns: []document.Column{{Head: colSetting.With()}, {Head: colMeasured.With(), Number: true}, {Head: colPlanFlow.With(), Number: true},
		{Head: colMeasPow.With(), Number: true}, {Head: colWorthIt.With()}}}
	for _, x := range p.Points {
		body := x.Entry.Body
		missing := func(text string) string {
			if text == "" {
				return "?"
			}
			return text
		}
		expected, power := document.Words(dash), document.Words(dash)
		if x.Expected != nil {
			expected = document.Words(x.Expected.Flow)
		}
		if x.Power != nil {
			power = document.Words(*x.Power)
		}
		flow := document.Words(say.Plain(body.Flow))
		if x.Flow.U > 0 {
			flow = document.Words(x.Flow)
		}
		worth := document.Cell{Text: x.Agreement.Message()}
		if !x.Refused.IsZero() {
			worth.Text = x.Refused
		} else if x.Agreement != proof.NoOpinion {
			state := pointState(&x)
			worth.State = &state
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(settingTest.With(missing(x.Title), missing(body.Temperature), missing(body.Viscosity), body.Speed, body.Pressure)), flow, expected, power, worth,
		}})
	}
	b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headTested.With()}, table}})
}

func pointState(p *proof.Point) draw.State {
	switch {
	case !p.Refused.IsZero():
		return draw.NotRead
	case p.Agreement == proof.TooLow:
		return draw.PastLimit
	case p.Agreement == proof.TooHigh:
		return draw.MeasureAgain
	}
	return draw.Good
}

// BenchCurve fills the curve of the pump on the stand with its test points;
// nil when there is none.
func BenchCurve(a *assess.Assessment) *figure.Performance {
	c := a.Proof().Curve
	if c == nil {
		return nil
	}
	f := &figure.Performance{Pressures: c.Pressures, Setting: settingCurve.With(c.Liquid, c.Temperature, c.Speed)}
	add := func(name say.Template, l *proof.Line) {
		curve := figure.PerformanceCurve{Name: name.With(), Flow: l.Flow, FlowU: l.FlowU}
		if len(l.Power) == len(l.Flow) {
			curve.Power, curve.PowerU = l.Power, l.PowerU
		}
		f.Curves = append(f.Curves, curve)
	}
	if c.Fitted != nil {
		add(nameFitted, c.Fitted)
	}
	add(nameExpected, &c.Expected)
	for _, p := range c.Points {
		t := figure.TestPoint{Pressure: p.Point.Pressure, Flow: p.Flow.Value, FlowU: p.Flow.U, State: pointState(p)}
		if p.Power != nil {
			t.Power, t.PowerU = p.Power.Value, p.Power.U
		}
		f.Points = append(f.Points, t)
	}
	return f
}
