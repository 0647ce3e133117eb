package identify

import (
	"strings"
	"unicode"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgReadCount = say.Define("identify.read_count", "this is no count")
	msgReadUnit  = say.Define("identify.read_unit", "write it such as 79 mm, or 79 ± 1 mm when you know how sure it is")
)

// Read reads a measurement as it is typed: a size with its unit, perhaps with
// its standard uncertainty (79 ± 1 mm), a count, or the word of a look. A bare
// number has the unit given. Errors: a Problem whose field is the id.
func (w *What) Read(text, unit string) (Measurement, error) {
	m := Measurement{What: w.ID}
	text = strings.TrimSpace(text)
	switch {
	case w.Words != nil:
		m.Word = text
		return m, nil
	case w.Count():
		n, err := quantity.ReadNumber(text)
		if err != nil {
			return m, say.Refuse(w.ID, text, msgReadCount.With(), say.Message{})
		}
		m.Value = n
		return m, nil
	}
	size, sure, both := strings.Cut(strings.ReplaceAll(text, "+-", "±"), "±")
	size, sure = strings.TrimSpace(size), strings.TrimSpace(sure)
	if both {
		if u := unitOf(sure); u != "" {
			unit = u
		} else {
			sure += " " + unit
		}
	}
	if unitOf(size) == "" {
		size += " " + unit
	}
	e, err := quantity.Parse(w.Dimension, size)
	if err != nil {
		return m, say.Refuse(w.ID, text, problemText(err), msgReadUnit.With())
	}
	m.Value = e.SI
	if both {
		u, err := quantity.Parse(w.Dimension, sure)
		if err != nil {
			return m, say.Refuse(w.ID, text, problemText(err), msgReadUnit.With())
		}
		m.U = u.SI
	}
	return m, nil
}

// unitOf is what stands behind the number of a text.
func unitOf(text string) string {
	return strings.TrimSpace(strings.TrimLeftFunc(text, func(r rune) bool {
		return unicode.IsDigit(r) || unicode.IsSpace(r) || strings.ContainsRune(".,-+/⁄½¼¾⅛⅜⅝⅞", r)
	}))
}

func problemText(err error) say.Message {
	if p := say.AsProblem(err); p != nil {
		return p.Message
	}
	return say.Plain(err.Error())
}
