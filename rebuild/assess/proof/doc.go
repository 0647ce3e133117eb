// Package proof is the chapter of an assessment about the bench test: which
// points to run on the shop's stand and what they should read, which readings
// are evidence, what they teach about the pump, and whether the pump will do
// its service.
//
// A point without liquid, temperature and viscosity is kept and shown, and is
// no evidence. A flow far below the band of the model is no slip, and is
// looked for before anything is fitted to it. The verdict rests on the
// prediction at the service point with every part of its uncertainty; a bench
// flow or power is never a service figure.
//
// Accepted: the chance of meeting what is asked for is 0.95 or more. Refused:
// 0.05 or less. Between them, or without evidence: not shown. These figures
// are conventions of this program, no source.
package proof
