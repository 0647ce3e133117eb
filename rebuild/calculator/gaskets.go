package calculator

import (
	"fmt"
	"math"
	"sort"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

type gasketKindIn struct {
	Name        string          `json:"name" help:"name of the kind"`
	Thickness   quantity.Length `json:"thickness" help:"free thickness of one piece"`
	Tolerance   quantity.Length `json:"tolerance" help:"± of the thickness, two standard deviations"`
	Compression float64         `json:"compression" default:"0" help:"fraction of the thickness lost when torqued"`
	Sealing     bool            `json:"sealing" default:"false" help:"may face the casing or the head"`
	Shim        bool            `json:"shim" default:"false" help:"a metal shim: what gaskets teach does not hold for it"`
	Apart       bool            `json:"apart" default:"false" help:"a shim behind the thrust bearing, not under the head"`
	Closes      bool            `json:"closes" default:"false" help:"a shim behind the thrust bearing that takes from the clearance"`
	Reusable    bool            `json:"reusable" default:"false" help:"may go back in after it has run in service"`
	Stock       *int            `json:"stock" help:"pieces on the shelf, without the fitted ones; wanted where a stack is chosen"`
}

type feelerIn struct {
	Goes *quantity.Length `json:"goes" help:"thickest leaf that goes"`
	NoGo *quantity.Length `json:"no_go" help:"thinnest leaf that does not go"`
	U    *quantity.Length `json:"u" help:"standard uncertainty of the feel (0.005 mm when missing; about 0.01 mm through a port)"`
}

type fittedPieceIn struct {
	Thickness quantity.Length `json:"thickness" help:"measured thickness, as it is compressed"`
	U         quantity.Length `json:"u" help:"standard uncertainty of the thickness"`
	Sealing   bool            `json:"sealing" default:"false" help:"it faced the casing or the head"`
}

type firstIn struct {
	Gap quantity.Length `json:"gap" help:"clearance without gaskets from the depths, usually negative"`
	U   quantity.Length `json:"u" help:"its standard uncertainty"`
}

type windowIn struct {
	Low  quantity.Length `json:"low" help:"smallest clearance wanted"`
	High quantity.Length `json:"high" help:"largest clearance wanted"`
}

type gasketStackIn struct {
	Kinds             []gasketKindIn   `json:"kinds" help:"gaskets that can be used"`
	Fitted            map[string]int   `json:"fitted" optional:"yes" help:"pieces of each kind in the stack that was measured"`
	FittedPieces      []fittedPieceIn  `json:"fitted_pieces" optional:"yes" help:"measured pieces in that stack that are no stock kind"`
	InService         bool             `json:"in_service" default:"false" help:"the fitted stack has run in service: its sealing pieces, and those not reusable, do not go back"`
	Measured          *quantity.Length `json:"measured" help:"clearance read with a dial, or any other reading that has an uncertainty"`
	U                 *quantity.Length `json:"u" help:"standard uncertainty of that reading"`
	Float             *quantity.Length `json:"float" help:"bearing float inside the dial reading: it is taken off"`
	Feeler            *feelerIn        `json:"feeler" help:"clearance read with feeler leaves"`
	First             *firstIn         `json:"first" help:"no trial yet: clearance without gaskets; beside a reading it is what was expected before"`
	Window            windowIn         `json:"window" help:"the clearance wanted"`
	Sealed            bool             `json:"sealed" default:"false" help:"the joint seals without a stack: an O-ring, or a gasket of its own; then shims alone may do"`
	MaxPieces         int              `json:"max_pieces" default:"8" help:"most pieces in a stack"`
	ExtraCompression  float64          `json:"extra_compression" default:"0" help:"compression beyond the kinds' own, as learned from trials"`
	ExtraCompressionU float64          `json:"extra_compression_u" default:"0" help:"its standard uncertainty"`
}

type gasketStackOut struct {
	Stack             []string                            `json:"stack" optional:"yes" help:"pieces in order from casing to head"`
	Pack              []string                            `json:"pack" optional:"yes" help:"those of them that are shims behind the thrust bearing"`
	Counts            map[string]int                      `json:"counts" optional:"yes" help:"pieces of each kind"`
	ExpectedClearance *quantity.Estimate[quantity.Length] `json:"expected_clearance" help:"clearance to expect, with its standard uncertainty"`
	Probability       *float64                            `json:"probability" help:"chance of landing in the window"`
	ProbabilityBelow  *float64                            `json:"probability_below" help:"chance of landing below it: the contact side"`
	ProbabilityAbove  *float64                            `json:"probability_above" help:"chance of landing above it: slip"`
	Pieces            *int                                `json:"pieces" help:"pieces in the stack"`
	Added             *int                                `json:"added" help:"pieces that go in"`
	Removed           *int                                `json:"removed" help:"pieces that come out"`
	PutIn             map[string]int                      `json:"put_in" optional:"yes" help:"pieces of each kind that go in"`
	TakeOut           map[string]int                      `json:"take_out" optional:"yes" help:"pieces of each kind, and fitted pieces, that come out"`
	Reachable         bool                                `json:"reachable" help:"some stack's expected clearance lies in the window"`
	PresentClearance  quantity.Estimate[quantity.Length]  `json:"present_clearance" help:"what the readings say of the clearance now"`
	NeededU           *quantity.Length                    `json:"needed_u" help:"when the chance is under 0.95: the standard uncertainty of the reading that would bring it there"`
	Nearest           *nearestOut                         `json:"nearest" help:"when the window is out of reach: what comes nearest, and what is missing"`
	Alternatives      []alternativeOut                    `json:"alternatives" optional:"yes" help:"the next stacks"`
}

type alternativeOut struct {
	Stack             []string                           `json:"stack" help:"pieces in order from casing to head"`
	Counts            map[string]int                     `json:"counts" help:"pieces of each kind"`
	ExpectedClearance quantity.Estimate[quantity.Length] `json:"expected_clearance" help:"clearance to expect, with its standard uncertainty"`
	Probability       float64                            `json:"probability" help:"chance of landing in the window"`
	ProbabilityBelow  float64                            `json:"probability_below" help:"chance of landing below it"`
	Pieces            int                                `json:"pieces" help:"pieces in the stack"`
	Changed           int                                `json:"changed" help:"pieces that go in or come out"`
}

type nearestOut struct {
	alternativeOut
	Misses        quantity.Length  `json:"misses" help:"distance to the window, below zero when too tight"`
	MissingGasket *quantity.Length `json:"missing_gasket" help:"compressed thickness of one more gasket that would bring the clearance to the middle"`
	ShortOf       map[string]int   `json:"short_of" optional:"yes" help:"pieces that the shelf lacks and that would do"`
}

var (
	msgUnknownKind   = say.Define("calculator.unknown_kind", "there is no kind “{name}”")
	msgNoStock       = say.Define("calculator.no_stock", "how many pieces of {name} lie on the shelf is missing")
	msgNoStockHint   = say.Define("calculator.no_stock_hint", "count them, without the fitted ones; 0 when there are none")
	msgNegativeCount = say.Define("calculator.negative_count", "a number of pieces is not below zero")
	msgKindsAre      = say.Define("calculator.kinds_are", "the kinds are {names}")
	msgMeasuredU     = say.Define("calculator.measured_u", "a reading needs its standard uncertainty")
	msgMeasuredUHint = say.Define("calculator.measured_u_hint", "a dial on the shaft end is usually good to 0.005 mm to 0.01 mm")
	msgFittedNoTrial = say.Define("calculator.fitted_no_trial", "a fitted stack needs a reading that was taken with it")
	msgFittedNoHint  = say.Define("calculator.fitted_no_trial_hint", "give measured with u, or the feeler; or leave fitted out for a first stack")
	msgFloatAlone    = say.Define("calculator.float_alone", "a bearing float is taken off a dial reading, and there is none")
	msgFloatNegative = say.Define("calculator.float_negative", "a bearing float is not below zero")
	warnBelow        = say.Define("calculator.warn_below", "the chance of landing below the window is {chance:percent}: measure before the shaft is turned")
	warnChance       = say.Define("calculator.warn_chance", "the chance of landing in the window is only {chance:percent}")
	warnNeededU      = say.Define("calculator.warn_needed_u", "a reading of the clearance good to {u:length} (standard uncertainty) would bring it to 95 %")
	warnPieces       = say.Define("calculator.warn_pieces", "a better reading alone will not bring it to 95 %: measure each piece with a micrometer and give its own thickness and a tolerance of twice its uncertainty, or stock thinner film")
	warnCompression  = say.Define("calculator.warn_compression", "the compression is taken as listed; if it may be off by ±0.05 the chance is only {chance:percent}: measure the stack under torque, or learn the compression from trials and give it")
	warnHalf         = say.Define("calculator.warn_half", "more likely than not the clearance will miss the window: treat this as a trial and measure it")
	warnUnreachable  = say.Define("calculator.warn_unreachable", "no stack reaches the window; the nearest one misses it by {miss:length}")
	warnMissing      = say.Define("calculator.warn_missing", "one more gasket of {thickness:length} compressed would settle it")
	warnTooThick     = say.Define("calculator.warn_too_thick", "even the thinnest stack is too thick by {miss:length}: no gasket helps; look at the depths, the seat of the thrust bearing and the head again")
	warnShort        = say.Define("calculator.warn_short", "the shelf is short of {names}")
	warnBinding      = say.Define("calculator.warn_binding", "the readings say that the rotor touches the head now: do not turn the shaft before the stack is changed")
	msgFittedPiece   = say.Define("calculator.fitted_piece", "fitted piece {number:count}")
)

func gasketStackCalculator() Calculator {
	return Define("gasket-stack", "Which gaskets bring the end clearance into its window?",
		exampleShelf+`fitted: {paper 0.25: 2, film 0.125: 1}
feeler: {goes: 0.10 mm, no_go: 0.13 mm}
window: {low: 0.14 mm, high: 0.20 mm}
`, runGasketStack)
}

const exampleShelf = `kinds:
  - {name: paper 0.15, thickness: 0.15 mm, tolerance: 0.015 mm, compression: 0.08, sealing: true, stock: 6}
  - {name: paper 0.25, thickness: 0.25 mm, tolerance: 0.02 mm, compression: 0.08, sealing: true, stock: 6}
  - {name: paper 0.40, thickness: 0.40 mm, tolerance: 0.03 mm, compression: 0.08, sealing: true, stock: 4}
  - {name: film 0.05, thickness: 0.05 mm, tolerance: 0.005 mm, stock: 6}
  - {name: film 0.075, thickness: 0.075 mm, tolerance: 0.006 mm, stock: 6}
  - {name: film 0.125, thickness: 0.125 mm, tolerance: 0.008 mm, stock: 4}
  - {name: film 0.25, thickness: 0.25 mm, tolerance: 0.012 mm, stock: 3}
`

func gasketKinds(in []gasketKindIn) []gasket.Kind {
	kinds := make([]gasket.Kind, len(in))
	for i, k := range in {
		kinds[i] = gasket.Kind{Name: k.Name, Thickness: k.Thickness, Tolerance: k.Tolerance, Compression: k.Compression, Sealing: k.Sealing, Reusable: k.Reusable, Shim: k.Shim, Apart: k.Apart, Closes: k.Closes}
		if k.Stock != nil {
			kinds[i].Stock = *k.Stock
		}
	}
	return kinds
}

// gasketCounts puts counts by name into the order of the kinds.
func gasketCounts(kinds []gasket.Kind, given map[string]int) ([]int, error) {
	counts := make([]int, len(kinds))
	names := make([]string, len(kinds))
	known := map[string]int{}
	for i, k := range kinds {
		names[i], known[k.Name] = k.Name, i
	}
	asked := make([]string, 0, len(given))
	for name := range given {
		asked = append(asked, name)
	}
	sort.Strings(asked)
	for _, name := range asked {
		i, ok := known[name]
		if !ok {
			return nil, say.Refuse(name, fmt.Sprint(given[name]), msgUnknownKind.With(name), msgKindsAre.With(names))
		}
		if given[name] < 0 {
			return nil, say.Refuse(name, fmt.Sprint(given[name]), msgNegativeCount.With(), say.Message{})
		}
		counts[i] = given[name]
	}
	return counts, nil
}

func (f *feelerIn) feeler() *gasket.Feeler {
	if f == nil {
		return nil
	}
	g := &gasket.Feeler{Goes: f.Goes, NoGo: f.NoGo}
	if f.U != nil {
		g.U = *f.U
		if g.U == 0 {
			g.U = -1 // zero was asked for, and is refused
		}
	}
	return g
}

// dialReading joins a reading, its uncertainty and the bearing float in it.
func dialReading(measured, u, float *quantity.Length) (*quantity.Estimate[quantity.Length], error) {
	if measured == nil {
		if float != nil {
			return nil, say.Refuse("float", float.String(), msgFloatAlone.With(), say.Message{})
		}
		return nil, nil
	}
	if u == nil {
		return nil, say.Refuse("u", "", msgMeasuredU.With(), msgMeasuredUHint.With())
	}
	value := *measured
	if float != nil {
		if *float < 0 {
			return nil, say.Refuse("float", float.String(), msgFloatNegative.With(), say.Message{})
		}
		value -= *float
	}
	e := quantity.Within(value, float64(*u))
	return &e, nil
}

func (in gasketStackIn) problem() (gasket.Problem, error) {
	p := gasket.Problem{
		Kinds: gasketKinds(in.Kinds), InService: in.InService, Low: in.Window.Low, High: in.Window.High, MaxPieces: in.MaxPieces, Sealed: in.Sealed,
		ExtraCompression: in.ExtraCompression, ExtraCompressionU: in.ExtraCompressionU,
	}
	for i, k := range in.Kinds {
		if k.Stock == nil {
			return p, say.Refuse(fmt.Sprintf("kinds[%d].stock", i), "", msgNoStock.With(k.Name), msgNoStockHint.With())
		}
	}
	if in.MaxPieces == 0 {
		p.MaxPieces = -1 // zero was asked for, and is refused
	}
	var err error
	if p.Fitted, err = gasketCounts(p.Kinds, in.Fitted); err != nil {
		return p, say.In("fitted", err)
	}
	for _, f := range in.FittedPieces {
		p.FittedPieces = append(p.FittedPieces, gasket.Piece{Thickness: f.Thickness, U: f.U, Sealing: f.Sealing})
	}
	dial, err := dialReading(in.Measured, in.U, in.Float)
	if err != nil {
		return p, err
	}
	fitted := len(p.FittedPieces)
	for _, n := range p.Fitted {
		fitted += n
	}
	if fitted > 0 && dial == nil && in.Feeler == nil {
		return p, say.Refuse("fitted", "", msgFittedNoTrial.With(), msgFittedNoHint.With())
	}
	p.Belief, err = gasket.NewBelief(dial, in.Feeler.feeler(), in.expected(p))
	return p, err
}

// expected is what the depths say of the clearance with the fitted stack.
func (in gasketStackIn) expected(p gasket.Problem) *quantity.Estimate[quantity.Length] {
	if in.First == nil {
		return nil
	}
	value, variance, free := float64(in.First.Gap), float64(in.First.U)*float64(in.First.U), 0.0
	for i, n := range p.Fitted {
		k := p.Kinds[i]
		sd := float64(k.Tolerance) / 2
		value += float64(n) * float64(k.Adds(p.ExtraCompression))
		variance += float64(n) * sd * sd
		if !k.Shim {
			free += float64(n) * float64(k.Thickness)
		}
	}
	for _, f := range p.FittedPieces {
		value += float64(f.Thickness)
		variance += float64(f.U) * float64(f.U)
	}
	variance += p.ExtraCompressionU * p.ExtraCompressionU * free * free
	u := math.Sqrt(variance)
	if !(in.First.U > 0) {
		u = 0 // refused as it stands
	}
	e := quantity.Within(quantity.Length(value), u)
	return &e
}

func runGasketStack(_ *Env, in gasketStackIn) (gasketStackOut, Notes, error) {
	p, err := in.problem()
	if err != nil {
		return gasketStackOut{}, Notes{}, err
	}
	s, err := gasket.Solve(p)
	if err != nil {
		return gasketStackOut{}, Notes{}, err
	}
	notes := Notes{Working: s.Working(), Cautions: []say.Message{cautionLockOut.With(), cautionTorque.With(), cautionTurn.With(), cautionSheet.With(), cautionManual.With()}}
	out := gasketStackOut{Reachable: s.Reachable, PresentClearance: p.Belief.Clearance()}
	if out.PresentClearance.Value <= 0 && in.First == nil {
		notes.Warn(warnBinding.With())
	}
	if s.Reachable {
		out.fill(p, *s.Best)
		for _, a := range s.RunnersUp {
			out.Alternatives = append(out.Alternatives, alternative(p, a))
		}
		out.NeededU = warnOfChance(&notes, p, *s.Best)
		if chance, ok := s.ChanceWithUnsureCompression(gasket.UnsureCompression); ok {
			notes.Warn(warnCompression.With(chance))
		}
		return out, notes, nil
	}
	out.Nearest = nearest(p, s)
	notes.Warn(warnUnreachable.With(quantity.Length(math.Abs(float64(s.Misses)))))
	if s.MissingGasket > 0 {
		notes.Warn(warnMissing.With(s.MissingGasket))
	} else if s.Misses > 0 {
		notes.Warn(warnTooThick.With(s.Misses))
	}
	if len(s.Shortages) > 0 {
		var names []string
		for _, short := range s.Shortages {
			names = append(names, fmt.Sprintf("%d × %s", short.Short, p.Kinds[short.Kind].Name))
		}
		notes.Warn(warnShort.With(names))
	}
	return out, notes, nil
}

func warnOfChance(notes *Notes, p gasket.Problem, best gasket.Stack) *quantity.Length {
	const contactChance = 0.01
	if best.ProbabilityBelow > contactChance {
		notes.Warn(warnBelow.With(best.ProbabilityBelow))
	}
	if best.Probability >= gasket.WantedChance {
		return nil
	}
	notes.Warn(warnChance.With(best.Probability))
	if best.Probability < 0.5 {
		notes.Warn(warnHalf.With())
	}
	u, ok := gasket.NeededU(p, gasket.WantedChance)
	if !ok {
		notes.Warn(warnPieces.With())
		return nil
	}
	notes.Warn(warnNeededU.With(u))
	return &u
}

func (out *gasketStackOut) fill(p gasket.Problem, s gasket.Stack) {
	out.Stack, out.Pack, out.Counts = s.Order, s.Pack, byName(p, s.Counts, true)
	out.ExpectedClearance = &s.Clearance
	out.Probability, out.ProbabilityBelow, out.ProbabilityAbove = &s.Probability, &s.ProbabilityBelow, &s.ProbabilityAbove
	out.Pieces, out.Added, out.Removed = &s.Pieces, &s.Added, &s.Removed
	out.PutIn, out.TakeOut = byName(p, s.In, false), byName(p, s.Out, false)
	for _, j := range s.PiecesOut {
		out.TakeOut[msgFittedPiece.With(j+1).String()] = 1
	}
}

// byName gives counts their names; without zeros unless all are wanted.
func byName(p gasket.Problem, counts []int, all bool) map[string]int {
	named := map[string]int{}
	for i, n := range counts {
		if n > 0 || all {
			named[p.Kinds[i].Name] = n
		}
	}
	return named
}

func alternative(p gasket.Problem, s gasket.Stack) alternativeOut {
	return alternativeOut{
		Stack: s.Order, Counts: byName(p, s.Counts, true), ExpectedClearance: s.Clearance,
		Probability: s.Probability, ProbabilityBelow: s.ProbabilityBelow, Pieces: s.Pieces, Changed: s.Changed(),
	}
}

func nearest(p gasket.Problem, s *gasket.Solution) *nearestOut {
	n := &nearestOut{alternativeOut: alternative(p, *s.Nearest), Misses: s.Misses}
	if s.MissingGasket > 0 {
		missing := s.MissingGasket
		n.MissingGasket = &missing
	}
	for _, short := range s.Shortages {
		if n.ShortOf == nil {
			n.ShortOf = map[string]int{}
		}
		n.ShortOf[p.Kinds[short.Kind].Name] = short.Short
	}
	return n
}
