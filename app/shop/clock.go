package shop

import (
	"encoding/json"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Clocks of tablets that run well are less than this apart from ours; what is
// more is noted, rounded so that one clock gives one note.
const (
	clockMatters = 2 * time.Minute
	clockRounds  = 5 * time.Minute
)

var (
	msgClockAhead  = say.Define("shop.clock_ahead", "The clock of the tablet was ahead by {hours:count} h {minutes:count} min when its entries came in.")
	msgClockBehind = say.Define("shop.clock_behind", "The clock of the tablet was behind by {hours:count} h {minutes:count} min when its entries came in.")
)

// clockOff is how far a clock that says now is ahead of ours.
func (s *Shop) clockOff(says time.Time) time.Duration {
	if says.IsZero() {
		return 0
	}
	off := says.Sub(s.now())
	if off.Abs() < clockMatters {
		return 0
	}
	if off = off.Round(clockRounds); off == 0 {
		return clockMatters
	}
	return off
}

// clockNote gives the note that says how far the clock was off by which an
// entry is dated, unless the last one of the same device says the same.
func clockNote(j *Job, e *record.Entry, off time.Duration) ([]record.Entry, error) {
	words := msgClockAhead
	if off < 0 {
		words = msgClockBehind
	}
	text := words.With(int(off.Abs().Hours()), int(off.Abs().Minutes())%60).String()
	for i := len(j.State.Notes) - 1; i >= 0; i-- {
		if n := &j.State.Notes[i]; n.By == e.By && n.Device == e.Device && n.Body.Text == text {
			return nil, nil
		}
	}
	body, err := json.Marshal(job.Note{Text: text})
	if err != nil {
		return nil, err
	}
	note := *e
	note.ID, note.Kind, note.Body, note.At = deriveID(e.At.Time(), e.ID, "clock"), job.KindNote, body, e.Received
	return []record.Entry{note}, nil
}
