// Package clearance is the chapter of an assessment about the end clearance
// and its neighbours: cold from the readings, as found, at service
// temperature, the window that is wanted, and the stack of gaskets (or the
// turn of the bearing housing) that sets it.
//
// The manual's window wins unless a lead signs otherwise; its row is picked by
// the viscosity at normal pumping temperature and by the temperature. What the
// heat does to the clearance is shown beside it and said when it closes.
package clearance
