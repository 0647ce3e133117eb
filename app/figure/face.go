package figure

import (
	"cmp"
	"math"
	"slices"

	"pumpwright/app/draw"
	"pumpwright/calc/gearset"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Face is the pump seen from the head side with the head taken off: gears,
// crescent, bore and ports. The mesh is at the top, the crescent at the
// bottom, unless the head is turned.
type Face struct {
	Pair        gearset.Pair
	RotorAngle  quantity.Angle
	RotorRadius quantity.Length // outside; 0: taken in proportion
	ToothLand   quantity.Length // of a rotor tooth on the outside; 0: a closed ring
	PinRadius   quantity.Length
	PortWidth   quantity.Length // width of the ports; 0: taken in proportion
	CasingWall  quantity.Length // 0: taken in proportion
	// Clockwise says how the rotor turns as seen here. Where the teeth part is
	// suction, so it also says on which side suction lies.
	Clockwise bool
	// HeadTurned says that the head stands half a turn from how the sheet has
	// it: the crescent is at the top.
	HeadTurned bool

	RotorGap      Called // radial, as new or as the mean
	CrescentOuter Called
	CrescentInner Called
	// Bore holds radial gaps between bore and rotor, read at angles; the
	// drawing shows them wider than they are.
	Bore []BoreGap

	Asked string // id of the part to be lit
	// Bare leaves out the labels and cuts the sheet to the pump, for small
	// screens and lists; the description stays.
	Bare bool
}

// BoreGap is the radial gap at an angle, counted from the mesh towards the
// suction side.
type BoreGap struct {
	Angle quantity.Angle
	Gap   quantity.Length
}

var (
	msgLargestGap  = say.Define("figure.largest_gap", "largest gap, at {angle:angle}")
	msgLargestTold = say.Define("figure.largest_gap_told", "Largest gap between rotor and bore: {gap:length}, {angle:angle} from the mesh towards suction.")
	msgTurns       = say.Define("figure.turns", "The rotor turns {way}; suction is at the {side}.")
	msgHeadTurned  = say.Define("figure.head_turned", "The head is turned by half a turn: the crescent is at the top.")
	wordClockwise  = say.Define("figure.clockwise", "clockwise as seen here")
	wordAgainst    = say.Define("figure.against_the_clock", "against the clock as seen here")
	wordLeft       = say.Define("figure.left", "left")
	wordRight      = say.Define("figure.right", "right")
	msgTeeth       = say.Define("figure.teeth", "Rotor with {rotor:count|tooth|teeth}, idler with {idler:count|tooth|teeth}.")
)

const (
	faceHeight = 108.0
	faceCentre = 87.0
)

// facePlan turns points of the pump into points of the sheet.
type facePlan struct {
	k      float64 // sheet mm per mm of pump
	centre draw.Point
	mirror float64 // 1, or −1 when the rotor turns clockwise
	turned bool    // the head is turned by half a turn
}

func (p facePlan) turn() float64 {
	if p.turned {
		return -1
	}
	return 1
}

func (p facePlan) at(q gearset.Point) draw.Point {
	return draw.At(p.centre.X-p.turn()*p.mirror*p.k*1e3*q.Y, p.centre.Y-p.turn()*p.k*1e3*q.X)
}

func (p facePlan) outline(o gearset.Outline) draw.Path {
	points := make([]draw.Point, len(o))
	for i, q := range o {
		points[i] = p.at(q)
	}
	return draw.Polygon(points...)
}

// polar returns the place at a radius on the sheet and an angle from the mesh
// towards suction, degrees.
func (p facePlan) polar(radius, degrees float64) draw.Point {
	return draw.Polar(p.centre, radius, 90*p.turn()+p.mirror*degrees)
}

// Draw makes the picture.
func (f Face) Draw(style say.Style) *draw.Drawing {
	plain, err := gearset.Compute(f.Pair)
	if err != nil {
		return missing(titleFace.With(), err.Error(), style)
	}
	outside := or(f.RotorRadius, plain.RotorRoot+f.Pair.Module)
	wall := or(f.CasingWall, outside*0.16)
	plan := facePlan{centre: draw.At(faceCentre, faceHeight/2-3), mirror: 1, turned: f.HeadTurned}
	plan.k = (faceHeight/2 - 9) / millimetres(outside+wall)
	if f.Clockwise {
		plan.mirror = -1
	}
	// the tip gaps are drawn wider than they are, so that they can be seen
	pair := f.Pair
	pair.TipGapOuter = quantity.Length(0.6 * f.CrescentOuter.drawn() / plan.k * 1e-3)
	pair.TipGapInner = quantity.Length(0.6 * f.CrescentInner.drawn() / plan.k * 1e-3)
	geometry, err := gearset.Compute(pair)
	if err != nil {
		return missing(titleFace.With(), err.Error(), style)
	}
	view := gearset.View{RotorAngle: f.RotorAngle, RotorRadius: outside, ToothLand: f.ToothLand, PinRadius: f.PinRadius, FlankPoints: 10}
	outlines, err := geometry.Outlines(view)
	if err != nil {
		return missing(titleFace.With(), err.Error(), style)
	}
	d := draw.New(sheetWidth, faceHeight)
	bore, nominal := f.bore(plan, millimetres(outside))
	casing := nominal + plan.k*millimetres(wall)
	port := 0.5 * plan.k * millimetres(or(f.PortWidth, outside*0.75))
	f.casing(d, plan, bore, nominal, casing, port, style)
	f.gears(d, plan, outlines)
	f.labels(d, plan, outlines, geometry, bore, nominal, casing, style)
	return d
}

// bore returns the drawn radius of the bore over the angle from the mesh, and
// the drawn radius as new.
func (f Face) bore(p facePlan, rotor float64) (func(degrees float64) float64, float64) {
	nominal := p.k*rotor + f.RotorGap.drawn()
	if len(f.Bore) == 0 {
		return func(float64) float64 { return nominal }, nominal
	}
	gaps := slices.Clone(f.Bore)
	degree := func(g BoreGap) float64 {
		a := math.Mod(g.Angle.SI()*180/math.Pi, 360)
		if a < 0 {
			a += 360
		}
		return a
	}
	slices.SortFunc(gaps, func(a, b BoreGap) int { return cmp.Compare(degree(a), degree(b)) })
	drawn := func(g BoreGap) float64 { return p.k*rotor + Called{Size: &g.Gap}.drawn() }
	return func(a float64) float64 {
		a = math.Mod(math.Mod(a, 360)+360, 360)
		last := gaps[len(gaps)-1]
		before, from := drawn(last), degree(last)-360
		for _, g := range gaps {
			if to := degree(g); to >= a {
				return blend(before, drawn(g), a, from, to)
			}
			before, from = drawn(g), degree(g)
		}
		return blend(before, drawn(gaps[0]), a, from, degree(gaps[0])+360)
	}, nominal
}

// blend goes smoothly from one value to another between two angles.
func blend(a, b, at, from, to float64) float64 {
	if to <= from {
		return b
	}
	return a + (b-a)*(1-math.Cos(math.Pi*(at-from)/(to-from)))/2
}

func (f Face) casing(d *draw.Drawing, p facePlan, bore func(float64) float64, nominal, casing, port float64, style say.Style) {
	reach := casing + 7
	wall := casing - nominal
	c := p.centre
	var ring []draw.Point
	for a := 0.0; a < 360; a += 3 {
		ring = append(ring, p.polar(bore(a), a))
	}
	bored := draw.Polygon(ring...)
	body := draw.Circle(c, casing).Join(draw.Rectangle(c.X-reach, c.Y-port-wall, 2*reach, 2*(port+wall)))
	hollow := bored.Join(draw.Rectangle(c.X-reach-1, c.Y-port, 2*reach+2, 2*port))
	cut := body.Cut(hollow)
	d.Part(PartCasing, func() {
		h := draw.HatchRising
		if f.Asked == PartCasing {
			h = h.In(draw.Accent)
		}
		if len(f.Bore) > 0 {
			worn := bored.Cut(draw.Circle(c, nominal)).Cut(draw.Rectangle(c.X-reach-1, c.Y-port, 2*reach+2, 2*port))
			d.Section(cut, h)
			d.Fill(worn, draw.Tint)
			d.Stroke(draw.Circle(c, nominal), draw.Hidden)
			return
		}
		d.Section(cut, h)
	})
	for _, side := range []struct {
		id  string
		way float64 // −1: left
		in  bool
	}{{PartSuctionPort, -p.turn() * p.mirror, true}, {PartDischargePort, p.turn() * p.mirror, false}} {
		x := c.X + side.way*(reach-1)
		d.Part(side.id, func() {
			tail, tip := draw.At(x+side.way*7, c.Y), draw.At(x-side.way*3, c.Y)
			if !side.in {
				tail, tip = draw.At(x-side.way*3, c.Y), draw.At(x+side.way*7, c.Y)
			}
			d.Flow(tail, tip, draw.Ink)
			if f.Bare {
				return
			}
			anchor := draw.Right
			at := draw.At(c.X-reach-2, c.Y-3.4)
			if side.way > 0 {
				anchor, at = draw.Left, draw.At(c.X+reach+2, c.Y-3.4)
			}
			d.Text(at, PartName(side.id).Text(style), draw.Label.At(anchor).OnGround())
		})
	}
}

func (f Face) gears(d *draw.Drawing, p facePlan, o *gearset.Outlines) {
	pen := func(id string) draw.Pen {
		if id == f.Asked {
			return draw.Marked
		}
		return draw.Outline
	}
	d.Part(PartRotor, func() {
		if f.ToothLand > 0 { // open spaces: the disc behind, teeth in front
			d.Shape(p.outline(o.RotorRim), draw.Paper, draw.Thin)
			for _, tooth := range o.RotorTeeth {
				d.Shape(p.outline(tooth), draw.Shade, pen(PartRotor))
			}
			return
		}
		ring := p.outline(o.RotorRim)
		for _, inside := range o.RotorTeeth {
			ring = ring.With(p.outline(inside))
		}
		d.Shape(ring, draw.Shade, pen(PartRotor))
	})
	d.Part(PartCrescent, func() {
		c := p.outline(o.Crescent)
		d.Fill(c, draw.Paper)
		d.Hatch(c, draw.HatchFalling)
		d.Stroke(c, pen(PartCrescent))
	})
	d.Part(PartIdler, func() { d.Shape(p.outline(o.Idler), draw.Shade, pen(PartIdler)) })
	if len(o.Pin) > 0 {
		d.Part(PartPin, func() { d.Shape(p.outline(o.Pin), draw.Paper, pen(PartPin)) })
	}
	idler := p.at(o.Center)
	for _, c := range []draw.Point{p.centre, idler} {
		d.Line(draw.Centre, draw.At(c.X-8, c.Y), draw.At(c.X+8, c.Y))
	}
	d.Line(draw.Centre, draw.At(p.centre.X, p.centre.Y+8*p.turn()), draw.At(p.centre.X, idler.Y-8*p.turn()))
}

func (f Face) labels(d *draw.Drawing, p facePlan, o *gearset.Outlines, g *gearset.Geometry, bore func(float64) float64, nominal, casing float64, style say.Style) {
	told := &description{style: style}
	told.add(msgTeeth.With(f.Pair.RotorTeeth, f.Pair.IdlerTeeth))
	way, side := wordAgainst, wordLeft
	if f.Clockwise {
		way = wordClockwise
	}
	if f.Clockwise != f.HeadTurned {
		side = wordRight
	}
	told.add(msgTurns.With(way.With(), side.With()))
	if f.HeadTurned {
		told.add(msgHeadTurned.With())
	}

	// the arrow of rotation stands over the casing
	arc, from, to := casing+3.2, 104.0, 76.0
	if !f.Clockwise {
		from, to = to, from
	}
	d.Turning(p.centre, arc, from, to, draw.Ink)

	var left, right []draw.Callout
	add := func(c draw.Callout) {
		if c.Part == f.Asked {
			c.Role = draw.Accent
		}
		if c.Target.X < p.centre.X {
			left = append(left, c)
		} else {
			right = append(right, c)
		}
	}
	name := func(id string, at draw.Point) {
		add(draw.Callout{Target: at, Words: PartName(id).Text(style), Part: id})
	}
	gap := func(id string, c Called, at draw.Point) {
		if !c.known() {
			return
		}
		out := draw.Callout{Target: at, Words: PartName(id).Text(style), Second: c.text(style), Part: id}
		if c.State != draw.Good && c.State != draw.NotRead {
			out.State, out.Role = &c.State, c.State.Role()
		}
		add(out)
		told.add(msgNamed.With(PartName(id), say.Plain(out.Second)))
	}
	k := p.k * 1e3
	rotorTip, outer, inner := g.RotorTip.SI()*k, g.CrescentOuter.SI()*k, g.CrescentInner.SI()*k
	idler := p.at(o.Center)
	about := func(c draw.Point, r, degrees float64) draw.Point {
		if f.HeadTurned {
			degrees += 180
		}
		return draw.Polar(c, r, degrees)
	}
	name(PartCasing, about(p.centre, (nominal+casing)/2, 148))
	name(PartRotor, about(p.centre, (rotorTip+nominal)/2, 205))
	gap(GapCrescentOuter, f.CrescentOuter, about(p.centre, (rotorTip+outer)/2, 236))
	name(PartCrescent, about(p.centre, (outer+inner-(p.centre.Y-idler.Y))/2, 280))
	gap(GapCrescentInner, f.CrescentInner, about(idler, inner-0.3*f.CrescentInner.drawn(), 318))
	name(PartIdler, about(idler, (g.IdlerRoot.SI()*k+float64(f.PinRadius)*k)/2, 20))
	if len(o.Pin) > 0 {
		name(PartPin, about(idler, 0.5*f.PinRadius.SI()*k, 300))
	}
	gap(GapRotor, f.RotorGap, about(p.centre, nominal-f.RotorGap.drawn()/2, 38))
	if worst, ok := f.largest(); ok {
		a := worst.Angle.SI() * 180 / math.Pi
		add(draw.Callout{Target: p.polar(bore(a)-0.5*Called{Size: &worst.Gap}.drawn(), a), Words: msgLargestGap.With(worst.Angle).Text(style), Second: show(worst.Gap, style), Part: GapRotor})
		told.add(msgLargestTold.With(worst.Gap, worst.Angle))
	}
	if f.Bare {
		d.Crop(2)
		d.Describe(titleFace.With().Text(style), told.String())
		return
	}
	// one column above and one below the port on each side
	split := func(list []draw.Callout, side draw.Anchor, x float64) {
		var high, low []draw.Callout
		for _, c := range list {
			if c.Target.Y < p.centre.Y {
				high = append(high, c)
			} else {
				low = append(low, c)
			}
		}
		d.Callouts(high, side, x, 2, p.centre.Y-8, style)
		d.Callouts(low, side, x, p.centre.Y+4, faceHeight-9, style)
	}
	split(left, draw.Left, 33)
	split(right, draw.Right, sheetWidth-33)
	notes := msgGapsWidened.With().Text(style)
	d.Text(draw.At(52, faceHeight-3.4), notes, draw.Small)
	scaleBar(d, draw.At(4, faceHeight-5), p.k, 26, style)
	told.parts = append(told.parts, notes)
	d.Describe(titleFace.With().Text(style), told.String())
}

func (f Face) largest() (BoreGap, bool) {
	if len(f.Bore) == 0 {
		return BoreGap{}, false
	}
	return slices.MaxFunc(f.Bore, func(a, b BoreGap) int { return cmp.Compare(a.Gap, b.Gap) }), true
}
