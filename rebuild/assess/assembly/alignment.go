package assembly

import (
	"pumpwright/calc/align"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

const (
	hotState = "hot"  // state of an alignment that was read after running
	feetOnly = "feet" // method of a set that reads soft foot alone
)

// Alignments are the sets of alignment readings of a job; the last of each
// state counts.
type Alignments struct {
	Sets             []*Alignment
	Found, Left, Hot *Alignment
	// Feet is the last set that reads soft foot alone.
	Feet   *Alignment
	Change *align.Change // as found against as left
	// AskFound tells whether a reading as found is wanted: only where the shop
	// took the pump off its base.
	AskFound bool
	pulled   say.Message // what the pipes do
	Reasons  []say.Message
	Warnings []say.Message
	Cautions []say.Message
	Unknown  []say.Message
}

// Alignment is one set of readings.
type Alignment struct {
	job.Meta
	Body     job.Alignment
	Position align.Position
	Plan     *align.Plan // nil when it could not be worked out
	// Moves are the moves of the feet in words; empty where nobody may move a
	// foot, and then Hold says why.
	Moves    []say.Message
	Hold     say.Message
	SoftFoot *align.SoftFoot
	Notes    []say.Message
	Warnings []say.Message
	Unknown  []say.Message

	equation string
	leaves   []*working.Node
}

var (
	whatAlignment = say.Define("assembly.what_alignment", "alignment {state}")

	msgAskFound    = say.Define("assembly.ask_found", "alignment as found was not read; once the pump is off its base it is lost")
	msgNotRemoved  = say.Define("assembly.not_removed", "the pump was not removed by us: alignment as found is not asked for")
	msgAlignedNot  = say.Define("assembly.not_aligned", "alignment as left was not read yet")
	msgHotNotRead  = say.Define("assembly.hot_not_read", "alignment hot, after running, was not read yet")
	msgAboutSet    = say.Define("assembly.about_set", "alignment {state}: {warning:message}")
	msgNoGrowth    = say.Define("assembly.no_growth", "no growth was given: the moves hold only for machines that warm alike")
	msgGrowthFirst = say.Define("assembly.growth_first", "the liquid is {warmer:temperature_difference} warmer than the surroundings and no growth was given: nobody moves a foot before the growth is known and confirmed")
	msgUnconfirmed = say.Define("assembly.unconfirmed", "growth decides which way a foot moves and nobody has confirmed it: no foot is moved")
	msgNotClosed   = say.Define("assembly.not_closed", "the readings do not close by {error:length}: repeat them; no foot is moved on these")
	msgNoSpeed     = say.Define("assembly.no_speed", "verdict: not known, because the speed is missing")
	msgHotRunning  = say.Define("assembly.hot_running", "read hot: no growth is added")
	msgGrowthTwice = say.Define("assembly.growth_twice", "growth and growth_from are both given; growth counts")
	msgNeeds       = say.Define("assembly.needs", "the method {method} needs it")
	msgSettled     = say.Define("assembly.settled", "within the published limits; what is left of the moves is not worth making unless a foot is loose anyway")
	msgUpright     = say.Define("assembly.upright", "the pump stands upright: no foot is raised or moved; offset and angle are put right at register and flange, as the maker says. Top, right, bottom and left are the four sides as they were named when reading")
	msgUprightSag  = say.Define("assembly.upright_sag", "a sag of {sag:length} was entered; a bar that stands upright does not sag, so it is not counted")
	msgUprightGrow = say.Define("assembly.upright_growth", "warming lengthens an upright shaft and lifts no foot: the growth that was entered is not counted")
	nameDial       = say.Define("assembly.dial", "{set}, {place}")
	nameTool       = say.Define("assembly.tool", "reported by the tool: {what}")
	nameSag        = say.Define("assembly.sag", "sag of the bar")
)

// alignments works out every set.
func (in *Inputs) alignments() Alignments {
	a := Alignments{Cautions: in.cautions("rotation", "lift")}
	for i := range in.State.Alignments {
		k := &in.State.Alignments[i]
		set := &Alignment{Meta: k.Meta}
		body, err := job.ReadAlignment(k.Body)
		set.Body = body
		if err != nil {
			set.Unknown = append(set.Unknown, msgRefused.With(whatAlignment.With(body.State), err))
		} else {
			set.work(in)
		}
		a.Sets = append(a.Sets, set)
		if body.Method == feetOnly {
			a.Feet = set
			a.Unknown = append(a.Unknown, set.Unknown...)
			continue
		}
		switch body.State {
		case job.AsFound:
			a.Found = set
		case job.AsLeft:
			a.Left = set
		case hotState:
			a.Hot = set
		}
		a.Unknown = append(a.Unknown, set.Unknown...)
	}
	// Only the last of each state asks for anything.
	for _, set := range []*Alignment{a.Found, a.Feet, a.Left, a.Hot} {
		if set == nil || set == a.Found && a.Left != nil || set == a.Feet && a.readLater() {
			continue
		}
		for _, w := range set.Warnings {
			a.Warnings = append(a.Warnings, msgAboutSet.With(set.Body.State, w))
		}
	}
	a.compare()
	a.ask(in)
	a.pipes(in)
	return a
}

// usualPipeStrain is how far the shaft may move at the coupling while the
// pipes are bolted up. [common practice, no source]
const usualPipeStrain quantity.Length = 0.05e-3

var (
	msgPipes     = say.Define("assembly.pipes", "the shaft moved {by:length} at the coupling while the pipes were bolted up; usual limit {limit:length}")
	msgPipesOver = say.Define("assembly.pipes_over", "the pipes pull: the shaft moved {by:length} at the coupling while they were bolted up, more than {limit:length}; slacken them, put the pipes right, never the pump, and align again")
)

// pipes says how much the pipes pull, by the limit of the sheet or the usual
// one.
func (a *Alignments) pipes(in *Inputs) {
	read := in.mean(sheet.RolePipeStrain, job.AsLeft)
	if read == nil {
		return
	}
	limit := usualPipeStrain
	if f := in.Sheet.ByRole(sheet.RolePipeStrain); f != nil && len(f.Limits) > 0 && f.Limits[0].Max != nil {
		limit = quantity.Length(f.Limits[0].Max.SI)
	}
	if by := lengthOf(read).Value; by > limit {
		a.pulled = msgPipesOver.With(by, limit)
		a.Warnings = append(a.Warnings, a.pulled)
	} else {
		a.pulled = msgPipes.With(by, limit)
		a.Reasons = append(a.Reasons, a.pulled)
	}
}

// Pipes says how much the pipes pull, as read; nothing when it was not.
func (a *Alignments) Pipes() []say.Message {
	if a.pulled.IsZero() {
		return nil
	}
	return []say.Message{a.pulled}
}

// readLater reports whether a full set has read the feet again.
func (a *Alignments) readLater() bool {
	return a.Left != nil && a.Left.SoftFoot != nil && a.Left.At > a.Feet.At
}

func (a *Alignments) compare() {
	if a.Found != nil && a.Left != nil && a.Found.Plan != nil && a.Left.Plan != nil {
		change := align.Compare(*a.Found.Plan, *a.Left.Plan)
		a.Change = &change
	}
}

func (a *Alignments) ask(in *Inputs) {
	removed := in.State.Open != nil && in.State.Open.Body.Removed
	switch {
	case a.Found != nil:
	case removed:
		a.AskFound = true
		a.Reasons = append(a.Reasons, msgAskFound.With())
	default:
		a.Reasons = append(a.Reasons, msgNotRemoved.With())
	}
	if a.Left == nil {
		a.Reasons = append(a.Reasons, msgAlignedNot.With())
	} else if a.Hot == nil {
		a.Reasons = append(a.Reasons, msgHotNotRead.With())
	}
}

// work finds the position, the moves and the verdicts of one set.
func (a *Alignment) work(in *Inputs) {
	what := whatAlignment.With(a.Body.State)
	a.softFoot()
	if a.Body.Method == feetOnly {
		if a.Body.SoftFoot == nil {
			a.Unknown = append(a.Unknown, msgRefused.With(whatSoftFoot.With(), missingReading("soft_foot", feetOnly)))
		}
		return
	}
	body, upright := a.Body, in.Sheet.Build.Mounting == "vertical"
	if upright {
		if sag := body.Sag; sag != nil && *sag != 0 {
			a.Warnings = append(a.Warnings, msgUprightSag.With(*sag))
		}
		body.Sag = nil
	}
	var err error
	a.Position, a.equation, a.leaves, err = position(body, a.Ref)
	if err != nil {
		a.Unknown = append(a.Unknown, msgRefused.With(what, err))
		return
	}
	d := a.Body.Dimensions
	var lacks lacking
	lacks.unless(upright || d.ToNearFoot != nil, "distance to the near feet")
	lacks.unless(upright || d.ToFarFoot != nil, "distance to the far feet")
	if len(lacks) > 0 {
		a.Unknown = append(a.Unknown, lacks.message(what))
		return
	}
	setup := align.Setup{Position: a.Position, Upright: upright, ClosureLimit: a.Body.ClosureLimit}
	if !upright {
		setup.ToNearFoot, setup.ToFarFoot = *d.ToNearFoot, *d.ToFarFoot
	}
	if a.Body.Method == "reverse" {
		setup.Between = *d.Between
	}
	if a.Body.Speed != nil {
		setup.Speed = *a.Body.Speed
	} else if in.Service != nil && in.Service.Speed != nil {
		setup.Speed = in.Service.Speed.Value
	}
	given := a.Body.Growth != nil || a.Body.GrowthFrom != nil
	if upright && given {
		a.Notes = append(a.Notes, msgUprightGrow.With())
	} else if setup.Growth, err = a.growth(); err != nil {
		a.Unknown = append(a.Unknown, msgRefused.With(what, err))
		return
	}
	plan, err := align.Align(setup)
	if err != nil {
		a.Unknown = append(a.Unknown, msgRefused.With(what, err))
		return
	}
	a.Plan = &plan
	if upright {
		a.judgeUpright()
		return
	}
	a.judge(in, given)
}

// judge says what follows. A foot is moved only on readings that close, with a
// growth that somebody has confirmed where it matters.
func (a *Alignment) judge(in *Inputs, given bool) {
	p := a.Plan
	for _, w := range p.Warnings {
		switch w.ID() {
		case "align.repeat", "align.growth_decides": // said as Hold
		default:
			a.Notes = append(a.Notes, w)
		}
	}
	if len(p.Verdicts) == 0 && p.Speed == 0 {
		a.Unknown = append(a.Unknown, msgNoSpeed.With())
	}
	warmer := in.warmer()
	switch {
	case !p.Valid:
		a.Hold = msgNotClosed.With(p.Position.Closure)
	case a.Body.State == hotState:
		a.Notes = append(a.Notes, msgHotRunning.With())
	case p.GrowthDecides && !a.Body.GrowthConfirmed:
		a.Hold = msgUnconfirmed.With()
	case !given && warmer >= growthMatters:
		a.Hold = msgGrowthFirst.With(warmer)
	case !given:
		a.Notes = append(a.Notes, msgNoGrowth.With())
	}
	if !a.Hold.IsZero() {
		a.Warnings = append(a.Warnings, a.Hold)
		return
	}
	a.Moves = p.Words
	a.shims(in)
	if p.Within {
		a.Notes = append(a.Notes, msgSettled.With())
	} else if len(p.Verdicts) > 0 {
		a.Warnings = append(a.Warnings, msgOutside.With(p.Shift, align.PerLength(p.Angle)))
	}
}

var (
	msgShims                     = say.Define("assembly.foot_shims", "{feet:message}, under each foot: {pack:list} make {thickness:length}")
	msgShimsFew                  = say.Define("assembly.foot_shims_few", "{feet:message}: the shims on the shelf make {thickness:length} at the closest, {wanted:length} are wanted")
	wordShims                    = say.Define("assembly.foot_shim", "{count:count} of {thickness:length}")
	nearFeet                     = say.Define("assembly.near_feet", "near feet")
	farFeet                      = say.Define("assembly.far_feet", "far feet")
	shimAccuracy quantity.Length = 0.02e-3 // how close a pack must come [common practice, no source]
)

// shims makes packs of fewest shims of the shelf for feet that are raised.
func (a *Alignment) shims(in *Inputs) {
	if in.Shop == nil || len(in.Shop.FootShims) == 0 || a.Plan.Within {
		return
	}
	stock := make([]align.Shim, len(in.Shop.FootShims))
	for i, s := range in.Shop.FootShims {
		stock[i] = align.Shim{Thickness: quantity.Length(s.Thickness.SI), Count: s.Count}
	}
	for _, feet := range []struct {
		name say.Message
		up   quantity.Length
	}{{nearFeet.With(), a.Plan.Near.Vertical}, {farFeet.With(), a.Plan.Far.Vertical}} {
		if feet.up <= shimAccuracy {
			continue
		}
		pack, err := align.ChooseShims(feet.up, shimAccuracy, stock)
		if err != nil {
			a.Unknown = append(a.Unknown, msgRefused.With(feet.name, err))
			continue
		}
		if !pack.Reached {
			a.Notes = append(a.Notes, msgShimsFew.With(feet.name, pack.Thickness, feet.up))
			continue
		}
		var list say.Series
		for _, s := range pack.Shims {
			list = append(list, wordShims.With(s.Count, s.Thickness))
		}
		a.Moves = append(a.Moves, msgShims.With(feet.name, list, pack.Thickness))
	}
}

// judgeUpright judges an upright pump: it has no feet that could be moved.
func (a *Alignment) judgeUpright() {
	p := a.Plan
	if len(p.Verdicts) == 0 && p.Speed == 0 {
		a.Unknown = append(a.Unknown, msgNoSpeed.With())
	}
	a.Notes = append(a.Notes, msgUpright.With())
	switch {
	case !p.Valid:
		a.Hold = msgNotClosed.With(p.Position.Closure)
		a.Warnings = append(a.Warnings, a.Hold)
	case !p.Within && len(p.Verdicts) > 0:
		a.Warnings = append(a.Warnings, msgOutside.With(p.Shift, align.PerLength(p.Angle)))
	}
}

var msgOutside = say.Define("assembly.outside", "offset {offset:length} and angle {angle} are not within every published table; the stricter one rules unless a lead signs otherwise")

// growthMatters is the warming from which a growth must be given: 160 mm of
// iron grow 0.05 mm over it, the offset that tables allow at 3000 rev/min.
// [our convention]
const growthMatters quantity.TemperatureDifference = 30

// warmer is how much the liquid is warmer than the surroundings.
func (in *Inputs) warmer() quantity.TemperatureDifference {
	t := in.hottest()
	if t == 0 {
		return 0
	}
	ambient := usualRoom
	if in.Service.Ambient != nil {
		ambient = in.Service.Ambient.Value
	}
	return quantity.TemperatureDifference(t - ambient)
}

func (a *Alignment) growth() (align.Growth, error) {
	b := a.Body
	switch {
	case b.State == hotState:
		return align.Growth{}, nil
	case b.Growth != nil:
		if b.GrowthFrom != nil {
			a.Notes = append(a.Notes, msgGrowthTwice.With())
		}
		return align.Growth{Near: b.Growth.Near, Far: b.Growth.Far}, nil
	case b.GrowthFrom == nil:
		return align.Growth{}, nil
	}
	var rises [3]quantity.Length
	for i, w := range []struct {
		name string
		of   job.AlignmentWarming
	}{{"near", b.GrowthFrom.Near}, {"far", b.GrowthFrom.Far}, {"stationary", b.GrowthFrom.Stationary}} {
		rise, err := align.ThermalGrowth(w.of.Height, w.of.Expansion, w.of.Warming)
		if err != nil {
			return align.Growth{}, say.In("growth_from."+w.name, err)
		}
		rises[i] = rise
	}
	return align.Growth{Near: rises[0] - rises[2], Far: rises[1] - rises[2]}, nil
}

func (a *Alignment) softFoot() {
	f := a.Body.SoftFoot
	if f == nil {
		return
	}
	soft, err := align.CheckSoftFoot([4]quantity.Length{f.NearLeft, f.NearRight, f.FarLeft, f.FarRight}, 0)
	if err != nil {
		a.Unknown = append(a.Unknown, msgRefused.With(whatSoftFoot.With(), err))
		return
	}
	a.SoftFoot = &soft
	if !soft.Within {
		a.Warnings = append(a.Warnings, soft.Says...)
	} else {
		a.Notes = append(a.Notes, soft.Says...)
	}
}

var whatSoftFoot = say.Define("assembly.what_soft_foot", "soft foot")

// position works out where the movable shaft lies, the equation and leaves.
func position(b job.Alignment, ref string) (align.Position, string, []*working.Node, error) {
	r := b.Readings
	sets := []struct {
		name, method string
		clock        *job.AlignmentClock
	}{{"rim", "rim-face", r.Rim}, {"face", "rim-face", r.Face}, {"stationary_rim", "reverse", r.StationaryRim}, {"movable_rim", "reverse", r.MovableRim}}
	var leaves []*working.Node
	for _, s := range sets {
		if s.method == b.Method && s.clock == nil {
			return align.Position{}, "", nil, missingReading("readings."+s.name, b.Method)
		}
		if s.method == b.Method {
			leaves = append(leaves, dials(s.name, s.clock, ref)...)
		}
	}
	sag := quantity.Length(0)
	if b.Sag != nil {
		sag = *b.Sag
	}
	switch b.Method {
	case "rim-face":
		if b.Dimensions.FaceDiameter == nil {
			return align.Position{}, "", nil, missingReading("dimensions.face_diameter", b.Method)
		}
		leaves = append(leaves, working.Leaf("align.sag", nameSag.With(), "", sag, ref))
		p, err := align.RimFace{FaceDiameter: *b.Dimensions.FaceDiameter, Rim: clock(r.Rim), Face: clock(r.Face), Sag: sag, Bracket: align.Bracket(b.Bracket)}.Position()
		return p, "offset = ± (bottom − top − sag)/2 of the rim, slope = −(bottom − top)/D of the face; sideways left − right", leaves, err
	case "reverse":
		if b.Dimensions.Between == nil {
			return align.Position{}, "", nil, missingReading("dimensions.between", b.Method)
		}
		leaves = append(leaves, working.Leaf("align.sag", nameSag.With(), "", sag, ref))
		p, err := align.Reverse{Between: *b.Dimensions.Between, StationaryRim: clock(r.StationaryRim), MovableRim: clock(r.MovableRim), Sag: sag}.Position()
		return p, "y_S = (bottom − top − sag)/2, y_M = −(bottom − top − sag)/2, slope = (y_M − y_S)/L; sideways left − right", leaves, err
	}
	return toolPosition(r, ref)
}

func toolPosition(r job.AlignmentReadings, ref string) (align.Position, string, []*working.Node, error) {
	var leaves []*working.Node
	for _, v := range []struct {
		name  string
		q     quantity.Quantity
		known bool
	}{{"offset_vertical", value(r.OffsetVertical), r.OffsetVertical != nil}, {"angle_vertical", value(r.AngleVertical), r.AngleVertical != nil},
		{"offset_horizontal", value(r.OffsetHorizontal), r.OffsetHorizontal != nil}, {"angle_horizontal", value(r.AngleHorizontal), r.AngleHorizontal != nil}} {
		if !v.known {
			return align.Position{}, "", nil, missingReading("readings."+v.name, "tool")
		}
		leaves = append(leaves, working.Leaf("align."+v.name, nameTool.With(v.name), "", v.q, ref))
	}
	return align.Position{Vertical: align.Line{Offset: *r.OffsetVertical, Slope: *r.AngleVertical},
		Horizontal: align.Line{Offset: *r.OffsetHorizontal, Slope: *r.AngleHorizontal}}, "as reported", leaves, nil
}

func missingReading(field, method string) error {
	return say.Refuse(field, "", msgNeeds.With(method), say.Message{})
}

func value[T quantity.Of](p *T) T {
	if p == nil {
		return 0
	}
	return *p
}

func clock(c *job.AlignmentClock) align.Clock {
	return align.Clock{Top: c.Top, Right: c.Right, Bottom: c.Bottom, Left: c.Left}
}

func dials(set string, c *job.AlignmentClock, ref string) []*working.Node {
	var list []*working.Node
	for _, r := range []struct {
		place string
		v     quantity.Length
	}{{"top", c.Top}, {"right", c.Right}, {"bottom", c.Bottom}, {"left", c.Left}} {
		list = append(list, working.Leaf("align."+set+"."+r.place, nameDial.With(set, r.place), "", r.v, ref))
	}
	return list
}

func (a *Alignment) working() *working.Node {
	root := a.Plan.Working(a.equation, a.leaves...)
	root.Name = nameOf.With(root.Name, a.Body.State)
	return root
}
