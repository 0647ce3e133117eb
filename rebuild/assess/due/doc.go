// Package due says when a feature will reach its limit: the hours and the day,
// with the bounds between which that will lie.
//
// A part begins to wear when it is fitted: readings of the part before it tell
// a rate, not where this one stands. Each part has a rate of its own, spread
// about that of all sister parts in the same service; how far one part's own
// readings and how far the sisters count follows from how sure each is.
//
// What is asked is when the wear itself reaches the limit, not when one more
// reading might say so. The bounds hold the spread between parts, the
// uncertainty of readings and that of the family's mean; they do not hold a
// change of the service.
package due
