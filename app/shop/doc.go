// Package shop holds every operation that a person or a program can do, each
// once: pages, the JSON interface and the command line call this and nothing
// below it.
//
// Each operation asks first whether the person may (Scope, package access),
// then works within the site of the scope only. What it returns about a job is
// what package assess says of the job's entries; nothing computed is stored
// but summaries that can be made again.
//
// The way of an entry: Add vets it, the store appends it, the job is folded
// and assessed again with what its keeper still has, a hint goes to everybody
// who watches the site, and the answer carries the new assessment.
package shop
