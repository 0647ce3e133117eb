package transfer

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

var (
	msgNeeded     = say.Define("transfer.needed", "this cell must not be empty")
	msgFormula    = say.Define("transfer.formula", "the cell holds a formula, not a value")
	msgPasteValue = say.Define("transfer.paste_value", "put in the value itself")
	msgBadDay     = say.Define("transfer.bad_day", "this is no day that can be read without doubt")
	msgWriteDay   = say.Define("transfer.write_day", "write days as 2026-09-30")
	msgDayRange   = say.Define("transfer.day_range", "a day from 1950 to 2199")
	msgBadWord    = say.Define("transfer.bad_word", "this word is not known here")
	msgWordsAre   = say.Define("transfer.words_are", "the words are {words:list}")
	msgWhole      = say.Define("transfer.whole", "this must be a whole number from 0 on")
	msgFinite     = say.Define("transfer.finite", "this must be a finite number")
	msgTooLong    = say.Define("transfer.too_long", "the text is longer than {most:count} signs")
)

// longestText is the longest text of a cell.
const longestText = 4000

// cells reads the cells of one row by the names of the subject's columns; the
// first thing wrong with each cell is kept.
type cells struct {
	subject  Subject
	place    map[string]int // column → cell
	row      Row
	sheet    bool
	problems []RowProblem
}

func (c *cells) refuse(column string, text string, message, accepted say.Message) {
	c.problems = append(c.problems, RowProblem{Line: c.row.Line, Column: column, Problem: say.Refuse(column, text, message, accepted)})
}

func (c *cells) wrong(column string, err error) {
	if p := say.AsProblem(err); p != nil {
		if slices.ContainsFunc(columns[c.subject], func(k Column) bool { return k.Name == p.Field }) {
			column = p.Field
		}
		copied := *p
		copied.Field = column
		c.problems = append(c.problems, RowProblem{Line: c.row.Line, Column: column, Problem: &copied})
		return
	}
	c.refuse(column, "", say.Plain(err.Error()), say.Message{})
}

// text returns a cell, "" when there is none. Formulas are refused.
func (c *cells) text(column string) string {
	i, there := c.place[column]
	if !there || i >= len(c.row.Cells) {
		return ""
	}
	text := c.row.Cells[i]
	switch {
	case i < len(c.row.Formula) && c.row.Formula[i]:
		c.refuse(column, text, msgFormula.With(), msgPasteValue.With())
		return ""
	case len(text) > longestText:
		c.refuse(column, text[:40]+" …", msgTooLong.With(longestText), say.Message{})
		return ""
	}
	return text
}

// needed returns a cell that must not be empty.
func (c *cells) needed(column string) string {
	before := len(c.problems)
	text := c.text(column)
	if text == "" && len(c.problems) == before {
		c.refuse(column, "", msgNeeded.With(), say.Message{})
	}
	return text
}

// number returns a plain number and whether there is one.
func (c *cells) number(column string) (float64, bool) {
	text := c.text(column)
	if text == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		v, err = quantity.ReadNumber(text)
	}
	if err != nil {
		c.wrong(column, err)
		return 0, false
	}
	if math.IsNaN(v) || math.IsInf(v, 0) {
		c.refuse(column, text, msgFinite.With(), say.Message{})
		return 0, false
	}
	return v, true
}

func (c *cells) count(column string) (int, bool) {
	v, ok := c.number(column)
	if !ok {
		return 0, false
	}
	if v != math.Trunc(v) || v < 0 || v > 1e9 {
		c.refuse(column, c.text(column), msgWhole.With(), say.Message{})
		return 0, false
	}
	return int(v), true
}

func (c *cells) yes(column string) bool {
	switch strings.ToLower(c.text(column)) {
	case "", "no", "n", "0", "false", "–", "-":
		return false
	case "yes", "y", "1", "true", "x":
		return true
	}
	c.refuse(column, c.text(column), msgBadWord.With(), msgWordsAre.With([]string{"yes", "no"}))
	return false
}

// day returns a day, 0 when there is none. Only the order year-month-day is
// read from text: any other can be read in two ways.
func (c *cells) day(column string) record.Time {
	text := c.text(column)
	if text == "" {
		return 0
	}
	var at time.Time
	var err error
	if c.sheet {
		if serial, bad := strconv.ParseFloat(text, 64); bad == nil {
			at, err = excelize.ExcelDateToTime(serial, false)
			return c.inRange(column, text, at, err)
		}
	}
	for _, form := range []string{time.DateOnly, time.RFC3339, "2006-01-02 15:04", "2006-01-02T15:04", "2006-01-02 15:04:05"} {
		if at, err = time.Parse(form, text); err == nil {
			break
		}
	}
	return c.inRange(column, text, at, err)
}

func (c *cells) inRange(column, text string, at time.Time, err error) record.Time {
	if err != nil {
		c.refuse(column, text, msgBadDay.With(), msgWriteDay.With())
		return 0
	}
	if at.Year() < 1950 || at.Year() > 2199 {
		c.refuse(column, text, msgBadDay.With(), msgDayRange.With())
		return 0
	}
	return record.TimeOf(at)
}

// withUnit gives a number of a column its unit, where it has none, and refuses
// what is no quantity.
func (c *cells) withUnit(column, text, unitColumn string) string {
	if text == "" {
		return ""
	}
	if unit := c.text(unitColumn); unit != "" {
		if _, err := quantity.ReadNumber(text); err == nil {
			text += " " + unit
		}
	}
	if _, err := fields.ParseAny(text); err != nil {
		c.wrong(column, err)
		return ""
	}
	return text
}

// measured reads a value, or the two feeler leaves between which it lies: the
// thickest that goes and the thinnest that does not, "0.35 mm … 0.40 mm", with
// one of them "≥ 0.35 mm" or "< 0.40 mm".
func (c *cells) measured(column, unitColumn string) job.Value {
	text := c.needed(column)
	goes, noGo, both := strings.Cut(strings.ReplaceAll(text, "...", "…"), "…")
	switch {
	case both:
	case strings.HasPrefix(text, "<"):
		goes, noGo = "", text[1:]
	case strings.HasPrefix(text, ">"), strings.HasPrefix(text, "≥"):
		goes = strings.TrimLeft(text, ">≥")
	default:
		return job.Value{Text: c.withUnit(column, text, unitColumn)}
	}
	v := job.Value{Goes: c.withUnit(column, strings.TrimSpace(goes), unitColumn), NoGo: c.withUnit(column, strings.TrimSpace(noGo), unitColumn)}
	if v.Goes == "" && v.NoGo == "" {
		c.refuse(column, text, msgNoLeaf.With(), msgWriteLeaves.With())
	}
	return v
}

var (
	msgNoLeaf      = say.Define("transfer.no_leaf", "neither leaf can be read")
	msgWriteLeaves = say.Define("transfer.write_leaves", "write the leaf that goes and the one that does not, as 0.35 mm … 0.40 mm")
)

// word returns one of some words, the first when the cell is empty.
func (c *cells) word(column string, words []string) string {
	text := c.text(column)
	if text == "" {
		return words[0]
	}
	for _, w := range words {
		if plainName(w) == plainName(text) {
			return w
		}
	}
	c.refuse(column, text, msgBadWord.With(), msgWordsAre.With(words))
	return words[0]
}
