package assembly

import (
	"math"
	"strings"

	"pumpwright/calc/bushing"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Film is one bushing with its load, at several points of running.
type Film struct {
	Bushing  *sheet.Bushing
	Name     string
	Load     quantity.Force
	LoadFrom say.Message
	Speed    quantity.RotationalSpeed // of the journal against the bushing
	Material *bushing.Material
	Points   []FilmPoint
	Reasons  []say.Message
	Warnings []say.Message
	Unknown  []say.Message
}

// FilmPoint is a bushing at one temperature of the liquid.
type FilmPoint struct {
	Name        say.Message
	Temperature quantity.Temperature
	Viscosity   quantity.DynamicViscosity
	Clearance   quantity.Length // diametral, at that temperature
	Running     bushing.Running
	Share       float64 // PV over its limit; 0 when no limit is held
	Verdict     say.Message
}

var (
	whatFilm = say.Define("assembly.what_film", "film of the bushing")

	pointService = say.Define("assembly.point_service", "in service")
	pointHottest = say.Define("assembly.point_hottest", "at the highest temperature")
	pointStart   = say.Define("assembly.point_start", "at the coldest start")

	msgPinLoad    = say.Define("assembly.pin_load", "load on the idler pin 0.8 Δp × idler outside × face width [our convention, to be checked against wear]")
	msgRotorLoad  = say.Define("assembly.rotor_load", "load on the rotor 0.8 Δp × (rotor outside × width of its rim + twice tooth height × face width); the overhang is not counted [our estimate, to be checked against wear]")
	msgTakenAs    = say.Define("assembly.taken_as", "limits of {taken} taken for {name}")
	msgNoLimits   = say.Define("assembly.no_limits", "no published PV limit is held for {name}")
	msgStartAt    = say.Define("assembly.start_at", "the service states no lowest temperature; the start is taken at {at:temperature}")
	msgBenchGap   = say.Define("assembly.bench_gap", "clearance as on the bench: {reason:message}")
	msgFilmSays   = say.Define("assembly.film_says", "{regime:message}; PV {pv:pressure_velocity}, {share:percent} of the published {limit:pressure_velocity} for {material}")
	msgFilmOver   = say.Define("assembly.film_over", "PV is over its published limit where no full film carries ({points:message}): the bushing wears; look at material, load and speed")
	msgDryLimit   = say.Define("assembly.dry_limit", "the limit of {material} is published for dry running; wet it carries more, how much more is not held here")
	msgFilmSaysNo = say.Define("assembly.film_says_no", "{regime:message}; PV {pv:pressure_velocity}, no limit is held")
	msgClearance  = say.Define("assembly.clearance_from", "diametral clearance on the bench {clearance:length}: {from:message}")
	gapMeasured   = say.Define("assembly.gap_measured", "bore less journal, as left")
	gapFound      = say.Define("assembly.gap_found", "bore less journal, as found")
	gapMixed      = say.Define("assembly.gap_mixed", "as reamed to the aim")
	gapSheet      = say.Define("assembly.gap_sheet", "of the sheet")
)

// film works out the film of one bushing.
func (in *Inputs) film(b *sheet.Bushing, p *Press) *Film {
	f := &Film{Bushing: b, Name: in.partName(b.Part)}
	pin, _, known := in.journal(b)
	var lacks lacking
	lacks.unless(known, "diameter of the "+in.partName(b.Journal))
	lacks.unless(in.Liquid != nil, "liquid of the service")
	s := in.Service
	lacks.unless(s != nil && s.Temperature != nil, "temperature of the service")
	in.loadLacks(b, &lacks)
	gap, from, gapKnown := in.benchGap(b, p)
	lacks.unless(gapKnown, "running clearance")
	if len(lacks) > 0 {
		f.Unknown = append(f.Unknown, lacks.message(whatFilm.With()))
		return f
	}
	f.Reasons = append(f.Reasons, msgClearance.With(gap, from))
	f.material(b)
	points := []FilmPoint{{Name: pointService.With(), Temperature: s.Temperature.Value}}
	if hottest := in.hottest(); hottest > s.Temperature.Value {
		points = append(points, FilmPoint{Name: pointHottest.With(), Temperature: hottest})
	}
	cold, stated := in.coldest()
	if !stated {
		f.Reasons = append(f.Reasons, msgStartAt.With(cold))
	}
	points = append(points, FilmPoint{Name: pointStart.With(), Temperature: cold})
	for _, point := range points {
		f.at(in, p, point, pin.Value, gap)
	}
	f.judge()
	return f
}

// at works out one point.
func (f *Film) at(in *Inputs, p *Press, point FilmPoint, pin, gap quantity.Length) {
	j, from, err := in.journalAt(f.Bushing, pin, point.Temperature)
	if err != nil {
		f.Unknown = append(f.Unknown, msgRefused.With(nameOf.With(whatFilm.With(), point.Name), err))
		return
	}
	j.DiametralClearance = gap
	change, unknown := in.gapChange(p, pin, point.Temperature)
	if unknown.IsZero() {
		j.DiametralClearance += change
	} else if len(f.Points) == 0 {
		f.Reasons = append(f.Reasons, msgBenchGap.With(unknown))
	}
	state, err := in.Liquid.At(point.Temperature)
	if err == nil {
		// The liquid is sheared at about surface speed over radial clearance.
		rate := quantity.ShearRate(math.Abs(j.Speed.SI() * pin.SI() / max(j.DiametralClearance.SI(), 1e-6)))
		j.Viscosity, err = state.Apparent(rate)
		j.Density = state.Density
	}
	if err == nil {
		j.Material = f.Material
		point.Running, err = bushing.Assess(j)
	}
	if err != nil {
		f.Unknown = append(f.Unknown, msgRefused.With(nameOf.With(whatFilm.With(), point.Name), err))
		return
	}
	point.Viscosity, point.Clearance = j.Viscosity, j.DiametralClearance
	f.Load, f.LoadFrom, f.Speed = j.Load, from, j.Speed
	point.verdict()
	f.Points = append(f.Points, point)
}

// judge warns where a film is wanted and none carries.
func (f *Film) judge() {
	var over []say.Message
	for i := range f.Points {
		if run := &f.Points[i].Running; !run.PVWithin && run.Regime != bushing.FullFilm {
			over = append(over, f.Points[i].Name)
		}
	}
	switch {
	case len(over) == 0:
	case f.Material.Rubbing:
		f.Reasons = append(f.Reasons, msgDryLimit.With(f.Material.Name))
	default:
		f.Warnings = append(f.Warnings, msgFilmOver.With(over))
	}
}

func (point *FilmPoint) verdict() {
	run := point.Running
	regime := run.Verdict[0]
	if run.Material == nil {
		point.Verdict = msgFilmSaysNo.With(regime, run.PV)
		return
	}
	point.Share = run.PV.SI() / run.Material.PV.SI()
	point.Verdict = msgFilmSays.With(regime, run.PV, point.Share, run.Material.PV, run.Material.Name)
}

// material finds the published limits: by name, else by the kind that the name
// holds.
func (f *Film) material(b *sheet.Bushing) {
	m, err := bushing.MaterialByName(b.Material)
	for _, kind := range []string{"bronze", "carbon", "iron"} {
		if err == nil || !strings.Contains(b.Material, kind) {
			continue
		}
		if m, err = bushing.MaterialByName(kind); err == nil {
			f.Reasons = append(f.Reasons, msgTakenAs.With(m.Name, b.Material))
		}
	}
	if err != nil {
		f.Reasons = append(f.Reasons, msgNoLimits.With(b.Material))
		return
	}
	f.Material = &m
}

// benchGap is the running clearance on the bench, with where it is from.
func (in *Inputs) benchGap(b *sheet.Bushing, p *Press) (quantity.Length, say.Message, bool) {
	r := in.rolesOf(b)
	pin, _, known := in.journal(b)
	if bore := in.mean(r.bore, job.AsLeft); bore != nil && known {
		return quantity.Length(bore.Value) - pin.Value, gapMeasured.With(), true
	}
	if bore := in.mean(r.bore, job.AsFound); bore != nil && !in.Replaced[b.Part] {
		if found := in.mean(r.journal, job.AsFound); found != nil && !in.Replaced[b.Journal] {
			return quantity.Length(bore.Value - found.Value), gapFound.With(), true
		}
	}
	if p.Ream != nil {
		return p.Ream.Clearance, gapMixed.With(), true
	}
	if b.Running != nil {
		return b.Running.Value, gapSheet.With(), true
	}
	return 0, say.Message{}, false
}

// loadLacks names what the load of a bushing needs and the sheet or service
// does not give.
func (in *Inputs) loadLacks(b *sheet.Bushing, lacks *lacking) {
	s := in.Service
	lacks.unless(s != nil && s.Pressure != nil, "pressure of the service")
	lacks.unless(s != nil && s.Speed != nil, "speed of the service")
	lacks.unless(in.Sheet.Teeth != nil, "teeth of the gear pair")
	if !in.isIdler(b) {
		lacks.unless(in.Sheet.FlowPath != nil, "rotor radius and rim width (flow_path)")
	}
}

// journalAt is a bushing with its load and speed at the service, and with the
// liquid at rest at a temperature; where the load is from. The clearance stays
// open.
func (in *Inputs) journalAt(b *sheet.Bushing, pin quantity.Length, at quantity.Temperature) (bushing.Journal, say.Message, error) {
	var lacks lacking
	in.loadLacks(b, &lacks)
	lacks.unless(in.Liquid != nil, "liquid of the service")
	lacks.unless(at > 0, "temperature of the service")
	if len(lacks) > 0 {
		return bushing.Journal{}, say.Message{}, say.Refuse("service", "", lacks.message(whatFilm.With()), say.Message{})
	}
	state, err := in.Liquid.At(at)
	if err != nil {
		return bushing.Journal{}, say.Message{}, err
	}
	j := bushing.Journal{Diameter: pin, Length: b.Length.Value, Viscosity: state.Dynamic, Density: state.Density, Speed: in.Service.Speed.Value}
	t, dp := in.Sheet.Teeth, in.Service.Pressure.Value
	m := t.ModuleLength().SI()
	from := msgPinLoad.With()
	if in.isIdler(b) {
		// The idler turns on a pin that stands still.
		j.Speed *= quantity.RotationalSpeed(float64(t.Rotor) / float64(t.Idler))
		outside := quantity.Length(m * (float64(t.Idler) + 2*t.IdlerAddendum))
		j.Load, err = bushing.IdlerPinLoad(dp, outside, t.FaceWidth.Value)
	} else {
		from = msgRotorLoad.With()
		flow := in.Sheet.FlowPath
		tooth := m * (t.RotorAddendum + t.RotorDedendum)
		j.Load = rotorLoad(dp, 2*flow.RotorRadius.Value, flow.RimWidth.Value, quantity.Length(tooth), t.FaceWidth.Value)
	}
	return j, from, err
}

// rotorLoad estimates the radial load that the pressure puts on the rotor.
//
//	W = 0.8 Δp (D_o b_d + 2 h b)
//
//	Δp   discharge less suction            Pa
//	D_o  outside diameter of the rotor     m
//	b_d  width of the rim of its disc      m
//	h    height of its teeth               m
//	b    face width                        m
//
// The rim is pressed from the outside alone. The spaces between the teeth are
// open both ways, so only the steps of pressure along the crescent and in the
// mesh are left; both point from discharge to suction. 0.8 as for the idler
// pin. Derived here, a convention of this tool; the overhang of the rotor adds
// to the load of the nearer bushing and is not counted.
func rotorLoad(dp quantity.PressureDifference, outside, rim, tooth, face quantity.Length) quantity.Force {
	return quantity.Force(0.8 * dp.SI() * (outside.SI()*rim.SI() + 2*tooth.SI()*face.SI()))
}

func (f *Film) workings() []*working.Node {
	var roots []*working.Node
	for i := range f.Points {
		if i > 0 && i < len(f.Points)-1 {
			continue // between service and start nothing is new
		}
		root := f.Points[i].Running.Working()
		root.Name = nameOf.With(nameOf.With(root.Name, f.Name), f.Points[i].Name)
		roots = append(roots, root)
	}
	return roots
}
