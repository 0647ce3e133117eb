// Package close is the page on which the pump is closed: the window, what the
// stack should give and what was measured on one scale; the stack as layers;
// what to add and take out since the last trial; the trial itself. The
// manual's own value and page always stand beside it.
package close
