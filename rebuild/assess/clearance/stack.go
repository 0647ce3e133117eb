package clearance

import (
	"math"
	"slices"

	"pumpwright/calc/chain"
	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Basis is what the advice about the stack rests on.
type Basis string

// Show prints the word in the language of a style.
func (v Basis) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Basis) Message() say.Message { return say.Word("clearance", string(v)) }

// The bases.
const (
	FromDepths Basis = "depth readings"
	FromFound  Basis = "clearance as found and the old stack"
	FromBoth   Basis = "depth readings, and the clearance as found with the old stack"
	FromTrial  Basis = "the last trial assembly"
)

// Stack is the advice about the gaskets.
type Stack struct {
	Kinds       []gasket.Kind
	Basis       Basis
	Trials      int
	Belief      quantity.Estimate[quantity.Length] // of the clearance with the fitted pieces
	Fitted      []int
	Old         []gasket.Piece
	Solution    *gasket.Solution
	Learned     *gasket.Learned
	Landed      *bool // the last trial lies in the window
	Measured    *reading.Estimate
	Warnings    []say.Message
	TrialText   string
	Compression say.Message // what was learned of gaskets and is used; empty when nothing was
	Pack        say.Message // the shims behind the thrust bearing; empty where the pump has none
}

// Best returns the advised stack, or the nearest when none reaches the window.
func (s *Stack) Best() *gasket.Stack {
	if s.Solution == nil {
		return nil
	}
	if s.Solution.Best != nil {
		return s.Solution.Best
	}
	return s.Solution.Nearest
}

var (
	msgNoStart      = say.Define("clearance.no_start", "no stack can be worked out yet: neither the depths (casing, rotor, boss) nor a trial assembly are known")
	msgNoShimStart  = say.Define("clearance.no_shim_start", "no stack and no pack of shims can be worked out yet: the end clearance with the pieces that were found in the pump, or a trial assembly, is not known; the depths alone do not tell where the shims hold the shaft")
	msgCompression  = say.Define("clearance.compression", "gaskets give way by {extra:percent} ± {u:percent} more than their sheet says, learned from {jobs:count|job|jobs}")
	msgUnlearned    = say.Define("clearance.unlearned", "nothing learned yet: the compression of the sheet, anywhere within 0.05 of it")
	msgShimPack     = say.Define("clearance.shim_pack", "behind the thrust bearing: {pack:list}; clean, flat and without burrs, thin shims between thick ones. The shaft and with it the seal move by what changes: measure the working length again")
	msgNewBearing   = say.Define("clearance.new_bearing", "the thrust bearing is renewed: its width may differ by up to {width:length}, so this pack is a trial; measure the width of both")
	msgNoShims      = say.Define("clearance.no_shims", "behind the thrust bearing: no shims")
	msgShimMoves    = say.Define("clearance.shim_place", "the place of the rotor hangs on the shims behind the thrust bearing")
	msgNoGaskets    = say.Define("clearance.no_gaskets", "the sheet names no kinds of gasket")
	msgNoWindow     = say.Define("clearance.no_window", "no stack can be worked out without a window: {reason}")
	msgDisagree     = say.Define("clearance.disagree", "the depths say {depths:length} without gaskets, the clearance as found with the old stack says {found:length}; they differ by more than their uncertainties explain. The depths are used; measure again before the pump is closed")
	msgSolver       = say.Define("clearance.solver", "the stack could not be worked out: {reason}")
	msgTrialUnread  = say.Define("clearance.trial_unread", "a trial could not be used: {reason}")
	msgBelowPercent = say.Define("clearance.below", "the chance of being below the window, on the side of contact, is {chance:percent}: measure before the shaft is turned")
	msgLowChance    = say.Define("clearance.low_chance", "the chance of landing in the window is only {chance:percent}; a reading with an uncertainty of {u:length} or less would raise it")
	msgRaise        = say.Define("clearance.raise", "what raises the chance: each piece measured with a micrometer before it is fitted, a compression learned from the shop's own trials, each depth read three times")
	msgNotTorqued   = say.Define("clearance.not_torqued", "the last trial was measured before torque; paper is thinner after it: measure again after torque")
)

// fittedStack is the thickness of the stack in the pump: that of the last
// trial, else the old one as measured.
func fittedStack(in Inputs) *chain.Reading {
	if n := len(in.Trials); n > 0 {
		t := in.Trials[n-1]
		sum, u2 := 0.0, 0.0
		for _, k := range measuredKinds(in, in.Sheet.GasketKinds(nil)) {
			count := float64(t.Body.Counts[k.Name])
			if k.Apart {
				continue
			}
			sum += count * k.Compressed().SI()
			u2 += count * math.Pow(k.Tolerance.SI()/2, 2)
		}
		return &chain.Reading{Value: quantity.Length(sum), U: quantity.Length(math.Sqrt(u2)), Ref: t.Ref}
	}
	pieces, _, ref, _ := oldPieces(in)
	sum, u2, joint := 0.0, 0.0, 0
	for _, p := range pieces {
		if !p.apart {
			joint++
			sum += p.Thickness.SI()
			u2 += p.U.SI() * p.U.SI()
		}
	}
	if joint == 0 {
		return nil
	}
	return &chain.Reading{Value: quantity.Length(sum), U: quantity.Length(math.Sqrt(u2)), Ref: ref}
}

// oldPiece is a piece of the old stack.
type oldPiece struct {
	gasket.Piece
	kind   string
	apart  bool // a shim behind the thrust bearing
	closes bool
	sets   bool // it is there to set the clearance
}

// adds returns what the piece adds to the clearance.
func (p *oldPiece) adds() float64 {
	if p.closes {
		return -p.Thickness.SI()
	}
	return p.Thickness.SI()
}

// oldPieces reads the pieces of the old stack: those under the head from the
// last entry that names some, shims behind the thrust bearing likewise. mixed
// tells that order or pieces were lost, ref where the last entry stands.
func oldPieces(in Inputs) (pieces []oldPiece, mixed bool, ref string, err error) {
	var have [2]bool
	for i := len(in.Stacks) - 1; i >= 0 && !(have[0] && have[1]); i-- {
		k := &in.Stacks[i]
		list, err := piecesOf(in, k)
		if err != nil {
			return nil, false, k.Ref, err
		}
		var here [2]bool
		for _, p := range list {
			place := 0
			if p.apart {
				place = 1
			}
			if !have[place] {
				here[place] = true
				pieces = append(pieces, p)
			}
		}
		if here[0] || here[1] {
			mixed = mixed || k.Body.Mixed
			if ref == "" {
				ref = k.Ref
			}
		}
		have[0], have[1] = have[0] || here[0], have[1] || here[1]
		if in.Sheet.Build.Shims != "bearing" { // the last entry is all there is
			break
		}
	}
	return pieces, mixed, ref, nil
}

// piecesOf reads the pieces of one entry. A piece named only by its kind has
// the kind's compressed thickness.
func piecesOf(in Inputs, stack *job.Kept[job.StackFound]) ([]oldPiece, error) {
	var pieces []oldPiece
	for _, p := range stack.Body.Pieces {
		piece := oldPiece{Piece: gasket.Piece{Sealing: p.Sealing, U: 0.005e-3}, kind: p.Kind}
		piece.sets = in.Sheet.Build.ClearanceBy != "shims" || in.Sheet.Build.Shims == "head" && !p.Sealing
		if i := in.Sheet.GasketIndex(p.Kind); i >= 0 {
			g := in.Sheet.Gaskets[i]
			piece.Thickness = quantity.Length(g.Thickness.Value.SI() * (1 - g.Compression))
			piece.U = g.Tolerance.Value / 2
			piece.Sealing = g.Sealing
			piece.apart = g.Shim && in.Sheet.Build.Shims == "bearing"
			piece.closes = piece.apart && in.Sheet.EndClearance.ShimsClose
			piece.sets = in.Sheet.SetsClearance(i)
		}
		if p.Thickness != "" {
			read, err := quantity.Read[quantity.Length](p.Thickness)
			if err != nil {
				return nil, err
			}
			piece.Thickness = read.Value
			piece.U = quantity.Length(math.Max(read.Resolution/2, 0.003e-3))
		}
		if p.U != "" {
			read, err := quantity.Read[quantity.Length](p.U)
			if err != nil {
				return nil, err
			}
			piece.U = read.Value
		}
		if piece.Thickness > 0 {
			pieces = append(pieces, piece)
		}
	}
	return pieces, nil
}

// unlearnedCompressionU is the standard uncertainty of the compression of
// gaskets as a sheet lists it: anywhere within 0.05 of it, 0.05/√3. A shop
// that has learned its own compression knows better. [our own convention]
const unlearnedCompressionU = 0.029

// measuredKinds puts what the shop has measured of its gaskets in the place of
// what the sheet prints.
func measuredKinds(in Inputs, kinds []gasket.Kind) []gasket.Kind {
	for i := range kinds {
		lot := in.Shop.LotOf(kinds[i].Name)
		if lot == nil {
			continue
		}
		kinds[i].Thickness = quantity.Length(lot.Thickness.SI)
		kinds[i].Tolerance = 2 * 0.004e-3
		if lot.U != nil {
			kinds[i].Tolerance = quantity.Length(2 * lot.U.SI)
		}
		if lot.Compression != nil {
			kinds[i].Compression = *lot.Compression
		}
	}
	return kinds
}

// stack works out the advice about the gaskets.
func (c *Chapter) stack(in Inputs) {
	if len(in.Sheet.Gaskets) == 0 {
		c.Unknown = msgNoGaskets.With()
		return
	}
	var stock map[string]int
	if in.Shop != nil {
		stock = in.Shop.Stock
	}
	s := &Stack{Kinds: measuredKinds(in, in.Sheet.GasketKinds(stock))}
	s.keepShims(in)
	problem := gasket.Problem{Kinds: s.Kinds, Sealed: in.Sheet.Build.ClearanceBy == "shims", Low: c.Window.Low, High: c.Window.High, ExtraCompressionU: unlearnedCompressionU}
	if in.Shop != nil && in.Shop.Compression != nil {
		learned := in.Shop.Compression
		problem.ExtraCompression, problem.ExtraCompressionU = learned.Extra, learned.U
		s.Compression = msgCompression.With(learned.Extra, learned.U, learned.Jobs)
		problem.ExtraSource = s.Compression.String()
	} else {
		problem.ExtraSource = msgUnlearned.With().String()
	}
	belief := c.fromTrials(in, s, &problem)
	if belief == nil {
		belief = c.fromStart(in, s)
	}
	if belief == nil {
		c.Unknown = msgNoStart.With()
		if in.Sheet.Build.Shims == "bearing" {
			c.Unknown = msgNoShimStart.With()
		}
		c.Warnings = append(c.Warnings, s.Warnings...)
		return
	}
	s.Belief = belief.Clearance()
	c.Stack = s
	if !c.Window.Known {
		c.Unknown = msgNoWindow.With(c.Window.Unknown)
		return
	}
	problem.Belief, problem.Fitted = belief, s.Fitted
	solution, err := gasket.Solve(problem)
	if err != nil {
		s.Warnings = append(s.Warnings, msgSolver.With(err))
		return
	}
	s.Solution = solution
	if best := s.Best(); in.Sheet.Build.Shims == "bearing" {
		s.Pack = msgNoShims.With()
		if len(best.Pack) > 0 {
			s.Pack = msgShimPack.With(best.Pack)
		}
	}
	if best := solution.Best; best != nil {
		if best.ProbabilityBelow > 0.01 {
			s.Warnings = append(s.Warnings, msgBelowPercent.With(best.ProbabilityBelow))
		}
		if best.Probability < 0.95 {
			// A window of width w holds 95 % when u is a quarter of it.
			s.Warnings = append(s.Warnings, msgLowChance.With(best.Probability, quantity.Length((c.Window.High-c.Window.Low).SI()/4)), msgRaise.With())
		}
	}
}

// keepShims puts the shims that were found to those on the shelf: metal goes
// back in. After a trial they are part of what is fitted.
func (s *Stack) keepShims(in Inputs) {
	if len(in.Trials) > 0 {
		return
	}
	pieces, _, _, _ := oldPieces(in)
	for _, p := range pieces {
		if i := in.Sheet.GasketIndex(p.kind); i >= 0 && s.Kinds[i].Shim {
			s.Kinds[i].Stock++
		}
	}
}

// fromStart uses what is known before the first trial: the depths, and the
// clearance as found with the old stack as long as no part of that chain is
// replaced. Where both are there they are joined, or said to disagree.
func (c *Chapter) fromStart(in Inputs, s *Stack) *gasket.Belief {
	depths := estimate(c.Bare)
	found := c.bareFromFound(in, s)
	var e *reading.Estimate
	switch {
	case depths != nil && found != nil:
		gap := math.Abs(depths.Value - found.Value)
		if gap > 3*math.Hypot(depths.U, found.U) {
			s.Warnings = append(s.Warnings, msgDisagree.With(quantity.Length(depths.Value), quantity.Length(found.Value)))
			e, s.Basis = depths, FromDepths
			break
		}
		wd, wf := 1/(depths.U*depths.U), 1/(found.U*found.U)
		e = &reading.Estimate{Value: (wd*depths.Value + wf*found.Value) / (wd + wf), U: 1 / math.Sqrt(wd+wf)}
		s.Basis = FromBoth
	case depths != nil:
		e, s.Basis = depths, FromDepths
	case found != nil:
		e, s.Basis = found, FromFound
	default:
		return nil
	}
	first := quantity.Within(quantity.Length(e.Value), e.U)
	belief, err := gasket.NewBelief(&first, nil, nil)
	if err != nil {
		s.Warnings = append(s.Warnings, msgSolver.With(err))
		return nil
	}
	return belief
}

// bearingWidth is the tolerance of the width of a rolling bearing of 18 to 50
// mm bore, normal class: 0 to −120 µm (ISO 492:2014, from memory). Old and new
// one lie anywhere in it.
const bearingWidth = 0.12e-3

// bareFromFound takes the old stack off the clearance as found.
func (c *Chapter) bareFromFound(in Inputs, s *Stack) *reading.Estimate {
	for _, role := range []string{sheet.RoleCasingDepth, sheet.RoleRotorHeight, sheet.RoleHeadBoss} {
		if f := in.Sheet.ByRole(role); f != nil && in.Replaced[f.Part] {
			return nil
		}
	}
	if c.AsFound == nil || c.AsFound.Mean == nil || len(in.Stacks) == 0 {
		return nil
	}
	pieces, mixed, _, err := oldPieces(in)
	if err != nil || mixed || len(pieces) == 0 {
		return nil
	}
	if apart := slices.ContainsFunc(pieces, func(p oldPiece) bool { return p.apart }); in.Sheet.Build.Shims == "bearing" && !apart {
		return nil // what lay behind the bearing is not known
	}
	value, u2 := c.AsFound.Mean.Value, c.AsFound.Mean.U*c.AsFound.Mean.U
	for _, p := range pieces {
		if !p.sets {
			continue
		}
		value -= p.adds()
		u2 += p.U.SI() * p.U.SI()
	}
	if f := in.Sheet.ByRole(sheet.RoleEndPlay); in.Sheet.Build.Shims == "bearing" && f != nil && in.Replaced[f.Part] {
		u2 += 2 * bearingWidth * bearingWidth / 12
		s.Warnings = append(s.Warnings, msgNewBearing.With(quantity.Length(bearingWidth)))
	}
	return &reading.Estimate{Dimension: quantity.LengthDimension, Value: value, U: math.Sqrt(u2)}
}
