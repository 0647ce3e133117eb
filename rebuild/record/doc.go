// Package record holds entries: what somebody wrote down, once and for good.
//
// An entry belongs to a stream (a job, a pump, the stock, an instrument) and
// has its place in it (Seq, counted from 1). Nothing is overwritten: a wrong
// entry is voided by a later one. Each entry carries the hash of the one
// before it, so that a file which was cut, edited or reordered says so.
//
// The same form serves the file (JSON Lines, one entry a line), the store and
// the archive. The hash runs over the stored bytes of every field, each with
// its length in front, so no two different entries share a spelling:
//
//	hash = SHA-256( len(id) id len(stream) stream len(seq) seq … len(prev) prev )
//
// Numbers are written in decimal, times as whole microseconds since 1970-01-01
// UTC. The body is canonical JSON: keys sorted, no white space, numbers as
// they were written.
//
// This package knows no kind's meaning; package job and package ledger do.
package record
