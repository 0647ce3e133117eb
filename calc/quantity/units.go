package quantity

import "math"

// mark says whether a unit of pressure states its zero.
type mark uint8

const (
	unmarked mark = iota
	gauge         // counted from the surroundings
	absolute      // counted from vacuum
)

// unit is one way to write a quantity of a dimension: SI = value*factor+offset,
// or the two functions for scales that are not linear.
type unit struct {
	symbol  string   // as printed
	aliases []string // other spellings, compared after normalising
	factor  float64
	offset  float64
	mark    mark
	toSI    func(float64) (float64, error)
	fromSI  func(float64) (float64, error)
}

// choice is a unit to show with, used while |SI value| is at least from.
type choice struct {
	from   float64
	symbol string
	digits int // most decimals
	min    int // least decimals kept even when they are zeros
}

type dimension struct {
	name   string
	si     string
	units  []unit
	metric []choice // ascending by from
	inch   []choice
}

// Exact conversion constants: international yard and pound agreement of 1959
// (inch, foot, pound mass), standard gravity of the 3rd CGPM 1901, BIPM SI
// brochure for the rest.
const (
	inch           = 0.0254
	heliumBand     = 587.56e-9 / 2 // a light band is half a wavelength of the yellow helium line
	foot           = 12 * inch
	poundMass      = 0.45359237
	gravity        = 9.80665
	poundForce     = poundMass * gravity
	psi            = poundForce / (inch * inch)
	usGallon       = 231 * inch * inch * inch
	imperialGallon = 4.54609e-3
	horsepower     = 550 * foot * poundForce
	// StandardAtmosphere is the conventional pressure of the atmosphere.
	StandardAtmosphere AbsolutePressure = 101325
	// ZeroCelsius is 0 °C.
	ZeroCelsius Temperature = 273.15
)

func u(symbol string, factor float64, aliases ...string) unit {
	return unit{symbol: symbol, factor: factor, aliases: aliases}
}

func offsetUnit(symbol string, factor, offset float64, aliases ...string) unit {
	return unit{symbol: symbol, factor: factor, offset: offset, aliases: aliases}
}

func marked(m mark, symbol string, factor float64, aliases ...string) unit {
	return unit{symbol: symbol, factor: factor, aliases: aliases, mark: m}
}

var lengthUnits = []unit{
	u("mm", 1e-3, "millimeter", "millimetre", "millimeters", "millimetres"),
	u("m", 1, "meter", "metre", "meters", "metres"),
	u("cm", 1e-2, "centimeter", "centimetre", "centimeters", "centimetres"),
	u("µm", 1e-6, "um", "micron", "microns", "micrometer", "micrometre", "micrometers", "micrometres"),
	u("nm", 1e-9),
	u("km", 1e3),
	u("in", inch, `"`, "inch", "inches", "in.", "ins"),
	u("thou", inch/1000, "mil", "mils", "thous", "thousandth", "thousandths"),
	u("light band", heliumBand, "light bands", "band", "bands"),
	u("µin", inch/1e6, "uin", "microinch", "microinches"),
	u("tenth", inch/1e4, "tenths"),
	u("ft", foot, "'", "foot", "feet"),
}

var pressureUnits = []unit{
	u("bar", 1e5), u("mbar", 1e2, "hPa"), u("Pa", 1, "pascal"), u("kPa", 1e3), u("MPa", 1e6, "N/mm2"),
	u("psi", psi, "lbf/in2", "lb/in2", "lb/sq in", "lbf/sq in", "p.s.i."), u("kgf/cm2", gravity*1e4, "kg/cm2", "at"), u("atm", 101325),
	u("mmHg", 133.322387415, "torr"), u("inHg", 3386.38864034, `"Hg`), u("mH2O", 9806.65, "mwc", "mWS"), u("mmH2O", 9.80665, "mmwc", "mmWS"),
	u("inH2O", 249.08890833, "inwc", "inwg", `"H2O`, `"wc`), u("ftH2O", 2989.06689996, "ftwc"),
	marked(gauge, "bar(g)", 1e5, "barg", "bar g", "bar gauge", "bar(gauge)"), marked(gauge, "psi(g)", psi, "psig", "psi g", "psi gauge", "psi(gauge)", "lb/in2 gauge", "lb/sq in gauge"),
	marked(gauge, "kPa(g)", 1e3, "kpag", "kpa g", "kpa gauge"), marked(gauge, "MPa(g)", 1e6, "mpag"), marked(gauge, "mbar(g)", 1e2, "mbarg"), marked(gauge, "Pa(g)", 1, "pag"), marked(gauge, "kgf/cm2(g)", gravity*1e4, "kg/cm2(g)", "kg/cm2g", "kg/cm2 gauge", "atg"),
	// A vacuum gauge counts downwards from the surroundings.
	marked(gauge, "inHg(vac)", -3386.38864034, "inHg vac", "inHg vacuum", `"Hg vac`, `"Hg vacuum`), marked(gauge, "mmHg(vac)", -133.322387415, "mmHg vac", "mmHg vacuum"),
	marked(gauge, "bar(vac)", -1e5, "bar vac", "bar vacuum"), marked(gauge, "mbar(vac)", -1e2, "mbar vac", "mbar vacuum"), marked(gauge, "kPa(vac)", -1e3, "kPa vac", "kPa vacuum"),
	marked(absolute, "bar(a)", 1e5, "bara", "bar a", "bar abs", "bar(abs)", "bar absolute"), marked(absolute, "psi(a)", psi, "psia", "psi a", "psi abs", "psi(abs)", "psi absolute"),
	marked(absolute, "kPa(a)", 1e3, "kpaa", "kpa a", "kpa abs", "kpa(abs)", "kpa absolute"), marked(absolute, "MPa(a)", 1e6, "mpaa"), marked(absolute, "mbar(a)", 1e2, "mbara", "mbar a", "mbar abs", "mbar(abs)", "mbar absolute"), marked(absolute, "Pa(a)", 1, "paa", "pa a", "pa abs", "pa(abs)", "pa absolute"), marked(absolute, "kgf/cm2(a)", gravity*1e4, "kg/cm2(a)", "kg/cm2a", "kg/cm2 abs", "ata"),
	marked(absolute, "mmHg(a)", 133.322387415, "mmHga", "mmHg a", "mmHg abs", "mmHg(abs)", "torr(a)"), marked(absolute, "inHg(a)", 3386.38864034, "inHga", "inHg a", "inHg abs", "inHg(abs)"),
	marked(absolute, "mH2O(a)", 9806.65, "mH2O abs", "mwc abs"), marked(absolute, "ftH2O(a)", 2989.06689996, "ftH2O abs"),
}

var stressUnits = []unit{
	u("MPa", 1e6, "N/mm2"), u("GPa", 1e9, "kN/mm2"), u("kPa", 1e3), u("Pa", 1), u("bar", 1e5),
	u("psi", psi), u("ksi", 1e3*psi), u("Mpsi", 1e6*psi),
}

var timeUnits = []unit{
	u("s", 1, "sec", "second", "seconds"), u("ms", 1e-3), u("min", 60, "minute", "minutes"),
	u("h", 3600, "hr", "hrs", "hour", "hours"), u("d", 86400, "day", "days"), u("week", 7*86400, "weeks", "wk"),
	u("month", 30.4375*86400, "months"), u("year", 8766*3600, "years", "a", "yr", "y"),
}

var dimensions = [dimensionCount]dimension{
	LengthDimension: {"length", "m", lengthUnits,
		[]choice{{0, "mm", 3, 3}, {2, "m", 3, 0}}, []choice{{0, "in", 4, 4}, {120 * inch, "ft", 2, 0}}},
	AreaDimension: {"area", "m2", []unit{u("mm2", 1e-6), u("cm2", 1e-4), u("m2", 1), u("in2", inch*inch, "sq in"), u("ft2", foot*foot)},
		[]choice{{0, "mm2", 2, 0}, {0.01, "cm2", 2, 0}, {1, "m2", 3, 0}}, []choice{{0, "in2", 4, 0}, {1, "ft2", 3, 0}}},
	VolumeDimension: {"volume", "m3", []unit{u("cm3", 1e-6, "cc", "ml", "mL"), u("L", 1e-3, "l", "dm3", "liter", "litre", "liters", "litres"), u("m3", 1), u("mm3", 1e-9), u("in3", inch*inch*inch, "cu in"), u("ft3", foot*foot*foot, "cu ft"), u("gal", usGallon, "us gal", "gallon", "gallons"), u("imp gal", imperialGallon, "uk gal", "igal"), u("drop", 0.05e-6, "drops")},
		[]choice{{0, "cm3", 3, 0}, {1e-3, "L", 3, 0}, {1, "m3", 3, 0}}, []choice{{0, "in3", 4, 0}, {usGallon, "gal", 3, 0}}},
	DisplacementDimension: {"displacement", "m3", []unit{u("cm3/rev", 1e-6, "cc/rev", "cm3", "cc", "ml/rev"), u("L/rev", 1e-3, "l/rev", "L"), u("m3/rev", 1, "m3"), u("in3/rev", inch*inch*inch, "in3"), u("gal/rev", usGallon, "gal")},
		[]choice{{0, "cm3/rev", 3, 0}, {1e-2, "L/rev", 3, 0}}, []choice{{0, "in3/rev", 4, 0}, {usGallon, "gal/rev", 4, 0}}},
	AngleDimension: {"angle", "rad", []unit{u("°", math.Pi/180, "deg", "degree", "degrees"), u("rad", 1), u("mrad", 1e-3), u("'", math.Pi/10800, "arcmin"), u("turn", 2*math.Pi, "turns", "rev"), u("mm/m", 1e-3), u("mm/100mm", 1e-2), u("in/in", 1), u("mil/in", 1e-3, "thou/in", "mils/in"), u("mils/10in", 1e-4)},
		[]choice{{0, "°", 3, 0}}, []choice{{0, "°", 3, 0}}},
	TemperatureDimension: {"temperature", "K", []unit{
		offsetUnit("°C", 1, 273.15, "C", "degC", "deg C", "celsius", "C°", "degrees C", "degree C", "degrees celsius", "centigrade"), offsetUnit("°F", 5.0/9, 459.67*5/9, "F", "degF", "deg F", "fahrenheit", "F°", "degrees F", "degree F", "degrees fahrenheit"), u("K", 1, "kelvin", "kelvins"), u("°R", 5.0/9, "degR", "rankine")},
		[]choice{{0, "°C", 1, 0}}, []choice{{0, "°F", 1, 0}}},
	TemperatureDifferenceDimension: {"temperature difference", "K", []unit{u("K", 1, "kelvin", "kelvins", "°C", "C", "degC", "deg C", "C°", "degrees C"), u("°F", 5.0/9, "F", "degF", "deg F", "°R", "F°", "degrees F")},
		[]choice{{0, "K", 2, 0}}, []choice{{0, "°F", 2, 0}}},
	AbsolutePressureDimension: {"absolute pressure", "Pa", pressureUnits,
		[]choice{{0, "Pa(a)", 1, 0}, {1e3, "kPa(a)", 2, 0}, {1e5, "bar(a)", 3, 0}}, []choice{{0, "psi(a)", 3, 0}}},
	PressureDifferenceDimension: {"pressure difference", "Pa", pressureUnits,
		[]choice{{0, "Pa", 1, 0}, {1e3, "kPa", 2, 0}, {5e4, "bar", 2, 0}}, []choice{{0, "psi", 2, 0}}},
	StressDimension: {"stress", "Pa", stressUnits,
		[]choice{{0, "MPa", 3, 0}, {1e10, "GPa", 1, 0}}, []choice{{0, "psi", 0, 0}, {1e5 * psi, "ksi", 1, 0}, {1e7 * psi, "Mpsi", 2, 0}}},
	FlowDimension: {"flow", "m3/s", []unit{u("L/min", 1e-3/60, "lpm", "l/min", "liter/min", "litre/min", "liters/min", "litres/min", "ltr/min"), u("m3/h", 1.0/3600, "cmh", "cu m/h", "cbm/h"), u("m3/s", 1), u("L/s", 1e-3, "l/s"), u("L/h", 1e-3/3600), u("mL/min", 1e-6/60, "cc/min", "cm3/min"), u("mL/s", 1e-6, "cc/s", "cm3/s"), u("in3/s", inch*inch*inch), u("in3/min", inch*inch*inch/60), u("gpm", usGallon/60, "gal/min", "us gpm", "usgpm", "gallon/min", "gallons/min", "US gal/min"), u("imp gpm", imperialGallon/60, "igpm"), u("gph", usGallon/3600), u("bbl/d", 42*usGallon/86400, "bpd"), u("ft3/min", foot*foot*foot/60, "cfm")},
		[]choice{{0, "mL/min", 3, 0}, {0.01e-3 / 60, "L/min", 3, 0}, {1.0 / 60, "m3/h", 2, 0}}, []choice{{0, "gpm", 3, 0}}},
	SpeedDimension: {"speed", "m/s", []unit{u("m/s", 1), u("mm/s", 1e-3), u("m/min", 1.0/60), u("ft/s", foot, "fps"), u("ft/min", foot/60, "fpm"), u("in/s", inch, "ips")},
		[]choice{{0, "m/s", 3, 0}}, []choice{{0, "ft/min", 1, 0}}},
	RotationalSpeedDimension: {"speed of rotation", "rad/s", []unit{u("rpm", 2*math.Pi/60, "rev/min", "1/min", "r/min", "min-1", "min^-1", "U/min"), u("rad/s", 1), u("rev/s", 2*math.Pi, "rps", "hz", "1/s")},
		[]choice{{0, "rpm", 1, 0}}, []choice{{0, "rpm", 1, 0}}},
	TorqueDimension: {"torque", "N·m", []unit{u("N·m", 1, "Nm", "NM", "N m", "N-m", "N*m", "newton meter", "newton metre", "newton meters", "newton metres"), u("kN·m", 1e3, "kNm"), u("N·mm", 1e-3, "Nmm"), u("ft-lb", foot*poundForce, "ft lb", "ft·lb", "ftlb", "lb-ft", "lbf·ft", "ft-lbf", "ft·lbf", "ft lbf", "lb·ft", "lbf-ft", "lb ft", "lbft", "foot pound", "foot pounds", "foot-pounds", "foot-pound", "pound feet", "pound-feet"), u("in-lb", inch*poundForce, "in lb", "in·lb", "inlb", "lb-in", "lbf·in", "in-lbf", "in·lbf", "lbf in", "lbf-in", "in lbf", "lbin", "inch pound", "inch pounds", "inch-pounds"), u("kgf·m", gravity, "kgm", "kgf m", "kgf-m", "kg·m", "kg-m", "kg m")},
		[]choice{{0, "N·m", 2, 0}}, []choice{{0, "in-lb", 1, 0}, {15 * foot * poundForce, "ft-lb", 1, 0}}},
	ForceDimension: {"force", "N", []unit{u("N", 1, "newton"), u("kN", 1e3), u("MN", 1e6), u("lbf", poundForce, "lb", "lbs"), u("kgf", gravity), u("kip", 1000*poundForce), u("tonf", 2000*poundForce, "short tonf", "ton")},
		[]choice{{0, "N", 1, 0}, {1e3, "kN", 3, 0}}, []choice{{0, "lbf", 1, 0}}},
	MassDimension: {"mass", "kg", []unit{u("kg", 1, "kilo", "kilos", "kilogram", "kilograms"), u("g", 1e-3, "gram", "grams"), u("t", 1e3, "tonne"), u("lb", poundMass, "lbm", "lbs", "pound", "pounds"), u("oz", poundMass/16)},
		[]choice{{0, "g", 1, 0}, {1, "kg", 2, 0}}, []choice{{0, "lb", 2, 0}}},
	DensityDimension: {"density", "kg/m3", []unit{u("kg/m3", 1), u("g/cm3", 1e3, "g/cc", "g/ml", "kg/L", "kg/dm3", "SG"), u("g/L", 1), u("lb/ft3", poundMass/(foot*foot*foot), "lbm/ft3", "pcf"), u("lb/gal", poundMass/usGallon, "ppg")},
		[]choice{{0, "kg/m3", 2, 0}}, []choice{{0, "lb/ft3", 3, 0}}},
	DynamicViscosityDimension: {"dynamic viscosity", "Pa·s", []unit{u("mPa·s", 1e-3, "cP", "mPas", "mPa s", "mPa-s", "mPa*s", "centipoise"), u("Pa·s", 1, "Pas", "Pa s", "Pa-s", "Pa*s"), u("P", 0.1, "poise"), u("µPa·s", 1e-6, "uPa·s", "uPas"), u("reyn", psi, "lbf·s/in2")},
		[]choice{{0, "mPa·s", 3, 0}, {1, "Pa·s", 3, 0}}, []choice{{0, "cP", 3, 0}}},
	KinematicViscosityDimension: {"kinematic viscosity", "m2/s", []unit{u("mm2/s", 1e-6, "cSt", "centistokes"), u("m2/s", 1), u("cm2/s", 1e-4, "St", "stokes"), u("ft2/s", foot*foot), u("in2/s", inch*inch),
		{symbol: "SSU", aliases: []string{"SUS", "saybolt"}, toSI: fromSayboltUniversal, fromSI: toSayboltUniversal},
		{symbol: "SSF", aliases: []string{"SFS", "furol"}, toSI: fromSayboltFurol, fromSI: toSayboltFurol},
		{symbol: "°E", aliases: []string{"degE", "engler"}, toSI: fromEngler, fromSI: toEngler},
		{symbol: "RI", aliases: []string{"redwood", "redwood 1", "redwood no. 1"}, toSI: fromRedwood, fromSI: toRedwood}},
		[]choice{{0, "mm2/s", 3, 0}}, []choice{{0, "cSt", 3, 0}}},
	PowerDimension: {"power", "W", []unit{u("W", 1, "watt"), u("kW", 1e3), u("MW", 1e6), u("hp", horsepower, "bhp"), u("PS", 75*gravity), u("ft·lb/min", foot*poundForce/60), u("BTU/h", 1055.05585262/3600, "btuh")},
		[]choice{{0, "W", 1, 0}, {1e3, "kW", 3, 0}}, []choice{{0, "hp", 3, 0}}},
	EnergyDimension: {"energy", "J", []unit{u("J", 1), u("kJ", 1e3), u("MJ", 1e6), u("kWh", 3.6e6), u("MWh", 3.6e9), u("BTU", 1055.05585262), u("ft-lb", foot*poundForce, "ft·lbf", "ft-lbf")},
		[]choice{{0, "J", 1, 0}, {1e3, "kJ", 2, 0}, {3.6e5, "kWh", 2, 0}}, []choice{{0, "ft-lb", 1, 0}, {3.6e5, "kWh", 2, 0}}},
	TimeDimension: {"time", "s", timeUnits,
		[]choice{{0, "s", 2, 0}, {120, "min", 1, 0}, {7200, "h", 1, 0}}, []choice{{0, "s", 2, 0}, {120, "min", 1, 0}, {7200, "h", 1, 0}}},
	StiffnessDimension: {"spring rate", "N/m", []unit{u("N/mm", 1e3), u("N/m", 1), u("kN/m", 1e3), u("lbf/in", poundForce/inch, "lb/in")},
		[]choice{{0, "N/mm", 3, 0}}, []choice{{0, "lbf/in", 3, 0}}},
	ExpansionDimension: {"thermal expansion", "1/K", []unit{u("µm/m/K", 1e-6, "um/m/K", "1e-6/K", "10^-6/K", "ppm/K", "µm/(m·K)", "um/(m·K)", "e-6/K"), u("1/K", 1, "/K", "1/°C", "/C", "/°C", "mm/mm/K", "mm/mm/°C", "m/m/K", "m/m/°C"), u("µin/in/°F", 1.8e-6, "uin/in/F", "1e-6/°F", "1e-6/F", "ppm/F", "e-6/F"), u("1/°F", 1.8, "/F", "/°F", "1/F", "in/in/°F", "in/in/F")},
		[]choice{{0, "µm/m/K", 2, 0}}, []choice{{0, "µin/in/°F", 2, 0}}},
	ShearRateDimension: {"shear rate", "1/s", []unit{u("1/s", 1, "/s", "s-1")},
		[]choice{{0, "1/s", 2, 0}}, []choice{{0, "1/s", 2, 0}}},
	PressureVelocityDimension: {"pressure times speed", "Pa·m/s", []unit{u("MPa·m/s", 1e6, "N/mm2·m/s", "MPa m/s", "MPa*m/s"), u("bar·m/s", 1e5, "bar m/s", "bar*m/s"), u("Pa·m/s", 1, "Pa m/s", "Pa*m/s"), u("kPa·m/s", 1e3), u("psi·ft/min", psi*foot/60, "psi fpm", "psi·fpm", "psi ft/min", "psi*ft/min")},
		[]choice{{0, "MPa·m/s", 4, 0}}, []choice{{0, "psi·ft/min", 0, 0}}},
	HeatCapacityDimension: {"heat capacity", "J/K", []unit{u("J/K", 1, "J/°C"), u("kJ/K", 1e3), u("BTU/°F", 1055.05585262*1.8, "BTU/F")},
		[]choice{{0, "J/K", 1, 0}}, []choice{{0, "BTU/°F", 3, 0}}},
	ConductanceDimension: {"thermal conductance", "W/K", []unit{u("W/K", 1, "W/°C"), u("BTU/h/°F", 1055.05585262/3600*1.8, "BTU/h/F", "BTU/(h·°F)")},
		[]choice{{0, "W/K", 3, 0}}, []choice{{0, "BTU/h/°F", 3, 0}}},
}

// String returns the name of the dimension in trade words.
func (d Dimension) String() string {
	if d == NoDimension || d >= dimensionCount {
		return "number"
	}
	return dimensions[d].name
}

// SIUnit returns the symbol of the SI unit in which values of the dimension
// are held, "" for a plain number.
func (d Dimension) SIUnit() string {
	if d >= dimensionCount {
		return ""
	}
	return dimensions[d].si
}

// Dimensions lists all dimensions except NoDimension.
func Dimensions() []Dimension {
	all := make([]Dimension, 0, dimensionCount-1)
	for d := NoDimension + 1; d < dimensionCount; d++ {
		all = append(all, d)
	}
	return all
}
