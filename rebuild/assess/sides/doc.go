// Package sides says which way a pump turns and on which side of it suction
// lies. Everything that asks for the suction side asks here: where the casing
// wears, where a bushing may have its groove, which way the relief valve
// returns, what the drawings show.
//
// Angles around the casing belong to the casting: 0° is the mesh as the sheet
// builds the pump, 90° the port that is suction at the sheet's own rotation.
// They stay where they are when a pump turns the other way or its head is
// turned by half a turn; FromMesh carries them over to what the pump does.
package sides
