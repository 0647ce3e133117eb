package gearset

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Spaces is the balance of areas behind the displacement: each turn carries
// the tooth spaces of both gears across and brings back what stays shut in
// between two contacts when one hands over to the next.
type Spaces struct {
	Rotor        quantity.Area // one rotor space, tip circle to root circle
	Idler        quantity.Area // one idler space
	ShutIn       quantity.Area // void between two successive contacts at hand-over
	Displacement quantity.Displacement
}

// DisplacementByArea measures the displacement on the outlines themselves, by
// the shoelace rule, with n points on each flank:
//
//	D = z_r (A_rotor + A_idler − A_shut in) b
//
// It shares no equation with the flow kinematics and stands beside it as a
// check. The error falls with 1/n². Source: derived here.
func (g *Geometry) DisplacementByArea(n int) (Spaces, error) {
	s := &g.f
	if !s.involuteTip {
		return Spaces{}, say.Refuse("", "", msgNoTooth.With(), say.Message{})
	}
	if n < 2 || n > 5000 {
		return Spaces{}, refuseNumber("flank_points", float64(n), msgManyFlat.With())
	}
	rotor := g.rotorSpace(n).Area()
	idler := -g.idlerSpace(n).Area() // runs from +y to +x
	from, _ := s.handOver(g.Pair.NoRelief)
	shut := math.Abs(g.shutIn(from.SI(), n).Area())
	return Spaces{
		Rotor: quantity.Area(rotor), Idler: quantity.Area(idler), ShutIn: quantity.Area(shut),
		Displacement: quantity.Displacement(s.zr * (rotor + idler - shut) * s.b),
	}, nil
}

func (g *Geometry) rotorSpace(n int) Outline {
	s := &g.f
	atTip := halfAngle(s.rar, s.rbr, s.halfSpace, s.invA)
	atRoot := halfAngle(s.rfr, s.rbr, s.halfSpace, s.invA)
	o := flank(nil, Point{}, 0, -1, s.rar, s.rfr, s.rbr, s.halfSpace, s.invA, n)
	o = arc(o, Point{}, s.rfr, -atRoot, atRoot, n)
	o = flank(o, Point{}, 0, +1, s.rfr, s.rar, s.rbr, s.halfSpace, s.invA, n)
	return arc(o, Point{}, s.rar, atTip, -atTip, n)
}

func (g *Geometry) idlerSpace(n int) Outline {
	s := &g.f
	pitch := 2 * math.Pi / s.zi
	atTip := halfAngle(s.rai, s.rbi, s.halfTooth, s.invA)
	atRoot := halfAngle(s.rfi, s.rbi, s.halfTooth, s.invA)
	o := flank(nil, Point{}, 0, +1, s.rai, s.rfi, s.rbi, s.halfTooth, s.invA, n)
	o = arc(o, Point{}, s.rfi, atRoot, pitch-atRoot, n)
	o = flank(o, Point{}, pitch, -1, s.rfi, s.rai, s.rbi, s.halfTooth, s.invA, n)
	return arc(o, Point{}, s.rai, pitch-atTip, atTip, n)
}

// shutIn is the void between the contact at s and the one a base pitch on, at
// hand-over. Along the rotor it runs from one driving flank over the tip of
// the next tooth to that tooth's driving flank; along the idler back again.
//
// The driving flank of a rotor space is the one before its middle (the rotor
// turns from +x to +y and pushes the idler ahead of it). Its contact lies at
// s = −r_br(turn − ψ), ψ half the space at the pitch circle.
func (g *Geometry) shutIn(from float64, n int) Outline {
	s := &g.f
	to := from + s.pb
	atPitch := halfAngle(s.rr, s.rbr, s.halfSpace, s.invA)
	turn := atPitch - to/s.rbr // the space at the mesh touches at "to"
	idlerTurn := g.idlerAngle(turn)
	pitchR, pitchI := 2*math.Pi/s.zr, 2*math.Pi/s.zi
	rotorAt := func(x float64) float64 { return math.Hypot(s.rbr, s.rr*math.Sin(s.aw)+x) }
	idlerAt := func(x float64) float64 { return math.Hypot(s.rbi, s.ri*math.Sin(s.aw)+x) }
	center := Point{s.e, 0}
	tipR := halfAngle(s.rar, s.rbr, s.halfSpace, s.invA)
	rootR := halfAngle(s.rfr, s.rbr, s.halfSpace, s.invA)
	tipI := halfAngle(s.rai, s.rbi, s.halfTooth, s.invA)
	rootI := halfAngle(s.rfi, s.rbi, s.halfTooth, s.invA)

	// rotor: from the contact at "to" outwards, round the space, over the tooth
	// ahead, and onto its driving flank, which touches at "from"
	o := flank(nil, Point{}, turn, -1, rotorAt(to), s.rfr, s.rbr, s.halfSpace, s.invA, n)
	o = arc(o, Point{}, s.rfr, turn-rootR, turn+rootR, n)
	o = flank(o, Point{}, turn, +1, s.rfr, s.rar, s.rbr, s.halfSpace, s.invA, n)
	o = arc(o, Point{}, s.rar, turn+tipR, turn+pitchR-tipR, n)
	o = flank(o, Point{}, turn+pitchR, -1, s.rar, rotorAt(from), s.rbr, s.halfSpace, s.invA, n)
	// idler: back from the contact at "from" through its space and over the tip
	next := idlerTurn + pitchI
	o = flank(o, center, next, -1, idlerAt(from), s.rfi, s.rbi, s.halfTooth, s.invA, n)
	o = arc(o, center, s.rfi, next-rootI, idlerTurn+rootI, n)
	o = flank(o, center, idlerTurn, +1, s.rfi, s.rai, s.rbi, s.halfTooth, s.invA, n)
	o = arc(o, center, s.rai, idlerTurn+tipI, idlerTurn-tipI, n)
	return flank(o, center, idlerTurn, -1, s.rai, idlerAt(to), s.rbi, s.halfTooth, s.invA, n)
}
