// Package cover finds the set of kits, loose parts and pieces of work that
// covers what a rebuild needs: the cheapest, the soonest, the one that leaves
// least over, or the one with the least total of price and waiting. The answer
// is exact; a question that takes more work than mostEffort gets the best that
// was found, says that it is not proved, and how low another could be.
//
// The problem is a covering problem in whole numbers:
//
//	min Σ price_o x_o   with   Σ a_po x_o ≥ need_p,   0 ≤ x_o ≤ stock_o
//
// It is solved by branch and bound; the bound of each branch is the linear
// relaxation, solved by the dual simplex method, which starts again from the
// parent's basis and needs few steps. The conditions are made tighter by
// rounding (Chvátal–Gomory). Columns whose reduced cost alone takes
// them past the best answer found are fixed.
//
// An offer may be work as well as parts: "bore and sleeve" covers the part
// "idler bore" like a new one does. What no offer covers is named and the rest
// is covered all the same.
package cover
