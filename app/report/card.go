package report

import (
	"strconv"

	"pumpwright/app/document"
	"pumpwright/app/figure"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/sheet"
)

var (
	cardTitle   = say.Define("report.card_title", "Bench card")
	cardJob     = say.Define("report.card_job", "Job")
	cardTag     = say.Define("report.card_tag", "Tag, serial")
	cardBy      = say.Define("report.card_by", "Measured by")
	cardDay     = say.Define("report.card_day", "Day")
	cardIntro   = say.Define("report.card_intro", "Write down every reading, not the mean, with its unit if it is not the one printed. What cannot be read: write why. The values are typed in later in this order.")
	cardStage   = say.Define("report.card_stage", "{stage:message}")
	cardRow     = say.Define("report.card_row", "{feature} (new {nominal})")
	cardLimit   = say.Define("report.card_limit", "{feature} (new {nominal}; limit {limit:message})")
	cardHold    = say.Define("report.card_hold", "Hold point, work stops here until signed: {for}.")
	cardStack   = say.Define("report.card_stack", "Old stack, casing to head")
	cardTrial   = say.Define("report.card_trial", "Trial assembly")
	cardPieces  = say.Define("report.card_pieces", "kinds and pieces fitted")
	cardFeeler  = say.Define("report.card_feeler", "leaf that goes / leaf that does not")
	cardDial    = say.Define("report.card_dial", "dial, bearing float taken off")
	cardPiece   = say.Define("report.card_piece", "piece {n:count}, sealing or film")
	cardEmpty   = say.Plain(" ")
	cardFoot    = say.Define("report.card_foot", "Prompts only: the maker's manual, site rules and local codes come first.")
	placeMicros = say.Define("report.card_micrometer", "micrometer, light even force")
)

// Card makes the blank bench card of a model: every reading of its procedure in
// the order of the bench, with boxes to write in, the cautions before the
// step, and lines to sign.
func Card(s *sheet.Sheet, p *procedure.Procedure, style say.Style) *document.Report {
	r := &document.Report{Title: cardTitle.With(), Subtitle: say.Plain(s.Title), Mark: say.Plain(s.Name + " " + s.Version), Foot: cardFoot.With()}
	for _, name := range []say.Template{cardJob, cardTag, cardBy, cardDay} {
		r.Facts = append(r.Facts, document.Fact{Name: name.With(), Value: cardEmpty})
	}
	r.Blocks = append(r.Blocks, document.Paragraph{Text: cardIntro.With()})
	var stage procedure.Stage
	for _, step := range p.For(s.Build) {
		blocks := cardStep(s, p, step, style)
		if len(blocks) == 0 {
			continue
		}
		if step.Stage != stage {
			stage = step.Stage
			blocks = append([]document.Block{document.Heading{Level: 1, Text: cardStage.With(stage.Name())}}, blocks...)
		}
		r.Blocks = append(r.Blocks, document.Group{Blocks: blocks})
	}
	return r
}

// cardStep is one step on the card, nothing for a step without anything to
// write down.
func cardStep(s *sheet.Sheet, p *procedure.Procedure, step *procedure.Step, style say.Style) []document.Block {
	card := figure.Card{Title: p.TitleOf(step)}
	for _, role := range step.Reads {
		f := s.ByRole(role)
		if f == nil || !f.Only.Holds(s.Build) || f.Difference != nil {
			continue
		}
		card.Rows = append(card.Rows, cardReading(f, style))
	}
	switch step.Records {
	case "stack-found":
		for n := 1; n <= 6; n++ {
			card.Rows = append(card.Rows, figure.CardRow{Name: cardPiece.With(n), Instrument: placeMicros.With(), Places: []string{"1", "2", "3", "4"}, Unit: lengthUnit(0.1e-3, style)})
		}
	case "trial":
		card.Rows = append(card.Rows,
			figure.CardRow{Name: cardPieces.With()},
			figure.CardRow{Name: cardFeeler.With(), Places: []string{"1", "2", "3"}, Unit: lengthUnit(0.1e-3, style)},
			figure.CardRow{Name: cardDial.With(), Unit: lengthUnit(0.1e-3, style)})
	}
	if step.Hold != nil {
		return []document.Block{
			document.Paragraph{Text: cardHold.With(say.Known(step.Hold.For))},
			document.Signatures{Lines: []document.Signature{{Role: signRole.With(say.WordList("access", step.Hold.Who))}}},
		}
	}
	if len(card.Rows) == 0 {
		return nil
	}
	var blocks []document.Block
	for _, id := range step.Cautions {
		blocks = append(blocks, document.Caution{Text: p.Caution(id)})
	}
	return append(blocks, document.Figure{Draw: card.Draw})
}

func cardReading(f *sheet.Feature, style say.Style) figure.CardRow {
	row := figure.CardRow{Part: f.Part, Name: say.Plain(f.Name), Instrument: say.Plain(f.Instrument)}
	if f.Nominal != nil {
		row.Name = cardRow.With(f.Name, say.Plain(quantity.Show(f.Nominal.Dimension, f.Nominal.SI, style)))
		row.Unit = quantity.ShowUnit(f.Nominal.Dimension, f.Nominal.SI, style)
	}
	planes, angles := f.Planes, f.Angles
	if len(planes) == 0 {
		planes = []string{""}
	}
	if len(angles) == 0 {
		if len(f.Planes) > 0 {
			row.Places = f.Planes
		}
		return row
	}
	for _, plane := range planes {
		for _, angle := range angles {
			row.Places = append(row.Places, plane+strconv.FormatFloat(angle, 'f', -1, 64)+"°")
		}
	}
	return row
}

func lengthUnit(v float64, style say.Style) string {
	return quantity.ShowUnit(quantity.LengthDimension, v, style)
}
