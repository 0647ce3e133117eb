package transfer

import (
	"strings"
	"unicode"

	"pumpwright/calc/say"
)

// Subject is what a table is about.
type Subject string

// The subjects.
const (
	Pumps    Subject = "pumps"
	Readings Subject = "readings"
	Jobs     Subject = "jobs"
	Stock    Subject = "stock"
	Lives    Subject = "lives"
)

// Subjects lists the subjects.
func Subjects() []Subject { return []Subject{Pumps, Readings, Jobs, Stock, Lives} }

// ColumnKind is what the cells of a column hold.
type ColumnKind string

// The kinds.
const (
	TextColumn     ColumnKind = "text"
	NumberColumn   ColumnKind = "number"
	CountColumn    ColumnKind = "whole number"
	DayColumn      ColumnKind = "day"
	QuantityColumn ColumnKind = "number with its unit"
	YesColumn      ColumnKind = "yes or no"
	WordColumn     ColumnKind = "one of some words"
)

// Column is a column that a subject knows.
type Column struct {
	Name   string
	Kind   ColumnKind
	Needed bool
	Help   say.Message
	Words  []string // of a WordColumn
	also   []string // other names that people give it
}

var (
	helpSerial    = say.Define("transfer.col_serial", "serial or shop tag of the machine")
	helpTag       = say.Define("transfer.col_tag", "tag of its place")
	helpPlace     = say.Define("transfer.col_place", "where the place is")
	helpOwner     = say.Define("transfer.col_owner", "whose it is")
	helpModel     = say.Define("transfer.col_model", "name of the model sheet")
	helpInstalled = say.Define("transfer.col_installed", "day it was put there")
	helpNew       = say.Define("transfer.col_new", "whether the machine was new")
	helpHours     = say.Define("transfer.col_hours", "what the running-hour meter showed")
	helpHoursOn   = say.Define("transfer.col_hours_on", "day of the meter reading")
	helpYearly    = say.Define("transfer.col_hours_a_year", "running hours a year")
	helpJob       = say.Define("transfer.col_job", "number of the job")
	helpFeature   = say.Define("transfer.col_feature", "feature of the model sheet")
	helpState     = say.Define("transfer.col_state", "as-found (when missing) or as-left")
	helpPlane     = say.Define("transfer.col_plane", "place along the axis")
	helpAngle     = say.Define("transfer.col_angle", "place around, degrees")
	helpValue     = say.Define("transfer.col_value", "what was read, with its unit")
	helpUnit      = say.Define("transfer.col_unit", "unit, where the value has none")
	helpInstr     = say.Define("transfer.col_instrument", "instrument")
	helpDay       = say.Define("transfer.col_day", "day it was written down")
	helpRepeat    = say.Define("transfer.col_repeat", "number of the repeat, where the same place was read more than once")
	helpNote      = say.Define("transfer.col_note", "note")
	helpComplaint = say.Define("transfer.col_complaint", "what the owner complained of")
	helpOpened    = say.Define("transfer.col_opened", "day the job was opened")
	helpClosed    = say.Define("transfer.col_closed", "day it was closed")
	helpResult    = say.Define("transfer.col_result", "what came of it")
	helpCause     = say.Define("transfer.col_cause", "cause, by its id")
	helpConfirmed = say.Define("transfer.col_confirmed", "whether the cause was confirmed")
	helpCost      = say.Define("transfer.col_cost", "what it cost")
	helpCurrency  = say.Define("transfer.col_currency", "currency")
	helpItem      = say.Define("transfer.col_item", "number or short name on the shelf")
	helpName      = say.Define("transfer.col_name", "what people call it")
	helpPart      = say.Define("transfer.col_part", "part of the model sheet")
	helpCount     = say.Define("transfer.col_count", "pieces on the shelf")
	helpMinimum   = say.Define("transfer.col_minimum", "fewer than this are too few")
	helpPrice     = say.Define("transfer.col_price", "price of one")
	helpTime      = say.Define("transfer.col_time", "age at failure, or the age reached")
	helpStatus    = say.Define("transfer.col_status", "failed or running (1 or 0)")
	helpTimeHigh  = say.Define("transfer.col_time_high", "end of the interval in which it failed, when only that is known")
	helpEntry     = say.Define("transfer.col_entry", "age at which watching began")
	helpMany      = say.Define("transfer.col_many", "how many parts alike")
	helpMode      = say.Define("transfer.col_mode", "mode in which it failed")
	helpGroup     = say.Define("transfer.col_group", "group it is compared in")
)

var (
	stateWords  = []string{"as-found", "as-left"}
	statusWords = []string{"failed", "running"}
)

var columns = map[Subject][]Column{
	Pumps: {
		{Name: "serial", Kind: TextColumn, Needed: true, Help: helpSerial.With(), also: []string{"serial number", "machine"}},
		{Name: "tag", Kind: TextColumn, Help: helpTag.With(), also: []string{"position"}},
		{Name: "place", Kind: TextColumn, Help: helpPlace.With(), also: []string{"site", "location", "plant"}},
		{Name: "owner", Kind: TextColumn, Help: helpOwner.With(), also: []string{"customer"}},
		{Name: "model", Kind: TextColumn, Help: helpModel.With(), also: []string{"sheet", "model sheet", "type"}},
		{Name: "installed", Kind: DayColumn, Help: helpInstalled.With(), also: []string{"installed on", "start"}},
		{Name: "new", Kind: YesColumn, Help: helpNew.With()},
		{Name: "hours", Kind: NumberColumn, Help: helpHours.With(), also: []string{"running hours", "meter"}},
		{Name: "hours on", Kind: DayColumn, Help: helpHoursOn.With(), also: []string{"meter read on"}},
		{Name: "hours a year", Kind: NumberColumn, Help: helpYearly.With(), also: []string{"hours per year"}},
	},
	Readings: {
		{Name: "job", Kind: TextColumn, Needed: true, Help: helpJob.With(), also: []string{"job number"}},
		{Name: "feature", Kind: TextColumn, Needed: true, Help: helpFeature.With(), also: []string{"dimension"}},
		{Name: "state", Kind: WordColumn, Words: stateWords, Help: helpState.With()},
		{Name: "plane", Kind: TextColumn, Help: helpPlane.With()},
		{Name: "angle", Kind: NumberColumn, Help: helpAngle.With()},
		{Name: "value", Kind: QuantityColumn, Needed: true, Help: helpValue.With(), also: []string{"reading", "measured"}},
		{Name: "unit", Kind: TextColumn, Help: helpUnit.With(), also: []string{"units"}},
		{Name: "instrument", Kind: TextColumn, Help: helpInstr.With(), also: []string{"gauge"}},
		{Name: "day", Kind: DayColumn, Help: helpDay.With(), also: []string{"date", "read on"}},
		{Name: "repeat", Kind: CountColumn, Help: helpRepeat.With()},
		{Name: "note", Kind: TextColumn, Help: helpNote.With(), also: []string{"remark"}},
	},
	Jobs: {
		{Name: "job", Kind: TextColumn, Needed: true, Help: helpJob.With(), also: []string{"job number"}},
		{Name: "serial", Kind: TextColumn, Help: helpSerial.With(), also: []string{"serial number", "machine"}},
		{Name: "tag", Kind: TextColumn, Help: helpTag.With(), also: []string{"position"}},
		{Name: "owner", Kind: TextColumn, Help: helpOwner.With(), also: []string{"customer"}},
		{Name: "place", Kind: TextColumn, Help: helpPlace.With(), also: []string{"site", "location", "plant"}},
		{Name: "model", Kind: TextColumn, Help: helpModel.With(), also: []string{"sheet", "model sheet", "type"}},
		{Name: "complaint", Kind: TextColumn, Help: helpComplaint.With(), also: []string{"reason"}},
		{Name: "opened", Kind: DayColumn, Needed: true, Help: helpOpened.With(), also: []string{"received", "date in"}},
		{Name: "closed", Kind: DayColumn, Help: helpClosed.With(), also: []string{"finished", "date out"}},
		{Name: "result", Kind: TextColumn, Help: helpResult.With()},
		{Name: "cause", Kind: TextColumn, Help: helpCause.With()},
		{Name: "confirmed", Kind: YesColumn, Help: helpConfirmed.With()},
		{Name: "cost", Kind: NumberColumn, Help: helpCost.With(), also: []string{"total", "price"}},
		{Name: "currency", Kind: TextColumn, Help: helpCurrency.With()},
	},
	Stock: {
		{Name: "item", Kind: TextColumn, Needed: true, Help: helpItem.With(), also: []string{"number", "article"}},
		{Name: "name", Kind: TextColumn, Help: helpName.With(), also: []string{"description"}},
		{Name: "model", Kind: TextColumn, Help: helpModel.With(), also: []string{"sheet", "model sheet"}},
		{Name: "part", Kind: TextColumn, Help: helpPart.With()},
		{Name: "count", Kind: CountColumn, Needed: true, Help: helpCount.With(), also: []string{"pieces", "quantity", "on hand"}},
		{Name: "minimum", Kind: CountColumn, Help: helpMinimum.With()},
		{Name: "price", Kind: NumberColumn, Help: helpPrice.With()},
		{Name: "currency", Kind: TextColumn, Help: helpCurrency.With()},
		{Name: "place", Kind: TextColumn, Help: helpPlace.With(), also: []string{"shelf", "location"}},
		{Name: "day", Kind: DayColumn, Help: helpDay.With(), also: []string{"date", "counted on"}},
	},
	Lives: {
		{Name: "time", Kind: NumberColumn, Needed: true, Help: helpTime.With(), also: []string{"age", "hours"}},
		{Name: "status", Kind: WordColumn, Words: statusWords, Help: helpStatus.With(), also: []string{"failed", "event"}},
		{Name: "time high", Kind: NumberColumn, Help: helpTimeHigh.With(), also: []string{"until"}},
		{Name: "entry", Kind: NumberColumn, Help: helpEntry.With(), also: []string{"from age"}},
		{Name: "count", Kind: NumberColumn, Help: helpMany.With(), also: []string{"parts alike"}},
		{Name: "mode", Kind: TextColumn, Help: helpMode.With(), also: []string{"cause"}},
		{Name: "group", Kind: TextColumn, Help: helpGroup.With(), also: []string{"liquid"}},
		{Name: "part", Kind: TextColumn, Help: helpPart.With()},
		{Name: "serial", Kind: TextColumn, Help: helpSerial.With(), also: []string{"serial number", "machine"}},
	},
}

// Columns lists the columns of a subject.
func Columns(s Subject) []Column { return columns[s] }

// Mapping says in which column of the file (by its name there) each of the
// subject's columns stands.
type Mapping map[string]string

// Guess maps the columns whose names fit, whatever their case, spaces and
// signs.
func Guess(s Subject, names []string) Mapping {
	there := map[string]string{}
	for i := len(names) - 1; i >= 0; i-- {
		there[plainName(names[i])] = names[i]
	}
	m := Mapping{}
	taken := map[string]bool{}
	for pass := range 2 { // own names before other ones
		for _, c := range columns[s] {
			if m[c.Name] != "" {
				continue
			}
			tries := c.also
			if pass == 0 {
				tries = []string{c.Name}
			}
			for _, name := range tries {
				if have, ok := there[plainName(name)]; ok && !taken[have] {
					m[c.Name] = have
					taken[have] = true
					break
				}
			}
		}
	}
	return m
}

// plainName is a name without case, spaces and signs.
func plainName(name string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return unicode.ToLower(r)
		}
		return -1
	}, name)
}
