package bench

import (
	"math"
	"slices"
	"strconv"

	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// now is what the page of a step shows.
type now struct {
	v    *frame.Visit
	j    *frame.Job
	a    *assess.Assessment
	step *progress.Step
	at   int // place in the list of steps, from 1
	of   int
	back *progress.Step
	next *progress.Step

	reads []*reading.Feature // what the step reads
	asked *asked             // nil when no reading is asked for
}

// asked is one value at one place.
type asked struct {
	feature *reading.Feature
	place   reading.PlaceName
	places  []spot
	count   int // which of the places, from 1
	leaves  []string
	entry   *part.Entry
	field   part.Field
	tools   []tool
	tool    string
	last    *job.PlaceValue // the last value written at this feature
	again   bool            // the place was read before
}

// spot is a place of a feature with what was read there.
type spot struct {
	place   reading.PlaceName
	words   say.Message
	address string
	text    string
	asked   bool
}

// tool is an instrument that may be chosen.
type tool struct {
	id       string
	words    say.Message
	standing metrology.Standing
}

// stand puts the page of a step together, nil when there is no such step.
func stand(v *frame.Visit, j *frame.Job) *now {
	n := &now{v: v, j: j, a: j.Assessment}
	steps := n.a.Progress.Steps
	for i, s := range steps {
		if s.Step.ID != v.PathValue("step") {
			continue
		}
		n.step, n.at, n.of = s, i+1, len(steps)
		if i > 0 {
			n.back = steps[i-1]
		}
		if i+1 < len(steps) {
			n.next = steps[i+1]
		}
	}
	if n.step == nil {
		return nil
	}
	for _, role := range n.step.Step.Reads {
		if f := n.a.Readings.ByRole(n.a.Inputs.Sheet, role, n.step.Step.State); f != nil && f.Feature.Difference == nil {
			n.reads = append(n.reads, f)
		}
	}
	n.ask()
	return n
}

// Closed says that a job is closed, for other places of the job.
func Closed() say.Message { return wordJobClosed.With() }

// closed reports whether the job takes no bench work any more.
func (n *now) closed() bool { return n.j.State.Closed != nil }

// ask finds the value that is asked for: the one of the address, else the
// first that is missing.
func (n *now) ask() {
	q := n.v.URL.Query()
	var f *reading.Feature
	if id := q.Get("feature"); id != "" {
		state := q.Get("state")
		if state != job.AsLeft {
			state = job.AsFound
		}
		f = n.a.Readings.ByID(id, state)
		if f != nil && (f.Feature.Difference != nil || q.Has("answer")) {
			f = nil
		}
	}
	if f == nil {
		for _, m := range n.step.Missing {
			if f = n.a.Readings.ByID(m.Feature.ID, m.State); f != nil {
				break
			}
		}
	}
	if f == nil {
		return
	}
	k := &asked{feature: f}
	named := q.Get("feature") != "" && (q.Has("plane") || q.Has("angle") || len(f.Missing) == 0)
	switch {
	case named:
		k.place = reading.PlaceName{Plane: q.Get("plane")}
		if angle, err := strconv.ParseFloat(q.Get("angle"), 64); err == nil && !math.IsInf(angle, 0) && !math.IsNaN(angle) {
			k.place.Angle, k.place.Around = angle, true
		}
		if !q.Has("plane") && !q.Has("angle") {
			if all := placesOf(f); len(all) > 0 {
				k.place = all[0]
			}
		}
	case len(f.Missing) > 0:
		k.place = f.Missing[0]
	}
	n.asked = k
	n.places()
	n.instruments()
	n.lastValue()
	n.form()
}

// placesOf returns the places of a feature in the order of the sheet.
func placesOf(f *reading.Feature) []reading.PlaceName {
	planes, angles := f.Feature.Planes, f.Feature.Angles
	if len(planes) == 0 {
		planes = []string{""}
	}
	var all []reading.PlaceName
	for _, plane := range planes {
		if len(angles) == 0 {
			all = append(all, reading.PlaceName{Plane: plane})
		}
		for _, a := range angles {
			all = append(all, reading.PlaceName{Plane: plane, Angle: a, Around: true})
		}
	}
	return all
}

func placeWords(p reading.PlaceName) say.Message {
	switch {
	case p.Plane != "" && p.Around:
		return wordPlaceBoth.With(p.Plane, p.Angle)
	case p.Around:
		return wordPlaceAngle.With(p.Angle)
	case p.Plane != "":
		return wordPlacePlane.With(p.Plane)
	}
	return wordPlaceOnly.With()
}

func samePlace(v *job.PlaceValue, p reading.PlaceName) bool {
	if v.Plane != p.Plane || (v.Angle != nil) != p.Around {
		return false
	}
	return !p.Around || math.Abs(*v.Angle-p.Angle) < 0.5
}

func (n *now) places() {
	k := n.asked
	step := stepAddress(n.j, n.step.Step.ID)
	for i, p := range placesOf(k.feature) {
		s := spot{place: p, words: placeWords(p), address: placeAddress(step, k.feature, p), asked: p == k.place}
		for vi := range k.feature.Values {
			if v := &k.feature.Values[vi]; samePlace(v, p) {
				s.text = v.Text
				k.again = k.again || s.asked
			}
		}
		if s.asked {
			k.count = i + 1
		}
		k.places = append(k.places, s)
	}
}

// instruments lists the instruments of the kind that the feature asks for,
// those in calibration first, then the rest of the shop's.
func (n *now) instruments() {
	k, shop := n.asked, n.a.Inputs.Shop
	if shop == nil {
		return
	}
	var others []tool
	kind := k.feature.Feature.Instrument
	for i := range shop.Instruments {
		in := &shop.Instruments[i]
		t := tool{id: in.ID, standing: standing(in, n.a)}
		t.words = InstrumentWords(in, n.a)
		if in.Kind == kind {
			k.tools = append(k.tools, t)
		} else if in.Kind != "torque wrench" {
			others = append(others, t)
		}
	}
	if n := len(k.tools); n > 1 {
		valid := make([]tool, 0, n)
		var rest []tool
		for _, t := range k.tools {
			if t.standing.MayDecide() {
				valid = append(valid, t)
			} else {
				rest = append(rest, t)
			}
		}
		k.tools = append(valid, rest...)
	}
	k.tool = n.usualTool()
	k.tools = append(k.tools, others...)
}

// InstrumentWords names an instrument with the state of its calibration.
func InstrumentWords(in *ledger.Instrument, a *assess.Assessment) say.Message {
	name := in.Name
	if name == "" {
		name = in.Kind
	}
	return instrumentWords(standing(in, a), in.ID, name, in.Due)
}

func standing(in *ledger.Instrument, a *assess.Assessment) metrology.Standing {
	s, _ := in.Metrology().StandingOn(a.Inputs.AsOf, 0)
	return s
}

func instrumentWords(s metrology.Standing, id, name, due string) say.Message {
	switch {
	case s == metrology.FailedCheck:
		return wordToolFailed.With(id, name)
	case !s.MayDecide() && due != "":
		return wordToolOverdue.With(id, name, due)
	case !s.MayDecide():
		return wordToolUnknown.With(id, name)
	}
	return wordTool.With(id, name, due)
}

// usualTool is the instrument of the last reading at this feature, else the
// last one of this kind in the job, else the first that suits and reads in the
// size of the feature.
func (n *now) usualTool() string {
	k := n.asked
	for i := len(k.feature.Values) - 1; i >= 0; i-- {
		if id := k.feature.Values[i].Instrument; id != "" {
			return id
		}
	}
	for i := len(n.j.State.Values) - 1; i >= 0; i-- {
		for _, t := range k.tools {
			if t.id == n.j.State.Values[i].Instrument && t.standing.MayDecide() {
				return t.id
			}
		}
	}
	if len(k.tools) == 1 && k.tools[0].standing.MayDecide() {
		return k.tools[0].id
	}
	return ""
}

// lastValue finds the last value of the feature that stands.
func (n *now) lastValue() {
	values := n.asked.feature.Values
	if n.asked.again { // the one that stands at this place is the one in question
		for i := range values {
			if samePlace(&values[i], n.asked.place) {
				n.asked.last = &values[i]
			}
		}
		return
	}
	for i := range values {
		if n.asked.last == nil || values[i].Seq >= n.asked.last.Seq {
			n.asked.last = &values[i]
		}
	}
}

const feeler = "feeler gauge"

// form makes the form of the value.
func (n *now) form() {
	k := n.asked
	f := k.feature.Feature
	draft := "reading." + f.ID + "." + k.feature.State + "." + k.place.Plane
	if k.place.Around {
		draft += "." + strconv.FormatFloat(k.place.Angle, 'f', -1, 64)
	}
	fields := []part.Field{
		{Name: "t/feature", Kind: part.Hidden, Value: f.ID},
		{Name: "t/state", Kind: part.Hidden, Value: k.feature.State},
	}
	if k.place.Plane != "" {
		fields = append(fields, part.Field{Name: "t/values/0/plane", Kind: part.Hidden, Value: k.place.Plane})
	}
	if k.place.Around {
		fields = append(fields, part.Field{Name: "n/values/0/angle", Kind: part.Hidden, Value: strconv.FormatFloat(k.place.Angle, 'f', -1, 64)})
	}
	k.entry = n.v.EntryFor(n.j, job.KindReading, draft, nil, fields...)
	k.entry.Next = stepAddress(n.j, n.step.Step.ID)
	if n.asked.feature != nil && !n.readsFeature(f.ID) {
		k.entry.Next += "?feature=" + f.ID + "&state=" + k.feature.State + "&answer=yes"
	}
	k.field = part.Field{Name: "t/values/0/text", Word: wordValueOf.With(f.Name, placeWords(k.place)), Kind: part.Measure, Units: n.units(), First: true}
	if f.Instrument == feeler && n.v.URL.Query().Get("by") != "value" {
		k.leaves = leavesAround(f.Nominal, n.v.View.Inch(), limitOf(k.feature))
	}
}

func (n *now) readsFeature(id string) bool {
	for _, f := range n.reads {
		if f.Feature.ID == id {
			return true
		}
	}
	return false
}

// units are the unit keys: the one in which this feature was last written, or
// the person wrote last at this pump, comes first.
func (n *now) units() []string {
	k := n.asked
	if k.feature.Feature.RoleOf() == sheet.RoleSealFlatness {
		return []string{"light bands", "µm", "µin"}
	}
	d := k.feature.Feature.Dimension()
	list := n.v.View.UnitsFor(d)
	unit := ""
	if k.last != nil {
		unit = k.last.Value.Unit
	} else {
		for i := range n.j.State.Values { // as this person last wrote at this pump
			if v := &n.j.State.Values[i]; v.By == n.v.Visitor.Person && v.Value.Dimension == d {
				unit = v.Value.Unit
			}
		}
	}
	if i := slices.Index(list, unit); i > 0 {
		return append(append([]string{unit}, list[:i]...), list[i+1:]...)
	}
	return list
}

func limitOf(f *reading.Feature) float64 {
	if j := f.Governs(); j != nil && j.Max != nil && j.Max.Dimension == quantity.LengthDimension {
		return j.Max.SI
	}
	return 0
}

// figures of a value in words: new and limit.
func newAndLimit(j *frame.Job, f *reading.Feature) []say.Message {
	var list []say.Message
	if n := f.Feature.Nominal; n != nil {
		list = append(list, wordNew.With(reading.Estimate{Dimension: n.Dimension, Value: n.SI}))
	}
	if judged := f.Governs(); judged != nil {
		list = append(list, wordLimit.With(limitText(judged), compareText(judged)))
	}
	if w := &j.Assessment.Clearances.Window; w.Known && f.Feature.RoleOf() == sheet.RoleEndClearance {
		list = append(list, wordWanted.With(w.Low, w.High))
	}
	return list
}

// byLeaves reports whether leaves are asked for.
func (k *asked) byLeaves() bool { return len(k.leaves) > 0 }

// conflicts at a feature.
func (n *now) conflicts() []job.Conflict {
	if n.asked == nil {
		return nil
	}
	return conflictsOf(n.j, n.asked.feature.Feature.ID, n.asked.feature.State)
}

func conflictsOf(j *frame.Job, feature, state string) []job.Conflict {
	var list []job.Conflict
	for _, c := range j.State.Conflicts {
		if c.Place.Feature == feature && (state == "" || c.Place.State == state) && stands(j, c) {
			list = append(list, c)
		}
	}
	return list
}

// stands: a conflict is settled when one of its entries is voided.
func stands(j *frame.Job, c job.Conflict) bool {
	_, first := j.State.Voided[c.First.Ref]
	_, second := j.State.Voided[c.Second.Ref]
	return !first && !second
}

// answered lists the features of the step, and the one that was asked for,
// that have something to say; the one asked for first.
func (n *now) answered() []*reading.Feature {
	var list []*reading.Feature
	add := func(f *reading.Feature) {
		if f != nil && f.Mean != nil && !slices.Contains(list, f) {
			list = append(list, f)
		}
	}
	q := n.v.URL.Query()
	if n.asked != nil {
		add(n.asked.feature)
	} else if id := q.Get("feature"); id != "" {
		add(n.a.Readings.ByID(id, q.Get("state")))
	}
	for _, f := range n.reads {
		add(f)
	}
	for _, f := range slices.Clone(list) { // what is made of two features says more than either
		for _, other := range madeWith(n.a, f) {
			add(other)
		}
	}
	return list
}
