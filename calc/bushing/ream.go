package bushing

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgReamFilm = say.Define("bushing.ream_film", "the film is thickest at a running clearance of {clearance:length}")
	msgReamHeld = say.Define("bushing.ream_held", "the running clearance is held to {aim:length}, inside the usual {low:length} to {high:length} for this diameter")
	msgReamHot  = say.Define("bushing.ream_hot", "the bore closes by {closure:length} from bench to service: that much is reamed more")
	msgReamOpen = say.Define("bushing.ream_open", "the bore opens by {opening:length} from bench to service: that much is reamed less")
	msgReamRule = say.Define("bushing.ream_rule", "the clearance of the manual, where there is one, comes before this")
	msgReamNone = say.Define("bushing.ream_none", "no clearance gives a carrying film at this point; the rule of the trade is used")
	msgReamTiny = say.Define("bushing.ream_tiny", "the bushing would be reamed to no clearance on the bench; the pump could not be turned cold")
)

// Reamed is the clearance to aim for.
type Reamed struct {
	ThickestFilm     quantity.Length // running diametral clearance of the thickest film; 0 = none carries
	RunningClearance quantity.Length // to aim for, diametral
	BenchClearance   quantity.Length // the same on the bench, after pressing
	Bore             quantity.Length // to ream to, after pressing
	AtAim            Running         // the bushing at the clearance aimed for
	Reasons          []say.Message
}

// Running clearance over diameter that the trade gives a plain bushing: 0.0015
// in per in of bore (published rule for plain bearings), here a third less or
// more.
const (
	closeRule = 0.0010
	usualRule = 0.0015
	wideRule  = 0.0020
)

// Ream finds the clearance to which a pressed bushing is reamed.
//
// The running clearance aimed for is that of the thickest film at the given
// point (take the thinnest liquid of the service), kept between 0.001 and
// 0.002 of the diameter. The bench clearance adds hotClosure, how much the
// running clearance is smaller than that on the bench (negative where it is
// larger), from the fit and the expansions.
//
// Errors: *say.Problem naming the field; j.DiametralClearance is not read.
// Source: film from FilmFor; the search derived here; bounds around the plain
// bearing rule of 0.0015 in per in, common practice.
func Ream(j Journal, hotClosure quantity.Length) (Reamed, error) {
	if math.IsNaN(hotClosure.SI()) || math.Abs(hotClosure.SI()) > 0.05*math.Abs(j.Diameter.SI()) {
		return Reamed{}, say.Refuse("hot_closure", hotClosure.String(), msgClearanceLarge.With(), say.Message{})
	}
	j.DiametralClearance = usualRule * j.Diameter
	if _, err := Assess(j); err != nil {
		return Reamed{}, err
	}
	d := j.Diameter.SI()
	low, high := quantity.Length(closeRule*d), quantity.Length(wideRule*d)
	thickest, found := thickestFilm(j)
	out := Reamed{RunningClearance: quantity.Length(usualRule * d)}
	if found {
		out.ThickestFilm = thickest
		out.RunningClearance = min(max(thickest, low), high)
		out.Reasons = append(out.Reasons, msgReamFilm.With(thickest))
		if out.RunningClearance != thickest {
			out.Reasons = append(out.Reasons, msgReamHeld.With(out.RunningClearance, low, high))
		}
	} else {
		out.Reasons = append(out.Reasons, msgReamNone.With())
	}
	switch {
	case hotClosure > 0:
		out.Reasons = append(out.Reasons, msgReamHot.With(hotClosure))
	case hotClosure < 0:
		out.Reasons = append(out.Reasons, msgReamOpen.With(-hotClosure))
	}
	out.BenchClearance = out.RunningClearance + hotClosure
	if out.BenchClearance <= 0 {
		out.Reasons = append(out.Reasons, msgReamTiny.With())
	}
	out.Bore = j.Diameter + out.BenchClearance
	out.Reasons = append(out.Reasons, msgReamRule.With())
	j.DiametralClearance = out.RunningClearance
	var err error
	out.AtAim, err = Assess(j)
	return out, err
}

// thickestFilm finds the clearance of the thickest film, between a ten
// thousandth and a fiftieth of the diameter. With S = A/c² and h₀ = c(1 − ε)
// it lies where (1 − ε)²/S(ε) is largest, whatever the load: one eccentricity
// for each length over diameter (golden section over it; the film has one
// maximum, a close clearance has little room, a wide one little lift).
func thickestFilm(j Journal) (quantity.Length, bool) {
	d, ratio := j.Diameter.SI(), j.Length.SI()/j.Diameter.SI()
	if j.check() != nil || ratio < leastTableRatio {
		return 0, false
	}
	shape := column(stencilAt(slendernessAxis[:], math.Log1p(1/ratio)), 0)
	loadAt := func(eps float64) float64 {
		return math.Exp(stencilAt(tableEccentricity[:], eps).of(shape[:])) * (1 - eps) / eps
	}
	merit := func(eps float64) float64 { return (1 - eps) * (1 - eps) / loadAt(eps) }
	golden := (math.Sqrt(5) - 1) / 2
	a, b := tableEccentricity[0], NoFilmEccentricity
	x1, x2 := b-golden*(b-a), a+golden*(b-a)
	f1, f2 := merit(x1), merit(x2)
	for b-a > 1e-5 {
		if f1 >= f2 {
			b, x2, f2 = x2, x1, f1
			x1 = b - golden*(b-a)
			f1 = merit(x1)
		} else {
			a, x1, f1 = x1, x2, f2
			x2 = a + golden*(b-a)
			f2 = merit(x2)
		}
	}
	pressure := j.Load.SI() / (j.Length.SI() * d)
	speed := j.Speed.SI() / (2 * math.Pi)
	bearing := d * d / 4 * j.Viscosity.SI() * speed / pressure // S c², c radial
	best := min(max(2*math.Sqrt(bearing/loadAt(0.5*(a+b))), 1e-4*d), 0.02*d)
	_, err := FilmFor(4*bearing/(best*best), ratio)
	return quantity.Length(best), err == nil
}
