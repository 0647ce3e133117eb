package transfer

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

var (
	calendarName  = say.Define("transfer.calendar_name", "Pumps due")
	calendarTitle = say.Define("transfer.calendar_title", "{machine}: {feature} due")
	calendarText  = say.Define("transfer.calendar_text", "{feature} of {machine} at {tag} is expected to reach its limit of {limit} on {day}. Bounds: {near} to {far}. Rests on {basis} ({n:count|rate|rates} of wear). The maker's manual, site rules and local codes come first.")
	calendarNever = say.Define("transfer.calendar_unknown", "not known")
)

// limitText shows a limit in the reader's units.
type limitText struct {
	dimension quantity.Dimension
	value     float64
}

// Show prints the limit.
func (l limitText) Show(s say.Style) string { return quantity.Show(l.dimension, l.value, s) }

// WriteCalendar writes due dates as an iCalendar object (RFC 5545), one event
// of a whole day each. An event keeps its UID while machine and feature stay
// the same, so a calendar that reads it again moves it instead of adding one.
// made is the time of the feed.
func WriteCalendar(to io.Writer, due []history.Expected, made record.Time, style say.Style) error {
	w := &folding{to: to}
	w.line("BEGIN", "VCALENDAR")
	w.line("VERSION", "2.0")
	w.line("PRODID", "-//Pumpwright//due dates//EN")
	w.line("CALSCALE", "GREGORIAN")
	w.line("METHOD", "PUBLISH")
	w.line("NAME", escapeText(calendarName.With().Text(style)))
	for i := range due {
		e := &due[i]
		day := e.Day()
		if day == 0 {
			continue
		}
		machine := (&history.Machine{Serial: e.Serial}).Title()
		var limit say.Shower = calendarNever.With()
		if e.Track.Limit != nil {
			limit = limitText{e.Track.Dimension, *e.Track.Limit}
		}
		text := calendarText.With(e.Track.Name, machine, e.Tag, limit, day.Day(), dayOr(e.NearDay()), dayOr(e.FarDay()), e.Forecast.Basis, e.Forecast.Parts)
		w.line("BEGIN", "VEVENT")
		w.line("UID", uidOf(e))
		w.line("DTSTAMP", made.Time().Format("20060102T150405Z"))
		w.line("DTSTART;VALUE=DATE", day.Time().Format("20060102"))
		w.line("DTEND;VALUE=DATE", day.Time().Add(24*time.Hour).Format("20060102"))
		w.line("SUMMARY", escapeText(calendarTitle.With(machine, e.Track.Name).Text(style)))
		w.line("DESCRIPTION", escapeText(text.Text(style)))
		if e.Site != "" {
			w.line("LOCATION", escapeText(e.Site))
		}
		w.line("TRANSP", "TRANSPARENT")
		w.line("END", "VEVENT")
	}
	w.line("END", "VCALENDAR")
	return w.err
}

func dayOr(at record.Time) say.Shower {
	if at == 0 {
		return calendarNever.With()
	}
	return at.Day().Message()
}

// uidOf is the same for one feature of one machine, whenever it is due.
func uidOf(e *history.Expected) string {
	h := sha256.Sum256([]byte(e.Serial + "\x00" + e.Track.Feature))
	return hex.EncodeToString(h[:16]) + "@pumpwright"
}

// escapeText escapes a text value (RFC 5545, 3.3.11). Signs that a calendar
// may not hold are left out.
func escapeText(text string) string {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	var b strings.Builder
	for _, r := range text {
		switch {
		case r == '\\' || r == ';' || r == ',':
			b.WriteByte('\\')
			b.WriteRune(r)
		case r == '\n':
			b.WriteString(`\n`)
		case r < ' ' && r != '\t' || r == 0x7f || r == utf8.RuneError:
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// folding writes content lines, folded to 75 octets (RFC 5545, 3.1), never in
// the middle of a sign.
type folding struct {
	to  io.Writer
	err error
}

const foldAt = 75

func (f *folding) line(name, value string) {
	if f.err != nil {
		return
	}
	text := name + ":" + value
	var b strings.Builder
	room := foldAt
	for len(text) > room {
		cut := room
		for cut > 0 && !utf8.RuneStart(text[cut]) {
			cut--
		}
		b.WriteString(text[:cut])
		b.WriteString("\r\n ")
		text, room = text[cut:], foldAt-1 // the space counts
	}
	b.WriteString(text)
	b.WriteString("\r\n")
	if _, err := io.WriteString(f.to, b.String()); err != nil {
		f.err = fmt.Errorf("transfer: calendar: %w", err)
	}
}
