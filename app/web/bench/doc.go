// Package bench is the job at the bench: the pump drawn to scale, what is to
// be done or read now, and what is known so far.
//
// A step has one page. A reading that the step asks for is taken place by
// place: the entry leads back to the page of the step, which asks for the next
// place that is missing, until all are read. Every page has its own address,
// so that a scanned label, a tap on the drawing and the back key all work.
package bench
