package chain

import (
	"fmt"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Reading is one measured length of the chain.
type Reading struct {
	Value      quantity.Length
	U          quantity.Length // standard uncertainty
	Instrument string          // readings of one instrument share its error
	Common     quantity.Length // the part of U that the instrument's readings share
	Ref        string          // where it was entered
}

// Readings are the cold lengths of a crescent pump. Any may be missing.
//
//	H_c   casing face to the rotor's back, where the thrust bearing holds it
//	H_r   rotor height, back to tooth ends
//	p     protrusion of the boss of the head into the casing
//	g     compressed gaskets
//	b     depth of the pocket in the rotor (face width)
//	H_i   width of the idler
//	H_cr  height of the crescent
//	D_b, D_o  casing bore and rotor outer diameter, means
type Readings struct {
	CasingDepth     *Reading // H_c
	RotorHeight     *Reading // H_r
	BossProtrusion  *Reading // p
	Gaskets         *Reading // g
	FaceToTeeth     *Reading // casing face to tooth ends at once: H_c − H_r
	PocketDepth     *Reading // b
	IdlerWidth      *Reading // H_i
	CrescentHeight  *Reading // H_cr
	CasingBore      *Reading // D_b
	RotorDiameter   *Reading // D_o
	RotorTip        *Reading // r_ar, radius of the rotor's tooth tips
	CrescentOutside *Reading // r_out, about the rotor centre
	CrescentInside  *Reading // r_in, about the idler centre
	IdlerTip        *Reading // r_ai
}

// Gap is a clearance that may be unknown.
type Gap struct {
	quantity.Estimate[quantity.Length]
	Unknown say.Message // why it is not known; empty when it is
	Sum     *Result     // the chain behind it; nil when unknown
}

// Known reports whether there is a value.
func (g Gap) Known() bool { return g.Unknown.IsZero() }

// Cold are the clearances on the bench.
type Cold struct {
	End           Gap // s_e
	IdlerFloat    Gap // f_i, both sides together
	CrescentEnd   Gap // s_cr
	Radial        Gap // c_od
	CrescentOuter Gap // c_co
	CrescentInner Gap // c_ci
}

type term struct {
	reading     *Reading
	name        string
	sensitivity float64
}

// Cold adds the cold clearances up.
//
//	s_e  = H_c − H_r − p + g      f_i  = s_e + b − H_i
//	s_cr = s_e + b − H_cr         c_od = (D_b − D_o)/2
//	c_co = r_ar − r_out           c_ci = r_in − r_ai
//
// Idler pin and crescent sit on the head, so the gaskets open s_e, f_i and
// s_cr alike (not an idler kept on its pin by a retainer: there f_i is its
// total float all the same, but its share on the head side is not).
//
// Readings of one instrument share its zero error; of three depths in s_e it
// enters as +1 −1 −1, so only one of the three is left.
//
// Errors: a say.Problem naming the reading for numbers that are not finite or
// negative uncertainties. Source: derived here; JCGM 100:2008, 5.2.2.
func (r Readings) Cold() (Cold, error) {
	end := []term{{r.CasingDepth, "casing depth", 1}, {r.RotorHeight, "rotor height", -1}}
	if r.FaceToTeeth != nil {
		end = []term{{r.FaceToTeeth, "casing face to tooth ends", 1}}
	}
	end = append(end, term{r.BossProtrusion, "boss protrusion", -1}, term{r.Gaskets, "compressed gaskets", 1})
	pocket := append(end[:len(end):len(end)], term{r.PocketDepth, "pocket depth", 1})
	chains := [][]term{
		end,
		append(pocket[:len(pocket):len(pocket)], term{r.IdlerWidth, "idler width", -1}),
		append(pocket[:len(pocket):len(pocket)], term{r.CrescentHeight, "crescent height", -1}),
		{{r.CasingBore, "casing bore", 0.5}, {r.RotorDiameter, "rotor outer diameter", -0.5}},
		{{r.RotorTip, "rotor tip radius", 1}, {r.CrescentOutside, "crescent outer radius", -1}},
		{{r.CrescentInside, "crescent inner radius", 1}, {r.IdlerTip, "idler tip radius", -1}},
	}
	var c Cold
	for i, gap := range []*Gap{&c.End, &c.IdlerFloat, &c.CrescentEnd, &c.Radial, &c.CrescentOuter, &c.CrescentInner} {
		var err error
		if *gap, err = sum(chains[i]); err != nil {
			return Cold{}, err
		}
	}
	return c, nil
}

func sum(terms []term) (Gap, error) {
	var missing []string
	c := Chain{Dimension: quantity.LengthDimension}
	for _, t := range terms {
		if t.reading == nil {
			missing = append(missing, t.name)
			continue
		}
		c.Links = append(c.Links, Link{
			Name: t.name, Value: float64(t.reading.Value), U: float64(t.reading.U), Sensitivity: t.sensitivity,
			Group: t.reading.Instrument, Common: float64(t.reading.Common), Ref: t.reading.Ref,
		})
	}
	if len(missing) > 0 {
		return Gap{Unknown: notKnown(missing)}, nil
	}
	r, err := c.Solve()
	if err != nil {
		if p := say.AsProblem(err); p != nil {
			return Gap{}, inTradeWords(p, c)
		}
		return Gap{}, err
	}
	return Gap{Estimate: quantity.Within(quantity.Length(r.Value), r.U), Sum: r}, nil
}

// inTradeWords puts the trade's name of a reading in place of its number.
func inTradeWords(p *say.Problem, c Chain) error {
	copied := *p
	for i, l := range c.Links {
		if rest, ok := strings.CutPrefix(p.Field, fmt.Sprintf("links[%d]", i)); ok {
			copied.Field = fieldName(l.Name) + rest
		}
	}
	return &copied
}

var (
	msgMissingOne  = say.Define("chain.missing_one", "not known, because the {missing} is missing")
	msgMissingMany = say.Define("chain.missing_many", "not known, because these are missing: {missing:list}")
)

func notKnown(missing []string) say.Message {
	if len(missing) == 1 {
		return msgMissingOne.With(missing[0])
	}
	return msgMissingMany.With(missing)
}
