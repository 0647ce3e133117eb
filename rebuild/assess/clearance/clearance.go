package clearance

import (
	"math"

	"pumpwright/calc/chain"
	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/machine"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet    *sheet.Sheet
	Service  *sheet.Service
	Liquid   *liquid.Liquid // nil when not known
	Readings *reading.Chapter
	Stacks   []job.Kept[job.StackFound]
	Trials   []job.Kept[job.Trial]
	Replaced map[string]bool // parts that are replaced or reworked
	Shop     *ledger.Shop
	Limits   []job.Kept[job.Limit]
	Heat     *HeatKeeper   // may be nil
	Windows  *WindowKeeper // may be nil
}

// HeatKeeper keeps the change between bench and service, which depends on the
// sheet and the service alone and costs more than all the rest.
type HeatKeeper struct {
	sheet, service string
	bench          quantity.Temperature
	kept           *chain.Service
}

// DependsOn tells whether readings of a role enter the chapter.
func DependsOn(role string) bool {
	switch role {
	case sheet.RoleCasingDepth, sheet.RoleRotorHeight, sheet.RoleHeadBoss, sheet.RoleEndClearance, sheet.RoleEndPlay,
		sheet.RoleIdlerWidth, sheet.RolePocketDepth, sheet.RoleCrescentWidth, sheet.RoleCasingBore, sheet.RoleRotorOD,
		sheet.RoleCrescentOuterGap, sheet.RoleCrescentInnerGap:
		return true
	}
	return false
}

// Lack is a number that is not there, with what it is needed for.
type Lack struct {
	Role string
	Name string
	Use  string
	New  bool // the part is replaced: the new one must be measured
}

// Chapter is what is known of the clearances.
type Chapter struct {
	// Bare is the end clearance without gaskets out of the depth readings.
	Bare  chain.Gap
	Cold  chain.Cold // with the stack that is fitted or was found
	Lacks []Lack

	AsFound *reading.Feature // end clearance as it was read
	AsLeft  *reading.Feature

	Hot  *chain.Service // change from bench to service; nil when unknown
	Gaps []Line         // every gap cold, steady and at its worst

	Window Window
	Stack  *Stack   // nil when the pump has no stack or nothing is known
	Turn   *Housing // the adjustable housing instead

	Warnings []say.Message
	Unknown  say.Message // why there is no stack or turn
}

// Line is one gap at the bench, in steady service and at the worst moment of
// the warm-up.
type Line struct {
	Gap     chain.GapName
	Cold    *reading.Estimate
	Change  chain.Change
	Band    chain.Band
	Closest chain.Extreme
	Steady  *reading.Estimate
	Worst   *reading.Estimate
	Contact bool // closes at the worst moment, chance over 1 %
	Unknown say.Message
}

var (
	msgCloses   = say.Define("clearance.closes", "the {gap} closes to {worst:length} at the worst moment of the warm-up, {minutes:number} min after the liquid comes: contact. No gasket helps against a slower or faster warm-up; open the cold clearance, warm up slower, or ask for other materials")
	msgCloses2  = say.Define("clearance.closes_steady", "the {gap} closes to {steady:length} at steady temperature: contact")
	msgMayClose = say.Define("clearance.may_close", "the {gap} is down to {hot} when hot; the chance of contact is {chance:percent}")
	msgNoHeat   = say.Define("clearance.no_heat", "what the heat does to the clearances is not known: {reason}")
	msgNoTemp   = say.Define("clearance.no_temperature", "the service states no temperature")
	msgBadHot   = say.Define("clearance.bad_hot", "the change between bench and service could not be computed: {reason}")
)

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{
		AsFound: in.Readings.ByRole(in.Sheet, sheet.RoleEndClearance, job.AsFound),
		AsLeft:  in.Readings.ByRole(in.Sheet, sheet.RoleEndClearance, job.AsLeft),
	}
	c.cold(in)
	c.hot(in)
	c.Window = c.windowOf(in)
	c.Warnings = append(c.Warnings, c.Window.Warnings...)
	if in.Sheet.Build.ClearanceBy == "housing" {
		c.turn(in)
	} else {
		c.stack(in)
	}
	c.lines(in)
	return c
}

// chainReading takes the mean of a feature as a link of a chain. A part that
// is replaced gives only what was read on the new one.
func (c *Chapter) chainReading(in Inputs, role string) *chain.Reading {
	f := in.Sheet.ByRole(role)
	if f == nil {
		if v := dimensionOf(in.Sheet, role); v != nil {
			return &chain.Reading{Value: *v, Ref: "sheet:" + in.Sheet.Name + " " + role}
		}
		c.lack(in.Sheet, role, false)
		return nil
	}
	left := in.Readings.ByID(f.ID, job.AsLeft)
	found := in.Readings.ByID(f.ID, job.AsFound)
	use := left
	if use == nil || use.Mean == nil {
		if in.Replaced[f.Part] {
			c.lack(in.Sheet, role, true)
			return nil
		}
		use = found
	}
	if use == nil || use.Mean == nil {
		c.lack(in.Sheet, role, false)
		return nil
	}
	instrument := f.Instrument
	if len(use.Values) > 0 && use.Values[0].Instrument != "" {
		instrument = use.Values[0].Instrument
	}
	return &chain.Reading{Value: quantity.Length(use.Mean.Value), U: quantity.Length(use.Mean.U), Instrument: instrument, Ref: use.Mean.Ref}
}

func dimensionOf(s *sheet.Sheet, role string) *quantity.Length {
	switch role {
	case sheet.RolePocketDepth:
		if s.Dimensions.PocketDepth != nil {
			return &s.Dimensions.PocketDepth.Value
		}
	case sheet.RoleCrescentWidth:
		if s.Dimensions.CrescentWidth != nil {
			return &s.Dimensions.CrescentWidth.Value
		}
	case sheet.RoleHeadBoss:
		if s.Dimensions.HeadBoss != nil {
			return &s.Dimensions.HeadBoss.Value
		}
	}
	return nil
}

func (c *Chapter) lack(s *sheet.Sheet, role string, isNew bool) {
	for _, l := range c.Lacks {
		if l.Role == role {
			return
		}
	}
	for _, r := range sheet.Roles() {
		if r.ID == role {
			name := r.Name
			if f := s.ByRole(role); f != nil {
				name = f.Name
			}
			c.Lacks = append(c.Lacks, Lack{Role: role, Name: name, Use: r.Use, New: isNew})
		}
	}
}

// cold adds the chains up: once without gaskets, once with the stack that is
// in the pump.
func (c *Chapter) cold(in Inputs) {
	r := chain.Readings{
		CasingDepth:    c.chainReading(in, sheet.RoleCasingDepth),
		RotorHeight:    c.chainReading(in, sheet.RoleRotorHeight),
		BossProtrusion: c.chainReading(in, sheet.RoleHeadBoss),
		PocketDepth:    c.chainReading(in, sheet.RolePocketDepth),
		IdlerWidth:     c.chainReading(in, sheet.RoleIdlerWidth),
		CrescentHeight: c.chainReading(in, sheet.RoleCrescentWidth),
		CasingBore:     c.chainReading(in, sheet.RoleCasingBore),
		RotorDiameter:  c.chainReading(in, sheet.RoleRotorOD),
	}
	none := chain.Reading{Ref: "no gasket"}
	r.Gaskets = &none
	bare, err := r.Cold()
	if err != nil {
		c.Warnings = append(c.Warnings, msgBadHot.With(err))
		return
	}
	c.Bare = bare.End
	c.Cold = bare
	if fitted := fittedStack(in); fitted != nil {
		r.Gaskets = fitted
		if cold, err := r.Cold(); err == nil {
			c.Cold = cold
		}
	}
	if in.Sheet.Build.Shims == "bearing" {
		c.Bare = chain.Gap{Unknown: msgShimMoves.With()}
		c.Cold.End = c.Bare
	}
}

// hot works out how the gaps change between bench and service.
func (c *Chapter) hot(in Inputs) {
	if in.Service == nil || in.Service.Temperature == nil {
		c.Warnings = append(c.Warnings, msgNoHeat.With(msgNoTemp.With()))
		return
	}
	start := chain.Start{Bench: machine.BenchOf(in.Shop), Ambient: 293.15, Liquid: in.Service.Temperature.Value, TimeConstant: 5}
	if in.Service.Highest != nil && in.Service.Highest.Value > start.Liquid {
		start.Liquid = in.Service.Highest.Value
	}
	if in.Service.Ambient != nil {
		start.Ambient = in.Service.Ambient.Value
	}
	if t := in.Sheet.Thermal; t != nil && t.Rise != nil {
		start.TimeConstant = t.Rise.Value
	}
	if w := in.Service.WarmUp; w != nil {
		switch w.Start {
		case "jacket_first":
			start.Kind = chain.JacketFirst
		case "ramp":
			start.Kind = chain.Ramp
		}
		if w.Ramp != nil {
			start.RatePerSecond = *w.Ramp / 60
		}
		if w.Jacket != nil {
			start.Jacket = &w.Jacket.Value
		}
	}
	service, err := in.Heat.inService(in, start)
	if err != nil {
		c.Warnings = append(c.Warnings, msgBadHot.With(err))
		return
	}
	c.Hot = service
	c.Warnings = append(c.Warnings, service.Notes...)
}

func (k *HeatKeeper) inService(in Inputs, start chain.Start) (*chain.Service, error) {
	if k != nil && k.kept != nil && k.sheet == in.Sheet.Version && k.service == in.Service.Version && k.bench == start.Bench {
		return k.kept, nil
	}
	service, err := in.Sheet.Expanding().InService(start, in.Sheet.Block(), nil)
	if err == nil && k != nil {
		*k = HeatKeeper{sheet: in.Sheet.Version, service: in.Service.Version, bench: start.Bench, kept: service}
	}
	return service, err
}

// lines puts cold and hot side by side for every gap.
func (c *Chapter) lines(in Inputs) {
	cold := map[chain.GapName]*reading.Estimate{
		chain.EndGap:         c.presentEnd(),
		chain.IdlerFloatGap:  estimate(c.Cold.IdlerFloat),
		chain.CrescentEndGap: estimate(c.Cold.CrescentEnd),
		chain.RadialGap:      estimate(c.Cold.Radial),
	}
	for gap, role := range map[chain.GapName]string{chain.CrescentOuterGap: sheet.RoleCrescentOuterGap, chain.CrescentInnerGap: sheet.RoleCrescentInnerGap} {
		if f := in.Readings.Latest(in.Sheet, role); f != nil {
			cold[gap] = f.Mean
		}
	}
	// The stack or the turn that is advised moves the end gaps together.
	if target := c.expected(); target != nil {
		cold[chain.EndGap] = target
	}
	for _, gap := range chain.Gaps() {
		line := Line{Gap: gap, Cold: cold[gap]}
		if c.Hot != nil {
			g := c.Hot.Gaps[gap]
			line.Change, line.Band, line.Closest = g.Steady, g.SteadyBand, g.Closest
			line.fill()
			if line.Contact {
				c.sayContact(line)
			}
		}
		c.Gaps = append(c.Gaps, line)
	}
}

func (c *Chapter) sayContact(l Line) {
	if l.Worst != nil && l.Worst.Value <= 0 {
		c.Warnings = append(c.Warnings, msgCloses.With(l.Gap.String(), quantity.Length(l.Worst.Value), l.Closest.Time.SI()/60))
		return
	}
	if l.Steady != nil && l.Steady.Value <= 0 {
		c.Warnings = append(c.Warnings, msgCloses2.With(l.Gap.String(), quantity.Length(l.Steady.Value)))
		return
	}
	tightest := l.Worst
	if tightest == nil || l.Steady != nil && l.Steady.Value < tightest.Value {
		tightest = l.Steady
	}
	chance := 0.5 * math.Erfc(tightest.Value/(tightest.U*math.Sqrt2))
	c.Warnings = append(c.Warnings, msgMayClose.With(l.Gap.String(), *tightest, chance))
}

func estimate(g chain.Gap) *reading.Estimate {
	if !g.Known() {
		return nil
	}
	return &reading.Estimate{Dimension: quantity.LengthDimension, Value: g.Value.SI(), U: g.U}
}

// presentEnd is the best that is known of the end clearance in the pump now.
func (c *Chapter) presentEnd() *reading.Estimate {
	for _, f := range []*reading.Feature{c.AsLeft, c.AsFound} {
		if f != nil && f.Mean != nil {
			return f.Mean
		}
	}
	return estimate(c.Cold.End)
}

// Expected is the end clearance that the advised stack or turn should give;
// nil when it was measured as left, or nothing is advised.
func (c *Chapter) Expected() *reading.Estimate { return c.expected() }

// expected is the end clearance that the advised stack or turn should give,
// unless it was measured as left.
func (c *Chapter) expected() *reading.Estimate {
	if c.AsLeft != nil && c.AsLeft.Mean != nil {
		return nil
	}
	if c.Stack != nil && c.Stack.Best() != nil {
		best := c.Stack.Best().Clearance
		return &reading.Estimate{Dimension: quantity.LengthDimension, Value: best.Value.SI(), U: best.U}
	}
	if c.Turn != nil && c.Turn.Turn != nil {
		e := c.Turn.Turn.Clearance
		return &reading.Estimate{Dimension: quantity.LengthDimension, Value: e.Value.SI(), U: e.U}
	}
	return nil
}

// contactQuantile is the normal quantile beyond which the chance is 1 %.
const contactQuantile = 2.3263478740408408

// fill adds the changes to the cold value. Contact: a mean at or below zero,
// or a chance of it over 1 %.
func (l *Line) fill() {
	if l.Cold == nil {
		return
	}
	add := func(change chain.Change) *reading.Estimate {
		if !change.Known() {
			l.Unknown = change.Unknown
			return nil
		}
		return &reading.Estimate{Dimension: quantity.LengthDimension, Value: l.Cold.Value + change.SI(), U: l.Cold.U}
	}
	l.Steady = add(l.Change)
	l.Worst = add(l.Closest.Change)
	for _, e := range []*reading.Estimate{l.Steady, l.Worst} {
		if e != nil && (e.Value <= 0 || e.Value < contactQuantile*e.U) {
			l.Contact = true
		}
	}
}
