package transfer

import "pumpwright/rebuild/ledger"

// Shelf writes a parts stock.
func (p *Past) Shelf(holdings []*ledger.Holding, troubles []ledger.StockTrouble) Object {
	items, wrong := []any{}, []any{}
	for _, h := range holdings {
		o := Object{"item": h.Item, "on_hand": h.OnHand, "kept": h.Kept(), "free": h.Free(), "minimum": h.Minimum, "short": h.Short()}
		for name, text := range map[string]string{"name": h.Name, "model": h.Sheet, "part": h.Part, "place": h.Place, "currency": h.Currency} {
			o.set(name, text)
		}
		if h.Price != nil {
			o["price"] = *h.Price
		}
		for name, byJob := range map[string]map[string]int{"kept_for": h.Reserved, "used_in": h.Used} {
			counts := Object{}
			for job, n := range byJob {
				if n > 0 {
					counts[job] = n
				}
			}
			o.set(name, counts)
		}
		moves := []any{}
		for _, m := range h.Moves {
			one := Object{"entry": m.Ref, "kind": m.Kind, "by": m.By, "day": m.At.Day(), "change": m.Change, "count": m.Move.Count}
			for name, text := range map[string]string{"job": m.Move.Job, "batch": m.Move.Batch, "reason": m.Move.Reason} {
				one.set(name, text)
			}
			moves = append(moves, one)
		}
		o["moves"] = moves
		items = append(items, o)
	}
	for _, t := range troubles {
		wrong = append(wrong, Object{"entry": t.Ref, "kind": t.Kind, "message": t.Message.Text(p.Style)})
	}
	doc := p.head()
	delete(doc, "as_of")
	delete(doc, "unused")
	doc["items"], doc["troubles"] = items, wrong
	return doc
}
