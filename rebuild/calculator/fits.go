package calculator

import (
	"pumpwright/calc/fit"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// fitCalculators are those of limits, press fits and shrink fits.
func fitCalculators() []Calculator {
	return []Calculator{limitsCalculator(), pressFitCalculator(), selectFitCalculator(), shrinkCalculator(), boltTorqueCalculator()}
}

var (
	msgFitOrParts = say.Define("calculator.fit_or_parts", "give either a fit, or a hole, a shaft or both")
	msgFitExample = say.Define("calculator.fit_example", "write fit: 50 H7/s6, or hole: 50 H7 and shaft: 50 s6, or fit: 2 in FN2")
	msgTwoSizes   = say.Define("calculator.two_sizes", "hole and shaft have different nominal sizes")
)

type limitsIn struct {
	Fit   string `json:"fit" optional:"yes" help:"nominal size and both zones, such as 50 H7/s6 (mm unless a unit is written), or an inch class such as 2 in FN2"`
	Hole  string `json:"hole" optional:"yes" help:"bore alone, such as 25 H7"`
	Shaft string `json:"shaft" optional:"yes" help:"shaft alone, such as 25 p6"`
}

type limitsOut struct {
	Nominal      quantity.Length  `json:"nominal" help:"nominal size, from which the deviations count"`
	HoleUpper    *quantity.Length `json:"hole_upper" help:"upper limit deviation of the hole"`
	HoleLower    *quantity.Length `json:"hole_lower" help:"lower limit deviation of the hole"`
	ShaftUpper   *quantity.Length `json:"shaft_upper" help:"upper limit deviation of the shaft"`
	ShaftLower   *quantity.Length `json:"shaft_lower" help:"lower limit deviation of the shaft"`
	ClearanceMax *quantity.Length `json:"clearance_max" help:"largest clearance; negative is interference"`
	ClearanceMin *quantity.Length `json:"clearance_min" help:"smallest clearance; negative is interference"`
	Kind         string           `json:"kind" help:"clearance, transition or interference; of one part alone its zone"`
	Source       string           `json:"source" help:"table the limits were taken from"`
}

func limitsCalculator() Calculator {
	return Define("limits", "What are the limits of this fit?", "fit: 50 H7/s6\n",
		func(_ *Env, in limitsIn) (limitsOut, Notes, error) {
			switch {
			case in.Fit != "" && in.Hole == "" && in.Shaft == "":
				f, err := fit.Parse(in.Fit)
				if err == nil {
					return wholeFit(f)
				}
				if hole, wrong := fit.ParseHole(in.Fit); wrong == nil { // one part alone
					return holeAlone(hole)
				}
				if shaft, wrong := fit.ParseShaft(in.Fit); wrong == nil {
					return shaftAlone(shaft)
				}
				return limitsOut{}, Notes{}, say.In("fit", err)
			case in.Fit == "" && in.Hole != "" && in.Shaft != "":
				hole, err := fit.ParseHole(in.Hole)
				if err != nil {
					return limitsOut{}, Notes{}, say.In("hole", err)
				}
				shaft, err := fit.ParseShaft(in.Shaft)
				if err != nil {
					return limitsOut{}, Notes{}, say.In("shaft", err)
				}
				if hole.Nominal != shaft.Nominal {
					return limitsOut{}, Notes{}, say.Refuse("shaft", in.Shaft, msgTwoSizes.With(), say.Message{})
				}
				return wholeFit(fit.Combine(hole, shaft))
			case in.Fit == "" && in.Hole != "":
				l, err := fit.ParseHole(in.Hole)
				if err != nil {
					return limitsOut{}, Notes{}, say.In("hole", err)
				}
				return holeAlone(l)
			case in.Fit == "" && in.Shaft != "":
				l, err := fit.ParseShaft(in.Shaft)
				if err != nil {
					return limitsOut{}, Notes{}, say.In("shaft", err)
				}
				return shaftAlone(l)
			}
			return limitsOut{}, Notes{}, say.Refuse("fit", in.Fit, msgFitOrParts.With(), msgFitExample.With())
		})
}

func holeAlone(l fit.Limits) (limitsOut, Notes, error) {
	return limitsOut{Nominal: l.Nominal, HoleUpper: &l.Upper, HoleLower: &l.Lower, Kind: l.Zone, Source: l.Source}, Notes{Working: l.Working()}, nil
}

func shaftAlone(l fit.Limits) (limitsOut, Notes, error) {
	return limitsOut{Nominal: l.Nominal, ShaftUpper: &l.Upper, ShaftLower: &l.Lower, Kind: l.Zone, Source: l.Source}, Notes{Working: l.Working()}, nil
}

func wholeFit(f fit.Fit) (limitsOut, Notes, error) {
	return limitsOut{
		Nominal: f.Nominal, HoleUpper: &f.Hole.Upper, HoleLower: &f.Hole.Lower, ShaftUpper: &f.Shaft.Upper, ShaftLower: &f.Shaft.Lower,
		ClearanceMax: &f.ClearanceMax, ClearanceMin: &f.ClearanceMin, Kind: string(f.Kind), Source: f.Hole.Source,
	}, Notes{Working: f.Working()}, nil
}

type finishIn struct {
	Low  quantity.Length `json:"low" help:"smallest bore wanted after pressing"`
	High quantity.Length `json:"high" help:"largest bore wanted after pressing"`
}

type pressFitIn struct {
	MatingDiameter     quantity.Length       `json:"mating_diameter" help:"diameter at which the two parts touch"`
	Interference       quantity.Length       `json:"interference" help:"outside of the sleeve less bore of the housing, on the diameter, at bench temperature"`
	SleeveBore         quantity.Length       `json:"sleeve_bore" help:"bore of the sleeve before pressing; 0 for a solid part"`
	HousingOuter       HousingSize           `json:"housing_outer" help:"outside diameter of the housing, or large"`
	Length             *quantity.Length      `json:"length" help:"engaged length; without it there is no press force"`
	SleeveMaterial     MaterialInput         `json:"sleeve_material" help:"material of the sleeve"`
	HousingMaterial    MaterialInput         `json:"housing_material" help:"material of the housing"`
	Friction           float64               `json:"friction" default:"0.12" help:"coefficient of friction while pressing"`
	BenchTemperature   quantity.Temperature  `json:"bench_temperature" default:"20 °C" help:"temperature of both parts when measured and pressed"`
	ServiceTemperature *quantity.Temperature `json:"service_temperature" help:"temperature of both parts in service; without it nothing is said hot"`
	FinishBore         *finishIn             `json:"finish_bore" help:"limits of the bore wanted after pressing; then it is said whether to ream"`
}

type strokeOut struct {
	Engaged quantity.Length `json:"engaged" help:"length that is in"`
	Force   quantity.Force  `json:"force" help:"press force there"`
}

type pressFitOut struct {
	ContactPressure       quantity.Stress                 `json:"contact_pressure" help:"pressure between the parts"`
	PressForce            *quantity.Force                 `json:"press_force" help:"force at the end of the stroke"`
	PressCapacity         *quantity.Force                 `json:"press_capacity" help:"press to take: one and a half times the force"`
	ForceOverStroke       []strokeOut                     `json:"force_over_stroke" optional:"yes" help:"force as the sleeve goes in"`
	BoreClosure           *quantity.Length                `json:"bore_closure" help:"how much smaller the bore gets, on the diameter"`
	BoreAfterPress        *quantity.Length                `json:"bore_after_press" help:"bore after pressing"`
	HousingHoopStress     quantity.Stress                 `json:"housing_hoop_stress" help:"hoop stress of the housing at the mating diameter"`
	SleeveHoopBore        *quantity.Stress                `json:"sleeve_hoop_stress_bore" help:"hoop stress of the sleeve at its bore; negative is compression"`
	SleeveHoopInterface   quantity.Stress                 `json:"sleeve_hoop_stress_interface" help:"hoop stress of the sleeve at the mating diameter; negative is compression"`
	HotInterference       *quantity.Length                `json:"hot_interference" help:"interference in service; negative is loose"`
	HotContactPressure    *quantity.Stress                `json:"hot_contact_pressure" help:"pressure between the parts in service; 0 when loose"`
	HotBoreClosure        *quantity.Length                `json:"hot_bore_closure" help:"closure of the bore in service; 0 when loose"`
	HotSleeveHoopBore     *quantity.Stress                `json:"hot_sleeve_hoop_stress_bore" help:"hoop stress of the sleeve at its bore in service"`
	BoreHot               *quantity.Length                `json:"bore_hot" help:"bore in service when nothing is reamed"`
	BoreHotReamed         *quantity.Length                `json:"bore_hot_reamed" help:"bore in service when it was reamed to sleeve_bore after pressing"`
	LooseTemperatureRise  *quantity.TemperatureDifference `json:"loose_temperature_rise" help:"rise above bench temperature at which the fit is loose; negative: when cooled; absent when the expansions are equal"`
	LooseTemperature      *quantity.Temperature           `json:"loose_temperature" help:"temperature at which the fit is loose"`
	Finish                *string                         `json:"finish" help:"what the bore needs after pressing, when finish_bore was given"`
	BoreBeforeForNoFinish *quantity.Length                `json:"bore_before_for_no_finish" help:"bore before pressing that comes out in the middle of finish_bore"`
	Accepted              *bool                           `json:"accepted" help:"whether every stress stays below its strength; absent when no strength is known"`
}

var msgForceNote = say.Define("calculator.force_note",
	"the press force holds for friction {friction:number} and goes in proportion with it; steel on steel: 0.12 to 0.15 dry, 0.05 to 0.08 lubricated")

func pressFitCalculator() Calculator {
	return Define("press-fit", "How hard does a bushing press in, what bore is left, and does it hold hot?",
		"mating_diameter: 38 mm\ninterference: 0.040 mm\nsleeve_bore: 25 mm\nhousing_outer: 70 mm\nlength: 40 mm\n"+
			"sleeve_material: carbon graphite\nhousing_material: grey iron\nfriction: 0.15\nservice_temperature: 150 °C\n",
		func(_ *Env, in pressFitIn) (pressFitOut, Notes, error) {
			input := fit.PressInput{
				MatingDiameter: in.MatingDiameter, Interference: in.Interference, SleeveBore: in.SleeveBore,
				HousingOuter: in.HousingOuter.Diameter, HousingLarge: in.HousingOuter.Large,
				Sleeve: in.SleeveMaterial.Material, Housing: in.HousingMaterial.Material, Friction: in.Friction, Bench: in.BenchTemperature,
			}
			if in.Length != nil {
				if *in.Length == 0 {
					return pressFitOut{}, Notes{}, say.Refuse("length", "0", msgAboveZero.With(), say.Message{})
				}
				input.Length = *in.Length
			}
			if in.ServiceTemperature != nil {
				input.Service = *in.ServiceTemperature
			}
			r, err := fit.Press(input)
			if err != nil {
				return pressFitOut{}, Notes{}, err
			}
			notes := Notes{Warnings: r.Warnings, Cautions: r.Cautions, Working: r.Working(), Found: r}
			out := pressOutOf(r)
			if in.Length != nil {
				notes.Warn(msgForceNote.With(in.Friction))
			}
			if in.FinishBore != nil {
				decision, before, err := r.Finish(in.FinishBore.Low, in.FinishBore.High)
				if err != nil {
					return pressFitOut{}, Notes{}, err
				}
				words := string(decision)
				out.Finish, out.BoreBeforeForNoFinish = &words, &before
			}
			return out, notes, nil
		})
}

var msgAboveZero = say.Define("calculator.above_zero", "this must be more than zero")

func pressOutOf(r fit.PressResult) pressFitOut {
	out := pressFitOut{
		ContactPressure: r.Cold.ContactPressure, HousingHoopStress: r.Cold.HousingHoop, SleeveHoopInterface: r.Cold.SleeveHoopInterface,
		LooseTemperatureRise: r.LooseTemperatureRise,
	}
	bored := r.Input.SleeveBore > 0
	if r.Input.Length > 0 {
		out.PressForce, out.PressCapacity = &r.PressForce, &r.PressCapacity
		for _, p := range r.Stroke {
			out.ForceOverStroke = append(out.ForceOverStroke, strokeOut(p))
		}
	}
	if bored {
		out.BoreClosure, out.BoreAfterPress, out.SleeveHoopBore = &r.Cold.BoreClosure, &r.BoreAfterPress, &r.Cold.SleeveHoopBore
	}
	if r.Hot != nil {
		out.HotInterference, out.HotContactPressure = &r.Hot.Interference, &r.Hot.ContactPressure
		if bored {
			out.HotBoreClosure, out.HotSleeveHoopBore, out.BoreHot, out.BoreHotReamed = &r.Hot.BoreClosure, &r.Hot.SleeveHoopBore, &r.BoreHot, &r.BoreHotReamed
		}
	}
	if rise := r.LooseTemperatureRise; rise != nil {
		if loose := r.Input.Bench + quantity.Temperature(*rise); loose > 0 {
			out.LooseTemperature = &loose
		}
	}
	if r.Judged {
		accepted := r.Accepted
		out.Accepted = &accepted
	}
	return out
}

type measuredPartIn struct {
	Name     string          `json:"name" help:"mark of the part"`
	Diameter quantity.Length `json:"diameter" help:"measured diameter where it mates"`
	U        quantity.Length `json:"u" default:"0.002 mm" help:"standard uncertainty of the diameter"`
}

type selectFitIn struct {
	Bore  measuredPartIn   `json:"bore" help:"measured bore of the housing"`
	Parts []measuredPartIn `json:"parts" help:"measured outsides of the parts at hand"`
	Low   quantity.Length  `json:"low" help:"least interference wanted (negative: clearance)"`
	High  quantity.Length  `json:"high" help:"most interference wanted"`
}

type pairingOut struct {
	Name         string                             `json:"name" help:"mark of the part"`
	Interference quantity.Estimate[quantity.Length] `json:"interference" help:"its interference in this bore"`
	Probability  float64                            `json:"probability" help:"chance that it lies in the wanted window"`
}

type selectFitOut struct {
	Parts         []pairingOut    `json:"parts" help:"the parts, the best first"`
	TargetOutside quantity.Length `json:"target_outside" help:"outside to turn a part to, for the middle of the window"`
}

func selectFitCalculator() Calculator {
	return Define("select-fit", "Which of the measured parts fits this bore best?",
		"bore: {name: idler, diameter: 38.004 mm, u: 0.002 mm}\nparts:\n  - {name: A, diameter: 38.036 mm}\n  - {name: B, diameter: 38.045 mm}\nlow: 0.030 mm\nhigh: 0.050 mm\n",
		func(_ *Env, in selectFitIn) (selectFitOut, Notes, error) {
			parts := make([]fit.Measured, len(in.Parts))
			for i, p := range in.Parts {
				parts[i] = fit.Measured{Name: p.Name, Diameter: quantity.Within(p.Diameter, float64(p.U))}
			}
			pairs, err := fit.Choose(quantity.Within(in.Bore.Diameter, float64(in.Bore.U)), parts, in.Low, in.High)
			if err != nil {
				return selectFitOut{}, Notes{}, err
			}
			out := selectFitOut{TargetOutside: fit.TargetOutside(in.Bore.Diameter, (in.Low+in.High)/2)}
			for _, p := range pairs {
				out.Parts = append(out.Parts, pairingOut(p))
			}
			return out, Notes{Working: fit.PairWorking(quantity.Within(in.Bore.Diameter, float64(in.Bore.U)), pairs[0])}, nil
		})
}

type shrinkIn struct {
	MatingDiameter quantity.Length                `json:"mating_diameter" help:"diameter at which the two parts touch"`
	Interference   quantity.Length                `json:"interference" help:"diametral interference at ambient temperature"`
	Clearance      quantity.Length                `json:"clearance" help:"diametral clearance wanted while the part drops in"`
	Material       MaterialInput                  `json:"material" help:"material of the part that is heated or cooled"`
	Ambient        quantity.Temperature           `json:"ambient" default:"20 °C" help:"temperature of the room and of the other part"`
	Method         string                         `json:"method" default:"heat" oneof:"heat|cool" help:"heat the outer part, or cool the inner one"`
	HandlingLoss   quantity.TemperatureDifference `json:"handling_loss" default:"0" help:"temperature lost between oven (or bath) and bore"`
}

type shrinkOut struct {
	Temperature     quantity.Temperature           `json:"temperature" help:"temperature of the part when it leaves the oven or the bath"`
	TemperatureRise quantity.TemperatureDifference `json:"temperature_rise" help:"change of temperature; negative when cooling"`
	Possible        bool                           `json:"possible" help:"whether the usual ways of heating or cooling get there"`
}

func shrinkCalculator() Calculator {
	return Define("shrink", "How hot must the outer part be, or how cold the inner one, to drop in?",
		"mating_diameter: 50 mm\ninterference: 0.059 mm\nclearance: 0.025 mm\nmaterial: carbon steel\nambient: 20 °C\n",
		func(_ *Env, in shrinkIn) (shrinkOut, Notes, error) {
			r, err := fit.Shrink(fit.ShrinkInput{
				MatingDiameter: in.MatingDiameter, Interference: in.Interference, Clearance: in.Clearance, Material: in.Material.Material,
				Ambient: in.Ambient, Cool: in.Method == "cool", Handling: in.HandlingLoss,
			})
			if err != nil {
				return shrinkOut{}, Notes{}, err
			}
			return shrinkOut{r.Temperature, r.TemperatureRise, r.Possible}, Notes{Warnings: r.Warnings, Cautions: r.Cautions, Working: r.Working()}, nil
		})
}
