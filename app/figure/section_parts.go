package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

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
	d.Height = max(d.Height, d.CalloutsHeight(left, draw.Left, sectionFrom-4)+16, d.CalloutsHeight(right, draw.Right, sectionTo+5)+16)
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
