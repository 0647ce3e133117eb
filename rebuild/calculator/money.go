package calculator

import (
	"fmt"
	"math"

	"pumpwright/calc/cost"
	"pumpwright/calc/cover"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// moneyCalculators are those of buying and of cost over the life.
func moneyCalculators() []Calculator {
	return []Calculator{coverCalculator(), lifeCostCalculator()}
}

// LeadTime is the time until an offer is there: a time, or a plain number of
// days.
type LeadTime struct {
	quantity.Time
}

// FromInput reads a time, or a plain number of days.
func (l *LeadTime) FromInput(raw any) error {
	if _, isText := raw.(string); isText {
		if err := fields.Bind(raw, &l.Time); err != nil {
			return err
		}
		return nil
	}
	var days float64
	if err := fields.Bind(raw, &days); err != nil {
		return say.Refuse("", fmt.Sprint(raw), msgWantsLead.With(), say.Message{})
	}
	l.Time = quantity.Time(days * 86400)
	return nil
}

// KindName tells what is written there.
func (*LeadTime) KindName() string { return "time, or a plain number of days" }

var msgWantsLead = say.Define("calculator.wants_lead", "wanted is a time such as 5 d or 2 weeks, or a plain number of days")

type offerIn struct {
	Name     string         `json:"name" help:"name of the kit, part or piece of work"`
	Price    float64        `json:"price" help:"price of one, all in one currency"`
	LeadTime *LeadTime      `json:"lead_time" help:"time until it is there; at once when missing"`
	Stock    *int           `json:"stock" help:"how many can be had; any number when missing"`
	Parts    map[string]int `json:"parts" help:"what one holds or makes good: part and count"`
}

type coverIn struct {
	Needs         map[string]int `json:"needs" help:"what is needed: part and count"`
	Offers        []offerIn      `json:"offers" help:"kits, loose parts and work that can be had"`
	Aim           string         `json:"aim" default:"cheapest" oneof:"cheapest|soonest|least-left-over|least-total" help:"what makes one cover better than another"`
	CostOfWaiting float64        `json:"cost_of_waiting" default:"0" unit:"per day|/day|/d|a day" help:"price of one day of waiting, for least-total"`
}

type coverOut struct {
	Choose   map[string]int `json:"choose" help:"how many of each offer to take"`
	Cost     float64        `json:"cost" help:"price of all of it"`
	LeadTime quantity.Time  `json:"lead_time" help:"time until all of it is there"`
	Waiting  float64        `json:"waiting" help:"price of waiting so long"`
	Total    float64        `json:"total" help:"price and waiting"`
	LeftOver map[string]int `json:"left_over" help:"what is over and goes to stock"`
	Missing  map[string]int `json:"missing" help:"what no offer covers"`
}

func coverCalculator() Calculator {
	return Define("cover", "Which kits, parts and work cover what is needed?",
		"# invented prices\nneeds: {seal: 1, head gasket: 2, idler bushing: 1, idler pin: 1}\noffers:\n"+
			"  - {name: seal kit, price: 210, lead_time: 3 d, parts: {seal: 1, head gasket: 3}}\n"+
			"  - {name: minor kit, price: 390, lead_time: 10 d, parts: {seal: 1, head gasket: 3, idler bushing: 1, idler pin: 1}}\n"+
			"  - {name: bushing, price: 95, lead_time: 4 d, parts: {idler bushing: 1}}\n"+
			"  - {name: pin, price: 120, lead_time: 5 d, stock: 1, parts: {idler pin: 1}}\n"+
			"aim: least-total\ncost_of_waiting: 20\n",
		func(_ *Env, in coverIn) (coverOut, Notes, error) {
			input := cover.Input{Needs: in.Needs, Aim: cover.Aim(in.Aim), CostOfWaiting: in.CostOfWaiting}
			for _, o := range in.Offers {
				offer := cover.Offer{Name: o.Name, Price: o.Price, Stock: o.Stock, Parts: o.Parts}
				if o.LeadTime != nil {
					offer.LeadTime = &o.LeadTime.Time
				}
				input.Offers = append(input.Offers, offer)
			}
			r, err := cover.Find(input)
			if err != nil {
				return coverOut{}, Notes{}, err
			}
			out := coverOut{Choose: map[string]int{}, Cost: r.Cost, LeadTime: r.LeadTime, Waiting: r.Waiting, Total: r.Total(), LeftOver: r.LeftOver, Missing: r.Missing}
			for _, c := range r.Choose {
				out.Choose[c.Offer] = c.Count
			}
			return out, Notes{Warnings: r.Warnings, Working: r.Working()}, nil
		})
}

type eventIn struct {
	Name string  `json:"name" optional:"yes" help:"what happens"`
	Year int     `json:"year" help:"at the end of which year (0: now)"`
	Cost float64 `json:"cost" help:"its cost in today's money; scrap value is negative"`
}

type optionIn struct {
	Name    string             `json:"name" help:"name of the course of action"`
	Initial float64            `json:"initial" default:"0" help:"cost now"`
	Yearly  map[string]float64 `json:"yearly" optional:"yes" help:"cost of each year by kind (energy, maintenance, downtime, …), in today's money"`
	Events  []eventIn          `json:"events" optional:"yes" help:"costs of single years"`
}

type lifeCostIn struct {
	Options   []optionIn `json:"options" help:"courses of action, all in one currency"`
	Years     Years      `json:"years" help:"life that is looked at"`
	Discount  float64    `json:"discount" help:"rate of interest, a fraction a year"`
	Inflation float64    `json:"inflation" default:"0" help:"inflation, a fraction a year"`
	Spread    float64    `json:"spread" default:"0.2" help:"by what fraction each number is varied to see what the choice hinges on"`
}

type optionOut struct {
	Name             string             `json:"name" help:"name of the course of action"`
	PresentValue     float64            `json:"present_value" help:"all its costs in today's money"`
	ByPart           map[string]float64 `json:"by_part" help:"present value of each part"`
	AnnualEquivalent float64            `json:"annual_equivalent" help:"the same as an equal sum each year"`
}

type hingeOut struct {
	Name    string   `json:"name" help:"which number"`
	Low     float64  `json:"low" help:"difference when it is less by the spread"`
	High    float64  `json:"high" help:"difference when it is more by the spread"`
	TurnsAt *float64 `json:"turns_at" help:"multiple of the number at which the two best cost the same"`
	InReach bool     `json:"in_reach" help:"the choice turns round within the spread"`
}

type lifeCostOut struct {
	Options    []optionOut `json:"options" help:"each course of action"`
	Best       string      `json:"best" help:"the one with the least present value"`
	Difference float64     `json:"difference" help:"present value of the second best less that of the best"`
	RealRate   float64     `json:"real_rate" help:"rate above inflation: (1 + discount)/(1 + inflation) − 1"`
	Payback    *float64    `json:"simple_payback_years" help:"of two options: years in which lower yearly costs earn back the higher first cost, without interest"`
	Hinges     []hingeOut  `json:"hinges" optional:"yes" help:"what the difference hinges on, the largest swing first"`
}

var (
	msgWholeYears = say.Define("calculator.whole_years", "wanted is a whole number of years")
	warnHinge     = say.Define("calculator.warn_hinge", "the choice is not firm: within the spread of {spread:percent} it turns round with {names}")
)

func lifeCostCalculator() Calculator {
	return Define("life-cost", "What does each course of action cost over its life?",
		"# invented sums\noptions:\n  - {name: repair, initial: 1800, yearly: {energy: 3100, maintenance: 1100}, events: [{year: 3, cost: 1800}, {year: 6, cost: 1800}]}\n"+
			"  - {name: replace, initial: 9500, yearly: {energy: 2800, maintenance: 800}, events: [{year: 4, cost: 1500}, {name: scrap, year: 8, cost: -800}]}\n"+
			"years: 8\ndiscount: 0.08\ninflation: 0\n",
		func(_ *Env, in lifeCostIn) (lifeCostOut, Notes, error) {
			years := math.Round(float64(in.Years))
			if math.Abs(float64(in.Years)-years) > 1e-6 || math.Abs(years) > 1e6 {
				return lifeCostOut{}, Notes{}, say.Refuse("years", fmt.Sprint(float64(in.Years)), msgWholeYears.With(), say.Message{})
			}
			input := cost.Input{Years: int(years), Discount: in.Discount, Inflation: in.Inflation}
			for _, o := range in.Options {
				option := cost.Option{Name: o.Name, Initial: o.Initial, Yearly: o.Yearly}
				for _, e := range o.Events {
					option.Events = append(option.Events, cost.Event(e))
				}
				input.Options = append(input.Options, option)
			}
			r, err := cost.Compare(input)
			if err != nil {
				return lifeCostOut{}, Notes{}, err
			}
			hinges, err := cost.Hinges(input, in.Spread)
			if err != nil {
				return lifeCostOut{}, Notes{}, err
			}
			out := lifeCostOut{Best: r.Best, Difference: r.Difference, RealRate: r.RealRate}
			for _, v := range r.Options {
				out.Options = append(out.Options, optionOut(v))
			}
			notes := Notes{Working: r.Working()}
			var turning []string
			for _, h := range hinges {
				row := hingeOut{Name: h.Name, Low: h.Low, High: h.High, InReach: h.InReach}
				if h.Turns {
					row.TurnsAt = &h.TurnsAt
				}
				if h.InReach {
					turning = append(turning, h.Name)
				}
				out.Hinges = append(out.Hinges, row)
			}
			if len(turning) > 0 {
				notes.Warn(warnHinge.With(in.Spread, turning))
			}
			if o := input.Options; len(o) == 2 {
				cheap, dear := o[0], o[1]
				if dear.Initial < cheap.Initial {
					cheap, dear = dear, cheap
				}
				if payback, ever := cost.SimplePayback(cheap, dear); ever {
					out.Payback = &payback
				}
			}
			return out, notes, nil
		})
}
