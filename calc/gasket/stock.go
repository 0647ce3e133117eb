package gasket

import (
	"fmt"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Kind is a kind of gasket that the shop stocks.
type Kind struct {
	Name        string
	Thickness   quantity.Length // free
	Tolerance   quantity.Length // ±, two standard deviations of a piece
	Compression float64         // κ, the fraction lost when torqued
	Sealing     bool            // may face the casing or the head
	Reusable    bool            // may go back in after it has run in service
	Stock       int             // on the shelf, without the fitted pieces

	Shim   bool // of metal: nothing of it is lost, and what gaskets teach does not hold for it
	Apart  bool // a shim behind the thrust bearing, not under the head: no part of the joint
	Closes bool // a piece that lies apart and takes from the clearance
}

// Compressed returns t·(1 − κ).
func (k Kind) Compressed() quantity.Length {
	return quantity.Length(float64(k.Thickness) * (1 - k.Compression))
}

// move returns what one piece adds to the clearance, and the thickness on
// which an extra compression works.
func (k Kind) move(extra float64) (compressed, free float64) {
	t := float64(k.Thickness)
	switch {
	case k.Closes:
		return -t, 0
	case k.Shim:
		return t, 0
	}
	return t * (1 - k.Compression - extra), t
}

// Adds returns what one piece adds to the clearance where gaskets lose the
// fraction extra beyond their own compression; below zero for one that closes.
func (k Kind) Adds(extra float64) quantity.Length {
	compressed, _ := k.move(extra)
	return quantity.Length(compressed)
}

// Piece is a fitted gasket that is no stock kind, measured as it came out.
type Piece struct {
	Thickness quantity.Length // as measured, compressed
	U         quantity.Length
	Sealing   bool
}

// Problem is what the solver is asked.
type Problem struct {
	Kinds        []Kind
	Fitted       []int   // of each kind, in the stack the belief is about; nil: none
	FittedPieces []Piece // further pieces in that stack
	// InService says that the fitted stack has run: its sealing pieces and
	// those that are not reusable never go back. After a mere trial they may.
	InService bool
	Belief    *Belief
	Low, High quantity.Length // window of the clearance
	MaxPieces int             // 8 when zero
	Sealed    bool            // the joint seals without a stack: an O-ring, one gasket of its own

	// ExtraCompression is what the shop has learned beyond the kinds' own,
	// with its standard uncertainty; both zero when nothing was learned.
	ExtraCompression, ExtraCompressionU float64
	ExtraSource                         string // where it is from, for the working
}

// Limits of the solver. They keep the search exact and quick.
const (
	DefaultMaxPieces = 8
	MostPieces       = 15
	MostKinds        = 16
	mostStacks       = 30_000_000
)

var (
	msgNoKinds      = say.Define("gasket.no_kinds", "there is no gasket to choose from")
	msgTooManyKinds = say.Define("gasket.too_many_kinds", "more than {most:count} kinds and fitted pieces together")
	msgTooManyStack = say.Define("gasket.too_many_stacks", "there are more than {most:count} possible stacks")
	msgFewerKinds   = say.Define("gasket.fewer_kinds", "leave kinds out or allow fewer pieces")
	msgMaxPieces    = say.Define("gasket.max_pieces", "the most pieces in a stack must lie between 1 and {most:count}")
	msgNamedTwice   = say.Define("gasket.named_twice", "the kind “{name}” is listed twice")
	msgNoName       = say.Define("gasket.no_name", "a kind needs a name")
	msgThickness    = say.Define("gasket.thickness", "a gasket is thicker than nothing and thinner than 10 mm")
	msgTolerance    = say.Define("gasket.tolerance", "a tolerance is not below zero and smaller than the gasket")
	msgCompression  = say.Define("gasket.compression", "compression is a fraction from 0 to 0.6")
	msgShimSeals    = say.Define("gasket.shim_seals", "a metal shim does not seal")
	msgShimGives    = say.Define("gasket.shim_gives", "a metal shim is not compressed")
	msgOnlyShims    = say.Define("gasket.only_shims", "only a shim behind the thrust bearing lies apart from the joint and may close the clearance")
	msgCount        = say.Define("gasket.count", "a number of pieces lies between 0 and 1000")
	msgWindow       = say.Define("gasket.window", "the window must begin below its end, and not below zero")
	msgExtra        = say.Define("gasket.extra", "the learned compression is a fraction between −0.3 and 0.3")
	msgNoStack      = say.Define("gasket.no_stack", "no stack can be built: it needs a sealing gasket against the casing and one against the head")
	msgNoStackHint  = say.Define("gasket.no_stack_hint", "stock at least two sealing gaskets, or allow more pieces")
)

func (k Kind) check() error {
	switch {
	case k.Name == "":
		return say.Refuse("name", "", msgNoName.With(), say.Message{})
	case !(k.Thickness > 0 && k.Thickness < 10e-3):
		return refuse("thickness", float64(k.Thickness), msgThickness)
	case !(k.Tolerance >= 0 && k.Tolerance < k.Thickness):
		return refuse("tolerance", float64(k.Tolerance), msgTolerance)
	case !(k.Compression >= 0 && k.Compression <= 0.6):
		return refuse("compression", k.Compression, msgCompression)
	case k.Shim && k.Sealing:
		return say.Refuse("sealing", "", msgShimSeals.With(), say.Message{})
	case k.Shim && k.Compression > 0:
		return refuse("compression", k.Compression, msgShimGives)
	case k.Closes && !(k.Shim && k.Apart), k.Apart && !k.Shim:
		return say.Refuse("closes", "", msgOnlyShims.With(), say.Message{})
	case k.Stock < 0 || k.Stock > 1000:
		return say.Refuse("stock", strconv.Itoa(k.Stock), msgCount.With(), say.Message{})
	}
	return nil
}

func checkKinds(kinds []Kind) error {
	if len(kinds) == 0 {
		return say.Refuse("kinds", "", msgNoKinds.With(), say.Message{})
	}
	seen := map[string]bool{}
	for i, k := range kinds {
		at := fmt.Sprintf("kinds[%d]", i)
		if err := k.check(); err != nil {
			return say.In(at, err)
		}
		if seen[k.Name] {
			return say.Refuse(at+".name", k.Name, msgNamedTwice.With(k.Name), say.Message{})
		}
		seen[k.Name] = true
	}
	return nil
}

func (p Problem) check() error {
	if err := checkKinds(p.Kinds); err != nil {
		return err
	}
	if len(p.Kinds)+len(p.FittedPieces) > MostKinds {
		return say.Refuse("kinds", strconv.Itoa(len(p.Kinds)+len(p.FittedPieces)), msgTooManyKinds.With(MostKinds), msgFewerKinds.With())
	}
	for i, n := range p.Fitted {
		if i >= len(p.Kinds) || n < 0 || n > MostPieces {
			return say.Refuse("fitted", strconv.Itoa(n), msgCount.With(), say.Message{})
		}
	}
	for i, f := range p.FittedPieces {
		at := fmt.Sprintf("fitted_pieces[%d]", i)
		if !(f.Thickness > 0 && f.Thickness < 10e-3) {
			return refuse(at+".thickness", float64(f.Thickness), msgThickness)
		}
		if !(f.U >= 0 && f.U < f.Thickness) {
			return refuse(at+".u", float64(f.U), msgTolerance)
		}
	}
	switch {
	case p.Belief == nil:
		return say.Refuse("measured", "", msgNothingKnown.With(), msgKnownBy.With())
	case !(p.Low >= 0 && p.Low < p.High) || !finite(float64(p.High)):
		return refuse("window.low", float64(p.Low), msgWindow)
	case p.MaxPieces < 0 || p.MaxPieces > MostPieces:
		return say.Refuse("max_pieces", strconv.Itoa(p.MaxPieces), msgMaxPieces.With(MostPieces), say.Message{})
	case !(p.ExtraCompression >= -0.3 && p.ExtraCompression <= 0.3):
		return refuse("extra_compression", p.ExtraCompression, msgExtra)
	case !(p.ExtraCompressionU >= 0 && p.ExtraCompressionU <= 0.3):
		return refuse("extra_compression_u", p.ExtraCompressionU, msgExtra)
	}
	return nil
}

// item is a kind, or one fitted piece, as the search sees it.
type item struct {
	index     int     // of the kind; kinds first, then fitted pieces
	thickness float64 // compressed; below zero when a piece closes
	free      float64 // that is compressed
	variance  float64 // of one piece
	sealing   bool
	before    int // fitted
	keep      int // of these may stay
	most      int // in a new stack
	fitted    bool
	apart     bool
}

func (p Problem) items() []item {
	list := make([]item, 0, len(p.Kinds)+len(p.FittedPieces))
	for i, k := range p.Kinds {
		sd := float64(k.Tolerance) / 2
		it := item{
			index: i, variance: sd * sd, sealing: k.Sealing, apart: k.Apart,
		}
		it.thickness, it.free = k.move(p.ExtraCompression)
		if i < len(p.Fitted) {
			it.before = p.Fitted[i]
		}
		it.keep = it.before
		if p.InService && (k.Sealing || !k.Reusable && !k.Shim) {
			it.keep = 0
		}
		it.most = min(p.maxPieces(), it.keep+k.Stock)
		list = append(list, it)
	}
	for j, f := range p.FittedPieces {
		it := item{
			index: len(p.Kinds) + j, thickness: float64(f.Thickness), variance: float64(f.U) * float64(f.U),
			sealing: f.Sealing, before: 1, keep: 1, most: 1, fitted: true,
		}
		if f.Sealing { // an old sealing piece never goes back
			it.keep, it.most = 0, 0
		}
		list = append(list, it)
	}
	return list
}

func (p Problem) maxPieces() int {
	if p.MaxPieces == 0 {
		return DefaultMaxPieces
	}
	return p.MaxPieces
}

// change returns how many pieces go in and come out to have x of the item.
func (it item) change(x int) (in, out int) {
	kept := min(x, it.keep)
	return x - kept, it.before - kept
}

// countStacks returns how many stacks of at most most pieces there are, sealing
// rule aside.
func countStacks(items []item, most int) int {
	ways := make([]int, most+1)
	ways[0] = 1
	for _, it := range items {
		next := make([]int, most+1)
		for n, w := range ways {
			for x := 0; x <= it.most && n+x <= most; x++ {
				next[n+x] = min(mostStacks+1, next[n+x]+w)
			}
		}
		ways = next
	}
	total := 0
	for _, w := range ways {
		total = min(mostStacks+1, total+w)
	}
	return total
}
