package stock

import (
	"sort"
	"strconv"
	"strings"

	"pumpwright/calc/say"
	"pumpwright/rebuild/ledger"
)

var (
	wordStock    = say.Define("stock.stock", "Parts stock")
	wordNone     = say.Define("stock.none", "Nothing is kept here yet.")
	wordShort    = say.Define("stock.short", "Below minimum")
	wordRest     = say.Define("stock.rest", "On the shelf")
	wordFree     = say.Define("stock.free", "{free:count} free")
	wordFreeOf   = say.Define("stock.free_of", "{free:count} free of {have:count}, {kept:count} kept for jobs")
	wordMinimum  = say.Define("stock.minimum", "minimum {minimum:count}")
	wordBelow    = say.Define("stock.below", "below minimum {minimum:count}")
	wordKept     = say.Define("stock.kept", "Kept.")
	wordLies     = say.Define("stock.lies", "{have:count|piece lies|pieces lie} on the shelf, {free:count} free.")
	wordFor      = say.Define("stock.for", "{n:count} kept for {job}")
	wordUsed     = say.Define("stock.used", "{n:count} fitted in {job}")
	wordCounted  = say.Define("stock.counted", "last counted {day}")
	wordNever    = say.Define("stock.never", "never counted")
	wordMoves    = say.Define("stock.moves", "Movements")
	wordCount    = say.Define("stock.count", "Count it")
	wordCountIs  = say.Define("stock.count_is", "Pieces that lie there")
	wordMove     = say.Define("stock.move", "Put in, keep or take")
	wordPieces   = say.Define("stock.pieces", "Pieces")
	wordWhat     = say.Define("stock.what", "What happens")
	wordIn       = say.Define("stock.in", "came in")
	wordOut      = say.Define("stock.out", "left without a job")
	wordReserved = say.Define("stock.reserved", "kept for a job")
	wordReleased = say.Define("stock.released", "no longer kept for a job")
	wordFitted   = say.Define("stock.fitted", "fitted in a job")
	wordTally    = say.Define("stock.tally", "counted")
	wordJob      = say.Define("stock.job", "Job")
	wordBatch    = say.Define("stock.batch", "Batch or cure date")
	wordReason   = say.Define("stock.reason", "Reason")
	wordWhyCount = say.Define("stock.why_count", "Needed when the count differs from the record.")
	wordWhyOut   = say.Define("stock.why_out", "Needed when pieces leave without a job.")
	wordKeep     = say.Define("stock.keep", "Keep it")
	wordSure     = say.Define("stock.sure", "It is right all the same")
	wordTakeBack = say.Define("stock.take_back", "Take back")
	wordIs       = say.Define("stock.is", "What it is")
	wordNew      = say.Define("stock.new", "A new item")
	wordItem     = say.Define("stock.item", "Number or short name on the shelf")
	wordName     = say.Define("stock.name", "What people call it")
	wordSheet    = say.Define("stock.sheet", "Model sheet it fits")
	wordSheetSay = say.Define("stock.sheet_say", "Empty when it fits every pump.")
	wordPart     = say.Define("stock.part", "Part of the sheet, or name of the kit or gasket there")
	wordPartSay  = say.Define("stock.part_say", "By it a job finds the pieces.")
	wordLeast    = say.Define("stock.least", "Minimum")
	wordPrice    = say.Define("stock.price", "Price of one")
	wordCurrency = say.Define("stock.currency", "Currency")
	wordPlace    = say.Define("stock.place", "Where it lies")
	wordToAll    = say.Define("stock.to_all", "to the whole stock")
	wordHolds    = say.Define("stock.holds", "holds {parts:list}")
	wordCosts    = say.Define("stock.costs", "{price} {currency}")
	wordNothing  = say.Define("stock.nothing", "Nothing was written yet.")
	msgCount     = say.Define("stock.whole_number", "write a whole number of pieces")
	msgPrice     = say.Define("stock.a_price", "write the price as a number")
)

// kinds are the movements of the form, in the order in which they are offered.
var kinds = []struct {
	kind string
	word say.Template
}{
	{ledger.KindStockIn, wordIn}, {ledger.KindStockReserved, wordReserved}, {ledger.KindStockUsed, wordFitted},
	{ledger.KindStockReleased, wordReleased}, {ledger.KindStockOut, wordOut},
}

func kindWord(kind string) say.Message {
	for _, k := range kinds {
		if k.kind == kind {
			return k.word.With()
		}
	}
	if kind == ledger.KindStockCounted {
		return wordTally.With()
	}
	return say.Plain(kind)
}

// pieces is how a movement shows: what it changed, or what it spoke of.
func pieces(m *ledger.StockEntry) string {
	switch m.Kind {
	case ledger.KindStockCounted:
		if m.Change != 0 {
			return strconv.Itoa(m.Move.Count) + " (" + signed(m.Change) + ")"
		}
		return strconv.Itoa(m.Move.Count)
	case ledger.KindStockReserved, ledger.KindStockReleased:
		return strconv.Itoa(m.Move.Count)
	}
	return signed(m.Change)
}

func signed(n int) string {
	if n < 0 {
		return "−" + strconv.Itoa(-n)
	}
	return "+" + strconv.Itoa(n)
}

func why(m *ledger.StockEntry) string {
	var words []string
	for _, w := range []string{m.Move.Job, m.Move.Batch, m.Move.Reason} {
		if w != "" {
			words = append(words, w)
		}
	}
	return strings.Join(words, " · ")
}

// jobsOf lists jobs by name with their pieces.
func jobsOf(pieces map[string]int) []string {
	var names []string
	for name, n := range pieces {
		if n > 0 {
			names = append(names, name)
		}
	}
	sort.Strings(names)
	return names
}

func partsOf(h *ledger.Holding) []string {
	var list []string
	for name, n := range h.Parts {
		if n > 1 {
			name = strconv.Itoa(n) + " × " + name
		}
		list = append(list, name)
	}
	sort.Strings(list)
	return list
}

func price(h *ledger.Holding) string {
	if h.Price == nil {
		return ""
	}
	return strconv.FormatFloat(*h.Price, 'f', -1, 64)
}

func free(h *ledger.Holding) say.Message {
	if h.Kept() == 0 {
		return wordFree.With(h.Free())
	}
	return wordFreeOf.With(h.Free(), h.OnHand, h.Kept())
}

// groups parts the items that are below their minimum from the others.
func groups(s *ledger.Stock) (short, rest []*ledger.Holding) {
	for _, h := range s.Holdings {
		if h.Short() {
			short = append(short, h)
		} else {
			rest = append(rest, h)
		}
	}
	return short, rest
}
