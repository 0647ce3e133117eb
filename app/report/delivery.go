package report

import (
	"math"
	"strconv"

	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/slip"
	"pumpwright/calc/window"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/delivery"
)

var (
	headDelivery = say.Define("report.head_delivery", "What the pump delivers")
	headShares   = say.Define("report.head_shares", "What each worn part costs")
	headMoney    = say.Define("report.head_money", "What wear costs in a year")
	headSlip     = say.Define("report.head_slip", "Where it slips")
	headDrive    = say.Define("report.head_drive", "Drive, relief valve, suction")

	colDelivered  = say.Define("report.col_delivered", "flow")
	colEfficiency = say.Define("report.col_efficiency", "volumetric")
	colShaftPower = say.Define("report.col_shaft_power", "power at the shaft")
	colRunningEnd = say.Define("report.col_running_end", "end clearance, in service")
	colChance     = say.Define("report.col_chance", "chance of the flow asked for")
	colPump       = say.Define("report.col_pump", "pump")
	colGain       = say.Define("report.col_gain", "new, alone, it brings back")
	colWorth      = say.Define("report.col_worth", "worth in a year")
	colBecomes    = say.Define("report.col_becomes", "becomes of it")
	colLost       = say.Define("report.col_lost", "flow lost against new")
	colOutput     = say.Define("report.col_output", "lost output")
	colEnergy     = say.Define("report.col_energy", "more energy")
	colAt         = say.Define("report.col_drive_at", "at")
	colShaftMoves = say.Define("report.col_torque_needed", "torque")
	colAgainst    = say.Define("report.col_against", "against the drive")

	dutyIs        = say.Define("report.duty_is", "At the service point: {speed:rotational_speed}, {pressure:pressure_difference}, {temperature:temperature}, {viscosity:kinematic_viscosity}. Values with about two thirds confidence (± one standard uncertainty).")
	percentWords  = say.Define("report.percent", "{part:percent}")
	yearWords     = say.Define("report.a_year", "{amount} {currency}")
	yearBand      = say.Define("report.a_year_band", "{amount} ± {u} {currency}")
	settingWords  = say.Define("report.setting_part", "end clearance, set anew (gaskets or housing)")
	isRenewed     = say.Define("report.is_renewed", "renewed or reworked")
	isKept        = say.Define("report.is_kept", "stays")
	isSet         = say.Define("report.is_set", "set at assembly")
	heatWords     = say.Define("report.heat", "What slips comes back {slipped:temperature_difference} warmer; what is delivered is {delivered:temperature_difference} warmer from all losses.")
	suctionIs     = say.Define("report.suction_is", "Suction: {available:pressure_difference} of inlet pressure above vapour is there{needed:message}.")
	neededBound   = say.Define("report.needed_bound", ", at least {need:pressure_difference} is needed to fill the tooth spaces")
	neededMaker   = say.Define("report.needed_maker", ", {need:pressure_difference} is required")
	suctionSpeed  = say.Define("report.suction_speed", "Its margin is used up at {speed:rotational_speed}, all else held.")
	suctionThick  = say.Define("report.suction_thick", "Its margin is used up at {viscosity:dynamic_viscosity}, all else held.")
	suctionCold   = say.Define("report.suction_cold", "Below {temperature:temperature} the liquid is too thick for it.")
	suctionHot    = say.Define("report.suction_hot", "Above {temperature:temperature} the liquid boils in it.")
	reliefIs      = say.Define("report.relief_is", "Relief valve: {reasons:list}.")
	reliefCare    = say.Define("report.relief_care", "A relief valve protects people: it is set and proved as its maker and local rules say, by those licensed to do so, and never blocked.")
	cannotSay     = say.Define("report.cannot_say", "Without tooth data it is not known: {list:list}.")
	fallbackIs    = say.Define("report.fallback", "Displacement {displacement} a turn, {flow} at the speed of the service without slip.")
	fallbackFlow  = say.Define("report.fallback_flow", "By the two-number model of the bench test it delivers {flow} in service.")
	captionCurve  = say.Define("report.caption_curve", "The pump in its service over pressure. Test points stand with the bench test, in their own liquid.")
	captionSlip   = say.Define("report.caption_slip", "Slip by path {state}, at the service point. A bar to the left drags more to the discharge than the pressure drives back.")
	captionLiquid = say.Define("report.caption_liquid", "Viscosity of the liquid at rest.")
	settingCurve  = say.Define("report.setting_curve", "{liquid}, {temperature:temperature}, {speed:rotational_speed}")
	markNormal    = say.Define("report.mark_normal", "normal")
	markStart     = say.Define("report.mark_start", "coldest start")
	markHottest   = say.Define("report.mark_hottest", "hottest")

	pathNames = []struct {
		part string
		name say.Template
		of   func(*slip.Paths) quantity.Flow
	}{
		{"idler", say.Define("report.path_mesh", "past the mesh"), func(p *slip.Paths) quantity.Flow { return p.Mesh }},
		{"rotor", say.Define("report.path_rotor", "crescent, rotor side"), func(p *slip.Paths) quantity.Flow { return p.RotorCrescent }},
		{"idler", say.Define("report.path_idler", "crescent, idler side"), func(p *slip.Paths) quantity.Flow { return p.IdlerCrescent }},
		{"idler", say.Define("report.path_body", "over the idler's faces"), func(p *slip.Paths) quantity.Flow { return p.IdlerBody }},
		{"head", say.Define("report.path_end", "end of the crescent"), func(p *slip.Paths) quantity.Flow { return p.CrescentEnd }},
		{"casing", say.Define("report.path_back", "behind the rotor's disc"), func(p *slip.Paths) quantity.Flow { return p.Back }},
	}
)

var (
	windowBeside    = say.Define("report.window_beside", "By liquid, temperature and slip: {low} to {high}, cold, with the uncertainty of the reading taken off.")
	windowReason    = say.Define("report.window_reason", "{reason:message}")
	windowNoLimit   = say.Define("report.window_no_limit", "no limit")
	windowNoCompute = say.Define("report.window_no_compute", "{reason:message}.")
)

// window shows what is computed beside the window that rules.
func (b *builder) window() {
	w := b.a.Clearances.Window
	if w.Computed == nil {
		if !w.NoComputed.IsZero() {
			b.paragraph(windowNoCompute.With(w.NoComputed))
		}
		return
	}
	side := func(l *window.Limit) say.Shower {
		if l == nil {
			return windowNoLimit.With()
		}
		return l.Value
	}
	b.paragraph(windowBeside.With(side(w.Computed.Lower), side(w.Computed.Upper)))
	items := make([]document.Text, len(w.Computed.Reasons))
	for i, r := range w.Computed.Reasons {
		items[i] = windowReason.With(r)
	}
	if len(items) > 0 {
		b.add(document.List{Items: items})
	}
}

// delivery adds the chapter about flow, power and money.
func (b *builder) delivery() {
	d := b.a.Delivery()
	b.heading(headDelivery)
	if !d.Unknown.IsZero() {
		b.paragraph(d.Unknown)
	}
	b.fallback(d.Fallback)
	if d.Left != nil {
		b.paragraph(dutyIs.With(d.Duty.Speed, d.Duty.Pressure, d.Temperature, d.Viscosity))
		b.states(d)
		if f := DeliveryCurve(b.a); f != nil {
			b.add(document.Figure{Caption: captionCurve.With(), Draw: f.Draw, Share: 0.85})
		}
		b.slips(d)
		b.costs(d)
	}
	if f := ViscosityChart(b.a); f != nil {
		b.add(document.Figure{Caption: captionLiquid.With(), Draw: f.Draw, Share: 0.75})
	}
	b.system(d)
	for _, w := range d.Warnings {
		b.add(document.Note{Text: w})
	}
	var items []document.Text
	for _, n := range d.Notes {
		if n.String() != d.Statement.String() || d.Left == nil || d.Left.Duty == nil { // it stands with the slip
			items = append(items, n)
		}
	}
	if len(items) > 0 {
		b.add(document.List{Items: items})
	}
}

func (b *builder) fallback(f *delivery.Fallback) {
	if f == nil {
		return
	}
	if f.Displacement != nil && f.Theoretical != nil {
		b.paragraph(fallbackIs.With(*f.Displacement, *f.Theoretical))
	}
	if f.Flow != nil {
		b.paragraph(fallbackFlow.With(*f.Flow))
	}
	b.paragraph(cannotSay.With(f.CannotSay))
}

func (b *builder) states(d *delivery.Chapter) {
	table := document.Table{Columns: []document.Column{{Head: colPump.With()}, {Head: colRunningEnd.With(), Number: true}, {Head: colDelivered.With(), Number: true},
		{Head: colEfficiency.With(), Number: true}, {Head: colShaftPower.With(), Number: true}, {Head: colChance.With(), Number: true}}}
	for _, p := range []*delivery.Pump{d.Found, d.Left, d.New} {
		if p == nil || p.Duty == nil {
			continue
		}
		row := []document.Cell{document.Words(p.State.Message()), document.Words(p.Machine.Warm.End), document.Words(p.Duty.Flow),
			document.Words(percentWords.With(p.Duty.Result.VolumetricEfficiency))}
		power, chance := document.Words(dash), document.Words(dash)
		if p.Duty.Power != nil {
			power = document.Words(*p.Duty.Power)
		}
		if p.MeetsAll != nil {
			chance = document.Words(percentWords.With(*p.MeetsAll))
		}
		table.Rows = append(table.Rows, document.Row{Cells: append(row, power, chance)})
	}
	if len(table.Rows) > 0 {
		b.add(table)
	}
}

// DeliveryCurve fills the curves over pressure, as left in front; nil when
// none is known.
func DeliveryCurve(a *assess.Assessment) *figure.Performance {
	d := a.Delivery()
	f := &figure.Performance{Pressures: d.Pressures, Duty: &d.Duty.Pressure, Required: d.Required}
	for _, p := range []*delivery.Pump{d.Left, d.Found, d.New} {
		if p == nil || len(p.Flow) != len(d.Pressures) || len(p.Flow) == 0 {
			continue
		}
		c := figure.PerformanceCurve{Name: p.State.Message(), Flow: p.Flow, FlowU: p.FlowU}
		if len(p.Power) == len(p.Flow) {
			c.Power, c.PowerU = p.Power, p.PowerU
		}
		f.Curves = append(f.Curves, c)
	}
	if len(f.Curves) == 0 {
		return nil
	}
	name := ""
	if a.Inputs.Liquid != nil {
		name = a.Inputs.Liquid.Title
	}
	f.Setting = settingCurve.With(name, d.Temperature, d.Duty.Speed)
	return f
}

// SlipBars fills the slip by path of a pump at the service point.
func SlipBars(p *delivery.Pump) *figure.Slip {
	if p == nil || p.Duty == nil {
		return nil
	}
	r := &p.Duty.Result
	f := &figure.Slip{Setting: p.State.Message()}
	for _, path := range pathNames {
		f.Paths = append(f.Paths, figure.SlipPath{Part: path.part, Name: path.name.With(), Flow: path.of(&r.Paths)})
	}
	total := quantity.Within(r.Slip, p.Duty.Flow.U)
	f.Total = &total
	return f
}

func (b *builder) slips(d *delivery.Chapter) {
	var blocks []document.Block
	for _, p := range []*delivery.Pump{d.Found, d.Left} {
		if f := SlipBars(p); f != nil {
			blocks = append(blocks, document.Figure{Caption: captionSlip.With(p.State), Draw: f.Draw, Share: 0.85})
		}
	}
	if len(blocks) == 0 {
		return
	}
	b.add(document.Heading{Level: 2, Text: headSlip.With()})
	b.add(blocks...)
	b.add(document.Note{Text: d.Statement})
}

// amount is money in whole tens: more digits would lie.
func amount(v float64) string { return strconv.FormatFloat(math.Round(v/10)*10, 'f', 0, 64) }

func (b *builder) currency() string {
	if s := b.a.Inputs.Service; s != nil {
		return s.Currency
	}
	return ""
}

func (b *builder) costs(d *delivery.Chapter) {
	if len(d.Shares) > 0 {
		table := document.Table{Columns: []document.Column{{Head: colPart.With()}, {Head: colGain.With(), Number: true}, {Head: colWorth.With(), Number: true}, {Head: colBecomes.With()}}}
		row := func(name say.Shower, s *delivery.Share, becomes say.Message) {
			worth := document.Words(dash)
			if s.AYear != nil {
				worth = document.Words(yearWords.With(amount(*s.AYear), b.currency()))
			}
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(name), document.Words(quantity.Within(s.Flow, s.U)), worth, document.Words(becomes)}})
		}
		if d.Setting != nil {
			row(settingWords.With(), d.Setting, isSet.With())
		}
		for i := range d.Shares {
			s := &d.Shares[i]
			becomes := isKept
			if s.Replaced {
				becomes = isRenewed
			}
			row(say.Plain(s.Name), s, becomes.With())
		}
		b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headShares.With()}, table}})
	}
	table := document.Table{Columns: []document.Column{{Head: colPump.With()}, {Head: colLost.With(), Number: true}, {Head: colOutput.With(), Number: true}, {Head: colEnergy.With(), Number: true}}}
	for _, m := range d.Money {
		output, energy := document.Words(dash), document.Words(dash)
		if m.Output != nil && m.U != nil {
			output = document.Words(yearBand.With(amount(*m.Output), amount(*m.U), b.currency()))
		}
		if m.Energy != nil {
			energy = document.Words(yearWords.With(amount(*m.Energy), b.currency()))
		}
		if m.Output != nil || m.Energy != nil {
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(m.State.Message()), document.Words(m.LostFlow), output, energy}})
		}
	}
	if len(table.Rows) > 0 {
		b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: headMoney.With()}, table}})
	}
}

// ViscosityChart fills the viscosity of the liquid over temperature, with the
// temperatures of the service; nil when it is not known.
func ViscosityChart(a *assess.Assessment) *figure.Viscosity {
	l, s := a.Inputs.Liquid, a.Inputs.Service
	if l == nil || s == nil || s.Temperature == nil {
		return nil
	}
	low, high := s.Temperature.Value, s.Temperature.Value
	f := &figure.Viscosity{}
	mark := func(name say.Template, t quantity.Temperature) {
		state, err := l.At(t)
		if err != nil {
			return
		}
		low, high = min(low, t), max(high, t)
		f.Marks = append(f.Marks, figure.ViscosityMark{Name: name.With(), Temperature: t, Viscosity: state.Kinematic})
	}
	mark(markNormal, s.Temperature.Value)
	if s.Lowest != nil {
		mark(markStart, s.Lowest.Value)
	}
	if s.Highest != nil {
		mark(markHottest, s.Highest.Value)
	}
	curve := curveOf(l, low-10, high+10)
	if len(curve.Temperatures) < 2 {
		return nil
	}
	f.Liquids = []figure.ViscosityCurve{curve}
	return f
}

// curveOf follows a liquid over temperature as far as it is known.
func curveOf(l *liquid.Liquid, low, high quantity.Temperature) figure.ViscosityCurve {
	const places = 24
	c := figure.ViscosityCurve{Name: say.Plain(l.Title)}
	for i := range places + 1 {
		t := low + (high-low)*quantity.Temperature(i)/places
		state, err := l.At(t)
		if err != nil {
			continue
		}
		c.Temperatures, c.Viscosities = append(c.Temperatures, t), append(c.Viscosities, state.Kinematic)
	}
	return c
}

func (b *builder) system(d *delivery.Chapter) {
	var blocks []document.Block
	say2 := func(m say.Message) { blocks = append(blocks, document.Paragraph{Text: m}) }
	if len(d.Drive) > 0 {
		table := document.Table{Columns: []document.Column{{Head: colAt.With()}, {Head: colShaftPower.With(), Number: true}, {Head: colShaftMoves.With(), Number: true}, {Head: colAgainst.With()}}}
		for _, c := range d.Drive {
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(pointWords.With(c.When, c.Temperature)), document.Words(c.Power), document.Words(c.Torque), driveState(c.Verdict)}})
		}
		blocks = append(blocks, table)
	}
	if d.Warm != nil {
		say2(heatWords.With(d.Warm.Slipped, d.Warm.Delivered))
	}
	if d.Relief != nil {
		say2(reliefIs.With(d.Relief.Reasons))
		blocks = append(blocks, document.Caution{Text: reliefCare.With()})
	}
	if s := d.Suction; s != nil {
		needed := say.Message{}
		if need := s.Result.Line.Required; need != nil {
			words := neededMaker
			if s.Bound {
				words = neededBound
			}
			needed = words.With(*need)
		}
		say2(suctionIs.With(s.Result.Available, needed))
		if s.MostSpeed != nil {
			say2(suctionSpeed.With(*s.MostSpeed))
		}
		if s.MostViscosity != nil {
			say2(suctionThick.With(*s.MostViscosity))
		}
		if s.Coldest != nil {
			say2(suctionCold.With(*s.Coldest))
		}
		if s.Hottest != nil {
			say2(suctionHot.With(*s.Hottest))
		}
	}
	if len(blocks) > 0 {
		b.add(document.Heading{Level: 2, Text: headDrive.With()})
		b.add(blocks...)
	}
}

func driveState(s delivery.Standing) document.Cell {
	state := draw.Good
	switch s {
	case delivery.Over:
		state = draw.PastLimit
	case delivery.NearLimit:
		state = draw.MeasureAgain
	case delivery.NoLimit:
		return document.Words(s.Message())
	}
	return document.Cell{State: &state, Text: s.Message()}
}

var (
	partBuys      = say.Define("report.part_buys", "new, alone, it brings back {flow} at the service point")
	partBuysWorth = say.Define("report.part_buys_worth", "new, alone, it brings back {flow} at the service point, worth {amount} {currency} a year")
)

// withShare adds to the reasons of a decision what a new part buys.
func (b *builder) withShare(part string, reasons []say.Message) []say.Message {
	s := b.a.Delivery().ShareOf(part)
	if s == nil || s.Flow <= 0 {
		return reasons
	}
	m := partBuys.With(quantity.Within(s.Flow, s.U))
	if s.AYear != nil && *s.AYear > 0 {
		m = partBuysWorth.With(quantity.Within(s.Flow, s.U), amount(*s.AYear), b.currency())
	}
	return append(append([]say.Message(nil), reasons...), m)
}
