package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/align"
	"pumpwright/calc/bolt"
	"pumpwright/calc/fit"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// OfStroke is the computed press force over the stroke, nil when there is
// none.
func OfStroke(name say.Shower, r fit.PressResult) *Stroke {
	if r.PressForce <= 0 || len(r.Stroke) < 2 {
		return nil
	}
	f := &Stroke{Name: name, Capacity: r.PressCapacity, State: draw.NotRead}
	for _, at := range r.Stroke {
		f.Computed = append(f.Computed, StrokePoint{Engaged: at.Engaged, Force: at.Force})
	}
	return f
}

// OfBolts is a bolt circle with its passes.
func OfBolts(r bolt.Result) Bolts {
	f := Bolts{Order: r.Sequence}
	for i, torque := range r.PassTorques {
		f.Passes = append(f.Passes, BoltPass{Share: r.Input.Passes[i], Torque: torque})
	}
	return f
}

var (
	moveRaise = say.Define("figure.move_raise", "raise {by:length}")
	moveLower = say.Define("figure.move_lower", "lower {by:length}")
	moveRight = say.Define("figure.move_right", "{by:length} to the right")
	moveLeft  = say.Define("figure.move_left", "{by:length} to the left")
)

// OfAlignment is how the driver lies to the pump, with growth; before is how
// it lay, nil when that is not known; moves says whether a foot may be moved.
func OfAlignment(p, before *align.Plan, moves bool) Alignment {
	state := draw.NotRead
	switch {
	case !p.Valid:
		state = draw.MeasureAgain
	case p.Within:
		state = draw.Good
	case len(p.Verdicts) > 0:
		state = draw.PastLimit
	}
	f := Alignment{Side: viewOf(p, p.RunningVertical, state), Above: viewOf(p, p.Position.Horizontal, state)}
	if before != nil {
		f.Before = &[2]AlignmentView{viewOf(before, before.RunningVertical, state), viewOf(before, before.Position.Horizontal, state)}
	}
	if moves && !p.Within {
		up, across := []say.Template{moveRaise, moveLower}, []say.Template{moveRight, moveLeft}
		f.Side.MoveNear, f.Side.MoveFar = moveWords(p.Near.Vertical, up), moveWords(p.Far.Vertical, up)
		f.Above.MoveNear, f.Above.MoveFar = moveWords(p.Near.Horizontal, across), moveWords(p.Far.Horizontal, across)
	}
	return f
}

func viewOf(p *align.Plan, l align.Line, state draw.State) AlignmentView {
	middle := -p.Between / 2
	near, far := p.ToNearFoot, p.ToFarFoot
	return AlignmentView{AtCoupling: l.At(middle), AtNear: l.At(near), AtFar: l.At(far), ToNear: near - middle, ToFar: far - middle, State: state}
}

// moveWords says a move with the words for up and down, or right and left.
func moveWords(by quantity.Length, ways []say.Template) say.Shower {
	if by < 0 {
		return ways[1].With(-by)
	}
	return ways[0].With(by)
}
