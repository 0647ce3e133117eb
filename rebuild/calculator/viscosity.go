package calculator

import (
	"fmt"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

// viscosityCalculators are those of liquids over temperature.
func viscosityCalculators() []Calculator {
	return []Calculator{viscosityCalculator(), waterCalculator()}
}

type viscosityIn struct {
	Family             string                 `json:"family" default:"petroleum" oneof:"petroleum|other" help:"petroleum follows ASTM D341; other liquids (glycols, syrups, silicones, solvents) are interpolated between the points only"`
	Points             []viscosityPointIn     `json:"points" help:"viscosity at one temperature or more"`
	Density            *quantity.Density      `json:"density" help:"density; needed between kinematic and dynamic viscosity"`
	DensityTemperature *quantity.Temperature  `json:"density_temperature" help:"temperature of the density (15 °C when missing)"`
	DensitySlope       *float64               `json:"density_slope" unit:"kg/m3/K|kg/(m3·K)|kg/(m3 K)|kg/m³/K|kg/(m³·K)" help:"change of the density in kg/m3 per K, negative (0 when missing)"`
	At                 []quantity.Temperature `json:"at" help:"temperatures that are wanted"`
	Shear              *shearIn               `json:"shear" help:"how the liquid thins when it is sheared"`
	ShearRate          *quantity.ShearRate    `json:"shear_rate" help:"shear rate at which the viscosity is wanted"`
}

type viscosityPointIn struct {
	Temperature quantity.Temperature `json:"temperature" help:"temperature"`
	Viscosity   Any                  `json:"viscosity" help:"kinematic or dynamic viscosity, at rest (low shear)"`
}

type shearIn struct {
	Model       string                     `json:"model" oneof:"power-law|cross|carreau" help:"shear model"`
	Index       float64                    `json:"n" help:"flow index, below 1 when the liquid thins"`
	Consistency *ConsistencyInput          `json:"consistency" help:"power law: consistency in Pa·sⁿ (the viscosity at 1 1/s), at the temperature below"`
	Temperature *quantity.Temperature      `json:"temperature" help:"power law: temperature of the consistency (that of the first point when missing)"`
	Bend        *quantity.ShearRate        `json:"gamma_0" help:"cross, carreau: shear rate of the bend"`
	HighShear   *quantity.DynamicViscosity `json:"mu_inf" help:"cross, carreau: viscosity at high shear (0 when missing)"`
}

// ConsistencyInput is the consistency of a power-law liquid in Pa·sⁿ.
type ConsistencyInput float64

// FromInput reads a plain number, a number with the unit Pa·sⁿ, or a dynamic
// viscosity.
func (c *ConsistencyInput) FromInput(raw any) error {
	v, err := liquid.ParseConsistency(fmt.Sprint(raw))
	*c = ConsistencyInput(v)
	return err
}

// KindName tells what is written there.
func (*ConsistencyInput) KindName() string { return "number in Pa·sⁿ" }

type viscosityOut struct {
	Table          []viscosityRow `json:"table" help:"viscosity at the temperatures that are wanted"`
	ViscosityIndex *float64       `json:"viscosity_index" help:"viscosity index of ASTM D2270; petroleum with 2 mm2/s or more at 100 °C"`
	Slope          *float64       `json:"slope_b" help:"B of log₁₀ log₁₀ Z = A − B log₁₀ T (ASTM D341)"`
	Intercept      *float64       `json:"intercept_a" help:"A of the same line"`
}

type viscosityRow struct {
	Temperature quantity.Temperature         `json:"temperature" help:"temperature"`
	Kinematic   *quantity.KinematicViscosity `json:"kinematic_viscosity" help:"kinematic viscosity, at the shear rate when one is given"`
	Dynamic     *quantity.DynamicViscosity   `json:"dynamic_viscosity" help:"dynamic viscosity, at the shear rate when one is given; absent without a density"`
	AtRest      *quantity.DynamicViscosity   `json:"low_shear_viscosity" help:"dynamic viscosity at rest, when a shear rate is given"`
	Density     *quantity.Density            `json:"density" help:"density"`
}

var (
	msgShearNeeds    = say.Define("calculator.shear_needs", "this shear model needs it")
	msgDensityZero   = say.Define("calculator.density_slope_zero", "no change of the density with temperature was given; it is held constant")
	msgDensityAt15   = say.Define("calculator.density_at_15", "no temperature of the density was given; 15 °C is assumed")
	msgDynamicNoRho  = say.Define("calculator.dynamic_without_density", "ASTM D341 holds for the kinematic viscosity, and this one is dynamic")
	msgGiveBoth      = say.Define("calculator.give_density_too", "give the density as well")
	msgMixedNoRho    = say.Define("calculator.mixed_without_density", "kinematic and dynamic points are mixed, and the density that links them is missing")
	msgKindViscosity = say.Define("calculator.kind_viscosity", "wanted is a viscosity")
	msgWriteViscous  = say.Define("calculator.write_viscosity", "write a kinematic one like 46 mm2/s, or a dynamic one like 40 mPa·s")
	msgIndexMissing  = say.Define("calculator.index_missing", "no viscosity index: {reason:message}")
	msgShearNoRho    = say.Define("calculator.shear_without_density", "shear models are written in dynamic viscosity")
	msgViscosityName = say.Define("calculator.viscosity_table", "viscosity over temperature")
	msgNoRows        = say.Define("calculator.no_temperatures", "no temperature is wanted")
	msgListSome      = say.Define("calculator.list_temperatures", "list one or more, like [20 °C, 60 °C]")
	nameIndex        = say.Define("calculator.name_viscosity_index", "viscosity index")
	nameCold         = say.Define("calculator.name_at_40", "viscosity at 40 °C")
	nameHot          = say.Define("calculator.name_at_100", "viscosity at 100 °C")
)

func viscosityCalculator() Calculator {
	return Define("viscosity", "How thick is the liquid at that temperature?",
		`family: petroleum
points:
  - {temperature: 40 °C, viscosity: 46 mm2/s}
  - {temperature: 100 °C, viscosity: 6.8 mm2/s}
density: 870 kg/m3
density_temperature: 15 °C
density_slope: -0.62
at: [20 °C, 60 °C, 90 °C]
`, func(_ *Env, in viscosityIn) (viscosityOut, Notes, error) { return runViscosity(in) })
}

// viscosityRun keeps what the steps of the calculator share.
type viscosityRun struct {
	in       viscosityIn
	liquid   *liquid.Liquid
	dynamic  bool // points are dynamic, and no density links them
	hasRho   bool
	notes    Notes
	children []*working.Node
}

func runViscosity(in viscosityIn) (viscosityOut, Notes, error) {
	if len(in.At) == 0 {
		return viscosityOut{}, Notes{}, say.Refuse("at", "", msgNoRows.With(), msgListSome.With())
	}
	r := viscosityRun{in: in, hasRho: in.Density != nil}
	if err := r.build(); err != nil {
		return viscosityOut{}, Notes{}, err
	}
	out := viscosityOut{}
	for i, t := range in.At {
		row, err := r.row(t)
		if err != nil {
			return viscosityOut{}, Notes{}, atField(i, err)
		}
		out.Table = append(out.Table, row)
	}
	if line := r.liquid.Line(); line != nil {
		a, b := line.A, line.B
		out.Intercept, out.Slope = &a, &b
		if err := r.index(&out); err != nil {
			return viscosityOut{}, Notes{}, err
		}
	}
	r.notes.Working = &working.Node{ID: "viscosity.table", Name: msgViscosityName.With(), Text: fmt.Sprint(len(in.At)),
		Equation: "one line for each temperature", Source: "ASTM D341, or interpolation of ln ν", Inputs: r.children}
	return out, r.notes, nil
}

// atField puts a refused temperature under the list it came from.
func atField(i int, err error) error {
	if p := say.AsProblem(err); p != nil && p.Field == "temperature" {
		return say.Refuse(fmt.Sprintf("at[%d]", i), p.Read, p.Message, p.Accepted)
	}
	return err
}

func (r *viscosityRun) build() error {
	l := liquid.Liquid{Name: "liquid", Family: liquid.Family(r.in.Family), Source: "entered"}
	density := quantity.Density(1000)
	at := quantity.ZeroCelsius + 15
	if r.hasRho {
		density = *r.in.Density
		if r.in.DensityTemperature != nil {
			at = *r.in.DensityTemperature
		} else if r.in.DensitySlope != nil && *r.in.DensitySlope != 0 {
			r.notes.Warn(msgDensityAt15.With())
		}
		if r.in.DensitySlope != nil {
			l.DensitySlope = *r.in.DensitySlope
		} else {
			r.notes.Warn(msgDensityZero.With())
		}
	}
	l.Density = []liquid.DensityPoint{{Temperature: at, Density: density}}
	if err := r.readPoints(&l); err != nil {
		return err
	}
	if r.in.Shear != nil {
		if !r.hasRho && !r.dynamic {
			return say.Refuse("density", "", msgShearNoRho.With(), msgGiveBoth.With())
		}
		if err := readShear(*r.in.Shear, &l); err != nil {
			return err
		}
	}
	built, err := liquid.New(l)
	r.liquid = built
	return err
}

func (r *viscosityRun) readPoints(l *liquid.Liquid) error {
	kinematic := false
	for i, p := range r.in.Points {
		field := fmt.Sprintf("points[%d].viscosity", i)
		if nu, err := p.Viscosity.As(quantity.KinematicViscosityDimension); err == nil {
			kinematic = true
			l.Points = append(l.Points, liquid.Point{Temperature: p.Temperature, Viscosity: quantity.KinematicViscosity(nu.SI)})
			continue
		}
		mu, err := p.Viscosity.As(quantity.DynamicViscosityDimension)
		if err != nil {
			return say.Refuse(field, p.Viscosity.Text, msgKindViscosity.With(), msgWriteViscous.With())
		}
		if !r.hasRho && r.in.Family == string(liquid.Petroleum) {
			return say.Refuse("density", "", msgDynamicNoRho.With(), msgGiveBoth.With())
		}
		r.dynamic = r.dynamic || !r.hasRho
		rho := l.Density[0].Density.SI() + l.DensitySlope*(p.Temperature-l.Density[0].Temperature).SI()
		if !(rho > 0) {
			return say.Refuse("density", l.Density[0].Density.String(), msgMustBePositive.With(), msgPositiveWanted.With())
		}
		l.Points = append(l.Points, liquid.Point{Temperature: p.Temperature, Viscosity: quantity.KinematicViscosity(mu.SI / rho)})
	}
	if kinematic && r.dynamic {
		return say.Refuse("density", "", msgMixedNoRho.With(), msgGiveBoth.With())
	}
	return nil
}

func readShear(in shearIn, l *liquid.Liquid) error {
	l.Shear = liquid.Shear{Model: liquid.Model(in.Model), Index: in.Index}
	if in.Temperature != nil {
		l.Shear.Reference = *in.Temperature
	}
	if l.Shear.Model == liquid.PowerLaw {
		if in.Consistency == nil {
			return say.Refuse("shear.consistency", "", msgShearNeeds.With(), say.Message{})
		}
		l.Shear.Consistency = float64(*in.Consistency)
		return nil
	}
	if in.Bend == nil {
		return say.Refuse("shear.gamma_0", "", msgShearNeeds.With(), say.Message{})
	}
	l.Shear.Bend = *in.Bend
	if in.HighShear != nil {
		l.Shear.HighShear = *in.HighShear
	}
	return nil
}

func (r *viscosityRun) row(t quantity.Temperature) (viscosityRow, error) {
	s, err := r.liquid.At(t)
	if err != nil {
		return viscosityRow{}, err
	}
	row := viscosityRow{Temperature: t}
	mu := s.Dynamic
	if r.in.ShearRate != nil {
		if mu, err = s.Apparent(*r.in.ShearRate); err != nil {
			return viscosityRow{}, err
		}
	}
	if r.hasRho || r.dynamic {
		row.Dynamic = &mu
		if r.in.ShearRate != nil {
			row.AtRest = &s.Dynamic
		}
	}
	if !r.dynamic {
		nu := quantity.KinematicViscosity(mu.SI() / s.Density.SI())
		if r.in.ShearRate == nil {
			nu = s.Kinematic
		}
		row.Kinematic = &nu
	}
	if r.hasRho {
		row.Density = &s.Density
	}
	for _, w := range s.Warnings {
		if w.ID() != "liquid.density_held" { // said once for the input
			r.notes.Warn(w)
		}
	}
	r.notes.OutsideRange = r.notes.OutsideRange || s.OutsideRange
	r.children = append(r.children, s.Working())
	return row, nil
}

// index adds the viscosity index: from the points at 40 °C and 100 °C where
// there are such, else from the line.
func (r *viscosityRun) index(out *viscosityOut) error {
	cold, err := r.near(40)
	if err != nil {
		return nil // the line does not reach 40 °C: no index
	}
	hot, err := r.near(100)
	if err != nil {
		return nil
	}
	value, err := liquid.Index(cold, hot)
	if p := say.AsProblem(err); p != nil {
		r.notes.Warn(msgIndexMissing.With(p.Message))
		return nil
	} else if err != nil {
		return err
	}
	out.ViscosityIndex = &value
	r.children = append(r.children, &working.Node{ID: "viscosity.index", Name: nameIndex.With(), Symbol: "VI", Value: value,
		Equation: "100 (L − U)/(L − H), or (10^N − 1)/0.00715 + 100", Source: "ASTM D2270-10(2016)",
		Inputs: []*working.Node{working.Leaf("viscosity.at_40", nameCold.With(), "U", cold, "points").From("ASTM D341 line through the points"),
			working.Leaf("viscosity.at_100", nameHot.With(), "Y", hot, "points").From("ASTM D341 line through the points")}})
	return nil
}

func (r *viscosityRun) near(celsius float64) (quantity.KinematicViscosity, error) {
	t := quantity.ZeroCelsius + quantity.Temperature(celsius)
	for _, p := range r.liquid.Points {
		if d := (p.Temperature - t).SI(); d < 1e-3 && d > -1e-3 {
			return p.Viscosity, nil
		}
	}
	return r.liquid.Line().At(t)
}

type waterIn struct {
	Temperature quantity.Temperature       `json:"temperature" help:"temperature of the water"`
	Pressure    *quantity.AbsolutePressure `json:"pressure" pressure:"absolute" help:"absolute pressure (101325 Pa when missing, or the vapour pressure where that is higher)"`
}

type waterOut struct {
	Density       quantity.Density            `json:"density" help:"density"`
	Dynamic       quantity.DynamicViscosity   `json:"dynamic_viscosity" help:"dynamic viscosity"`
	Kinematic     quantity.KinematicViscosity `json:"kinematic_viscosity" help:"kinematic viscosity"`
	VaporPressure quantity.AbsolutePressure   `json:"vapor_pressure" help:"vapour pressure"`
	Pressure      quantity.AbsolutePressure   `json:"pressure" help:"pressure for which density and viscosity hold"`
}

func waterCalculator() Calculator {
	return Define("water", "How dense and how thin is water at that temperature, and when does it boil?",
		"temperature: 60 °C\n",
		func(_ *Env, in waterIn) (waterOut, Notes, error) {
			w, err := liquid.WaterAt(in.Temperature, in.Pressure)
			if err != nil {
				return waterOut{}, Notes{}, err
			}
			return waterOut{Density: w.Density, Dynamic: w.Dynamic, Kinematic: w.Kinematic, VaporPressure: w.VaporPressure, Pressure: w.Pressure},
				Notes{Warnings: w.Warnings, Working: w.Working()}, nil
		})
}
