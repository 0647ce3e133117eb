package shop

import (
	"context"
	"encoding/json"
	"maps"
	"sort"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// Streams of the shop that are not of a job.
const (
	instrumentPrefix = "instrument:"
	stockPrefix      = "stock:"
	pumpPrefix       = "pump:"
	settingsStream   = "site:settings"
)

// Kinds of their entries.
const (
	kindInstrument = "instrument"
	kindCounted    = "counted" // so many are on the shelf
	kindMoved      = "moved"   // put there or taken away
	kindPump       = "pump"
	kindSettings   = "settings"
)

// NewFact is an entry about something of the shop.
type NewFact struct {
	ID string // UUID made by the writer; made here when empty
	At time.Time
}

// Fact says who wrote something last.
type Fact struct {
	Version int64
	By      string
	At      record.Time
}

// Instrument is an instrument as it is kept now.
type Instrument struct {
	Fact
	ledger.Instrument
	Fields map[string]any // as written
}

// SaveInstrument keeps what a certificate says of an instrument: the fields of
// ledger.Instrument by their JSON names, quantities as typed.
func (s *Shop) SaveInstrument(ctx context.Context, sc Scope, n NewFact, fields map[string]any) (Instrument, error) {
	if err := sc.need(access.WriteTools); err != nil {
		return Instrument{}, err
	}
	in, err := readInstrument(fields)
	if err != nil {
		return Instrument{}, err
	}
	if err := checkName("id", in.ID); err != nil {
		return Instrument{}, err
	}
	e, err := s.keep(ctx, sc, kept{n.ID, instrumentPrefix + in.ID, kindInstrument, n.At}, fields, in.ID+" "+in.Kind+" "+in.Name)
	in.Fact = factOf(&e)
	return in, err
}

func factOf(e *record.Entry) Fact { return Fact{Version: e.Seq, By: e.By, At: e.At} }

func readInstrument(fields map[string]any) (Instrument, error) {
	shop, err := ledger.Read(map[string]any{"instruments": []any{fields}})
	if p := say.AsProblem(err); p != nil {
		copied := *p
		copied.Field = strings.TrimPrefix(copied.Field, "instruments[0].")
		return Instrument{}, &copied
	}
	if err != nil {
		return Instrument{}, err
	}
	return Instrument{Instrument: shop.Instruments[0], Fields: fields}, nil
}

// Instruments lists the instruments by their numbers.
func (s *Shop) Instruments(ctx context.Context, sc Scope) ([]Instrument, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, err
	}
	return s.instruments(ctx, sc.Site)
}

func (s *Shop) instruments(ctx context.Context, site string) ([]Instrument, error) {
	entries, err := s.store.Latest(ctx, site, instrumentPrefix)
	if err != nil {
		return nil, err
	}
	list := make([]Instrument, 0, len(entries))
	for i := range entries {
		var fields map[string]any
		if err := json.Unmarshal(entries[i].Body, &fields); err != nil {
			return nil, err
		}
		in, err := readInstrument(fields)
		if err != nil {
			return nil, err
		}
		in.Fact = factOf(&entries[i])
		list = append(list, in)
	}
	return list, nil
}

// Movement changes what is on the shelf.
type Movement struct {
	Item    string `json:"item"`
	Counted *int   `json:"counted,omitempty"` // so many are there
	Put     int    `json:"put,omitempty"`     // so many more; fewer when negative
	Job     string `json:"job,omitempty"`     // for which job
	Note    string `json:"note,omitempty"`
}

// Stock is one item on the shelf.
type Stock struct {
	Item  string
	Count int
	Fact
}

var (
	msgNegative = say.Define("shop.negative", "there cannot be fewer than none")
	msgNoMove   = say.Define("shop.no_move", "neither a count nor a change is given")
	msgTooMany  = say.Define("shop.too_many", "this is more than a shelf holds")
)

// mostPieces is beyond any shelf: a slipped digit is refused.
const mostPieces = 1_000_000

// MoveStock counts an item, puts some there or takes some away.
func (s *Shop) MoveStock(ctx context.Context, sc Scope, n NewFact, m Movement) (Stock, error) {
	if err := sc.need(access.WriteStock); err != nil {
		return Stock{}, err
	}
	if err := checkName("item", m.Item); err != nil {
		return Stock{}, err
	}
	kind := kindMoved
	switch {
	case m.Counted != nil && *m.Counted < 0:
		return Stock{}, say.Refuse("counted", "", msgNegative.With(), say.Message{})
	case m.Counted != nil && *m.Counted > mostPieces || m.Put > mostPieces || m.Put < -mostPieces:
		return Stock{}, say.Refuse("counted", "", msgTooMany.With(), say.Message{})
	case m.Counted != nil:
		kind, m.Put = kindCounted, 0
	case m.Put == 0:
		return Stock{}, say.Refuse("put", "", msgNoMove.With(), say.Message{})
	}
	if _, err := s.keep(ctx, sc, kept{n.ID, stockPrefix + m.Item, kind, n.At}, m, "stock "+m.Item); err != nil {
		return Stock{}, err
	}
	return s.stockOf(ctx, sc.Site, m.Item)
}

func (s *Shop) stockOf(ctx context.Context, site, item string) (Stock, error) {
	stream, err := s.store.Load(ctx, site, stockPrefix+item, 0)
	if err != nil {
		return Stock{}, err
	}
	stock := Stock{Item: item}
	for i := range stream.Entries {
		e := &stream.Entries[i]
		var m Movement
		if err := json.Unmarshal(e.Body, &m); err != nil {
			return Stock{}, err
		}
		if m.Counted != nil {
			stock.Count = *m.Counted
		}
		stock.Count = max(0, stock.Count+m.Put)
		stock.Fact = factOf(e)
	}
	return stock, nil
}

// Stock lists what is on the shelf.
func (s *Shop) Stock(ctx context.Context, sc Scope) ([]Stock, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, err
	}
	return s.stock(ctx, sc.Site)
}

func (s *Shop) stock(ctx context.Context, site string) ([]Stock, error) {
	heads, err := s.store.Heads(ctx, site, stockPrefix)
	if err != nil {
		return nil, err
	}
	list := make([]Stock, 0, len(heads))
	for _, h := range heads {
		one, err := s.stockOf(ctx, site, strings.TrimPrefix(h.Stream, stockPrefix))
		if err != nil {
			return nil, err
		}
		list = append(list, one)
	}
	return list, nil
}

// Settings returns what is settled for the site: the fields of ledger.Shop
// that are no list of their own (name, bench_temperature, limits,
// compression), as written.
func (s *Shop) Settings(ctx context.Context, sc Scope) (map[string]any, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, err
	}
	return s.settings(ctx, sc.Site)
}

func (s *Shop) settings(ctx context.Context, site string) (map[string]any, error) {
	entries, err := s.store.Latest(ctx, site, settingsStream)
	if err != nil || len(entries) == 0 {
		return map[string]any{}, err
	}
	fields := map[string]any{}
	return fields, json.Unmarshal(entries[0].Body, &fields)
}

// SaveSettings settles fields of the site; those that are not named stay.
func (s *Shop) SaveSettings(ctx context.Context, sc Scope, n NewFact, fields map[string]any) error {
	if err := sc.need(access.Settle); err != nil {
		return err
	}
	all, err := s.settings(ctx, sc.Site)
	if err != nil {
		return err
	}
	maps.Copy(all, fields)
	for _, list := range []string{"people", "instruments", "stock"} { // these have operations of their own
		delete(all, list)
	}
	if _, err := ledger.Read(all); err != nil {
		return err
	}
	_, err = s.keep(ctx, sc, kept{n.ID, settingsStream, kindSettings, n.At}, all, "settings")
	return err
}

// basisOf is what a job copies of the shop when it is received: no names of
// people, who can be forgotten.
func (s *Shop) basisOf(ctx context.Context, site string) (map[string]any, error) {
	basis, err := s.settings(ctx, site)
	if err != nil {
		return nil, err
	}
	instruments, err := s.instruments(ctx, site)
	if err != nil {
		return nil, err
	}
	list := make([]any, len(instruments))
	for i := range instruments {
		list[i] = instruments[i].Fields
	}
	basis["instruments"] = list
	stock, err := s.stock(ctx, site)
	if err != nil {
		return nil, err
	}
	if len(stock) > 0 {
		counts := map[string]any{}
		for _, one := range stock {
			counts[one.Item] = one.Count
		}
		basis["stock"] = counts
	}
	return basis, nil
}

// Ledger returns all that an assessment takes of the shop now.
func (s *Shop) Ledger(ctx context.Context, sc Scope) (*ledger.Shop, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, err
	}
	basis, err := s.basisOf(ctx, sc.Site)
	if err != nil {
		return nil, err
	}
	raw, err := record.CanonicalOf(basis)
	if err != nil {
		return nil, err
	}
	var fields any
	if err := json.Unmarshal(raw, &fields); err != nil {
		return nil, err
	}
	return ledger.Read(fields)
}

// textsAnew makes the words by which what is of no job is found.
func (s *Shop) textsAnew(ctx context.Context, site string) error {
	if err := s.pumpTexts(ctx, site); err != nil {
		return err
	}
	for _, prefix := range []string{"sheet:", "service:", "liquid:", instrumentPrefix, stockPrefix} {
		entries, err := s.store.Latest(ctx, site, prefix)
		if err != nil {
			return err
		}
		for i := range entries {
			if err := s.putText(ctx, site, &entries[i], wordsOf(&entries[i])); err != nil {
				return err
			}
		}
	}
	return nil
}

// wordsOf gives the words of an entry that is of no job.
func wordsOf(e *record.Entry) string {
	kind, name, _ := strings.Cut(e.Stream, ":")
	var fields map[string]any
	if json.Unmarshal(e.Body, &fields) != nil {
		return kind + " " + name
	}
	if text, ok := fields["text"].(string); ok {
		return kind + " " + name + " " + readPaper(PaperKind(kind), name, text).Title
	}
	words := []string{kind, name}
	keys := make([]string, 0, len(fields))
	for key := range fields {
		keys = append(keys, key)
	}
	sort.Strings(keys)
	for _, key := range keys {
		if text, ok := fields[key].(string); ok {
			words = append(words, text)
		}
	}
	return strings.Join(words, " ")
}
