package seal

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// LipShaft is the shaft under a lip seal. A field of zero is not judged.
type LipShaft struct {
	Roughness    quantity.Length // Ra
	HardnessHRC  float64         // Rockwell C
	Dirty        bool            // grit outside, or a fast shaft
	Runout       quantity.Length // total indicator reading
	Misalignment quantity.Length // of shaft to bore
	Pressure     quantity.PressureDifference
	Lead         bool // turning marks that wind along the shaft
}

// Published limits. Finish: a lip seal chart; hardness: a seal maker's page;
// run-out and offset: a lip seal supplier's pages (0.005 in and 0.003 in, both
// together 0.008 in); pressure of standard lips: common practice, no source.
const (
	lipSmoothest quantity.Length             = 0.2e-6
	lipRoughest  quantity.Length             = 0.8e-6
	lipHardness                              = 30
	lipHardDirty                             = 45
	lipRunout    quantity.Length             = 0.13e-3
	lipOffset    quantity.Length             = 0.08e-3
	lipBoth      quantity.Length             = 0.20e-3
	lipPressure  quantity.PressureDifference = 0.3e5
	lipHairline  quantity.Length             = 1e-9
)

var (
	msgLipSmooth   = say.Define("seal.lip_smooth", "finish {ra:length} is smoother than {limit:length}: the lip runs dry")
	msgLipRough    = say.Define("seal.lip_rough", "finish {ra:length} is rougher than {limit:length}: the lip wears")
	msgLipSoft     = say.Define("seal.lip_soft", "hardness {have:number} HRC is below the {limit:number} HRC wanted here")
	msgLipRunout   = say.Define("seal.lip_runout", "run-out {have:length} is above {limit:length}: the lip cannot follow")
	msgLipOffset   = say.Define("seal.lip_offset", "shaft and bore are {have:length} off centre, limit {limit:length}: the lip wears on one side")
	msgLipBoth     = say.Define("seal.lip_both", "run-out and offset come to {have:length} together, limit {limit:length}")
	msgLipPressure = say.Define("seal.lip_pressure", "{have:pressure_difference} is more than a standard lip holds ({limit:pressure_difference})")
	msgLipLead     = say.Define("seal.lip_lead", "turning marks that wind along the shaft pump the liquid out: grind without lead")
	msgLipFit      = say.Define("seal.lip_fit", "spring side to the liquid, sleeve over keyways, oil the lip, press in square; set it off a worn track or fit a sleeve")
	msgLipHRC      = say.Define("seal.lip_hrc", "the Rockwell C hardness must lie between 0 and 70")
)

// LipVerdict is the shaft of a lip seal against the published limits.
type LipVerdict struct {
	Within  bool
	Reasons []say.Message // what is wrong
	Fitting say.Message   // how it goes in
}

// CheckLipShaft judges what is given.
// Errors: *say.Problem naming the field.
func CheckLipShaft(s LipShaft) (LipVerdict, error) {
	for _, c := range []struct {
		field string
		q     quantity.Quantity
	}{{"roughness", s.Roughness}, {"runout", s.Runout}, {"misalignment", s.Misalignment}, {"pressure", s.Pressure}} {
		if err := notBelowZero(c.field, c.q); err != nil {
			return LipVerdict{}, err
		}
	}
	if !(s.HardnessHRC >= 0 && s.HardnessHRC <= 70) {
		return LipVerdict{}, say.Refuse("hardness", number(s.HardnessHRC), msgLipHRC.With(), say.Message{})
	}
	v := LipVerdict{Fitting: msgLipFit.With()}
	blame := func(wrong bool, m say.Message) {
		if wrong {
			v.Reasons = append(v.Reasons, m)
		}
	}
	blame(s.Roughness > 0 && s.Roughness < lipSmoothest-lipHairline/10, msgLipSmooth.With(s.Roughness, lipSmoothest))
	blame(s.Roughness > lipRoughest+lipHairline/10, msgLipRough.With(s.Roughness, lipRoughest))
	least := float64(lipHardness)
	if s.Dirty {
		least = lipHardDirty
	}
	blame(s.HardnessHRC > 0 && s.HardnessHRC < least, msgLipSoft.With(s.HardnessHRC, least))
	blame(s.Runout > lipRunout+lipHairline, msgLipRunout.With(s.Runout, lipRunout))
	blame(s.Misalignment > lipOffset+lipHairline, msgLipOffset.With(s.Misalignment, lipOffset))
	blame(s.Runout+s.Misalignment > lipBoth+lipHairline, msgLipBoth.With(s.Runout+s.Misalignment, lipBoth))
	blame(s.Pressure > lipPressure, msgLipPressure.With(s.Pressure, lipPressure))
	blame(s.Lead, msgLipLead.With())
	v.Within = len(v.Reasons) == 0
	return v, nil
}
