// Package web shows the shop in a browser: server-rendered pages that work as
// plain forms, a small script of our own that keeps what is typed until it is
// saved and shows what others write, and nothing from any other host.
//
//	frame    what every page shares: visit, scope, sheet
//	part     pieces of pages; also for js/wasm
//	enter    set-up, signing in and out
//	list     the jobs by what they wait for
//	bench    the job at the bench
//	close    closing the pump
//
// A new place is a room with a function Place() and one line in places.go.
package web
