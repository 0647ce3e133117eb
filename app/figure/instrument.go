package figure

import (
	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Feeler shows how the end clearance is felt through the port: leaf between
// tooth ends and head, with the way the shaft is pushed.
type Feeler struct {
	PushToHead  bool // else the rotor is pushed back against its thrust stop
	Instruction say.Shower
}

// Dial shows a dial indicator on the shaft end, the shaft pushed and pulled.
type Dial struct{ Instruction say.Shower }

// GasketMeasure shows where a gasket is measured with a micrometer.
type GasketMeasure struct {
	Places      int // around the ring, 1…8
	Asked       int // counted from 1; 0: none
	Instruction say.Shower
}

var (
	titleFeeler   = say.Define("figure.feeler_title", "End clearance by feeler through the port")
	titleDial     = say.Define("figure.dial_title", "Axial play by dial indicator on the shaft end")
	titleGasket   = say.Define("figure.gasket_title", "Gasket thickness by micrometer")
	wordPort      = say.Define("figure.port", "port")
	wordLeaf      = say.Define("figure.feeler_leaf", "feeler leaf")
	wordToothEnd  = say.Define("figure.tooth_end", "tooth ends of the rotor")
	wordGap       = say.Define("figure.gap_asked", "this gap")
	wordPushHead  = say.Define("figure.push_to_head", "shaft pushed to the head")
	wordPushBack  = say.Define("figure.push_back", "shaft pushed back to its stop")
	wordPushPull  = say.Define("figure.push_pull", "push, then pull")
	wordFirm      = say.Define("figure.firm_base", "base on the bracket, not on the floor")
	wordStem      = say.Define("figure.stem_in_line", "stem in line with the shaft")
	wordShaftEnd  = say.Define("figure.shaft_end", "shaft end")
	wordDial      = say.Define("figure.dial", "dial indicator")
	msgFeelerText = say.Define("figure.feeler_text", "A leaf goes in through the port, between the tooth ends of the rotor and the head. {push}.")
	msgDialText   = say.Define("figure.dial_text", "The stem of the indicator stands on the shaft end, in line with the shaft; its base sits on the bracket. Push and pull the shaft and read the difference.")
	msgGasketText = say.Define("figure.gasket_text", "The piece is measured at {places:count|place|places} around, with light even force.")
	wordPiece     = say.Define("figure.gasket_piece", "gasket, flat and clean")
	wordAnvils    = say.Define("figure.light_force", "light, even force")
)

const instrumentWidth, instrumentHeight = 128.0, 62.0

// finish adds the instruction under the picture and the description.
func finish(d *draw.Drawing, title say.Message, text say.Message, instruction say.Shower, style say.Style) *draw.Drawing {
	told := &description{style: style}
	told.add(text)
	if s := words(instruction, style); s != "" {
		told.add(say.Plain(s))
		lines := draw.Wrap(s, draw.Label.Size, false, d.Width-4)
		top := d.Height
		d.Height += float64(len(lines))*draw.Label.Size*draw.LineStep + 3
		d.Paragraph(draw.At(2, top+3), s, d.Width-4, draw.Label)
	}
	d.Describe(title.Text(style), told.String())
	return d
}

// Draw makes the picture.
func (f Feeler) Draw(style say.Style) *draw.Drawing {
	d := draw.New(instrumentWidth, instrumentHeight)
	const tooth, head, top, bottom = 56.0, 60.0, 22.0, 52.0
	// casing above with the port through it
	d.Section(draw.Rectangle(16, 12, 26, 9), draw.HatchRising)
	d.Section(draw.Rectangle(74-8, 12, 8, 9), draw.HatchRising)
	d.Fill(draw.Rectangle(62.2, 12.2, 3.6, 8.6), draw.Paper)
	d.Line(draw.Thin, draw.At(42, 5), draw.At(42, 12))
	d.Line(draw.Thin, draw.At(66, 5), draw.At(66, 12))
	// rotor: disc cut, tooth not
	d.Part(PartRotor, func() {
		d.Section(draw.Rectangle(22, top, 10, bottom-top), draw.HatchDense)
		d.Shape(draw.Rectangle(32, top, tooth-32, 12), draw.Shade, draw.Outline)
	})
	d.Part(PartHead, func() {
		d.Section(draw.Polygon(draw.At(74, 12), draw.At(82, 12), draw.At(82, bottom+4), draw.At(head, bottom+4), draw.At(head, top), draw.At(74, top)), draw.HatchFalling)
	})
	d.Part(GapEnd, func() {
		d.Fill(draw.Rectangle(tooth+0.2, top, head-tooth-0.4, 12), draw.Tint)
		leaf := draw.Polygon(draw.At(57.3, 3), draw.At(58.7, 3), draw.At(58.7, top+10), draw.At(57.3, top+10))
		d.Shape(leaf, draw.Accent, draw.Thin.In(draw.Accent))
	})
	d.Line(draw.Centre, draw.At(6, bottom-4), draw.At(86, bottom-4))
	from, to := draw.At(19, bottom-4), draw.At(7, bottom-4)
	push := wordPushBack
	if f.PushToHead {
		from, to = to, from
		push = wordPushHead
	}
	d.Part(PartShaft, func() { d.Flow(from, to, draw.Ink) })
	d.Text(draw.At(2, bottom+6), push.With().Text(style), draw.Label)
	gap := draw.Callout{Target: draw.At((tooth+head)/2+1.3, top+11), Words: PartName(GapEnd).Text(style), Second: wordGap.With().Text(style), Role: draw.Accent, Part: GapEnd}
	d.Callouts([]draw.Callout{
		{Target: draw.At(58.5, 5), Words: wordLeaf.With().Text(style), Role: draw.Accent, Part: GapEnd},
		{Target: draw.At(50, 15), Words: wordPort.With().Text(style)},
		{Target: draw.At(78, 24), Words: PartName(PartHead).Text(style), Part: PartHead},
		gap,
		{Target: draw.At(54.5, top+11), Words: wordToothEnd.With().Text(style), Part: PartRotor},
	}, draw.Right, 93, 1, instrumentHeight-6, style)
	return finish(d, titleFeeler.With(), msgFeelerText.With(push.With()), f.Instruction, style)
}

// Draw makes the picture.
func (f Dial) Draw(style say.Style) *draw.Drawing {
	d := draw.New(instrumentWidth, instrumentHeight)
	const axis = 36.0
	d.Part(PartBracket, func() {
		d.Section(draw.Rectangle(48, axis-16, 32, 9), draw.HatchCounter)
		d.Section(draw.Rectangle(48, axis+7, 32, 9), draw.HatchCounter)
	})
	d.Part(PartShaft, func() {
		d.Shape(draw.Rectangle(34, axis-5, 50, 10), draw.Shade, draw.Outline)
		d.Line(draw.Thin, draw.At(84, axis-5), draw.At(82.4, axis-2), draw.At(85.2, axis+1), draw.At(84, axis+5))
	})
	d.Line(draw.Centre, draw.At(28, axis), draw.At(90, axis))
	// indicator: stem in line with the shaft, stand on the bracket
	d.Part("dial-indicator", func() {
		d.Shape(draw.Rectangle(26, axis-0.7, 8, 1.4), draw.Paper, draw.Outline)
		d.Shape(draw.Circle(draw.At(17, axis), 10), draw.Tint, draw.Marked)
		c := draw.At(17, axis)
		for a := 0.0; a < 360; a += 30 {
			d.Line(draw.Thin, draw.Polar(c, 8.2, a), draw.Polar(c, 9.4, a))
		}
		d.Line(draw.Outline.In(draw.Accent), c, draw.Polar(c, 7.4, 62))
		d.Fill(draw.Circle(c, 0.8), draw.Accent)
		d.Line(draw.Outline.Wide(0.9), draw.At(17, axis-10), draw.At(17, 10), draw.At(56, 10), draw.At(56, 14))
		d.Shape(draw.Rectangle(51, 14, 10, 6), draw.Soft, draw.Outline)
	})
	d.Flow(draw.At(89, axis), draw.At(98, axis), draw.Ink)
	d.Flow(draw.At(98, axis+4.6), draw.At(89, axis+4.6), draw.Ink)
	d.Text(draw.At(88, axis+10.6), wordPushPull.With().Text(style), draw.Label)
	d.Text(draw.At(17, axis+14.5), wordDial.With().Text(style), draw.Label.At(draw.Middle).In(draw.Accent))
	d.Text(draw.At(31, axis+21), wordStem.With().Text(style), draw.Label.At(draw.Middle))
	d.Line(draw.Leading, draw.At(30, axis+1), draw.At(31, axis+17.6))
	d.Text(draw.At(64, 12), wordFirm.With().Text(style), draw.Label)
	d.Text(draw.At(64, axis+22), PartName(PartBracket).Text(style), draw.Label.At(draw.Middle))
	d.Line(draw.Leading, draw.At(64, axis+14), draw.At(64, axis+18.6))
	return finish(d, titleDial.With(), msgDialText.With(), f.Instruction, style)
}

// Draw makes the picture.
func (f GasketMeasure) Draw(style say.Style) *draw.Drawing {
	places := min(max(f.Places, 1), 8)
	d := draw.New(instrumentWidth, instrumentHeight)
	c := draw.At(34, 31)
	const inner, outer = 17.0, 24.0
	d.Part(PartGaskets, func() {
		d.Shape(draw.Ring(c, inner, outer), draw.Shade, draw.Outline)
		for i := range 8 { // bolt holes
			d.Shape(draw.Circle(draw.Polar(c, (inner+outer)/2+1.2, 22.5+45*float64(i)), 1.1), draw.Paper, draw.Thin)
		}
	})
	for i := range places {
		a := 90 - 360*float64(i)/float64(places)
		at := draw.Polar(c, (inner+outer)/2-0.6, a)
		set, role := draw.Value, draw.Ink
		if i+1 == f.Asked {
			set, role = set.In(draw.Accent), draw.Accent
		}
		d.Fill(draw.Circle(at, 1.1), role)
		n := draw.Polar(c, inner-4.5, a)
		d.Text(draw.At(n.X, n.Y+1.2), PlaceName(i+1, 0), set.At(draw.Middle))
	}
	// micrometer: frame, anvil, spindle, thimble, with the piece between
	d.Part("micrometer", func() {
		m := draw.At(84, 30)
		frame := draw.Sector(m, 10, 14, 180, 360)
		d.Shape(frame, draw.Shade, draw.Outline)
		d.Shape(draw.Rectangle(m.X-14, m.Y-2, 12.6, 4), draw.Paper, draw.Outline)
		d.Shape(draw.Rectangle(m.X+1.4, m.Y-2, 14, 4), draw.Paper, draw.Outline)
		d.Shape(draw.Rectangle(m.X+15.4, m.Y-3, 12, 6), draw.Tint, draw.Marked)
		for i := range 5 {
			x := m.X + 17.4 + 2*float64(i)
			d.Line(draw.Thin.In(draw.Accent), draw.At(x, m.Y-3), draw.At(x, m.Y+3))
		}
		d.Fill(draw.Rectangle(m.X-1.4, m.Y-14, 2.8, 20), draw.Soft)
		d.Line(draw.Leading, draw.At(m.X, m.Y-14.5), draw.At(m.X, m.Y-18))
		d.Text(draw.At(m.X, m.Y-19.4), wordPiece.With().Text(style), draw.Label.At(draw.Middle))
		d.Text(draw.At(m.X+4, m.Y+21), wordAnvils.With().Text(style), draw.Label.At(draw.Middle))
	})
	return finish(d, titleGasket.With(), msgGasketText.With(places), f.Instruction, style)
}
