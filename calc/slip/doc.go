// Package slip predicts what a crescent internal gear pump delivers and what
// power it takes: from its teeth, its clearances, the liquid, speed and
// pressure.
//
// Every gap through which liquid can go back from discharge to suction is a
// path: past the mesh, past the crescent on the rotor's and on the idler's
// side, over the faces of the idler's body, along the end of the crescent,
// behind the rotor's disc. One law serves all gaps (laminar, with inlet and
// outlet loss, turbulent, with moving wall, for liquids that thin when
// sheared). Lands in series pass the same flow; gaps side by side share the
// same pressure.
//
//	Q = k_D D N − [k_s(q(Δp) − q₀) + q₀]
//
// q is the net leak of all paths and q₀ the same at no pressure: the walls
// drag more liquid to the discharge than back, so q₀ ≤ 0 and a thick liquid
// can show a volumetric efficiency above 1.
//
// What is proved and what is not: the law of a single gap agrees with measured
// flows through slots, ducts and an annular seal. No readable measurement
// joins the dimensions and clearances of a whole pump to its flow, so the list
// of paths, the number of lands in series and the missing pressure recovery
// between them are untested. Wherever a prediction is shown, NoBenchPoint says
// so and asks for a bench point; Calibrate fits the model to such points.
//
// Not in the model: bending of head and casing under pressure, heating inside
// a gap, starved filling (a gate only), gas, flow between the two sides of the
// crescent, and the relief valve.
package slip
