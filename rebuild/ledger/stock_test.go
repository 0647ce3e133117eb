package ledger

import (
	"encoding/json"
	"fmt"
	"testing"
	"time"

	"pgregory.net/rapid"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

type fataler interface{ Fatal(...any) }

type stockWriter struct {
	t      fataler
	stream *record.Stream
}

func (w *stockWriter) add(kind string, body any) string {
	raw, err := json.Marshal(body)
	if err != nil {
		w.t.Fatal(err)
	}
	n := len(w.stream.Entries)
	at := time.Date(2026, 3, 2, 8, 0, n, 0, time.UTC)
	e, err := w.stream.Append(record.Entry{ID: record.NewID(at, [10]byte{byte(n >> 8), byte(n)}), Stream: "stock:main", Kind: kind, Version: 1, Body: raw, By: "mira", At: record.TimeOf(at)})
	if err != nil {
		w.t.Fatal(err)
	}
	return e.ID
}

func newStock(t fataler) *stockWriter { return &stockWriter{t: t, stream: &record.Stream{}} }

func TestStock(t *testing.T) {
	w := newStock(t)
	w.add(KindStockItem, StockItem{Item: "SK-8", Name: "seal kit", Sheet: "demo-pump-m", Part: "seal kit", Minimum: 2})
	w.add(KindStockIn, StockMove{Item: "SK-8", Count: 5})
	w.add(KindStockReserved, StockMove{Item: "SK-8", Count: 2, Job: "J-1"})
	w.add(KindStockReserved, StockMove{Item: "SK-8", Count: 1, Job: "J-2"})
	w.add(KindStockUsed, StockMove{Item: "SK-8", Count: 1, Job: "J-1"})
	s := FoldStock(w.stream)
	h := s.Find("SK-8")
	if h.OnHand != 4 || h.Kept() != 2 || h.Free() != 2 || h.Short() || h.Used["J-1"] != 1 {
		t.Errorf("%+v", h)
	}
	if n := s.Shelf("demo-pump-m", "J-1")["seal kit"]; n != 3 {
		t.Errorf("%d for J-1, want 3: free ones and its own", n)
	}
	if n := len(s.Shelf("demo-pump-s", "J-1")); n != 0 {
		t.Errorf("a kit of another sheet fits: %d", n)
	}
	w.add(KindStockReleased, StockMove{Item: "SK-8", Count: 9, Job: "J-1"})
	w.add(KindStockCounted, StockMove{Item: "SK-8", Count: 2, Reason: "two found damp"})
	wrong := w.add(KindStockIn, StockMove{Item: "SK-8", Count: 50})
	w.add(KindVoid, StockVoid{Entry: wrong, Reason: "typed twice"})
	w.add("stock-wished", StockMove{Item: "SK-8", Count: 1})
	w.add(KindStockUsed, map[string]any{"item": "SK-8", "count": 1})
	s = FoldStock(w.stream)
	h = s.Find("SK-8")
	if h.OnHand != 2 || h.Free() != 1 || !h.Short() || len(s.Short()) != 1 || h.Counted.Change != -2 {
		t.Errorf("%+v, short %v", h, s.Short())
	}
	if len(s.Troubles) != 2 { // a kind that is not known, a use without a job
		t.Errorf("troubles %v", s.Troubles)
	}
}

// More leaves than lay there: said, not refused, for the shelf is right.
func TestStockBelowNothing(t *testing.T) {
	w := newStock(t)
	w.add(KindStockUsed, StockMove{Item: "pin", Count: 1, Job: "J-1"})
	if s := FoldStock(w.stream); s.Find("pin").OnHand != -1 || len(s.Troubles) != 1 {
		t.Errorf("%+v", s.Troubles)
	}
	w = newStock(t)
	w.add(KindStockIn, StockMove{Item: "pin", Count: 1})
	w.add(KindStockReserved, StockMove{Item: "pin", Count: 2, Job: "J-1"})
	if s := FoldStock(w.stream); len(s.Troubles) != 1 || !s.Find("pin").Short() {
		t.Errorf("%+v", s.Troubles)
	}
}

func TestVetStock(t *testing.T) {
	w := newStock(t)
	w.add(KindStockIn, StockMove{Item: "pin", Count: 3})
	w.add(KindStockCounted, StockMove{Item: "pin", Count: 3})
	w.add(KindStockReserved, StockMove{Item: "pin", Count: 2, Job: "J-1"})
	s := FoldStock(w.stream)
	cases := []struct {
		kind, body string
		field      string
		warnings   int
	}{
		{KindStockIn, `{"item":"pin","count":2}`, "", 0},
		{KindStockIn, `{"item":"pin","count":0}`, "count", 0},
		{KindStockIn, `{"item":"pin","count":-2}`, "count", 0},
		{KindStockIn, `{"item":"","count":2}`, "item", 0},
		{KindStockUsed, `{"item":"pin","count":3,"job":"J-1"}`, "", 0}, // one free, two kept for it
		{KindStockUsed, `{"item":"pin","count":2,"job":"J-2"}`, "", 1},
		{KindStockUsed, `{"item":"pin","count":1}`, "job", 0},
		{KindStockOut, `{"item":"pin","count":1}`, "reason", 0},
		{KindStockOut, `{"item":"pin","count":1,"reason":"scrapped"}`, "", 0},
		{KindStockCounted, `{"item":"pin","count":2}`, "reason", 0},
		{KindStockCounted, `{"item":"pin","count":3}`, "", 0},
		{KindStockCounted, `{"item":"pin","count":0,"reason":"lost"}`, "", 0},
		{KindStockItem, `{"item":"pin","minimum":-1}`, "minimum", 0},
		{KindVoid, `{"entry":"x","reason":" "}`, "reason", 0},
		{"stock-wished", `{}`, "kind", 0},
	}
	for _, c := range cases {
		warnings, err := VetStock(s, c.kind, []byte(c.body))
		p := say.AsProblem(err)
		if c.field == "" && err != nil || c.field != "" && (p == nil || p.Field != c.field) || len(warnings) != c.warnings {
			t.Errorf("%s %s: %v, %v", c.kind, c.body, warnings, err)
		}
	}
}

// What lies on the shelf is the sum of what came and went since the last
// count, for every order of entries; and a second fold says the same.
func TestStockAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newStock(t)
		want := 0
		for range rapid.IntRange(1, 25).Draw(t, "entries") {
			n := rapid.IntRange(1, 6).Draw(t, "pieces")
			job := fmt.Sprint("J-", rapid.IntRange(1, 3).Draw(t, "job"))
			switch rapid.IntRange(0, 5).Draw(t, "kind") {
			case 0:
				w.add(KindStockIn, StockMove{Item: "a", Count: n})
				want += n
			case 1:
				w.add(KindStockOut, StockMove{Item: "a", Count: n, Reason: "sold"})
				want -= n
			case 2:
				w.add(KindStockUsed, StockMove{Item: "a", Count: n, Job: job})
				want -= n
			case 3:
				w.add(KindStockReserved, StockMove{Item: "a", Count: n, Job: job})
			case 4:
				w.add(KindStockReleased, StockMove{Item: "a", Count: n, Job: job})
			case 5:
				w.add(KindStockCounted, StockMove{Item: "a", Count: n, Reason: "counted"})
				want = n
			}
		}
		s := FoldStock(w.stream)
		h := s.Find("a")
		if h.OnHand != want || h.Kept() < 0 {
			t.Fatalf("%d on the shelf, want %d; %d kept", h.OnHand, want, h.Kept())
		}
		if again := FoldStock(w.stream); again.Find("a").OnHand != h.OnHand || again.Find("a").Free() != h.Free() {
			t.Fatal("two folds differ")
		}
	})
}
