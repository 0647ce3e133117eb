package say

import "strings"

// Units is the family of units a person reads.
type Units uint8

// The unit systems of the trade.
const (
	Metric Units = iota
	Inch
)

// String returns the name used on the command line and in stored preferences.
func (u Units) String() string {
	if u == Inch {
		return "inch"
	}
	return "metric"
}

// Catalogue gives the words of a message id in another language, and the ways
// in which the language writes. A nil Catalogue means English, the words in the
// source.
type Catalogue interface {
	// Language returns the tag of the language (BCP 47): de, es.
	Language() string
	// Words returns the words with slots for a message id, and whether there
	// are any.
	Words(id string) (string, bool)
	// Plural returns which of the forms of a count slot goes with a number.
	Plural(n int) int
	// Decimal returns the decimal mark of the language.
	Decimal() string
	// Date prints a day.
	Date(year, month, day int) string
}

// Style says how messages and quantities are shown to one person.
// The zero Style is metric, English.
type Style struct {
	Units     Units
	Catalogue Catalogue
}

// Language returns the tag of the language (BCP 47).
func (s Style) Language() string {
	if s.Catalogue == nil {
		return "en"
	}
	return s.Catalogue.Language()
}

// Mark returns the decimal mark.
func (s Style) Mark() string {
	if s.Catalogue == nil {
		return "."
	}
	return s.Catalogue.Decimal()
}

// Decimal writes a number that has a decimal point with the decimal mark of
// the language.
func (s Style) Decimal(number string) string {
	if mark := s.Mark(); mark != "." {
		return strings.ReplaceAll(number, ".", mark)
	}
	return number
}

// Shower is anything that knows how to show itself in a style: every quantity,
// every Message.
type Shower interface {
	Show(Style) string
}
