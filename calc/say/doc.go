// Package say holds every text that a person will read as a message: an id,
// the English words with named slots, and typed arguments.
//
// A message is made where something is found out; it becomes text only where
// it is shown, in the units and the language of the person who reads it. So
// nothing is worded twice and nothing is formatted too early.
//
//	var clearanceTight = say.Define("chain.clearance_tight",
//		"end clearance {gap:length} is below the lower limit {limit:length}")
//
//	msg := clearanceTight.With(gap, limit)
//	msg.Text(say.Style{Units: say.Inch}) // "end clearance 0.0040 in is below …"
//
// A slot is {name} or {name:kind}. Kinds: text (default), count, number,
// percent, message, list, or the name of a dimension of package quantity
// (length, temperature, …; pressure and viscosity for either kind, quantity for
// any). A count slot may choose a plural form:
// {n:count|gasket|gaskets} prints "1 gasket", "3 gaskets".
//
// Ids begin with the name of the package that defines them. A test of the
// whole module collects every Define, checks ids, slots and the number of
// arguments at each With, and renders each message in both unit systems.
package say
