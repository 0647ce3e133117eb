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
}

// outsideBody is what the chapter reads of an outside-work entry.
type outsideBody struct {
	What     string   `json:"what" optional:"yes"`
	Work     string   `json:"work" optional:"yes"`
	Part     string   `json:"part" optional:"yes"`
	Price    *float64 `json:"price"`
	Currency string   `json:"currency" optional:"yes"`
}

var (
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
		o := Outside{What: b.What, Meta: k.Meta}
		if o.What == "" {
			o.What = b.Work
		}
		if o.What == "" {
			o.What = b.Part
		}
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
		c.Outside = append(c.Outside, o)
	}
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
