// Package gearset holds the gears of an internal gear pump with crescent: the
// toothed rotor (teeth inside), the idler (teeth outside) that runs in it, and
// the crescent between them.
//
// From tooth numbers, module, pressure angle and tooth heights it gives every
// dimension of the pair, whether plain involute teeth of these numbers can
// run at all (the gates), the displacement and the flow ripple, and outlines
// for drawings. For a pump whose teeth are not known it gives displacement
// from four measured lengths, or from a rating, with its uncertainty.
//
// The idler sits off centre towards the mesh; the crescent fills the far
// side. Drawings have the rotor centre at the origin and the mesh on +x.
//
// A gate that fails says that the teeth are not plain involutes of these
// numbers, never that the pump on the bench is wrong: its maker may have cut
// another curve. Closed form and fallback need only circles and still hold.
package gearset
