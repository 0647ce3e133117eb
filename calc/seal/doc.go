// Package seal answers what a shaft seal needs: the load and heat of a pair of
// faces, the working length of the spring and the place where the collar is
// set, how flat the faces are, what the machine must be like before a seal
// goes in, which elastomer and face stand the liquid, and the rings of a
// stuffing box and the shaft of a lip seal.
//
//	face.go        balance, closing and opening force, PV, heat, flush flow
//	setting.go     spring, set position and the chain behind it
//	flatness.go    light bands
//	machine.go     run-out, squareness, float before a seal goes in
//	advice.go      elastomers and faces against liquid and temperature: advice
//	packing.go     rings, cuts, staggering, leak-off
//	lip.go         shaft finish, hardness, run-out, pressure
//	assembly.go    the steps against the clock
package seal
