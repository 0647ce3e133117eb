// Package bushing answers what a plain bushing does with its load: projected
// pressure, PV against the published limit of its material, the film it can
// carry, friction, heat and flow, and what clearance to ream to.
//
// The film comes from the Reynolds equation of a finite full journal bearing
// (film.go), solved beforehand over eccentricity and length ratio and read
// from a table (table.go), so that a pump can be assessed in microseconds.
//
//	film.go      the Reynolds equation with cavitation, solved directly
//	table.go     reading the solved table, forwards and for a given load
//	journal.go   a bushing with its load, speed and liquid: Assess
//	material.go  published PV limits
//	ream.go      the clearance to aim for
package bushing

//go:generate go run tabulate.go
