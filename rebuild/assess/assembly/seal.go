package assembly

import (
	"math"

	"pumpwright/calc/liquid"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
	"pumpwright/calc/working"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Seal is the shaft seal.
type Seal struct {
	Kind    string // build.shaft_seal
	Name    string
	Load    *seal.Load // faces of a mechanical seal; nil when not known
	Flush   *quantity.Flow
	Warming quantity.TemperatureDifference // that Flush allows
	Setting *seal.Set                      // working length as left against the sheet; nil when not known
	Read    *quantity.Estimate[quantity.Length]
	Force   *quantity.Force  // of the spring at the length as left
	Flat    *quantity.Length // of the lapped face, as left; nil when it was not read
	Grip    quantity.Time    // before the elastomer grips; 0 when it does not
	Took    quantity.Time    // as written at the step; 0 when not
	Moved   bool             // the bearing housing was turned after the length was read
	Steps   []seal.AssemblyStep
	Advice  []say.Message // elastomer and faces; advice, no release
	Rings   *seal.Rings
	Lip     *seal.LipVerdict
	Machine []seal.MachineVerdict

	Reasons  []say.Message
	Notes    []say.Message
	Warnings []say.Message
	Cautions []say.Message
	Unknown  []say.Message

	dropsLow, dropsHigh float64 // leak-off of packing; 0 when not known
}

// Values taken where nobody says otherwise: half of the pressure on the mean
// between the faces (flat parallel faces), their friction, and how much a
// flush may warm. [common practice, no source]
const (
	usualPressureFactor                                = 0.5
	usualFaceFriction                                  = 0.07
	usualWarming        quantity.TemperatureDifference = 8
	seriousSolids       quantity.Length                = 0.05e-3
	thinLiquid                                         = 2e-6 // m²/s
)

var (
	whatFaces  = say.Define("assembly.what_faces", "load and heat of the seal faces")
	whatFlush  = say.Define("assembly.what_flush", "flush flow")
	whatLength = say.Define("assembly.what_length", "working length of the seal")
	whatRings  = say.Define("assembly.what_rings", "rings of the packing")
	whatRubber = say.Define("assembly.what_rubber", "elastomer against the liquid")

	msgWholePressure = say.Define("assembly.whole_pressure", "the faces are taken to see the whole {pressure:pressure_difference}; behind the rotor it is usually less")
	msgFaceFriction  = say.Define("assembly.face_friction", "friction of the faces {friction:number}, assumed")
	msgDerivedFaces  = say.Define("assembly.derived_faces", "face diameters follow from area and mean radius, the balance diameter from the ratio")
	msgSpringAt      = say.Define("assembly.spring_at", "the spring presses with {force:force} at the length as left")
	msgFlush         = say.Define("assembly.flush", "to carry {heat:power} away with {warming:temperature_difference} of warming the faces need {flow:flow} of liquid past them")
	msgNotReadLength = say.Define("assembly.length_open", "the working length as left was not read yet; the sheet wants {length:length} {tolerance:message}")
	msgTolerance     = say.Define("assembly.tolerance", "± {tolerance:length}")
	msgLengthRead    = say.Define("assembly.length_read", "working length as left {read}, the sheet wants {wanted:length} {tolerance:message}; chance to lie within {chance:percent}: {decision}")
	msgLengthOnly    = say.Define("assembly.length_only", "working length as left {read}, {off:length} off the {wanted:length} of the sheet, which states no tolerance")
	msgLengthOff     = say.Define("assembly.length_off", "the working length reads {read}, wanted is {wanted:length} {tolerance:message}: {decision} before the head is closed")
	msgFoundLength   = say.Define("assembly.length_found", "as found it was {read}")
	msgGrip          = say.Define("assembly.grip", "from the first touch of the elastomer on the shaft there are {grip:time} to push the seal to its length in one go ({whose:message})")
	whoseGripSheet   = say.Define("assembly.grip_sheet", "of the sheet")
	whoseGripUsual   = say.Define("assembly.grip_usual", "common practice")
	msgGripTook      = say.Define("assembly.grip_took", "it took {took:time} of {grip:time}")
	msgGripOver      = say.Define("assembly.grip_over", "setting the seal took {took:time}, longer than the {grip:time} before the elastomer grips: read the working length again; if it does not slide back freely take a new bellows")
	msgMoved         = say.Define("assembly.seal_moved", "the bearing housing was turned after the working length was read: the seal moved with it; read the working length again")
	msgShimsMoved    = say.Define("assembly.seal_shims_moved", "the shims behind the thrust bearing were changed after the working length was read: the seal moved with the shaft; read the working length again")
	msgShimsMove     = say.Define("assembly.seal_shims_move", "shims behind the thrust bearing move the seal by as much as the end clearance changes: read the working length after them, not before")
	msgWillMove      = say.Define("assembly.seal_will_move", "turning the bearing housing moves the seal by as much as the end clearance changes: read the working length after it, not before")
	msgOtherRubber   = say.Define("assembly.other_rubber", "the sheet says {wanted}, fitted was {fitted} (batch {batch}): check it against the liquid before the pump leaves")
	msgAdvice        = say.Define("assembly.advice", "advice: {advice:message}")
	msgFitness       = say.Define("assembly.fitness", "advice: {elastomer} in {liquid} at {at:temperature}: {fitness} by general tables")
	msgUnfit         = say.Define("assembly.unfit", "advice: {elastomer} in {liquid} at {at:temperature} is {fitness} by general tables: ask the maker of the seal before it is fitted")
	msgNoTable       = say.Define("assembly.no_table", "advice: {elastomer} is in no general table held here; ask the maker of the seal")
	msgMachineOver   = say.Define("assembly.machine_over", "{check:message} {read:length} is over the published {limit:length} for seals ({source})")
	msgMachineFine   = say.Define("assembly.machine_fine", "{check:message} {read:length}, within the published {limit:length} for seals")
	checkRunout      = say.Define("assembly.check_runout", "run-out of the shaft")
	checkFloat       = say.Define("assembly.check_float", "end play of the shaft")
	nameSeal         = say.Define("assembly.name_seal", "shaft seal")
)

// mechanical tells whether a kind of seal has faces.
func mechanical(kind string) bool { return kind != "packing" && kind != "lip" }

// seal works out the shaft seal.
func (in *Inputs) seal() *Seal {
	s := &Seal{Kind: in.Sheet.Build.ShaftSeal, Name: nameSeal.With().String(), Cautions: in.cautions("dry")}
	s.machine(in)
	switch s.Kind {
	case "packing":
		s.packing(in)
		return s
	case "lip":
		s.lip(in)
		return s
	}
	if in.Sheet.Seal == nil {
		s.Unknown = append(s.Unknown, msgUnknown.With(whatFaces.With(), []string{"the group seal of the sheet"}))
	} else {
		s.length(in)
		s.faces(in)
	}
	s.flatness(in)
	s.clock(in)
	s.housing(in)
	s.rubber(in)
	s.facesAdvice(in)
	return s
}

// geometry is the faces from what the sheet gives.
//
//	A = π(D_o² − D_i²)/4,  r_m = (D_o + D_i)/4  ⇒  D_o, D_i = 2 r_m ± A/(2π r_m)
//	D_b² = D_o² − B(D_o² − D_i²)
func geometry(d *sheet.Seal, lacks *lacking) (seal.Face, bool) {
	f := seal.Face{Side: seal.Outside, PressureFactor: usualPressureFactor}
	derived := false
	switch {
	case d.FaceInner != nil && d.FaceOuter != nil:
		f.Inner, f.Outer = d.FaceInner.Value, d.FaceOuter.Value
	case d.FaceArea != nil && d.MeanRadius != nil && d.MeanRadius.Value > 0:
		r := d.MeanRadius.Value.SI()
		half := d.FaceArea.Value.SI() / (2 * math.Pi * r)
		f.Inner, f.Outer = quantity.Length(2*r-half), quantity.Length(2*r+half)
		derived = true
	default:
		lacks.unless(false, "face diameters of the seal")
	}
	switch {
	case d.BalanceDiameter != nil:
		f.BalanceDiameter = d.BalanceDiameter.Value
	case d.BalanceRatio != nil:
		o, i := f.Outer.SI(), f.Inner.SI()
		f.BalanceDiameter = quantity.Length(math.Sqrt(max(0, o*o-*d.BalanceRatio*(o*o-i*i))))
	default:
		lacks.unless(false, "balance diameter of the seal")
	}
	area := math.Pi / 4 * (f.Outer.SI()*f.Outer.SI() - f.Inner.SI()*f.Inner.SI())
	switch {
	case d.SpringForce != nil:
		f.SpringForce = d.SpringForce.Value
	case d.SpringPressure != nil:
		f.SpringForce = quantity.Force(d.SpringPressure.Value.SI() * area)
	case d.SpringRate != nil && d.FreeLength != nil && d.WorkingLength != nil:
		f.SpringForce = quantity.Force(d.SpringRate.Value.SI() * (d.FreeLength.Value - d.WorkingLength.Value).SI())
	default:
		lacks.unless(false, "spring force of the seal")
	}
	return f, derived
}

// faces works out load and heat at the service point.
func (s *Seal) faces(in *Inputs) {
	var lacks lacking
	d := in.Sheet.Seal
	face, derived := geometry(d, &lacks)
	v := in.Service
	lacks.unless(v != nil && v.Pressure != nil, "pressure of the service")
	lacks.unless(v != nil && v.Speed != nil, "speed of the service")
	if len(lacks) > 0 {
		s.Unknown = append(s.Unknown, lacks.message(whatFaces.With()))
		return
	}
	face.Pressure, face.Speed = v.Pressure.Value, v.Speed.Value
	if in.AtSeal != nil {
		face.Pressure = *in.AtSeal
	} else {
		s.Reasons = append(s.Reasons, msgWholePressure.With(face.Pressure))
	}
	face.Friction = usualFaceFriction
	if d.Friction != nil {
		face.Friction = *d.Friction
	} else {
		s.Reasons = append(s.Reasons, msgFaceFriction.With(face.Friction))
	}
	if derived {
		s.Reasons = append(s.Reasons, msgDerivedFaces.With())
	}
	if s.Force != nil { // the length as left tells more than the sheet
		face.SpringForce = *s.Force
	}
	load, err := seal.FaceLoad(face)
	if err != nil {
		s.Unknown = append(s.Unknown, msgRefused.With(whatFaces.With(), err))
		return
	}
	s.Load = &load
	for _, w := range load.Warnings {
		if load.Opens && w.ID() == "seal.opens" {
			s.Warnings = append(s.Warnings, w)
			continue
		}
		s.Notes = append(s.Notes, w)
	}
	s.flush(in)
}

// flush is the flow that carries the heat of the faces away.
func (s *Seal) flush(in *Inputs) {
	heat, known := volumetricHeat(in.Liquid)
	if !known {
		s.Unknown = append(s.Unknown, msgUnknown.With(whatFlush.With(), []string{"specific heat of the liquid"}))
		return
	}
	flow, err := seal.FlushFlow(s.Load.Heat, heat, usualWarming)
	if err != nil {
		s.Unknown = append(s.Unknown, msgRefused.With(whatFlush.With(), err))
		return
	}
	s.Flush, s.Warming = &flow, usualWarming
	s.Reasons = append(s.Reasons, msgFlush.With(s.Load.Heat, usualWarming, flow))
}

// volumetricHeat is that of water and of mineral oils; other liquids are not
// guessed. [common practice, no source]
func volumetricHeat(l *liquid.Liquid) (seal.VolumetricHeat, bool) {
	switch familyOf(l) {
	case seal.Water:
		return 4.2e6, true
	case seal.MineralOil:
		return 1.7e6, true
	}
	return 0, false
}

// length sets the working length as left against the sheet.
func (s *Seal) length(in *Inputs) {
	d := in.Sheet.Seal
	if d.WorkingLength == nil {
		s.Unknown = append(s.Unknown, msgUnknown.With(whatLength.With(), []string{"working length of the sheet"}))
		return
	}
	wanted := d.WorkingLength.Value
	tolerance, words := quantity.Length(0), say.Message{}
	if d.LengthTolerance != nil {
		tolerance = d.LengthTolerance.Value
		words = msgTolerance.With(tolerance)
	}
	if found := in.mean(sheet.RoleSealWorkingLength, job.AsFound); found != nil {
		s.Notes = append(s.Notes, msgFoundLength.With(lengthOf(found)))
	}
	left := in.mean(sheet.RoleSealWorkingLength, job.AsLeft)
	if left == nil {
		s.Reasons = append(s.Reasons, msgNotReadLength.With(wanted, words))
		return
	}
	read := lengthOf(left)
	s.Read = &read
	if d.FreeLength != nil && d.SpringRate != nil {
		if force, err := (seal.Spring{FreeLength: d.FreeLength.Value, Rate: d.SpringRate.Value}).Force(read.Value); err == nil {
			s.Force = &force
			s.Reasons = append(s.Reasons, msgSpringAt.With(force))
		}
	}
	const link = "working length"
	set, err := seal.FindSetting(seal.Setting{WorkingLength: wanted, Tolerance: tolerance, Unknown: link, IsSet: true,
		Links: []seal.Link{{Name: link, Value: read.Value, U: quantity.Length(read.U), Sensitivity: 1}}})
	if err != nil {
		s.Unknown = append(s.Unknown, msgRefused.With(whatLength.With(), err))
		return
	}
	s.Setting = &set
	switch {
	case tolerance == 0:
		s.Reasons = append(s.Reasons, msgLengthOnly.With(read, quantity.Length(math.Abs((read.Value-wanted).SI())), wanted))
	case set.Decision == seal.DecisionSet:
		s.Reasons = append(s.Reasons, msgLengthRead.With(read, wanted, words, set.Chance, set.Decision))
	default:
		s.Warnings = append(s.Warnings, msgLengthOff.With(read, wanted, words, set.Decision))
	}
}

var (
	msgFlat     = say.Define("assembly.flat", "the lapped face shows {bands:number} light bands of helium: flat within {height:length}; usual limit {limit:count} bands")
	msgFlatOver = say.Define("assembly.flat_over", "the lapped face shows {bands:number} light bands of helium, more than the usual {limit:count}: lap it again, or take a new one")
)

// flatness is what the optical flat showed of a lapped face.
func (s *Seal) flatness(in *Inputs) {
	left := in.mean(sheet.RoleSealFlatness, job.AsLeft)
	if left == nil {
		return
	}
	height := lengthOf(left).Value
	s.Flat = &height
	one, err := seal.Flatness(1, seal.Helium)
	if err != nil {
		return
	}
	bands := (height / one).SI()
	if seal.WithinBands(height) {
		s.Reasons = append(s.Reasons, msgFlat.With(bands, height, seal.BandLimit))
	} else {
		s.Warnings = append(s.Warnings, msgFlatOver.With(bands, seal.BandLimit))
	}
}

// clock is the step that runs against the elastomer.
func (s *Seal) clock(in *Inputs) {
	grip, whose := quantity.Time(0), whoseGripUsual.With()
	if d := in.Sheet.Seal; d != nil && d.GripMinutes != nil {
		grip, whose = quantity.Time(*d.GripMinutes*60), whoseGripSheet.With()
	}
	steps, err := seal.AssemblySteps(s.Kind == "bellows", grip)
	if err != nil {
		s.Unknown = append(s.Unknown, msgRefused.With(whatLength.With(), err))
		return
	}
	s.Steps = steps
	for _, step := range steps {
		if step.Within > 0 {
			s.Grip = step.Within
		}
		if !step.Caution.IsZero() {
			s.Cautions = append(s.Cautions, step.Caution)
		}
	}
	if s.Grip == 0 {
		return
	}
	s.Reasons = append(s.Reasons, msgGrip.With(s.Grip, whose))
	mark, marked := in.State.Marks["build-seal"]
	if !marked || mark.Body.Amount == 0 {
		return
	}
	s.Took = quantity.Time(mark.Body.Amount * 60)
	if s.Took > s.Grip {
		s.Warnings = append(s.Warnings, msgGripOver.With(s.Took, s.Grip))
		return
	}
	s.Reasons = append(s.Reasons, msgGripTook.With(s.Took, s.Grip))
}

// housing tells when a turned bearing housing, or shims behind the thrust
// bearing, moved the seal after its length was read.
func (s *Seal) housing(in *Inputs) {
	if in.Sheet.Build.ClearanceBy != "housing" && in.Sheet.Build.Shims != "bearing" {
		return
	}
	turned := int64(-1)
	for i := range in.State.Trials {
		turned = max(turned, in.State.Trials[i].Seq)
	}
	for _, step := range []string{"build-housing", "build-shims"} {
		if mark, done := in.State.Marks[step]; done && mark.Body.Mark == "done" {
			turned = max(turned, mark.Seq)
		}
	}
	length := int64(-1)
	for i := range in.State.Values {
		v := &in.State.Values[i]
		if f := in.Sheet.Feature(v.Feature); f != nil && f.RoleOf() == sheet.RoleSealWorkingLength && v.State == job.AsLeft {
			length = max(length, v.Seq)
		}
	}
	moved, willMove := msgMoved, msgWillMove
	if in.Sheet.Build.ClearanceBy != "housing" {
		moved, willMove = msgShimsMoved, msgShimsMove
	}
	switch {
	case turned >= 0 && length >= 0 && turned > length:
		s.Moved = true
		s.Warnings = append(s.Warnings, moved.With())
	default:
		s.Notes = append(s.Notes, willMove.With())
	}
}

// machine checks the shaft for the seal: run-out and end play.
func (s *Seal) machine(in *Inputs) {
	for _, c := range []struct {
		check seal.MachineCheck
		role  string
		name  say.Template
	}{{seal.ShaftRunout, sheet.RoleShaftRunOut, checkRunout}, {seal.AxialFloat, sheet.RoleEndPlay, checkFloat}} {
		read := in.latest(c.role)
		if read == nil {
			continue
		}
		v, err := seal.CheckMachine(c.check, quantity.Length(math.Abs(read.Value)), 0)
		if err != nil {
			continue
		}
		s.Machine = append(s.Machine, v)
		if v.Within {
			s.Notes = append(s.Notes, msgMachineFine.With(c.name.With(), v.Reading, v.Limit))
			continue
		}
		s.Warnings = append(s.Warnings, msgMachineOver.With(c.name.With(), v.Reading, v.Limit, v.Source))
	}
}

func (s *Seal) workings() []*working.Node {
	var roots []*working.Node
	if s.Load != nil {
		roots = append(roots, s.Load.Working())
	}
	if s.Setting != nil {
		roots = append(roots, s.Setting.Working())
	}
	return roots
}
