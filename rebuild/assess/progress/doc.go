// Package progress is the chapter of an assessment about where the job stands:
// which steps are done, what is missing in the order in which the bench needs
// it, which signatures are open, and what comes next.
//
// What can no longer be read or done once the head is off, or once the seal is
// out, stands before that step as a hard stop: only the reading or a reason in
// writing passes it.
package progress
