// Package knowledge holds what the trade knows about failures, as data: the
// causes (C01 …), the items of evidence (E01 …) with what they look like and
// where to look, how strongly one speaks for the other, and the codes of
// ISO 14224:2016 that fit.
//
// The data are YAML files beside the code and are embedded. Read takes the
// same files from another place, so that a shop can edit them; a file that it
// does not have comes from the embedded set. Everything is checked when read:
// ids, references between the files, and codes.
//
// Findings are entered by id. An id that is not known is refused with the ids
// that are near it.
package knowledge
