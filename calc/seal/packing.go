package seal

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Packing is a stuffing box.
type Packing struct {
	Shaft   quantity.Length // diameter of shaft or sleeve
	Bore    quantity.Length // of the box
	Depth   quantity.Length // of the box, without what the gland needs to enter
	Lantern quantity.Length // width of a lantern ring, 0 = none
}

// Rings is what a stuffing box takes.
type Rings struct {
	Packing
	Section     quantity.Length // side of the square packing
	Count       int
	CutLength   quantity.Length // of one ring, along its middle
	Stagger     quantity.Angle  // from joint to joint
	LeakAtStart float64         // drops per minute once it has run in, low end
	LeakMost    float64         // drops per minute, high end
	Messages    []say.Message
}

var (
	msgBoreLarger  = say.Define("seal.bore_larger", "the bore of the box must be larger than the shaft")
	msgLanternWide = say.Define("seal.lantern_wide", "the lantern ring must be narrower than the box is deep")
	msgFewRings    = say.Define("seal.few_rings", "only {count:count|ring|rings} fit; at least five are usual")
	msgCutRings    = say.Define("seal.cut_rings", "cut the rings on a mandrel of the shaft's size, butt or skive joints; seat each ring by itself with its joint {angle:angle} from the last")
	msgLeakOff     = say.Define("seal.leak_off", "start finger-tight and let it leak for 4 to 6 h, then take up one flat at a time to {low:number} to {high:number} drops a minute, never dry")
	msgNotToxic    = say.Define("seal.not_toxic", "packing leaks by design: not for liquids that are toxic or burn, or that are hot enough to scald")
	msgNoBearing   = say.Define("seal.no_bearing", "packing is no bearing: a shaft that lifts more than 0.1 mm eats it")
)

// Published leak-off: 8 to 10 drops a minute per inch of shaft (a seal
// adviser's page), 40 to 60 drops a minute also quoted (a packing page); at
// least five rings; joints 90° apart (a packing maker's note).
const (
	dropsPerInchLow, dropsPerInchHigh = 8, 10
	leastRings                        = 5
)

// Rings works out the rings of a stuffing box.
//
//	section = (bore − shaft)/2,  cut length = π(bore + shaft)/2
//	count = whole rings in depth − lantern
//
// Errors: *say.Problem naming shaft, bore, depth or lantern.
// Source: geometry; practice as published on packing pages (see the messages).
func (p Packing) Rings() (Rings, error) {
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"shaft", p.Shaft}, {"bore", p.Bore}, {"depth", p.Depth}} {
		if err := aboveZero(c.field, c.q); err != nil {
			return Rings{}, err
		}
	}
	if p.Bore <= p.Shaft {
		return Rings{}, say.Refuse("bore", p.Bore.String(), msgBoreLarger.With(), say.Message{})
	}
	if err := notBelowZero("lantern", p.Lantern); err != nil {
		return Rings{}, err
	}
	if p.Lantern >= p.Depth {
		return Rings{}, say.Refuse("lantern", p.Lantern.String(), msgLanternWide.With(), say.Message{})
	}
	inches := p.Shaft.SI() / 0.0254
	section := (p.Bore - p.Shaft) / 2
	r := Rings{Packing: p, Section: section, CutLength: quantity.Length(math.Pi) * (p.Bore + p.Shaft) / 2, Stagger: math.Pi / 2,
		Count:       int(math.Floor((p.Depth-p.Lantern).SI()/section.SI() + 1e-9)),
		LeakAtStart: dropsPerInchLow * inches, LeakMost: dropsPerInchHigh * inches}
	if r.Count < leastRings {
		r.Messages = append(r.Messages, msgFewRings.With(r.Count))
	}
	r.Messages = append(r.Messages, msgCutRings.With(r.Stagger), msgLeakOff.With(math.Round(r.LeakAtStart), math.Round(r.LeakMost)), msgNotToxic.With(), msgNoBearing.With())
	return r, nil
}
