package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Chain shows the way from a cause to the damage: one box for each link, below
// the link that brought it about, with an arrow between them and what shows it.
type Chain struct{ Links []ChainLink }

// ChainLink is one link. The first is the cause; After is the place of the link
// that brought this one about, and lies before it.
type ChainLink struct {
	Name  say.Shower
	After int
	Shows []string // what was found or measured; empty for a link that only leads on
}

var (
	titleChain   = say.Define("figure.chain_title", "From cause to damage")
	msgChain     = say.Define("figure.chain_first", "{name}.")
	msgChainNext = say.Define("figure.chain_next", "{before} brings about {name}.")
	msgChainShow = say.Define("figure.chain_shows", "shows in: {items:list}")
)

const (
	chainIndent = 12.0
	chainGap    = 5.0
	chainPad    = 2.2
	mostDepth   = 6
)

// Draw makes the picture.
func (c Chain) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	type box struct{ x, y, height float64 }
	boxes := make([]box, len(c.Links))
	names, shows := make([][]string, len(c.Links)), make([][]string, len(c.Links))
	depths := make([]int, len(c.Links))
	y := 2.0
	for i, l := range c.Links {
		if i > 0 && l.After >= 0 && l.After < i {
			depths[i] = min(depths[l.After]+1, mostDepth)
		}
		x := 2 + chainIndent*float64(depths[i])
		width := sheetWidth - x - 2 - 2*chainPad
		name := words(l.Name, style)
		names[i] = draw.Wrap(name, draw.Value.Size, true, width)
		height := 2*chainPad + float64(len(names[i]))*draw.Value.Size*draw.LineStep
		if len(l.Shows) > 0 {
			shows[i] = draw.Wrap(msgChainShow.With(l.Shows).Text(style), draw.Label.Size, false, width)
			height += float64(len(shows[i])) * draw.Label.Size * draw.LineStep
		}
		boxes[i] = box{x, y, height}
		y += height + chainGap
		if i == 0 {
			told.add(msgChain.With(name))
		} else {
			told.add(msgChainNext.With(words(c.Links[l.After].Name, style), name))
		}
		if len(l.Shows) > 0 {
			told.add(msgChainShow.With(l.Shows))
		}
	}
	d := draw.New(sheetWidth, max(y-chainGap+2, 10))
	for i, l := range c.Links {
		b := boxes[i]
		pen := draw.Outline
		if i > 0 {
			pen = draw.Thin
			from := boxes[l.After]
			turn := draw.At(from.x+chainIndent/2, b.y+b.height/2)
			d.Line(draw.Outline, draw.At(turn.X, from.y+from.height), turn)
			d.Pointer(turn, draw.At(b.x, turn.Y), draw.Outline)
		}
		d.Shape(draw.Rectangle(b.x, b.y, sheetWidth-2-b.x, b.height), draw.Paper, pen)
		at := b.y + chainPad + draw.Value.Size*0.8
		for _, line := range names[i] {
			d.Text(draw.At(b.x+chainPad, at), line, draw.Value)
			at += draw.Value.Size * draw.LineStep
		}
		for _, line := range shows[i] {
			d.Text(draw.At(b.x+chainPad, at), line, draw.Label.In(draw.Soft))
			at += draw.Label.Size * draw.LineStep
		}
	}
	d.Describe(titleChain.With().Text(style), told.String())
	return d
}
