package align

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Growth is how much a foot rises from cold to running, less the rise of the
// stationary shaft.
type Growth struct{ Near, Far quantity.Length }

// Setup is a movable machine to be lined up with a stationary one.
type Setup struct {
	Position     Position
	Between      quantity.Length // planes of the two rims, 0 when one plane was read
	Upright      bool            // a machine that stands upright, without feet: the distances to them are not asked
	ToNearFoot   quantity.Length // from the movable rim
	ToFarFoot    quantity.Length
	Growth       Growth
	Speed        quantity.RotationalSpeed // 0 = not known: no verdict
	ClosureLimit quantity.Length          // largest closure error that counts as reading error
	MoveNoticed  quantity.Length          // smaller moves are not worth making; 0 = 0.01 mm
}

// Move is what a pair of feet must do: positive up, and to the right as seen
// from the back of the movable machine.
type Move struct{ Vertical, Horizontal quantity.Length }

// Plan is what Align finds.
type Plan struct {
	Setup
	Valid           bool // the readings close
	RunningVertical Line // with growth
	Near, Far       Move
	GrowthDecides   bool // without growth a foot would move the other way
	Verdicts        []Verdict
	Within          bool // within every table; the stricter one rules. False without tables
	TablesDisagree  bool
	Words           []say.Message
	Warnings        []say.Message
	Shift           quantity.Length // largest running offset, that which is judged
	Angle           quantity.Angle  // largest running angle
}

var (
	msgRepeat        = say.Define("align.repeat", "top and bottom do not add up to left and right by {error:length}: repeat the readings, move no foot on these")
	msgRaise         = say.Define("align.raise", "{feet}: raise {by:length} (add shims)")
	msgLower         = say.Define("align.lower", "{feet}: lower {by:length} (take shims out)")
	msgRight         = say.Define("align.right", "{feet}: move {by:length} to the right, seen from the back of the movable machine")
	msgLeft          = say.Define("align.left", "{feet}: move {by:length} to the left, seen from the back of the movable machine")
	msgStayHeight    = say.Define("align.stay_height", "{feet}: leave the height")
	msgStaySide      = say.Define("align.stay_side", "{feet}: leave the side")
	msgNearFeet      = say.Define("align.near_feet", "near feet")
	msgFarFeet       = say.Define("align.far_feet", "far feet")
	msgGrowthDecides = say.Define("align.growth_decides", "growth decides which way a foot moves: confirm the growth before any foot is moved")
	msgDisagree      = say.Define("align.disagree", "the published tables disagree; the stricter one rules unless a lead signs otherwise")
	msgTogether      = say.Define("align.together", "offset and angle are each inside the limit of {table}, but its limits are meant for one alone: together they come to {share:percent} of it")
	msgDoNotCount    = say.Define("align.do_not_count", "the verdicts below do not count while the readings do not close")
)

const defaultMoveNoticed = 0.01e-3

// Align works out the moves of the feet and the verdicts.
//
//	move(x) = −[y(x) + growth(x)]   vertical,   −z(x) sideways
//
//	x        distance of the foot from the movable rim   m
//	y, z     offsets of the movable shaft, cold          m
//	growth   rise of the foot when running               m
//
// The verdict is on the running position, y + growth with growth taken
// straight between the feet, at the rim plane where the offset is larger.
// Upright there are no feet: no growth lifts them and no move is given; only
// the verdict is.
// Errors: *say.Problem naming dimensions.between, dimensions.to_near_foot,
// dimensions.to_far_foot, growth.near, growth.far or speed.
// Source: straight line geometry, as in Bloch and Geitner, Machinery Component
// Maintenance and Repair, p. 203.
func Align(s Setup) (Plan, error) {
	if err := s.check(); err != nil {
		return Plan{}, err
	}
	plan := Plan{Setup: s, Valid: s.Position.Closure <= s.ClosureLimit+lengthTolerance}
	if s.Upright {
		plan.RunningVertical = s.Position.Vertical
		if err := plan.verdicts(); err != nil {
			return Plan{}, err
		}
		if !plan.Valid {
			plan.speak()
		}
		return plan, nil
	}
	near, far := s.ToNearFoot, s.ToFarFoot
	slope := (s.Growth.Far - s.Growth.Near).SI() / (far - near).SI()
	atRim := s.Growth.Near - quantity.Length(slope*near.SI())
	cold := s.Position.Vertical
	plan.RunningVertical = Line{cold.Offset + atRim, cold.Slope + quantity.Angle(slope)}
	plan.Near = Move{-plan.RunningVertical.At(near), -s.Position.Horizontal.At(near)}
	plan.Far = Move{-plan.RunningVertical.At(far), -s.Position.Horizontal.At(far)}
	plan.GrowthDecides = plan.turned(-cold.At(near), plan.Near.Vertical) || plan.turned(-cold.At(far), plan.Far.Vertical)
	if err := plan.verdicts(); err != nil {
		return Plan{}, err
	}
	plan.speak()
	return plan, nil
}

func (s *Setup) check() error {
	if s.Between != 0 {
		if err := above("dimensions.between", s.Between); err != nil {
			return err
		}
	}
	if !s.Upright {
		if err := above("dimensions.to_near_foot", s.ToNearFoot); err != nil {
			return err
		}
		if err := above("dimensions.to_far_foot", s.ToFarFoot); err != nil {
			return err
		}
		if s.ToFarFoot <= s.ToNearFoot {
			return say.Refuse("dimensions.to_far_foot", s.ToFarFoot.String(), msgFarther.With(), say.Message{})
		}
	}
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"growth.near", s.Growth.Near}, {"growth.far", s.Growth.Far}, {"position.vertical.offset", s.Position.Vertical.Offset},
		{"position.vertical.slope", s.Position.Vertical.Slope}, {"position.horizontal.offset", s.Position.Horizontal.Offset},
		{"position.horizontal.slope", s.Position.Horizontal.Slope}, {"speed", s.Speed}} {
		if err := finite(c.field, c.q); err != nil {
			return err
		}
	}
	if s.MoveNoticed <= 0 {
		s.MoveNoticed = defaultMoveNoticed
	}
	return nil
}

// turned reports whether a move worth making would not be made, or would go
// the other way, without the growth.
func (p *Plan) turned(without, with quantity.Length) bool {
	noticed := p.MoveNoticed
	return (with >= noticed && without < noticed) || (with <= -noticed && without > -noticed)
}

func larger(values ...float64) float64 {
	most := 0.0
	for _, v := range values {
		most = max(most, math.Abs(v))
	}
	return most
}

func (p *Plan) verdicts() error {
	v, h := p.RunningVertical, p.Position.Horizontal
	p.Shift = quantity.Length(larger(v.Offset.SI(), h.Offset.SI(), v.At(-p.Between).SI(), h.At(-p.Between).SI()))
	p.Angle = quantity.Angle(larger(v.Slope.SI(), h.Slope.SI()))
	if p.Speed == 0 {
		return nil
	}
	tables, notes, err := Tolerances(p.Speed)
	if err != nil {
		return err
	}
	p.Warnings = append(p.Warnings, notes...)
	p.Verdicts = judge(p.Shift, p.Angle, tables)
	p.Within = len(p.Verdicts) > 0
	for _, v := range p.Verdicts {
		p.Within = p.Within && v.Within
		p.TablesDisagree = p.TablesDisagree || v.Within != p.Verdicts[0].Within
		share := v.Shift.SI()/v.AcceptableShift.SI() + v.Angle.SI()/v.AcceptableAngle.SI()
		if v.Within && share > 1 {
			p.Warnings = append(p.Warnings, msgTogether.With(v.Table, share))
		}
	}
	if p.TablesDisagree {
		p.Warnings = append(p.Warnings, msgDisagree.With())
	}
	return nil
}

// speak puts the moves in words.
func (p *Plan) speak() {
	if !p.Valid {
		p.Words = []say.Message{msgRepeat.With(p.Position.Closure)}
		p.Warnings = append(p.Warnings, msgRepeat.With(p.Position.Closure))
		if len(p.Verdicts) > 0 {
			p.Warnings = append(p.Warnings, msgDoNotCount.With())
		}
		return
	}
	for _, f := range []struct {
		feet say.Template
		move Move
	}{{msgNearFeet, p.Near}, {msgFarFeet, p.Far}} {
		p.Words = append(p.Words, inWords(f.feet.With(), f.move.Vertical, p.MoveNoticed, msgRaise, msgLower, msgStayHeight),
			inWords(f.feet.With(), f.move.Horizontal, p.MoveNoticed, msgRight, msgLeft, msgStaySide))
	}
	if p.GrowthDecides {
		p.Warnings = append(p.Warnings, msgGrowthDecides.With())
	}
}

func inWords(feet say.Message, move, noticed quantity.Length, more, less, stay say.Template) say.Message {
	switch {
	case move >= noticed:
		return more.With(feet, move)
	case move <= -noticed:
		return less.With(feet, -move)
	}
	return stay.With(feet)
}

// ThermalGrowth returns how much a foot, a leg or a casing rises as it warms.
//
//	growth = h α ΔT
//
//	h    height from the base plate to the shaft  m     > 0
//	α    coefficient of expansion                 1/K   ≥ 0
//	ΔT   mean warming of that height              K
//
// Errors: *say.Problem naming height, expansion or warming.
// Source: definition of the coefficient of expansion.
func ThermalGrowth(height quantity.Length, expansion quantity.Expansion, warming quantity.TemperatureDifference) (quantity.Length, error) {
	if err := above("height", height); err != nil {
		return 0, err
	}
	if a := expansion.SI(); !(a >= 0 && a < 1e-3) {
		return 0, say.Refuse("expansion", expansion.String(), msgExpansion.With(), say.Message{})
	}
	if err := finite("warming", warming); err != nil {
		return 0, err
	}
	return quantity.Length(height.SI() * expansion.SI() * warming.SI()), nil
}

var msgExpansion = say.Define("align.expansion", "no metal expands like that: wanted is 0 to 0.001 per kelvin")
