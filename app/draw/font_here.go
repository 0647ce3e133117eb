//go:build !js

package draw

import (
	"strings"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansbold"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"github.com/tdewolff/canvas"
)

// RegularFont returns the font file of upright text.
func RegularFont() []byte { return liberationsansregular.TTF }

// BoldFont returns the font file of bold text.
func BoldFont() []byte { return liberationsansbold.TTF }

// outlines are the characters of a font.
type outlines struct {
	font *canvas.Font
	lock sync.Mutex // shaping is not safe for several at once
}

func loadFace(bold bool) *typeface {
	t := newFace()
	file, style := RegularFont(), canvas.FontRegular
	if bold {
		file, style = BoldFont(), canvas.FontBold
	}
	font, err := canvas.LoadFont(file, 0, style)
	if err != nil { // the embedded file is part of the binary; widths stay estimates
		return t
	}
	t.font = font
	perEm := float64(font.SFNT.Head.UnitsPerEm)
	for r := range t.advance {
		t.advance[r] = float64(font.SFNT.GlyphAdvance(font.SFNT.GlyphIndex(rune(r)))) / perEm
	}
	return t
}

// printable is Clean for a PDF: characters that the font does not have (it
// holds Latin, Greek, Cyrillic and Hebrew letters) become a box: the PDF has no
// other font, and its library stops on some of them.
func printable(s string, bold bool) string {
	s = Clean(s)
	f := face(bold)
	if f.font == nil || strings.IndexFunc(s, f.lacks) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		if f.lacks(r) {
			return '□'
		}
		return r
	}, s)
}

func (t *typeface) lacks(r rune) bool {
	if r < 0x7f {
		return false
	}
	return r > 0xffff || t.font.SFNT.GlyphIndex(r) == 0
}

// outline returns a line of text as a path with its origin at the left end of
// the baseline, y up.
func outline(s string, size float64, bold bool) *canvas.Path {
	f := face(bold)
	if f.font == nil {
		return &canvas.Path{}
	}
	f.lock.Lock()
	defer f.lock.Unlock()
	path, _, err := f.font.Face(size/millimetresPerPoint, canvas.Black).ToPath(s)
	if err != nil {
		return &canvas.Path{}
	}
	return path
}
