package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Card is a piece of a blank bench card: readings to be written by hand, with
// boxes large enough for a gloved hand and a pencil.
type Card struct {
	Title say.Shower
	Rows  []CardRow
}

// CardRow is one feature to be read.
type CardRow struct {
	Part       string
	Name       say.Shower
	Instrument say.Shower // and how; may be nil
	Places     []string   // one box each; none: one box
	Unit       string
	Tick       bool // a box to tick and no number
}

var (
	titleCard = say.Define("figure.card_title", "Bench card")
	msgCard   = say.Define("figure.card_row", "{name}: {n:count|box|boxes}, {unit}.")
	msgTick   = say.Define("figure.card_tick", "{name}: to tick.")
)

const (
	cardText        = 58.0 // width of names
	cardBox         = 22.0
	cardBoxHeight   = 10.0
	cardGap         = 2.5
	cardLabelHeight = 3.6
)

// perLine is how many boxes stand side by side.
const perLine = 4

// Draw makes the piece.
func (c Card) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	d := draw.New(sheetWidth, 10)
	y := 2.0
	if text := words(c.Title, style); text != "" {
		d.Text(draw.At(1, y+4), draw.Shorten(text, draw.Header.Size, true, sheetWidth-2), draw.Header)
		y += 8
	}
	d.Line(draw.Outline, draw.At(0.3, y), draw.At(sheetWidth-0.3, y))
	for _, row := range c.Rows {
		d.Part(row.Part, func() { y = row.draw(d, y, style, told) })
		d.Line(draw.Thin, draw.At(0.3, y), draw.At(sheetWidth-0.3, y))
	}
	d.Height = y + 2
	title := words(c.Title, style)
	if title == "" {
		title = titleCard.With().Text(style)
	}
	d.Describe(title, told.String())
	return d
}

func (r CardRow) draw(d *draw.Drawing, y float64, style say.Style, told *description) float64 {
	top := y + 2.2
	name := words(r.Name, style)
	box := d.Paragraph(draw.At(1, top+3), name, cardText-4, draw.Label.Sized(3.4))
	left := box.Bottom()
	if how := words(r.Instrument, style); how != "" {
		left = d.Paragraph(draw.At(1, left+3.4), how, cardText-4, draw.Small).Bottom()
	}
	if r.Tick {
		d.Stroke(draw.Rectangle(cardText+4, top, 7, 7), draw.Outline)
		told.add(msgTick.With(name))
		return max(left, top+7) + 2.2
	}
	places := r.Places
	if len(places) == 0 {
		places = []string{""}
	}
	labelled := cardLabelHeight
	if len(places) == 1 && places[0] == "" {
		labelled = 0
	}
	bottom := top
	for i, place := range places {
		x := cardText + 4 + float64(i%perLine)*(cardBox+cardGap)
		by := top + float64(i/perLine)*(cardBoxHeight+labelled+1.6)
		if place != "" {
			d.Text(draw.At(x+0.4, by+2.4), draw.Shorten(place, draw.Small.Size, false, cardBox), draw.Small)
		}
		d.Stroke(draw.Rectangle(x, by+labelled, cardBox, cardBoxHeight), draw.Outline)
		bottom = max(bottom, by+labelled+cardBoxHeight)
	}
	last := min(len(places), perLine)
	d.Text(draw.At(cardText+4+float64(last)*(cardBox+cardGap), top+labelled+cardBoxHeight-2.6), draw.Shorten(r.Unit, draw.Label.Size, false, sheetWidth-cardText-6-float64(last)*(cardBox+cardGap)), draw.Label)
	told.add(msgCard.With(name, len(places), r.Unit))
	return max(left, bottom) + 2.2
}
