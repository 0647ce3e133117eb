package say

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

// Catalogue gives the words of a message id in another language.
// A nil Catalogue means English, the words in the source.
type Catalogue interface {
	// Words returns the words with slots for a message id, and whether there
	// are any.
	Words(id string) (string, bool)
	// Decimal returns the decimal mark of the language.
	Decimal() string
}

// Style says how messages and quantities are shown to one person.
// The zero Style is metric, English.
type Style struct {
	Units     Units
	Catalogue Catalogue
}

// Shower is anything that knows how to show itself in a style: every quantity,
// every Message.
type Shower interface {
	Show(Style) string
}
