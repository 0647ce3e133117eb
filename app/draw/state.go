package draw

import "pumpwright/calc/say"

// State is what has been found about a part or a feature. It is always shown
// by a word and a shape, never by colour alone.
type State uint8

// The states.
const (
	NotRead State = iota
	Good
	Worn
	PastLimit
	MeasureAgain
)

var (
	wordNotRead      = say.Define("draw.not_yet_read", "not yet read")
	wordGood         = say.Define("draw.good", "good")
	wordWorn         = say.Define("draw.worn", "worn")
	wordPastLimit    = say.Define("draw.past_limit", "past limit")
	wordMeasureAgain = say.Define("draw.measure_again", "measure again")
)

// Word returns the word of a state.
func (s State) Word() say.Message {
	switch s {
	case Good:
		return wordGood.With()
	case Worn:
		return wordWorn.With()
	case PastLimit:
		return wordPastLimit.With()
	case MeasureAgain:
		return wordMeasureAgain.With()
	}
	return wordNotRead.With()
}

// Role returns the role in which a state is drawn.
func (s State) Role() Role {
	switch s {
	case PastLimit:
		return Alarm
	case MeasureAgain:
		return Accent
	case NotRead:
		return Soft
	}
	return Ink
}

// Mark draws the shape of a state: a full disc (good), a disc worn down to
// half (worn), a bar with an arrow beyond it (past limit), a ring open for
// another turn (measure again), a dashed ring (not yet read).
func (d *Drawing) Mark(at Point, s State, size float64) {
	r, role := size/2, s.Role()
	pen := Pen{role, size * 0.12, nil}
	switch s {
	case Good:
		d.Fill(Circle(at, r), role)
	case Worn:
		half := Arc(at, r, 180, 360)
		half.p.Close()
		d.Fill(half, role)
		d.Stroke(Circle(at, r-pen.Width/2), pen)
	case PastLimit:
		d.Line(pen.Wide(size*0.2), Point{at.X - 0.35*r, at.Y - r}, Point{at.X - 0.35*r, at.Y + r})
		d.Fill(Polygon(Point{at.X + r, at.Y}, Point{at.X, at.Y - 0.6*r}, Point{at.X, at.Y + 0.6*r}), role)
		d.Line(pen, Point{at.X - r, at.Y}, Point{at.X + 0.2*r, at.Y})
	case MeasureAgain:
		d.Stroke(Arc(at, r-pen.Width/2, 60, 360), pen)
		tip := Polar(at, r-pen.Width/2, 0)
		d.Fill(Polygon(Point{tip.X - 0.45*r, tip.Y}, Point{tip.X + 0.45*r, tip.Y}, Point{tip.X, tip.Y - 0.6*r}), role)
	default:
		d.Stroke(Circle(at, r-pen.Width/2), Pen{role, pen.Width, []float64{size * 0.2, size * 0.16}})
	}
}

// StateLabel draws shape and word side by side, the word's baseline and the
// left end of both (with Anchor Right: the right end) at a point, and returns
// their box.
func (d *Drawing) StateLabel(at Point, s State, style say.Style, t Type) Rect {
	if t.Size <= 0 {
		t.Size = Label.Size
	}
	size := t.Size * 0.9
	word := s.Word().Text(style)
	if t.Anchor == Right {
		at.X -= size + 0.8 + TextWidth(word, t.Size, t.Bold || s == PastLimit)
	}
	d.Mark(Point{at.X + size/2, at.Y - 0.36*t.Size}, s, size)
	t.Role, t.Bold = s.Role(), s == PastLimit
	box := d.Text(Point{at.X + size + 0.8, at.Y}, word, t.At(Left))
	return Rect{at.X, box.Y, box.Right() - at.X, box.H}
}
