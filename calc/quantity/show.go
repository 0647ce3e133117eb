package quantity

import (
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/say"
)

// Show prints an SI value of a dimension in the units of a style, with the
// decimals that the trade uses for it.
func Show(d Dimension, si float64, s say.Style) string {
	return show(d, si, math.NaN(), s)
}

// ShowWithU prints an SI value and its standard uncertainty, both with the
// digits that the uncertainty supports: 0.130 ± 0.014 mm.
func ShowWithU(d Dimension, si, u float64, s say.Style) string {
	return show(d, si, u, s)
}

func show(d Dimension, si, uncertainty float64, s say.Style) string {
	if d == NoDimension || d >= dimensionCount {
		return localise(plainNumber(si), s)
	}
	if math.IsNaN(si) || math.IsInf(si, 0) {
		return "–"
	}
	if d == LengthDimension && math.Abs(si) < noLength {
		si = 0
	}
	c := chooseUnit(d, si, s)
	if d == LengthDimension && si != 0 && !(uncertainty > 0) && math.Abs(si) < fine(s).from {
		c = fine(s)
	}
	shown, err := fromSI(d, si, c.symbol)
	if err != nil {
		return localise(plainNumber(si), s) + " " + dimensions[d].si
	}
	if math.IsNaN(uncertainty) || math.IsInf(uncertainty, 0) || uncertainty <= 0 {
		return join(localise(trimDecimals(shown, c), s), c.symbol)
	}
	scale := findUnit(d, c.symbol).factor
	shownU := uncertainty / scale
	decimals := decimalsForU(shownU)
	if d == LengthDimension { // one digit beyond what instruments of the trade show
		decimals = min(decimals, c.digits+1)
	}
	return join(localise(formatDecimals(shown, decimals)+" ± "+formatDecimals(shownU, decimals), s), c.symbol)
}

// noLength is below anything that is measured: what rounding leaves of a zero.
const noLength = 1e-12

// fine is the unit of lengths that mm or in with the decimals of the trade
// would cut off: flatness, films, residuals.
func fine(s say.Style) choice {
	if s.Units == say.Inch {
		return choice{from: 5e-5 * inch, symbol: "µin", digits: 1}
	}
	return choice{from: 1e-6, symbol: "µm", digits: 2}
}

// In returns the value of a quantity in a named unit of its dimension.
func In(q Quantity, symbol string) (float64, error) {
	return fromSI(q.Dimension(), q.SI(), symbol)
}

// ShowUnit returns the unit in which a style shows a value.
func ShowUnit(d Dimension, si float64, s say.Style) string {
	if d == NoDimension || d >= dimensionCount {
		return ""
	}
	return chooseUnit(d, si, s).symbol
}

func chooseUnit(d Dimension, si float64, s say.Style) choice {
	list := dimensions[d].metric
	if s.Units == say.Inch {
		list = dimensions[d].inch
	}
	best := list[0]
	for _, c := range list[1:] {
		if math.Abs(si) >= c.from*(1-1e-12) {
			best = c
		}
	}
	return best
}

func join(number, symbol string) string {
	if symbol == "°" || symbol == "'" {
		return number + symbol
	}
	return number + " " + symbol
}

// trimDecimals prints at most the choice's decimals, five significant digits
// at least before decimals are cut, and drops zeros beyond the least.
func trimDecimals(v float64, c choice) string {
	decimals := c.digits
	if c.min == 0 {
		if a := math.Abs(v); a >= 1 {
			decimals = min(decimals, max(0, 4-int(math.Floor(math.Log10(a)))))
		}
	}
	text := formatDecimals(v, decimals)
	if v != 0 && strings.Trim(text, "-0.") == "" { // smaller than the last decimal
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
	if dot := strings.IndexByte(text, '.'); dot >= 0 {
		keep := len(text)
		for keep > dot+1+c.min && text[keep-1] == '0' {
			keep--
		}
		if keep == dot+1 {
			keep = dot
		}
		text = text[:keep]
	}
	return text
}

func formatDecimals(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.HasPrefix(text, "-") && strings.Trim(text, "-0.") == "" {
		return text[1:]
	}
	return text
}

// decimalsForU returns how many decimals show two significant digits of u.
func decimalsForU(u float64) int {
	return min(9, max(0, 1-int(math.Floor(math.Log10(u)))))
}

func plainNumber(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return "–"
	}
	return strconv.FormatFloat(v, 'g', 5, 64)
}

func localise(text string, s say.Style) string { return s.Decimal(text) }

// InUnit returns the value of what was entered in a named unit of its
// dimension.
func InUnit(e Entered, name string) (float64, error) { return fromSI(e.Dimension, e.SI, name) }

// ShowIn prints a number with its unit, six significant digits at most.
func ShowIn(v float64, symbol string, s say.Style) string {
	return join(localise(strconv.FormatFloat(v, 'g', 6, 64), s), symbol)
}
