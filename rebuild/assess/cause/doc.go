// Package cause is the chapter of an assessment about the failure: why it
// happened, how sure that is, and which look tells most.
//
// It takes what people found, and besides the readings themselves, without
// anybody ticking them: a pin worn on one side, a belled bushing, grooves in
// the head, run-out, end play, the length of the seal, the end clearance
// against its window, alignment as found, relief valve, suction, speed,
// pressure and viscosity against what the pump is made for. Each such fact
// names the item of evidence that it stands for, or the confirming check of a
// cause, with the strength it counts with:
//
//	strength = P(the number lies beyond its mark) · worth
//
// The chance comes from the number and its standard uncertainty. The worth
// says how well the number stands for the item: 1 where the reading is the
// item (run-out over its limit), less where it is indirect (a diameter shows
// that a pin is worn on one side, not on which). Worths and marks are our own
// convention, shown with each fact.
//
// A number that is clearly inside its mark counts as looked for and absent; one
// near it counts as nothing and is listed. Where a reading and a written
// finding disagree the reading counts, and the contradiction is shown.
//
// The chapter is computed when a place asks for it, never after each reading.
package cause
