package shop

import (
	"context"
	"fmt"

	"pumpwright/app/access"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
)

// Quotes returns the quotes of a job as they stand today.
func (s *Shop) Quotes(ctx context.Context, sc Scope, name string) ([]job.QuoteStanding, error) {
	j, err := s.Job(ctx, sc, name)
	if err != nil {
		return nil, err
	}
	return j.State.QuotesAsOf(s.now()), nil
}

// DraftQuote makes a quote of today for somebody to look at: it is not kept.
func (s *Shop) DraftQuote(ctx context.Context, sc Scope, name string, asked offer.Asked) (job.Quote, []say.Message, error) {
	if err := sc.need(access.Quote); err != nil {
		return job.Quote{}, nil, err
	}
	j, err := s.Job(ctx, sc, name)
	if err != nil {
		return job.Quote{}, nil, err
	}
	if j.Assessment == nil {
		return job.Quote{}, nil, j.NotAssessed
	}
	if asked.Day.IsZero() {
		asked.Day = s.now()
	}
	return j.Assessment.Quote(asked)
}

// Shelved is what lies on the shelf of what a job is to get.
type Shelved struct {
	Offer    string // kit or loose part of the plan
	Wanted   int
	Item     string // of the stock
	OnHand   int
	Free     int
	Reserved int // kept for the job
	Used     int // fitted in it
}

// LeftOver is a piece of a kit that the job does not need.
type LeftOver struct {
	Part, Name string
	Count      int
	Put        bool // it was put into stock
}

// FromShelf says of the advised plan what lies on the shelf, and what is left
// over of its kits.
func (s *Shop) FromShelf(ctx context.Context, sc Scope, name string) ([]Shelved, []LeftOver, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, nil, err
	}
	j, err := s.Job(ctx, sc, name)
	if err != nil || j.Assessment == nil || j.Assessment.Offer().Advised == nil {
		return nil, nil, err
	}
	stock, err := s.stock(ctx, sc.Site)
	if err != nil {
		return nil, nil, err
	}
	sheet, plan := j.Assessment.Inputs.Sheet, j.Assessment.Offer().Advised
	var list []Shelved
	for _, ch := range plan.Choose {
		names := []string{ch.Offer.Name}
		if len(ch.Offer.Parts) == 1 {
			for id, n := range ch.Offer.Parts {
				if n == 1 {
					names = append(names, id)
				}
			}
		}
		for _, h := range stock.Named(sheet.Name, names...) {
			list = append(list, Shelved{ch.Offer.Name, ch.Count, h.Item, h.OnHand, h.Free(), h.Reserved[name], h.Used[name]})
		}
	}
	var over []LeftOver
	for i := range sheet.Parts {
		p := &sheet.Parts[i]
		if n := plan.Result.LeftOver[p.ID]; n > 0 {
			over = append(over, LeftOver{p.ID, p.Name, n, s.putBefore(stock, sheet.Name, name, p.ID)})
		}
	}
	return list, over, nil
}

// leftItem names the item of the stock for a part of a sheet when nobody has
// given it a name yet.
func leftItem(sheet, part string) string { return sheet + " " + part }

func (s *Shop) putBefore(stock *ledger.Stock, sheet, name, part string) bool {
	for _, h := range stock.Named(sheet, part) {
		for _, m := range h.Moves {
			if m.Kind == ledger.KindStockIn && m.Move.Job == name {
				return true
			}
		}
	}
	return false
}

var (
	msgNothingLeft = say.Define("shop.nothing_left", "nothing of this part is left over")
	msgPutBefore   = say.Define("shop.put_before", "it was put into stock before")
	msgLeftOf      = say.Define("shop.left_of", "left over from the kits of {job}")
)

// PutLeftOver puts what the kits of a job hold too much of a part into stock:
// under the item of that part, or under a new one.
func (s *Shop) PutLeftOver(ctx context.Context, sc Scope, name, part string) error {
	if err := sc.need(access.WriteStock); err != nil {
		return err
	}
	_, over, err := s.FromShelf(ctx, sc, name)
	if err != nil {
		return err
	}
	for _, l := range over {
		switch {
		case l.Part != part:
			continue
		case l.Put:
			return say.Refuse("part", l.Name, msgPutBefore.With(), say.Message{})
		}
		j, err := s.Job(ctx, sc, name)
		if err != nil {
			return err
		}
		stock, err := s.stock(ctx, sc.Site)
		if err != nil {
			return err
		}
		sheet := j.Assessment.Inputs.Sheet.Name
		item := leftItem(sheet, part)
		if known := stock.Named(sheet, part); len(known) > 0 {
			item = known[0].Item
		} else if _, err := s.MoveStock(ctx, sc, NewFact{}, ledger.KindStockItem, ledger.StockItem{Item: item, Name: l.Name, Sheet: sheet, Part: part}, true); err != nil {
			return err
		}
		move := ledger.StockMove{Item: item, Count: l.Count, Job: name, Reason: msgLeftOf.With(name).String()}
		_, err = s.MoveStock(ctx, sc, NewFact{}, ledger.KindStockIn, move, true)
		return err
	}
	return say.Refuse("part", fmt.Sprint(part), msgNothingLeft.With(), say.Message{})
}
