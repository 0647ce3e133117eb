package document

import (
	"strings"

	"pumpwright/calc/say"
)

// SplitUnit parts a shown quantity into its number and its unit, so that
// figures can be aligned where the two meet: "0.130 ± 0.014 mm" gives
// "0.130 ± 0.014" and "mm". A text without a number has no unit.
func SplitUnit(s string) (number, unit string) {
	if s == "" || !strings.ContainsAny(s, "0123456789") {
		return s, ""
	}
	last := strings.LastIndexAny(s, "0123456789")
	// a digit inside a unit (m2, mm²/s) follows a letter: look for the last
	// space with a digit straight before it
	for i := last; i >= 0; i-- {
		if s[i] == ' ' && i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
			rest := s[i+1:]
			if rest != "" && !strings.ContainsAny(rest[:1], "0123456789±-+–") && !strings.HasPrefix(rest, "±") && !strings.HasPrefix(rest, "–") && !strings.HasPrefix(rest, "…") {
				return s[:i], rest
			}
		}
	}
	tail := strings.TrimLeft(s[last+1:], " ")
	if cut := last + 1; tail != "" {
		return s[:cut], tail
	}
	return s, ""
}

func cellText(c Cell, style say.Style) string {
	text := show(c.Text, style)
	if c.State == nil {
		return text
	}
	word := c.State.Word().Text(style)
	if text == "" {
		return word
	}
	return word + " · " + text
}
