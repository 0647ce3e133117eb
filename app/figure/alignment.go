package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Alignment shows how the driver lies to the pump and where it has to go, from
// the side and from above.
type Alignment struct {
	Side   AlignmentView
	Above  AlignmentView
	Before *[2]AlignmentView // how it lay before: from the side, from above; only the deviations count
}

// AlignmentView is one view. Deviations are those of the driver's axis from
// the pump's: upwards, or away from the viewer of the side view, positive.
type AlignmentView struct {
	AtCoupling quantity.Length
	AtNear     quantity.Length // at the feet next to the coupling
	AtFar      quantity.Length
	ToNear     quantity.Length // from the middle of the coupling to the feet; 0: drawn in proportion
	ToFar      quantity.Length
	MoveNear   say.Shower // what to do with the near feet, in words and number
	MoveFar    say.Shower
	State      draw.State
}

var (
	titleAlignment = say.Define("figure.alignment_title", "Alignment of driver to pump")
	wordSide       = say.Define("figure.from_the_side", "from the side")
	wordAbove      = say.Define("figure.from_above", "from above")
	wordPumpStays  = say.Define("figure.pump_stays", "pump, stays")
	wordDriver     = say.Define("figure.driver_moves", "driver, moves")
	wordAtCoupling = say.Define("figure.at_coupling", "at the coupling {value:length}")
	wordNear       = say.Define("figure.near_feet", "near feet")
	wordFar        = say.Define("figure.far_feet", "far feet")
	msgAlignView   = say.Define("figure.alignment_view", "Seen {view}: {coupling:length} at the coupling, {near:length} at the near feet, {far:length} at the far feet; {state}.")
	msgAlignMoves  = say.Define("figure.alignment_moves", "Near feet: {near}. Far feet: {far}.")
	msgAlignBefore = say.Define("figure.alignment_before", "Before, broken line: {coupling:length} at the coupling, {near:length} at the near feet, {far:length} at the far feet.")
	msgAlignBroken = say.Define("figure.alignment_broken", "Broken line: as it lay before.")
	msgAlignScale  = say.Define("figure.alignment_scale", "Deviations are drawn about {times:count} times as large as they are; positive is up, or away from you.")
)

const (
	alignRow                   = 50.0
	alignCoupling              = 66.0
	alignFar                   = 146.0
	alignPumpFrom, alignPumpTo = 8.0, 56.0
	alignLargest               = 7.0 // mm on the sheet for the largest deviation
)

// Draw makes the picture.
func (a Alignment) Draw(style say.Style) *draw.Drawing {
	largest := 0.0
	all := []AlignmentView{a.Side, a.Above}
	if a.Before != nil {
		all = append(all, a.Before[:]...)
	}
	for _, v := range all {
		for _, l := range []quantity.Length{v.AtCoupling, v.AtNear, v.AtFar} {
			if !usable(l.SI()) {
				return missing(titleAlignment.With(), wordAtCoupling.With(l).Text(style), style)
			}
			largest = max(largest, math.Abs(millimetres(l)))
		}
	}
	k := 1.0
	if largest > 0 {
		k = min(alignLargest/largest, 200)
	}
	told := &description{style: style}
	d := draw.New(sheetWidth, 2*alignRow+8)
	for i, v := range []AlignmentView{a.Side, a.Above} {
		view := wordSide
		if i == 1 {
			view = wordAbove
		}
		v.draw(d, 2+alignRow*float64(i), k, view, i == 0, style)
		told.add(msgAlignView.With(view.With(), v.AtCoupling, v.AtNear, v.AtFar, v.State.Word()))
		if a.Before != nil {
			was := a.Before[i]
			v.before(d, 2+alignRow*float64(i), k, was)
			told.add(msgAlignBefore.With(was.AtCoupling, was.AtNear, was.AtFar))
		}
		if near, far := words(v.MoveNear, style), words(v.MoveFar, style); near != "" && far != "" {
			told.add(msgAlignMoves.With(near, far))
		}
	}
	note := msgAlignScale.With(int(math.Round(k)))
	text := note.Text(style)
	if a.Before != nil {
		text += " " + msgAlignBroken.With().Text(style)
	}
	d.Text(draw.At(2, d.Height-2.4), text, draw.Small)
	told.add(note)
	d.Describe(titleAlignment.With().Text(style), told.String())
	return d
}

func (v AlignmentView) draw(d *draw.Drawing, top, k float64, view say.Template, side bool, style say.Style) {
	axis := top + 22
	d.Text(draw.At(2, top+3), view.With().Text(style), draw.Value.Sized(3.2))
	d.StateLabel(draw.At(2, top+8), v.State, style, draw.Label)
	// the axis of the pump, carried on over the driver
	d.Line(draw.Centre, draw.At(4, axis), draw.At(sheetWidth-4, axis))
	d.Part("pump", func() {
		d.Shape(draw.Rectangle(alignPumpFrom+6, axis-8, alignPumpTo-alignPumpFrom-22, 16), draw.Shade, draw.Outline)
		d.Shape(draw.Rectangle(alignPumpTo-16, axis-1.8, alignCoupling-alignPumpTo+13, 3.6), draw.Paper, draw.Outline)
		d.Shape(draw.Rectangle(alignCoupling-4, axis-5, 3, 10), draw.Shade, draw.Outline)
		if side {
			feet(d, axis+8, alignPumpFrom+10, alignPumpTo-22)
		}
		d.Text(draw.At(alignPumpFrom+6, axis+15.5), wordPumpStays.With().Text(style), draw.Label)
	})
	y := func(l quantity.Length) float64 { return axis - k*millimetres(l) }
	alignNear := v.nearFeet()
	slope := (y(v.AtFar) - y(v.AtNear)) / (alignFar - alignNear)
	degrees := -math.Atan(slope) * 180 / math.Pi
	pivot := draw.At(alignCoupling, y(v.AtNear)-slope*(alignNear-alignCoupling))
	d.Part("driver", func() {
		place := func(p draw.Path) draw.Path {
			return p.Move(0, pivot.Y-axis).Turn(pivot, degrees)
		}
		d.Shape(place(draw.Rectangle(alignCoupling+1, axis-5, 3, 10)), draw.Shade, draw.Outline)
		d.Shape(place(draw.Rectangle(alignCoupling+4, axis-1.8, 16, 3.6)), draw.Paper, draw.Outline)
		if side {
			for _, x := range []float64{alignNear, alignFar} {
				d.Shape(place(draw.Rectangle(x-3, axis+8, 6, 2)), draw.Paper, draw.Outline)
			}
		}
		d.Shape(place(draw.Rectangle(alignNear-10, axis-8, alignFar-alignNear+20, 16)), draw.Tint, draw.Marked)
		d.Line(draw.Centre.In(draw.Accent), draw.At(alignCoupling-2, pivot.Y-2*slope), draw.At(alignFar+14, pivot.Y+slope*(alignFar+14-alignCoupling)))
		for _, f := range []struct {
			x    float64
			dev  quantity.Length
			name say.Template
			move say.Shower
		}{{alignNear, v.AtNear, wordNear, v.MoveNear}, {alignFar, v.AtFar, wordFar, v.MoveFar}} {
			at := draw.At(f.x, y(f.dev))
			d.Fill(draw.Circle(at, 1.1), draw.Accent)
			if math.Abs(at.Y-axis) > 2.2 { // the way back to the axis
				d.Flow(at, draw.At(f.x, axis), draw.Ink)
			}
			d.Line(draw.Leading, draw.At(f.x, at.Y+11), draw.At(f.x, axis+17.6))
			d.Text(draw.At(f.x, axis+20.6), f.name.With().Text(style)+" "+show(f.dev, style), draw.Small.At(draw.Middle).OnGround())
			if text := words(f.move, style); text != "" {
				room := 2 * min(sheetWidth-2-f.x, f.x-2, (alignFar-alignNear)/2-1)
				d.Text(draw.At(f.x, axis+25), draw.Shorten(text, draw.Label.Size, false, room), draw.Label.At(draw.Middle))
			}
		}
		d.Text(draw.At((alignNear+alignFar)/2, axis-17), wordDriver.With().Text(style), draw.Label.At(draw.Middle).In(draw.Accent).OnGround())
	})
	d.Line(draw.Leading, draw.At(alignCoupling, axis-6.5), draw.At(alignCoupling, axis-15.5))
	d.Text(draw.At(alignCoupling, axis-17), wordAtCoupling.With(v.AtCoupling).Text(style), draw.Label.At(draw.Middle).OnGround())
}

// nearFeet is where the near feet stand on the sheet.
func (v AlignmentView) nearFeet() float64 {
	if positive(v.ToNear) && v.ToFar > v.ToNear {
		return min(max(alignCoupling+(alignFar-alignCoupling)*(v.ToNear/v.ToFar).SI(), 92), alignFar-24)
	}
	return 98
}

// before draws the axis of the driver as it lay before.
func (v AlignmentView) before(d *draw.Drawing, top, k float64, was AlignmentView) {
	axis, near := top+22, v.nearFeet()
	y := func(l quantity.Length) float64 { return axis - k*millimetres(l) }
	slope := (y(was.AtFar) - y(was.AtNear)) / (alignFar - near)
	at := func(x float64) draw.Point { return draw.At(x, y(was.AtNear)+slope*(x-near)) }
	d.Line(draw.Hidden.In(draw.Ink).Wide(0.35), at(alignCoupling-2), at(alignFar+14))
}

// feet draws the feet of a machine on the ground.
func feet(d *draw.Drawing, y float64, xs ...float64) {
	for _, x := range xs {
		d.Shape(draw.Rectangle(x-3, y, 6, 2), draw.Paper, draw.Outline)
	}
}
