package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Section is a crescent pump cut along its shaft, in the plane of both axes.
// The mesh is above, the crescent below, the head at the right.
type Section struct {
	// Needed: without them there is no picture.
	RotorRadius    quantity.Length // outside of the rotor
	RotorTip       quantity.Length // radius of the rotor's tooth tips (inside)
	IdlerTip       quantity.Length // radius of the idler's tooth tips
	IdlerRoot      quantity.Length
	CenterDistance quantity.Length
	ToothWidth     quantity.Length // length of the rotor teeth along the shaft
	DiscThickness  quantity.Length
	PinRadius      quantity.Length
	ShaftRadius    quantity.Length

	// Drawn in proportion when zero.
	PinLength     quantity.Length // in the idler
	IdlerBushing  quantity.Length // wall of the bushing in the idler
	ShaftBushing  quantity.Length // length of the bushing in the bracket
	CasingWall    quantity.Length
	HeadThickness quantity.Length
	BossHeight    quantity.Length // of the head's boss over its flange face

	// Clearances and the stack; what is nil is not called out.
	EndClearance    Called
	IdlerFloat      Called // both sides together
	CrescentEnd     Called // crescent to the floor of the rotor
	RotorGap        Called // radial, rotor outside to bore
	CrescentOuter   Called // radial, rotor tips to crescent
	CrescentInner   Called // radial, idler tips to crescent
	PinGap          Called // radial
	ShaftBushingGap Called // radial
	Gaskets         Called // the stack, compressed

	// Asked is the id of the part or clearance to be lit; may be empty.
	Asked string
	// Bare leaves out the labels and cuts the sheet to the pump, for small
	// screens and lists; the description stays.
	Bare bool
}

// Called is a clearance to be written on a drawing: its size, and where it
// stands when that is known.
type Called struct {
	Size  *quantity.Length
	U     float64 // standard uncertainty in m; 0 when not known
	State draw.State
}

// Clear makes a Called of a known size without a judgement.
func Clear(size quantity.Length) Called { return Called{Size: &size, State: draw.Good} }

func (c Called) known() bool { return c.Size != nil && usable(c.Size.SI()) }

func (c Called) text(style say.Style) string {
	if c.U > 0 {
		return quantity.ShowWithU(quantity.LengthDimension, c.Size.SI(), c.U, style)
	}
	return c.Size.Show(style)
}

// drawn returns how wide a gap stands on the sheet: it grows with its size and
// is never so thin that it cannot be seen.
func (c Called) drawn() float64 {
	if !c.known() {
		return 0.9
	}
	return min(2.6, max(0.8, 7*millimetres(*c.Size)))
}

// Ids of parts on the drawings, as in data-part.
const (
	PartCasing        = "casing"
	PartBracket       = "bracket"
	PartRotor         = "rotor"
	PartShaft         = "shaft"
	PartIdler         = "idler"
	PartIdlerBushing  = "idler-bushing"
	PartPin           = "idler-pin"
	PartHead          = "head"
	PartCrescent      = "crescent"
	PartGaskets       = "gaskets"
	PartShaftBushing  = "bracket-bushing"
	PartBearing       = "thrust-bearing"
	PartSeal          = "shaft-seal"
	GapEnd            = "end-clearance"
	GapIdlerFloat     = "idler-float"
	GapCrescentEnd    = "crescent-end"
	GapRotor          = "rotor-gap"
	GapCrescentOuter  = "crescent-outer"
	GapCrescentInner  = "crescent-inner"
	GapPin            = "pin-gap"
	GapShaftBushing   = "bracket-bushing-gap"
	PartSuctionPort   = "suction-port"
	PartDischargePort = "discharge-port"
)

var partNames = map[string]say.Template{
	PartCasing:        say.Define("figure.casing", "casing"),
	PartBracket:       say.Define("figure.bracket", "bracket"),
	PartRotor:         say.Define("figure.rotor", "rotor"),
	PartShaft:         say.Define("figure.shaft", "shaft"),
	PartIdler:         say.Define("figure.idler", "idler"),
	PartIdlerBushing:  say.Define("figure.idler_bushing", "idler bushing"),
	PartPin:           say.Define("figure.idler_pin", "idler pin"),
	PartHead:          say.Define("figure.head", "head"),
	PartCrescent:      say.Define("figure.crescent", "crescent"),
	PartGaskets:       say.Define("figure.gaskets", "gasket stack"),
	PartShaftBushing:  say.Define("figure.bracket_bushing", "bracket bushing"),
	PartBearing:       say.Define("figure.thrust_bearing", "thrust bearing"),
	PartSeal:          say.Define("figure.shaft_seal", "shaft seal chamber"),
	GapEnd:            say.Define("figure.end_clearance", "end clearance"),
	GapIdlerFloat:     say.Define("figure.idler_float", "idler float"),
	GapCrescentEnd:    say.Define("figure.crescent_end", "crescent to floor"),
	GapRotor:          say.Define("figure.rotor_gap", "rotor to bore, radial"),
	GapCrescentOuter:  say.Define("figure.crescent_outer", "rotor tip to crescent"),
	GapCrescentInner:  say.Define("figure.crescent_inner", "idler tip to crescent"),
	GapPin:            say.Define("figure.pin_gap", "bushing on pin, radial"),
	GapShaftBushing:   say.Define("figure.bracket_bushing_gap", "shaft in bushing, radial"),
	PartSuctionPort:   say.Define("figure.suction", "suction"),
	PartDischargePort: say.Define("figure.discharge", "discharge"),
}

// PartName returns the name of a part or clearance of the drawings by its id.
func PartName(id string) say.Message {
	if t, ok := partNames[id]; ok {
		return t.With()
	}
	return say.Plain(id)
}

// sectionPlan is the section in millimetres of the sheet.
type sectionPlan struct {
	k                                        float64 // sheet mm for one mm of pump
	axis                                     float64 // y of the rotor axis
	idler                                    float64 // y of the idler axis
	back, floor, teeth, head, face, flange   float64 // x: rotor back, rotor floor, tooth ends, head boss, casing face, head flange
	outside                                  float64 // x: outer face of the head
	rotor, bore, casing                      float64 // radii
	tip, idlerTip, idlerRoot, pin, pinBore   float64
	bush                                     float64
	shaft, shaftBore, shaftBush              float64
	casingBack, bracketEnd, bushEnd, sealEnd float64 // x, to the left
	left                                     float64
	endGap, floatGap, crescentGap, outerGap  float64
	innerGap                                 float64
}

const (
	sectionHeight = 102.0 // more when the labels need it
	sectionFrom   = 39.0  // room of the drawing between the two columns of labels
	sectionTo     = 133.0
)

// Draw makes the picture.
func (s Section) Draw(style say.Style) *draw.Drawing {
	for _, need := range []struct {
		id string
		l  quantity.Length
	}{
		{PartRotor, s.RotorRadius}, {PartRotor, s.RotorTip}, {PartIdler, s.IdlerTip}, {PartIdler, s.IdlerRoot}, {PartIdler, s.CenterDistance},
		{PartRotor, s.ToothWidth}, {PartRotor, s.DiscThickness}, {PartPin, s.PinRadius}, {PartShaft, s.ShaftRadius},
	} {
		if !positive(need.l) {
			return missing(titleSection.With(), PartName(need.id).Text(style), style)
		}
	}
	if s.RotorTip >= s.RotorRadius || s.IdlerRoot >= s.IdlerTip || s.PinRadius >= s.IdlerRoot ||
		s.ShaftRadius >= s.RotorRadius || s.CenterDistance+s.IdlerTip > s.RotorRadius*1.02 {
		return missing(titleSection.With(), PartName(PartRotor).Text(style), style)
	}
	p := s.plan()
	d := draw.New(sheetWidth, sectionHeight)
	s.parts(d, p)
	s.centreLines(d, p)
	told := s.labels(d, p, style)
	if s.Bare {
		d.Crop(2)
		d.Describe(titleSection.With().Text(style), told.String())
		return d
	}
	bottom := d.Height
	notes := msgGapsWidened.With().Text(style)
	if s.assumed() {
		notes += " " + msgProportion.With().Text(style)
	}
	d.Paragraph(draw.At(52, bottom-5.4), notes, sheetWidth-54, draw.Small)
	scaleBar(d, draw.At(4, bottom-6), p.k, 26, style)
	told.parts = append(told.parts, notes)
	d.Describe(titleSection.With().Text(style), told.String())
	return d
}

func (s Section) assumed() bool {
	for _, l := range []quantity.Length{s.PinLength, s.IdlerBushing, s.ShaftBushing, s.CasingWall, s.HeadThickness} {
		if !positive(l) {
			return true
		}
	}
	return false
}

func (s Section) plan() sectionPlan {
	rotor := millimetres(s.RotorRadius)
	wall := millimetres(or(s.CasingWall, s.RotorRadius*0.16))
	head := millimetres(or(s.HeadThickness, s.RotorRadius*0.26))
	bushing := millimetres(or(s.ShaftBushing, s.ShaftRadius*2))
	width, disc := millimetres(s.ToothWidth), millimetres(s.DiscThickness)
	shaft := millimetres(s.ShaftRadius)
	seal, bearing := 1.5*shaft, 1.2*shaft
	boss := millimetres(s.BossHeight)
	backWall := 0.9 * wall
	axial := head + boss + width + disc + max(bushing, backWall) + seal + bearing + 1.0*shaft
	gaps := s.EndClearance.drawn() + s.Gaskets.drawn() + 2
	p := sectionPlan{}
	p.k = min((sectionTo-sectionFrom-gaps)/axial, (sectionHeight-26)/(2*(rotor+wall)+4))
	k := p.k
	p.axis = 5 + k*(rotor+wall) + 5
	p.idler = p.axis - k*millimetres(s.CenterDistance)
	p.endGap, p.crescentGap = s.EndClearance.drawn(), s.CrescentEnd.drawn()
	p.floatGap = s.IdlerFloat.drawn() / 2
	p.outerGap, p.innerGap = s.CrescentOuter.drawn(), s.CrescentInner.drawn()
	used := k*axial + gaps
	right := sectionTo - (sectionTo-sectionFrom-used)/2
	p.outside = right
	p.flange = right - k*head
	p.face = p.flange - s.Gaskets.drawn()
	p.head = p.flange - k*boss
	p.teeth = p.head - p.endGap
	p.floor = p.teeth - k*width
	p.back = p.floor - k*disc
	p.rotor, p.tip = k*rotor, k*millimetres(s.RotorTip)
	p.bore = p.rotor + s.RotorGap.drawn()
	p.casing = p.bore + k*wall
	p.idlerTip, p.idlerRoot = k*millimetres(s.IdlerTip), k*millimetres(s.IdlerRoot)
	p.pin = k * millimetres(s.PinRadius)
	p.pinBore = p.pin + s.PinGap.drawn()*0.7
	p.bush = p.pinBore + max(1.4, k*millimetres(or(s.IdlerBushing, s.PinRadius*0.25)))
	p.shaft = k * shaft
	p.shaftBore = p.shaft + s.ShaftBushingGap.drawn()*0.7
	p.shaftBush = p.shaftBore + max(1.4, k*shaft*0.28)
	p.casingBack = p.back - 1.2
	p.bushEnd = p.casingBack - k*bushing
	p.bracketEnd = p.casingBack - k*backWall
	p.sealEnd = p.bushEnd - k*seal
	p.left = p.sealEnd - k*bearing
	return p
}

// box is a rectangle between two x, over two heights measured from an axis,
// upwards positive.
func box(x0, x1, axis, low, high float64) draw.Path {
	return draw.Rectangle(x0, axis-high, x1-x0, high-low)
}

func (s Section) parts(d *draw.Drawing, p sectionPlan) {
	lit := func(id string, h draw.Hatching) draw.Hatching {
		if id == s.Asked {
			return h.In(draw.Accent)
		}
		return h
	}
	section := func(id string, a draw.Path, h draw.Hatching) {
		d.Part(id, func() {
			d.Section(a, lit(id, h))
			if id == s.Asked {
				d.Stroke(a, draw.Marked)
			}
		})
	}
	whole := func(id string, a draw.Path) { // not cut: shafts, pins, teeth
		d.Part(id, func() {
			d.Shape(a, draw.Paper, draw.Outline)
			if id == s.Asked {
				d.Shape(a, draw.Tint, draw.Marked)
			}
		})
	}
	y := p.axis
	for _, side := range []float64{1, -1} {
		half := func(x0, x1, low, high float64) draw.Path {
			if side > 0 {
				return box(x0, x1, y, low, high)
			}
			return box(x0, x1, y, -high, -low)
		}
		// casing: a pot with the bore, its back wall open for the bracket
		bracketOut := p.shaftBush + p.casing*0.24
		pot := draw.Polygon(
			corner(p.face, y, side, p.casing), corner(p.bracketEnd, y, side, p.casing), corner(p.bracketEnd, y, side, bracketOut),
			corner(p.casingBack, y, side, bracketOut), corner(p.casingBack, y, side, p.bore), corner(p.face, y, side, p.bore))
		section(PartCasing, pot, draw.HatchRising)
		// bracket: carries bushing, seal chamber and thrust bearing
		sealRadius := p.shaftBush + 0.1*p.shaft
		foot := p.bushEnd - 0.2*p.shaft
		bracket := draw.Polygon(
			corner(p.casingBack, y, side, p.shaftBush), corner(p.casingBack, y, side, bracketOut), corner(p.bracketEnd-1.6, y, side, bracketOut),
			corner(p.bracketEnd-3.0, y, side, bracketOut*0.96), corner(p.left, y, side, bracketOut*0.96),
			corner(p.left, y, side, p.shaft*2.0), corner(p.sealEnd, y, side, p.shaft*2.0), corner(p.sealEnd, y, side, p.shaft*1.12),
			corner(p.sealEnd+1.4, y, side, p.shaft*1.12), corner(p.sealEnd+1.4, y, side, sealRadius*1.18),
			corner(foot, y, side, sealRadius*1.18), corner(foot, y, side, p.shaftBush))
		section(PartBracket, bracket, draw.HatchCounter)
		section(PartShaftBushing, half(foot, p.casingBack, p.shaftBore, p.shaftBush), draw.HatchSteep)
		d.Part(PartBearing, func() { // simplified as in ISO 8826-1: a frame with an upright cross
			b := half(p.left+0.8, p.sealEnd-0.8, p.shaft, p.shaft*2.0)
			d.Shape(b, draw.Paper, draw.Thin)
			c := b.Bounds().Centre()
			d.Line(draw.Outline, draw.At(c.X-1.4, c.Y), draw.At(c.X+1.4, c.Y))
			d.Line(draw.Outline, draw.At(c.X, c.Y-1.4), draw.At(c.X, c.Y+1.4))
		})
	}
	// gaskets: too thin to hatch, so they are filled
	for _, side := range []float64{1, -1} {
		role := draw.Ink
		if s.Asked == PartGaskets {
			role = draw.Accent
		}
		d.Part(PartGaskets, func() {
			if side > 0 {
				d.Fill(box(p.face, p.flange, y, p.bore+0.4, p.casing), role)
			} else {
				d.Fill(box(p.face, p.flange, y, -p.casing, -p.bore-0.4), role)
			}
		})
	}
	// rotor: shaft and teeth are not cut, the disc is
	d.Part(PartShaft, func() {
		end := p.left - 0.5*p.shaft
		d.Shape(box(end, p.back, y, -p.shaft, p.shaft), draw.Paper, draw.Outline)
		d.Line(draw.Thin, draw.At(end, y-p.shaft), draw.At(end-1.2, y-p.shaft/2), draw.At(end+0.8, y), draw.At(end-1.2, y+p.shaft/2), draw.At(end, y+p.shaft))
	})
	whole(PartRotor, box(p.floor, p.teeth, y, p.tip, p.rotor))
	whole(PartRotor, box(p.floor, p.teeth, y, -p.rotor, -p.tip))
	section(PartRotor, box(p.back, p.floor, y, -p.rotor, p.rotor), draw.HatchDense)
	// head with crescent: one body
	inner := y - p.idler - p.idlerTip - p.innerGap // height of the crescent's inner side (negative)
	outer := -(p.tip - p.outerGap)
	body := draw.Polygon(
		draw.At(p.outside, y-p.casing), draw.At(p.flange, y-p.casing), draw.At(p.flange, y-p.bore+0.6), draw.At(p.head, y-p.bore+0.6),
		draw.At(p.head, y-inner), draw.At(p.floor+p.crescentGap, y-inner), draw.At(p.floor+p.crescentGap, y-outer), draw.At(p.head, y-outer),
		draw.At(p.head, y+p.bore-0.6), draw.At(p.flange, y+p.bore-0.6), draw.At(p.flange, y+p.casing), draw.At(p.outside, y+p.casing))
	section(PartHead, body, draw.HatchFalling)
	d.Part(PartCrescent, func() {
		if s.Asked == PartCrescent {
			d.Stroke(box(p.floor+p.crescentGap, p.head, y, outer, inner), draw.Marked)
		}
	})
	// idler on its pin
	x0, x1 := p.floor+p.floatGap, p.head-p.floatGap
	whole(PartIdler, box(x0, x1, p.idler, p.idlerRoot, p.idlerTip))
	whole(PartIdler, box(x0, x1, p.idler, -p.idlerTip, -p.idlerRoot))
	for _, side := range []float64{1, -1} {
		low, high := p.bush, p.idlerRoot
		b0, b1 := p.pinBore, p.bush
		if side < 0 {
			low, high = -p.idlerRoot, -p.bush
			b0, b1 = -p.bush, -p.pinBore
		}
		section(PartIdler, box(x0, x1, p.idler, low, high), draw.HatchRising)
		section(PartIdlerBushing, box(x0, x1, p.idler, b0, b1), draw.HatchSteep)
	}
	pinEnd := p.floor + 1.6*p.floatGap + 0.5
	if positive(s.PinLength) {
		pinEnd = max(pinEnd, p.head-p.k*millimetres(s.PinLength))
	}
	whole(PartPin, box(pinEnd, p.outside-0.25*(p.outside-p.flange), p.idler, -p.pin, p.pin))
}

func corner(x, axis, side, height float64) draw.Point { return draw.At(x, axis-side*height) }

func (s Section) centreLines(d *draw.Drawing, p sectionPlan) {
	d.Line(draw.Centre, draw.At(p.left-0.5*p.shaft-3, p.axis), draw.At(p.outside+3, p.axis))
	d.Line(draw.Centre, draw.At(p.floor-2, p.idler), draw.At(p.outside+3, p.idler))
}

func (s Section) labels(d *draw.Drawing, p sectionPlan, style say.Style) *description {
	told := &description{style: style}
	y := p.axis
	var left, right []draw.Callout
	name := func(list *[]draw.Callout, id string, x, at float64) {
		c := draw.Callout{Target: draw.At(x, at), Words: PartName(id).Text(style), Part: id}
		if id == s.Asked {
			c.Role = draw.Accent
		}
		*list = append(*list, c)
	}
	gap := func(list *[]draw.Callout, id string, g Called, x, at float64) {
		if !g.known() {
			return
		}
		c := draw.Callout{Target: draw.At(x, at), Words: PartName(id).Text(style), Second: g.text(style), Part: id}
		if g.State != draw.Good && g.State != draw.NotRead {
			c.State = &g.State
			c.Role = g.State.Role()
		}
		if id == s.Asked {
			c.Role = draw.Accent
		}
		*list = append(*list, c)
		if c.State == nil {
			told.add(msgNamed.With(PartName(id), say.Plain(c.Second)))
		} else {
			told.add(msgNamedState.With(PartName(id), say.Plain(c.Second), g.State.Word()))
		}
	}
	middle := (p.floor + p.teeth) / 2
	name(&left, PartCasing, p.bracketEnd+0.5*(p.casingBack-p.bracketEnd), y-0.8*p.casing)
	gap(&left, GapRotor, s.RotorGap, p.floor-0.4*(p.floor-p.back), y-(p.rotor+p.bore)/2)
	name(&left, PartRotor, (p.back+p.floor)/2, y-0.55*p.rotor)
	name(&left, PartBracket, p.sealEnd+1, y-(p.shaftBush+p.casing*0.12))
	name(&left, PartBearing, (p.left+p.sealEnd)/2-1.2, y-1.75*p.shaft)
	name(&left, PartShaft, p.left+0.4*p.shaft, y+0.4*p.shaft)
	name(&left, PartSeal, (p.sealEnd+p.bushEnd)/2, y+1.18*p.shaft)
	name(&left, PartShaftBushing, (p.bushEnd+p.casingBack)/2, y+(p.shaftBore+p.shaftBush)/2)
	gap(&left, GapShaftBushing, s.ShaftBushingGap, (p.bushEnd+p.casingBack)/2+1.5, y+(p.shaft+p.shaftBore)/2)
	gap(&left, GapCrescentEnd, s.CrescentEnd, p.floor+p.crescentGap/2, y+0.5*(p.tip-p.outerGap)+0.5*(p.idlerTip-(y-p.idler)))
	gap(&left, GapCrescentOuter, s.CrescentOuter, p.floor+0.3*(p.teeth-p.floor), y+p.tip-p.outerGap/2)

	gap(&right, PartGaskets, s.Gaskets, (p.face+p.flange)/2, y-(p.bore+p.casing)/2)
	gap(&right, GapEnd, s.EndClearance, (p.teeth+p.head)/2, y-(p.tip+p.rotor)/2-0.3*(p.rotor-p.tip))
	name(&right, PartHead, (p.flange+p.outside)/2, y-0.72*p.casing)
	name(&right, PartIdler, middle+2, p.idler-(p.bush+p.idlerRoot)/2)
	gap(&right, GapIdlerFloat, s.IdlerFloat, p.head-p.floatGap/2, p.idler-0.3*p.bush-0.7*p.idlerRoot)
	name(&right, PartIdlerBushing, middle+4, p.idler-(p.pinBore+p.bush)/2)
	name(&right, PartPin, p.head+1, p.idler+0.3*p.pin)
	gap(&right, GapPin, s.PinGap, middle+6, p.idler+(p.pin+p.pinBore)/2)
	gap(&right, GapCrescentInner, s.CrescentInner, middle+6, p.idler+p.idlerTip+p.innerGap/2)
	name(&right, PartCrescent, middle+4, y+0.5*(p.tip-p.outerGap)+0.5*(p.idlerTip-(y-p.idler)))
	if s.Bare {
		s.dot(d, append(left, right...))
		return told
	}
	d.Height = max(d.Height, draw.CalloutsHeight(left)+16, draw.CalloutsHeight(right)+16)
	d.Callouts(left, draw.Left, sectionFrom-4, 3, d.Height-13, style)
	d.Callouts(right, draw.Right, sectionTo+5, 3, d.Height-13, style)
	return told
}

// dot marks what is asked on a drawing without labels.
func (s Section) dot(d *draw.Drawing, all []draw.Callout) {
	for _, c := range all {
		if c.Part == s.Asked && c.Part != "" {
			d.Part(c.Part, func() {
				d.Stroke(draw.Circle(c.Target, 3.4), draw.Marked)
				d.Fill(draw.Circle(c.Target, 0.8), draw.Accent)
			})
		}
	}
}
