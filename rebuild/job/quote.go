package job

import (
	"fmt"
	"math"
	"strings"
	"time"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// The steps of quoting. What a rebuild takes is unknown until the pump is
// open, so the trade quotes twice: the teardown with its report first, then
// the rebuild.
const (
	QuoteTeardown = "teardown"
	QuoteRebuild  = "rebuild"
)

// The statuses of a quote. Offered is the quote itself, the others answer it;
// expired may be written down, and holds without it once the day is past.
const (
	QuoteOffered  = "offered"
	QuoteAccepted = "accepted"
	QuoteChanged  = "changed"
	QuoteDeclined = "declined"
	QuoteExpired  = "expired"
)

// Quote is a quote, or the answer to one: the body of a quote entry.
type Quote struct {
	Number      string        `json:"number" help:"number of the quote"`
	Step        string        `json:"step,omitempty" default:"rebuild" oneof:"teardown|rebuild" help:"what is quoted: teardown and report, or the rebuild"`
	Status      string        `json:"status,omitempty" default:"offered" oneof:"offered|accepted|changed|declined|expired" help:"offered, or the answer to an offer of this number"`
	Lines       []QuoteLine   `json:"lines,omitempty" optional:"yes" help:"parts, kits and outside work"`
	Labour      []QuoteLabour `json:"labour,omitempty" optional:"yes" help:"hours by stage"`
	Total       *float64      `json:"total,omitempty" help:"sum that is offered"`
	Currency    string        `json:"currency,omitempty" optional:"yes" help:"currency of all sums"`
	ValidUntil  string        `json:"valid_until,omitempty" optional:"yes" help:"last day on which it can be accepted, as 2026-09-30"`
	ValidDays   *float64      `json:"valid_days,omitempty" help:"days for which it holds, where no last day is stated"`
	TeardownFee *float64      `json:"teardown_fee,omitempty" help:"what the teardown costs when the rebuild is declined"`
	Unclaimed   *float64      `json:"unclaimed_days,omitempty" help:"days after which a pump that nobody fetches may be scrapped"`
	Note        string        `json:"note,omitempty" optional:"yes" help:"remark, or what is to be changed"`
}

// QuoteLine is one line of a quote.
type QuoteLine struct {
	What     string  `json:"what" help:"part, kit or work"`
	Part     string  `json:"part,omitempty" optional:"yes" help:"part of the model sheet it is for"`
	Count    int     `json:"count,omitempty" default:"1" help:"how many"`
	Price    float64 `json:"price" help:"price of one"`
	Currency string  `json:"currency,omitempty" optional:"yes" help:"that of the quote when missing"`
	Outside  bool    `json:"outside,omitempty" optional:"yes" help:"true for work that is sent out"`
	Why      string  `json:"why,omitempty" optional:"yes" help:"reason"`
}

// QuoteLabour is the labour of one stage.
type QuoteLabour struct {
	Stage string  `json:"stage" help:"stage of the job"`
	Hours float64 `json:"hours" help:"hours"`
	Rate  float64 `json:"rate" help:"price of an hour"`
}

var (
	msgQuoteNumber    = say.Define("job.quote_number", "a quote needs its number")
	msgQuoteUnknown   = say.Define("job.quote_unknown", "no quote {number} was offered in this job")
	msgQuotesAre      = say.Define("job.quotes_are", "offered were {numbers:list}")
	msgQuotePrice     = say.Define("job.quote_price", "a price, a rate and hours are not below zero")
	msgQuoteCurrency  = say.Define("job.quote_currency", "a quote has one currency")
	msgQuoteSum       = say.Define("job.quote_sum", "lines and labour come to {sum}, the total says {total}")
	msgQuoteAddUp     = say.Define("job.quote_add_up", "leave the total out, or let it be the sum")
	msgQuoteDay       = say.Define("job.quote_day", "this is no day")
	msgQuoteWriteDay  = say.Define("job.quote_write_day", "write the day as 2026-09-30")
	msgQuoteCount     = say.Define("job.quote_count", "a count is a whole number above zero")
	msgQuoteEmpty     = say.Define("job.quote_empty", "an offer has lines, labour or a total")
	msgQuoteTwice     = say.Define("job.quote_twice", "the quote {number} was offered before; a changed quote has a number of its own")
	msgQuoteExpired   = say.Define("job.quote_late", "the quote held until {day}")
	msgQuoteFee       = say.Define("job.quote_fee", "declined: teardown and report cost {fee}")
	msgQuoteFetch     = say.Define("job.quote_fetch", "declined: the pump is to be fetched by {day}")
	msgQuoteUnclaimed = say.Define("job.quote_unclaimed", "declined, and the day to fetch the pump ({day}) is past: ask the owner before anything is scrapped")
	msgQuoteSmall     = say.Define("job.quote_unread", "a quote entry cannot be read: {reason}")
)

// ReadQuote reads the body of a quote entry. Fields of later versions are
// passed over.
func ReadQuote(raw any) (Quote, error) {
	var q Quote
	reader := fields.Reader{KeepUnknown: true}
	return q, reader.Bind(raw, &q)
}

// Sum returns lines and labour together, rounded to the cent.
func (q Quote) Sum() float64 {
	sum := 0.0
	for _, l := range q.Lines {
		sum += l.Price * float64(l.Count)
	}
	for _, l := range q.Labour {
		sum += l.Hours * l.Rate
	}
	return math.Round(100*sum) / 100
}

// Amount returns what is asked for: the total, or the sum of the lines.
func (q Quote) Amount() (quantity.Money, error) {
	amount := q.Sum()
	if q.Total != nil {
		amount = *q.Total
	}
	return quantity.MoneyOf(amount, q.Currency)
}

// check finds what cannot be right in a quote.
func (q Quote) check() error {
	if strings.TrimSpace(q.Number) == "" {
		return say.Refuse("number", q.Number, msgQuoteNumber.With(), say.Message{})
	}
	currency := q.Currency
	for i, l := range q.Lines {
		at := fmt.Sprintf("lines[%d]", i)
		switch {
		case !good(l.Price):
			return say.Refuse(at+".price", fmt.Sprint(l.Price), msgQuotePrice.With(), say.Message{})
		case l.Count < 1:
			return say.Refuse(at+".count", fmt.Sprint(l.Count), msgQuoteCount.With(), say.Message{})
		case l.Currency != "" && currency != "" && l.Currency != currency:
			return say.Refuse(at+".currency", l.Currency, msgQuoteCurrency.With(), say.Plain(currency))
		}
		if currency == "" {
			currency = l.Currency
		}
	}
	for i, l := range q.Labour {
		if !good(l.Hours) || !good(l.Rate) {
			return say.Refuse(fmt.Sprintf("labour[%d]", i), fmt.Sprint(l.Hours, " × ", l.Rate), msgQuotePrice.With(), say.Message{})
		}
	}
	for _, sum := range []struct {
		field string
		value *float64
	}{{"total", q.Total}, {"teardown_fee", q.TeardownFee}, {"valid_days", q.ValidDays}, {"unclaimed_days", q.Unclaimed}} {
		if sum.value != nil && !good(*sum.value) {
			return say.Refuse(sum.field, fmt.Sprint(*sum.value), msgQuotePrice.With(), say.Message{})
		}
	}
	if q.Total != nil && len(q.Lines)+len(q.Labour) > 0 && math.Abs(*q.Total-q.Sum()) > 0.005 {
		return say.Refuse("total", fmt.Sprint(*q.Total), msgQuoteSum.With(fmt.Sprintf("%.2f", q.Sum()), fmt.Sprintf("%.2f", *q.Total)), msgQuoteAddUp.With())
	}
	if q.ValidUntil != "" {
		if _, err := time.Parse(time.DateOnly, q.ValidUntil); err != nil {
			return say.Refuse("valid_until", q.ValidUntil, msgQuoteDay.With(), msgQuoteWriteDay.With())
		}
	}
	return nil
}

func good(v float64) bool { return v >= 0 && v < 1e12 }

// vetQuote looks at a new quote entry.
func vetQuote(state *State, q Quote) ([]say.Message, error) {
	if err := q.check(); err != nil {
		return nil, err
	}
	if q.Status == QuoteOffered && len(q.Lines)+len(q.Labour) == 0 && q.Total == nil {
		return nil, say.Refuse("lines", "", msgQuoteEmpty.With(), say.Message{})
	}
	if state == nil {
		return nil, nil
	}
	var numbers []string
	for _, s := range state.QuotesAsOf(time.Time{}) {
		numbers = append(numbers, s.Number)
		if s.Number != q.Number {
			continue
		}
		if q.Status == QuoteOffered {
			return []say.Message{msgQuoteTwice.With(q.Number)}, nil
		}
		return nil, nil
	}
	if q.Status == QuoteOffered {
		return nil, nil
	}
	return nil, say.Refuse("number", q.Number, msgQuoteUnknown.With(q.Number), msgQuotesAre.With(numbers))
}

// QuoteStanding is one quote with the answer to it.
type QuoteStanding struct {
	Number  string
	Offer   Kept[Quote]
	Answer  *Kept[Quote]
	Status  string
	Until   time.Time // last day on which it holds; zero when none is stated
	Remarks []say.Message
	// Unclaimed is, after a decline, the day from which a pump that nobody
	// fetched counts as unclaimed; zero when none is stated.
	Unclaimed time.Time
}

// QuotesAsOf returns the quotes of the job in the order in which they were
// offered, as they stand on a day; the zero time takes no quote for expired.
func (s *State) QuotesAsOf(day time.Time) []QuoteStanding {
	var list []QuoteStanding
	at := map[string]int{}
	for _, k := range s.Quotes {
		q, err := ReadQuote(k.Body)
		if err == nil {
			err = q.check()
		}
		if err != nil {
			list = append(list, QuoteStanding{Offer: Kept[Quote]{Meta: k.Meta}, Remarks: []say.Message{msgQuoteSmall.With(err)}})
			continue
		}
		kept := Kept[Quote]{Meta: k.Meta, Body: q}
		i, there := at[q.Number]
		if q.Status == QuoteOffered || !there {
			at[q.Number] = len(list)
			one := QuoteStanding{Number: q.Number, Offer: kept, Status: q.Status, Until: q.until(k.Meta)}
			if q.Status != QuoteOffered { // an answer without its offer
				one.Answer = &kept
				one.Remarks = append(one.Remarks, msgQuoteUnknown.With(q.Number))
			}
			list = append(list, one)
			continue
		}
		list[i].Answer, list[i].Status = &kept, q.Status
		if u := list[i].Until; !u.IsZero() && q.Status == QuoteAccepted && k.At.Time().After(u.AddDate(0, 0, 1)) {
			list[i].Remarks = append(list[i].Remarks, msgQuoteExpired.With(u.Format(time.DateOnly)))
		}
	}
	s.signed(list)
	for i := range list {
		list[i].declined(day)
		if u := list[i].Until; list[i].Status == QuoteOffered && !u.IsZero() && !day.IsZero() && day.After(u.AddDate(0, 0, 1)) {
			list[i].Status = QuoteExpired
		}
	}
	return list
}

// acceptedStep is the hold point at which scope and price are signed.
const acceptedStep = "quote-accepted"

// signed takes the signature for scope and price as the answer to the last
// quote that was open then, when nobody wrote an answer down.
func (s *State) signed(list []QuoteStanding) {
	sign, there := s.Signs[acceptedStep]
	if !there {
		return
	}
	for i := len(list) - 1; i >= 0; i-- {
		q := &list[i]
		if q.Offer.Seq > sign.Seq || q.Status != QuoteOffered {
			continue
		}
		q.Status = QuoteAccepted
		q.Answer = &Kept[Quote]{sign.Meta, Quote{Number: q.Number, Step: q.Offer.Body.Step, Status: QuoteAccepted, Note: sign.Body.Note}}
		return
	}
}

// declined says what a decline costs, and from when the pump is unclaimed.
func (s *QuoteStanding) declined(day time.Time) {
	if s.Status != QuoteDeclined || s.Answer == nil {
		return
	}
	q := s.Offer.Body
	if fee := q.TeardownFee; fee != nil && q.Step == QuoteRebuild {
		if m, err := quantity.MoneyOf(*fee, q.Currency); err == nil {
			s.Remarks = append(s.Remarks, msgQuoteFee.With(m))
		}
	}
	if q.Unclaimed == nil {
		return
	}
	s.Unclaimed = s.Answer.At.Time().Truncate(24*time.Hour).AddDate(0, 0, int(*q.Unclaimed))
	if !day.IsZero() && day.After(s.Unclaimed) {
		s.Remarks = append(s.Remarks, msgQuoteUnclaimed.With(s.Unclaimed.Format(time.DateOnly)))
	} else {
		s.Remarks = append(s.Remarks, msgQuoteFetch.With(s.Unclaimed.Format(time.DateOnly)))
	}
}

// NextQuote returns the next number of a quote of the job: its name and a count,
// such as J-2041-Q2.
func (s *State) NextQuote() string {
	name := s.Stream
	if s.Open != nil && s.Open.Body.Job != "" {
		name = s.Open.Body.Job
	}
	taken := map[string]bool{}
	list := s.QuotesAsOf(time.Time{})
	for _, q := range list {
		taken[q.Number] = true
	}
	for n := len(list) + 1; ; n++ {
		if next := fmt.Sprintf("%s-Q%d", name, n); !taken[next] {
			return next
		}
	}
}

// until is the last day on which the quote holds.
func (q Quote) until(m Meta) time.Time {
	if q.ValidUntil != "" {
		day, _ := time.Parse(time.DateOnly, q.ValidUntil) // check has looked at it
		return day
	}
	if q.ValidDays == nil {
		return time.Time{}
	}
	return m.At.Time().Truncate(24*time.Hour).AddDate(0, 0, int(*q.ValidDays))
}
