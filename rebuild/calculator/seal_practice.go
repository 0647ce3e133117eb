package calculator

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/calc/working"
)

type elastomerIn struct {
	Elastomer   string               `json:"elastomer" oneof:"NBR|HNBR|EPDM|CR|VMQ|FKM|FFKM" help:"rubber by its ISO 1629 symbol"`
	Liquid      string               `json:"liquid" oneof:"mineral oil|fuel|water|steam|ketone or ester|strong alkali|sugar solution" help:"family of liquids"`
	Temperature quantity.Temperature `json:"temperature" help:"hottest temperature at the seal"`
}

type elastomerOut struct {
	Fitness string        `json:"fitness" help:"fit, limited, unfit or not known, by general tables"`
	Reasons []say.Message `json:"reasons" help:"why; always advice, never a release"`
}

var (
	nameFitness     = say.Define("calculator.fitness", "elastomer in the liquid")
	nameTemperature = say.Define("calculator.seal_temperature", "temperature at the seal")
	cautionDecide   = say.Define("calculator.caution_elastomer", "General tables are no release: ask the maker of the seal for this liquid, strength and temperature.")
)

func elastomerCalculator() Calculator {
	return Define("elastomer", "Does this elastomer stand the liquid and the temperature, by general tables?",
		"elastomer: FKM\nliquid: mineral oil\ntemperature: 120 °C\n",
		func(_ *Env, in elastomerIn) (elastomerOut, Notes, error) {
			a, err := seal.AdviseElastomer(seal.Elastomer(in.Elastomer), seal.Liquid(in.Liquid), in.Temperature)
			if err != nil {
				return elastomerOut{}, Notes{}, err
			}
			node := &working.Node{ID: "seal.fitness", Name: nameFitness.With(), Text: string(a.Fitness), Equation: "look-up by family and temperature", Source: a.Source,
				Inputs: []*working.Node{working.Leaf("seal.temperature", nameTemperature.With(), "T", in.Temperature, "input temperature")}}
			return elastomerOut{Fitness: string(string(a.Fitness)), Reasons: a.Reasons}, Notes{Working: node, Cautions: []say.Message{cautionDecide.With()}}, nil
		})
}

type packingIn struct {
	Shaft   quantity.Length `json:"shaft" help:"diameter of shaft or sleeve"`
	Bore    quantity.Length `json:"bore" help:"bore of the stuffing box"`
	Depth   quantity.Length `json:"depth" help:"depth of the box, without what the gland needs to enter"`
	Lantern quantity.Length `json:"lantern" default:"0" help:"width of a lantern ring"`
}

type packingOut struct {
	Section   quantity.Length `json:"section" help:"side of the square packing"`
	Count     int             `json:"count" help:"rings that fit"`
	CutLength quantity.Length `json:"cut_length" help:"length of one ring along its middle"`
	Stagger   quantity.Angle  `json:"stagger" help:"from the joint of one ring to that of the next"`
	DropsLow  float64         `json:"drops_low" help:"drops a minute once run in, low end"`
	DropsHigh float64         `json:"drops_high" help:"drops a minute once run in, high end"`
	Words     []say.Message   `json:"words" help:"how it is done"`
}

var (
	nameSection    = say.Define("calculator.packing_section", "side of the packing")
	nameBoxShaft   = say.Define("calculator.packing_shaft", "diameter of shaft or sleeve")
	nameBoxBore    = say.Define("calculator.packing_bore", "bore of the box")
	cautionPacking = say.Define("calculator.caution_packing", "Never repack or draw up a gland with a hand or a tool on a turning shaft; take the pressure off first.")
)

func packingCalculator() Calculator {
	return Define("packing", "What rings does this stuffing box take, and how much should it leak?",
		"shaft: 50 mm\nbore: 75 mm\ndepth: 65 mm\n",
		func(_ *Env, in packingIn) (packingOut, Notes, error) {
			r, err := seal.Packing{Shaft: in.Shaft, Bore: in.Bore, Depth: in.Depth, Lantern: in.Lantern}.Rings()
			if err != nil {
				return packingOut{}, Notes{}, err
			}
			node := working.Result("seal.packing_section", nameSection.With(), "", r.Section, "(bore − shaft)/2", "geometry",
				working.Leaf("seal.packing_bore", nameBoxBore.With(), "", in.Bore, "input bore"),
				working.Leaf("seal.packing_shaft", nameBoxShaft.With(), "", in.Shaft, "input shaft"))
			return packingOut{Section: r.Section, Count: r.Count, CutLength: r.CutLength, Stagger: r.Stagger, DropsLow: r.LeakAtStart, DropsHigh: r.LeakMost, Words: r.Messages},
				Notes{Working: node, Cautions: []say.Message{cautionPacking.With()}}, nil
		})
}

type lipShaftIn struct {
	Roughness    quantity.Length             `json:"roughness" default:"0" help:"Ra where the lip runs (0 = not judged)"`
	Hardness     float64                     `json:"hardness" default:"0" help:"Rockwell C hardness (0 = not judged)"`
	Dirty        bool                        `json:"dirty" default:"false" help:"grit outside, or a fast shaft"`
	Runout       quantity.Length             `json:"runout" default:"0" help:"total indicator reading at the lip"`
	Misalignment quantity.Length             `json:"misalignment" default:"0" help:"shaft off the centre of the bore"`
	Pressure     quantity.PressureDifference `json:"pressure" default:"0" help:"pressure on the lip"`
	Lead         bool                        `json:"lead" default:"false" help:"turning marks wind along the shaft"`
}

type lipShaftOut struct {
	Within  bool          `json:"within" help:"all that was given is within the published limits"`
	Reasons []say.Message `json:"reasons" help:"what is not"`
	Fitting say.Message   `json:"fitting" help:"how the seal goes in"`
}

var (
	nameLip       = say.Define("calculator.lip_shaft", "shaft under the lip")
	nameLipRunout = say.Define("calculator.lip_runout", "run-out at the lip")
	nameLipFinish = say.Define("calculator.lip_finish", "finish under the lip")
)

func lipShaftCalculator() Calculator {
	return Define("lip-shaft", "Is the shaft fit for a lip seal?",
		"roughness: 0.4 µm\nhardness: 45\nrunout: 0.05 mm\n",
		func(_ *Env, in lipShaftIn) (lipShaftOut, Notes, error) {
			v, err := seal.CheckLipShaft(seal.LipShaft{Roughness: in.Roughness, HardnessHRC: in.Hardness, Dirty: in.Dirty, Runout: in.Runout,
				Misalignment: in.Misalignment, Pressure: in.Pressure, Lead: in.Lead})
			if err != nil {
				return lipShaftOut{}, Notes{}, err
			}
			text := "within the limits"
			if !v.Within {
				text = "not within the limits"
			}
			node := &working.Node{ID: "seal.lip_shaft", Name: nameLip.With(), Text: text, Equation: "each reading against its published limit",
				Source: "lip seal pages: Ra 0.2 to 0.8 µm; 30 HRC, 45 with grit; run-out 0.13 mm, offset 0.08 mm, both 0.2 mm",
				Inputs: []*working.Node{working.Leaf("seal.lip_finish", nameLipFinish.With(), "Ra", in.Roughness, "input roughness"),
					working.Leaf("seal.lip_runout", nameLipRunout.With(), "", in.Runout, "input runout")}}
			return lipShaftOut{Within: v.Within, Reasons: v.Reasons, Fitting: v.Fitting}, Notes{Working: node}, nil
		})
}
