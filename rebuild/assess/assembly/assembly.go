package assembly

import (
	"time"

	"pumpwright/calc/liquid"
	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/sheet"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet     *sheet.Sheet
	Service   *sheet.Service // nil when not known
	Liquid    *liquid.Liquid // nil when not known
	State     *job.State
	Readings  *reading.Chapter
	Replaced  map[string]bool // parts that are replaced or reworked
	Procedure *procedure.Procedure
	Shop      *ledger.Shop
	AsOf      time.Time
	Sides     sides.Sides // where suction is

	// Expect is what the model of the pump expects; nil when there is none.
	Expect Expectation
	// AtSeal is the pressure at the seal faces; the whole pressure difference
	// stands in when nil.
	AtSeal *quantity.PressureDifference
}

// Chapter is what is known of reassembly and return to service.
type Chapter struct {
	Presses   []*Press
	Bolts     []*Bolts
	Films     []*Film
	Seal      *Seal // nil when the sheet does not describe one
	Alignment Alignments
	Running   Service

	Warnings []say.Message // what asks for an action
}

// DependsOn tells whether readings of a role enter the chapter.
func DependsOn(role string) bool {
	switch role {
	case sheet.RolePinOD, sheet.RoleIdlerBushingBore, sheet.RoleShaftOD, sheet.RoleShaftBushingBore,
		sheet.RoleIdlerBushingOD, sheet.RoleIdlerBore, sheet.RoleShaftBushingOD, sheet.RoleBracketBore,
		sheet.RoleSealWorkingLength, sheet.RoleSealFlatness, sheet.RolePipeStrain, sheet.RoleShaftRunOut, sheet.RoleEndPlay:
		return true
	}
	return false
}

// StepsRead lists the steps whose marks enter the chapter.
func StepsRead() []string {
	return []string{"build-seal", "build-housing", "build-shims", "follow-packing", "follow-bolts", "follow-day", "follow-month"}
}

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{}
	for i := range in.Sheet.Bushings {
		b := &in.Sheet.Bushings[i]
		p := in.press(b)
		c.Presses = append(c.Presses, p)
		c.warn(p.Name, p.Warnings)
		f := in.film(b, p)
		c.Films = append(c.Films, f)
		c.warn(f.Name, f.Warnings)
	}
	for i := range in.Sheet.Fasteners {
		b := in.bolts(&in.Sheet.Fasteners[i])
		c.Bolts = append(c.Bolts, b)
		c.warn(b.Fastener.Name, b.Warnings)
	}
	if c.Seal = in.seal(); c.Seal != nil {
		c.warn(c.Seal.Name, c.Seal.Warnings)
	}
	c.Alignment = in.alignments()
	c.Warnings = append(c.Warnings, c.Alignment.Warnings...)
	c.Running = in.running(c)
	c.Warnings = append(c.Warnings, c.Running.Warnings...)
	return c
}

func (c *Chapter) warn(about string, list []say.Message) {
	for _, m := range list {
		c.Warnings = append(c.Warnings, msgAbout.With(about, m))
	}
}

// Workings returns the trees behind the numbers of the chapter.
func (c *Chapter) Workings() []*working.Node {
	var roots []*working.Node
	for _, p := range c.Presses {
		if p.Result != nil {
			roots = append(roots, p.working())
		}
	}
	for _, b := range c.Bolts {
		if b.Tight != nil {
			roots = append(roots, b.working())
		}
	}
	for _, f := range c.Films {
		roots = append(roots, f.workings()...)
	}
	if c.Seal != nil {
		roots = append(roots, c.Seal.workings()...)
	}
	for _, a := range []*Alignment{c.Alignment.Found, c.Alignment.Left, c.Alignment.Hot} {
		if a != nil && a.Plan != nil {
			roots = append(roots, a.working())
		}
	}
	return roots
}

var (
	msgAbout    = say.Define("assembly.about", "{what}: {warning:message}")
	msgUnknown  = say.Define("assembly.unknown", "{what:message}: not known, because {missing:list} is missing")
	msgUnknowns = say.Define("assembly.unknowns", "{what:message}: not known, because these are missing: {missing:list}")
	msgRefused  = say.Define("assembly.refused", "{what:message}: not known, because {reason}")
	nameOf      = say.Define("assembly.name_of", "{what:message}, {of}")
)

// lacking gathers the names of what is missing.
type lacking []string

func (l *lacking) unless(known bool, name string) bool {
	if !known {
		*l = append(*l, name)
	}
	return known
}

func (l lacking) message(what say.Message) say.Message {
	if len(l) == 1 {
		return msgUnknown.With(what, []string(l))
	}
	return msgUnknowns.With(what, []string(l))
}

// bench is the temperature of the bench.
func (in *Inputs) bench() quantity.Temperature {
	if in.Shop != nil && in.Shop.BenchAt != nil && in.Shop.BenchAt.Dimension == quantity.TemperatureDimension {
		return quantity.Temperature(in.Shop.BenchAt.SI)
	}
	return usualRoom
}

// usualRoom is the temperature of bench and surroundings where nobody says
// otherwise.
const usualRoom quantity.Temperature = 20 + quantity.ZeroCelsius

// hottest is the highest temperature of the service, 0 when not known.
func (in *Inputs) hottest() quantity.Temperature {
	s := in.Service
	if s == nil {
		return 0
	}
	t := quantity.Temperature(0)
	if s.Temperature != nil {
		t = s.Temperature.Value
	}
	if s.Highest != nil && s.Highest.Value > t {
		t = s.Highest.Value
	}
	return t
}

// coldest is the temperature at the coldest start, and whether it was stated.
func (in *Inputs) coldest() (quantity.Temperature, bool) {
	s := in.Service
	switch {
	case s == nil:
		return usualRoom, false
	case s.Lowest != nil:
		return s.Lowest.Value, true
	case s.Ambient != nil:
		return s.Ambient.Value, true
	}
	return usualRoom, false
}

// partName is the name of a part of the sheet, or its id.
func (in *Inputs) partName(id string) string {
	if p := in.Sheet.Part(id); p != nil {
		return p.Name
	}
	return id
}

// materialOf finds a material by name and lets the constants of a group of
// the sheet come before those of the table.
func (in *Inputs) materialOf(name, group string) (material.Material, error) {
	m, err := material.Find(name)
	own, there := in.Sheet.Materials[group]
	if err != nil && !(there && own.Young != nil) {
		return m, err
	}
	if !there || own.Name != "" && own.Name != name {
		return m, err
	}
	if m.Name == "" {
		m.Name = name
	}
	source := "sheet " + in.Sheet.Name + ", materials." + group
	if own.Page != "" {
		source += ", " + own.Page
	}
	if own.Young != nil {
		m.YoungsModulus = material.Property[quantity.Stress]{Value: *own.Young, Low: *own.Young, High: *own.Young, Source: source}
	}
	if own.Poisson != nil {
		m.Poisson = material.Ratio{Value: *own.Poisson, Low: *own.Poisson, High: *own.Poisson, Source: source}
	}
	if own.Expansion != nil {
		m.Expansion = material.Property[quantity.Expansion]{Value: *own.Expansion, Low: *own.Expansion, High: *own.Expansion, Source: source}
	}
	return m, nil
}

// cautions are those of the procedure with these ids.
func (in *Inputs) cautions(ids ...string) []say.Message {
	var list []say.Message
	if in.Procedure == nil {
		return nil
	}
	for _, id := range ids {
		if m := in.Procedure.Caution(id); !m.IsZero() {
			list = append(list, m)
		}
	}
	return list
}

type estimate = reading.Estimate

// mean is the mean of a feature in a state, nil when it was not read.
func (in *Inputs) mean(role, state string) *estimate {
	f := in.Readings.ByRole(in.Sheet, role, state)
	if f == nil || f.Mean == nil || f.Mean.Dimension != quantity.LengthDimension {
		return nil
	}
	return f.Mean
}

func lengthOf(e *estimate) quantity.Estimate[quantity.Length] {
	return quantity.Within(quantity.Length(e.Value), e.U)
}
