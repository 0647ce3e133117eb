// Package fields reads what people write in YAML or JSON into Go structs of
// quantities, and describes such structs for help, forms and schemas.
//
// The path of a field is its name as written, places in lists counted from 0:
// points[2].temperature. Whatever is refused is a say.Problem that names this
// path, what was read and what would be accepted.
//
// Tags of a struct field:
//
//	json:"name"             the name as written
//	help:"…"                what it means, one line
//	default:"20 °C"         what holds when it is missing
//	optional:"yes"          it may be missing (a pointer may be missing too)
//	oneof:"a|b"             the words that a text takes, in any case
//	unit:"K/min|K per min"  units that may stand behind a plain number
//	pressure:"absolute"     an unmarked pressure is absolute by nature
//
// A quantity is read from text with its unit, a plain number only where the
// field has no dimension (and 0, which is the same in every unit). One value
// alone is a list of one; a fraction may be written with a percent sign.
package fields
