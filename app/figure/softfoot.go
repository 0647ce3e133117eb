package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// SoftFoot is a machine on its four feet, seen from above: how far each rises
// when its bolt alone is slackened.
type SoftFoot struct {
	Rise    [4]quantity.Length // near left, near right, far left, far right
	Over    [4]bool
	Limit   quantity.Length
	Rocking bool
}

// OfSoftFoot is the drawing of a soft foot check.
func OfSoftFoot(s align.SoftFoot) SoftFoot {
	return SoftFoot{Rise: s.Rise, Over: s.Over, Limit: s.Limit, Rocking: s.Rocking}
}

var (
	titleSoftFoot = say.Define("figure.soft_foot_title", "Soft foot")
	wordNearLeft  = say.Define("figure.foot_near_left", "near left")
	wordNearRight = say.Define("figure.foot_near_right", "near right")
	wordFarLeft   = say.Define("figure.foot_far_left", "far left")
	wordFarRight  = say.Define("figure.foot_far_right", "far right")
	wordCoupling  = say.Define("figure.foot_coupling", "coupling")
	msgFoot       = say.Define("figure.foot", "{foot}: rises {rise:length}, {state}.")
	msgFootLimit  = say.Define("figure.foot_limit", "Limit {limit:length}, each bolt slackened alone.")
	msgFootRocks  = say.Define("figure.foot_rocks", "The machine rocks over two opposite feet.")
	msgFootLeft   = say.Define("figure.foot_sides", "Left and right as seen from the back of the machine, looking at the coupling.")
	footNames     = [4]say.Template{wordNearLeft, wordNearRight, wordFarLeft, wordFarRight}
)

// Draw makes the picture.
func (s SoftFoot) Draw(style say.Style) *draw.Drawing {
	largest := s.Limit.SI()
	for _, r := range s.Rise {
		if !usable(r.SI()) || r < 0 {
			return missing(titleSoftFoot.With(), titleSoftFoot.With().Text(style), style)
		}
		largest = max(largest, r.SI())
	}
	if !positive(s.Limit) {
		return missing(titleSoftFoot.With(), titleSoftFoot.With().Text(style), style)
	}
	told := &description{style: style}
	const middle, tall = 40.0, 15.0
	d := draw.New(sheetWidth, 2*middle+16)
	// the machine looks to the left, where its coupling is; seen from its back the left feet are at the bottom
	d.Part("driver", func() {
		d.Shape(draw.Rectangle(30, middle-4, 16, 8), draw.Paper, draw.Outline)
		d.Shape(draw.Rectangle(22, middle-9, 8, 18), draw.Shade, draw.Outline)
		d.Shape(draw.Rectangle(46, middle-19, 82, 38), draw.Tint, draw.Marked)
	})
	d.Line(draw.Centre, draw.At(10, middle), draw.At(140, middle))
	d.Text(draw.At(26, middle+14), wordCoupling.With().Text(style), draw.Small.At(draw.Middle))
	if s.Rocking {
		worst := 0
		for i := range s.Rise {
			if s.Rise[i] > s.Rise[worst] {
				worst = i
			}
		}
		standing := [4][2]int{{1, 2}, {0, 3}, {0, 3}, {1, 2}}[worst]
		a, b := footAt(standing[0], middle), footAt(standing[1], middle)
		d.Line(draw.Hidden.In(draw.Ink).Wide(0.4), a, b)
	}
	for i, r := range s.Rise {
		at, state := footAt(i, middle), draw.Good
		if s.Over[i] {
			state = draw.PastLimit
		}
		d.Part("foot", func() {
			d.Shape(draw.Rectangle(at.X-6, at.Y-4, 12, 8), draw.Paper, draw.Outline)
			d.Stroke(draw.Circle(at, 1.6), draw.Thin)
		})
		// a bar as tall as the foot rises, with the limit across it
		x, foot := at.X+9, at.Y+4.0
		height := tall * r.SI() / largest
		role := draw.Shade
		if s.Over[i] {
			role = draw.Alarm
		}
		if height > 0.1 {
			d.Shape(draw.Rectangle(x, foot-height, 3.4, height), role, draw.Thin)
		}
		d.Line(draw.Thin, draw.At(x-0.8, foot), draw.At(x+4.2, foot))
		limit := foot - tall*s.Limit.SI()/largest
		d.Line(draw.Hidden.In(draw.Ink), draw.At(x-1.4, limit), draw.At(x+4.8, limit))
		beside := x + 7
		d.Text(draw.At(beside, at.Y-4), footNames[i].With().Text(style), draw.Label.OnGround())
		d.Text(draw.At(beside, at.Y), show(r, style), draw.Value.OnGround())
		d.StateLabel(draw.At(beside, at.Y+4.2), state, style, draw.Small)
		told.add(msgFoot.With(footNames[i].With(), r, state.Word()))
	}
	y := 2*middle + 6.0
	notes := []say.Message{msgFootLimit.With(s.Limit), msgFootLeft.With()}
	if s.Rocking {
		notes = append(notes, msgFootRocks.With())
	}
	for _, n := range notes {
		y = d.Paragraph(draw.At(2, y), n.Text(style), sheetWidth-4, draw.Label.In(draw.Soft)).Bottom() + 4
		told.add(n)
	}
	d.Height = max(d.Height, y)
	d.Describe(titleSoftFoot.With().Text(style), told.String())
	return d
}

// footAt is the place of a foot on the sheet: near feet by the coupling, the
// left ones below.
func footAt(i int, middle float64) draw.Point {
	x := 56.0
	if i >= 2 {
		x = 118
	}
	if i%2 == 0 {
		return draw.At(x, middle+28)
	}
	return draw.At(x, middle-28)
}
