// Package transfer moves things between the program and files: job files
// (JSON Lines, appended so that a power cut leaves the old or the new file and
// never half a line) and the JSON form of an assessment.
//
// A file is never edited in place. Its new content is written beside it,
// flushed to the disk and put in its place in one step. Two writers of one
// file wait for each other by a lock that the operating system lets go of when
// its holder ends, however it ends: no lock is ever left behind stale.
package transfer
