package offer

import (
	"math"

	"pumpwright/calc/cost"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/procedure"
)

// Course is a course of action.
type Course string

// Show prints the word in the language of a style.
func (v Course) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Course) Message() say.Message { return say.Word("offer", string(v)) }

// The courses.
const (
	Rebuild Course = "rebuild"
	Upgrade Course = "rebuild with upgrade"
	Replace Course = "replace"
)

// Delivery is what the pump takes and delivers after a course of action.
type Delivery struct {
	Power *quantity.Power // at the shaft, at duty
	Short *quantity.Flow  // flow that is missing from what the process needs
}

// Life is the comparison of the courses over the life.
type Life struct {
	Result   cost.Result
	Low      map[string]float64 // present value with the least, by course
	High     map[string]float64 // with every part that may be needed
	Hinges   []cost.Hinge       // what the choice hinges on, the largest swing first
	Share    *float64           // price of the rebuild as a part of a new pump
	Words    []say.Message
	Assumed  []say.Message
	Firm     bool // no single number within the spread turns the choice round
	Currency string
}

// spread is by how much each number is varied to see what the choice hinges
// on; a setting of our own.
const spread = 0.2

const (
	assumedYears    = 10
	assumedDiscount = 0.08
	driveEfficiency = 0.9
	// A rebuild above half the price of a new pump is looked at twice.
	// [published rule of thumb of a trade page on repair against replacement]
	repairShare = 0.5
)

var (
	msgNoPrices     = say.Define("offer.no_prices", "rebuilding and replacing cannot be compared: {missing:list} missing")
	wordNewPump     = say.Define("offer.word_new_pump", "the price of a new pump")
	wordSum         = say.Define("offer.word_sum", "the price of the rebuild")
	wordRate        = say.Define("offer.word_rate", "the price of an hour of work")
	msgBadPrice     = say.Define("offer.bad_price", "{what}: its price is below zero; it is left out")
	msgYears        = say.Define("offer.years", "life of {years:number} years, assumed")
	msgDiscount     = say.Define("offer.discount", "interest of {rate:percent} a year, assumed")
	msgSameDelivery = say.Define("offer.same_delivery", "the upgrade “{name}” does not say what it changes in the pump’s gaps: it is taken to deliver what the rebuilt pump does")
	msgNoBetween    = say.Define("offer.no_between", "how long the pump runs between rebuilds is not known: later rebuilds are left out for every course")
	msgNoEnergy     = say.Define("offer.no_energy", "energy and lost output are left out: flow and power of each course are not worked out")
	msgNoEnergyP    = say.Define("offer.no_energy_price", "energy is left out: its price or the hours a year are not written down")
	msgNoOutput     = say.Define("offer.no_output_price", "lost output is left out: its price or the hours a year are not written down")
	msgBest         = say.Define("offer.best", "{best} costs least over {years:count|year|years}: {value}; the next is dearer by {difference}")
	msgHinge        = say.Define("offer.hinge", "the choice turns round within ± {spread:percent} of: {names:list}")
	msgFirm         = say.Define("offer.firm", "no single number within ± {spread:percent} turns the choice round")
	msgShare        = say.Define("offer.share", "the rebuild is {share:percent} of a new pump; above {limit:percent} the trade looks twice (rule of thumb): delivery time, special metal and pipes may still speak for the rebuild")
	msgOpenRange    = say.Define("offer.open_range", "with every part that may still be needed {best} is no longer the least: read those parts first")
	eventWaiting    = "waiting"
	eventNext       = "next rebuild"
	eventScrap      = "scrap value"
	yearlyEnergy    = "energy"
	yearlyOutput    = "lost output"
	yearsAtMost     = 200.0
	msgYearsBound   = say.Define("offer.years_bound", "a life of {years:number} years is not used; 1 to 200 are")
)

// life compares the courses.
func (c *Chapter) life(in Inputs) {
	p := prices(in)
	var missing []say.Message
	pump := newPump(p, in.Sheet.Name)
	upgrade := in.Shop.UpgradeOf(in.Sheet.Name)
	if pump != nil && !(pump.Price >= 0) {
		c.Warnings = append(c.Warnings, msgBadPrice.With(pump.Name))
		pump = nil
	}
	if upgrade != nil && !(upgrade.Price >= 0) {
		c.Warnings = append(c.Warnings, msgBadPrice.With(upgrade.Name))
		upgrade = nil
	}
	if pump == nil && upgrade == nil {
		missing = append(missing, wordNewPump.With())
	}
	if c.Sum == nil {
		missing = append(missing, wordSum.With())
	}
	if c.LabourSum == nil {
		missing = append(missing, wordRate.With())
	}
	if len(missing) > 0 {
		c.NoLife = msgNoPrices.With(missing)
		return
	}
	l := &Life{Currency: c.Currency, Low: map[string]float64{}, High: map[string]float64{}}
	sure := rebuildCost{price: c.Sum.Amount(), lead: c.lead(c.Advised)}
	input := c.lifeInput(in, l, pump, upgrade, sure, asIs())
	r, err := cost.Compare(input)
	if err != nil {
		c.NoLife = msgSearch.With(err)
		return
	}
	l.Result = r
	c.Life = l
	l.bounds(c, in, pump, upgrade)
	l.Hinges = c.hinges(in, l, pump, upgrade, sure)
	l.say(c, pump)
}

func (c *Chapter) lead(p *Plan) float64 {
	if p == nil {
		return 0
	}
	return p.Lead.SI() / day
}

func newPump(p *ledger.Prices, name string) *ledger.NewPump {
	for i := range p.NewPumps {
		if p.NewPumps[i].Sheet == name {
			one := p.NewPumps[i]
			if one.Name == "" {
				one.Name = string(Replace)
			}
			return &one
		}
	}
	return nil
}

// lifeInput puts the courses together: first cost, waiting, energy, lost
// output, later rebuilds.
func (c *Chapter) lifeInput(in Inputs, l *Life, pump *ledger.NewPump, upgrade *ledger.Upgrade, r rebuildCost, k scales) cost.Input {
	p := prices(in)
	rebuild, lead := c.scaled(r.price, k), r.lead
	input := cost.Input{Years: assumedYears, Discount: assumedDiscount}
	l.Assumed = nil
	switch {
	case p.Years == nil:
		l.Assumed = append(l.Assumed, msgYears.With(float64(assumedYears)))
	case *p.Years >= 1 && *p.Years <= yearsAtMost:
		input.Years = int(math.Round(*p.Years))
	default:
		l.Assumed = append(l.Assumed, msgYearsBound.With(*p.Years), msgYears.With(float64(assumedYears)))
	}
	if p.Discount != nil {
		input.Discount = *p.Discount
	} else {
		l.Assumed = append(l.Assumed, msgDiscount.With(assumedDiscount))
	}
	if p.Inflation != nil {
		input.Inflation = *p.Inflation
	}
	input.Discount *= k[byDiscount]
	delivered := c.hasDelivery(in, pump, upgrade)
	if !delivered {
		l.Assumed = append(l.Assumed, msgNoEnergy.With())
	}
	if delivered && upgrade != nil && !upgrade.Sized() {
		l.Assumed = append(l.Assumed, msgSameDelivery.With(upgrade.Name))
	}
	between := in.YearsBetween
	if between == nil {
		l.Assumed = append(l.Assumed, msgNoBetween.With())
	}
	add := func(course Course, initial, leadDays float64, every *float64) *cost.Option {
		o := cost.Option{Name: string(course), Initial: initial, Yearly: map[string]float64{}}
		if c.Waiting != nil && leadDays > 0 {
			o.Events = append(o.Events, cost.Event{Name: eventWaiting, Year: 0, Cost: c.Waiting.PerDay.Amount() * leadDays * k[byWaiting]})
		}
		if every == nil {
			every = between
		}
		if between != nil && every != nil && *every > 0 {
			for year := *every; year <= float64(input.Years); year += math.Max(*every, 0.5) {
				o.Events = append(o.Events, cost.Event{Name: eventNext, Year: int(math.Round(year)), Cost: rebuild})
			}
		}
		if delivered {
			c.yearly(in, l, in.Delivery[course], k, o.Yearly)
		}
		input.Options = append(input.Options, o)
		return &input.Options[len(input.Options)-1]
	}
	add(Rebuild, rebuild, lead, nil)
	if upgrade != nil {
		add(Upgrade, rebuild+upgrade.Price*k[byUpgrade], math.Max(lead, upgrade.LeadDays), upgrade.YearsWear)
	}
	if pump != nil {
		o := add(Replace, (pump.Price+pump.Piping)*k[byPump]+c.fitting()*k[byLabour], pump.LeadDays, pump.YearsWear)
		if pump.Scrap != 0 {
			o.Events = append(o.Events, cost.Event{Name: eventScrap, Year: 0, Cost: -pump.Scrap})
		}
	}
	return input
}

// fitting is the labour of taking the old pump off and putting a new one in.
func (c *Chapter) fitting() float64 {
	sum := 0.0
	for _, s := range c.Labour {
		if s.Price != nil && (s.Stage == string(procedure.MakeSafe) || s.Stage == string(procedure.Return)) {
			sum += s.Price.Amount()
		}
	}
	return sum
}

// hasDelivery reports whether flow and power of every course are known: a
// number that only one course has would decide the comparison.
func (c *Chapter) hasDelivery(in Inputs, pump *ledger.NewPump, upgrade *ledger.Upgrade) bool {
	courses := []Course{Rebuild}
	if upgrade != nil {
		courses = append(courses, Upgrade)
	}
	if pump != nil {
		courses = append(courses, Replace)
	}
	for _, k := range courses {
		if d := in.Delivery[k]; d.Power == nil && d.Short == nil {
			return false
		}
	}
	return true
}

// yearly prices energy and lost output.
//
//	energy  = P/η · hours · price of a kWh
//	output  = missing flow · hours · price of a cubic metre
func (c *Chapter) yearly(in Inputs, l *Life, d Delivery, k scales, into map[string]float64) {
	s := in.Service
	note := func(m say.Message) {
		for _, known := range l.Assumed {
			if known.ID() == m.ID() {
				return
			}
		}
		l.Assumed = append(l.Assumed, m)
	}
	if !c.sameCurrency(in) || s.HoursAYear == nil || s.EnergyPrice == nil {
		note(msgNoEnergyP.With())
	} else if d.Power != nil {
		efficiency := driveEfficiency
		if s.Drive != nil && s.Drive.Efficiency != nil && *s.Drive.Efficiency > 0 {
			efficiency = *s.Drive.Efficiency
		}
		into[yearlyEnergy] = d.Power.SI() / 1000 / efficiency * *s.HoursAYear * *s.EnergyPrice * k[byEnergy]
	}
	if !c.sameCurrency(in) || s.HoursAYear == nil || s.OutputPrice == nil {
		note(msgNoOutput.With())
	} else if d.Short != nil {
		into[yearlyOutput] = math.Max(d.Short.SI(), 0) * 3600 * *s.HoursAYear * *s.OutputPrice * k[byOutput]
	}
}

// bounds are the present values with what is sure and with all that may come.
func (l *Life) bounds(c *Chapter, in Inputs, pump *ledger.NewPump, upgrade *ledger.Upgrade) {
	for _, v := range l.Result.Options {
		l.Low[v.Name], l.High[v.Name] = v.PresentValue, v.PresentValue
	}
	if c.Largest == nil || c.SumHigh == nil {
		return
	}
	scratch := &Life{}
	high, err := cost.Compare(c.lifeInput(in, scratch, pump, upgrade, rebuildCost{price: c.SumHigh.Amount(), lead: c.lead(c.Largest)}, asIs()))
	if err != nil {
		return
	}
	for _, v := range high.Options {
		l.High[v.Name] = math.Max(l.High[v.Name], v.PresentValue)
		l.Low[v.Name] = math.Min(l.Low[v.Name], v.PresentValue)
	}
	if high.Best != l.Result.Best {
		l.Words = append(l.Words, msgOpenRange.With(l.Result.Best))
	}
}

// say puts the comparison in words.
func (l *Life) say(c *Chapter, pump *ledger.NewPump) {
	var turning []string
	for _, h := range l.Hinges {
		if h.InReach {
			turning = append(turning, h.Name)
		}
	}
	l.Firm = len(turning) == 0
	for _, v := range l.Result.Options {
		if v.Name == l.Result.Best {
			l.Words = append([]say.Message{msgBest.With(v.Name, l.Result.Input.Years, c.money(v.PresentValue), c.money(l.Result.Difference))}, l.Words...)
		}
	}
	if l.Firm {
		l.Words = append(l.Words, msgFirm.With(spread))
	} else {
		l.Words = append(l.Words, msgHinge.With(spread, turning))
	}
	if pump != nil && pump.Price > 0 {
		share := c.Sum.Amount() / pump.Price
		l.Share = &share
		if share > repairShare {
			l.Words = append(l.Words, msgShare.With(share, repairShare))
		}
	}
}
