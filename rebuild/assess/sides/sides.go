package sides

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Side is a side of the pump, seen from the head side with the mesh where the
// sheet has it, at the top.
type Side string

// The sides.
const (
	Left  Side = "left"
	Right Side = "right"
)

// Other returns the side across.
func (s Side) Other() Side {
	if s == Left {
		return Right
	}
	return Left
}

// Rotations, seen from the drive end.
const (
	Clockwise     = "clockwise"
	Anticlockwise = "anticlockwise"
)

// Sides is how one pump turns and where its suction lies.
type Sides struct {
	Rotation   string // seen from the drive end
	HeadTurned bool   // by half a turn: the mesh lies at the bottom, the crescent at the top
	Swapped    bool   // suction lies where the sheet has discharge
	Suction    Side
	Looked     bool   // somebody wrote at the pump how it turns
	Ref        string // of the entry, "" where the sheet speaks alone

	Turns    say.Message   // how it turns and where suction is
	Follows  []say.Message // what follows the suction side; only when it is swapped
	Warnings []say.Message
}

var (
	msgTurns     = say.Define("sides.turns", "it turns {rotation} seen from the drive end; suction is at the {suction} seen from the head side")
	msgTurned    = say.Define("sides.turns_head", "it turns {rotation} seen from the drive end and its head is turned by half a turn, the crescent at the top; suction is at the {suction} seen from the head side")
	msgAssumed   = say.Define("sides.assumed", "{turns:message} (by the model sheet; nobody has written down yet how this pump turns)")
	msgSwapped   = say.Define("sides.swapped", "the suction side is swapped against the model sheet: suction is at the {suction}, discharge at the {discharge}, seen from the head side")
	msgWear      = say.Define("sides.wear", "the casing bore and the bushings wear towards the {suction}, where suction is")
	msgRelief    = say.Define("sides.relief", "the relief valve must return to the suction side: to the {suction}; turned the wrong way it never opens")
	msgArrow     = say.Define("sides.arrow", "rotation arrow and marks for suction and discharge follow")
	msgGroove    = say.Define("sides.groove", "groove up: the pressure loads the shaft towards suction, to the {suction} seen from the head side; no groove there")
	msgGrooveNew = say.Define("sides.groove_swapped", "the old bushing's groove is no pattern: the load lies on the other side now")
	msgLater     = say.Define("sides.later", "reception has written that the suction side is swapped, at the pump it was found as the model sheet has it: what was found at the pump holds")
	msgBoth      = say.Define("sides.both", "the model sheet allows both rotations and nobody has written down how this pump turns: look at the arrow and the ports")
)

// Of says it for the pump of a job.
func Of(s *sheet.Sheet, state *job.State) Sides {
	own := Clockwise
	if s.Build.Rotation == Anticlockwise {
		own = Anticlockwise
	}
	x := Sides{Rotation: own}
	reversed := false
	if state != nil && state.Open != nil && state.Open.Body.Swapped {
		reversed, x.Ref = true, state.Open.Ref
	}
	if state != nil && len(state.Sides) > 0 {
		last := &state.Sides[len(state.Sides)-1]
		if reversed && last.Body.HeadTurned == (last.Body.Rotation != own) {
			x.Warnings = append(x.Warnings, msgLater.With())
		}
		reversed, x.HeadTurned = last.Body.Rotation != own, last.Body.HeadTurned
		x.Looked, x.Ref = true, last.Ref
	}
	if reversed {
		x.Rotation = other(own)
	}
	x.Swapped = reversed != x.HeadTurned
	// Clockwise at the drive end is against the clock seen from the head; the
	// teeth part on the left of the mesh, and where they part is suction.
	x.Suction = Left
	if (own == Anticlockwise) != x.Swapped {
		x.Suction = Right
	}
	x.say(s)
	return x
}

func other(rotation string) string {
	if rotation == Clockwise {
		return Anticlockwise
	}
	return Clockwise
}

func (x *Sides) say(s *sheet.Sheet) {
	suction := string(x.Suction)
	x.Turns = msgTurns.With(x.Rotation, suction)
	if x.HeadTurned {
		x.Turns = msgTurned.With(x.Rotation, suction)
	}
	if x.Ref == "" {
		x.Turns = msgAssumed.With(x.Turns)
		if s.Build.Rotation == "both" {
			x.Warnings = append(x.Warnings, msgBoth.With())
		}
	}
	if !x.Swapped {
		return
	}
	x.Warnings = append(x.Warnings, msgSwapped.With(suction, string(x.Suction.Other())))
	x.Follows = append(x.Follows, msgWear.With(suction))
	if s.Build.ReliefValve != "none" {
		x.Follows = append(x.Follows, msgRelief.With(suction))
	}
	x.Follows = append(x.Follows, msgArrow.With())
}

// Groove says where the groove of a bushing on the shaft stands.
func (x *Sides) Groove() []say.Message {
	list := []say.Message{msgGroove.With(string(x.Suction))}
	if x.Swapped {
		list = append(list, msgGrooveNew.With())
	}
	return list
}

// SuctionAngle is where suction lies around the casing.
func (x *Sides) SuctionAngle() quantity.Angle {
	if x.Swapped {
		return 1.5 * math.Pi
	}
	return math.Pi / 2
}

// FromMesh turns an angle around the casing into the angle from the mesh of
// this pump, towards its suction, from 0 to a full turn.
func (x *Sides) FromMesh(casing quantity.Angle) quantity.Angle {
	a := casing.SI()
	if x.HeadTurned {
		a -= math.Pi
	}
	// From the mesh to suction the angles of the casing grow, unless the pump
	// turns against its sheet.
	if x.Swapped != x.HeadTurned {
		a = -a
	}
	a = math.Mod(a, 2*math.Pi)
	if a < -1e-9 {
		a += 2 * math.Pi
	}
	return quantity.Angle(max(a, 0))
}

// SeenClockwise tells whether the rotor turns clockwise seen from the head
// side.
func (x *Sides) SeenClockwise() bool { return x.Rotation == Anticlockwise }
