package assembly

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/rebuild/sheet"
)

var (
	msgRingCount   = say.Define("assembly.ring_count", "{count:count|ring|rings} of the sheet, joints a quarter turn apart, cut on a mandrel of the shaft's size and seated one at a time")
	msgFewRings    = say.Define("assembly.few_rings", "the sheet names {count:count|ring|rings}; at least five are usual")
	msgRings       = say.Define("assembly.rings", "{count:count|ring|rings} of {section:length} square, each cut {length:length} long along its middle")
	msgOtherCount  = say.Define("assembly.other_count", "the box takes {fits:count|ring|rings}, the sheet names {sheet:count}")
	msgGland       = say.Define("assembly.gland", "gland finger-tight at first: it must leak for 4 to 6 h, then one flat at a time to {low:number} to {high:number} drops a minute, never dry")
	msgGlandNoSize = say.Define("assembly.gland_no_size", "gland finger-tight at first: it must leak for 4 to 6 h, then one flat at a time to 8 to 10 drops a minute for each inch of shaft, never dry")
	msgHurts       = say.Define("assembly.packing_hurts", "packing leaks by design and the liquid can hurt ({hazards:list}): catch the leakage, or ask for a mechanical seal")
	msgNoBearing   = say.Define("assembly.no_bearing", "packing is no bearing: a shaft that lifts more than 0.1 mm eats it")
	cautionGland   = say.Define("assembly.caution_gland", "Take the pressure off and stand clear of the turning shaft before a gland is drawn up or repacked; no hand and no tool near it while it turns.")
	msgLipPractice = say.Define("assembly.lip_practice", "finish Ra 0.2 to 0.8 µm, 30 HRC (45 with grit), no turning lead; these are not read at this job, look at them")
)

// packing gives the practice of a stuffing box, with its sizes where the sheet
// holds them.
func (s *Seal) packing(in *Inputs) {
	s.Cautions = append(s.Cautions, cautionGland.With())
	d := in.Sheet.Seal
	if d != nil && d.Rings != nil {
		s.Reasons = append(s.Reasons, msgRingCount.With(*d.Rings))
		if *d.Rings < 5 {
			s.Warnings = append(s.Warnings, msgFewRings.With(*d.Rings))
		}
	}
	shaft := in.shaftDiameter()
	var lacks lacking
	lacks.unless(shaft > 0, "diameter of the shaft")
	lacks.unless(d != nil && d.BoxBore != nil, "bore of the stuffing box")
	lacks.unless(d != nil && d.BoxDepth != nil, "depth of the stuffing box")
	if len(lacks) > 0 {
		s.Unknown = append(s.Unknown, lacks.message(whatRings.With()))
	} else {
		s.rings(d, shaft)
	}
	if shaft > 0 {
		s.dropsLow, s.dropsHigh = dropsOf(shaft)
		s.Reasons = append(s.Reasons, msgGland.With(s.dropsLow, s.dropsHigh))
	} else {
		s.Reasons = append(s.Reasons, msgGlandNoSize.With())
	}
	s.Notes = append(s.Notes, msgNoBearing.With())
	if v := in.Service; v != nil && len(v.Hazards) > 0 {
		s.Warnings = append(s.Warnings, msgHurts.With(v.Hazards))
	}
}

func (s *Seal) rings(d *sheet.Seal, shaft quantity.Length) {
	box := seal.Packing{Shaft: shaft, Bore: d.BoxBore.Value, Depth: d.BoxDepth.Value}
	if d.Lantern != nil {
		box.Lantern = d.Lantern.Value
	}
	r, err := box.Rings()
	if err != nil {
		s.Unknown = append(s.Unknown, msgRefused.With(whatRings.With(), err))
		return
	}
	s.Rings = &r
	s.Reasons = append(s.Reasons, msgRings.With(r.Count, r.Section, r.CutLength))
	if d.Rings != nil && *d.Rings != r.Count {
		s.Warnings = append(s.Warnings, msgOtherCount.With(r.Count, *d.Rings))
	}
}

// dropsOf is the leak-off of a packing that has run in, in drops a minute: 8 to
// 10 per inch of shaft, as published on a seal adviser's page.
func dropsOf(shaft quantity.Length) (low, high float64) {
	inches := shaft.SI() / 0.0254
	return math.Round(8 * inches), math.Round(10 * inches)
}

// shaftDiameter is the shaft as read, else of the sheet, 0 when not known.
func (in *Inputs) shaftDiameter() quantity.Length {
	if e := in.latest(sheet.RoleShaftOD); e != nil {
		return quantity.Length(e.Value)
	}
	if n := in.Sheet.Nominal(sheet.RoleShaftOD); n != nil {
		return *n
	}
	if f := in.Sheet.FlowPath; f != nil {
		return 2 * f.ShaftRadius.Value
	}
	return 0
}

// lip checks the shaft under a lip seal, as far as it was read.
func (s *Seal) lip(in *Inputs) {
	shaft := seal.LipShaft{}
	if e := in.latest(sheet.RoleShaftRunOut); e != nil {
		shaft.Runout = quantity.Length(math.Abs(e.Value))
	}
	if v := in.Service; v != nil && v.Pressure != nil {
		shaft.Pressure = v.Pressure.Value
		if in.AtSeal != nil {
			shaft.Pressure = *in.AtSeal
		}
		if v.Solids != nil && v.Solids.Value >= seriousSolids {
			shaft.Dirty = true
		}
	}
	v, err := seal.CheckLipShaft(shaft)
	if err != nil {
		s.Unknown = append(s.Unknown, msgRefused.With(whatLip.With(), err))
		return
	}
	s.Lip = &v
	s.Warnings = append(s.Warnings, v.Reasons...)
	s.Reasons = append(s.Reasons, v.Fitting)
	s.Notes = append(s.Notes, msgLipPractice.With())
}

var whatLip = say.Define("assembly.what_lip", "shaft under the lip seal")
