package job

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// ReliefTest is the relief valve as it was set and read on the stand. All
// pressures are differences over the pump.
type ReliefTest struct {
	Set        *quantity.PressureDifference `json:"set" help:"pressure to which it was set"`
	Crack      *quantity.PressureDifference `json:"crack" help:"pressure at which it begins to pass"`
	FullBypass *quantity.PressureDifference `json:"full_bypass" help:"pressure at which it passes the whole flow"`
	Reseat     *quantity.PressureDifference `json:"reseat" help:"pressure at which it closes again"`
	Screw      *quantity.Length             `json:"screw" help:"height of the screw as left"`
	Instrument string                       `json:"instrument" optional:"yes" help:"number of the gauge"`
	Sealed     string                       `json:"sealed" optional:"yes" help:"how it was locked and sealed"`
	Note       string                       `json:"note" optional:"yes" help:"remark"`
}

// ReadRelief reads the body of an entry about the relief valve. Fields of
// later versions are passed over.
func ReadRelief(raw any) (ReliefTest, error) {
	var r ReliefTest
	reader := fields.Reader{KeepUnknown: true}
	return r, reader.Bind(raw, &r)
}

// LastRelief is the relief valve as it was set last; nil when it was not.
func (s *State) LastRelief() *Kept[ReliefTest] {
	for i := len(s.Reliefs) - 1; i >= 0; i-- {
		if r, err := ReadRelief(s.Reliefs[i].Body); err == nil {
			return &Kept[ReliefTest]{s.Reliefs[i].Meta, r}
		}
	}
	return nil
}

var (
	msgReliefSet   = say.Define("job.relief_set", "the pressure to which it was set is missing")
	msgReliefFull  = say.Define("job.relief_full", "the pressure at full bypass is missing")
	msgReliefGauge = say.Define("job.relief_gauge", "write what the gauge showed, with its unit")
	msgReliefOrder = say.Define("job.relief_order", "at full bypass the pressure is not below the one at which it begins to pass, and it closes at or below that")
	msgReadAgain   = say.Define("job.read_again", "check the readings")
	msgAboveZero   = say.Define("job.above_zero", "a pressure difference above zero is wanted")
)

func vetRelief(body []byte) error {
	var r ReliefTest
	if err := vetFields(body, &r); err != nil {
		return err
	}
	switch {
	case r.Set == nil:
		return say.Refuse("set", "", msgReliefSet.With(), msgReliefGauge.With())
	case r.FullBypass == nil:
		return say.Refuse("full_bypass", "", msgReliefFull.With(), msgReliefGauge.With())
	}
	for name, p := range map[string]*quantity.PressureDifference{"set": r.Set, "crack": r.Crack, "full_bypass": r.FullBypass, "reseat": r.Reseat} {
		if p != nil && *p <= 0 {
			return say.Refuse(name, p.String(), msgAboveZero.With(), msgReliefGauge.With())
		}
	}
	begins := *r.Set
	if r.Crack != nil {
		begins = *r.Crack
	}
	if *r.FullBypass < begins || r.Reseat != nil && *r.Reseat > *r.FullBypass {
		return say.Refuse("full_bypass", r.FullBypass.String(), msgReliefOrder.With(), msgReadAgain.With())
	}
	return nil
}
