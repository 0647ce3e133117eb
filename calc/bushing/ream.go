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

// thickestFilm searches the clearance of the thickest film by golden section
// over its logarithm. The film has one maximum: a close clearance has little
// room, a wide one little lift.
func thickestFilm(j Journal) (quantity.Length, bool) {
	d := j.Diameter.SI()
	thickness := func(logClearance float64) float64 {
		j.DiametralClearance = quantity.Length(math.Exp(logClearance))
		run, err := Assess(j)
		if err != nil || !run.Carries {
			return 0
		}
		return run.MinFilm.SI()
	}
	golden := (math.Sqrt(5) - 1) / 2
	a, b := math.Log(1e-4*d), math.Log(0.02*d)
	x1, x2 := b-golden*(b-a), a+golden*(b-a)
	f1, f2 := thickness(x1), thickness(x2)
	for b-a > 1e-4 {
		// Where neither carries, only a closer clearance can.
		if f1 >= f2 {
			b, x2, f2 = x2, x1, f1
			x1 = b - golden*(b-a)
			f1 = thickness(x1)
		} else {
			a, x1, f1 = x1, x2, f2
			x2 = a + golden*(b-a)
			f2 = thickness(x2)
		}
	}
	best := 0.5 * (a + b)
	return quantity.Length(math.Exp(best)), thickness(best) > 0
}
