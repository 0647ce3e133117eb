// Package fit answers what a bore and a shaft do to each other: limits and
// fits by class, the interference of measured parts, the press fit cold and
// hot, and the temperature that lets a part drop in.
//
//	zones, err := fit.Parse("50 H7/s6")        // ISO 286-1, limits of both parts
//	inch, err := fit.Parse("2 in FN2")         // ANSI B4.1, as far as the table is here
//	press, err := fit.Press(fit.PressInput{…}) // Lamé rings in plane stress
//	oven, err := fit.Shrink(fit.ShrinkInput{…})
//
// Sign: a clearance is positive, an interference is negative, except where a
// field is called interference, which is positive when the parts overlap. All
// interferences and clearances are diametral.
//
// A class or size that is not in a published table is refused, never
// calculated from the older rounding formulas: those do not reproduce the
// table.
package fit
