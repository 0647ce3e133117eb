package bench

import (
	"slices"
	"strconv"

	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	verdict "pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/knowledge"
)

// morePieces is how many rows an empty form of a stack has.
const morePieces = 7

// record is the form of the entry that a step asks for; nil when the step asks
// for none, or for one with a page of its own.
func (n *now) record() *part.Entry {
	step := n.step.Step
	draft := step.Records + "." + step.ID
	form := func(kind string, word say.Template, fields ...part.Field) *part.Entry {
		return n.v.EntryFor(n.j, kind, draft, word.With(), fields...)
	}
	switch step.Records {
	case job.KindStackFound:
		return form(job.KindStackFound, wordWriteDown, part.Field{Name: "b/mixed", Word: wordMixed.With(), Kind: part.Check})
	case job.KindDecision:
		return form(job.KindDecision, wordDecide, n.decision("")...)
	case job.KindCause:
		return form(job.KindCause, wordWriteDown, n.cause()...)
	case job.KindFitted:
		return form(job.KindFitted, wordWriteDown,
			n.partChoice("t/part"), line("t/batch", wordBatch), line("t/serial", wordSerial), line("t/elastomer", wordElastomer), line("t/note", wordRemark))
	case job.KindTorque:
		return form(job.KindTorque, wordWriteDown, n.torque()...)
	case job.KindSides:
		return form(job.KindSides, wordWriteDown, n.sides()...)
	case job.KindPress:
		return n.pressing(form(job.KindPress, wordWriteDown))
	case job.KindTestPoint:
		e := form(job.KindTestPoint, wordWriteDown, n.testPoint()...)
		e.Answers = n.j.Path("/answer")
		return e
	case job.KindRelief:
		return n.relief(form(job.KindRelief, wordWriteDown))
	case job.KindRunning:
		return n.running(form(job.KindRunning, wordWriteDown))
	case job.KindAlignment:
		return n.alignment(form(job.KindAlignment, wordWriteDown))
	case job.KindQuote:
		return form(job.KindQuote, wordWriteDown,
			must(line("t/number", wordNumber)), part.Field{Name: "n/total", Word: wordTotal.With(), Kind: part.Number}, line("t/currency", wordCurrency),
			part.Field{Name: "n/valid_days", Word: wordValidDays.With(), Kind: part.Number}, part.Field{Name: "t/note", Word: wordRemark.With(), Kind: part.Area})
	case job.KindClose:
		return form(job.KindClose, wordCloseJob, line("t/result", wordResult), part.Field{Name: "t/note", Word: wordRemark.With(), Kind: part.Area})
	}
	return nil
}

func line(name string, word say.Template) part.Field {
	return part.Field{Name: name, Word: word.With(), Kind: part.Line}
}

func must(f part.Field) part.Field { f.Must = true; return f }

func (n *now) measure(name string, word say.Template, d quantity.Dimension) part.Field {
	return part.Field{Name: name, Word: word.With(), Kind: part.Measure, Units: n.v.View.UnitsFor(d)}
}

func (n *now) partChoice(name string) part.Field {
	f := part.Field{Name: name, Word: wordFindingPart.With(), Kind: part.Choice}
	for i := range n.a.Inputs.Sheet.Parts {
		p := &n.a.Inputs.Sheet.Parts[i]
		f.Options = append(f.Options, part.Option{Value: p.ID, Word: say.Plain(p.Name)})
	}
	return f
}

// gasketOptions are the kinds of gasket of the sheet.
func (n *now) gasketOptions() []part.Option {
	options := []part.Option{{Value: "", Word: wordNoKind.With()}}
	for i := range n.a.Inputs.Sheet.Gaskets {
		name := n.a.Inputs.Sheet.Gaskets[i].Name
		options = append(options, part.Option{Value: name, Word: say.Plain(name)})
	}
	return options
}

// pieceRow is one row of the old stack, from casing to head.
type pieceRow struct {
	number                   int
	thickness, kind, sealing string // names of the fields
}

func pieceRows() []pieceRow {
	rows := make([]pieceRow, morePieces)
	for i := range rows {
		at := strconv.Itoa(i)
		rows[i] = pieceRow{i + 1, part.Pointer("t", "pieces", at, "thickness"), part.Pointer("t", "pieces", at, "kind"), part.Pointer("b", "pieces", at, "sealing")}
	}
	return rows
}

// typed returns what came back for a field.
func typed(e *part.Entry, name string) string {
	if e.Typed == nil {
		return ""
	}
	return e.Typed.Get(name)
}

// decision are the fields of what becomes of a part; of the part named, or of
// one to be chosen.
func (n *now) decision(id string) []part.Field {
	choice := part.Field{Name: "t/decision", Word: wordDecision.With(), Kind: part.Choice}
	advice := verdict.NotMeasured
	if d := n.a.Parts.Of(id); d != nil {
		advice = d.Advice
	}
	for _, v := range []verdict.Verdict{verdict.Reuse, verdict.Rework, verdict.Replace, verdict.Engineering} {
		choice.Options = append(choice.Options, part.Option{Value: string(v), Word: part.VerdictWord(v)})
		if v == advice {
			choice.Value = string(v)
		}
	}
	which := n.partChoice("t/part")
	if id != "" {
		which = part.Field{Name: "t/part", Kind: part.Hidden, Value: id}
	}
	return []part.Field{which, choice, must(line("t/reason", wordWhy))}
}

func (n *now) cause() []part.Field {
	f := part.Field{Name: "t/cause", Word: wordCause.With(), Kind: part.Choice}
	if base, err := knowledge.Embedded(); err == nil {
		for _, c := range base.Causes {
			f.Options = append(f.Options, part.Option{Value: c.ID, Word: wordFindingOne.With(c.ID, c.Name)})
		}
	}
	return []part.Field{f, {Name: "b/confirmed", Word: wordConfirmed.With(), Kind: part.Check}, {Name: "t/note", Word: wordForAgainst.With(), Kind: part.Area}}
}

func (n *now) torque() []part.Field {
	which := part.Field{Name: "t/fastener", Word: wordBolts.With(), Kind: part.Choice}
	pass := 1
	torque := part.Field{Name: "t/torque", Word: wordTorque.With(), Kind: part.Measure, Units: n.v.View.UnitsFor(quantity.TorqueDimension), Must: true}
	for i := range n.a.Inputs.Sheet.Fasteners {
		f := &n.a.Inputs.Sheet.Fasteners[i]
		which.Options = append(which.Options, part.Option{Value: f.ID, Word: say.Plain(f.Name)})
	}
	// The pass that comes next stands there with its value: one tap ticks it.
	if g := n.tightened(); g != nil {
		which.Value = g.Fastener.ID
		for _, p := range g.Passes {
			if p.Entered != nil && !g.Complete {
				continue
			}
			pass = p.Number
			if g.Torque > 0 {
				torque.Value = n.v.View.T(quantity.Like(p.Torque, g.Torque))
				torque.Help = wordTorqueHelp.With(g.Fastener.Name, g.Torque, passes(g.Fastener.Passes))
			}
			if !g.Complete {
				break
			}
		}
	}
	tool := part.Field{Name: "t/instrument", Word: wordWith.With(), Kind: part.Choice, Options: []part.Option{{Value: "", Word: wordNoTool.With()}}}
	if shop := n.a.Inputs.Shop; shop != nil {
		for i := range shop.Instruments {
			if in := &shop.Instruments[i]; in.Kind == "torque wrench" {
				tool.Options = append(tool.Options, part.Option{Value: in.ID, Word: instrumentWords(standing(in, n.a), in.ID, in.Name, in.Due)})
				tool.Value = in.ID
			}
		}
	}
	return []part.Field{which, {Name: "n/pass", Word: wordPass.With(), Kind: part.Number, Value: strconv.Itoa(pass), Must: true}, torque, tool}
}

// sides is which way the pump turned, as the arrow or the drive shows.
func (n *now) sides() []part.Field {
	return []part.Field{
		{Name: "t/rotation", Word: wordRotation.With(), Kind: part.Choice, Value: n.a.Sides.Rotation, Help: n.a.Sides.Turns, Options: []part.Option{
			{Value: sides.Clockwise, Word: wordClockwise.With()}, {Value: sides.Anticlockwise, Word: wordAnticlockwise.With()}}},
		{Name: "b/head_turned", Word: wordHeadTurned.With(), Kind: part.Check},
		line("t/note", wordRemark),
	}
}

func passes(shares []float64) []string {
	var list []string
	for _, s := range shares {
		list = append(list, strconv.FormatFloat(s*100, 'f', 0, 64)+" %")
	}
	if len(list) == 0 {
		list = []string{"100 %"}
	}
	return list
}

// running are the readings after the start; those that few shops can take are
// folded away.
func (n *now) running(e *part.Entry) *part.Entry {
	e.Fields = []part.Field{
		must(line("t/after", wordAfterStart)), n.measure("t/pressure", wordPressure, quantity.PressureDifferenceDimension),
		n.measure("t/flow", wordFlow, quantity.FlowDimension), n.measure("t/temperature", wordTemperature, quantity.TemperatureDimension),
		{Name: "t/current", Word: wordCurrent.With(), Kind: part.Measure, Units: []string{"A"}},
		{Name: "n/leakage", Word: wordLeakage.With(), Kind: part.Number},
		n.measure("t/viscosity", wordViscosity, quantity.KinematicViscosityDimension),
	}
	e.Groups = []part.Group{{Word: wordMoreRead.With(), Folded: true, Fields: []part.Field{
		n.measure("t/vacuum", wordVacuum, quantity.PressureDifferenceDimension), n.measure("t/speed", wordSpeed, quantity.RotationalSpeedDimension),
		n.measure("t/power", wordPower, quantity.PowerDimension), n.measure("t/bearing_temperature", wordBearing, quantity.TemperatureDimension),
		n.measure("t/vibration", wordVibration, quantity.SpeedDimension), line("t/note", wordRemark),
	}}}
	return e
}

// evidence is one row of the list of evidence.
type evidence struct {
	id   string
	name say.Message
	text say.Message
	part string
}

// evidenceRows lists the evidence, grouped as in the list of the trade.
func evidenceRows() []evidence {
	base, err := knowledge.Embedded()
	if err != nil {
		return nil
	}
	rows := make([]evidence, 0, len(base.Evidence))
	for _, e := range base.Evidence {
		rows = append(rows, evidence{e.ID, wordFindingOne.With(e.ID, say.Known(e.Name)), wordWhere.With(say.Known(e.Looks), say.Known(e.Where)), base.Parts[e.Part]})
	}
	return rows
}

func evidenceName(id string) string {
	base, err := knowledge.Embedded()
	if err != nil {
		return id
	}
	i := slices.IndexFunc(base.Evidence, func(e knowledge.Evidence) bool { return e.ID == id })
	if i < 0 {
		return id
	}
	return base.Evidence[i].Name
}

func findingWords(f job.Finding) say.Message {
	if f.Absent {
		return wordFindingGone.With(f.Evidence, evidenceName(f.Evidence))
	}
	return wordFindingOne.With(f.Evidence, evidenceName(f.Evidence))
}

// finding is the form of a finding; its buttons say whether it was seen.
func (n *now) finding() *part.Entry {
	return n.v.EntryFor(n.j, job.KindFinding, "finding", nil)
}
