// Package delivery is the chapter of an assessment about what the pump
// delivers: as found, as left, as new, at the service point and over pressure,
// with bands; where it slips; what each worn part costs; what the lost flow
// and energy cost in a year; and whether drive, relief valve and suction stand
// it.
//
// A band holds the uncertainty of the clearances, the place of the rotor in
// its bore (ε_od from 0 to 0.8), the model itself, and of a fit where bench
// points were accepted. Wherever slip is shown the chapter says that no
// published measurement proves the leak paths of a whole pump, and asks for a
// bench point.
//
// Without tooth data there is the displacement from the rating and the
// two-number model of the bench test; no share by part is then known.
package delivery
