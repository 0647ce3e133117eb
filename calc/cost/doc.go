// Package cost compares courses of action over the life of a pump: repair
// against replace, this pump against that one, energy and slip included.
//
// Money of later years is brought to today with the real rate, so that yearly
// costs are written in today's money:
//
//	r = (1 + i)/(1 + p) − 1,   PV = C₀ + Σ_t C_t/(1 + r)^t
//
// i is the discount rate, p the inflation, t the end of each year. (The rough
// rule i − p gives another, lower number; it is not used here.) One currency
// throughout; the package knows no exchange rates.
//
// Hinges tells on which number the choice depends: what difference each input
// makes over its range, and the value at which the choice turns round.
package cost
