package calculator

import (
	"strings"

	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

type alignIn struct {
	Method       string                    `json:"method" oneof:"rim-face|reverse|tool" help:"rim-face: both dials on one bracket; reverse: a dial on each shaft; tool: offsets and angles as an instrument reports them"`
	Dimensions   alignDimensions           `json:"dimensions" help:"distances along the shaft, from the plane of the movable rim (or the plane of the tool's offsets)"`
	Readings     alignReadings             `json:"readings" help:"dial readings, seen from the back of the movable machine, plunger pushed in positive"`
	AsFound      *alignReadings            `json:"as_found" help:"readings of the same method before the moves, to show the change"`
	Bracket      string                    `json:"bracket" default:"movable" oneof:"movable|stationary" help:"rim-face: the shaft that carries the bracket; its dials read the other hub"`
	Sag          quantity.Length           `json:"sag" default:"0" help:"bar reading at the bottom on a stiff pipe, zero at the top; usually negative"`
	Growth       *alignGrowth              `json:"growth" help:"rise of the movable foot less that of the fixed shaft; or give growth_from"`
	GrowthFrom   *alignGrowthFrom          `json:"growth_from" help:"heights, expansions and warming, from which the growth is computed"`
	Speed        *quantity.RotationalSpeed `json:"speed" help:"speed of rotation, for the published tolerances"`
	ClosureLimit quantity.Length           `json:"closure_limit" default:"0.0005 in" help:"largest closure error that counts as reading error"`
	ShimStock    []alignShim               `json:"shim_stock" optional:"yes" help:"shims on the shelf, for the packs of feet that are raised"`
	ShimAccuracy quantity.Length           `json:"shim_accuracy" default:"0.02 mm" help:"how close a pack of shims must come"`
}

type alignDimensions struct {
	FaceDiameter *quantity.Length `json:"face_diameter" help:"rim-face: diameter swept by the face dial"`
	Between      *quantity.Length `json:"between" help:"reverse: between the planes of the two rims"`
	ToNearFoot   quantity.Length  `json:"to_near_foot" help:"to the near feet"`
	ToFarFoot    quantity.Length  `json:"to_far_foot" help:"to the far feet"`
}

type alignReadings struct {
	Rim              *alignClock      `json:"rim" help:"rim-face: dial on the rim"`
	Face             *alignClock      `json:"face" help:"rim-face: dial on the face"`
	StationaryRim    *alignClock      `json:"stationary_rim" help:"reverse: dial carried by the movable shaft, on the stationary rim"`
	MovableRim       *alignClock      `json:"movable_rim" help:"reverse: dial carried by the stationary shaft, on the movable rim"`
	OffsetVertical   *quantity.Length `json:"offset_vertical" help:"tool: movable shaft higher (positive) at the coupling"`
	AngleVertical    *quantity.Angle  `json:"angle_vertical" help:"tool: movable shaft rises away from the coupling (positive), as mm/m, mil/in or an angle"`
	OffsetHorizontal *quantity.Length `json:"offset_horizontal" help:"tool: movable shaft to the right (positive) at the coupling"`
	AngleHorizontal  *quantity.Angle  `json:"angle_horizontal" help:"tool: movable shaft runs to the right away from the coupling (positive)"`
}

type alignClock struct {
	Top    quantity.Length `json:"top" default:"0" help:"reading at the top"`
	Right  quantity.Length `json:"right" help:"reading on the right"`
	Bottom quantity.Length `json:"bottom" help:"reading at the bottom"`
	Left   quantity.Length `json:"left" help:"reading on the left"`
}

type alignGrowth struct {
	Near quantity.Length `json:"near" help:"at the near feet"`
	Far  quantity.Length `json:"far" help:"at the far feet"`
}

type alignGrowthFrom struct {
	Near       alignWarming `json:"near" help:"near feet of the movable machine"`
	Far        alignWarming `json:"far" help:"far feet of the movable machine"`
	Stationary alignWarming `json:"stationary" help:"the fixed machine, at its shaft"`
}

type alignWarming struct {
	Height    quantity.Length                `json:"height" help:"base plate to shaft"`
	Expansion quantity.Expansion             `json:"expansion" help:"coefficient of thermal expansion"`
	Warming   quantity.TemperatureDifference `json:"warming" help:"mean warming of that height, from when it was read to running"`
}

type alignShim struct {
	Thickness quantity.Length `json:"thickness" help:"thickness"`
	Count     int             `json:"count" help:"how many, for one foot"`
}

var (
	msgNeedsReading = say.Define("calculator.needs_reading", "this method needs it")
	msgNotThisWay   = say.Define("calculator.not_this_way", "this reading does not belong to the method {method}")
	msgGrowthTwice  = say.Define("calculator.growth_twice", "give growth or growth_from, not both")
	msgNoGrowth     = say.Define("calculator.no_growth", "no growth was given: the moves hold only for machines that warm alike")
	nameDial        = say.Define("calculator.dial", "{set}, {place}")
	nameOfTool      = say.Define("calculator.of_tool", "reported by the tool: {what}")
)

func alignCalculator() Calculator {
	return Define("align", "Are the shafts in line, and which feet move how far?",
		`method: reverse
dimensions: {between: 200 mm, to_near_foot: 240 mm, to_far_foot: 760 mm}
readings:
  stationary_rim: {top: 0, right: 0.20 mm, bottom: 0.30 mm, left: 0.10 mm}
  movable_rim: {top: 0, right: -0.06 mm, bottom: -0.18 mm, left: -0.12 mm}
sag: -0.06 mm
growth: {near: -0.05 mm, far: -0.03 mm}
speed: 1500 rpm
shim_stock: [{thickness: 0.05 mm, count: 4}, {thickness: 0.1 mm, count: 4}, {thickness: 0.25 mm, count: 4}]
`, runAlign)
}

func runAlign(_ *Env, in alignIn) (alignOut, Notes, error) {
	position, equation, leaves, err := in.position()
	if err != nil {
		return alignOut{}, Notes{}, err
	}
	setup := align.Setup{Position: position, ToNearFoot: in.Dimensions.ToNearFoot, ToFarFoot: in.Dimensions.ToFarFoot, ClosureLimit: in.ClosureLimit}
	if in.Method == "reverse" {
		setup.Between = *in.Dimensions.Between
	}
	if in.Speed != nil {
		if *in.Speed == 0 {
			return alignOut{}, Notes{}, say.Refuse("speed", in.Speed.String(), msgNeedsReading.With(), say.Message{})
		}
		setup.Speed = *in.Speed
	}
	if setup.Growth, err = in.growth(); err != nil {
		return alignOut{}, Notes{}, err
	}
	plan, err := align.Align(setup)
	if err != nil {
		return alignOut{}, Notes{}, err
	}
	out := alignResults(plan)
	var before *align.Plan
	if in.AsFound != nil {
		found := in
		found.Readings = *in.AsFound
		if setup.Position, _, _, err = found.position(); err != nil {
			return alignOut{}, Notes{}, asFoundField(err)
		}
		was, err := align.Align(setup)
		if err != nil {
			return alignOut{}, Notes{}, err
		}
		out.Change, before = align.Compare(was, plan).Words, &was
	}
	notes := Notes{Found: Aligned{&plan, before}, Warnings: plan.Warnings, Working: plan.Working(equation, leaves...),
		Cautions: []say.Message{cautionCouplingLocked.With(), cautionTurnByHand.With(), cautionLift.With(), cautionAlignManual.With()}}
	if in.Growth == nil && in.GrowthFrom == nil {
		notes.Warn(msgNoGrowth.With())
	}
	if len(in.ShimStock) > 0 && plan.Valid {
		if out.Shims, err = in.shims(plan, &notes); err != nil {
			return alignOut{}, Notes{}, err
		}
	}
	return out, notes, nil
}

// position works out where the movable shaft lies, the equation and leaves.
func (in alignIn) position() (align.Position, string, []*working.Node, error) {
	r := in.Readings
	sets := []struct {
		name, method string
		clock        *alignClock
	}{{"rim", "rim-face", r.Rim}, {"face", "rim-face", r.Face}, {"stationary_rim", "reverse", r.StationaryRim}, {"movable_rim", "reverse", r.MovableRim}}
	var leaves []*working.Node
	for _, s := range sets {
		if (s.clock != nil) != (s.method == in.Method) {
			message := msgNeedsReading.With()
			if s.clock != nil {
				message = msgNotThisWay.With(in.Method)
			}
			return align.Position{}, "", nil, say.Refuse("readings."+s.name, "", message, say.Message{})
		}
		if s.clock != nil {
			leaves = append(leaves, s.clock.leaves(s.name)...)
		}
	}
	leaves = append(leaves, working.Leaf("align.sag", nameSag.With(), "", in.Sag, "input sag"))
	switch in.Method {
	case "rim-face":
		if in.Dimensions.FaceDiameter == nil {
			return align.Position{}, "", nil, say.Refuse("dimensions.face_diameter", "", msgNeedsReading.With(), say.Message{})
		}
		p, err := align.RimFace{FaceDiameter: *in.Dimensions.FaceDiameter, Rim: r.Rim.clock(), Face: r.Face.clock(), Sag: in.Sag, Bracket: align.Bracket(in.Bracket)}.Position()
		return p, "offset = ± (bottom − top − sag)/2 of the rim, slope = −(bottom − top)/D of the face; sideways left − right", leaves, inReadings(err)
	case "reverse":
		if in.Dimensions.Between == nil {
			return align.Position{}, "", nil, say.Refuse("dimensions.between", "", msgNeedsReading.With(), say.Message{})
		}
		p, err := align.Reverse{Between: *in.Dimensions.Between, StationaryRim: r.StationaryRim.clock(), MovableRim: r.MovableRim.clock(), Sag: in.Sag}.Position()
		return p, "y_S = (bottom − top − sag)/2, y_M = −(bottom − top − sag)/2, slope = (y_M − y_S)/L; sideways left − right", leaves, inReadings(err)
	}
	return in.toolPosition()
}

// asFoundField names a reading as it was written, under as_found.
func asFoundField(err error) error {
	p := say.AsProblem(err)
	if p == nil || !strings.HasPrefix(p.Field, "readings") {
		return err
	}
	renamed := *p
	renamed.Field = "as_found" + strings.TrimPrefix(p.Field, "readings")
	return &renamed
}

var nameSag = say.Define("calculator.sag", "sag of the bar")

// inReadings puts the group of the field in front of its name.
func inReadings(err error) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	if p.Field == "face_diameter" || p.Field == "between" {
		return say.In("dimensions", err)
	}
	return say.In("readings", err)
}

func (in alignIn) toolPosition() (align.Position, string, []*working.Node, error) {
	r := in.Readings
	var leaves []*working.Node
	var values [4]float64
	for i, v := range []struct {
		name string
		q    quantity.Quantity
		ok   bool
	}{{"offset_vertical", deref(r.OffsetVertical), r.OffsetVertical != nil}, {"angle_vertical", deref(r.AngleVertical), r.AngleVertical != nil},
		{"offset_horizontal", deref(r.OffsetHorizontal), r.OffsetHorizontal != nil}, {"angle_horizontal", deref(r.AngleHorizontal), r.AngleHorizontal != nil}} {
		if !v.ok {
			return align.Position{}, "", nil, say.Refuse("readings."+v.name, "", msgNeedsReading.With(), say.Message{})
		}
		values[i] = v.q.SI()
		leaves = append(leaves, working.Leaf("align."+v.name, nameOfTool.With(v.name), "", v.q, "input readings."+v.name))
	}
	return align.Position{Vertical: align.Line{Offset: quantity.Length(values[0]), Slope: quantity.Angle(values[1])},
		Horizontal: align.Line{Offset: quantity.Length(values[2]), Slope: quantity.Angle(values[3])}}, "as reported", leaves, nil
}

func deref[T quantity.Of](p *T) T {
	if p == nil {
		return 0
	}
	return *p
}

func (c *alignClock) clock() align.Clock {
	return align.Clock{Top: c.Top, Right: c.Right, Bottom: c.Bottom, Left: c.Left}
}

func (c *alignClock) leaves(set string) []*working.Node {
	var list []*working.Node
	for _, r := range []struct {
		place string
		v     quantity.Length
	}{{"top", c.Top}, {"right", c.Right}, {"bottom", c.Bottom}, {"left", c.Left}} {
		list = append(list, working.Leaf("align."+set+"."+r.place, nameDial.With(set, r.place), "", r.v, "input readings."+set+"."+r.place))
	}
	return list
}

func (in alignIn) growth() (align.Growth, error) {
	if in.Growth != nil && in.GrowthFrom != nil {
		return align.Growth{}, say.Refuse("growth_from", "", msgGrowthTwice.With(), say.Message{})
	}
	if in.Growth != nil {
		return align.Growth{Near: in.Growth.Near, Far: in.Growth.Far}, nil
	}
	if in.GrowthFrom == nil {
		return align.Growth{}, nil
	}
	var rises [3]quantity.Length
	for i, w := range []struct {
		name string
		of   alignWarming
	}{{"near", in.GrowthFrom.Near}, {"far", in.GrowthFrom.Far}, {"stationary", in.GrowthFrom.Stationary}} {
		rise, err := align.ThermalGrowth(w.of.Height, w.of.Expansion, w.of.Warming)
		if err != nil {
			return align.Growth{}, say.In("growth_from."+w.name, err)
		}
		rises[i] = rise
	}
	return align.Growth{Near: rises[0] - rises[2], Far: rises[1] - rises[2]}, nil
}

func (in alignIn) shims(plan align.Plan, notes *Notes) (*alignShims, error) {
	stock := make([]align.Shim, len(in.ShimStock))
	for i, s := range in.ShimStock {
		stock[i] = align.Shim{Thickness: s.Thickness, Count: s.Count}
	}
	pack := func(wanted quantity.Length) (*alignPack, error) {
		if wanted <= in.ShimAccuracy {
			return nil, nil
		}
		p, err := align.ChooseShims(wanted, in.ShimAccuracy, stock)
		if err != nil {
			return nil, inShims(err)
		}
		notes.Warn(p.Says(wanted)...)
		out := &alignPack{Pieces: p.Pieces, Thickness: p.Thickness, Error: p.Error}
		for _, s := range p.Shims {
			out.Shims = append(out.Shims, alignShim{Thickness: s.Thickness, Count: s.Count})
		}
		return out, nil
	}
	near, err := pack(plan.Near.Vertical)
	if err != nil {
		return nil, err
	}
	far, err := pack(plan.Far.Vertical)
	return &alignShims{Near: near, Far: far}, err
}

// inShims names the fields of ChooseShims as this calculator does.
func inShims(err error) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	renamed := *p
	switch {
	case p.Field == "tolerance":
		renamed.Field = "shim_accuracy"
	case strings.HasPrefix(p.Field, "stock"):
		renamed.Field = "shim_" + p.Field
	case p.Field == "wanted":
		renamed.Field = "shim_stock"
	}
	return &renamed
}
