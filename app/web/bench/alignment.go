package bench

import (
	"cmp"

	"pumpwright/app/web/part"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

// The ways in which an alignment is read, as entries name them.
const (
	byReverse = "reverse"
	byRimFace = "rim-face"
	byTool    = "tool"
	byFeet    = "feet"
)

// soloFeet is the step at which soft foot is read before anything is aligned.
const soloFeet = "return-base"

// way is one way to read an alignment.
type way struct {
	method  string
	word    say.Message
	address string
	here    bool
}

// ways are the ways to choose from at a step that reads alignment.
func (n *now) ways() []way {
	if n.step.Step.Records != job.KindAlignment || n.step.Step.ID == soloFeet {
		return nil
	}
	at := n.method()
	list := []way{{method: byReverse, word: wordByReverse.With()}, {method: byRimFace, word: wordByRimFace.With()}, {method: byTool, word: wordByTool.With()}}
	for i := range list {
		list[i].address = stepAddress(n.j, n.step.Step.ID) + "?by=" + list[i].method
		list[i].here = list[i].method == at
	}
	return list
}

// method is the way that is asked for: chosen, or as the last time.
func (n *now) method() string {
	if n.step.Step.ID == soloFeet {
		return byFeet
	}
	switch by := n.v.URL.Query().Get("by"); by {
	case byReverse, byRimFace, byTool:
		return by
	}
	if last := n.lastAlignment(); last != nil {
		return last.Method
	}
	return byReverse
}

// lastAlignment is what the sets so far have told, the later over the earlier;
// nil when there is none. Soft foot alone tells nothing of distances.
func (n *now) lastAlignment() *job.Alignment {
	var told *job.Alignment
	for _, kept := range n.j.State.Alignments {
		a, err := job.ReadAlignment(kept.Body)
		if err != nil || a.Method == byFeet {
			continue
		}
		if told != nil {
			d, before := &a.Dimensions, told.Dimensions
			d.FaceDiameter, d.Between = cmp.Or(d.FaceDiameter, before.FaceDiameter), cmp.Or(d.Between, before.Between)
			d.ToNearFoot, d.ToFarFoot = cmp.Or(d.ToNearFoot, before.ToNearFoot), cmp.Or(d.ToFarFoot, before.ToFarFoot)
			a.Sag, a.Instrument = cmp.Or(a.Sag, told.Sag), cmp.Or(a.Instrument, told.Instrument)
		}
		told = &a
	}
	return told
}

// alignment fills the form of an alignment entry. Distances, sag and
// instrument stay as they were.
func (n *now) alignment(e *part.Entry) *part.Entry {
	method, state := n.method(), job.AsLeft
	switch {
	case n.step.Step.BeforeLoss:
		state = job.AsFound
	case n.step.Step.Stage == "follow-up":
		state = "hot"
	}
	var last job.Alignment
	if a := n.lastAlignment(); a != nil {
		last = *a
	}
	e.Draft += "." + method
	e.Answers = n.j.Path("/answer")
	e.Fields = []part.Field{{Name: "t/state", Kind: part.Hidden, Value: state}, {Name: "t/method", Kind: part.Hidden, Value: method}}
	if method != byFeet {
		e.Groups = append(e.Groups, n.distances(method, last))
	}
	switch method {
	case byTool:
		e.Groups = append(e.Groups, n.reported())
	case byRimFace:
		e.Groups = append(e.Groups, n.clock("rim", wordRim.With()), n.clock("face", wordFace.With()))
	case byReverse:
		e.Groups = append(e.Groups, n.clock("stationary_rim", wordStationaryRim.With()), n.clock("movable_rim", wordMovableRim.With()))
	}
	if state != "hot" && !n.upright() {
		e.Groups = append(e.Groups, n.feet(method != byFeet))
	}
	if state == job.AsLeft && method != byFeet && !n.upright() {
		e.Groups = append(e.Groups, n.growth(last))
	}
	e.Groups = append(e.Groups, part.Group{Fields: []part.Field{n.gauge(last.Instrument), line("t/note", wordRemark)}})
	return e
}

// length is a field for a length, filled in with what was entered the last
// time.
func (n *now) length(name string, word say.Shower, last *quantity.Length) part.Field {
	f := part.Field{Name: name, Word: word, Kind: part.Measure, Units: n.v.View.LengthUnits()}
	if last != nil {
		f.Value = n.v.View.T(*last)
	}
	return f
}

func (n *now) distances(method string, last job.Alignment) part.Group {
	d := last.Dimensions
	g := part.Group{Word: wordDistances.With()}
	switch method {
	case byReverse:
		g.Fields = append(g.Fields, n.length("t/dimensions/between", wordBetween.With(), d.Between))
	case byRimFace:
		g.Fields = append(g.Fields, n.length("t/dimensions/face_diameter", wordFaceDiameter.With(), d.FaceDiameter))
	}
	if !n.upright() {
		g.Fields = append(g.Fields, n.length("t/dimensions/to_near_foot", wordNearFoot.With(), d.ToNearFoot), n.length("t/dimensions/to_far_foot", wordFarFoot.With(), d.ToFarFoot))
	}
	if method != byTool && !n.upright() {
		g.Fields = append(g.Fields, n.length("t/sag", wordSag.With(), last.Sag))
	}
	if method == byRimFace {
		bracket := part.Field{Name: "t/bracket", Word: wordBracket.With(), Kind: part.Choice, Value: last.Bracket, Options: []part.Option{
			{Value: "movable", Word: wordBracketMotor.With()}, {Value: "stationary", Word: wordBracketPump.With()}}}
		g.Fields = append(g.Fields, bracket)
	}
	return g
}

// clock is a group of the four readings of one dial.
func (n *now) clock(name string, word say.Shower) part.Group {
	g := part.Group{Word: word, Around: true, Units: n.v.View.LengthUnits(), Unit: "t/readings/" + name + "/*"}
	for _, at := range []struct {
		key  string
		word say.Template
	}{{"top", wordTop}, {"left", wordLeft}, {"right", wordRight}, {"bottom", wordBottom}} {
		g.Fields = append(g.Fields, part.Field{Name: "t/readings/" + name + "/" + at.key, Word: at.word.With(), Kind: part.Measure})
	}
	return g
}

// reported is what an instrument reports of its own accord.
func (n *now) reported() part.Group {
	angle := []string{"mm/m", "mils/10in", "mrad"}
	if n.v.View.Inch() {
		angle = []string{"mils/10in", "mm/m", "mrad"}
	}
	field := func(name string, word say.Template, units []string) part.Field {
		return part.Field{Name: "t/readings/" + name, Word: word.With(), Kind: part.Measure, Units: units}
	}
	return part.Group{Word: wordReported.With(), Help: wordReportedHelp.With(), Fields: []part.Field{
		field("offset_vertical", wordOffsetVertical, n.v.View.LengthUnits()), field("angle_vertical", wordAngleVertical, angle),
		field("offset_horizontal", wordOffsetHorizontal, n.v.View.LengthUnits()), field("angle_horizontal", wordAngleHorizontal, angle),
	}}
}

// feet are the rises of the four feet, each slackened alone.
func (n *now) feet(folded bool) part.Group {
	g := part.Group{Word: wordSoftFoot.With(), Help: wordSoftFootHelp.With(), Folded: folded, Square: true, Units: n.v.View.LengthUnits(), Unit: "t/soft_foot/*"}
	for _, at := range []struct {
		key  string
		word say.Template
	}{{"far_left", wordFarLeft}, {"far_right", wordFarRight}, {"near_left", wordNearLeft}, {"near_right", wordNearRight}} {
		g.Fields = append(g.Fields, part.Field{Name: "t/soft_foot/" + at.key, Word: at.word.With(), Kind: part.Measure})
	}
	return g
}

// growth is what rises between cold and running, and whether somebody has
// confirmed it.
func (n *now) growth(last job.Alignment) part.Group {
	g := part.Group{Word: wordGrowth.With(), Help: wordGrowthHelp.With(), Folded: true}
	warm := []string{"K", "°F"}
	for _, of := range []struct {
		key  string
		word say.Template
	}{{"near", wordGrowthNear}, {"far", wordGrowthFar}, {"stationary", wordGrowthPump}} {
		name := "t/growth_from/" + of.key + "/"
		g.Fields = append(g.Fields,
			part.Field{Name: name + "height", Word: wordGrowthHeight.With(of.word.With()), Kind: part.Measure, Units: n.v.View.LengthUnits()},
			part.Field{Name: name + "expansion", Word: wordGrowthExpansion.With(of.word.With()), Help: wordExpansionHelp.With(), Kind: part.Line},
			part.Field{Name: name + "warming", Word: wordGrowthWarming.With(of.word.With()), Kind: part.Measure, Units: warm})
	}
	confirmed := part.Field{Name: "b/growth_confirmed", Word: wordGrowthConfirmed.With(), Kind: part.Check}
	if last.GrowthConfirmed {
		confirmed.Value = "yes"
	}
	g.Fields = append(g.Fields, confirmed)
	return g
}

// gauge is the instrument that was used: a dial indicator, or a tool that
// reports.
func (n *now) gauge(last string) part.Field {
	f := part.Field{Name: "t/instrument", Word: wordWith.With(), Kind: part.Choice, Value: last, Options: []part.Option{{Value: "", Word: wordNoTool.With()}}}
	if shop := n.a.Inputs.Shop; shop != nil {
		for i := range shop.Instruments {
			in := &shop.Instruments[i]
			if in.Kind == "dial indicator" || in.Kind == "alignment tool" {
				f.Options = append(f.Options, part.Option{Value: in.ID, Word: instrumentWords(standing(in, n.a), in.ID, in.Name, in.Due)})
			}
		}
	}
	return f
}
