// Command load measures the pages of a shop with many jobs while tablets work
// at it: how long an entry takes until its answer is there, how long a page
// takes, how much memory and disk it needs, and how soon the first page comes
// after a start. Beside each stands what this machine can do at best: a handler
// that does nothing, and a bare insert with its commit.
//
//	go run ./bench/load -jobs 10000 -tablets 20 -for 20s
//	go run ./bench/load -jobs 10000 -database postgres://user@host/name -dir photos
//
// The shop is made of the invented fleet in a folder of its own and is served
// by a process of its own on loopback.
package main
