package figure

import (
	goqr "github.com/piglig/go-qr"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Code is a square code for a label or a card, read by any camera.
type Code struct {
	Content string
	Words   say.Shower // what it leads to, written under it
	Size    float64    // mm; 0 means 26
}

var (
	titleCode = say.Define("figure.code_title", "Code to scan")
	msgCode   = say.Define("figure.code", "The code holds: {content}")
)

// Draw makes the picture: modules as squares, with the quiet zone of four
// modules that ISO/IEC 18004 asks for.
func (c Code) Draw(style say.Style) *draw.Drawing {
	size := c.Size
	if size <= 0 {
		size = 26
	}
	qr, err := goqr.EncodeText(c.Content, goqr.Medium)
	if err != nil || c.Content == "" {
		return missing(titleCode.With(), titleCode.With().Text(style), style)
	}
	const quiet = 4
	n := qr.Size()
	module := size / float64(n+2*quiet)
	height := size
	text := words(c.Words, style)
	lines := draw.Wrap(text, draw.Small.Size, false, size-1)
	if text != "" {
		height += float64(len(lines))*draw.Small.Size*draw.LineStep + 1
	}
	d := draw.New(size, height)
	var squares []draw.Path
	for y := range n {
		for x := 0; x < n; x++ {
			from := x
			for x < n && qr.Module(x, y) {
				x++
			}
			if x > from { // one bar for neighbours, so that no seam shows
				squares = append(squares, draw.Rectangle((float64(from)+quiet)*module, (float64(y)+quiet)*module, float64(x-from)*module, module))
			}
		}
	}
	// read on any ground: dark on light whatever the theme of the page
	d.Fill(draw.Rectangle(0, 0, size, size), draw.White)
	d.Fill(draw.Path{}.With(squares...), draw.Black)
	for i, line := range lines {
		d.Text(draw.At(size/2, size+2.2+float64(i)*draw.Small.Size*draw.LineStep), line, draw.Small.At(draw.Middle))
	}
	d.Describe(titleCode.With().Text(style), msgCode.With(c.Content).Text(style))
	return d
}
