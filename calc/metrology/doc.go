// Package metrology says how good a reading is and what may be decided with
// it: readings at places of a part, instruments and their calibration, budgets
// of uncertainty (linear and by drawing samples), go and no-go readings,
// decisions against limits, and studies of a gauge with its users.
//
// The terms are those of JCGM 100 (GUM), JCGM 101 (its first supplement) and
// JCGM 106. The uncertainty of a place comes from repeats at that place, the
// resolution and the calibration; the spread over places is wear.
//
// Numbers whose dimension is known only when the program runs stand in the SI
// unit of a quantity.Dimension that is named beside them.
package metrology
