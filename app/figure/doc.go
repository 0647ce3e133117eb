// Package figure draws the pictures of the trade: the pump cut open and seen
// from the face, wear against limits, the gasket stack, the closing scale,
// where to measure, the order of bolts, curves of flow and power, slip by
// path, viscosity, the alignment of shafts, and the blank card for the bench.
//
// Each figure is a plain struct of dimensions and readings with one method,
//
//	Draw(say.Style) *draw.Drawing
//
// that shows lengths, pressures and flows in the units of the person and gives
// the drawing a title and a description with the same content in words. A
// figure knows no job; whoever has one fills the struct. What is not known is
// left zero or nil: the figure then leaves it out, or draws it in proportion
// and says so.
//
// Pictures are to scale unless they say otherwise. Clearances would be
// thinner than a line: they are drawn wider and their sizes stand beside them.
package figure
