// Package pumpwright holds no code of its own. The tests beside this file
// watch over the whole module: which room may import which, and that every
// message a person can read is well formed.
package pumpwright
