package window

import (
	"fmt"
	"math"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Pair is the pair of metals that would touch: rotor against head.
type Pair string

// Show prints the word in the language of a style.
func (v Pair) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Pair) Message() say.Message { return say.Word("window", string(v)) }

// The pairs. Steel counts as iron.
const (
	IronIron           Pair = "iron-iron"
	IronBronze         Pair = "iron-bronze"
	IronCarbon         Pair = "iron-carbon"
	StainlessIron      Pair = "stainless-iron"
	StainlessBronze    Pair = "stainless-bronze"
	StainlessStainless Pair = "stainless-stainless"
)

// Pairs lists the pairs.
func Pairs() []string {
	return []string{string(IronIron), string(IronBronze), string(IronCarbon), string(StainlessIron), string(StainlessBronze), string(StainlessStainless)}
}

// What must remain between the metals: conventions of this program, no source.
const (
	gapLubricated quantity.Length = 0.025e-3
	gapDry        quantity.Length = 0.050e-3
	gapGalling    quantity.Length = 0.075e-3

	roughnessFactor = 2.0 // times the summed roughness
	solidsFactor    = 1.5 // times the size that 98 % of the solids pass
)

var (
	msgPair       = say.Define("window.pair", "this pair of metals is not known")
	msgPairsAre   = say.Define("window.pairs_are", "write one of {pairs:list}")
	needMetal     = say.Define("window.need_metal", "{pair} in a liquid that lubricates")
	needDry       = say.Define("window.need_dry", "{pair} in a liquid that does not lubricate")
	needGall      = say.Define("window.need_gall", "{pair}: galls at a touch")
	needRoughness = say.Define("window.need_roughness", "twice the roughness of both faces together")
	needSolids    = say.Define("window.need_solids", "one and a half times the larger solids")
	needOwn       = say.Define("window.need_own", "the gap that was asked for")
)

// MetalGap returns what must remain between two metals.
//
//	0.025 mm  iron with iron, bronze or carbon in a liquid that lubricates
//	0.050 mm  in one that does not, and stainless with iron or bronze
//	0.075 mm  stainless with stainless
//
// Conventions of this program, no source.
func MetalGap(pair Pair, lubricates bool) (quantity.Length, say.Message, error) {
	words := strings.ReplaceAll(string(pair), "-", " against ")
	switch pair {
	case IronIron, IronBronze, IronCarbon:
		if lubricates {
			return gapLubricated, needMetal.With(words), nil
		}
		return gapDry, needDry.With(words), nil
	case StainlessIron, StainlessBronze:
		if lubricates {
			return gapDry, needMetal.With(words), nil
		}
		return gapDry, needDry.With(words), nil
	case StainlessStainless:
		return gapGalling, needGall.With(words), nil
	}
	return 0, say.Message{}, say.Refuse("material_pair", string(pair), msgPair.With(), msgPairsAre.With(Pairs()))
}

// need finds the gap that must remain and why.
func (in Inputs) need() (quantity.Length, say.Message, error) {
	lubricates := true
	for _, d := range in.Duties {
		lubricates = lubricates && d.Lubricates
	}
	gap, why, err := MetalGap(in.Pair, lubricates)
	if err != nil {
		return 0, say.Message{}, err
	}
	for _, other := range []struct {
		field  string
		value  *quantity.Length
		factor float64
		why    say.Message
	}{{"roughness", in.Roughness, roughnessFactor, needRoughness.With()}, {"solids", in.Solids, solidsFactor, needSolids.With()}, {"needed_gap", in.NeededGap, 1, needOwn.With()}} {
		if other.value == nil {
			continue
		}
		if err := notNegative(other.field, other.value.SI()); err != nil {
			return 0, say.Message{}, err
		}
		if v := quantity.Length(other.factor * other.value.SI()); v > gap {
			gap, why = v, other.why
		}
	}
	return gap, why, nil
}

var (
	msgNotFinite   = say.Define("window.not_finite", "the number must be finite")
	msgNotNegative = say.Define("window.not_negative", "the value must not be below zero")
)

func notNegative(field string, v float64) error {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return say.Refuse(field, fmt.Sprint(v), msgNotFinite.With(), say.Message{})
	}
	if v < 0 {
		return say.Refuse(field, fmt.Sprint(v), msgNotNegative.With(), say.Message{})
	}
	return nil
}
