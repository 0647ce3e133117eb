package shop

import (
	"context"
	"encoding/json"
	"maps"
	"sort"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/language"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/record"
)

// Streams of the shop that are not of a job.
const (
	instrumentPrefix = "instrument:"
	pumpPrefix       = "pump:"
	settingsStream   = "site:settings"
)

// Kinds of their entries.
const (
	kindInstrument = "instrument"
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
	if err := vetInstrument(&in.Instrument); err != nil {
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

// Language returns the tag of the language of a site, for people who have
// chosen none; "" when the shop has not chosen either. Everybody may ask.
func (s *Shop) Language(ctx context.Context, site string) (string, error) {
	fields, err := s.settings(ctx, site)
	tag, _ := fields["language"].(string)
	return tag, err
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
	for _, list := range []string{"people", "instruments", "stock", "shelf"} { // these have operations of their own
		delete(all, list)
	}
	read, err := ledger.Read(all)
	if err != nil {
		return err
	}
	if err := language.Check("language", read.Language); err != nil {
		return err
	}
	_, err = s.keep(ctx, sc, kept{n.ID, settingsStream, kindSettings, n.At}, all, "settings")
	return err
}

// basisOf is what a job copies of the shop when it is received: no names of
// people, who can be forgotten. Of the stock it takes what is free, or kept for
// the job, and fits the model sheet; of its closed jobs what they have taught;
// of the machine how it ran between its earlier jobs.
func (s *Shop) basisOf(ctx context.Context, site, sheet, name, serial string, opened time.Time) (map[string]any, error) {
	basis, err := s.settings(ctx, site)
	if err != nil {
		return nil, err
	}
	delete(basis, "language") // how a job is read is no part of it
	instruments, err := s.instruments(ctx, site)
	if err != nil {
		return nil, err
	}
	list := make([]any, len(instruments))
	for i := range instruments {
		list[i] = instruments[i].Fields
	}
	basis["instruments"] = list
	delete(basis, "shelf")
	stock, err := s.stock(ctx, site)
	if err != nil {
		return nil, err
	}
	if shelf := stock.Shelf(sheet, name); len(shelf) > 0 {
		basis["stock"], basis["shelf"] = shelf, shelf // gaskets by kind, parts and kits by part
	}
	if err := s.machineInto(ctx, site, name, serial, opened, basis); err != nil {
		return nil, err
	}
	return basis, s.learnedInto(ctx, site, name, basis)
}

// Ledger returns all that an assessment takes of the shop now.
func (s *Shop) Ledger(ctx context.Context, sc Scope) (*ledger.Shop, error) {
	if err := sc.need(access.ReadShop); err != nil {
		return nil, err
	}
	basis, err := s.basisOf(ctx, sc.Site, "", "", "", time.Time{})
	if err != nil {
		return nil, err
	}
	return shopOf(basis)
}

// textsAnew makes the words by which what is of no job is found.
func (s *Shop) textsAnew(ctx context.Context, site string) error {
	if err := s.pumpTexts(ctx, site); err != nil {
		return err
	}
	if err := s.stockTexts(ctx, site); err != nil {
		return err
	}
	for _, prefix := range []string{"sheet:", "service:", "liquid:", instrumentPrefix} {
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
