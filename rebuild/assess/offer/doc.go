// Package offer is the chapter of an assessment about money: which kits, loose
// parts and work cover what is replaced, what the labour comes to, what
// waiting costs, and whether to rebuild, to rebuild with something better, or
// to replace.
//
// What is needed comes from the chapter about the parts, what can be had from
// the offers of the model sheet and from the shop's shelf. The cover is exact
// (package cover) for each of its aims. An offer that cannot be right (a
// negative price, another currency, nothing in it) is set aside and named; a
// part of a kit that the sheet does not know is left out and named; what
// nothing covers is named.
//
// The scope is unknown until every part is judged. Parts that are still to be
// read may be needed too: the sum is a range from what is sure to what may
// come.
//
//	waiting  per day = (price of lost output)·(flow)·(hours of running a day)
//	labour   = Σ (median of the shop, else standard hours of the sheet)·rate
//
// The comparison over the life needs prices and, for energy and lost output,
// numbers of the delivery of the pump, which the caller gives where it has
// them. What is missing is said and left out for all courses alike.
package offer
