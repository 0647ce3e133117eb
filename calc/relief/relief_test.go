package relief

import (
	"math"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const bar = 1e5

func pressure(v float64) *quantity.PressureDifference {
	p := quantity.PressureDifference(v * bar)
	return &p
}

// Common practice, no source: a valve must open above the working pressure and
// be fully open below what casing and drive stand; one that opens at working
// pressure is a leak. API 520/521, from memory: full flow within 1.10 × set.
func TestJudge(t *testing.T) {
	good := Valve{Set: 10 * bar, Crack: 9 * bar, FullBypass: pressure(11), Reseat: pressure(8.5), Working: 8 * bar, CasingLimit: 16 * bar, DriveLimit: 12 * bar}
	rows := []struct {
		name             string
		change           func(*Valve)
		margin           float64
		passes, accepted bool
		reason           string
	}{
		{"as it should be", func(*Valve) {}, 1, false, true, "relief.within"},
		{"passes at work", func(v *Valve) { v.Crack = 7.5 * bar }, -0.5, true, false, "relief.passing"},
		{"opens exactly at work", func(v *Valve) { v.Crack = 8 * bar }, 0, true, false, "relief.passing"},
		{"stays open", func(v *Valve) { v.Reseat = pressure(7) }, 1, false, false, "relief.stays_open"},
		{"over the casing", func(v *Valve) { v.CasingLimit = 10.5 * bar }, 1, false, false, "relief.over_casing"},
		{"over the drive", func(v *Valve) { v.DriveLimit = 10.5 * bar }, 1, false, false, "relief.over_drive"},
		{"assumed bypass within", func(v *Valve) { v.FullBypass = nil; v.DriveLimit = 11.01 * bar }, 1, false, true, "relief.within"},
		{"assumed bypass over", func(v *Valve) { v.FullBypass = nil; v.DriveLimit = 10.9 * bar }, 1, false, false, "relief.over_drive"},
		{"work above the casing", func(v *Valve) { v.CasingLimit = 7 * bar }, 1, false, false, "relief.work_over_case"},
	}
	for _, r := range rows {
		v := good
		r.change(&v)
		got, err := Judge(v)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(got.Margin.SI()-r.margin*bar) > 1e-6 || got.Passes != r.passes || got.Accepted != r.accepted {
			t.Errorf("%s: margin %v, passes %v, accepted %v", r.name, got.Margin, got.Passes, got.Accepted)
		}
		said := false
		for _, m := range got.Reasons {
			said = said || m.ID() == r.reason
		}
		if !said {
			t.Errorf("%s: %s is not said: %v", r.name, r.reason, got.Reasons)
		}
		if err := got.Working().Check(); err != nil {
			t.Error(err)
		}
		if got.Assumed != (v.FullBypass == nil) {
			t.Errorf("%s: assumed %v", r.name, got.Assumed)
		}
	}
}

func TestRefuses(t *testing.T) {
	good := Valve{Set: 10 * bar, Crack: 9 * bar, Working: 8 * bar, CasingLimit: 16 * bar, DriveLimit: 12 * bar}
	for field, spoil := range map[string]func(*Valve){
		"set":              func(v *Valve) { v.Set = 0 },
		"crack":            func(v *Valve) { v.Crack = -1 },
		"working_pressure": func(v *Valve) { v.Working = quantity.PressureDifference(math.NaN()) },
		"casing_limit":     func(v *Valve) { v.CasingLimit = quantity.PressureDifference(math.Inf(1)) },
		"drive_limit":      func(v *Valve) { v.DriveLimit = 0 },
		"full_bypass":      func(v *Valve) { v.FullBypass = pressure(8) },
		"reseat":           func(v *Valve) { v.Reseat = pressure(-1) },
	} {
		v := good
		spoil(&v)
		_, err := Judge(v)
		if p := say.AsProblem(err); p == nil || p.Field != field {
			t.Errorf("%s: %v", field, err)
		}
	}
}
