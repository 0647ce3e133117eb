// Package quantity holds the physical quantities of the trade: one Go type for
// each dimension, SI inside, with the units that people write at the edges.
//
// A function that takes a Length cannot be handed a Pressure, a temperature is
// not a temperature difference, and an absolute pressure is not a pressure
// difference. Gauge pressure is a difference to the surroundings.
//
// Reading keeps what was typed: Given holds the value together with the text,
// the unit and the resolution (the worth of the last digit). What could be
// read in two ways is refused with a say.Problem that says how to write it.
//
// Showing follows a say.Style: millimetres or inches, bar or psi, with the
// digits that the trade uses and never more than an uncertainty supports.
package quantity
