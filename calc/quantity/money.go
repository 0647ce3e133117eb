package quantity

import (
	"math"
	"strconv"
	"strings"
	"unicode"

	"pumpwright/calc/say"
)

var (
	msgNotMoney      = say.Define("quantity.not_money", "this is not an amount of money")
	msgWriteMoney    = say.Define("quantity.write_money", "write the amount, with the currency if there is one, for example 12.50 or 12.50 EUR")
	msgTwoCurrencies = say.Define("quantity.two_currencies", "amounts in {first} and in {second} cannot be added")
	msgOneCurrency   = say.Define("quantity.one_currency", "give all amounts in one currency")
)

// MoneyScale is the number of parts of one unit of currency that a Money
// counts in.
const MoneyScale = 10000

// Money is an exact decimal amount with the text of its currency, "" when none
// was given. It counts in ten-thousandths, so that a price per piece or per
// litre keeps its digits and sums come out to the cent.
type Money struct {
	Parts    int64 // ten-thousandths of the unit of currency
	Currency string
}

// MoneyOf makes a Money from an amount, rounded to the nearest part.
func MoneyOf(amount float64, currency string) (Money, error) {
	parts := math.Round(amount * MoneyScale)
	if math.IsNaN(parts) || math.Abs(parts) > 1<<53 {
		return Money{}, say.Refuse("", strconv.FormatFloat(amount, 'g', -1, 64), msgNotMoney.With(), msgWriteMoney.With())
	}
	return Money{Parts: int64(parts), Currency: currency}, nil
}

// ReadMoney reads 12.50, 12,50 €, EUR 1,250.00 or $ 3.
func ReadMoney(text string) (Money, error) {
	clean := normalise(text)
	sign := ""
	if strings.HasPrefix(clean, "-") {
		sign, clean = "-", strings.TrimSpace(clean[1:])
	}
	before := clean[:len(clean)-len(strings.TrimLeftFunc(clean, isCurrencyRune))]
	n, after, err := scanNumber(sign + strings.TrimSpace(clean[len(before):]))
	if err != nil {
		return Money{}, refuseAs(err, text)
	}
	before, after = strings.TrimSpace(before), strings.TrimSpace(after)
	if before != "" && after != "" || strings.TrimLeftFunc(after, isCurrencyRune) != "" {
		return Money{}, say.Refuse("", strings.TrimSpace(text), msgNotMoney.With(), msgWriteMoney.With())
	}
	m, err := MoneyOf(n.value, before+after)
	return m, refuseAs(err, text)
}

func isCurrencyRune(r rune) bool { return unicode.IsLetter(r) || unicode.Is(unicode.Sc, r) || r == ' ' }

// Amount returns the amount in units of the currency.
func (m Money) Amount() float64 { return float64(m.Parts) / MoneyScale }

// Times returns the price of a number of pieces, or of a part of one, rounded
// to the nearest part.
func (m Money) Times(n float64) Money {
	return Money{Parts: int64(math.Round(float64(m.Parts) * n)), Currency: m.Currency}
}

// Whole returns the amount rounded to a whole unit of its currency. A rate that
// was worked out, such as a cost a year, claims no more than that.
func (m Money) Whole() Money {
	return Money{Parts: int64(math.Round(m.Amount())) * MoneyScale, Currency: m.Currency}
}

// Add returns the sum. Amounts of two currencies are refused; an amount
// without a currency takes that of the other.
func (m Money) Add(other Money) (Money, error) {
	currency := m.Currency
	switch {
	case currency == "":
		currency = other.Currency
	case other.Currency != "" && other.Currency != currency:
		return Money{}, say.Refuse("", other.String(), msgTwoCurrencies.With(currency, other.Currency), msgOneCurrency.With())
	}
	return Money{Parts: m.Parts + other.Parts, Currency: currency}, nil
}

// Show prints the amount with two decimals, or with as many as it has.
func (m Money) Show(s say.Style) string {
	decimals := 2
	for _, step := range []int64{100, 10} {
		if m.Parts%step != 0 {
			decimals++
		}
	}
	text := localise(formatDecimals(m.Amount(), decimals), s)
	if m.Currency == "" {
		return text
	}
	return text + " " + m.Currency
}

// String prints the amount with a decimal point.
func (m Money) String() string { return m.Show(say.Style{}) }
