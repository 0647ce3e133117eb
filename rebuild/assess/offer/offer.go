package offer

import (
	"fmt"
	"math"
	"sort"
	"time"

	"pumpwright/calc/cover"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet   *sheet.Sheet
	Service *sheet.Service // nil when not known
	Parts   *part.Chapter
	State   *job.State
	Shop    *ledger.Shop // nil when nothing is known of the shop
	AsOf    time.Time

	// Delivery is what each course of action delivers, where somebody has
	// worked it out; without it energy and lost output are left out.
	Delivery map[Course]Delivery
	// YearsBetween is how long the pump runs between rebuilds, from its
	// history; nil when not known.
	YearsBetween *float64
}

// Need is a part that is needed.
type Need struct {
	Part    *sheet.Part
	Count   int
	Verdict part.Verdict
	Reasons []say.Message
}

// Plan is the best cover for one aim.
type Plan struct {
	Aim      cover.Aim
	Choose   []Choice
	Price    quantity.Money
	Lead     quantity.Time
	Waiting  quantity.Money // price of waiting so long; zero when it has none
	Total    quantity.Money
	LeftOver []string // "2 × head gaskets"
	Result   cover.Result
}

// Choice is one offer that is taken.
type Choice struct {
	Offer    *sheet.Offer
	Count    int
	FromHand int // how many of them lie on the shelf
	Price    quantity.Money
	For      []string // parts that are needed and that it covers
}

// Waiting is the price of a day without the pump.
type Waiting struct {
	PerDay quantity.Money
	Flow   quantity.Flow
	Hours  float64 // of running a day
	Note   say.Message
}

// Stage is the labour of one stage.
type Stage struct {
	Stage   string
	Hours   float64 // that are counted
	Sheet   float64 // standard hours of the sheet
	Median  float64 // of the shop's own jobs, 0 when none
	Jobs    int     // behind the median
	Model   string  // whose jobs they were; "" = all
	Logged  float64 // worked so far at this job
	Price   *quantity.Money
	Started bool
}

// Chapter is what the rebuild costs and what else could be done.
type Chapter struct {
	Needs     []Need
	MayNeed   []Need // parts that are not judged yet
	Plans     []Plan // one for each aim
	Advised   *Plan  // the least total where waiting has a price, else the cheapest
	Largest   *Plan  // with every part that may be needed; nil when none is open
	Uncovered []Need // what no offer covers
	SetAside  []say.Message
	Waiting   *Waiting // nil when waiting has no price
	Labour    []Stage
	Hours     float64
	LabourSum *quantity.Money
	Outside   []Outside
	Sum       *quantity.Money // parts, labour and outside work that are sure
	SumHigh   *quantity.Money // with every part that may be needed
	Life      *Life           // nil when it cannot be compared
	NoLife    say.Message     // why not
	Quotes    []job.QuoteStanding
	Currency  string
	Warnings  []say.Message
}

var (
	msgNegative    = say.Define("offer.negative", "{offer}: its price is below zero; it is left out")
	msgForeign     = say.Define("offer.foreign", "{offer}: priced in {currency}, the rest in {wanted}; it is left out until there is one currency")
	msgEmptyOffer  = say.Define("offer.empty", "{offer}: it holds none of the sheet's parts; it is left out")
	msgUnknownPart = say.Define("offer.unknown_part", "{offer}: nobody knows its part “{part}”; that part is left out")
	msgBadCount    = say.Define("offer.bad_count", "{offer}: the count of “{part}” is not above zero; that part is left out")
	msgTwice       = say.Define("offer.twice", "{offer}: two offers have this name; the second is left out")
	msgNoCurrency  = say.Define("offer.no_currency", "no currency is written down: sums are plain numbers")
	msgMixed       = say.Define("offer.mixed", "the service counts in {service}, the shop in {shop}: waiting, energy and output have no price until there is one currency")
	msgUncovered   = say.Define("offer.uncovered", "no offer covers {parts:list}: find another source before a price goes out")
	msgSearch      = say.Define("offer.search", "no cover was found: {reason}")
	msgNothing     = say.Define("offer.nothing", "no part is to be replaced so far")
	msgOpenParts   = say.Define("offer.open_parts", "not judged yet and perhaps needed: {parts:list}")
	msgNoRate      = say.Define("offer.no_rate", "the shop has written down no price of an hour: the labour has hours and no price")
	msgNoHours     = say.Define("offer.no_hours", "neither the sheet nor the shop states hours for {stages:list}")
	msgRatedFlow   = say.Define("offer.rated_flow", "the rated flow in the proportion of the speeds stands in for the flow of the service")
	msgServiceFlow = say.Define("offer.service_flow", "flow of the service")
	leftWords      = say.Define("offer.left", "{n:count} × {name}")
)

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{}
	c.currency(in)
	c.needs(in)
	c.Waiting = c.waiting(in)
	offers := c.usable(in)
	c.plans(in, offers)
	c.labour(in)
	c.outside(in)
	c.sums()
	c.Quotes = in.State.QuotesAsOf(in.AsOf)
	for _, q := range c.Quotes {
		c.Warnings = append(c.Warnings, q.Remarks...)
	}
	c.life(in)
	return c
}

func prices(in Inputs) *ledger.Prices {
	if in.Shop == nil || in.Shop.Prices == nil {
		return &ledger.Prices{}
	}
	return in.Shop.Prices
}

// currency settles in what the chapter counts: that of the shop, else that of
// the service.
func (c *Chapter) currency(in Inputs) {
	c.Currency = prices(in).Currency
	service := ""
	if in.Service != nil {
		service = in.Service.Currency
	}
	switch {
	case c.Currency == "" && service == "":
		c.Warnings = append(c.Warnings, msgNoCurrency.With())
	case c.Currency == "":
		c.Currency = service
	case service != "" && service != c.Currency:
		c.Warnings = append(c.Warnings, msgMixed.With(service, c.Currency))
	}
}

// sameCurrency reports whether prices of the service can be added.
func (c *Chapter) sameCurrency(in Inputs) bool {
	return in.Service != nil && (in.Service.Currency == "" || in.Service.Currency == c.Currency)
}

func (c *Chapter) money(amount float64) quantity.Money {
	m, err := quantity.MoneyOf(math.Round(100*amount)/100, c.Currency)
	if err != nil {
		return quantity.Money{Currency: c.Currency}
	}
	return m
}

// needs takes what is replaced or reworked, and what is not judged yet.
func (c *Chapter) needs(in Inputs) {
	var open []string
	for _, d := range in.Parts.Decisions {
		need := Need{Part: d.Part, Count: max(d.Part.Count, 1), Verdict: d.Verdict, Reasons: d.Reasons}
		switch d.Verdict {
		case part.Replace, part.Rework:
			c.Needs = append(c.Needs, need)
		case part.MeasureAgain, part.NotMeasured, part.Engineering:
			if d.Verdict == part.NotMeasured && len(d.Missing) == 0 {
				continue // nothing of it is measured: it is judged by eye
			}
			c.MayNeed = append(c.MayNeed, need)
			open = append(open, d.Part.Name)
		}
	}
	if len(c.Needs) == 0 {
		c.Warnings = append(c.Warnings, msgNothing.With())
	}
	if len(open) > 0 {
		c.Warnings = append(c.Warnings, msgOpenParts.With(open))
	}
}

// waiting prices a day without the pump.
func (c *Chapter) waiting(in Inputs) *Waiting {
	s := in.Service
	if s == nil || s.OutputPrice == nil || s.HoursAYear == nil || !c.sameCurrency(in) {
		return nil
	}
	w := &Waiting{Hours: *s.HoursAYear / daysAYear, Note: msgServiceFlow.With()}
	r := in.Sheet.Rating
	switch {
	case s.Flow != nil:
		w.Flow = s.Flow.Value
	case r.Flow != nil && r.Speed != nil && s.Speed != nil && r.Speed.Value > 0:
		w.Flow = quantity.Flow(r.Flow.Value.SI() * s.Speed.Value.SI() / r.Speed.Value.SI())
		w.Note = msgRatedFlow.With()
	default:
		return nil
	}
	perDay := *s.OutputPrice * w.Flow.SI() * 3600 * w.Hours
	if !(perDay >= 0) {
		return nil
	}
	w.PerDay = c.money(perDay)
	return w
}

const (
	daysAYear = 365.25
	day       = 86400.0
)

// offered is an offer that can be used, with the parts that count.
type offered struct {
	offer  *sheet.Offer
	parts  map[string]int
	onHand int
}

// usable sets aside what cannot be right.
func (c *Chapter) usable(in Inputs) []offered {
	var list []offered
	seen := map[string]bool{}
	reworked := map[string]bool{}
	for _, n := range c.Needs {
		reworked[n.Part.ID] = n.Verdict == part.Rework
	}
	aside := func(m say.Message) { c.SetAside = append(c.SetAside, m) }
	for i := range in.Sheet.Offers {
		o := &in.Sheet.Offers[i]
		switch {
		case !(o.Price >= 0) || o.Price > 1e12:
			aside(msgNegative.With(o.Name))
			continue
		case o.Currency != "" && o.Currency != c.Currency:
			aside(msgForeign.With(o.Name, o.Currency, c.Currency))
			continue
		case seen[o.Name]:
			aside(msgTwice.With(o.Name))
			continue
		}
		seen[o.Name] = true
		one := offered{offer: o, parts: map[string]int{}}
		for _, id := range sortedKeys(o.Parts) {
			switch {
			case in.Sheet.Part(id) == nil:
				aside(msgUnknownPart.With(o.Name, id))
			case o.Parts[id] < 1:
				aside(msgBadCount.With(o.Name, id))
			case reworked[id] && !o.Work:
				// A part that is to be reworked is not bought new.
			default:
				one.parts[id] = o.Parts[id]
			}
		}
		if len(one.parts) == 0 {
			if len(o.Parts) == 0 || !onlyReworked(o.Parts, reworked) {
				aside(msgEmptyOffer.With(o.Name))
			}
			continue
		}
		one.onHand = onShelf(in.Shop, o)
		list = append(list, one)
	}
	c.Warnings = append(c.Warnings, c.SetAside...)
	return list
}

func onlyReworked(parts map[string]int, reworked map[string]bool) bool {
	for id := range parts {
		if !reworked[id] {
			return false
		}
	}
	return true
}

// onShelf is how many of an offer lie on the shelf: under its own name, or a
// single part under the part's.
func onShelf(shop *ledger.Shop, o *sheet.Offer) int {
	if shop == nil || o.Work {
		return 0
	}
	n := shop.Shelf[o.Name]
	if len(o.Parts) == 1 {
		for id, count := range o.Parts {
			if count == 1 && id != o.Name {
				n += shop.Shelf[id]
			}
		}
	}
	return max(n, 0)
}

func sortedKeys(m map[string]int) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	sort.Strings(keys)
	return keys
}

// aims are the aims in the order in which they are shown.
var aims = []cover.Aim{cover.Cheapest, cover.Soonest, cover.LeastLeftOver, cover.LeastTotal}

func (c *Chapter) plans(in Inputs, offers []offered) {
	if len(c.Needs) == 0 && len(c.MayNeed) == 0 {
		return
	}
	if len(c.Needs) > 0 {
		for _, aim := range aims {
			if aim == cover.LeastTotal && c.Waiting == nil {
				continue
			}
			plan, err := c.plan(in, offers, aim, c.Needs)
			if err != nil {
				c.Warnings = append(c.Warnings, msgSearch.With(err))
				return
			}
			c.Plans = append(c.Plans, *plan)
		}
		c.Advised = &c.Plans[0]
		if c.Waiting != nil {
			c.Advised = &c.Plans[len(c.Plans)-1]
		}
		c.uncovered(c.Plans[0].Result.Missing)
	}
	if len(c.MayNeed) == 0 {
		return
	}
	aim := cover.Cheapest
	if c.Waiting != nil {
		aim = cover.LeastTotal
	}
	all := append(append([]Need{}, c.Needs...), c.MayNeed...)
	if plan, err := c.plan(in, offers, aim, all); err == nil {
		c.Largest = plan
	}
}

func (c *Chapter) uncovered(missing map[string]int) {
	var names []string
	for _, n := range c.Needs {
		if count := missing[n.Part.ID]; count > 0 {
			n.Count = count
			c.Uncovered = append(c.Uncovered, n)
			names = append(names, n.Part.Name)
		}
	}
	if len(names) > 0 {
		c.Warnings = append(c.Warnings, msgUncovered.With(names))
	}
}

// handSuffix marks, inside the search, the pieces of an offer that lie on the
// shelf: the same price, at once.
const handSuffix = " (on the shelf)"

// plan finds the best cover for an aim.
func (c *Chapter) plan(in Inputs, offers []offered, aim cover.Aim, needs []Need) (*Plan, error) {
	input := cover.Input{Needs: map[string]int{}, Aim: aim}
	if c.Waiting != nil {
		input.CostOfWaiting = c.Waiting.PerDay.Amount()
	}
	for _, n := range needs {
		input.Needs[n.Part.ID] += n.Count
	}
	at := map[string]*offered{}
	for i := range offers {
		o := &offers[i]
		lead := quantity.Time(max(o.offer.LeadDays, 0) * day)
		at[o.offer.Name] = o
		input.Offers = append(input.Offers, cover.Offer{Name: o.offer.Name, Price: o.offer.Price, LeadTime: &lead, Stock: o.offer.Stock, Parts: o.parts})
		if o.onHand > 0 {
			atOnce, count := quantity.Time(0), o.onHand
			at[o.offer.Name+handSuffix] = o
			input.Offers = append(input.Offers, cover.Offer{Name: o.offer.Name + handSuffix, Price: o.offer.Price, LeadTime: &atOnce, Stock: &count, Parts: o.parts})
		}
	}
	r, err := cover.Find(input)
	if err != nil {
		return nil, err
	}
	return c.read(in, r, aim, at), nil
}

// read turns a cover into words, the pieces on the shelf first.
func (c *Chapter) read(in Inputs, r cover.Result, aim cover.Aim, at map[string]*offered) *Plan {
	p := &Plan{Aim: aim, Result: r, Price: c.money(r.Cost)}
	counts := map[*offered]int{}
	var order []*offered
	for _, ch := range r.Choose {
		o := at[ch.Offer]
		if counts[o] == 0 {
			order = append(order, o)
		}
		counts[o] += ch.Count
	}
	lead := 0.0
	for _, o := range order {
		n := counts[o]
		one := Choice{Offer: o.offer, Count: n, FromHand: min(n, o.onHand), Price: c.money(o.offer.Price * float64(n))}
		if one.FromHand < n {
			lead = max(lead, o.offer.LeadDays)
		}
		for _, id := range sortedKeys(o.parts) {
			if r.Input.Needs[id] > 0 {
				one.For = append(one.For, in.Sheet.Part(id).Name)
			}
		}
		p.Choose = append(p.Choose, one)
	}
	p.Lead = quantity.Time(lead * day)
	p.Total = p.Price
	if c.Waiting != nil {
		p.Waiting = c.money(c.Waiting.PerDay.Amount() * lead)
		p.Total, _ = p.Price.Add(p.Waiting) // one currency
	}
	for _, id := range sortedKeys(r.LeftOver) {
		name := id
		if known := in.Sheet.Part(id); known != nil {
			name = known.Name
		}
		p.LeftOver = append(p.LeftOver, leftWords.With(r.LeftOver[id], name).String())
	}
	return p
}

// AimName says what an aim is.
func AimName(a cover.Aim) say.Message {
	switch a {
	case cover.Soonest:
		return nameSoonest.With()
	case cover.LeastLeftOver:
		return nameLeast.With()
	case cover.LeastTotal:
		return nameTotal.With()
	}
	return nameCheapest.With()
}

var (
	nameCheapest = say.Define("offer.cheapest", "cheapest")
	nameSoonest  = say.Define("offer.soonest", "soonest")
	nameLeast    = say.Define("offer.least_left", "least left over")
	nameTotal    = say.Define("offer.least_total", "least total of price and waiting")
)

// Describe names the offers of a plan, in words.
func (p *Plan) Describe() []string {
	list := make([]string, len(p.Choose))
	for i, ch := range p.Choose {
		list[i] = ch.Offer.Name
		if ch.Count > 1 {
			list[i] = fmt.Sprintf("%d × %s", ch.Count, ch.Offer.Name)
		}
	}
	return list
}
