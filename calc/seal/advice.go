package seal

import (
	"sort"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Fitness is what general tables say of a material in a liquid.
type Fitness string

// Show prints the word in the language of a style.
func (v Fitness) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Fitness) Message() say.Message { return say.Word("seal", string(v)) }

// The grades of the tables.
const (
	Fit     Fitness = "fit"
	Limited Fitness = "limited"
	Unfit   Fitness = "unfit"
	Unknown Fitness = "not known"
)

// Liquid is a family of liquids that general tables tell apart.
type Liquid string

// Show prints the word in the language of a style.
func (v Liquid) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Liquid) Message() say.Message { return say.Word("seal", string(v)) }

// The families.
const (
	MineralOil Liquid = "mineral oil"
	Fuel       Liquid = "fuel"
	Water      Liquid = "water"
	Steam      Liquid = "steam"
	Ketone     Liquid = "ketone or ester"
	Alkali     Liquid = "strong alkali"
	Sugar      Liquid = "sugar solution"
)

// Elastomer is a rubber by its ISO 1629 symbol.
type Elastomer string

// Show prints the word in the language of a style.
func (v Elastomer) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Elastomer) Message() say.Message { return say.Word("seal", string(v)) }

// The elastomers held.
const (
	NBR  Elastomer = "NBR"
	HNBR Elastomer = "HNBR"
	EPDM Elastomer = "EPDM"
	CR   Elastomer = "CR"
	VMQ  Elastomer = "VMQ"
	FKM  Elastomer = "FKM"
	FFKM Elastomer = "FFKM"
)

type elastomerRow struct {
	coldest, hottest float64 // °C, standard grades
	hotWater         float64 // °C, 0 = not stated
	steam            float64 // °C, 0 = not for steam
	fitness          map[Liquid]Fitness
}

const (
	elastomerPage = "table of elastomer properties on a seal supplier's technical page (standard grades)"
	fromHandbooks = "general resistance tables, from memory"
)

// elastomers: temperatures, hot water, steam, oil and fuel from the supplier's
// table; ketones and alkalis from memory.
var elastomers = map[Elastomer]elastomerRow{
	NBR:  {-30, 100, 80, 0, map[Liquid]Fitness{MineralOil: Fit, Fuel: Limited, Ketone: Unfit, Alkali: Limited}},
	HNBR: {-30, 150, 100, 0, map[Liquid]Fitness{MineralOil: Fit, Fuel: Limited, Ketone: Unfit, Alkali: Limited}},
	EPDM: {-45, 130, 130, 130, map[Liquid]Fitness{MineralOil: Unfit, Fuel: Unfit, Ketone: Fit, Alkali: Fit}},
	CR:   {-40, 100, 80, 0, map[Liquid]Fitness{MineralOil: Limited, Fuel: Unfit, Ketone: Unfit, Alkali: Limited}},
	VMQ:  {-55, 200, 100, 120, map[Liquid]Fitness{MineralOil: Limited, Fuel: Unfit, Ketone: Unfit, Alkali: Limited}},
	FKM:  {-15, 200, 100, 0, map[Liquid]Fitness{MineralOil: Fit, Fuel: Fit, Ketone: Unfit, Alkali: Unfit}},
	FFKM: {-15, 260, 0, 0, map[Liquid]Fitness{MineralOil: Fit, Fuel: Fit, Ketone: Fit, Alkali: Fit}},
}

// Advice is what general tables say. It is never a release: the maker of the
// seal and a soak test decide.
type Advice struct {
	Elastomer Elastomer
	Liquid    Liquid
	At        quantity.Temperature
	Fitness   Fitness
	Reasons   []say.Message
	Source    string
}

var (
	msgNoElastomer   = say.Define("seal.no_elastomer", "this elastomer is not held here")
	msgElastomersAre = say.Define("seal.elastomers_are", "the elastomers are {names}")
	msgNoLiquid      = say.Define("seal.no_liquid", "this family of liquids is not held here")
	msgLiquidsAre    = say.Define("seal.liquids_are", "the families are {names}")
	msgTooHot        = say.Define("seal.too_hot", "{at:temperature} is above the {limit:temperature} of {elastomer} in {liquid}")
	msgTooCold       = say.Define("seal.too_cold", "{at:temperature} is below the {limit:temperature} of {elastomer}")
	msgNearLimit     = say.Define("seal.near_limit", "{at:temperature} is close to the {limit:temperature} of {elastomer} in {liquid}")
	msgSwells        = say.Define("seal.swells", "{elastomer} and {liquid}: {fitness} by general tables")
	msgOnlyAdvice    = say.Define("seal.only_advice", "advice from general tables, no release: ask the maker of the seal, or soak a spare ring in the liquid and measure it")
	allLiquids       = []Liquid{MineralOil, Fuel, Water, Steam, Ketone, Alkali, Sugar}
)

// AdviseElastomer looks an elastomer up against a liquid and a temperature.
// Errors: *say.Problem naming elastomer, liquid or temperature.
// Source: see elastomerPage and fromHandbooks in the answer's Source.
func AdviseElastomer(e Elastomer, liquid Liquid, at quantity.Temperature) (Advice, error) {
	row, ok := elastomers[e]
	if !ok {
		return Advice{}, say.Refuse("elastomer", string(e), msgNoElastomer.With(), msgElastomersAre.With(elastomerNames()))
	}
	if !knownLiquid(liquid) {
		return Advice{}, say.Refuse("liquid", string(liquid), msgNoLiquid.With(), msgLiquidsAre.With(liquidNames()))
	}
	if err := aboveZero("temperature", at); err != nil {
		return Advice{}, err
	}
	advice := Advice{Elastomer: e, Liquid: liquid, At: at, Fitness: Fit, Source: elastomerPage}
	hottest := row.hottest
	switch liquid {
	case Water, Sugar:
		hottest = row.hotWater
	case Steam:
		hottest = row.steam
	case Ketone, Alkali:
		advice.Source = elastomerPage + "; " + fromHandbooks
		advice.Fitness = row.fitness[liquid]
	default:
		advice.Fitness = row.fitness[liquid]
	}
	if advice.Fitness != Fit {
		advice.Reasons = append(advice.Reasons, msgSwells.With(string(e), string(liquid), string(advice.Fitness)))
	}
	celsius := at.SI() - quantity.ZeroCelsius.SI()
	limit := quantity.Temperature(hottest) + quantity.ZeroCelsius
	switch {
	case hottest == 0 && liquid == Steam && e != FFKM:
		advice.Fitness = Unfit
		advice.Reasons = append(advice.Reasons, msgSwells.With(string(e), string(liquid), string(Unfit)))
	case hottest == 0:
		advice.Fitness = Unknown
		advice.Reasons = append(advice.Reasons, msgSwells.With(string(e), string(liquid), string(Unknown)))
	case celsius > hottest:
		advice.Fitness = Unfit
		advice.Reasons = append(advice.Reasons, msgTooHot.With(at, limit, string(e), string(liquid)))
	case celsius > hottest-10 && advice.Fitness == Fit:
		advice.Fitness = Limited
		advice.Reasons = append(advice.Reasons, msgNearLimit.With(at, limit, string(e), string(liquid)))
	}
	if celsius < row.coldest {
		advice.Fitness = Unfit
		advice.Reasons = append(advice.Reasons, msgTooCold.With(at, quantity.Temperature(row.coldest)+quantity.ZeroCelsius, string(e)))
	}
	advice.Reasons = append(advice.Reasons, msgOnlyAdvice.With())
	return advice, nil
}

func knownLiquid(liquid Liquid) bool {
	for _, l := range allLiquids {
		if l == liquid {
			return true
		}
	}
	return false
}

func liquidNames() []string {
	names := make([]string, len(allLiquids))
	for i, l := range allLiquids {
		names[i] = string(l)
	}
	return names
}

func elastomerNames() []string {
	names := make([]string, 0, len(elastomers))
	for e := range elastomers {
		names = append(names, string(e))
	}
	sort.Strings(names)
	return names
}

// FaceService is what the faces meet.
type FaceService struct {
	Abrasive      bool // solids, crystals
	PoorLubricant bool // water, solvents, anything thinner than about 2 mm²/s
	Oxidizing     bool // strong oxidizing acid
	ThermalShock  bool // the faces may run dry or see cold flush on hot faces
}

var (
	msgHardPair   = say.Define("seal.hard_pair", "abrasive liquid: two hard faces (silicon carbide or tungsten carbide); carbon wears out")
	msgCarbonPair = say.Define("seal.carbon_pair", "poor lubricant: keep carbon as one face; two hard faces score without a film")
	msgBothWays   = say.Define("seal.both_ways", "abrasive and poor lubricant at once: two hard faces need a clean flush")
	msgNoCarbon   = say.Define("seal.no_carbon", "strong oxidizing liquid eats carbon: use another face material")
	msgNoCeramic  = say.Define("seal.no_ceramic", "thermal shock cracks alumina ceramic: use silicon carbide or tungsten carbide against the carbon")
	msgUsualPair  = say.Define("seal.usual_pair", "carbon against silicon carbide is the usual pair")
)

// AdviseFaces says what speaks for and against pairs of face materials.
// Common practice, no source; marked as advice like AdviseElastomer.
func AdviseFaces(s FaceService) []say.Message {
	var list []say.Message
	switch {
	case s.Abrasive && s.PoorLubricant:
		list = append(list, msgBothWays.With())
	case s.Abrasive:
		list = append(list, msgHardPair.With())
	case s.PoorLubricant:
		list = append(list, msgCarbonPair.With())
	}
	if s.Oxidizing {
		list = append(list, msgNoCarbon.With())
	}
	if s.ThermalShock {
		list = append(list, msgNoCeramic.With())
	}
	if len(list) == 0 {
		list = append(list, msgUsualPair.With())
	}
	return append(list, msgOnlyAdvice.With())
}
