package report

import (
	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/chain"
	"pumpwright/calc/gasket"
	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/sheet"
)

var (
	captionSection = say.Define("report.caption_section", "Cut along the shaft, to scale. Clearances would be thinner than a line: they are drawn wider, their sizes stand beside them.")
	captionFace    = say.Define("report.caption_face", "Seen from the head side with the head off, to scale; the wear of the bore is drawn wider than it is.")
	captionWear    = say.Define("report.caption_wear", "From the size as new to the limit; the mark is the reading with its uncertainty.")
	captionClosing = say.Define("report.caption_closing", "The window, what was found, what the stack should give, and what was measured.")
	captionStack   = say.Define("report.caption_stack", "From the casing to the head.")
	noPicture      = say.Define("report.no_picture", "No picture to scale: {reason}.")
)

// Section fills the cross-section from an assessment. It returns nil when the
// sheet lacks the dimensions.
func Section(a *assess.Assessment) *figure.Section {
	s := a.Inputs.Sheet
	pair, err := s.GearPair()
	if err != nil || s.FlowPath == nil {
		return nil
	}
	m := pair.Module.SI()
	p := s.FlowPath
	f := &figure.Section{
		RotorRadius: p.RotorRadius.Value, RotorTip: quantity.Length(m * (float64(pair.RotorTeeth)/2 - pair.RotorAddendum)),
		IdlerTip: quantity.Length(m * (float64(pair.IdlerTeeth)/2 + pair.IdlerAddendum)), IdlerRoot: quantity.Length(m * (float64(pair.IdlerTeeth)/2 - pair.IdlerDedendum)),
		CenterDistance: quantity.Length(m * float64(pair.RotorTeeth-pair.IdlerTeeth) / 2), ToothWidth: pair.FaceWidth,
		DiscThickness: p.RimWidth.Value, PinRadius: p.PinRadius.Value, ShaftRadius: p.ShaftRadius.Value, PinLength: p.PinLength.Value,
	}
	if p.ShaftBushingLength != nil {
		f.ShaftBushing = p.ShaftBushingLength.Value
	}
	if boss := s.Nominal(sheet.RoleHeadBoss); boss != nil {
		f.BossHeight = *boss
	}
	for _, l := range a.Clearances.Gaps {
		called := calledOf(l)
		switch l.Gap {
		case chain.EndGap:
			f.EndClearance = called
		case chain.IdlerFloatGap:
			f.IdlerFloat = called
		case chain.CrescentEndGap:
			f.CrescentEnd = called
		case chain.RadialGap:
			f.RotorGap = called
		case chain.CrescentOuterGap:
			f.CrescentOuter = called
		case chain.CrescentInnerGap:
			f.CrescentInner = called
		}
	}
	f.PinGap = differenceOf(a, sheet.RoleIdlerBushingBore)
	f.ShaftBushingGap = differenceOf(a, sheet.RoleShaftBushingBore)
	if st := a.Clearances.Stack; st != nil && st.Best() != nil {
		sum := quantity.Length(0)
		for i, n := range st.Best().Counts {
			sum += quantity.Length(n) * st.Kinds[i].Compressed()
		}
		f.Gaskets = figure.Clear(sum)
	}
	return f
}

func calledOf(l clearance.Line) figure.Called {
	if l.Cold == nil {
		return figure.Called{}
	}
	called := figure.Called{Size: lengthOf(l.Cold), U: l.Cold.U, State: draw.Good}
	if l.Contact {
		called.State = draw.PastLimit
	}
	return called
}

// differenceOf calls out the radial half of the clearance that a bore makes
// with its journal.
func differenceOf(a *assess.Assessment, boreRole string) figure.Called {
	bore := a.Inputs.Sheet.ByRole(boreRole)
	if bore == nil {
		return figure.Called{}
	}
	for i := len(a.Readings.Left) - 1; i >= 0; i-- {
		for _, f := range []*reading.Feature{a.Readings.Left[i], a.Readings.Found[i]} {
			if d := f.Feature.Difference; d != nil && d.Of == bore.ID && f.Mean != nil {
				half := quantity.Length(f.Mean.Value / 2)
				return figure.Called{Size: &half, U: f.Mean.U / 2, State: stateOf(f)}
			}
		}
	}
	return figure.Called{}
}

// Face fills the face view, or returns nil when the sheet has no gear pair.
func Face(a *assess.Assessment) *figure.Face {
	s := a.Inputs.Sheet
	pair, err := s.GearPair()
	if err != nil {
		return nil
	}
	if _, err := gearset.Compute(pair); err != nil {
		return nil
	}
	f := &figure.Face{Pair: pair, Clockwise: a.Sides.SeenClockwise(), HeadTurned: a.Sides.HeadTurned}
	if p := s.FlowPath; p != nil {
		f.RotorRadius, f.ToothLand, f.PinRadius = p.RotorRadius.Value, p.ToothLand.Value, p.PinRadius.Value
	}
	for _, l := range a.Clearances.Gaps {
		switch l.Gap {
		case chain.RadialGap:
			f.RotorGap = calledOf(l)
		case chain.CrescentOuterGap:
			f.CrescentOuter = calledOf(l)
		case chain.CrescentInnerGap:
			f.CrescentInner = calledOf(l)
		}
	}
	f.Bore = boreGaps(a)
	return f
}

// boreGaps are the radial gaps at the angles at which the bore was read.
func boreGaps(a *assess.Assessment) []figure.BoreGap {
	bore := a.Readings.Latest(a.Inputs.Sheet, sheet.RoleCasingBore)
	rotor := a.Readings.Latest(a.Inputs.Sheet, sheet.RoleRotorOD)
	if bore == nil || rotor == nil || bore.Survey == nil || rotor.Mean == nil {
		return nil
	}
	var gaps []figure.BoreGap
	plane := bore.Survey.Planes[0].Name
	for _, p := range bore.Survey.Places {
		if p.Plane == plane {
			gaps = append(gaps, figure.BoreGap{Angle: a.Sides.FromMesh(p.Angle), Gap: quantity.Length((p.Mean.SI() - rotor.Mean.Value) / 2)})
		}
	}
	return gaps
}

func (b *builder) pictures() {
	b.heading(headPictures)
	if f := Section(b.a); f != nil {
		b.add(document.Figure{Caption: captionSection.With(), Draw: f.Draw})
	}
	if f := Face(b.a); f != nil {
		b.add(document.Figure{Caption: captionFace.With(), Draw: f.Draw, Share: 0.85})
		return
	}
	_, err := b.a.Inputs.Sheet.GearPair()
	b.paragraph(noPicture.With(say.Plain(errorText(err))))
}

func errorText(err error) string {
	if err == nil {
		return "the teeth are not plain involutes"
	}
	return err.Error()
}

// Wear fills the wear bars from every feature with a limit.
func Wear(a *assess.Assessment, state func(i int) *reading.Feature) figure.Wear {
	var w figure.Wear
	for i := range a.Readings.Found {
		f := state(i)
		j := f.Governs()
		if j == nil || f.Feature.Nominal == nil || f.Feature.Dimension() != quantity.LengthDimension {
			continue
		}
		bar := figure.WearBar{Part: f.Feature.Part, Name: say.Plain(f.Feature.Name), Nominal: quantity.Length(f.Feature.Nominal.SI), State: stateOf(f)}
		switch j.Compare {
		case "worst", "mean":
		default: // taper, spread and loss are nothing when new
			bar.Nominal = 0
		}
		switch {
		case j.Max != nil:
			bar.Limit = quantity.Length(j.Max.SI)
		default:
			bar.Limit = quantity.Length(j.Min.SI)
		}
		if j.Number.U > 0 {
			e := quantity.Within(quantity.Length(j.Number.Value), j.Number.U)
			bar.Reading = &e
		}
		w.Features = append(w.Features, bar)
	}
	return w
}

func (b *builder) wear() {
	w := Wear(b.a, func(i int) *reading.Feature { return b.a.Readings.Found[i] })
	if len(w.Features) == 0 {
		return
	}
	b.add(document.Group{Blocks: []document.Block{
		document.Heading{Level: 1, Text: headWear.With()}, document.Figure{Caption: captionWear.With(), Draw: w.Draw},
	}})
}

// Layers fills the picture of the stack.
func Layers(s *clearance.Stack) figure.Stack {
	best := s.Best()
	byName := map[string]gasket.Kind{}
	left := map[string]int{} // pieces of a kind that are new
	for i, k := range s.Kinds {
		byName[k.Name] = k
		if i < len(best.In) {
			left[k.Name] = best.In[i]
		}
	}
	var f figure.Stack
	for _, name := range best.Order {
		k := byName[name]
		if k.Apart { // behind the thrust bearing, not in the picture of the head
			continue
		}
		layer := figure.Layer{Kind: say.Plain(name), Thickness: k.Compressed(), Sealing: k.Sealing}
		if left[name] > 0 && s.Basis == clearance.FromTrial {
			layer.Change = figure.PutIn
			left[name]--
		}
		f.Layers = append(f.Layers, layer)
	}
	if s.Basis == clearance.FromTrial {
		for i, n := range best.Out {
			for range n {
				k := s.Kinds[i]
				if k.Apart {
					continue
				}
				f.Layers = append(f.Layers, figure.Layer{Kind: say.Plain(k.Name), Thickness: k.Compressed(), Sealing: k.Sealing, Change: figure.TakeOut})
			}
		}
	}
	return f
}

// Closing fills the closing scale.
func Closing(c *clearance.Chapter) figure.Closing {
	f := figure.Closing{}
	if w := c.Window; w.Known {
		f.WindowLow, f.WindowHigh = &w.Low, &w.High
		if w.Row != nil {
			f.ManualLow, f.ManualHigh, f.ManualPage = &w.Row.Low.Value, &w.Row.High.Value, w.Page
		}
	}
	if has(c.AsFound) {
		f.AsFound = lengthOf(c.AsFound.Mean)
	}
	if c.Stack != nil && c.Stack.Best() != nil {
		f.Expected = &c.Stack.Best().Clearance
	}
	if c.Turn != nil && c.Turn.Turn != nil {
		f.Expected = &c.Turn.Turn.Clearance
	}
	switch {
	case has(c.AsLeft):
		e := quantity.Within(quantity.Length(c.AsLeft.Mean.Value), c.AsLeft.Mean.U)
		f.Measured = &e
	case c.Stack != nil && c.Stack.Measured != nil:
		e := quantity.Within(quantity.Length(c.Stack.Measured.Value), c.Stack.Measured.U)
		f.Measured = &e
	}
	return f
}

var (
	stackAdvice   = say.Define("report.stack_advice", "Stack from casing to head: {order:list}. Expected end clearance {clearance}; chance of landing in the window {chance:percent}, below it (contact) {below:percent}.")
	stackKeep     = say.Define("report.stack_keep", "The stack that is fitted is in the window as measured: nothing is to be changed.")
	stackNearest  = say.Define("report.stack_nearest", "No stack from the shelf reaches the window. The nearest is {order:list} with {clearance}; it misses by {misses:length}.")
	stackMissing  = say.Define("report.stack_missing", "A gasket of {thickness:length} (compressed) would settle it.")
	stackBasis    = say.Define("report.stack_basis", "Based on {basis}.")
	stackOther    = say.Define("report.stack_other", "Next best: {order:list}, {clearance}, chance {chance:percent}.")
	stackMeasure  = say.Define("report.stack_measure", "However good the sum: measure the end clearance after torque, then turn by hand through two revolutions.")
	stackLearned  = say.Define("report.stack_learned", "The trials of this job say that these gaskets compress by {extra:percent} ± {u:percent} more than the sheet says.")
	windowReasons = say.Define("report.window", "Window {low:length} to {high:length}, cold: {reasons:list}.")
)

func (b *builder) stack() {
	b.heading(headStack)
	c := b.a.Clearances
	if c.Window.Known {
		b.paragraph(windowReasons.With(c.Window.Low, c.Window.High, c.Window.Reasons))
	}
	b.window()
	for _, row := range c.Window.Between {
		b.paragraph(rowWords.With(row.Low.Value, row.High.Value, pageOf(row)))
	}
	if !c.Unknown.IsZero() {
		b.paragraph(c.Unknown)
	}
	if closing := Closing(c); closing.WindowLow != nil || closing.AsFound != nil {
		b.add(document.Figure{Caption: captionClosing.With(), Draw: closing.Draw})
	}
	if s := c.Stack; s != nil && s.Best() != nil {
		b.stackWords(s)
		layers := Layers(s)
		b.add(document.Figure{Caption: captionStack.With(), Draw: layers.Draw, Share: 0.8})
		for _, w := range s.Warnings {
			b.add(document.Note{Text: w})
		}
	}
	if t := c.Turn; t != nil && t.Turn != nil {
		b.paragraph(t.Turn.Direction)
		for _, w := range t.Warnings {
			b.add(document.Note{Text: w})
		}
	}
	b.add(document.Caution{Text: stackMeasure.With()})
}

var rowWords = say.Define("report.window_row", "The manual has a row of {low:length} to {high:length} ({page}).")

func pageOf(row *sheet.WindowRow) string {
	if row.Low.Page == "" {
		return "–"
	}
	return row.Low.Page
}

func (b *builder) stackWords(s *clearance.Stack) {
	best := s.Best()
	b.paragraph(stackBasis.With(s.Basis))
	switch {
	case !s.Solution.Reachable:
		b.paragraph(stackNearest.With(best.Order, best.Clearance, s.Solution.Misses))
		if s.Solution.MissingGasket > 0 {
			b.paragraph(stackMissing.With(s.Solution.MissingGasket))
		}
	case s.Landed != nil && *s.Landed && best.Changed() == 0:
		b.paragraph(stackKeep.With())
	default:
		b.paragraph(stackAdvice.With(best.Order, best.Clearance, best.Probability, best.ProbabilityBelow))
		if len(s.Solution.RunnersUp) > 0 {
			other := s.Solution.RunnersUp[0]
			b.paragraph(stackOther.With(other.Order, other.Clearance, other.Probability))
		}
	}
	if s.Learned == nil && !s.Compression.IsZero() {
		b.paragraph(s.Compression)
	}
	if !s.Pack.IsZero() {
		b.paragraph(s.Pack)
	}
	if s.Learned != nil && s.Learned.Informative {
		b.paragraph(stackLearned.With(s.Learned.ExtraCompression, s.Learned.ExtraCompressionU))
	}
}
