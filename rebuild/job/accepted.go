package job

import (
	"strings"

	"pumpwright/calc/say"
)

// Accepted lets the readings of an instrument that is out of calibration, or
// that failed its check, carry decisions of this job all the same, for a
// reason in writing.
type Accepted struct {
	Instrument string `json:"instrument"`
	Role       string `json:"role,omitempty"` // in which it was signed
	Reason     string `json:"reason"`
}

// AcceptedReason returns who accepted an instrument, nil when nobody did.
func (s *State) AcceptedReason(instrument string) *Kept[Accepted] {
	for i := len(s.Accepted) - 1; i >= 0; i-- {
		if s.Accepted[i].Body.Instrument == instrument {
			return &s.Accepted[i]
		}
	}
	return nil
}

var (
	msgNoInstrument   = say.Define("job.no_instrument", "the instrument is missing")
	msgNameInstrument = say.Define("job.name_instrument", "write its number")
)

func vetAccepted(a Accepted) error {
	if strings.TrimSpace(a.Instrument) == "" {
		return say.Refuse("instrument", "", msgNoInstrument.With(), msgNameInstrument.With())
	}
	if strings.TrimSpace(a.Reason) == "" {
		return say.Refuse("reason", "", msgNoReason.With(), msgGiveReason.With())
	}
	return nil
}
