// Package assembly is the chapter of an assessment about what lies between
// clean parts and a running pump: the press fits, the bolts, the films of the
// bushings, the shaft seal, the alignment, and the readings after the start.
//
//	press.go      interference, force, bore after pressing, what to ream to
//	bolts.go      torque, passes in their order, what was entered
//	film.go       load, PV and film of the bushings in service and at the start
//	seal.go       faces, working length, time before the elastomer grips
//	packing.go    packing and lip seals
//	alignment.go  alignment as found, as left and hot: moves and verdicts
//	running.go    readings in service, the baseline, what is to be checked when
//
// A number that cannot be known names what is missing. Nothing here says that
// a pump may be started: that belongs to the people licensed to do it.
package assembly
