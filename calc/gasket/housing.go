package gasket

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Hand is the hand of a thread.
type Hand uint8

// The hands of a thread.
const (
	RightHand Hand = iota
	LeftHand
)

// Housing is an adjustable bearing housing that carries the thrust bearing in
// a thread of the bracket.
type Housing struct {
	Pitch     quantity.Length // of the thread
	Notches   int             // of one turn; 0: any angle
	Hand      Hand
	Belief    *Belief // of the clearance now, bearing float taken off
	Low, High quantity.Length
}

// Turn is how to turn the housing.
type Turn struct {
	Housing     Housing
	Angle       quantity.Angle // how far, without sign
	Notches     int            // positive opens; 0 without notches
	Opens       bool
	Clockwise   bool // seen from the bearing housing's outer end
	Clearance   quantity.Estimate[quantity.Length]
	Probability float64
	Below       float64 // chance of being below the window
	Reachable   bool    // the expected clearance lies in the window
	Direction   say.Message
}

var (
	msgPitch     = say.Define("gasket.pitch", "a thread pitch lies above zero and below 20 mm")
	msgNotches   = say.Define("gasket.notches", "the number of notches lies between 0 and 720")
	msgFarTurn   = say.Define("gasket.far_turn", "that is more than ten turns of the housing")
	msgLookFirst = say.Define("gasket.look_first", "look at the assembly before turning: something else is wrong")

	turnNone  = say.Define("gasket.turn_none", "leave the housing where it is: the clearance is best as it stands")
	turnOpen  = say.Define("gasket.turn_open", "turn the bearing housing {way} by {angle:angle}, seen from its outer end (the drive end of the shaft, looking towards the head): this draws the rotor away from the head and opens the clearance; turn a little further and come back in the closing sense, to take up the play of the thread")
	turnClose = say.Define("gasket.turn_close", "turn the bearing housing {way} by {angle:angle}, seen from its outer end (the drive end of the shaft, looking towards the head): this moves the rotor towards the head and closes the clearance; if you pass the mark, go well back and come up to it again in the closing sense")

	wayClockwise        = say.Define("gasket.clockwise", "clockwise")
	wayCounterClockwise = say.Define("gasket.counter_clockwise", "counter-clockwise")
)

const mostTurns = 10

// Best finds the turn that most likely brings the clearance into the window.
//
//	s_k = s + k·pitch/notches      k > 0 opens
//
// Without notches the aim is the middle: angle = 2π·|middle − s|/pitch. A
// right-hand thread screws in clockwise, seen from outside; in means towards
// the head and closes the clearance. The fewest notches are taken where two
// positions are equally good.
//
// Errors: a say.Problem naming the field. Source: derived here; directions
// common practice, no source.
func (h Housing) Best() (*Turn, error) {
	switch {
	case !(h.Pitch > 0 && h.Pitch < 20e-3):
		return nil, refuse("thread_pitch", float64(h.Pitch), msgPitch)
	case h.Notches < 0 || h.Notches > 720:
		return nil, refuse("notches", float64(h.Notches), msgNotches)
	case h.Belief == nil:
		return nil, say.Refuse("measured", "", msgNothingKnown.With(), msgKnownBy.With())
	case !(h.Low >= 0 && h.Low <= h.High) || !finite(float64(h.High)):
		return nil, refuse("window.low", float64(h.Low), msgWindow)
	}
	middle := (float64(h.Low) + float64(h.High)) / 2
	move := middle - h.Belief.mean
	if math.Abs(move) > mostTurns*float64(h.Pitch) {
		return nil, say.Refuse("measured", "", msgFarTurn.With(), msgLookFirst.With())
	}
	t := &Turn{Housing: h}
	if h.Notches > 0 {
		step := float64(h.Pitch) / float64(h.Notches)
		t.Notches = h.bestNotch(move, step)
		move = float64(t.Notches) * step
	}
	expected := h.Belief.mean + move
	t.Angle = quantity.Angle(2 * math.Pi * math.Abs(move) / float64(h.Pitch))
	t.Opens = move > 0
	t.Clockwise = t.Opens == (h.Hand == LeftHand)
	t.Clearance = quantity.Within(quantity.Length(expected), h.Belief.u)
	under, inside := h.Belief.chance(phi(), float64(h.Low), float64(h.High), move, 0)
	t.Probability, t.Below = max(0, inside), max(0, under)
	const rounding = 1e-12
	t.Reachable = expected >= float64(h.Low)-rounding && expected <= float64(h.High)+rounding
	t.Direction = t.words()
	return t, nil
}

// bestNotch scans the notches round the middle. Where the chance is level
// (a precise reading in a wide window) the fewest notches are taken.
func (h Housing) bestNotch(move, step float64) int {
	centre := int(math.Round(move / step))
	reach := int(math.Ceil(float64(h.High-h.Low)/step)) + 2
	best, bestChance, bestMiss := 0, -1.0, math.Inf(1)
	for k := centre - reach; k <= centre+reach; k++ {
		_, p := h.Belief.chance(phi(), float64(h.Low), float64(h.High), float64(k)*step, 0)
		miss := math.Abs(float64(k)*step - move)
		better := p > bestChance+1e-9
		if math.Abs(p-bestChance) <= 1e-9 {
			if p < 1e-9 { // hopeless: the nearest
				better = miss < bestMiss
			} else {
				better = abs(k) < abs(best)
			}
		}
		if better {
			best, bestChance, bestMiss = k, p, miss
		}
	}
	return best
}

func abs(k int) int { return max(k, -k) }

func (t *Turn) words() say.Message {
	if t.Angle == 0 {
		return turnNone.With()
	}
	way := wayCounterClockwise.With()
	if t.Clockwise {
		way = wayClockwise.With()
	}
	if t.Opens {
		return turnOpen.With(way, t.Angle)
	}
	return turnClose.With(way, t.Angle)
}
