package ledger

import (
	"encoding/json"
	"fmt"
	"strings"

	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/record"
)

// The kinds of entries of an instrument, on streams named instrument:….
const (
	KindInstrument = "instrument" // describes it
	KindCalibrated = "calibrated" // a certificate
	KindChecked    = "checked"    // a check between calibrations, passed or failed
	KindRetired    = "retired"    // out of use
)

// Calibration is a certificate.
type Calibration struct {
	On          string `json:"on" help:"day of the calibration, as 2026-03-02"`
	Due         string `json:"due,omitempty" optional:"yes" help:"day on which it ends"`
	U           string `json:"u,omitempty" optional:"yes" help:"standard uncertainty from the certificate"`
	Certificate string `json:"certificate,omitempty" optional:"yes" help:"number of the certificate"`
}

// Check is a check between calibrations.
type Check struct {
	On     string `json:"on" help:"day of the check"`
	Passed bool   `json:"passed" help:"true when it was right"`
	Note   string `json:"note,omitempty" optional:"yes" help:"what was checked against what"`
}

// Retired takes an instrument out of use.
type Retired struct {
	Reason string `json:"reason" help:"why"`
}

// InstrumentFile is what the entries of one instrument say.
type InstrumentFile struct {
	Stream       string
	Instrument   *Instrument // nil when no entry describes it
	Calibrations []Calibration
	Checks       []Check
	Retired      string // reason, "" while it is in use
	Troubles     []StockTrouble
}

var (
	msgNoInstrument = say.Define("ledger.no_instrument", "no entry says what instrument this is")
	msgNeedsReason  = say.Define("ledger.needs_reason", "the reason is missing")
)

// FoldInstrument returns what the entries of an instrument say. It is pure and
// never fails. A calibration after a failed check makes the instrument good
// again; a failed check after a calibration stands.
func FoldInstrument(stream *record.Stream) *InstrumentFile {
	f := &InstrumentFile{Stream: stream.Name}
	var s Stock // for its rule of voids and troubles
	gone := s.voids(stream.Entries)
	for i := range stream.Entries {
		if e := &stream.Entries[i]; !gone[e.ID] {
			if err := f.take(e); err != nil {
				s.trouble(e.ID, e.Kind, msgStockUnread.With(err))
			}
		}
	}
	if f.Instrument == nil {
		s.trouble("", "", msgNoInstrument.With())
	}
	f.Troubles = s.Troubles
	return f
}

func (f *InstrumentFile) take(e *record.Entry) error {
	switch e.Kind {
	case KindInstrument:
		in, err := readInstrument(e.Body)
		if err != nil {
			return err
		}
		if old := f.Instrument; old != nil { // described anew: its certificates stand
			if in.Due == "" {
				in.Due = old.Due
			}
			if in.FailedOn == "" {
				in.FailedOn = old.FailedOn
			}
			if in.CalibrationU == nil {
				in.CalibrationU = old.CalibrationU
			}
		}
		f.Instrument = in
	case KindCalibrated:
		c, err := bindBody[Calibration](e.Body)
		if err != nil {
			return err
		}
		return f.calibrated(c)
	case KindChecked:
		c, err := bindBody[Check](e.Body)
		if err == nil {
			_, err = parseDay(c.On)
		}
		if err != nil {
			return err
		}
		f.Checks = append(f.Checks, c)
		if f.Instrument != nil && !c.Passed {
			f.Instrument.FailedOn = c.On
		}
	case KindRetired:
		r, err := bindBody[Retired](e.Body)
		if err != nil {
			return err
		}
		if strings.TrimSpace(r.Reason) == "" {
			return say.Refuse("reason", "", msgNeedsReason.With(), say.Message{})
		}
		f.Retired = r.Reason
	case KindVoid:
	default:
		return say.Refuse("kind", e.Kind, msgStockKind.With(e.Kind), say.Message{})
	}
	return nil
}

func readInstrument(body []byte) (*Instrument, error) {
	var raw any
	if err := json.Unmarshal(body, &raw); err != nil {
		return nil, err
	}
	in := &Instrument{}
	reader := fields.Reader{KeepUnknown: true}
	if err := reader.Bind(raw, in); err != nil {
		return nil, err
	}
	for name, text := range map[string]string{"due": in.Due, "failed_on": in.FailedOn} {
		if _, err := parseDay(text); err != nil {
			return nil, say.In(name, err)
		}
	}
	return in, nil
}

func (f *InstrumentFile) calibrated(c Calibration) error {
	for name, text := range map[string]string{"on": c.On, "due": c.Due} {
		if _, err := parseDay(text); err != nil {
			return say.In(name, err)
		}
	}
	if f.Instrument == nil {
		return say.Refuse("", "", msgNoInstrument.With(), say.Message{})
	}
	if c.U != "" {
		raw := map[string]any{"id": f.Instrument.ID, "kind": f.Instrument.Kind, "calibration_u": c.U}
		read := &Instrument{}
		if err := fields.Bind(raw, read); err != nil {
			return fmt.Errorf("u: %w", err)
		}
		f.Instrument.CalibrationU = read.CalibrationU
	}
	f.Calibrations = append(f.Calibrations, c)
	f.Instrument.Due, f.Instrument.FailedOn = c.Due, ""
	return nil
}
