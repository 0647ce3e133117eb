package ledger

import (
	"encoding/json"
	"slices"
	"sort"
	"strings"

	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/record"
)

// The kinds of entries of a parts stock, on streams named stock:….
const (
	KindStockItem     = "stock-item"     // describes an item
	KindStockIn       = "stock-in"       // came in
	KindStockOut      = "stock-out"      // left without a job: sold, scrapped, sent back
	KindStockReserved = "stock-reserved" // kept for a job
	KindStockReleased = "stock-released" // no longer kept for it
	KindStockUsed     = "stock-used"     // fitted in a job
	KindStockCounted  = "stock-counted"  // counted on the shelf
	KindVoid          = "void"           // takes an entry back
)

// StockKinds lists the kinds of a parts stock with what each is for.
func StockKinds() [][2]string {
	return [][2]string{
		{KindStockItem, "describes an item: name, model sheet, parts it holds, minimum, price, place"},
		{KindStockIn, "pieces that came in"},
		{KindStockOut, "pieces that left without a job: sold, scrapped, sent back"},
		{KindStockReserved, "pieces kept for a job"},
		{KindStockReleased, "pieces no longer kept for a job"},
		{KindStockUsed, "pieces fitted in a job"},
		{KindStockCounted, "pieces counted on the shelf, with the reason of a difference"},
		{KindVoid, "voids an entry, with the reason"},
	}
}

// StockItem describes a part, a kit or a gasket on the shelf.
type StockItem struct {
	Item     string         `json:"item" help:"number or short name on the shelf"`
	Name     string         `json:"name,omitempty" optional:"yes" help:"what people call it"`
	Sheet    string         `json:"sheet,omitempty" optional:"yes" help:"model sheet it belongs to"`
	Part     string         `json:"part,omitempty" optional:"yes" help:"part of the sheet that it is, or name of the kit or gasket"`
	Parts    map[string]int `json:"parts,omitempty" optional:"yes" help:"what a kit holds, by part"`
	Minimum  int            `json:"minimum,omitempty" default:"0" help:"fewer free pieces than this are too few"`
	Price    *float64       `json:"price,omitempty" help:"price of one"`
	Currency string         `json:"currency,omitempty" optional:"yes" help:"currency of the price"`
	Place    string         `json:"place,omitempty" optional:"yes" help:"where it lies"`
}

// StockMove is a movement of pieces: the body of all kinds but stock-item and
// void. For stock-counted the count is what lies there.
type StockMove struct {
	Item   string `json:"item" help:"number or short name on the shelf"`
	Count  int    `json:"count" help:"pieces"`
	Job    string `json:"job,omitempty" optional:"yes" help:"job it is for"`
	Batch  string `json:"batch,omitempty" optional:"yes" help:"batch or cure date"`
	Reason string `json:"reason,omitempty" optional:"yes" help:"why, where pieces are missing or leave"`
}

// StockVoid takes an entry back.
type StockVoid struct {
	Entry  string `json:"entry" help:"id of the entry"`
	Reason string `json:"reason" help:"why"`
}

// Holding is one item of the stock.
type Holding struct {
	StockItem
	OnHand   int            // on the shelf, kept pieces too
	Reserved map[string]int // kept, by job
	Used     map[string]int // fitted, by job
	Moves    []StockEntry
	Counted  *StockEntry // the last count
}

// StockEntry is a movement with who wrote it.
type StockEntry struct {
	Ref    string
	Kind   string
	By     string
	At     record.Time
	Move   StockMove
	Change int // of the pieces on the shelf; for a count the difference it found
}

// Kept is how many pieces are kept for jobs.
func (h *Holding) Kept() int {
	n := 0
	for _, k := range h.Reserved {
		n += k
	}
	return n
}

// Free is what is on the shelf and kept for nobody; below zero when more is
// kept than lies there.
func (h *Holding) Free() int { return h.OnHand - h.Kept() }

// Short reports whether fewer pieces are free than the minimum, or more are
// kept than lie on the shelf.
func (h *Holding) Short() bool { return h.Free() < h.Minimum }

// Stock is what the entries of a stock say.
type Stock struct {
	Stream   string
	Holdings []*Holding // by item
	Troubles []StockTrouble

	byItem map[string]*Holding
}

// StockTrouble is an entry that could not be used, or that cannot be right,
// and why.
type StockTrouble struct {
	Ref     string
	Kind    string
	Message say.Message
}

var (
	msgStockUnread  = say.Define("ledger.stock_unread", "the entry cannot be read: {reason}")
	msgStockKind    = say.Define("ledger.stock_kind", "an entry of kind “{kind}” is not known to this version; it is kept")
	msgStockBelow   = say.Define("ledger.stock_below", "{item}: {n:count|piece|pieces} less than nothing would lie on the shelf: count it")
	msgStockOver    = say.Define("ledger.stock_over", "{item}: more is kept for jobs than lies on the shelf ({kept:count} of {have:count})")
	msgStockNoItem  = say.Define("ledger.stock_no_item", "the entry names no item")
	msgStockCount   = say.Define("ledger.stock_count", "pieces are a whole number above zero")
	msgStockCounted = say.Define("ledger.stock_counted", "a count is a whole number, not below zero")
	msgStockReason  = say.Define("ledger.stock_reason", "{change:count} pieces differ from the record: a reason in writing is missing")
	msgStockWhy     = say.Define("ledger.stock_why", "write why, in a few words")
	msgStockJob     = say.Define("ledger.stock_job", "the job is missing")
	msgStockLeaves  = say.Define("ledger.stock_leaves", "pieces that leave without a job need a reason")
	msgStockMinimum = say.Define("ledger.stock_minimum", "a minimum and a price are not below zero")
	msgStockFree    = say.Define("ledger.stock_free", "{item}: only {free:count|piece is|pieces are} free, {wanted:count} are asked for")
	msgStockVoid    = say.Define("ledger.stock_void", "the entry that is voided ({id}) is not in this stock")
	msgStockShort   = say.Define("ledger.stock_short", "{item}: {free:count} free, minimum {minimum:count}")
)

// FoldStock returns what the entries of a stock say. It is pure and never
// fails.
func FoldStock(stream *record.Stream) *Stock {
	s := &Stock{Stream: stream.Name, byItem: map[string]*Holding{}}
	gone := s.voids(stream.Entries)
	for i := range stream.Entries {
		if e := &stream.Entries[i]; !gone[e.ID] {
			s.take(e)
		}
	}
	sort.SliceStable(s.Holdings, func(a, b int) bool { return s.Holdings[a].Item < s.Holdings[b].Item })
	for _, h := range s.Holdings {
		switch {
		case h.OnHand < 0:
			s.trouble("", "", msgStockBelow.With(h.title(), -h.OnHand))
		case h.Free() < 0:
			s.trouble("", "", msgStockOver.With(h.title(), h.Kept(), h.OnHand))
		}
	}
	return s
}

// voids finds the entries that are taken back, the last void first, so that a
// voided void counts no more.
func (s *Stock) voids(entries []record.Entry) map[string]bool {
	ids, gone := map[string]bool{}, map[string]bool{}
	for i := range entries {
		ids[entries[i].ID] = true
	}
	for i := len(entries) - 1; i >= 0; i-- {
		e := &entries[i]
		if e.Kind != KindVoid || gone[e.ID] {
			continue
		}
		var v StockVoid
		if json.Unmarshal(e.Body, &v) != nil {
			continue // take says it
		}
		if !ids[v.Entry] {
			s.trouble(e.ID, e.Kind, msgStockVoid.With(v.Entry))
			continue
		}
		gone[v.Entry] = true
	}
	return gone
}

func (s *Stock) trouble(ref, kind string, m say.Message) {
	s.Troubles = append(s.Troubles, StockTrouble{Ref: ref, Kind: kind, Message: m})
}

// Find returns the holding of an item, or nil.
func (s *Stock) Find(item string) *Holding {
	if s == nil {
		return nil
	}
	return s.byItem[item]
}

func (s *Stock) holding(item string) *Holding {
	if h := s.byItem[item]; h != nil {
		return h
	}
	h := &Holding{StockItem: StockItem{Item: item}, Reserved: map[string]int{}, Used: map[string]int{}}
	s.byItem[item] = h
	s.Holdings = append(s.Holdings, h)
	return h
}

func (h *Holding) title() string {
	if h.Name != "" {
		return h.Name
	}
	return h.Item
}

func (s *Stock) take(e *record.Entry) {
	var err error
	switch e.Kind {
	case KindStockItem:
		var item StockItem
		if item, err = bindBody[StockItem](e.Body); err == nil {
			s.holding(item.Item).StockItem = item
		}
	case KindStockIn, KindStockOut, KindStockReserved, KindStockReleased, KindStockUsed, KindStockCounted:
		var m StockMove
		if m, err = bindBody[StockMove](e.Body); err == nil {
			err = m.check(e.Kind)
		}
		if err == nil {
			s.move(e, m)
		}
	case KindVoid:
		_, err = bindBody[StockVoid](e.Body)
	default:
		s.trouble(e.ID, e.Kind, msgStockKind.With(e.Kind))
	}
	if err != nil {
		s.trouble(e.ID, e.Kind, msgStockUnread.With(err))
	}
}

func bindBody[T any](body []byte) (T, error) {
	var target T
	var raw any
	if err := json.Unmarshal(body, &raw); err != nil {
		return target, say.Refuse("", "", msgStockUnread.With(err), say.Message{})
	}
	reader := fields.Reader{KeepUnknown: true}
	return target, reader.Bind(raw, &target)
}

func (s *Stock) move(e *record.Entry, m StockMove) {
	h := s.holding(m.Item)
	entry := StockEntry{Ref: e.ID, Kind: e.Kind, By: e.By, At: e.At, Move: m}
	switch e.Kind {
	case KindStockIn:
		entry.Change = m.Count
	case KindStockOut:
		entry.Change = -m.Count
	case KindStockUsed:
		entry.Change = -m.Count
		h.release(m.Job, m.Count)
		h.Used[m.Job] += m.Count
	case KindStockReserved:
		h.Reserved[m.Job] += m.Count
	case KindStockReleased:
		h.release(m.Job, m.Count)
	case KindStockCounted:
		entry.Change = m.Count - h.OnHand
		h.Counted = &entry
	}
	h.OnHand += entry.Change
	h.Moves = append(h.Moves, entry)
}

// release takes pieces out of what is kept for a job, never below none.
func (h *Holding) release(job string, count int) {
	if left := h.Reserved[job] - count; left > 0 {
		h.Reserved[job] = left
		return
	}
	delete(h.Reserved, job)
}

func (m StockMove) check(kind string) error {
	switch {
	case strings.TrimSpace(m.Item) == "":
		return say.Refuse("item", m.Item, msgStockNoItem.With(), say.Message{})
	case kind == KindStockCounted && m.Count < 0:
		return say.Refuse("count", "", msgStockCounted.With(), say.Message{})
	case kind != KindStockCounted && m.Count < 1:
		return say.Refuse("count", "", msgStockCount.With(), say.Message{})
	}
	switch kind {
	case KindStockReserved, KindStockReleased, KindStockUsed:
		if m.Job == "" {
			return say.Refuse("job", "", msgStockJob.With(), say.Message{})
		}
	case KindStockOut:
		if strings.TrimSpace(m.Reason) == "" {
			return say.Refuse("reason", "", msgStockLeaves.With(), msgStockWhy.With())
		}
	}
	return nil
}

// VetStock looks at a new entry of a stock before it is taken: it refuses what
// cannot be right and warns of what is unlikely.
func VetStock(s *Stock, kind string, body []byte) ([]say.Message, error) {
	switch kind {
	case KindStockItem:
		item, err := bindBody[StockItem](body)
		switch {
		case err != nil:
			return nil, err
		case strings.TrimSpace(item.Item) == "":
			return nil, say.Refuse("item", "", msgStockNoItem.With(), say.Message{})
		case item.Minimum < 0 || item.Price != nil && !(*item.Price >= 0):
			return nil, say.Refuse("minimum", "", msgStockMinimum.With(), say.Message{})
		}
		return nil, nil
	case KindVoid:
		v, err := bindBody[StockVoid](body)
		if err == nil && strings.TrimSpace(v.Reason) == "" {
			err = say.Refuse("reason", "", msgStockLeaves.With(), msgStockWhy.With())
		}
		return nil, err
	case KindStockIn, KindStockOut, KindStockReserved, KindStockReleased, KindStockUsed, KindStockCounted:
	default:
		return nil, say.Refuse("kind", kind, msgStockKind.With(kind), say.Message{})
	}
	m, err := bindBody[StockMove](body)
	if err == nil {
		err = m.check(kind)
	}
	if err != nil {
		return nil, err
	}
	return s.vetMove(kind, m)
}

func (s *Stock) vetMove(kind string, m StockMove) ([]say.Message, error) {
	h := s.Find(m.Item)
	if h == nil {
		h = &Holding{StockItem: StockItem{Item: m.Item}}
	}
	free := h.Free()
	if kind == KindStockUsed {
		free += min(h.Reserved[m.Job], m.Count)
	}
	switch kind {
	case KindStockCounted:
		if change := m.Count - h.OnHand; change != 0 && h.Counted != nil && strings.TrimSpace(m.Reason) == "" {
			return nil, say.Refuse("reason", "", msgStockReason.With(change), msgStockWhy.With())
		}
	case KindStockOut, KindStockUsed, KindStockReserved:
		if m.Count > free {
			return []say.Message{msgStockFree.With(h.title(), free, m.Count)}, nil
		}
	}
	return nil, nil
}

// Short lists what is below its minimum, in words.
func (s *Stock) Short() []say.Message {
	var list []say.Message
	for _, h := range s.Holdings {
		if h.Short() {
			list = append(list, msgStockShort.With(h.title(), h.Free(), h.Minimum))
		}
	}
	return list
}

// Named returns the holdings that fit a model sheet and hold one of the parts,
// kits or gaskets named.
func (s *Stock) Named(sheet string, names ...string) []*Holding {
	var list []*Holding
	for _, h := range s.Holdings {
		if (h.Sheet == "" || h.Sheet == sheet) && slices.Contains(names, h.what()) {
			list = append(list, h)
		}
	}
	return list
}

// what is the part, kit or gasket that the item is.
func (h *Holding) what() string {
	if h.Part != "" {
		return h.Part
	}
	return h.Item
}

// Shelf counts, for a model sheet, the pieces that are free or kept for a job,
// by part, kit or gasket. Items without a sheet fit every sheet; one of which
// none is left says so with 0, one that nobody counted yet is left out.
func (s *Stock) Shelf(sheet, job string) map[string]int {
	shelf := map[string]int{}
	for _, h := range s.Holdings {
		if h.Sheet != "" && h.Sheet != sheet || len(h.Moves) == 0 {
			continue
		}
		shelf[h.what()] += max(h.Free()+h.Reserved[job], 0)
	}
	return shelf
}
