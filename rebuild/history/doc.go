// Package history follows pumps over their rebuilds. A tag is a place, a
// serial is a machine, and both are followed: the same machine may stand at
// another place after a rebuild, and another machine at its place.
//
//	what a pump's own stream says      FoldPump → Pump: stays, running-hour meter
//	one job in short                   Summarise → Summary
//	one machine over its jobs          NewMachine → Machine: intervals, tracks, changes
//	when again                         Forecasts, DueList (assess/due)
//	many machines                      NewFleet → Fleet.Page: lives of parts, worst actors, cost
//
// Hours of running come from the meter; where it has no entry, from the hours
// a year of the service, and it is said which. A meter that was exchanged or
// turned over is carried on by a meter-reset entry; hours that run backwards
// without one are kept out and said.
//
// A pump that comes back within weeks of a rebuild is an infant failure of
// that rebuild. It counts against the rebuild, not as wear: its readings enter
// no trend and its hours no wear-out life.
//
// Everything is computed from summaries, so that a page over many thousand
// jobs need not fold one of them again. A summary is never stored as truth.
package history
