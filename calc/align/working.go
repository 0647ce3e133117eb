package align

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	nameOffset     = say.Define("align.offset", "offset at the movable rim, {way}")
	nameSlope      = say.Define("align.slope", "angle between the shafts, {way}")
	nameGrowthNear = say.Define("align.growth_near", "growth at the near feet")
	nameGrowthFar  = say.Define("align.growth_far", "growth at the far feet")
	nameToNear     = say.Define("align.to_near", "movable rim to near feet")
	nameToFar      = say.Define("align.to_far", "movable rim to far feet")
	nameMove       = say.Define("align.move", "move of the {feet}, {way}")
	namePlan       = say.Define("align.plan", "alignment")
	wordVertical   = say.Define("align.vertical", "vertical")
	wordSideways   = say.Define("align.sideways", "sideways")
)

const lineGeometry = "straight line geometry, as in Bloch and Geitner, Machinery Component Maintenance and Repair, p. 203"

// Working builds the tree of reasons of a plan. readings are the leaves from
// which the position was worked out, equation says how.
func (p Plan) Working(equation string, readings ...*working.Node) *working.Node {
	near := working.Leaf("align.to_near_foot", nameToNear.With(), "x_n", p.ToNearFoot, "input dimensions.to_near_foot")
	far := working.Leaf("align.to_far_foot", nameToFar.With(), "x_f", p.ToFarFoot, "input dimensions.to_far_foot")
	growth := []*working.Node{
		working.Leaf("align.growth.near", nameGrowthNear.With(), "g_n", p.Growth.Near, "input growth.near"),
		working.Leaf("align.growth.far", nameGrowthFar.With(), "g_f", p.Growth.Far, "input growth.far"),
	}
	root := &working.Node{ID: "align.plan", Name: namePlan.With(), Equation: "moves of both pairs of feet", Source: lineGeometry}
	if p.Valid {
		root.Text = "valid"
	} else {
		root.Text = "not valid"
	}
	line := func(id string, way say.Message, l Line) []*working.Node {
		return []*working.Node{
			working.Result(id+".offset", nameOffset.With(way), "y₀", l.Offset, equation, lineGeometry, readings...),
			working.Result(id+".slope", nameSlope.With(way), "s", l.Slope, equation, lineGeometry, readings...),
		}
	}
	vertical := line("align.vertical", wordVertical.With(), p.Position.Vertical)
	sideways := line("align.horizontal", wordSideways.With(), p.Position.Horizontal)
	if p.Upright {
		root.Equation = "offset and angle, judged as read"
		root.Inputs = append(vertical, sideways...)
		return root
	}
	move := func(id string, feet, way say.Message, v quantity.Length, equation string, inputs ...*working.Node) {
		root.Inputs = append(root.Inputs, working.Result(id, nameMove.With(feet, way), "", v, equation, lineGeometry, inputs...))
	}
	move("align.near.vertical", msgNearFeet.With(), wordVertical.With(), p.Near.Vertical, "−(y₀ + s·x_n + g_n)", append(vertical, near, growth[0])...)
	move("align.far.vertical", msgFarFeet.With(), wordVertical.With(), p.Far.Vertical, "−(y₀ + s·x_f + g_f)", append(vertical, far, growth[1])...)
	move("align.near.horizontal", msgNearFeet.With(), wordSideways.With(), p.Near.Horizontal, "−(z₀ + s·x_n)", append(sideways, near)...)
	move("align.far.horizontal", msgFarFeet.With(), wordSideways.With(), p.Far.Horizontal, "−(z₀ + s·x_f)", append(sideways, far)...)
	return root
}
