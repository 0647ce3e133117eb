package stock

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
)

// Place is the parts stock.
func Place() frame.Place {
	return frame.Place{
		Menu: wordStock.With(), Address: "/stock", Needs: access.ReadShop,
		Routes: []frame.Route{
			{Pattern: "GET /stock", Handle: list},
			{Pattern: "GET /stock/item", Handle: show},
			{Pattern: "POST /stock/move", Handle: move},
			{Pattern: "POST /stock/item", Handle: describe},
			{Pattern: "POST /stock/void", Handle: void},
		},
	}
}

func address(item string) string { return "/stock/item?item=" + url.QueryEscape(item) }

func list(v *frame.Visit) error {
	stock, err := v.Shop.Stock(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordStock.With(), Plain: true, Body: listBody(v, stock, describing{})})
}

// describing is the form that describes an item, as it was typed.
type describing struct {
	item    map[string]string
	problem *say.Problem
}

// sheet is one item on its page.
type sheet struct {
	v        *frame.Visit
	stock    *ledger.Stock
	holding  *ledger.Holding
	names    map[string]string
	kept     bool
	move     map[string]string // as typed
	problem  *say.Problem
	warnings []say.Message
	describing
}

func show(v *frame.Visit) error {
	return page(v, v.URL.Query().Get("item"), &sheet{kept: v.URL.Query().Has("kept")}, http.StatusOK)
}

func page(v *frame.Visit, item string, s *sheet, status int) error {
	stock, err := v.Shop.Stock(v.Context(), v.Visitor.Scope)
	if err != nil {
		return err
	}
	s.v, s.stock, s.holding = v, stock, stock.Find(item)
	if s.holding == nil {
		return shop.ErrNotFound
	}
	if v.Visitor.May(access.ReadNames) {
		if s.names, err = v.Shop.Names(v.Context(), v.Visitor.Scope); err != nil {
			return err
		}
	}
	return v.Show(frame.Page{Title: say.Plain(s.title()), Plain: true, Status: status, Body: itemBody(s)})
}

func (s *sheet) title() string {
	if s.holding.Name != "" {
		return s.holding.Name
	}
	return s.holding.Item
}

// typed returns a field as it was typed.
func (s *sheet) typed(name string) string { return s.move[name] }

// form returns the fields of a form, each once.
func form(v *frame.Visit) (map[string]string, error) {
	if err := v.ParseForm(); err != nil {
		return nil, err
	}
	fields := map[string]string{}
	for name, values := range v.PostForm {
		fields[name] = strings.TrimSpace(values[0])
	}
	return fields, nil
}

// move writes a movement or a count.
func move(v *frame.Visit) error {
	f, err := form(v)
	if err != nil {
		return err
	}
	m := ledger.StockMove{Item: f["item"], Job: f["job"], Batch: f["batch"], Reason: f["reason"]}
	s := &sheet{move: f}
	if m.Count, err = strconv.Atoi(f["count"]); err != nil {
		s.problem = problemOf(say.Refuse("count", f["count"], msgCount.With(), say.Message{}))
		return page(v, m.Item, s, http.StatusUnprocessableEntity)
	}
	a, err := v.Shop.MoveStock(v.Context(), v.Visitor.Scope, shop.NewFact{ID: f["id"]}, f["kind"], m, f["confirmed"] == "yes")
	if s.problem = frame.Refusal(err); s.problem != nil {
		return page(v, m.Item, s, http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	if !a.Kept {
		s.warnings = a.Warnings
		return page(v, m.Item, s, http.StatusUnprocessableEntity)
	}
	return v.Go(address(m.Item) + "&kept")
}

func problemOf(err error) *say.Problem { return say.AsProblem(err) }

// describe keeps what an item is.
func describe(v *frame.Visit) error {
	f, err := form(v)
	if err != nil {
		return err
	}
	item := ledger.StockItem{Item: f["item"], Name: f["name"], Sheet: f["sheet"], Part: f["part"], Currency: f["currency"], Place: f["place"]}
	if stock, err := v.Shop.Stock(v.Context(), v.Visitor.Scope); err != nil {
		return err
	} else if h := stock.Find(item.Item); h != nil {
		item.Parts = h.Parts // what a kit holds is not asked for here
	}
	if text := f["minimum"]; text != "" {
		if item.Minimum, err = strconv.Atoi(text); err != nil {
			err = say.Refuse("minimum", text, msgCount.With(), say.Message{})
		}
	}
	if text := f["price"]; text != "" && err == nil {
		price, fault := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
		if item.Price = &price; fault != nil {
			err = say.Refuse("price", text, msgPrice.With(), say.Message{})
		}
	}
	if err == nil {
		_, err = v.Shop.MoveStock(v.Context(), v.Visitor.Scope, shop.NewFact{}, ledger.KindStockItem, item, false)
	}
	if problem := frame.Refusal(err); problem != nil {
		d := describing{f, problem}
		if f["new"] == "" {
			return page(v, item.Item, &sheet{describing: d}, http.StatusUnprocessableEntity)
		}
		stock, err := v.Shop.Stock(v.Context(), v.Visitor.Scope)
		if err != nil {
			return err
		}
		return v.Show(frame.Page{Title: wordStock.With(), Plain: true, Status: http.StatusUnprocessableEntity, Body: listBody(v, stock, d)})
	}
	if err != nil {
		return err
	}
	return v.Go(address(item.Item) + "&kept")
}

// void takes a movement back.
func void(v *frame.Visit) error {
	f, err := form(v)
	if err != nil {
		return err
	}
	_, err = v.Shop.MoveStock(v.Context(), v.Visitor.Scope, shop.NewFact{}, ledger.KindVoid, ledger.StockVoid{Entry: f["entry"], Reason: f["reason"]}, false)
	if problem := frame.Refusal(err); problem != nil {
		return page(v, f["item"], &sheet{problem: problem}, http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	return v.Go(address(f["item"]) + "&kept")
}
