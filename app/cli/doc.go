// Package cli holds the commands: calculators, model sheets, job files and
// what a job means, for a terminal or for another program (--json).
//
// Run takes everything it touches as an Env, so that tests call it without a
// process. Answers go to Out, what went wrong to Err. The exit status tells a
// script what happened, see the constants of package calculator.
package cli
