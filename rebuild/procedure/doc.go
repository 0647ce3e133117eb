// Package procedure holds the steps of a rebuild as data: what to do, what can
// hurt, what to read, who signs, and for which builds a step applies.
//
// Steps are texts of the trade kept in YAML so that a shop can read and change
// them; the words become messages with ids made from the ids of the steps.
// What is lost for ever at a step (when the head comes off, when the seal comes
// out) stands as a mark on the steps that must come before it.
package procedure
