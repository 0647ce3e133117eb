// Package align answers whether two shafts are in line and what to do about
// it: readings around a shaft, rim-and-face and reverse indicator sets, sag,
// thermal growth, moves at the feet, shims, soft foot, and the published
// tolerances for the speed.
//
//	runout.go     eccentricity and out-of-round from readings around a shaft
//	readings.go   four readings at the clock, their validity and the bar's sag
//	position.go   where the movable shaft lies: three ways to measure it
//	moves.go      growth, moves at the feet in numbers and in words
//	shim.go       shims from a stock, soft foot
//	tolerance.go  published tolerances by speed
//	change.go     as found against as left
//	drawing.go    both shafts to scale
//
// Directions, everywhere in this package: heights and moves are positive up;
// sideways is positive to the right as seen from the back of the movable
// machine, looking at the coupling. Positions along the shaft count from the
// plane of the movable rim towards the feet. Readings are positive when the
// dial's plunger is pushed in.
package align
