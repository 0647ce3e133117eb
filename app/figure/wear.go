package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Wear shows features against their limits: one bar each from the size as new
// to the limit, with the reading and its uncertainty on it.
type Wear struct{ Features []WearBar }

// WearBar is one feature. The limit may lie above the nominal size (bores,
// clearances) or below it (pins, lengths).
type WearBar struct {
	Part    string // id for data-part
	Name    say.Shower
	Nominal quantity.Length
	Limit   quantity.Length
	Reading *quantity.Estimate[quantity.Length] // nil: not yet read
	State   draw.State
}

var (
	titleWear   = say.Define("figure.wear_title", "Wear against limits")
	headFeature = say.Define("figure.feature", "feature")
	headRead    = say.Define("figure.read", "read")
	headLimit   = say.Define("figure.limit", "limit")
	headNew     = say.Define("figure.as_new", "as new")
	headState   = say.Define("figure.state", "state")
	msgWear     = say.Define("figure.wear", "{name}: read {value}, as new {new:length}, limit {limit:length}, {state}.")
	msgUnread   = say.Define("figure.wear_unread", "{name}: as new {new:length}, limit {limit:length}, {state}.")
)

const (
	wearFrom, wearTo = 44.0, 95.0 // the bar from as new to one and a half times the way to the limit
	wearReach        = 1.5
	wearRow          = 10.5
)

// Draw makes the picture.
func (w Wear) Draw(style say.Style) *draw.Drawing {
	told := &description{style: style}
	heights := make([]float64, len(w.Features))
	names := make([][]string, len(w.Features))
	total := 12.0
	for i, f := range w.Features {
		names[i] = draw.Wrap(words(f.Name, style), draw.Label.Size, false, wearFrom-8)
		heights[i] = max(wearRow, float64(len(names[i]))*draw.Label.Size*draw.LineStep+4)
		total += heights[i]
	}
	d := draw.New(sheetWidth, total+2)
	limitX := wearFrom + (wearTo-wearFrom)/wearReach
	head := draw.Small
	d.Text(draw.At(2, 6), headFeature.With().Text(style), head)
	d.Text(draw.At(wearFrom, 6), headNew.With().Text(style), head.At(draw.Middle))
	d.Text(draw.At(limitX, 6), headLimit.With().Text(style), head.At(draw.Middle))
	d.Text(draw.At(132, 6), headRead.With().Text(style), head.At(draw.Right))
	d.Text(draw.At(138, 6), headState.With().Text(style), head)
	d.Line(draw.Thin, draw.At(0.2, 8.6), draw.At(sheetWidth-0.2, 8.6))
	y := 10.0
	for i, f := range w.Features {
		d.Part(f.Part, func() { f.draw(d, y, heights[i], names[i], style, told) })
		y += heights[i]
		d.Line(draw.Thin.In(draw.Faint), draw.At(0.2, y), draw.At(sheetWidth-0.2, y))
	}
	d.Describe(titleWear.With().Text(style), told.String())
	return d
}

// share returns how far a size lies on the way from new (0) to the limit (1).
func (f WearBar) share(l quantity.Length) float64 {
	span := (f.Limit - f.Nominal).SI()
	if span == 0 || !usable(span) {
		return math.NaN()
	}
	return (l - f.Nominal).SI() / span
}

func (f WearBar) draw(d *draw.Drawing, y, height float64, name []string, style say.Style, told *description) {
	middle := y + height/2
	for i, line := range name {
		d.Text(draw.At(2, middle+0.35*draw.Label.Size+(float64(i)-float64(len(name)-1)/2)*draw.Label.Size*draw.LineStep), line, draw.Label)
	}
	bar := middle - 1.2
	limitX := wearFrom + (wearTo-wearFrom)/wearReach
	at := func(share float64) float64 {
		return wearFrom + (wearTo-wearFrom)*min(max(share/wearReach, -0.03), 1)
	}
	const half = 1.3
	d.Fill(draw.Rectangle(wearFrom, bar-half, limitX-wearFrom, 2*half), draw.Shade)
	d.Line(draw.Thin, draw.At(wearFrom, bar-half-0.8), draw.At(wearFrom, bar+half+0.8))
	d.Line(draw.Thin.In(draw.Faint), draw.At(wearFrom, bar), draw.At(wearTo, bar))
	small := draw.Small.Sized(2.4)
	d.Text(draw.At(wearFrom, bar+half+3.4), show(f.Nominal, style), small.At(draw.Middle))
	d.Text(draw.At(limitX, bar+half+3.4), show(f.Limit, style), small.At(draw.Middle))
	if f.Reading != nil && usable(f.Reading.Value.SI(), f.share(f.Reading.Value)) {
		share := f.share(f.Reading.Value)
		role := f.State.Role()
		x := at(share)
		d.Fill(draw.Rectangle(min(wearFrom, x), bar-0.7, math.Abs(x-wearFrom), 1.4), role)
		if u := math.Abs(f.share(f.Nominal + quantity.Length(f.Reading.U))); u > 0 && usable(u) && share <= wearReach {
			x0, x1 := at(share-u), at(share+u)
			pen := draw.Pen{Role: role, Width: 0.3}
			d.Line(pen, draw.At(x0, bar), draw.At(x1, bar))
			d.Line(pen, draw.At(x0, bar-1.6), draw.At(x0, bar+1.6))
			d.Line(pen, draw.At(x1, bar-1.6), draw.At(x1, bar+1.6))
		}
		if share > wearReach { // it goes on beyond the picture
			d.Flow(draw.At(wearTo, bar), draw.At(wearTo+3.4, bar), role)
		}
		d.Text(draw.At(132, middle+1.1), f.Reading.Show(style), draw.Label.At(draw.Right))
		told.add(msgWear.With(words(f.Name, style), f.Reading, f.Nominal, f.Limit, f.State.Word()))
	} else {
		d.Text(draw.At(132, middle+1.1), "–", draw.Label.At(draw.Right).In(draw.Soft))
		told.add(msgUnread.With(words(f.Name, style), f.Nominal, f.Limit, f.State.Word()))
	}
	// the limit stands over the bar
	d.Line(draw.Pen{Role: draw.Ink, Width: 0.6}, draw.At(limitX, bar-half-1.2), draw.At(limitX, bar+half+0.8))
	d.StateLabel(draw.At(138, middle+1.1), f.State, style, draw.Label)
}
