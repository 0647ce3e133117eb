package calculator

import (
	"strconv"
	"strings"

	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// shaftCalculators are those of run-out and alignment.
func shaftCalculators() []Calculator {
	return []Calculator{runoutCalculator(), alignCalculator(), softFootCalculator()}
}

type runoutIn struct {
	Readings []runoutReading `json:"readings" help:"dial readings around the shaft, at least three directions"`
}

type runoutReading struct {
	Angle   quantity.Angle  `json:"angle" help:"direction of the reading"`
	Reading quantity.Length `json:"reading" help:"what the dial reads"`
}

type runoutOut struct {
	TIR          quantity.Length `json:"tir" help:"highest less lowest reading"`
	Eccentricity quantity.Length `json:"eccentricity" help:"how far the shaft runs off centre"`
	HighAngle    quantity.Angle  `json:"high_angle" help:"direction of the high point"`
	Mean         quantity.Length `json:"mean" help:"mean of the fitted circle, from where the dial was zeroed"`
	Residual     quantity.Length `json:"residual" help:"highest less lowest of what the fit leaves: out-of-round"`
}

var (
	cautionTurnByHand     = say.Define("calculator.caution_turn_by_hand", "Turn the shaft by hand or with a strap wrench, never with a wrench that bites: it scars seal and bearing seats and bends a thin shaft.")
	cautionCouplingLocked = say.Define("calculator.caution_coupling_locked", "Lock out and tag the drive, try that it is dead, and take the coupling guard off only then; nobody's hands are near the coupling while another person turns it.")
	cautionLift           = say.Define("calculator.caution_lift", "Lift a machine for shims with jacks or bars made for it, never with fingers under the foot; loosen and tighten bolts in turn.")
	cautionAlignManual    = say.Define("calculator.caution_alignment_manual", "Limits of the makers of coupling and machine come before these tables.")
)

func runoutCalculator() Calculator {
	return Define("runout", "How far off centre does the shaft run, and how far out of round is it?",
		`readings:
  - {angle: 0°, reading: 0 µm}
  - {angle: 45°, reading: 12 µm}
  - {angle: 90°, reading: 18 µm}
  - {angle: 135°, reading: 15 µm}
  - {angle: 180°, reading: 3 µm}
  - {angle: 225°, reading: -8 µm}
  - {angle: 270°, reading: -14 µm}
  - {angle: 315°, reading: -11 µm}
`,
		func(_ *Env, in runoutIn) (runoutOut, Notes, error) {
			readings := make([]align.Reading, len(in.Readings))
			for i, r := range in.Readings {
				readings[i] = align.Reading{Angle: r.Angle, Dial: r.Reading}
			}
			r, err := align.FitRunout(readings)
			if err != nil {
				return runoutOut{}, Notes{}, err
			}
			return runoutOut{TIR: r.TIR, Eccentricity: r.Eccentricity, HighAngle: r.HighAngle, Mean: r.Mean, Residual: r.Residual},
				Notes{Warnings: r.Warnings, Cautions: []say.Message{cautionCouplingLocked.With(), cautionTurnByHand.With()}, Working: r.Working()}, nil
		})
}

type alignIn struct {
	Method       string                    `json:"method" oneof:"rim-face|reverse|tool" help:"rim-face: both dials on one bracket; reverse: a dial on each shaft; tool: offsets and angles as an instrument reports them"`
	Dimensions   alignDimensions           `json:"dimensions" help:"distances along the shaft, from the plane of the movable rim (or the plane of the tool's offsets)"`
	Readings     alignReadings             `json:"readings" help:"dial readings, seen from the back of the movable machine, plunger pushed in positive"`
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
	Count     int             `json:"count" help:"how many"`
}

type alignOut struct {
	OffsetVertical   quantity.Length `json:"offset_vertical" help:"movable shaft above the fixed one at the movable rim, cold, as read"`
	AngleVertical    quantity.Angle  `json:"angle_vertical" help:"slope of the movable shaft, positive rising away from the coupling, cold, as read"`
	OffsetHorizontal quantity.Length `json:"offset_horizontal" help:"movable shaft to the right of the fixed one at the movable rim"`
	AngleHorizontal  quantity.Angle  `json:"angle_horizontal" help:"slope sideways, positive to the right away from the coupling"`
	RunningVertical  alignRunning    `json:"running_vertical" help:"the same with growth"`
	Growth           alignGrowth     `json:"growth" help:"growth that was counted"`
	Feet             alignFeet       `json:"feet" help:"moves: positive up, and to the right as seen from the back of the movable machine"`
	ClosureError     quantity.Length `json:"closure_error" help:"by how much top + bottom and left + right differ"`
	Valid            bool            `json:"valid" help:"the readings close"`
	Verdicts         []alignVerdict  `json:"verdicts" help:"against each published table, running; empty without a speed"`
	WithinAll        *bool           `json:"within_all" help:"within every table: the stricter one rules"`
	Moves            []say.Message   `json:"moves" help:"the moves in words"`
	Shims            *alignShims     `json:"shims" help:"packs for feet that are raised, from the stock"`
	Drawing          alignDrawing    `json:"drawing" help:"the shaft at rims and feet, for a drawing to scale"`
}

type alignRunning struct {
	Offset quantity.Length `json:"offset" help:"offset at the movable rim, running"`
	Angle  quantity.Angle  `json:"angle" help:"slope, running"`
}

type alignFeet struct {
	Near alignMove `json:"near" help:"near feet"`
	Far  alignMove `json:"far" help:"far feet"`
}

type alignMove struct {
	Vertical   quantity.Length `json:"vertical" help:"positive: raise"`
	Horizontal quantity.Length `json:"horizontal" help:"positive: to the right"`
}

type alignVerdict struct {
	Table       string                   `json:"table" help:"published table"`
	Speed       quantity.RotationalSpeed `json:"speed" help:"speed looked up"`
	OffsetLimit quantity.Length          `json:"offset_limit" help:"acceptable offset"`
	AngleLimit  quantity.Angle           `json:"angle_limit" help:"acceptable angle between the shafts"`
	Grade       string                   `json:"grade" help:"excellent, acceptable or outside"`
	Within      bool                     `json:"within" help:"acceptable or better"`
	Source      string                   `json:"source" help:"where it is published"`
}

type alignShims struct {
	Near *alignPack `json:"near" help:"near feet"`
	Far  *alignPack `json:"far" help:"far feet"`
}

type alignPack struct {
	Shims     []alignShim     `json:"shims" help:"thickest first"`
	Pieces    int             `json:"pieces" help:"shims in the pack"`
	Thickness quantity.Length `json:"thickness" help:"of the pack"`
	Error     quantity.Length `json:"error" help:"pack less what was wanted"`
}

type alignDrawing struct {
	Side  []alignStation `json:"side" help:"seen from the side, positive up"`
	Above []alignStation `json:"above" help:"seen from above, positive to the right"`
}

type alignStation struct {
	At      quantity.Length `json:"at" help:"along the shaft from the movable rim towards the feet"`
	Cold    quantity.Length `json:"cold" help:"offset as read"`
	Running quantity.Length `json:"running" help:"with growth"`
	Target  quantity.Length `json:"target" help:"where it should lie cold"`
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
	notes := Notes{Warnings: plan.Warnings, Working: plan.Working(equation, leaves...),
		Cautions: []say.Message{cautionCouplingLocked.With(), cautionTurnByHand.With(), cautionLift.With(), cautionAlignManual.With()}}
	if in.Growth == nil && in.GrowthFrom == nil {
		notes.Warn(msgNoGrowth.With())
	}
	out := alignResults(plan)
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

func alignResults(plan align.Plan) alignOut {
	p := plan.Position
	out := alignOut{OffsetVertical: p.Vertical.Offset, AngleVertical: p.Vertical.Slope, OffsetHorizontal: p.Horizontal.Offset, AngleHorizontal: p.Horizontal.Slope,
		RunningVertical: alignRunning{plan.RunningVertical.Offset, plan.RunningVertical.Slope},
		Growth:          alignGrowth{plan.Growth.Near, plan.Growth.Far},
		Feet:            alignFeet{alignMove{plan.Near.Vertical, plan.Near.Horizontal}, alignMove{plan.Far.Vertical, plan.Far.Horizontal}},
		ClosureError:    p.Closure, Valid: plan.Valid, Verdicts: []alignVerdict{}, Moves: plan.Words}
	for _, v := range plan.Verdicts {
		out.Verdicts = append(out.Verdicts, alignVerdict{Table: v.Table, Speed: v.Speed, OffsetLimit: v.AcceptableShift, AngleLimit: v.AcceptableAngle,
			Grade: string(v.Grade), Within: v.Within, Source: v.Source})
	}
	if len(plan.Verdicts) > 0 {
		out.WithinAll = &plan.Within
	}
	d := plan.Drawing()
	out.Drawing = alignDrawing{Side: stationsOut(d.Side), Above: stationsOut(d.Above)}
	return out
}

func stationsOut(list []align.Station) []alignStation {
	out := make([]alignStation, len(list))
	for i, s := range list {
		out[i] = alignStation(s)
	}
	return out
}

type softFootIn struct {
	NearLeft  quantity.Length `json:"near_left" help:"rise of this foot when its bolt alone is loosened"`
	NearRight quantity.Length `json:"near_right" help:"rise of this foot when its bolt alone is loosened"`
	FarLeft   quantity.Length `json:"far_left" help:"rise of this foot when its bolt alone is loosened"`
	FarRight  quantity.Length `json:"far_right" help:"rise of this foot when its bolt alone is loosened"`
	Limit     quantity.Length `json:"limit" default:"0.06 mm" help:"largest rise allowed; 0.06 mm (2 mils) is published for any speed, 0.05 mm is often asked"`
}

type softFootOut struct {
	Within  bool            `json:"within" help:"no foot rises more than the limit"`
	Rocking bool            `json:"rocking" help:"the machine rocks over two opposite feet"`
	Worst   quantity.Length `json:"worst" help:"largest rise"`
	Words   []say.Message   `json:"words" help:"what to do"`
}

var (
	nameWorstFoot = say.Define("calculator.worst_foot", "largest rise of a foot")
	nameFootRise  = say.Define("calculator.foot_rise", "rise, {foot}")
)

func softFootCalculator() Calculator {
	return Define("soft-foot", "Does the machine stand on all its feet?",
		"near_left: 0.12 mm\nnear_right: 0.02 mm\nfar_left: 0.01 mm\nfar_right: 0.10 mm\n",
		func(_ *Env, in softFootIn) (softFootOut, Notes, error) {
			names := [4]string{"near_left", "near_right", "far_left", "far_right"}
			rises := [4]quantity.Length{in.NearLeft, in.NearRight, in.FarLeft, in.FarRight}
			s, err := align.CheckSoftFoot(rises, in.Limit)
			if err != nil {
				return softFootOut{}, Notes{}, softFootField(err, names)
			}
			out := softFootOut{Within: s.Within, Rocking: s.Rocking, Words: s.Says}
			node := &working.Node{ID: "align.worst_foot", Name: nameWorstFoot.With(), Dimension: quantity.LengthDimension, Equation: "the largest of the four", Source: "suggested shaft alignment tolerances, alignment handbook of 2000: 0.06 mm at any speed"}
			for i, r := range rises {
				out.Worst = max(out.Worst, r)
				node.Inputs = append(node.Inputs, working.Leaf("align.rise."+names[i], nameFootRise.With(names[i]), "", r, "input "+names[i]))
			}
			node.Value = out.Worst.SI()
			return out, Notes{Working: node, Cautions: []say.Message{cautionCouplingLocked.With(), cautionLift.With()}}, nil
		})
}

func softFootField(err error, names [4]string) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	for i, name := range names {
		if p.Field == "rise["+strconv.Itoa(i)+"]" {
			renamed := *p
			renamed.Field = name
			return &renamed
		}
	}
	return err
}
