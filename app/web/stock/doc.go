// Package stock is the place of the parts stock: what lies there, what is kept
// for jobs, what is below its minimum; every movement, and a count that puts the
// record right with a reason.
package stock
