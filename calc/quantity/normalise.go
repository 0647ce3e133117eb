package quantity

import (
	"strings"
	"unicode"
)

// oneSign gives the one spelling of signs that keyboards, phones and programs
// vary.
var oneSign = map[rune]string{
	'−': "-", '–': "-", '—': "-", '‐': "-", '‑': "-", '⁻': "-",
	'\u00a0': " ", '\u202f': " ", '\u2009': " ", '\u2007': " ", '\t': " ", '\n': " ", '\r': " ", '\u200b': "", '\ufeff': "",
	'μ': "µ", 'Ω': "Ω",
	'×': "·", '∙': "·", '⋅': "·", '•': "·", '‧': "·",
	'º': "°", '˚': "°", '℃': "°C", '℉': "°F",
	'”': `"`, '“': `"`, '„': `"`, '″': `"`, '’': "'", '‘': "'", '′': "'",
	'⁄': "/", '∕': "/",
	'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4", '⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5",
	'⅙': "1/6", '⅚': "5/6", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅒': "1/10",
}

const superscripts, subscripts = "⁰¹²³⁴⁵⁶⁷⁸⁹", "₀₁₂₃₄₅₆₇₈₉"

// normalise makes one spelling of the signs that keyboards and programs vary:
// minus, spaces, degree and inch signs, superscripts, and the fractions that
// are one sign (1½ becomes 1 1/2).
func normalise(text string) string {
	var b strings.Builder
	space := false
	for _, r := range strings.TrimSpace(text) {
		piece, known := oneSign[r]
		switch {
		case known:
			if strings.IndexByte(piece, '/') > 0 && endsInDigit(b.String()) && !space {
				piece = " " + piece
			}
			if r == '⁻' && endsInTen(b.String()) {
				piece = "^-"
			}
		case digitIn(superscripts, r) >= 0:
			piece = string(rune('0' + digitIn(superscripts, r)))
			if endsInTen(b.String()) {
				piece = "^" + piece
			}
		case digitIn(subscripts, r) >= 0:
			piece = string(rune('0' + digitIn(subscripts, r)))
		case unicode.IsSpace(r):
			piece = " "
		default:
			piece = string(r)
		}
		if piece == "" || piece == " " && space {
			continue
		}
		space = piece == " "
		b.WriteString(piece)
	}
	return strings.TrimSpace(strings.ReplaceAll(b.String(), "''", `"`))
}

func digitIn(row string, r rune) int {
	if r < 0x80 {
		return -1
	}
	place := 0
	for _, digit := range row {
		if digit == r {
			return place
		}
		place++
	}
	return -1
}

func endsInDigit(text string) bool { return text != "" && isDigit(text[len(text)-1]) }

// endsInTen tells a power of ten (10⁻⁶) from a power of a unit (m²).
func endsInTen(text string) bool {
	return strings.HasSuffix(text, "10") && (len(text) == 2 || !isDigit(text[len(text)-3]) && text[len(text)-3] != '.' && text[len(text)-3] != ',')
}
