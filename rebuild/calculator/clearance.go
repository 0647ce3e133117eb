package calculator

import (
	"fmt"

	"pumpwright/calc/chain"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// clearanceCalculators are those of dimension chains, gaskets and the
// adjustable bearing housing.
func clearanceCalculators() []Calculator {
	return []Calculator{chainCalculator(), gasketStackCalculator(), gasketLearnCalculator(), housingTurnCalculator()}
}

var (
	cautionLockOut = say.Define("calculator.caution_lock_out", "Lock out and tag the drive, and let the pressure off, before hands go near the pump.")
	cautionTorque  = say.Define("calculator.caution_torque", "Measure the clearance again after the last torque pass: the answer is what to fit, never the proof that it fits.")
	cautionTurn    = say.Define("calculator.caution_turn", "Turn the shaft by hand, two full turns at least. It must turn freely; if it binds anywhere, stop and open the clearance.")
	cautionManual  = say.Define("calculator.caution_manual", "The maker's manual and the site's rules come before this answer.")
	cautionSheet   = say.Define("calculator.caution_sheet", "Old gasket sheet may hold asbestos: treat it so until its date is known.")
	cautionSeal    = say.Define("calculator.caution_seal", "Moving the bearing housing moves the seal by the same amount: check the seal's working length again.")
	cautionLock    = say.Define("calculator.caution_lock", "Lock the housing, then measure again: the lock nut or screws pull it along the play of the thread.")
)

type chainIn struct {
	Links       []chainLink        `json:"links" help:"the members of the chain"`
	Correlation []chainCorrelation `json:"correlation" optional:"yes" help:"links whose errors go together"`
	Samples     int                `json:"samples" default:"0" help:"draws for the check by Monte Carlo, 0 for none"`
	Seed        int                `json:"seed" default:"1" help:"seed of the draws: the same seed gives the same answer"`
}

type chainLink struct {
	Name        string  `json:"name" help:"name of the link"`
	Value       *Any    `json:"value" help:"best value; the middle of the limits when they are given"`
	U           *Any    `json:"u" help:"standard uncertainty; or give low and high"`
	Low         *Any    `json:"low" help:"lower limit: the value lies anywhere between the limits, equally likely"`
	High        *Any    `json:"high" help:"upper limit"`
	Sensitivity float64 `json:"sensitivity" default:"1" help:"by how much the result changes for a change of the link by one: +1 opens a gap, −1 closes it"`
	Group       string  `json:"group" optional:"yes" help:"links of one group share an error, for example that of one micrometer"`
	Common      *Any    `json:"common" help:"the part of u that all links of the group share"`
}

type chainCorrelation struct {
	A   string  `json:"a" help:"name of a link"`
	B   string  `json:"b" help:"name of another link"`
	Rho float64 `json:"rho" help:"correlation coefficient, −1 to 1"`
}

type chainOut struct {
	Value         AnyResult           `json:"value" help:"value of the chain with its standard uncertainty"`
	Contributions []chainContribution `json:"contributions" help:"share of each link in the variance; they add to 1"`
	MonteCarlo    *chainSampled       `json:"monte_carlo" help:"the same by drawing, when samples are asked for"`
}

type chainContribution struct {
	Name  string  `json:"name" help:"name of the link"`
	Share float64 `json:"share" help:"share of the variance; below zero where a shared error cancels more than the link adds"`
}

type chainSampled struct {
	Mean AnyResult `json:"mean" help:"mean of the draws"`
	U    AnyResult `json:"u" help:"standard deviation of the draws"`
	Low  AnyResult `json:"low" help:"2.5 % of the draws lie below"`
	High AnyResult `json:"high" help:"2.5 % of the draws lie above"`
}

var (
	msgChainValue     = say.Define("calculator.chain_value", "a link needs a value, or low and high")
	msgChainU         = say.Define("calculator.chain_u", "a link needs its uncertainty u, or low and high")
	msgChainBoth      = say.Define("calculator.chain_both", "give u or the limits low and high, not both")
	msgChainLimits    = say.Define("calculator.chain_limits", "limits come as a pair: low and high")
	msgChainOutside   = say.Define("calculator.chain_outside", "the value lies outside its own limits")
	msgChainAbsolute  = say.Define("calculator.chain_absolute", "a chain adds lengths or other differences, not temperatures or pressures counted from zero")
	msgChainWriteLike = say.Define("calculator.chain_write_like", "write it like 86.02 mm with u: 0.006 mm")
	msgChainEmpty     = say.Define("calculator.chain_empty", "a chain needs at least one link")
	msgChainNegative  = say.Define("calculator.chain_negative", "the sum is below zero: as a gap that is contact")
	msgChainMiddle    = say.Define("calculator.chain_middle", "“{name}”: the middle of its limits was used, not the value")
	msgChainDraws     = say.Define("calculator.chain_draws", "drawing gives u = {drawn:number} of the law's u: the chain is not well described by u alone; use the drawn interval")
	msgSeedNegative   = say.Define("calculator.seed_negative", "a seed is a whole number from 0")
)

func chainCalculator() Calculator {
	return Define("chain", "What does this chain of dimensions add up to, and how sure is it?",
		`links:
  - {name: casing depth, value: 86.02 mm, u: 0.006 mm, sensitivity: 1, group: depth micrometer, common: 0.003 mm}
  - {name: rotor height, value: 80.44 mm, u: 0.005 mm, sensitivity: -1, group: depth micrometer, common: 0.003 mm}
  - {name: boss protrusion, value: 6.02 mm, u: 0.006 mm, sensitivity: -1, group: depth micrometer, common: 0.003 mm}
  - {name: compressed gaskets, low: 0.553 mm, high: 0.587 mm, sensitivity: 1}
samples: 200000
`, runChain)
}

func runChain(_ *Env, in chainIn) (chainOut, Notes, error) {
	var notes Notes
	if in.Seed < 0 {
		return chainOut{}, notes, say.Refuse("seed", fmt.Sprint(in.Seed), msgSeedNegative.With(), say.Message{})
	}
	c, err := in.chain(&notes)
	if err != nil {
		return chainOut{}, notes, err
	}
	r, err := c.Solve()
	if err != nil {
		return chainOut{}, notes, err
	}
	out := chainOut{Value: AnyResult{Dimension: c.Dimension, SI: r.Value, U: r.U}}
	for _, s := range r.Contributions {
		out.Contributions = append(out.Contributions, chainContribution{Name: s.Name, Share: s.Share})
	}
	if in.Samples != 0 {
		s, err := c.Sample(in.Samples, uint64(in.Seed))
		if err != nil {
			return chainOut{}, notes, err
		}
		result := func(v float64) AnyResult { return AnyResult{Dimension: c.Dimension, SI: v} }
		out.MonteCarlo = &chainSampled{Mean: result(s.Mean), U: result(s.U), Low: result(s.Low), High: result(s.High)}
		if ratio := s.U / r.U; in.Samples >= 50_000 && (ratio < 0.98 || ratio > 1.02) {
			notes.Warn(msgChainDraws.With(ratio))
		}
	}
	if c.Dimension == quantity.LengthDimension && r.Value < 0 {
		notes.Warn(msgChainNegative.With())
	}
	notes.Working = r.Working()
	return out, notes, nil
}

// chain reads the links in the dimension of the first.
func (in chainIn) chain(notes *Notes) (chain.Chain, error) {
	if len(in.Links) == 0 {
		return chain.Chain{}, say.Refuse("links", "", msgChainEmpty.With(), msgChainWriteLike.With())
	}
	first := in.Links[0].Value
	if first == nil {
		first = in.Links[0].Low
	}
	if first == nil {
		return chain.Chain{}, say.Refuse("links[0].value", "", msgChainValue.With(), msgChainWriteLike.With())
	}
	e, err := first.Read()
	if err != nil {
		return chain.Chain{}, say.In("links[0].value", err)
	}
	if e.Dimension == quantity.TemperatureDimension || e.Dimension == quantity.AbsolutePressureDimension {
		return chain.Chain{}, say.Refuse("links[0].value", e.Text, msgChainAbsolute.With(), msgChainWriteLike.With())
	}
	c := chain.Chain{Dimension: e.Dimension}
	for i, l := range in.Links {
		link, err := l.link(e.Dimension, notes)
		if err != nil {
			return chain.Chain{}, say.In(fmt.Sprintf("links[%d]", i), err)
		}
		c.Links = append(c.Links, link)
	}
	for _, r := range in.Correlation {
		c.Correlations = append(c.Correlations, chain.Correlation{A: r.A, B: r.B, Rho: r.Rho})
	}
	return c, nil
}

func (l chainLink) link(d quantity.Dimension, notes *Notes) (chain.Link, error) {
	link := chain.Link{Name: l.Name, Sensitivity: l.Sensitivity, Group: l.Group}
	given := []struct {
		field string
		from  *Any
		to    *float64
	}{{"value", l.Value, &link.Value}, {"u", l.U, &link.U}, {"low", l.Low, &link.Low}, {"high", l.High, &link.High}, {"common", l.Common, &link.Common}}
	for _, g := range given {
		if g.from == nil {
			continue
		}
		e, err := g.from.As(d)
		if err != nil {
			return link, say.In(g.field, err)
		}
		*g.to = e.SI
	}
	limits := l.Low != nil || l.High != nil
	switch {
	case limits && (l.Low == nil || l.High == nil):
		return link, say.Refuse("low", "", msgChainLimits.With(), msgChainWriteLike.With())
	case limits && l.U != nil:
		return link, say.Refuse("u", l.U.Text, msgChainBoth.With(), say.Message{})
	case limits:
		link.Shape = chain.Rectangular
		middle, half := (link.Low+link.High)/2, (link.High-link.Low)/2
		if l.Value != nil && (link.Value < link.Low || link.Value > link.High) {
			return link, say.Refuse("value", l.Value.Text, msgChainOutside.With(), say.Message{})
		}
		if l.Value != nil && (link.Value-middle > 1e-6*half || middle-link.Value > 1e-6*half) {
			notes.Warn(msgChainMiddle.With(l.Name))
		}
	case l.Value == nil:
		return link, say.Refuse("value", "", msgChainValue.With(), msgChainWriteLike.With())
	case l.U == nil:
		return link, say.Refuse("u", "", msgChainU.With(), msgChainWriteLike.With())
	}
	return link, nil
}
