// Package reading is the chapter of an assessment about what was measured:
// each feature of the sheet in each state, put together from its readings,
// with its uncertainty, held against every limit that is known, and judged.
//
// Limits rank: the customer's or the site's, then the maker's as transcribed,
// then the shop's own, then a rule of thumb labelled so. The highest rank that
// is there governs; the others are shown.
//
// The uncertainty of a place comes from repeats at that place, resolution and
// calibration. The spread over places is wear. Means go into chains.
package reading
