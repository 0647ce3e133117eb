package draw

import (
	"fmt"
	"image/color"
	"strings"
)

// Role says what a line, an area or a text is for. The palette gives it a
// colour.
type Role uint8

// The roles. None is not drawn.
const (
	None   Role = iota
	Ink         // outlines, numbers, what matters
	Soft        // names, dimension lines, second ink
	Faint       // hatching, grids, what should stand back
	Shade       // area of a band or of a solid part
	Paper       // the ground
	Accent      // what is asked or answered now; one in the drawing
	Tint        // area that belongs to the accent
	Alarm       // past a limit, always together with a word and a shape
	White       // white in every palette: the ground of a code to scan
	Black       // black in every palette
	roleCount
)

var roleNames = [roleCount]string{"none", "ink", "soft", "faint", "shade", "paper", "accent", "tint", "alarm", "white", "black"}

// String returns the name of the role, as in the CSS variable --draw-ink.
func (r Role) String() string {
	if r >= roleCount {
		return "none"
	}
	return roleNames[r]
}

// RGBA makes a role usable where a library asks for a colour; it is the ink of
// the paper palette.
func (r Role) RGBA() (uint32, uint32, uint32, uint32) { return PaperPalette.Colour(r).RGBA() }

// Palette gives each role its colour.
type Palette struct {
	Name    string
	colours [roleCount]color.RGBA
}

// Colour returns the colour of a role; None is transparent.
func (p Palette) Colour(r Role) color.RGBA {
	if r >= roleCount {
		return color.RGBA{}
	}
	return p.colours[r]
}

func palette(name, ink, soft, faint, shade, paper, accent, tint, alarm string) Palette {
	p := Palette{Name: name}
	for i, hex := range []string{ink, soft, faint, shade, paper, accent, tint, alarm, "ffffff", "000000"} {
		var r, g, b uint8
		if _, err := fmt.Sscanf(hex, "%02x%02x%02x", &r, &g, &b); err == nil {
			p.colours[i+1] = color.RGBA{r, g, b, 255}
		}
	}
	return p
}

// The three palettes: ink on paper, chalk on slate, and the greatest contrast.
// PrintPalette is PaperPalette on pure white, for a page that is printed.
var (
	PaperPalette    = palette("paper", "1d242c", "55606b", "aab2b8", "e8e6dd", "fcfbf7", "0a5a78", "d3e6ea", "9c2a17")
	PrintPalette    = palette("print", "14191f", "4d5761", "a3abb1", "eae9e4", "ffffff", "0a5a78", "d8e9ed", "9c2a17")
	DarkPalette     = palette("dark", "eceae2", "b3bbc0", "66717a", "343d45", "20272d", "7cc8dd", "274853", "ff9d86")
	ContrastPalette = palette("contrast", "ffffff", "ffffff", "b0b0b0", "2b2b2b", "000000", "ffe14d", "322c06", "ffc4b8")
)

// CSS returns the declarations of the palette's variables, to be put into a
// rule of the page's style sheet: --draw-ink:#1d242c;…
func (p Palette) CSS() string {
	var b strings.Builder
	for r := Ink; r < roleCount; r++ {
		fmt.Fprintf(&b, "--draw-%s:%s;", r, hex(p.colours[r]))
	}
	return b.String()
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
