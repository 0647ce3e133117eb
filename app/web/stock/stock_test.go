package stock_test

import (
	"net/http"
	"strings"
	"testing"

	"pumpwright/app/shop"
	"pumpwright/app/web/webtest"
)

func wants(t *testing.T, a webtest.Answer, status int, says ...string) {
	t.Helper()
	if a.Status != status {
		t.Errorf("status %d, want %d", a.Status, status)
	}
	for _, s := range says {
		if !strings.Contains(a.Text, s) {
			t.Errorf("the page lacks %q", s)
		}
	}
}

func goes(t *testing.T, a webtest.Answer, to string) {
	t.Helper()
	if a.Status != http.StatusSeeOther || a.Goes != to {
		t.Errorf("status %d, goes to %q, want %q\n%.600s", a.Status, a.Goes, to, a.Text)
	}
}

// Pieces are put in, kept for a job, fitted and counted; what is short stands
// on top; a movement is taken back.
func TestStock(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	mira := s.As("mira")
	text := mira.Get("/stock").Text
	below, rest := strings.Index(text, "Below minimum"), strings.Index(text, "On the shelf")
	kit, paper := strings.Index(text, "<strong>seal kit</strong>"), strings.Index(text, "<strong>paper 0.25</strong>")
	if !(below >= 0 && below < kit && kit < rest && rest < paper) {
		t.Errorf("the order is wrong: %d %d %d %d", below, kit, rest, paper)
	}
	const kitPage = "/stock/item?item=seal+kit&kept"
	goes(t, mira.Post("/stock/move", "item", "seal kit", "kind", "stock-in", "count", "4", "batch", "week 9"), kitPage)
	goes(t, mira.Post("/stock/move", "item", "seal kit", "kind", "stock-reserved", "count", "2", "job", "J-2057"), kitPage)
	wants(t, mira.Get(kitPage), http.StatusOK, "5 pieces lie on the shelf, 3 free", "2 kept for J-2057", "week 9", "O-rings swollen")
	wants(t, mira.Post("/stock/move", "item", "seal kit", "kind", "stock-used", "count", "4", "job", "J-2063"), http.StatusUnprocessableEntity, "only 3 pieces are free", `value="J-2063"`, "It is right all the same")
	goes(t, mira.Post("/stock/move", "item", "seal kit", "kind", "stock-used", "count", "4", "job", "J-2063", "confirmed", "yes"), kitPage)
	wants(t, mira.Post("/stock/move", "item", "seal kit", "kind", "stock-counted", "count", "6"), http.StatusUnprocessableEntity, "a reason in writing is missing", `value="6"`)
	goes(t, mira.Post("/stock/move", "item", "seal kit", "kind", "stock-counted", "count", "6", "reason", "found behind the bench"), kitPage)
	wants(t, mira.Get(kitPage), http.StatusOK, "6 pieces lie on the shelf", "6 (+5)", "found behind the bench")
	stock, err := s.Shop.Stock(t.Context(), scope(t, s, "mira"))
	if err != nil {
		t.Fatal(err)
	}
	moves := stock.Find("seal kit").Moves
	wants(t, mira.Post("/stock/void", "item", "seal kit", "entry", moves[len(moves)-1].Ref), http.StatusUnprocessableEntity)
	goes(t, mira.Post("/stock/void", "item", "seal kit", "entry", moves[len(moves)-1].Ref, "reason", "counted twice"), kitPage)
	wants(t, mira.Get(kitPage), http.StatusOK, "1 piece lies on the shelf")

	goes(t, mira.Post("/stock/item", "item", "o-ring 40", "new", "yes", "minimum", "10", "price", "1,20", "currency", "EUR"), "/stock/item?item=o-ring+40&kept")
	wants(t, mira.Get("/stock/item?item=o-ring+40"), http.StatusOK, "below minimum 10", "1.2 EUR", "never counted")
	wants(t, mira.Get("/search?q=o-ring"), http.StatusOK, `href="/stock/item?item=o-ring+40"`)
}

func scope(t *testing.T, s *webtest.Site, person string) shop.Scope {
	t.Helper()
	sc, err := s.Shop.DemoScope(t.Context(), person)
	if err != nil {
		t.Fatal(err)
	}
	return sc
}

// What is refused comes back with what was typed; whoever only looks has no
// forms.
func TestStockRefused(t *testing.T) {
	s := webtest.Demo(t, shop.Options{})
	mira := s.As("mira")
	for name, fields := range map[string][]string{
		"half a piece":  {"item", "seal kit", "kind", "stock-in", "count", "1.5"},
		"no job":        {"item", "seal kit", "kind", "stock-used", "count", "1"},
		"no reason":     {"item", "seal kit", "kind", "stock-out", "count", "1"},
		"a slipped key": {"item", "seal kit", "kind", "stock-in", "count", "99999999"},
		"no such kind":  {"item", "seal kit", "kind", "moved", "count", "7"},
	} {
		a := mira.Post("/stock/move", fields...)
		if a.Status != http.StatusUnprocessableEntity || !strings.Contains(a.Text, `value="`+fields[5]+`"`) || !strings.Contains(a.Text, `role="alert"`) {
			t.Errorf("%s: %d", name, a.Status)
		}
	}
	wants(t, mira.Post("/stock/item", "item", "x", "new", "yes", "minimum", "some"), http.StatusUnprocessableEntity, `value="some"`, "whole number of pieces")
	wants(t, mira.Get("/stock/item?item=nothing"), http.StatusNotFound)
	wants(t, mira.Get("/stock/item?item=x"), http.StatusNotFound)
}
