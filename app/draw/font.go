package draw

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// FontName is the family to name in a style sheet. RegularFont and BoldFont
// are the font files, to be served to pages (SIL Open Font License 1.1).
const FontName = "Liberation Sans"

const millimetresPerPoint = 25.4 / 72

// typeface is a font with its advances at hand, so that measuring needs no
// lock and no shaping: what is measured here is what a PDF shows.
type typeface struct {
	outlines            // of its characters, where something sets them
	advance   []float64 // em, for runes below measured
	ascent    float64   // em, above the baseline for capitals and digits
	descent   float64   // em
	fallWidth float64
}

// measured bounds the runes whose advances are at hand.
const measured = 0x2300

var faces = [2]func() *typeface{
	sync.OnceValue(func() *typeface { return loadFace(false) }),
	sync.OnceValue(func() *typeface { return loadFace(true) }),
}

func newFace() *typeface {
	return &typeface{advance: make([]float64, measured), ascent: 0.73, descent: 0.21, fallWidth: 0.6}
}

func face(bold bool) *typeface {
	if bold {
		return faces[1]()
	}
	return faces[0]()
}

// Clean makes a text fit for a line: control characters become spaces, broken
// bytes the mark of a lost character.
func Clean(s string) string {
	if strings.IndexFunc(s, func(r rune) bool { return unicode.IsControl(r) || r == utf8.RuneError }) < 0 {
		return s
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) && r != '\n' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, lost))
}

// lost stands for a character that the font does not have.
const lost = "\uFFFD"

// TextWidth returns how wide a line of text is, in the unit of size.
func TextWidth(s string, size float64, bold bool) float64 {
	f := face(bold)
	width := 0.0
	for _, r := range s {
		if int(r) < len(f.advance) {
			width += f.advance[r]
		} else {
			width += f.fallWidth
		}
	}
	return width * size
}

// Wrap breaks a text into lines no wider than width, as late as possible. A
// line break in the text is kept; a single word wider than width is broken
// between letters. It breaks by the same advances that a PDF uses: a text box
// of the path library lets lines run over by the room its spaces could shrink.
func Wrap(s string, size float64, bold bool, width float64) []string {
	var lines []string
	for _, paragraph := range strings.Split(s, "\n") {
		if width <= 0 || TextWidth(paragraph, size, bold) <= width {
			lines = append(lines, paragraph)
			continue
		}
		lines = wrapParagraph(lines, paragraph, size, bold, width)
	}
	return lines
}

func wrapParagraph(lines []string, s string, size float64, bold bool, width float64) []string {
	space := TextWidth(" ", size, bold)
	line, used := "", 0.0
	for _, word := range strings.Fields(s) {
		w := TextWidth(word, size, bold)
		if line != "" && used+space+w <= width {
			line += " " + word
			used += space + w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for w > width {
			cut := letters(word, size, bold, width)
			if cut >= len(word) {
				break
			}
			lines = append(lines, word[:cut])
			word = word[cut:]
			w = TextWidth(word, size, bold)
		}
		line, used = word, w
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}

// Shorten cuts a text that is too wide for its place and says so with an
// ellipsis.
func Shorten(s string, size float64, bold bool, width float64) string {
	if TextWidth(s, size, bold) <= width {
		return s
	}
	room := width - TextWidth("…", size, bold)
	return strings.TrimSpace(s[:letters(s, size, bold, room)]) + "…"
}

// letters returns how many bytes of a word fit into a width, one letter at
// least.
func letters(word string, size float64, bold bool, width float64) int {
	used := 0.0
	for i, r := range word {
		used += TextWidth(string(r), size, bold)
		if used > width && i > 0 {
			return i
		}
	}
	return len(word)
}
