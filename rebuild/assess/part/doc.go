// Package part is the chapter of an assessment about the parts: what becomes
// of each, with the reasons.
//
// Wear goes in pairs, so decisions do: a pin with its bushing, a rotor with its
// idler, a seal with every gasket that is disturbed. Seals and gaskets are
// always renewed. What somebody has decided and written stands; where it goes
// against a limit that is said.
package part
