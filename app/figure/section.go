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
