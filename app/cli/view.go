package cli

import (
	"strconv"
	"strings"
	"time"

	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
)

// view writes an assessment for people: sentences first, then tables.
type view struct {
	*page
	a      *assess.Assessment
	warned map[string]bool // cautions that stand in the section already
}

// all writes everything, in the order in which somebody at the bench asks.
func (v *view) all() {
	v.heading()
	v.stands()
	v.parts()
	v.clearances()
	v.setting()
	v.assembly()
	v.delivery()
	v.proof()
	v.cause()
	v.offer()
	v.missing()
	v.conflicts()
	v.warnings()
	v.blank()
	v.say(msgAbove.With())
}

var (
	msgJob       = say.Define("cli.job", "Job {number}: {what:list}.")
	msgJobNoName = say.Define("cli.job_unnamed", "The job has no opening entry: tag, serial number and owner are not known.")
	msgSays      = say.Define("cli.complaint", "Complaint: {complaint}.")
	msgModel     = say.Define("cli.model", "Model sheet {name}, version {version}. {entries:count|entry|entries}, judged for {day}.")
	msgInvented  = say.Define("cli.invented", "Invented: this pump, its people and its numbers do not exist.")
	wordTag      = say.Define("cli.tag", "tag {tag}")
	wordSerial   = say.Define("cli.serial", "serial number {serial}")
	msgAbove     = say.Define("cli.above", "The maker's manual, site rules and local codes stand above all of this. Nothing here clears a pump to run: people licensed to decide do.")
)

func (v *view) heading() {
	in := v.a.Inputs
	if in.Job.Open == nil {
		v.say(msgJobNoName.With())
	} else {
		o := in.Job.Open.Body
		var what []string
		if o.Tag != "" {
			what = append(what, wordTag.With(o.Tag).Text(v.style))
		}
		if o.Serial != "" {
			what = append(what, wordSerial.With(o.Serial).Text(v.style))
		}
		for _, text := range []string{o.Owner, o.Place} {
			if text != "" {
				what = append(what, text)
			}
		}
		v.say(msgJob.With(o.Job, what))
		if o.Complaint != "" {
			v.say(msgSays.With(o.Complaint))
		}
	}
	v.say(msgModel.With(in.Sheet.Name, in.Sheet.Version, in.Job.Count, say.Day(in.AsOf.UTC().Format(time.DateOnly))))
	if in.Sheet.Invented {
		v.say(msgInvented.With())
	}
}

var (
	headStands   = say.Define("cli.head_stands", "Where the job stands")
	msgStage     = say.Define("cli.stage", "Stage: {stage:message}. {done:number} of {all:count|step|steps} done.")
	msgNext      = say.Define("cli.next", "Next: {title:message} ({id}). {do:message}")
	msgNothing   = say.Define("cli.nothing_next", "Every step is done or passed over.")
	msgReadNow   = say.Define("cli.read_now", "To be read: {what}.")
	msgHoldNext  = say.Define("cli.hold_next", "Hold point: {who:list} must sign for: {for}.")
	msgFirst     = say.Define("cli.first", "Stop. This would be lost for ever: {steps:message}. Do it first, or write why it cannot be done.")
	msgHolds     = say.Define("cli.holds", "Not signed yet:")
	msgHold      = say.Define("cli.hold", "{title:message} ({id}): {for}; may sign: {who:list}")
	msgPassed    = say.Define("cli.passed", "Passed over:")
	msgPassedOne = say.Define("cli.passed_one", "{title:message} ({id}): {reason}")
)

func (v *view) stands() {
	c := v.a.Progress
	v.head(headStands.With())
	v.say(msgStage.With(c.Stage.Name(), float64(c.Done), len(c.Steps)))
	if c.Next == nil {
		v.say(msgNothing.With())
	} else {
		v.next(c.Next)
	}
	if len(c.Holds) > 0 {
		v.say(msgHolds.With())
		for _, s := range c.Holds {
			v.item("  - ", msgHold.With(s.Title, s.Step.ID, say.Known(s.Step.Hold.For), say.WordList("access", s.Step.Hold.Who)))
		}
	}
	if len(c.Skipped) > 0 {
		v.say(msgPassed.With())
		for _, s := range c.Skipped {
			v.item("  - ", msgPassedOne.With(s.Title, s.Step.ID, s.Reason))
		}
	}
}

func (v *view) next(s *progress.Step) {
	v.say(msgNext.With(s.Title, s.Step.ID, s.Do))
	for _, caution := range s.Caution {
		v.item("  ", msgCaution.With(caution))
	}
	if len(s.Lost) > 0 {
		titles := make([]say.Message, len(s.Lost))
		for i, l := range s.Lost {
			titles[i] = l.Title
		}
		v.item("  ", msgFirst.With(titles))
	}
	if len(s.Missing) > 0 {
		list := make([]string, len(s.Missing))
		for i, m := range s.Missing {
			list[i] = m.Feature.Name
		}
		v.item("  ", msgReadNow.With(names(list)))
	}
	if s.Step.Hold != nil {
		v.item("  ", msgHoldNext.With(say.WordList("access", s.Step.Hold.Who), say.Known(s.Step.Hold.For)))
	}
}

var (
	headParts   = say.Define("cli.head_parts", "Parts")
	msgReplace  = say.Define("cli.replace", "Replace for wear: {parts}.")
	msgAlways   = say.Define("cli.always", "Renew as at every rebuild: {parts}.")
	msgRework   = say.Define("cli.rework", "Rework: {parts}.")
	msgReuse    = say.Define("cli.reuse", "Reuse: {parts}.")
	msgAgain    = say.Define("cli.again", "Measure again before deciding: {parts}.")
	msgEngineer = say.Define("cli.engineering", "Left to an engineering decision: {parts}.")
	msgUnread   = say.Define("cli.unread", "Not yet measured: {parts}.")
	headPart    = say.Define("cli.head_part", "part")
	headVerdict = say.Define("cli.head_decision", "decision")
	headWhy     = say.Define("cli.head_why", "why")
)

func (v *view) parts() {
	v.head(headParts.With())
	groups := map[string][]string{}
	var rows [][]string
	for _, d := range v.a.Parts.Decisions {
		group := string(d.Verdict)
		if d.Part.Always && d.Verdict == part.Replace {
			group = "always"
		}
		groups[group] = append(groups[group], d.Part.Name)
		rows = append(rows, []string{d.Part.Name, d.Verdict.Show(v.style), strings.Join(say.Texts(d.Reasons, v.style), "\n")})
	}
	for _, g := range []struct {
		name  string
		words say.Template
	}{
		{string(part.Replace), msgReplace}, {string(part.Rework), msgRework}, {string(part.MeasureAgain), msgAgain},
		{string(part.Engineering), msgEngineer}, {string(part.NotMeasured), msgUnread}, {string(part.Reuse), msgReuse}, {"always", msgAlways},
	} {
		if list := groups[g.name]; len(list) > 0 {
			v.say(g.words.With(names(list)))
		}
	}
	v.blank()
	v.table("", []say.Message{headPart.With(), headVerdict.With(), headWhy.With()}, rows)
}

var (
	headMissing = say.Define("cli.head_missing", "Still to be read, in the order of the bench")
	headStep    = say.Define("cli.head_step", "step")
	headFeature = say.Define("cli.head_feature", "feature")
	headState   = say.Define("cli.head_state", "state")
	headPlaces  = say.Define("cli.head_places", "places")
	wordOnce    = say.Define("cli.once", "once")
)

func (v *view) missing() {
	list := v.a.Progress.Missing
	if len(list) == 0 {
		return
	}
	v.head(headMissing.With())
	var rows [][]string
	for _, m := range list {
		rows = append(rows, []string{m.Step, m.Feature.Name + " (" + m.Feature.ID + ")", m.State, v.places(m.Places)})
	}
	v.table("", []say.Message{headStep.With(), headFeature.With(), headState.With(), headPlaces.With()}, rows)
}

// places names places with the angles of a plane together: A/0,90; B/0.
func (v *view) places(places []reading.PlaceName) string {
	var parts []string
	plane := "\x00"
	for _, p := range places {
		switch {
		case !p.Around && p.Plane == "":
			parts = append(parts, wordOnce.With().Text(v.style))
		case !p.Around:
			parts = append(parts, p.Plane)
		case p.Plane == plane:
			parts[len(parts)-1] += "," + angleText(p.Angle)
		default:
			parts = append(parts, p.Plane+"/"+angleText(p.Angle))
		}
		plane = p.Plane
	}
	return strings.Join(parts, "; ")
}

func angleText(degrees float64) string { return strconv.FormatFloat(degrees, 'f', -1, 64) }

var (
	headConflicts = say.Define("cli.head_conflicts", "To be settled")
	msgConflict   = say.Define("cli.conflict", "{feature} ({state}{place}): {first} by {one} (entry {n}) and {second} by {two} (entry {m}); neither had seen the other's. The later one counts until one of them is voided.")
)

func (v *view) conflicts() {
	a := v.a
	if len(a.Conflicts)+len(a.Troubles) == 0 {
		return
	}
	v.head(headConflicts.With())
	for _, c := range a.Conflicts {
		v.item("- ", msgConflict.With(c.Place.Feature, c.Place.State, placeText(c.Place), c.FirstText, a.Inputs.Shop.PersonName(c.First.By), numberText(c.First.Seq),
			c.SecondText, a.Inputs.Shop.PersonName(c.Second.By), numberText(c.Second.Seq)))
	}
	for _, t := range a.Troubles {
		v.item("- ", msgTrouble.With(int(t.Seq), t.Kind, t.Message))
	}
}

func placeText(p job.Place) string {
	text := ""
	if p.Plane != "" || p.Around {
		text = ", " + p.Plane
	}
	if p.Around {
		text += "/" + angleText(p.Angle)
	}
	return text
}

var headWarnings = say.Define("cli.head_warnings", "Warnings")

func (v *view) warnings() {
	if len(v.a.Warnings) == 0 {
		return
	}
	v.head(headWarnings.With())
	for _, w := range v.a.Warnings {
		v.item("- ", w)
	}
}
