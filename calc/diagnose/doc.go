// Package diagnose ranks causes from what was found and what was looked for
// and not found. It knows nothing of pumps: causes and items of evidence are
// given to it.
//
// # The model
//
// Each cause j is at work as a root with the chance π_j, independent of the
// others. A root may bring about other causes (its consequences), and marks
// come from a cause itself or by way of its consequences:
//
//	reach(j, k) = 1 − Π over p → k (1 − reach(j, p)·link(p, k)),  reach(j, j) = 1
//	s_ij        = 1 − Π over k (1 − reach(j, k)·strength(i, k))
//
// Ranked is the chance that a cause is a root. So a cause is not beaten by its
// own consequence: it explains nearly all that the consequence explains, and
// its own marks besides.
//
// A mark is found by a noisy-OR with leak; each cause at work that the mark
// speaks against halves it:
//
//	P(found | S)  = (1 − (1 − leak)·Π over j in S (1 − s_ij)) · ½^(causes in S it speaks against)
//	P(absent | S) = (1 − leak)·Π over j in S (1 − s_ij)
//
// (A mark that was not found says nothing about causes it would have spoken
// against.) A finding that is trusted with t < 1 counts with the strengths
// t·s_ij and ½^t; a measured fact is trusted with 1.
//
// Items with one fact count once: the strongest of them stands for all.
//
// Sets of at most three causes are summed exactly; what larger sets could add
// is bounded from the weights of the smaller ones (the weights of this model
// are log-submodular: a further cause helps a larger set less than a smaller
// one) and stated.
//
// The next check is the one with the largest expected fall of entropy over the
// sets for each minute that it takes.
//
// Sources: noisy-OR, Pearl, Probabilistic Reasoning in Intelligent Systems,
// 1988; expected information, Lindley 1956; both from memory. The halving and
// the treatment of roots and facts are our own convention.
package diagnose
