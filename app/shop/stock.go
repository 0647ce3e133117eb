package shop

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"unicode"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// The parts stock of a site is one stream: what an entry means depends on those
// about the same item before it.
const (
	stockPrefix = "stock:"
	stockStream = stockPrefix + "shelf"
)

var (
	msgTooMany  = say.Define("shop.too_many", "this is more than a shelf holds")
	msgItemName = say.Define("shop.item_name", "this cannot name an item of the stock")
	msgItemIs   = say.Define("shop.item_name_is", "write a number or a short name, {most:count} characters at most")
)

const (
	// mostPieces is beyond any shelf: a slipped digit is refused.
	mostPieces   = 1_000_000
	longestItem  = 80
	stockWriters = 8 // how often a movement is looked at again because others wrote in between
)

// StockAnswer is what an entry does to the stock.
type StockAnswer struct {
	// Kept tells whether the entry is kept. It is not when Warnings ask to look
	// again: confirm it, or write another number.
	Kept     bool
	Entry    record.Entry
	Warnings []say.Message
	Stock    *ledger.Stock
}

// MoveStock writes an entry of the parts stock: body is a ledger.StockItem, a
// ledger.StockMove or a ledger.StockVoid, by its kind. The same entry sent
// again is kept once.
func (s *Shop) MoveStock(ctx context.Context, sc Scope, n NewFact, kind string, body any, confirmed bool) (*StockAnswer, error) {
	if err := sc.need(access.WriteStock); err != nil {
		return nil, err
	}
	raw, err := record.CanonicalOf(body)
	if err != nil {
		return nil, err
	}
	if err := checkStock(raw); err != nil {
		return nil, err
	}
	if n.ID == "" {
		if n.ID, err = s.newID(); err != nil {
			return nil, err
		}
	} else if !uuid.MatchString(n.ID) {
		return nil, say.Refuse("id", n.ID, msgBadID.With(), msgUUID.With())
	}
	for range stockWriters {
		stream, err := s.store.Load(ctx, sc.Site, stockStream, 0)
		if err != nil {
			return nil, err
		}
		e := record.Entry{ID: n.ID, Stream: stockStream, Kind: kind, Version: 1, Body: raw, By: sc.Person, At: record.TimeOf(n.At), Device: sc.Device, Received: s.stamp()}
		if e.At == 0 {
			e.At = e.Received
		}
		known := false
		for i := range stream.Entries {
			if was := &stream.Entries[i]; was.ID == n.ID && was.By == e.By { // sent again
				known, e.Device = true, was.Device
				if n.At.IsZero() {
					e.At = was.At
				}
			}
		}
		if !known {
			stock := ledger.FoldStock(stream)
			warnings, err := ledger.VetStock(stock, kind, raw)
			if err != nil {
				return nil, err
			}
			if len(warnings) > 0 && !confirmed {
				return &StockAnswer{Entry: e, Warnings: warnings, Stock: stock}, nil
			}
		}
		head := store.Head{Stream: stockStream, Seq: int64(len(stream.Entries)), Hash: stream.Head()}
		sealed, fresh, err := s.store.Append(ctx, sc.Site, head, e)
		if errors.Is(err, store.ErrMoved) {
			continue
		}
		if err != nil {
			return nil, err
		}
		if fresh > 0 {
			stream.Entries = append(stream.Entries, sealed[0])
			s.hints.publish(sc.Site, Hint{stockStream, sealed[0].Seq})
		}
		stock := ledger.FoldStock(stream)
		return &StockAnswer{Kept: true, Entry: sealed[0], Stock: stock}, s.putStockTexts(ctx, sc.Site, stream, stock)
	}
	return nil, say.Refuse("", "", msgBusy.With(), msgSendAgain.With())
}

func checkStock(raw []byte) error {
	var body struct {
		Item  *string
		Count json.Number
	}
	if err := json.Unmarshal(raw, &body); err != nil {
		return say.Refuse("body", "", msgBodyJSON.With(), say.Message{})
	}
	if name := body.Item; name != nil && (len(*name) > longestItem || strings.ContainsFunc(*name, unicode.IsControl)) {
		return say.Refuse("item", fmt.Sprintf("%.90q", *name), msgItemName.With(), msgItemIs.With(longestItem))
	}
	if n, err := body.Count.Float64(); body.Count != "" && (err != nil || n > mostPieces) {
		return say.Refuse("count", body.Count.String(), msgTooMany.With(), say.Message{})
	}
	return nil
}

// Stock returns the parts stock: what lies there, what is kept for jobs, and
// every movement.
func (s *Shop) Stock(ctx context.Context, sc Scope) (*ledger.Stock, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, err
	}
	return s.stock(ctx, sc.Site)
}

func (s *Shop) stock(ctx context.Context, site string) (*ledger.Stock, error) {
	stream, err := s.store.Load(ctx, site, stockStream, 0)
	if err != nil {
		return nil, err
	}
	return ledger.FoldStock(stream), nil
}

// stockTexts makes the words by which the items of the stock are found.
func (s *Shop) stockTexts(ctx context.Context, site string) error {
	stream, err := s.store.Load(ctx, site, stockStream, 0)
	if err != nil || len(stream.Entries) == 0 {
		return err
	}
	return s.putStockTexts(ctx, site, stream, ledger.FoldStock(stream))
}

func (s *Shop) putStockTexts(ctx context.Context, site string, stream *record.Stream, stock *ledger.Stock) error {
	texts := make([]store.Text, 0, len(stock.Holdings))
	for _, h := range stock.Holdings {
		t := store.Text{Stream: stockStream, Ref: h.Item, Kind: "stock", Text: strings.Join([]string{h.Item, h.Name, h.Part, h.Place}, " ")}
		if n := len(h.Moves); n > 0 {
			t.At = h.Moves[n-1].At
		}
		texts = append(texts, t)
	}
	return s.store.PutDerived(ctx, site, store.Head{Stream: stockStream, Seq: int64(len(stream.Entries)), Hash: stream.Head()}, nil, texts)
}
