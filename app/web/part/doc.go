// Package part holds the pieces that pages share: a number with its unit, the
// state of a feature with its shape, the bar from new to limit, cautions, the
// tree behind a number, the fields of an entry, number pad, feeler leaves,
// drawings.
//
// A piece shows what it is given; none computes. The package knows no server
// and no shop and also builds for js/wasm, so that a tablet without network
// can show the same answers from the same code.
//
// # Fields of an entry
//
// The name of a field says where its value goes in the body of the entry: a
// letter for the kind of value, then a JSON Pointer (RFC 6901):
//
//	t/values/0/text     text
//	n/minutes           number
//	b/after_torque      yes or no
//	k/marks/0/shape     text without which its place of the list is left out
//	u/values/0/text     unit, put behind a text at that place that is a bare number
//
// Fields without such a name steer: id, kind, at, seen, confirmed, next.
// Body reads a form so; the script of the page reads it the same way.
package part
