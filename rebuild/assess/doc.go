// Package assess says what a job means: parts to reuse and replace with
// reasons, clearances cold and hot, the stack of gaskets, what is missing,
// what comes next, what must be signed.
//
//	Assess(Inputs) → Assessment
//
// It is pure: the same inputs give the same answer, on one core or two, today
// or in ten years. It is the only place where package calc meets a job. The
// work is done in chapters, a room each; Keeper keeps those whose inputs have
// not changed.
package assess
