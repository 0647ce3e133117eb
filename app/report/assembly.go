package report

import (
	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/align"
	"pumpwright/calc/bushing"
	"pumpwright/calc/fit"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/sheet"
)

var (
	headPress     = say.Define("report.head_press", "Bushings: press fit, bore and film")
	headBolts     = say.Define("report.head_bolts", "Bolts: torque, passes and order")
	headSeal      = say.Define("report.head_seal", "Shaft seal")
	headAlignment = say.Define("report.head_alignment", "Run-out and alignment")
	headRunning   = say.Define("report.head_running", "Return to service")

	captionBolts = say.Define("report.caption_bolts", "{bolts}: numbers stand in the order of tightening.")
	captionFilm  = say.Define("report.caption_film", "{name}: film {point:message}, {temperature:temperature}")
	captionSet   = say.Define("report.caption_setting", "Working length of the seal, drawn to scale.")
	captionFlat  = say.Define("report.caption_flat", "The lapped seal face under the optical flat.")
	captionFeet  = say.Define("report.caption_soft_foot", "Soft foot, each bolt slackened alone.")
	captionAlign = say.Define("report.caption_alignment", "Alignment {state}, with growth: how the driver lies to the pump and what its feet do.")

	colBushing      = say.Define("report.col_bushing", "bushing")
	colInterference = say.Define("report.col_interference", "interference")
	colForce        = say.Define("report.col_force", "press force")
	colGauge        = say.Define("report.col_gauge", "by the gauge")
	colLeastForce   = say.Define("report.col_least_force", "least to expect")
	colMostForce    = say.Define("report.col_most_force", "most to expect")
	colHow          = say.Define("report.col_how", "how it went")
	colPress        = say.Define("report.col_press", "press to take")
	colHoop         = say.Define("report.col_hoop", "hoop stress at the bore, cold")
	colReam         = say.Define("report.col_ream", "bore to ream to")
	colHotGap       = say.Define("report.col_hot_gap", "running clearance, hot")
	colPoint        = say.Define("report.col_point", "at")
	colLoad         = say.Define("report.col_load", "load")
	colPV           = say.Define("report.col_pv", "PV")
	colShare        = say.Define("report.col_share", "of its limit")
	colThinnest     = say.Define("report.col_thinnest", "thinnest film")
	colRegime       = say.Define("report.col_regime", "film")
	colBolts        = say.Define("report.col_bolts", "bolts")
	colPass         = say.Define("report.col_pass", "pass")
	colTorque       = say.Define("report.col_torque", "torque")
	colEntered      = say.Define("report.col_entered", "entered")
	colEntry        = say.Define("report.col_entry", "by, with")
	colStanding     = say.Define("report.col_standing", "how it stands")
	colNumber       = say.Define("report.col_number", "number")
	colReadValue    = say.Define("report.col_read_value", "value")

	passOf       = say.Define("report.pass_of", "{n:count} ({share:percent})")
	passBy       = say.Define("report.pass_by", "{who}, {day}, {instrument}")
	passByNobody = say.Define("report.pass_by_nobody", "{who}, {day}, no wrench named")
	pointWords   = say.Define("report.point", "{point:message}, {temperature:temperature}")
	shareWords   = say.Define("report.share_words", "{share:percent}")
	staysWords   = say.Define("report.stays_words", "{name} (not renewed)")
	aboutWords   = say.Define("report.about", "{name}: {text:message}")

	rowBalance = say.Define("report.row_balance", "balance ratio")
	headSides  = say.Define("report.head_sides", "Rotation and suction side")
	rowNet     = say.Define("report.row_net", "pressure that the faces carry")
	rowClosing = say.Define("report.row_closing", "closing force")
	rowFacePV  = say.Define("report.row_face_pv", "PV of the faces")
	rowHeat    = say.Define("report.row_heat", "heat of the faces")
	rowFlush   = say.Define("report.row_flush", "flush flow for {warming:temperature_difference} of warming")
	rowLength  = say.Define("report.row_length", "working length as left")
	rowSpring  = say.Define("report.row_spring", "spring force there")
	ratioWords = say.Define("report.ratio", "{ratio:number} ({kind})")
)

// assembly shows what lies between clean parts and a running pump.
func (b *builder) assembly() {
	c := b.a.Assembly
	if c == nil {
		return
	}
	b.heading(headSides)
	b.warnings(b.a.Sides.Warnings)
	b.points([]say.Message{b.a.Sides.Turns}, b.a.Sides.Follows)
	// Cautions stand once in each part: where the step is.
	b.presses(c, map[string]bool{})
	b.boltGroups(c, map[string]bool{})
	b.seal(c.Seal, map[string]bool{})
	b.alignment(&c.Alignment, map[string]bool{})
	service := b.a.InService()
	b.inService(&service, map[string]bool{})
}

// dangers shows cautions that were not said yet.
func (b *builder) dangers(list []say.Message, said map[string]bool) {
	for _, m := range list {
		if key := m.String(); !said[key] {
			said[key] = true
			b.add(document.Caution{Text: m})
		}
	}
}

// points shows messages as a list.
func (b *builder) points(lists ...[]say.Message) {
	var items []document.Text
	for _, list := range lists {
		for _, m := range list {
			items = append(items, m)
		}
	}
	if len(items) > 0 {
		b.add(document.List{Items: items})
	}
}

func about(name string, list []say.Message) []say.Message {
	out := make([]say.Message, len(list))
	for i, m := range list {
		out[i] = aboutWords.With(name, m)
	}
	return out
}

func inState(text document.Text, s draw.State) document.Cell {
	return document.Cell{Text: text, State: &s}
}

func (b *builder) presses(c *assembly.Chapter, said map[string]bool) {
	if len(c.Presses) == 0 {
		return
	}
	b.heading(headPress)
	for _, p := range c.Presses {
		b.dangers(p.Cautions, said)
	}
	table := document.Table{Columns: []document.Column{
		{Head: colBushing.With()}, {Head: colInterference.With(), Number: true}, {Head: colForce.With(), Number: true}, {Head: colPress.With(), Number: true},
		{Head: colHoop.With(), Number: true}, {Head: colReam.With(), Number: true}, {Head: colHotGap.With(), Number: true},
	}}
	for _, p := range c.Presses {
		name := say.Plain(p.Name)
		if p.Stays {
			name = staysWords.With(p.Name)
		}
		cells := []document.Cell{document.Words(name), document.Words(interference(p)), document.Words(dash), document.Words(dash), document.Words(dash), document.Words(dash), document.Words(dash)}
		if r := p.Result; r != nil {
			cells[2], cells[3], cells[4] = document.Words(r.PressForce), document.Words(r.PressCapacity), document.Words(r.Cold.SleeveHoopBore)
		}
		if r := p.Ream; r != nil {
			cells[5] = document.Words(r.Bore)
			if r.Hot != nil {
				cells[6] = document.Words(*r.Hot)
			}
		}
		if p.Stop {
			state := draw.PastLimit
			cells[0].State = &state
		}
		table.Rows = append(table.Rows, document.Row{Cells: cells})
	}
	b.add(table)
	b.strokes(c)
	for _, p := range c.Presses {
		if f := Stroke(p); f != nil && !p.Stays {
			b.add(document.Figure{Caption: captionStroke.With(p.Name), Draw: f.Draw, Share: 0.7})
		}
	}
	for _, p := range c.Presses {
		b.warnings(p.Warnings)
		lines := append([]say.Message{}, p.Reasons...)
		if p.Ream != nil {
			lines = append(lines, p.Ream.Verdict)
		}
		if !p.Stays {
			lines = append(lines, p.Notes...)
		}
		b.points(about(p.Name, append(lines, p.Unknown...)))
	}
	b.films(c)
}

// strokes sets what the press gauge showed beside the computed force.
func (b *builder) strokes(c *assembly.Chapter) {
	table := document.Table{Columns: []document.Column{
		{Head: colBushing.With()}, {Head: colGauge.With(), Number: true}, {Head: colForce.With(), Number: true}, {Head: colLeastForce.With(), Number: true},
		{Head: colMostForce.With(), Number: true}, {Head: colHow.With()},
	}}
	for _, p := range c.Presses {
		s := p.Stroke
		if s == nil || s.Check == nil {
			continue
		}
		verdict := document.Words(s.Check.Verdict.Message())
		if s.Check.Verdict != fit.StrokeAsComputed {
			verdict = inState(s.Check.Verdict.Message(), draw.PastLimit)
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(say.Plain(p.Name)), document.Words(s.Peak),
			document.Words(p.Result.PressForce), document.Words(s.Check.Low), document.Words(s.Check.High), verdict}})
	}
	if len(table.Rows) > 0 {
		b.add(table)
	}
}

func interference(p *assembly.Press) say.Shower {
	if p.Measured {
		return p.Interference
	}
	return p.Interference.Value
}

func (b *builder) warnings(list []say.Message) {
	for _, w := range list {
		b.add(document.Note{Text: w})
	}
}

func (b *builder) films(c *assembly.Chapter) {
	table := document.Table{Columns: []document.Column{
		{Head: colBushing.With()}, {Head: colPoint.With()}, {Head: colLoad.With(), Number: true}, {Head: colGap.With(), Number: true},
		{Head: colPV.With(), Number: true}, {Head: colShare.With(), Number: true}, {Head: colThinnest.With(), Number: true}, {Head: colRegime.With()},
	}}
	var lines []say.Message
	for _, f := range c.Films {
		for i, p := range f.Points {
			name := say.Plain(f.Name)
			if i > 0 {
				name = say.Message{}
			}
			share, film := say.Shower(dash), say.Shower(dash)
			if p.Share > 0 {
				share = shareWords.With(p.Share)
			}
			if p.Running.Carries {
				film = p.Running.MinFilm
			}
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
				document.Words(name), document.Words(pointWords.With(p.Name, p.Temperature)), document.Words(p.Running.Load), document.Words(p.Clearance),
				document.Words(p.Running.PV), document.Words(share), document.Words(film), regime(&p),
			}})
		}
		if len(f.Points) > 0 {
			lines = append(lines, aboutWords.With(f.Name, f.LoadFrom))
		}
		lines = append(lines, about(f.Name, f.Reasons)...)
		lines = append(lines, about(f.Name, f.Unknown)...)
	}
	if len(table.Rows) > 0 {
		b.add(table)
	}
	for _, f := range c.Films {
		b.warnings(about(f.Name, f.Warnings))
		if drawn, point := Film(f); drawn != nil {
			b.add(document.Figure{Caption: captionFilm.With(f.Name, point.Name, point.Temperature), Draw: drawn.Draw, Share: 0.65})
		}
	}
	b.points(lines)
}

// regime is how the load is carried; mixed running within its PV is neither
// good nor past a limit.
func regime(p *assembly.FilmPoint) document.Cell {
	words := p.Running.Regime.Message()
	switch {
	case p.Running.Regime == bushing.FullFilm:
		return inState(words, draw.Good)
	case p.Running.PVWithin || p.Running.Material == nil || p.Running.Material.Rubbing:
		return document.Words(words)
	}
	return inState(words, draw.PastLimit)
}

func (b *builder) boltGroups(c *assembly.Chapter, said map[string]bool) {
	if len(c.Bolts) == 0 {
		return
	}
	b.heading(headBolts)
	for _, g := range c.Bolts {
		b.dangers(g.Cautions, said)
	}
	table := document.Table{Columns: []document.Column{
		{Head: colBolts.With()}, {Head: colPass.With()}, {Head: colTorque.With(), Number: true}, {Head: colEntered.With(), Number: true}, {Head: colEntry.With()}, {Head: colStanding.With()},
	}}
	for _, g := range c.Bolts {
		for i, p := range g.Passes {
			name := say.Plain(g.Fastener.Name)
			if i > 0 {
				name = say.Message{}
			}
			entered, by, asked := say.Shower(dash), say.Shower(dash), say.Shower(dash)
			if g.Torque > 0 {
				asked = quantity.Like(p.Torque, g.Torque)
			}
			if e := p.Entered; e != nil {
				entered = quantity.Like(e.Torque, g.Torque)
				who := b.a.Inputs.Shop.PersonName(e.By)
				by = passByNobody.With(who, e.At.Day())
				if e.Instrument != "" {
					by = passBy.With(who, e.At.Day(), e.Instrument)
				}
			}
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
				document.Words(name), document.Words(passOf.With(p.Number, p.Share)), document.Words(asked), document.Words(entered), document.Words(by),
				standing(p.State),
			}})
		}
	}
	b.add(table)
	for _, g := range c.Bolts {
		b.warnings(about(g.Fastener.Name, g.Warnings))
		b.points(about(g.Fastener.Name, g.Reasons), about(g.Fastener.Name, g.Notes), about(g.Fastener.Name, g.Unknown))
		if f := Bolts(g); g.Fastener.Circle != nil && len(f.Order) > 1 {
			b.add(document.Figure{Caption: captionBolts.With(g.Fastener.Name), Draw: f.Draw, Share: 0.8})
		}
	}
}

func standing(s assembly.PassState) document.Cell {
	words := s.Message()
	switch s {
	case assembly.PassGood:
		return inState(words, draw.Good)
	case assembly.PassOpen:
		return document.InState(draw.NotRead)
	case assembly.PassDoubts:
		return inState(words, draw.MeasureAgain)
	}
	return inState(words, draw.PastLimit)
}

// Bolts fills the bolt circle.
func Bolts(g *assembly.Bolts) figure.Bolts {
	f := figure.Bolts{Order: g.Order}
	if g.Torque > 0 {
		for _, p := range g.Passes {
			f.Passes = append(f.Passes, figure.BoltPass{Share: p.Share, Torque: p.Torque})
		}
	}
	return f
}

// Film fills the picture of a bushing at its first point, the service; nil
// when nothing is known of it.
func Film(f *assembly.Film) (*figure.Film, *assembly.FilmPoint) {
	if len(f.Points) == 0 {
		return nil, nil
	}
	drawn := figure.OfFilm(say.Plain(f.Name), f.Points[0].Running)
	return &drawn, &f.Points[0]
}

// Setting fills the picture of the seal's working length, or returns nil when
// the sheet does not tell it.
func Setting(s *assembly.Seal, d *sheet.Seal) *figure.Setting {
	if s == nil || d == nil || d.WorkingLength == nil {
		return nil
	}
	var free quantity.Length
	if d.FreeLength != nil {
		free = d.FreeLength.Value
	}
	if s.Setting != nil {
		f := figure.OfSetting(*s.Setting, free, s.Force)
		return &f
	}
	f := &figure.Setting{Free: free, Wanted: d.WorkingLength.Value, State: draw.NotRead}
	if d.LengthTolerance != nil {
		f.Tolerance = d.LengthTolerance.Value
	}
	return f
}

func (b *builder) seal(s *assembly.Seal, said map[string]bool) {
	if s == nil {
		return
	}
	b.heading(headSeal)
	b.dangers(s.Cautions, said)
	table := document.Table{Columns: []document.Column{{Head: colNumber.With()}, {Head: colReadValue.With(), Number: true}}}
	row := func(name say.Message, value say.Shower) {
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{document.Words(name), document.Words(value)}})
	}
	if s.Read != nil {
		row(rowLength.With(), *s.Read)
	}
	if s.Force != nil {
		row(rowSpring.With(), *s.Force)
	}
	if l := s.Load; l != nil {
		row(rowBalance.With(), ratioWords.With(l.BalanceRatio, l.Kind))
		row(rowNet.With(), l.NetPressure)
		row(rowClosing.With(), l.ClosingForce)
		row(rowFacePV.With(), l.PV)
		row(rowHeat.With(), l.Heat)
	}
	if s.Flush != nil {
		row(rowFlush.With(s.Warming), *s.Flush)
	}
	if len(table.Rows) > 0 {
		b.add(table)
	}
	if s.Flat != nil {
		b.add(document.Figure{Caption: captionFlat.With(), Draw: figure.OfFlatHeight(*s.Flat).Draw, Share: 0.7})
	}
	if f := Setting(s, b.a.Inputs.Sheet.Seal); f != nil {
		b.add(document.Figure{Caption: captionSet.With(), Draw: f.Draw, Share: 0.8})
	}
	b.warnings(s.Warnings)
	b.points(s.Reasons, s.Notes, s.Unknown, s.Advice)
}

// Alignment fills the picture of an alignment; moves only where a foot may be
// moved. Before is the set as found, nil when there is none to compare with.
func Alignment(set, before *assembly.Alignment) figure.Alignment {
	var was *align.Plan
	if before != nil && before != set && before.Plan != nil && before.Plan.Valid {
		was = before.Plan
	}
	return figure.OfAlignment(set.Plan, was, set.Hold.IsZero())
}

// lengthDash is a length, or a dash when there is none.
func lengthDash(known bool, l quantity.Length) say.Shower {
	if !known {
		return dash
	}
	return l
}
