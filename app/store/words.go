package store

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// mostWords of one text are kept for searching.
const mostWords = 200

// Words splits a text into the words by which it is found: small letters
// without accents, each once. A number or tag with marks in it is found by its
// pieces and as a whole: P-310 gives p, 310 and p310.
func Words(text string) []string {
	var words []string
	seen := map[string]bool{}
	add := func(w string) {
		if w != "" && !seen[w] && len(words) < mostWords {
			seen[w] = true
			words = append(words, w)
		}
	}
	for _, chunk := range strings.Fields(fold(text)) {
		pieces := strings.FieldsFunc(chunk, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		for _, p := range pieces {
			add(p)
		}
		if len(pieces) > 1 {
			add(strings.Join(pieces, ""))
		}
	}
	return words
}

// fold takes accents and case away.
func fold(text string) string {
	var b strings.Builder
	for _, r := range norm.NFKD.String(text) {
		switch {
		case unicode.Is(unicode.Mn, r):
		case r == 'ß':
			b.WriteString("ss")
		default:
			b.WriteRune(unicode.ToLower(r))
		}
	}
	return b.String()
}
