// Package clearance is the chapter of an assessment about the end clearance
// and its neighbours: cold from the readings, as found, at service
// temperature, the window that is wanted, and the stack of gaskets (or the
// turn of the bearing housing) that sets it.
//
// The manual's window wins unless a lead signs a limit for the end clearance;
// its row is picked by the viscosity at normal pumping temperature and by the
// temperature. What liquid, temperature and slip ask for is computed and shown
// beside it, and rules where the sheet has no rows. The stack aims at the
// limits without their guard, for it counts the uncertainty itself. What the
// heat does to the clearance is said when it closes.
package clearance
