package figure

import (
	"math"
	"slices"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Stack is the stack of gaskets in the order from the casing to the head.
type Stack struct{ Layers []Layer }

// Layer is one gasket.
type Layer struct {
	Kind      say.Shower
	Thickness quantity.Length // as compressed
	Sealing   bool            // a sealing gasket, not only a shim
	Change    Change
}

// Change says what happens to a layer since the last trial.
type Change uint8

// The changes.
const (
	Stays Change = iota
	PutIn
	TakeOut
)

var (
	titleStack   = say.Define("figure.stack_title", "Gasket stack from casing to head")
	wordSealing  = say.Define("figure.sealing", "{kind}, seals")
	wordPutIn    = say.Define("figure.put_in", "put in")
	wordTakeOut  = say.Define("figure.take_out", "take out")
	msgTotal     = say.Define("figure.stack_total", "stack {total:length}")
	msgLayer     = say.Define("figure.stack_layer", "{place:count}. {kind}, {thickness:length}.")
	msgLayerDo   = say.Define("figure.stack_layer_change", "{place:count}. {kind}, {thickness:length}, {change}.")
	msgThen      = say.Define("figure.stack_then", "then {total:length}")
	msgStackNote = say.Define("figure.stack_note", "Thicknesses as compressed, in proportion to each other.")
	msgNoGasket  = say.Define("figure.no_gasket", "no gasket")
)

const (
	stackFrom, stackTo = 62.0, 112.0
	stackLabels        = 126.0
	stackBody          = 9.0 // height of casing and head blocks
)

// layerGap is the room between layers on the sheet; thinnest is the least
// height of one.
const layerGap, thinnest = 0.4, 0.7

// heights returns the heights of the layers on the sheet, in proportion to
// their thickness, all together about as high as the room.
func (s Stack) heights(room float64) []float64 {
	total := 0.0
	for _, l := range s.Layers {
		total += millimetres(l.Thickness)
	}
	heights := make([]float64, len(s.Layers))
	for i, l := range s.Layers {
		k := min(max(1, room-layerGap*float64(len(s.Layers)))/total, 90)
		heights[i] = max(thinnest, k*millimetres(l.Thickness))
	}
	return heights
}

// Draw makes the picture.
func (s Stack) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	labels := 0.0
	room := draw.New(sheetWidth, 1)
	for _, l := range s.Layers {
		if !positive(l.Thickness) {
			return missing(titleStack.With(), words(l.Kind, style), style)
		}
		labels += room.CalloutsHeight([]draw.Callout{s.callout(l, style)}, draw.Right, stackLabels)
	}
	heights := s.heights(max(26, labels-2*stackBody+4))
	body := 0.0
	for _, h := range heights {
		body += h + layerGap
	}
	if len(s.Layers) == 0 {
		body = 2
	}
	top := 4 + stackBody
	d := draw.New(sheetWidth, max(top+body+stackBody+4, labels+6)+7)
	top += max(0, (labels+6-(body+2*stackBody+8))/2)
	block := func(id string, y float64, h draw.Hatching) {
		d.Part(id, func() {
			a := draw.Rectangle(stackFrom-6, y, stackTo-stackFrom+12, stackBody)
			d.Hatch(a, h)
			d.Stroke(a, draw.Outline)
			d.Text(draw.At((stackFrom+stackTo)/2, y+stackBody/2+1.1), PartName(id).Text(style), draw.Label.At(draw.Middle).OnGround())
		})
	}
	block(PartCasing, top-stackBody, draw.HatchRising)
	block(PartHead, top+body, draw.HatchFalling)
	y := top
	left := 0.0
	var callouts []draw.Callout
	for i, l := range s.Layers {
		kind := s.kind(l, style)
		c := s.callout(l, style)
		c.Target = draw.At(stackTo-2, y+heights[i]/2)
		d.Part(PartGaskets, func() { s.layer(d, l, y, heights[i], style) })
		switch l.Change {
		case PutIn:
			told.add(msgLayerDo.With(i+1, kind, l.Thickness, wordPutIn.With()))
		case TakeOut:
			told.add(msgLayerDo.With(i+1, kind, l.Thickness, wordTakeOut.With()))
		default:
			told.add(msgLayer.With(i+1, kind, l.Thickness))
		}
		if l.Change != TakeOut {
			left += l.Thickness.SI()
		}
		callouts = append(callouts, c)
		y += heights[i] + layerGap
	}
	if len(s.Layers) == 0 {
		told.add(msgNoGasket.With())
	}
	d.Callouts(callouts, draw.Right, stackLabels, 3, d.Height-8, style)
	sum := msgTotal.With(quantity.Length(left)).Text(style)
	if slices.ContainsFunc(s.Layers, func(l Layer) bool { return l.Change != Stays }) {
		sum = msgThen.With(quantity.Length(left)).Text(style)
	}
	d.DimensionIn(draw.At(stackFrom-6, top), draw.At(stackFrom-6, top+body), -25, "", draw.Leading, draw.Label)
	d.Text(draw.At(stackFrom-33, top+body/2+1.2), sum, draw.Value.Sized(3.0).At(draw.Right))
	told.add(msgNamed.With(titleStack.With(), say.Plain(sum)))
	d.Text(draw.At(2, d.Height-2.6), msgStackNote.With().Text(style), draw.Small)
	d.Describe(titleStack.With().Text(style), told.String())
	return d
}

func (s Stack) kind(l Layer, style say.Style) string {
	kind := words(l.Kind, style)
	if l.Sealing {
		kind = wordSealing.With(kind).Text(style)
	}
	return kind
}

func (s Stack) callout(l Layer, style say.Style) draw.Callout {
	c := draw.Callout{Words: s.kind(l, style), Second: show(l.Thickness, style), Part: PartGaskets}
	if l.Change == PutIn {
		c.Role = draw.Accent
	}
	return c
}

func (s Stack) layer(d *draw.Drawing, l Layer, y, height float64, style say.Style) {
	a := draw.Rectangle(stackFrom, y, stackTo-stackFrom, height)
	mark := func(word say.Template, role draw.Role, in bool) {
		x := stackFrom - 8.0
		tip, tail := draw.At(stackFrom-1, y+height/2), draw.At(stackFrom-7, y+height/2)
		if !in {
			tip, tail = tail, tip
		}
		d.Pointer(tail, tip, draw.Pen{Role: role, Width: 0.35})
		d.Text(draw.At(x-0.6, y+height/2+0.95), word.With().Text(style), draw.Label.Sized(2.8).At(draw.Right).In(role).OnGround())
	}
	switch l.Change {
	case PutIn:
		d.Shape(a, draw.Tint, draw.Marked.Wide(0.35))
		mark(wordPutIn, draw.Accent, true)
	case TakeOut:
		d.Stroke(a, draw.Hidden.In(draw.Ink))
		d.Line(draw.Thin, draw.At(stackFrom, y+height), draw.At(stackTo, y))
		mark(wordTakeOut, draw.Ink, false)
	default:
		d.Shape(a, draw.Shade, draw.Thin)
	}
	if l.Sealing && l.Change != TakeOut {
		role := draw.Soft
		d.Hatch(a, draw.Hatching{Degrees: 90, Spacing: 1.6, Pen: draw.Pen{Role: role, Width: math.Min(0.18, height/6)}})
	}
}
