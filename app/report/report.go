package report

import (
	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Options say how a report is made.
type Options struct {
	Size     document.PageSize
	Style    say.Style
	Created  record.Time // for the metadata; the last entry's time when 0
	Appendix bool        // with the working of every number

	// Photo gives a photo of the job by the hash of its content; nil for a
	// photo that cannot be read. Without it the report shows none.
	Photo func(blob string) *draw.Picture
}

var (
	title        = say.Define("report.title", "Rebuild report")
	markJob      = say.Define("report.mark", "{job} · {tag}")
	foot         = say.Define("report.foot", "Entries up to {day}. Maker's manual, site rules, local codes come first. Clears no pump to run.")
	factJob      = say.Define("report.job", "Job")
	factTag      = say.Define("report.tag", "Tag (place)")
	factSerial   = say.Define("report.serial", "Serial (machine)")
	factOwner    = say.Define("report.owner", "Owner")
	factPlace    = say.Define("report.place", "Place")
	factModel    = say.Define("report.model", "Model sheet")
	factService  = say.Define("report.service", "Service")
	factLiquid   = say.Define("report.liquid", "Liquid")
	factDuty     = say.Define("report.duty", "Duty")
	factStage    = say.Define("report.stage", "Where it stands")
	factSaid     = say.Define("report.complaint", "Complaint")
	dutyWords    = say.Define("report.duty_words", "{temperature}, {pressure}, {speed}")
	modelWords   = say.Define("report.model_words", "{title} ({name}, version {version})")
	liquidWords  = say.Define("report.liquid_words", "{name}{hazards}")
	hazardWords  = say.Define("report.hazards", "; can hurt: {list:list}")
	inventedNote = say.Define("report.invented", "Invented: this pump, its people and its numbers do not exist.")
	unknownWord  = say.Define("report.unknown", "not known")

	headSummary  = say.Define("report.head_summary", "In short")
	headParts    = say.Define("report.head_parts", "Parts: what becomes of each, and why")
	headFound    = say.Define("report.head_found", "As found and as left")
	headPictures = say.Define("report.head_pictures", "The pump")
	headWear     = say.Define("report.head_wear", "Wear against limits")
	headClear    = say.Define("report.head_clearances", "Clearances, cold and in service")
	headStack    = say.Define("report.head_stack", "Setting the end clearance")
	headFindings = say.Define("report.head_findings", "What was seen")
	headOpen     = say.Define("report.head_open", "Open points")
	headCautions = say.Define("report.head_cautions", "Cautions for the steps ahead")
	headSigned   = say.Define("report.head_signed", "Signatures")
	headWorking  = say.Define("report.head_working", "Appendix: how the numbers came about")
)

// Build makes the tree of the report.
func Build(a *assess.Assessment, o Options) *document.Report {
	b := builder{a: a, o: o}
	r := &document.Report{Title: title.With(), Mark: b.mark(), Foot: foot.With(a.Inputs.Job.Last.Day()), Author: b.shopName(), Facts: b.facts()}
	created := o.Created
	if created == 0 {
		created = a.Inputs.Job.Last
	}
	r.Created = created.Time()
	if a.Inputs.Sheet.Title != "" {
		r.Subtitle = say.Plain(a.Inputs.Sheet.Title)
	}
	b.summary()
	b.parts()
	b.foundAndLeft()
	b.pictures()
	b.wear()
	b.clearances()
	b.stack()
	b.extra()
	b.findings()
	b.photos()
	b.outside()
	b.cause()
	b.offer()
	b.open()
	b.cautions()
	b.signatures()
	if o.Appendix {
		b.appendix()
	}
	r.Blocks = b.blocks
	return r
}

type builder struct {
	a      *assess.Assessment
	o      Options
	blocks []document.Block
}

func (b *builder) add(blocks ...document.Block) { b.blocks = append(b.blocks, blocks...) }

func (b *builder) heading(t say.Template) { b.add(document.Heading{Level: 1, Text: t.With()}) }

func (b *builder) paragraph(m say.Message) { b.add(document.Paragraph{Text: m}) }

func (b *builder) open0() job.Open {
	if b.a.Inputs.Job.Open == nil {
		return job.Open{}
	}
	return b.a.Inputs.Job.Open.Body
}

func (b *builder) mark() say.Message {
	open := b.open0()
	tag := open.Tag
	if tag == "" {
		tag = open.Serial
	}
	return markJob.With(open.Job, tag)
}

func (b *builder) shopName() string {
	if b.a.Inputs.Shop != nil {
		return b.a.Inputs.Shop.Name
	}
	return ""
}

// facts is the title block.
func (b *builder) facts() []document.Fact {
	open := b.open0()
	in := b.a.Inputs
	var facts []document.Fact
	add := func(name say.Template, value say.Shower) {
		facts = append(facts, document.Fact{Name: name.With(), Value: value})
	}
	words := func(name say.Template, text string) {
		if text != "" {
			add(name, say.Plain(text))
		}
	}
	words(factJob, open.Job)
	words(factTag, open.Tag)
	words(factSerial, open.Serial)
	words(factOwner, open.Owner)
	words(factPlace, open.Place)
	words(factSaid, open.Complaint)
	add(factModel, modelWords.With(in.Sheet.Title, in.Sheet.Name, in.Sheet.Version))
	if s := in.Service; s != nil {
		words(factService, s.Name)
		liquid := unknownWord.With().String()
		if in.Liquid != nil {
			liquid = in.Liquid.Title
		}
		hazards := say.Message{}
		if len(s.Hazards) > 0 {
			hazards = hazardWords.With(s.Hazards)
		}
		add(factLiquid, liquidWords.With(liquid, hazards))
		add(factDuty, dutyWords.With(orUnknown(s.Temperature != nil, func() say.Shower { return s.Temperature.Value }),
			orUnknown(s.Pressure != nil, func() say.Shower { return s.Pressure.Value }),
			orUnknown(s.Speed != nil, func() say.Shower { return s.Speed.Value })))
	}
	add(factStage, b.a.Progress.Stage.Name())
	return facts
}

func orUnknown(known bool, value func() say.Shower) say.Shower {
	if known {
		return value()
	}
	return unknownWord.With()
}

func has(f *reading.Feature) bool { return f != nil && f.Mean != nil }

var (
	colPart    = say.Define("report.col_part", "part")
	colVerdict = say.Define("report.col_verdict", "what becomes of it")
	colWhy     = say.Define("report.col_why", "why")
)

func (b *builder) parts() {
	b.heading(headParts)
	table := document.Table{Columns: []document.Column{{Head: colPart.With()}, {Head: colVerdict.With()}, {Head: colWhy.With()}}}
	for _, d := range b.a.Parts.Decisions {
		reasons := say.Message{}
		if list := b.withShare(d.Part.ID, d.Reasons); len(list) > 0 {
			reasons = joinReasons.With(list)
		}
		table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
			document.Words(say.Plain(d.Part.Name)), {Text: d.Verdict.Message(), State: stateOfPart(d)}, document.Words(reasons),
		}})
	}
	b.add(table)
	for _, w := range b.a.Parts.Warnings {
		b.add(document.Note{Text: w})
	}
}

var joinReasons = say.Define("report.reasons", "{reasons:list}")

func stateOfPart(d *part.Decision) *draw.State {
	s := draw.NotRead
	switch d.Verdict {
	case part.Reuse:
		s = draw.Good
	case part.Replace, part.Rework:
		if d.Part.Always {
			return nil
		}
		s = draw.PastLimit
	case part.MeasureAgain, part.Engineering:
		s = draw.MeasureAgain
	}
	return &s
}

func stateOf(f *reading.Feature) draw.State {
	switch f.Word {
	case reading.Good, reading.NoLimit:
		return draw.Good
	case reading.PastLimit:
		return draw.PastLimit
	case reading.MeasureAgain:
		return draw.MeasureAgain
	}
	return draw.NotRead
}

// extra holds the chapters that need more than the bench: delivery, proof,
// assembly. They add themselves where they exist.
func (b *builder) extra() {
	b.delivery()
	b.assembly()
	b.proof()
}

var signRole = say.Define("report.sign_role", "{roles:list}")

func (b *builder) signatures() {
	b.heading(headSigned)
	var lines []document.Signature
	for _, s := range b.a.Progress.Steps {
		if s.Step.Hold == nil {
			continue
		}
		line := document.Signature{Role: signRole.With(say.WordList("access", s.Step.Hold.Who)), For: say.Known(s.Step.Hold.For)}
		if s.Status == progress.Done {
			line.Name = say.Plain(b.a.Inputs.Shop.PersonName(s.Meta.By))
			line.Date = s.Meta.At.Day().Message()
		}
		lines = append(lines, line)
	}
	b.add(document.Signatures{Lines: lines})
}
