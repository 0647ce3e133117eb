package history

import (
	"encoding/json"
	"sort"
	"strings"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// The kinds of entries of a pump's own stream, pump:SERIAL. A void is that of
// package job.
const (
	KindMeter      = "meter"
	KindMeterReset = "meter-reset"
	KindInstalled  = "installed"
	KindRemoved    = "removed"
	KindNote       = "note"
)

// PumpStream returns the name of the stream of a machine.
func PumpStream(serial string) string { return "pump:" + serial }

// MeterReading is what the running-hour meter showed.
type MeterReading struct {
	Hours float64 `json:"hours"`
	On    string  `json:"on,omitempty"` // day, 2026-09-30; that of the entry when missing
	Note  string  `json:"note,omitempty"`
}

// MeterReset says that the meter was exchanged, set back or turned over.
type MeterReset struct {
	Was    float64 `json:"was"` // what the old one showed last
	Now    float64 `json:"now"` // what the new one starts from
	On     string  `json:"on,omitempty"`
	Reason string  `json:"reason,omitempty"`
}

// Installed says that the machine was put to a place.
type Installed struct {
	Tag        string  `json:"tag,omitempty"` // the place
	Place      string  `json:"place,omitempty"`
	Owner      string  `json:"owner,omitempty"`
	Sheet      string  `json:"sheet,omitempty"` // model sheet
	New        bool    `json:"new,omitempty"`   // the machine was new
	HoursAYear float64 `json:"hours_a_year,omitempty"`
	On         string  `json:"on,omitempty"`
	Invented   bool    `json:"invented,omitempty"`
}

// Removed says that the machine was taken from its place.
type Removed struct {
	Tag    string `json:"tag,omitempty"`
	Reason string `json:"reason,omitempty"`
	On     string `json:"on,omitempty"`
}

// Stay is a time at one place.
type Stay struct {
	job.Meta
	Installed
	From, To record.Time // To 0: still there
	Reason   string      // why it was taken away
}

// Pump is what the stream of one machine says.
type Pump struct {
	Serial   string
	Stays    []Stay
	Meter    Meter
	Notes    []job.Kept[job.Note]
	NewAt    record.Time // when the machine was put to work as new; 0 = not known
	Troubles []job.Trouble
}

// Meter is the running hours of a machine, carried over resets.
type Meter struct {
	Points     []MeterPoint // by day
	HoursAYear float64      // fallback, from the last stay; 0 = not known
}

// MeterPoint is one reading of the meter; Total is the hours since the first
// one, with the hours of meters before it.
type MeterPoint struct {
	At    record.Time
	Total float64
	Shown float64
	Ref   string
}

var (
	msgMeterBack    = say.Define("history.meter_back", "the meter showed {now:number} h on {day}, less than {was:number} h before; it is not counted. If the meter was exchanged, write a meter-reset; if it was mistyped, void it")
	msgMeterFast    = say.Define("history.meter_fast", "{hours:number} h in {days:number} days is more than a day has; it is not counted. Look at the meter again")
	msgMeterNumber  = say.Define("history.meter_number", "running hours are a number from 0 on")
	msgResetOff     = say.Define("history.reset_off", "the reset says that the meter showed {was:number} h, it had shown {shown:number} h already; {shown:number} h is taken")
	msgBadDay       = say.Define("history.bad_day", "“{day}” is no day; write it as 2026-09-30")
	msgUnknownKind  = say.Define("history.unknown_kind", "an entry of kind “{kind}” is not known to this version; it is kept")
	msgUnreadable   = say.Define("history.unreadable", "the entry cannot be read: {reason}")
	msgStillThere   = say.Define("history.still_there", "it was put to {place} while it stood at {before}; its time there ends with the day before")
	msgNotInstalled = say.Define("history.not_installed", "it was taken away without having been put anywhere")
)

type pumpFolder struct {
	pump   *Pump
	events []pumpEvent
}

// pumpEvent is an entry with the day it speaks of.
type pumpEvent struct {
	entry *record.Entry
	at    record.Time
	take  func(e *record.Entry, at record.Time)
}

// FoldPump returns what the entries of a pump say. It is pure and never fails.
func FoldPump(stream *record.Stream) *Pump {
	f := pumpFolder{pump: &Pump{Serial: strings.TrimPrefix(stream.Name, "pump:")}}
	gone := voided(stream.Entries)
	for i := range stream.Entries {
		if e := &stream.Entries[i]; !gone[e.ID] && e.Kind != job.KindVoid {
			f.place(e)
		}
	}
	// by the day they speak of, not by when somebody came to write them
	sort.SliceStable(f.events, func(i, j int) bool { return f.events[i].at < f.events[j].at })
	for _, e := range f.events {
		e.take(e.entry, e.at)
	}
	return f.pump
}

// voided returns the ids of entries that were taken back. A voided void counts
// no more: voids are taken from the last to the first.
func voided(entries []record.Entry) map[string]bool {
	gone := map[string]bool{}
	for i := len(entries) - 1; i >= 0; i-- {
		e := &entries[i]
		if e.Kind != job.KindVoid || gone[e.ID] {
			continue
		}
		var body job.Void
		if json.Unmarshal(e.Body, &body) == nil {
			gone[body.Entry] = true
		}
	}
	return gone
}

func (f *pumpFolder) trouble(e *record.Entry, m say.Message) {
	f.pump.Troubles = append(f.pump.Troubles, job.Trouble{Meta: metaOf(e), Kind: e.Kind, Message: m})
}

func metaOf(e *record.Entry) job.Meta {
	return job.Meta{Ref: e.ID, Seq: e.Seq, By: e.By, At: e.At, Seen: e.Seen, Device: e.Device, Hash: e.Hash}
}

func (f *pumpFolder) place(e *record.Entry) {
	switch e.Kind {
	case KindMeter:
		placed(f, e, func(b MeterReading) string { return b.On }, f.meter)
	case KindMeterReset:
		placed(f, e, func(b MeterReset) string { return b.On }, f.reset)
	case KindInstalled:
		placed(f, e, func(b Installed) string { return b.On }, f.installed)
	case KindRemoved:
		placed(f, e, func(b Removed) string { return b.On }, f.removed)
	case KindNote:
		placed(f, e, func(job.Note) string { return "" }, func(e *record.Entry, _ record.Time, b job.Note) {
			f.pump.Notes = append(f.pump.Notes, job.Kept[job.Note]{Meta: metaOf(e), Body: b})
		})
	case kindKept: // what the shop keeps of the machine: it tells nothing of its time
	default:
		f.trouble(e, msgUnknownKind.With(e.Kind))
	}
}

// kindKept is the kind of the shop's own entry about a machine.
const kindKept = "pump"

// placed reads the body and the day of an entry.
func placed[T any](f *pumpFolder, e *record.Entry, day func(T) string, take func(*record.Entry, record.Time, T)) {
	var body T
	if err := json.Unmarshal(e.Body, &body); err != nil {
		f.trouble(e, msgUnreadable.With(err))
		return
	}
	at := e.At
	if text := day(body); text != "" {
		t, err := time.Parse(time.DateOnly, text)
		if err != nil {
			f.trouble(e, msgBadDay.With(text))
			return
		}
		at = record.TimeOf(t)
	}
	f.events = append(f.events, pumpEvent{e, at, func(e *record.Entry, at record.Time) { take(e, at, body) }})
}

func (f *pumpFolder) meter(e *record.Entry, at record.Time, b MeterReading) {
	m := &f.pump.Meter
	if !(b.Hours >= 0) {
		f.trouble(e, msgMeterNumber.With())
		return
	}
	p := MeterPoint{At: at, Shown: b.Hours, Ref: e.ID}
	if n := len(m.Points); n > 0 {
		last := m.Points[n-1]
		run := b.Hours - last.Shown
		span := hoursBetween(last.At, at)
		switch {
		case run < 0:
			f.trouble(e, msgMeterBack.With(b.Hours, at.Day(), last.Shown))
			return
		case run > span*dayTolerance+dayHours: // both days count from their beginning
			f.trouble(e, msgMeterFast.With(run, span/dayHours))
			return
		}
		p.Total = last.Total + run
	}
	m.Points = append(m.Points, p)
}

const (
	dayHours     = 24.0
	dayTolerance = 1.02 // clocks of meters are not exact
)

func hoursBetween(from, to record.Time) float64 { return float64(to-from) / 3.6e9 }

func (f *pumpFolder) reset(e *record.Entry, at record.Time, b MeterReset) {
	m := &f.pump.Meter
	if !(b.Was >= 0) || !(b.Now >= 0) {
		f.trouble(e, msgMeterNumber.With())
		return
	}
	p := MeterPoint{At: at, Shown: b.Now, Ref: e.ID}
	if n := len(m.Points); n > 0 {
		last := m.Points[n-1]
		p.Total = last.Total
		if b.Was >= last.Shown {
			p.Total += b.Was - last.Shown
		} else {
			f.trouble(e, msgResetOff.With(b.Was, last.Shown))
		}
	}
	m.Points = append(m.Points, p)
}

func (f *pumpFolder) installed(e *record.Entry, at record.Time, b Installed) {
	p := f.pump
	if n := len(p.Stays); n > 0 && p.Stays[n-1].To == 0 {
		if b.Tag != p.Stays[n-1].Tag {
			f.trouble(e, msgStillThere.With(b.Tag, p.Stays[n-1].Tag))
		}
		p.Stays[n-1].To = at
	}
	p.Stays = append(p.Stays, Stay{Meta: metaOf(e), Installed: b, From: at})
	if b.New && p.NewAt == 0 {
		p.NewAt = at
	}
	if b.HoursAYear > 0 {
		p.Meter.HoursAYear = b.HoursAYear
	}
}

func (f *pumpFolder) removed(e *record.Entry, at record.Time, b Removed) {
	n := len(f.pump.Stays)
	if n == 0 || f.pump.Stays[n-1].To != 0 {
		f.trouble(e, msgNotInstalled.With())
		return
	}
	f.pump.Stays[n-1].To, f.pump.Stays[n-1].Reason = at, b.Reason
}

// StayAt returns where the machine was at a moment, or nil.
func (p *Pump) StayAt(at record.Time) *Stay {
	if p == nil {
		return nil
	}
	for i := len(p.Stays) - 1; i >= 0; i-- {
		if s := &p.Stays[i]; s.From <= at && (s.To == 0 || at < s.To) {
			return s
		}
	}
	return nil
}
