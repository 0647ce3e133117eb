package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"pumpwright/app/transfer"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/ledger"
)

// stockCommand lists the parts stock.
type stockCommand struct {
	Files []string `arg:"" name:"file" help:"The folder of a shop, an archive, or files of entries."`
	Item  string   `placeholder:"ITEM" help:"Only this item, with every movement."`
	Short bool     `help:"Only items of which too few are free."`
	JSON  bool     `name:"json" help:"Print the answer as JSON, for programs."`
}

// Help shows how it is called.
func (*stockCommand) Help() string {
	return `What lies on the shelf, what is kept for which job, what is free, and of what too few are free. The exit status is 3 when something is below its minimum, cannot be right, or when there is no stock.

  pumpwright import stock shelf.csv --to shelf.jsonl --by mira
  pumpwright stock shelf.jsonl
  pumpwright stock shelf.jsonl --short --json
`
}

var (
	headItem       = say.Define("cli.head_item", "item")
	headName       = say.Define("cli.head_name", "name")
	headOnShelf    = say.Define("cli.head_on_shelf", "on the shelf")
	headKept       = say.Define("cli.head_kept", "kept")
	headFree       = say.Define("cli.head_free", "free")
	headMinimum    = say.Define("cli.head_minimum", "minimum")
	headPriceOne   = say.Define("cli.head_price", "price")
	headChange     = say.Define("cli.head_change", "change")
	headBecause    = say.Define("cli.head_because", "reason")
	headMoves      = say.Define("cli.head_moves", "Movements of {item}")
	msgStockIs     = say.Define("cli.stock_is", "{items:count|item|items} on record; of {short:count} too few are free.")
	msgStockNone   = say.Define("cli.stock_none", "Nothing is written down of a parts stock.")
	msgStockKept   = say.Define("cli.stock_kept", "{item}: {n:count} kept for {job}")
	msgStockWrong  = say.Define("cli.stock_wrong", "What cannot be right:")
	msgNoItem      = say.Define("cli.no_item", "the stock has no such item")
	msgItemsAre    = say.Define("cli.items_are", "it has {list:list}")
	wordTooFew     = say.Define("cli.too_few", "{free:count}, too few")
	wordFreePieces = say.Define("cli.free_pieces", "{free:count}")
)

// Run lists.
func (c *stockCommand) Run(env *Env) error {
	g, err := gather(env, c.Files)
	if err != nil {
		return err
	}
	o := &past{Past: transfer.Past{Faults: g.Faults}, gathered: g}
	stock := o.stock()
	whole := o.whole() && len(stock.Holdings) > 0 && len(stock.Troubles) == 0
	short := 0
	var shown []*ledger.Holding
	for _, h := range stock.Holdings {
		if h.Short() {
			short++
		}
		if (c.Item == "" || h.Item == c.Item) && (!c.Short || h.Short()) {
			shown = append(shown, h)
		}
	}
	if c.Item != "" && !slices.ContainsFunc(stock.Holdings, func(h *ledger.Holding) bool { return h.Item == c.Item }) {
		return say.Refuse("item", c.Item, msgNoItem.With(), msgItemsAre.With(itemNames(stock)))
	}
	p := newPage(env, say.Style{})
	if c.JSON {
		p.err = writeJSON(env.Out, o.Shelf(shown, stock.Troubles))
	} else {
		p.unused(o)
		p.shelf(stock, shown, short)
		if c.Item != "" {
			for _, h := range shown {
				p.moves(h)
			}
		}
	}
	if p.err == nil && (!whole || short > 0) {
		return status(calculator.StatusNotYet)
	}
	return p.err
}

func itemNames(s *ledger.Stock) []string {
	var list []string
	for _, h := range s.Holdings {
		if len(list) == mostNamed {
			return append(list, msgMoreThings.With(float64(len(s.Holdings)-mostNamed)).String())
		}
		list = append(list, h.Item)
	}
	return list
}

func (p *page) shelf(stock *ledger.Stock, shown []*ledger.Holding, short int) {
	if len(stock.Holdings) == 0 {
		p.say(msgStockNone.With())
		return
	}
	p.say(msgStockIs.With(len(stock.Holdings), short))
	p.blank()
	var rows [][]string
	var kept []say.Message
	for _, h := range shown {
		free := wordFreePieces.With(h.Free())
		if h.Short() {
			free = wordTooFew.With(h.Free())
		}
		minimum, price := "", ""
		if h.Minimum > 0 {
			minimum = strconv.Itoa(h.Minimum)
		}
		if h.Price != nil {
			m, err := quantity.MoneyOf(*h.Price, h.Currency)
			if err != nil {
				p.err = err
				return
			}
			price = m.String()
		}
		rows = append(rows, []string{h.Item, h.Name, strconv.Itoa(h.OnHand), strconv.Itoa(h.Kept()), free.Text(p.style), minimum, price, h.Place})
		jobs := make([]string, 0, len(h.Reserved))
		for job := range h.Reserved {
			jobs = append(jobs, job)
		}
		slices.Sort(jobs)
		for _, job := range jobs {
			if n := h.Reserved[job]; n > 0 {
				kept = append(kept, msgStockKept.With(h.Item, n, job))
			}
		}
	}
	p.table("", []say.Message{headItem.With(), headName.With(), headOnShelf.With(), headKept.With(), headFree.With(), headMinimum.With(), headPriceOne.With(), headPlaceWord.With()}, rows)
	p.list(kept)
	if len(stock.Troubles) > 0 {
		p.blank()
		p.say(msgStockWrong.With())
		for _, t := range stock.Troubles {
			p.item("  - ", t.Message)
		}
	}
}

// moves lists the movements of an item.
func (p *page) moves(h *ledger.Holding) {
	p.head(headMoves.With(h.Item))
	var rows [][]string
	for _, m := range h.Moves {
		note := []string{}
		for _, text := range []string{m.Move.Job, m.Move.Batch, m.Move.Reason} {
			if text != "" {
				note = append(note, text)
			}
		}
		rows = append(rows, []string{m.At.Day().Show(p.style), m.By, m.Kind, fmt.Sprintf("%+d", m.Change), strings.Join(note, "; ")})
	}
	p.table("", []say.Message{headDay.With(), headBy.With(), headKind.With(), headChange.With(), headBecause.With()}, rows)
}
