// Package draw puts shapes, hatching, dimensions, labels and curves on a sheet
// and shows the sheet as SVG, on a page of a PDF, or as a PNG.
//
// It is the only package that knows the libraries for paths, fonts and plots.
// Whoever draws uses its small vocabulary:
//
//	d := draw.New(120, 80)                       // a sheet, millimetres
//	body := draw.Rectangle(10, 10, 60, 40).Cut(draw.Circle(draw.At(40, 30), 8))
//	d.Hatch(body, draw.HatchRising)              // cut metal
//	d.Stroke(body, draw.Outline)
//	d.Dimension(draw.At(10, 50), draw.At(70, 50), 8, "60 mm")
//	d.Describe("Plate", "A plate 60 mm wide with a hole of 16 mm.")
//
// Coordinates are millimetres on the sheet, x to the right and y down, as on
// a printed page. A drawing names roles (ink, soft, faint, accent …), never
// colours; a Palette turns roles into colours: paper, dark and high contrast.
// In a page the roles become CSS variables, so one SVG serves every theme.
//
// Every piece of text is measured with the font it is shown with (Liberation
// Sans, in the binary) and leaves its box in the drawing, so that a test can
// check that no two labels overlap and that nothing leaves the sheet.
package draw
