// Package language holds the texts of the program in other languages than
// English: one file for each language in the folder words, in the open format
// PO of gettext.
//
//	msgctxt "chain.clearance_tight"
//	msgid "end clearance {gap:length} is below the lower limit {limit:length}"
//	msgstr "das Axialspiel {gap:length} liegt unter der unteren Grenze {limit:length}"
//
// msgctxt is the id of the message, msgid its English words, msgstr the words
// of the language. The slots of a translation are those of the English words, in
// any order; the forms of a count stand inside its slot, as many as the header
// says: {n:count|Dichtung|Dichtungen}. An empty msgstr and one that is marked
// fuzzy show in English.
//
// The header names the language (Language), what it calls itself (X-Name), how
// it chooses between forms (Plural-Forms), its decimal mark (X-Decimal) and how
// it writes a day (X-Date, such as DD.MM.YYYY).
//
// A further language is one further file: `go test . -run TestLanguages -update`
// fills a file that has only a header with every message that is to be worded.
// A file is read when its language is asked for first, so that nobody waits for
// a language that nobody reads.
package language
