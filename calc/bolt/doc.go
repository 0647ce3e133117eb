// Package bolt answers how tight and in what order: stress areas and proof
// loads of metric and unified threads, torque from preload and friction with
// its scatter, passes and crossing sequence for the actual number of bolts,
// and the load on the gasket between.
//
//	thread, err := bolt.ParseThread("M12")   // also "M16x1.5", "1/2-13 UNC", "#10-24"
//	grade, err := bolt.FindGrade("8.8")      // also "SAE 5"
//	r, err := bolt.Tighten(bolt.Input{…})
//
// Torque is a poor measure of preload: the scatter of preload at one torque is
// a quarter to a third either way, and the result says so.
package bolt
