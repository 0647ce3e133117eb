// Package gasket finds the stack of head gaskets that sets the end clearance,
// before the pump is closed and after each trial.
//
//   - Belief is what is known of the present clearance: a dial reading, two
//     feeler leaves, the depths of the open pump, or several together.
//   - Solve finds the best stack out of what is on the shelf, exactly: every
//     stack that could matter is looked at.
//   - Learn finds the clearance without gaskets and the real compression from
//     trial assemblies.
//   - Housing turns an adjustable bearing housing instead.
//
// The clearance after a change of the stack is
//
//	s_new = s_now + Σ (x − x⁰)·t·(1 − κ)
//
// with counts x now and x⁰ before, thickness t, compression κ. Every piece put
// in or taken out adds its own variance (tolerance/2)²; a piece that stays
// adds none.
//
// A stack begins and ends with a sealing gasket. Shims of metal behind the
// thrust bearing may set the clearance in its place or besides: they lie apart
// from the joint and open or close, by the side on which they lie. Too small a clearance is
// contact, too large a one is only slip: their chances are told apart.
package gasket
