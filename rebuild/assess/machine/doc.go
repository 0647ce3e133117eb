// Package machine puts the pump of a job together for the leak paths: as
// found, as left, as new. It is no chapter of its own; the window of the end
// clearance, the delivery and the bench test all start from it, so that they
// speak of the same pump.
//
// Every size that the leak paths know is either read on the part, taken as new
// where the part is new and not measured yet, or taken as new because nobody
// read it; which of the three stands with it.
//
//	c_od = (mean bore − mean rotor OD)/2
//	f_i  = s_e + pocket − idler width,  s_cr = s_e + pocket − crescent width
//
// The gaskets move end clearance, idler float and crescent end together.
package machine
