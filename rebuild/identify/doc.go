// Package identify answers which pump this is when the tag is missing: it
// ranks the model sheets of a shop against a few measurements and looks, and
// says which measurement would settle it. None of them is an answer.
//
// Each sheet is one hypothesis, none of them another. What was measured is
// independent given the model:
//
//	P(model | x) ∝ P(model) · Π P(x | model)
//	length, mass   N(x; nominal, u² + (r·nominal)² + a²)
//	count          0.97 for the number itself, 0.01 each for one more or less
//	look           0.9 for the word of the sheet
//	none           1/(x·ln 30) for a length: any size within a factor of 30 alike
//
// r and a say how far the metal lies from the drawing: castings and ports lie
// farther than turned parts, and worn parts lie off by their wear. A sheet that
// does not state a size is treated as knowing nothing of it.
//
// The next measurement is the one with the largest expected fall of entropy
// for each minute that it takes; what needs an open pump takes longer.
//
// Source: Bayes' rule; expected information, Lindley 1956, from memory. The
// spreads, the chances of a miscount and the share of none are our own
// convention.
package identify
