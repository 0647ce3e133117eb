// Package ledger holds what a shop knows besides its jobs: instruments and
// their calibration, stock, limits of a site, names of people. A job copies
// what it used of it into a basis entry, so that its answers can be computed
// again from the job alone.
package ledger
