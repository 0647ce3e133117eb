package material

import "pumpwright/calc/quantity"

// Where the values were read.
const (
	callisterModulus   = "Callister, Fundamentals of Materials Science and Engineering 3rd ed., Table B.2"
	callisterPoisson   = "Callister, Materials Science and Engineering 8th ed., Table B.3"
	callisterStrength  = "Callister, Table B.4, from memory"
	callisterExpansion = "Callister, Fundamentals of Materials Science and Engineering 3rd ed., Table B.6"
	tribologyFaces     = "The Tribology Handbook, Table 24.5 p. B24.4"
	tribologyRubbing   = "The Tribology Handbook, table of rubbing bearings"
	mottBearings       = "Mott, Machine Elements in Mechanical Design, Table 16-1"
	moduliOfIrons      = "published table of moduli of cast irons by class (class 30: 14.5e6 psi)"
	poissonTable       = "published table of Poisson's ratios"
	gereModuli         = "Gere, table of moduli (bronze 96 to 120 GPa)"
	carbonTable        = "published table of properties of carbon and graphite (70/30: 17 GPa, 208 MPa crushing; 30/70: 14 GPa, 145 MPa)"
	hardMetal          = "hard-metal handbooks, from memory"
	ironStrength       = "Shigley, Mechanical Engineering Design, table of grey irons (class 30), from memory"
	gradeName          = "ASTM A536 grade 60-40-18: 40 ksi yield by its name"
	bearingTables      = "bearing tables, from memory"
	fromMemory         = "handbook value, from memory"
)

func gpa(value, low, high float64, source string) Property[quantity.Stress] {
	return Property[quantity.Stress]{quantity.Stress(value * 1e9), quantity.Stress(low * 1e9), quantity.Stress(high * 1e9), source}
}

func mpa(value, low, high float64, source string) Property[quantity.Stress] {
	return Property[quantity.Stress]{quantity.Stress(value * 1e6), quantity.Stress(low * 1e6), quantity.Stress(high * 1e6), source}
}

// micro makes an expansion of 1e-6/K.
func micro(value, low, high float64, source string) Property[quantity.Expansion] {
	return Property[quantity.Expansion]{quantity.Expansion(value * 1e-6), quantity.Expansion(low * 1e-6), quantity.Expansion(high * 1e-6), source}
}

func pv(value, low, high float64, source string) Property[quantity.PressureVelocity] {
	return Property[quantity.PressureVelocity]{quantity.PressureVelocity(value * 1e6), quantity.PressureVelocity(low * 1e6), quantity.PressureVelocity(high * 1e6), source}
}

// shared lists names that mean several materials and are therefore refused.
var shared = []struct {
	name string
	of   []string
}{
	{"stainless steel", []string{"304 stainless", "316 stainless"}},
	{"stainless", []string{"304 stainless", "316 stainless"}},
	{"austenitic stainless", []string{"304 stainless", "316 stainless"}},
	{"silicon carbide", []string{"silicon carbide, sintered", "silicon carbide, reaction bonded"}},
	{"sic", []string{"silicon carbide, sintered", "silicon carbide, reaction bonded"}},
}

var table = []Material{
	{
		ID: "grey-iron", Name: "grey iron", Brittle: true,
		Aliases:             []string{"cast iron", "iron", "grey cast iron", "grey iron G3000", "G3000", "class 30", "grey iron class 30", "GG20", "EN-GJL-200"},
		YoungsModulus:       gpa(100, 90, 113, callisterModulus+"; "+moduliOfIrons),
		Poisson:             Ratio{0.26, 0.20, 0.27, poissonTable + " (0.211); Callister Table B.3 (0.26), from memory"},
		Expansion:           micro(11.4, 10.8, 11.4, callisterExpansion),
		CompressiveStrength: mpa(752, 570, 965, ironStrength),
		TensileStrength:     mpa(207, 207, 214, callisterStrength),
		PVLimit:             pv(1.75, 1.2, 2.3, bearingTables),
		ContactLimit:        mpa(4, 3, 4, bearingTables),
	},
	{
		ID: "grey-iron-g1800", Name: "grey iron G1800", Brittle: true,
		Aliases:         []string{"G1800", "class 20", "grey iron class 20"},
		YoungsModulus:   gpa(80, 66, 97, callisterModulus),
		Poisson:         Ratio{0.26, 0.20, 0.27, poissonTable},
		Expansion:       micro(11.4, 10.8, 11.4, callisterExpansion),
		TensileStrength: mpa(124, 124, 152, callisterStrength),
	},
	{
		ID: "grey-iron-g4000", Name: "grey iron G4000", Brittle: true,
		Aliases:         []string{"G4000", "class 40", "grey iron class 40"},
		YoungsModulus:   gpa(120, 110, 138, callisterModulus+", from memory"),
		Poisson:         Ratio{0.26, 0.20, 0.27, poissonTable},
		Expansion:       micro(11.4, 10.8, 11.4, callisterExpansion),
		TensileStrength: mpa(276, 276, 293, callisterStrength),
	},
	{
		ID: "ductile-iron", Name: "ductile iron",
		Aliases:             []string{"ductile iron 60-40-18", "60-40-18", "nodular iron", "spheroidal graphite iron", "SG iron", "GGG40"},
		YoungsModulus:       gpa(169, 164, 174, callisterModulus),
		Poisson:             Ratio{0.29, 0.26, 0.31, poissonTable},
		Expansion:           micro(11.2, 11.2, 11.5, callisterExpansion),
		CompressiveStrength: mpa(276, 276, 276, gradeName),
		TensileStrength:     mpa(276, 276, 276, gradeName),
	},
	{
		ID: "carbon-steel", Name: "carbon steel",
		Aliases:             []string{"steel", "mild steel", "1020", "steel 1020", "A36", "low carbon steel"},
		YoungsModulus:       gpa(207, 201, 213, callisterModulus),
		Poisson:             Ratio{0.30, 0.28, 0.31, poissonTable + " (0.303)"},
		Expansion:           micro(11.7, 11.7, 11.7, callisterExpansion),
		CompressiveStrength: mpa(210, 205, 350, callisterStrength),
		TensileStrength:     mpa(210, 205, 350, callisterStrength),
	},
	{
		ID: "steel-4140", Name: "4140 steel",
		Aliases:             []string{"4140", "AISI 4140", "42CrMo4", "alloy steel", "low alloy steel"},
		YoungsModulus:       gpa(207, 201, 213, callisterModulus),
		Poisson:             Ratio{0.30, 0.28, 0.31, poissonTable + " (0.303)"},
		Expansion:           micro(12.3, 12.3, 12.3, callisterExpansion),
		CompressiveStrength: mpa(417, 417, 1570, callisterStrength+" (annealed)"),
		TensileStrength:     mpa(417, 417, 1570, callisterStrength+" (annealed)"),
	},
	{
		ID: "stainless-304", Name: "304 stainless",
		Aliases:             []string{"304", "AISI 304", "304 stainless steel", "stainless 304", "1.4301", "18-8"},
		YoungsModulus:       gpa(193, 187, 199, callisterModulus),
		Poisson:             Ratio{0.30, 0.28, 0.31, fromMemory},
		Expansion:           micro(17.2, 17.2, 17.2, callisterExpansion),
		CompressiveStrength: mpa(205, 205, 515, callisterStrength),
		TensileStrength:     mpa(205, 205, 515, callisterStrength),
	},
	{
		ID: "stainless-316", Name: "316 stainless",
		Aliases:             []string{"316", "AISI 316", "316L", "316 stainless steel", "stainless 316", "1.4401", "1.4404"},
		YoungsModulus:       gpa(193, 187, 199, callisterModulus),
		Poisson:             Ratio{0.30, 0.28, 0.31, fromMemory},
		Expansion:           micro(16.0, 15.9, 16.0, callisterExpansion+" (editions differ)"),
		CompressiveStrength: mpa(205, 205, 310, callisterStrength),
		TensileStrength:     mpa(205, 205, 310, callisterStrength),
	},
	{
		ID: "bearing-bronze", Name: "bearing bronze",
		Aliases:             []string{"bronze", "C93200", "SAE 660", "leaded tin bronze", "bearing bronze C93200", "bronze C93200", "660 bronze"},
		YoungsModulus:       gpa(100, 96, 120, gereModuli+"; Callister Table B.2 (C93200: 100), from memory"),
		Poisson:             Ratio{0.34, 0.32, 0.36, poissonTable},
		Expansion:           micro(18.0, 18.0, 18.0, callisterExpansion),
		CompressiveStrength: mpa(125, 97, 140, callisterStrength+" (sand cast, yield)"),
		TensileStrength:     mpa(125, 97, 140, callisterStrength+" (sand cast, yield)"),
		PVLimit:             pv(2.625, 2.625, 2.625, mottBearings),
	},
	{
		ID: "manganese-bronze", Name: "manganese bronze",
		Aliases:       []string{"C86200", "manganese bronze C86200"},
		YoungsModulus: gpa(103, 96, 120, gereModuli),
		Poisson:       Ratio{0.34, 0.32, 0.36, poissonTable},
		Expansion:     micro(21.6, 20, 22, fromMemory),
		PVLimit:       pv(5.250, 5.250, 5.250, mottBearings),
	},
	{
		ID: "porous-bronze", Name: "porous bronze, oil impregnated",
		Aliases: []string{"porous bronze", "sintered bronze", "oil impregnated bronze"},
		PVLimit: pv(1.750, 1.750, 1.750, mottBearings),
	},
	{
		ID: "carbon-graphite", Name: "carbon graphite", Brittle: true,
		Aliases:             []string{"carbon", "carbon-graphite", "plain carbon graphite", "carbon graphite plain", "mechanical carbon", "carbon graphite 70/30"},
		YoungsModulus:       gpa(17, 13.6, 20.4, carbonTable),
		Poisson:             Ratio{0.20, 0.15, 0.25, fromMemory},
		Expansion:           micro(4.0, 2.5, 5.0, tribologyRubbing),
		PVLimit:             pv(0.11, 0.11, 0.18, tribologyRubbing+" (dry; 0.18 for a short life)"),
		ContactLimit:        mpa(1.4, 1.4, 2.0, tribologyRubbing),
		CompressiveStrength: mpa(208, 145, 300, carbonTable),
	},
	{
		ID: "carbon-graphite-resin", Name: "carbon graphite, resin impregnated", Brittle: true,
		Aliases:             []string{"resin carbon", "resin impregnated carbon", "carbon resin", "resin impregnated carbon graphite"},
		YoungsModulus:       gpa(17, 13.6, 20.4, carbonTable),
		Poisson:             Ratio{0.20, 0.15, 0.25, fromMemory},
		Expansion:           micro(5, 4, 6, tribologyFaces),
		PVLimit:             pv(0.11, 0.11, 0.18, tribologyRubbing+" (dry; 0.18 for a short life)"),
		ContactLimit:        mpa(1.4, 1.4, 2.0, tribologyRubbing),
		CompressiveStrength: mpa(208, 145, 300, carbonTable+"; resin raises it"),
	},
	{
		ID: "carbon-graphite-metal", Name: "carbon graphite, metal impregnated", Brittle: true,
		Aliases:       []string{"metal impregnated carbon", "metallized carbon", "metallized graphite", "antimony carbon", "antimony impregnated carbon", "metal impregnated carbon graphite"},
		YoungsModulus: gpa(20, 14, 28, fromMemory),
		Poisson:       Ratio{0.20, 0.15, 0.25, fromMemory},
		Expansion:     micro(4.6, 4.2, 5.0, tribologyRubbing),
		PVLimit:       pv(0.525, 0.525, 0.525, mottBearings+" (graphite, metallized)"),
	},
	{
		ID: "carbon-graphite-30-70", Name: "carbon graphite 30/70", Brittle: true,
		Aliases:             []string{"electrographite", "30/70 carbon graphite", "graphitised carbon"},
		YoungsModulus:       gpa(14, 11.2, 16.8, carbonTable),
		Poisson:             Ratio{0.20, 0.15, 0.25, fromMemory},
		Expansion:           micro(4.0, 2.5, 5.0, tribologyRubbing),
		PVLimit:             pv(0.11, 0.11, 0.18, tribologyRubbing+" (dry; 0.18 for a short life)"),
		CompressiveStrength: mpa(145, 116, 174, carbonTable),
	},
	{
		ID: "isostatic-graphite", Name: "isostatic graphite", Brittle: true,
		Aliases:       []string{"graphite", "isostatically moulded graphite"},
		YoungsModulus: gpa(11.7, 10.5, 12.9, callisterModulus),
		Poisson:       Ratio{0.20, 0.15, 0.25, fromMemory},
	},
	{
		ID: "graphite-metal", Name: "graphite impregnated metal",
		Aliases:      []string{"graphite plugged bronze", "metal with graphite", "graphite filled metal"},
		PVLimit:      pv(0.28, 0.28, 0.35, tribologyRubbing),
		ContactLimit: mpa(70, 70, 70, tribologyRubbing),
	},
	{
		ID: "silicon-carbide-sintered", Name: "silicon carbide, sintered", Brittle: true,
		Aliases:       []string{"sintered silicon carbide", "SSiC", "sintered SiC"},
		YoungsModulus: gpa(410, 207, 483, callisterModulus),
		Poisson:       Ratio{0.16, 0.14, 0.20, fromMemory},
		Expansion:     micro(4.1, 3.6, 4.6, callisterExpansion),
	},
	{
		ID: "silicon-carbide-reaction-bonded", Name: "silicon carbide, reaction bonded", Brittle: true,
		Aliases:       []string{"reaction bonded silicon carbide", "RBSiC", "SiSiC", "siliconised silicon carbide"},
		YoungsModulus: gpa(360, 207, 483, callisterModulus+" (range of silicon carbides)"),
		Poisson:       Ratio{0.17, 0.14, 0.20, fromMemory},
		Expansion:     micro(4.0, 3.5, 4.5, tribologyFaces),
	},
	{
		ID: "tungsten-carbide", Name: "tungsten carbide, 6 % cobalt", Brittle: true,
		Aliases:       []string{"tungsten carbide", "hard metal", "cemented carbide", "WC", "WC-6Co"},
		YoungsModulus: gpa(620, 600, 650, hardMetal),
		Poisson:       Ratio{0.22, 0.19, 0.25, hardMetal},
		Expansion:     micro(5.0, 4.5, 5.5, tribologyFaces),
	},
	{
		ID: "alumina", Name: "alumina 99 %", Brittle: true,
		Aliases:       []string{"alumina", "aluminium oxide", "ceramic", "alumina ceramic"},
		YoungsModulus: gpa(380, 303, 400, fromMemory),
		Poisson:       Ratio{0.22, 0.20, 0.25, fromMemory},
		Expansion:     micro(8.0, 7.0, 9.0, tribologyFaces+"; "+callisterExpansion+" (7.4)"),
	},
	{
		ID: "ptfe", Name: "PTFE",
		Aliases:       []string{"polytetrafluoroethylene", "PTFE unfilled", "virgin PTFE"},
		YoungsModulus: gpa(0.475, 0.40, 0.55, callisterModulus),
		Poisson:       Ratio{0.46, 0.45, 0.47, callisterPoisson},
		Expansion:     micro(135, 126, 216, callisterExpansion),
	},
	{
		ID: "nickel-copper", Name: "nickel-copper alloy",
		Aliases:             []string{"nickel copper alloy 400", "alloy 400", "N04400", "NiCu30Fe"},
		YoungsModulus:       gpa(180, 175, 185, fromMemory),
		Poisson:             Ratio{0.32, 0.31, 0.33, fromMemory},
		Expansion:           micro(13.9, 13.9, 13.9, callisterExpansion),
		CompressiveStrength: mpa(240, 170, 240, fromMemory),
		TensileStrength:     mpa(240, 170, 240, fromMemory),
	},
	{
		ID: "aluminium", Name: "aluminium alloy",
		Aliases:             []string{"aluminium", "6061", "aluminium 6061", "6061-T6"},
		YoungsModulus:       gpa(69, 68, 72, fromMemory),
		Poisson:             Ratio{0.33, 0.32, 0.34, fromMemory},
		Expansion:           micro(23.6, 22.5, 24, fromMemory),
		CompressiveStrength: mpa(276, 55, 276, callisterStrength+" (6061-T6)"),
		TensileStrength:     mpa(276, 55, 276, callisterStrength+" (6061-T6)"),
	},
}
