package quantity

import (
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/say"
)

// number is a number as typed, with the worth of its last digit.
type number struct {
	value      float64
	resolution float64
}

// scanNumber reads the number at the start of a text and returns what follows
// it. It knows 12.5, 12,5, .13, 1 3/16, 1-3/16, 3/16, 1,250.5, 2.5e-6.
func scanNumber(text string) (number, string, error) {
	sign := 1.0
	body := text
	if body != "" && (body[0] == '+' || body[0] == '-') {
		if body[0] == '-' {
			sign = -1
		}
		body = strings.TrimLeft(body[1:], " ")
	}
	end := 0
	for end < len(body) && (isDigit(body[end]) || body[end] == '.' || body[end] == ',') {
		end++
	}
	digits := strings.TrimRight(body[:end], ",")
	end = len(digits)
	if strings.Trim(digits, ".,") == "" {
		return number{}, "", say.Refuse("", "", msgNoNumber.With(), msgWriteNumber.With())
	}
	if whole, ok := wholeNumber(digits); ok {
		if n, rest, ok := scanFraction(whole, body[end:]); ok {
			n.value *= sign
			return n, rest, nil
		}
	}
	plain, err := decimalMark(digits)
	if err != nil {
		return number{}, "", err
	}
	exponent, width := scanExponent(body[end:])
	value, err := strconv.ParseFloat(plain+exponent, 64)
	if err != nil {
		return number{}, "", say.Refuse("", "", msgBadNumber.With(digits+exponent), msgWriteNumber.With())
	}
	decimals := 0
	if dot := strings.IndexByte(plain, '.'); dot >= 0 {
		decimals = len(plain) - dot - 1
	}
	power := 0
	if exponent != "" {
		power, _ = strconv.Atoi(exponent[1:])
	}
	return number{sign * value, math.Pow(10, float64(power-decimals))}, body[end+width:], nil
}

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

func wholeNumber(digits string) (float64, bool) {
	if strings.ContainsAny(digits, ".,") || len(digits) > 9 {
		return 0, false
	}
	v, err := strconv.ParseFloat(digits, 64)
	return v, err == nil
}

// scanFraction reads what follows a whole number: "/16" makes a fraction of
// it, " 3/16" or "-3/16" adds one to it.
func scanFraction(whole float64, rest string) (number, string, bool) {
	if strings.HasPrefix(rest, "/") {
		denominator, width := scanDigits(rest[1:])
		if width == 0 || denominator == 0 {
			return number{}, "", false
		}
		return number{whole / denominator, 1 / denominator}, rest[1+width:], true
	}
	if rest == "" || (rest[0] != ' ' && rest[0] != '-') {
		return number{}, "", false
	}
	numerator, width := scanDigits(rest[1:])
	if width == 0 {
		return number{}, "", false
	}
	tail := rest[1+width:]
	if !strings.HasPrefix(tail, "/") {
		return number{}, "", false
	}
	denominator, dwidth := scanDigits(tail[1:])
	if dwidth == 0 || denominator == 0 {
		return number{}, "", false
	}
	return number{whole + numerator/denominator, 1 / denominator}, tail[1+dwidth:], true
}

func scanDigits(text string) (float64, int) {
	width := 0
	for width < len(text) && isDigit(text[width]) && width < 7 {
		width++
	}
	if width == 0 {
		return 0, 0
	}
	v, _ := strconv.ParseFloat(text[:width], 64)
	return v, width
}

// scanExponent reads e-6 or E3 when digits follow the letter at once, and
// ·10^-6, x 10^-6, *10^3.
func scanExponent(text string) (string, int) {
	if exponent, width := scanPowerOfTen(text); width > 0 {
		return exponent, width
	}
	if text == "" || (text[0] != 'e' && text[0] != 'E') {
		return "", 0
	}
	end := 1
	if end < len(text) && (text[end] == '-' || text[end] == '+') {
		end++
	}
	start := end
	for end < len(text) && isDigit(text[end]) && end-start < 3 {
		end++
	}
	if end == start {
		return "", 0
	}
	return "e" + text[1:end], end
}

func scanPowerOfTen(text string) (string, int) {
	rest := strings.TrimLeft(text, " ")
	for _, times := range []string{"·", "x", "X", "*"} {
		after, found := strings.CutPrefix(rest, times)
		if !found {
			continue
		}
		after, found = strings.CutPrefix(strings.TrimLeft(after, " "), "10")
		if !found || after == "" || after[0] != '^' && after[0] != '-' {
			return "", 0
		}
		after = strings.TrimPrefix(after, "^")
		sign := ""
		if tail, negative := strings.CutPrefix(after, "-"); negative {
			sign, after = "-", tail
		}
		end := 0
		for end < len(after) && isDigit(after[end]) && end < 3 {
			end++
		}
		if end == 0 {
			return "", 0
		}
		return "e" + sign + after[:end], len(text) - len(after) + end
	}
	return "", 0
}

// decimalMark finds out which of comma and point is the decimal mark. One
// comma before exactly three digits could be either and is refused, unless
// the number begins with 0.
func decimalMark(digits string) (string, error) {
	commas, points := strings.Count(digits, ","), strings.Count(digits, ".")
	switch {
	case commas == 0 && points <= 1:
		return digits, nil
	case commas == 1 && points == 0:
		whole, part, _ := strings.Cut(digits, ",")
		if len(part) == 3 && whole != "" && len(whole) <= 3 && whole[0] != '0' {
			return "", say.Refuse("", "", msgComma.With(digits, say.Plain(whole+"."+part), say.Plain(whole+part)),
				msgWriteComma.With(say.Plain(whole+"."+part), say.Plain(whole+part)))
		}
		return whole + "." + part, nil
	case commas >= 1 && points <= 1 && (points == 0 || strings.LastIndexByte(digits, ',') < strings.IndexByte(digits, '.')):
		return grouped(digits, ",", ".")
	case points >= 1 && commas <= 1 && (commas == 0 || strings.LastIndexByte(digits, '.') < strings.IndexByte(digits, ',')):
		return grouped(digits, ".", ",")
	}
	return "", say.Refuse("", "", msgBadNumber.With(digits), msgWriteNumber.With())
}

// grouped reads 1,250,000.5: groups of three parted by one mark, then the
// decimal mark.
func grouped(digits, group, mark string) (string, error) {
	whole, part, hasPart := strings.Cut(digits, mark)
	groups := strings.Split(whole, group)
	for i, g := range groups {
		if (i == 0 && (g == "" || len(g) > 3)) || (i > 0 && len(g) != 3) {
			return "", say.Refuse("", "", msgBadNumber.With(digits), msgWriteNumber.With())
		}
	}
	joined := strings.Join(groups, "")
	if hasPart {
		joined += "." + part
	}
	return joined, nil
}

// ReadNumber reads a plain number as people write it, without a unit.
func ReadNumber(text string) (float64, error) {
	n, rest, err := scanNumber(normalise(text))
	if err != nil {
		return 0, refuseAs(err, text)
	}
	if strings.TrimSpace(rest) != "" {
		return 0, say.Refuse("", text, msgBadNumber.With(strings.TrimSpace(text)), msgWriteNumber.With())
	}
	return n.value, nil
}
