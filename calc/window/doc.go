// Package window says between which limits the cold end clearance of a
// crescent pump may lie for its liquid and its temperatures, and what to aim
// at.
//
// The lower limit keeps rotor and head apart at the worst moment of the
// warm-up: what must remain, how much the gap closes, run-out, tilt, and how
// sure the reading is. The upper limit keeps the volumetric efficiency at the
// hardest duty. In between lies the target: where slip and drag together lose
// least, kept away from both limits.
//
//	lower = h_need − min_t Δs + a_th + w_g + TIR/2 + tilt/2 + k u
//	upper = running upper − Δs_steady − k u
//
// Moving the head moves the idler's float and the end of the crescent by the
// same amount; the radial gaps do not move, and where they close when hot no
// gasket helps.
//
// The limits with k = 0 go to whoever counts the uncertainty itself (the
// choice of gaskets); a finished reading is judged by the guarded ones. The
// manual's own window stands beside all of it and wins unless a lead signs
// otherwise.
//
// Source: derived here; the figures marked convention are starting values of
// this program, editable, with no source.
package window
