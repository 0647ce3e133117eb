package offer

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
)

// Outside is work that is sent out.
type Outside struct {
	What  string
	Price *quantity.Money
	Meta  job.Meta

	subject string // part, or what stands for it
}

// outsideBody is what the chapter reads of an outside-work entry.
type outsideBody struct {
	What     string   `json:"what" optional:"yes"`
	Work     string   `json:"work" optional:"yes"`
	Part     string   `json:"part" optional:"yes"`
	Returned bool     `json:"returned" optional:"yes"`
	Price    *float64 `json:"price"`
	Currency string   `json:"currency" optional:"yes"`
}

var (
	outsideOf         = say.Define("offer.outside_of", "{subject}: {work}")
	msgOutsideBad     = say.Define("offer.outside_bad", "outside work: {reason}")
	msgOutsideForeign = say.Define("offer.outside_foreign", "outside work {what}: priced in {currency}, the rest in {wanted}; it is not in the sum")
)

// labour puts the hours of each stage together: the shop's median where it has
// one, else the standard hours of the sheet; never less than was worked.
func (c *Chapter) labour(in Inputs) {
	p := prices(in)
	rate := p.LabourRate
	if rate != nil && !(*rate >= 0) {
		c.Warnings = append(c.Warnings, msgBadPrice.With(wordRate.With()))
		rate = nil
	}
	logged := in.State.HoursByStage()
	var without []string
	for _, stage := range procedure.Stages() {
		id := string(stage)
		s := Stage{Stage: id, Sheet: in.Sheet.Labour[id], Logged: logged[id]}
		s.Hours = s.Sheet
		if m := in.Shop.MedianOf(in.Sheet.Name, id); m != nil {
			s.Median, s.Jobs, s.Hours, s.Model = m.Hours, m.Jobs, m.Hours, m.Sheet
		}
		if m, known := p.Medians[id]; known && m.Hours >= 0 && m.Jobs >= s.Jobs {
			s.Median, s.Jobs, s.Hours = m.Hours, m.Jobs, m.Hours
		}
		s.Hours = max(s.Hours, s.Logged)
		s.Started = s.Logged > 0
		if s.Hours == 0 {
			if id != string(procedure.Quote) && len(in.Sheet.Labour) > 0 {
				without = append(without, id)
			}
			continue
		}
		if rate != nil {
			price := c.money(s.Hours * *rate)
			s.Price = &price
		}
		c.Labour = append(c.Labour, s)
		c.Hours += s.Hours
	}
	switch {
	case len(c.Labour) == 0:
		return
	case rate == nil:
		c.Warnings = append(c.Warnings, msgNoRate.With())
	default:
		sum := c.money(c.Hours * *rate)
		c.LabourSum = &sum
	}
	if len(without) > 0 {
		c.Warnings = append(c.Warnings, msgNoHours.With(without))
	}
}

func (c *Chapter) outside(in Inputs) {
	for _, k := range in.State.OutsideWork {
		var b outsideBody
		if err := (&fields.Reader{KeepUnknown: true}).Bind(k.Body, &b); err != nil {
			c.Warnings = append(c.Warnings, msgOutsideBad.With(err))
			continue
		}
		o := Outside{What: b.name(in), subject: b.subject(), Meta: k.Meta}
		switch {
		case b.Price == nil:
		case b.Currency != "" && b.Currency != c.Currency:
			c.Warnings = append(c.Warnings, msgOutsideForeign.With(o.What, b.Currency, c.Currency))
		case *b.Price < 0:
			c.Warnings = append(c.Warnings, msgNegative.With(o.What))
		default:
			price := c.money(*b.Price)
			o.Price = &price
		}
		if b.Returned { // what was asked at the end stands in place of what was expected
			if at := c.sent(o.subject); at >= 0 {
				if o.Price != nil {
					c.Outside[at].Price = o.Price
				}
				continue
			}
		}
		c.Outside = append(c.Outside, o)
	}
}

// sent is the last work of the same subject, -1 for none.
func (c *Chapter) sent(subject string) int {
	for i := len(c.Outside) - 1; i >= 0; i-- {
		if c.Outside[i].subject == subject {
			return i
		}
	}
	return -1
}

// subject is what the work is done to.
func (b *outsideBody) subject() string {
	if b.Part != "" {
		return b.Part
	}
	return b.What
}

// name says what is done to what.
func (b *outsideBody) name(in Inputs) string {
	subject := b.subject()
	if p := in.Sheet.Part(b.Part); p != nil {
		subject = p.Name
	}
	switch {
	case b.Work == "":
		return subject
	case subject == "":
		return b.Work
	}
	return outsideOf.With(subject, b.Work).String()
}

// sums adds parts, labour and outside work, once with what is sure and once
// with every part that may be needed.
func (c *Chapter) sums() {
	base := quantity.Money{Currency: c.Currency}
	if c.LabourSum != nil {
		base = *c.LabourSum
	}
	for _, o := range c.Outside {
		if o.Price != nil {
			base, _ = base.Add(*o.Price)
		}
	}
	with := func(p *Plan) *quantity.Money {
		if p == nil {
			return nil
		}
		sum, err := base.Add(p.Price)
		if err != nil {
			return nil
		}
		return &sum
	}
	c.Sum = with(c.Advised)
	if c.Sum == nil && len(c.Needs) == 0 && c.LabourSum != nil {
		c.Sum = &base
	}
	if c.SumHigh = with(c.Largest); c.SumHigh == nil {
		c.SumHigh = c.Sum
	}
}
