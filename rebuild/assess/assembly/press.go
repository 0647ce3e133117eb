package assembly

import (
	"math"

	"pumpwright/calc/fit"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Press is one bushing with its press fit.
type Press struct {
	Bushing *sheet.Bushing
	Name    string // of the part
	Stays   bool   // the bushing is not replaced at this job

	Measured     bool // the interference was measured, not taken from the drawing
	Interference quantity.Estimate[quantity.Length]
	Result       *fit.PressResult // nil when not known
	Stop         bool             // it must not be pressed like this
	Ream         *Ream            // nil when not known
	LooseAt      *quantity.Temperature
	Stroke       *Stroke // nil when no pressing was entered

	Reasons  []say.Message
	Notes    []say.Message
	Warnings []say.Message
	Cautions []say.Message
	Unknown  []say.Message
}

// Ream is the bore that gives the running clearance.
type Ream struct {
	Pin       quantity.Estimate[quantity.Length] // what runs in the bushing
	Clearance quantity.Length                    // wanted on the bench, diametral
	Bore      quantity.Length                    // to aim for
	Low, High quantity.Length                    // band around it
	AsPressed quantity.Length                    // what pressing leaves, when the bore before is known
	Before    quantity.Length                    // bore before pressing that would need no reaming
	Decision  fit.FinishDecision
	Read      *quantity.Estimate[quantity.Length] // bore as read after pressing
	Remove    quantity.Length                     // still to be taken out, by the reading; negative when too large
	Verdict   say.Message
	Hot       *quantity.Length // running clearance at the highest temperature
}

// pressFriction while pressing, lightly oiled metal or carbon in metal; and how
// near to the aim a reamed bore must come where the sheet gives no tolerance.
// [common practice, no source]
const (
	pressFriction  = 0.12
	reamBandOfGap  = 0.15
	reamBandAtMost = 0.01e-3
)

var (
	whatPress = say.Define("assembly.what_press", "press fit")
	whatReam  = say.Define("assembly.what_ream", "bore to ream to")
	whatHot   = say.Define("assembly.what_hot", "fit in service")

	msgDrawing    = say.Define("assembly.drawing", "interference {interference:length} from the drawing{page}; measure the new bushing and its bore before pressing, the measured pair counts")
	msgMeasured   = say.Define("assembly.measured", "interference {interference} from the measured bushing less the measured bore; the drawing says {drawing:length}")
	msgOffDrawing = say.Define("assembly.off_drawing", "the measured interference of {interference} is far from the {drawing:length} of the drawing: measure both parts again before pressing")
	msgFriction   = say.Define("assembly.friction", "force for a friction of {friction:number}, lightly oiled [common practice]; it goes in proportion")
	msgLarge      = say.Define("assembly.large", "the sheet gives no outside diameter of the {housing}; it is taken as large")
	msgStop       = say.Define("assembly.stop", "do not press it like this: {reason:message}")
	msgYields     = say.Define("assembly.yields", "the bushing gives way when hot and is loose when cold again: {reason:message}")
	msgNoFit      = say.Define("assembly.no_fit", "there is no press fit: {reason}")
	msgLooseAt    = say.Define("assembly.loose_at", "the press fit is gone at {at:temperature}; the highest temperature of the service is {hottest:temperature}")
	msgStays      = say.Define("assembly.stays", "the bushing is not renewed so far: these numbers hold for a new one")

	msgReamPin     = say.Define("assembly.ream_pin", "{journal} {pin} ({from:message}) and a running clearance of {clearance:length} ({whose:message})")
	msgReamTo      = say.Define("assembly.ream_to", "ream to {bore:length} ({low:length} to {high:length}) after pressing and measure it")
	msgAsPressed   = say.Define("assembly.as_pressed", "pressing leaves {bore:length}, inside {low:length} to {high:length}: no reaming; measure it")
	msgBoreLarge   = say.Define("assembly.bore_large", "pressing leaves {bore:length}, more than {high:length}: the bushing is too large inside, take another")
	msgReadMore    = say.Define("assembly.read_more", "the bore reads {read}: ream {remove:length} more, to {bore:length}")
	msgReadRight   = say.Define("assembly.read_right", "the bore reads {read}: right for {bore:length}")
	msgReadLarge   = say.Define("assembly.read_large", "the bore reads {read}, {over:length} larger than {bore:length}: the clearance is too wide; a lead decides")
	msgHotGap      = say.Define("assembly.hot_gap", "running clearance {cold:length} on the bench, {hot:length} at {at:temperature}")
	msgHotSeizes   = say.Define("assembly.hot_seizes", "the running clearance closes to {hot:length} at {at:temperature}: the bushing seizes; ream wider or take another material")
	msgHotNarrow   = say.Define("assembly.hot_narrow", "the running clearance closes to {hot:length} at {at:temperature}, less than half of that on the bench")
	fromNew        = say.Define("assembly.from_new", "measured, as left")
	fromFound      = say.Define("assembly.from_found", "measured, as found")
	fromSheet      = say.Define("assembly.from_sheet", "nominal of the sheet, measure it")
	whoseSheet     = say.Define("assembly.whose_sheet", "of the sheet{page}")
	whoseFilm      = say.Define("assembly.whose_film", "the sheet gives none; from the film at the highest temperature")
	msgPage        = say.Define("assembly.page", ", {page}")
	msgBoreTaken   = say.Define("assembly.bore_taken", "the sheet gives the finished bore; closure and stress are worked out with it")
	nameClearance  = say.Define("assembly.name_clearance", "running clearance on the bench")
	nameReamTo     = say.Define("assembly.name_ream_to", "bore to ream to, {part}")
	nameJournalNow = say.Define("assembly.name_journal", "{journal}, diameter")
)

func pageOf(page string) say.Message {
	if page == "" {
		return say.Message{}
	}
	return msgPage.With(page)
}

// roles are the roles of what belongs to a bushing.
type roles struct{ outside, housing, bore, journal string }

var (
	idlerRoles = roles{sheet.RoleIdlerBushingOD, sheet.RoleIdlerBore, sheet.RoleIdlerBushingBore, sheet.RolePinOD}
	shaftRoles = roles{sheet.RoleShaftBushingOD, sheet.RoleBracketBore, sheet.RoleShaftBushingBore, sheet.RoleShaftOD}
)

// isIdler tells whether a bushing runs on the idler pin.
func (in *Inputs) isIdler(b *sheet.Bushing) bool {
	if f := in.Sheet.ByRole(sheet.RoleIdlerBushingBore); f != nil && f.Part == b.Part {
		return true
	}
	if f := in.Sheet.ByRole(sheet.RolePinOD); f != nil && f.Part == b.Journal {
		return true
	}
	return b.Into == "idler"
}

func (in *Inputs) rolesOf(b *sheet.Bushing) roles {
	if in.isIdler(b) {
		return idlerRoles
	}
	return shaftRoles
}

// press works out one press fit.
func (in *Inputs) press(b *sheet.Bushing) *Press {
	p := &Press{Bushing: b, Name: in.partName(b.Part), Stays: !in.Replaced[b.Part]}
	if p.Stays {
		p.Notes = append(p.Notes, msgStays.With())
	}
	if in.Sheet.Build.GroovedBushing && !in.isIdler(b) {
		p.Reasons = append(p.Reasons, in.Sides.Groove()...)
	}
	p.interference(in)
	input, err := in.pressInput(b, p.Interference.Value)
	if err != nil {
		p.Unknown = append(p.Unknown, msgRefused.With(whatPress.With(), err))
		p.stroke(in)
		return p
	}
	if b.HousingOuter == nil {
		p.Notes = append(p.Notes, msgLarge.With(in.partName(b.Into)))
	}
	p.fit(in, input)
	p.ream(in)
	p.stroke(in)
	return p
}

// interference takes the measured pair before the drawing.
func (p *Press) interference(in *Inputs) {
	b, r := p.Bushing, in.rolesOf(p.Bushing)
	drawing := b.Interference.Value
	outside, housing := in.mean(r.outside, job.AsLeft), in.latest(r.housing)
	if outside == nil || housing == nil {
		p.Interference = quantity.Within(drawing, 0)
		p.Reasons = append(p.Reasons, msgDrawing.With(drawing, pageOf(b.Interference.Page)))
		return
	}
	p.Measured = true
	p.Interference = quantity.Within(quantity.Length(outside.Value-housing.Value), math.Hypot(outside.U, housing.U))
	p.Reasons = append(p.Reasons, msgMeasured.With(p.Interference, drawing))
	if off := math.Abs((p.Interference.Value - drawing).SI()); off > drawing.SI()/2 {
		p.Warnings = append(p.Warnings, msgOffDrawing.With(p.Interference, drawing))
	}
}

func (in *Inputs) pressInput(b *sheet.Bushing, interference quantity.Length) (fit.PressInput, error) {
	input := fit.PressInput{
		MatingDiameter: b.MatingDiameter.Value, Interference: interference, SleeveBore: b.Bore.Value, Length: b.Length.Value,
		HousingLarge: b.HousingOuter == nil, Friction: pressFriction, Bench: in.bench(), Service: in.hottest(),
	}
	if b.HousingOuter != nil {
		input.HousingOuter = b.HousingOuter.Value
	}
	var err error
	if input.Sleeve, err = in.materialOf(b.Material, "bushing"); err != nil {
		return input, say.In("material", err)
	}
	if input.Housing, err = in.materialOf(b.HousingOf, b.Into); err != nil {
		return input, say.In("housing_material", err)
	}
	return input, nil
}

func (p *Press) fit(in *Inputs, input fit.PressInput) {
	r, err := fit.Press(input)
	if err != nil && input.Service != 0 { // without the heat when an expansion is missing
		without := input
		without.Service = 0
		if cold, coldErr := fit.Press(without); coldErr == nil {
			p.Unknown = append(p.Unknown, msgRefused.With(whatHot.With(), err))
			r, err = cold, nil
		}
	}
	if err != nil {
		if p.Measured && p.Interference.Value <= 0 {
			p.Stop = true
			p.Warnings = append(p.Warnings, msgNoFit.With(err))
			return
		}
		p.Unknown = append(p.Unknown, msgRefused.With(whatPress.With(), err))
		return
	}
	p.Result = &r
	if input.Service == 0 && len(p.Unknown) == 0 {
		p.Unknown = append(p.Unknown, msgUnknown.With(whatHot.With(), []string{"temperature of the service"}))
	}
	p.Stop = p.mustStop(&r)
	if p.Bushing.ReamAfter {
		p.Notes = append(p.Notes, msgBoreTaken.With())
	}
	for _, w := range r.Warnings {
		if w.ID() == "fit.warn_stop" {
			stop := msgYields
			if p.Stop {
				stop = msgStop
			}
			p.Warnings = append(p.Warnings, stop.With(w))
			continue
		}
		p.Notes = append(p.Notes, w)
	}
	p.Notes = append(p.Notes, msgFriction.With(pressFriction))
	for _, c := range r.Cautions {
		// A bushing of metal does not splinter in an iron seat.
		if c.ID() != "fit.caution_press_brittle" || input.Sleeve.Brittle {
			p.Cautions = append(p.Cautions, c)
		}
	}
	if rise := r.LooseTemperatureRise; rise != nil && *rise > 0 {
		at := input.Bench + quantity.Temperature(*rise)
		p.LooseAt = &at
		if input.Service > 0 {
			m := msgLooseAt.With(at, input.Service)
			if at <= input.Service {
				p.Warnings = append(p.Warnings, m)
			} else {
				p.Notes = append(p.Notes, m)
			}
		}
	}
}

// mustStop tells whether the bushing must not be pressed like this: a brittle
// part over its strength breaks, cold or hot; a ductile one over it while it
// is pressed cold.
func (p *Press) mustStop(r *fit.PressResult) bool {
	if !r.Judged || r.Accepted {
		return false
	}
	over := func(s *fit.State) bool {
		sleeve, housing := r.Input.Sleeve.CompressiveStrength, r.Input.Housing.TensileStrength
		return sleeve.Known() && -s.SleeveHoopBore > sleeve.Value || housing.Known() && s.HousingHoop > housing.Value
	}
	if over(&r.Cold) {
		return true
	}
	return r.Hot != nil && over(r.Hot) && (r.Input.Sleeve.Brittle || r.Input.Housing.Brittle && r.Hot.HousingHoop > r.Input.Housing.TensileStrength.Value)
}

// latest is the mean as left, else as found.
func (in *Inputs) latest(role string) *estimate {
	if e := in.mean(role, job.AsLeft); e != nil {
		return e
	}
	return in.mean(role, job.AsFound)
}

// journal is the diameter of what runs in the bushing, with where it is from.
// A part that is replaced gives only what was read on the new one.
func (in *Inputs) journal(b *sheet.Bushing) (quantity.Estimate[quantity.Length], say.Message, bool) {
	r := in.rolesOf(b)
	if e := in.mean(r.journal, job.AsLeft); e != nil {
		return lengthOf(e), fromNew.With(), true
	}
	if e := in.mean(r.journal, job.AsFound); e != nil && !in.Replaced[b.Journal] {
		return lengthOf(e), fromFound.With(), true
	}
	if n := in.Sheet.Nominal(r.journal); n != nil {
		return quantity.Within(*n, 0), fromSheet.With(), true
	}
	return quantity.Estimate[quantity.Length]{}, say.Message{}, false
}

func (p *Press) working() *working.Node {
	root := p.Result.Working()
	root.Name = nameOf.With(root.Name, p.Name)
	if r := p.Ream; r != nil {
		root.Inputs = append(root.Inputs, working.Result("press.ream_to", nameReamTo.With(p.Name), "", r.Bore, "journal + running clearance", "geometry",
			working.Leaf("press.journal", nameJournalNow.With(p.Bushing.Journal), "", r.Pin.Value, "readings of the job, else the sheet").WithU(r.Pin.U),
			working.Leaf("press.clearance", nameClearance.With(), "", r.Clearance, "sheet, else the film")))
	}
	if s := p.Stroke; s != nil && s.Check != nil {
		root.Inputs = append(root.Inputs, s.Check.Workings()...)
	}
	return root
}
