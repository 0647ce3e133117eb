package cause

import (
	"sort"
	"strings"

	"pumpwright/calc/diagnose"
	"pumpwright/calc/liquid"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/assembly"
	"pumpwright/rebuild/assess/clearance"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/knowledge"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet      *sheet.Sheet
	Service    *sheet.Service // nil when not known
	Liquid     *liquid.Liquid // nil when not known
	State      *job.State
	Sides      sides.Sides // where suction is
	Readings   *reading.Chapter
	Clearances *clearance.Chapter
	Alignment  *assembly.Alignment // as found; nil when none was taken
	Base       *knowledge.Base     // nil: the knowledge that comes with the program
	Hours      *float64            // running hours since the last rebuild, where the machine's history has them
	Confirmed  map[string]int      // confirmed causes of the shop's finished jobs, by id
	Times      ledger.TimesOf      // how long the pumps of these jobs had run, where it is known
}

// Chapter is why the pump failed, as far as it can be told.
type Chapter struct {
	Causes    []Cause           // most likely first
	Facts     []Fact            // what was measured and counts
	Undecided []say.Message     // what was measured and says nothing
	Standing  []Condition       // what let it happen: shown, never scored
	Next      []Check           // looks not taken, most information for a minute first
	Conflicts []say.Message     // what cannot be true together
	NotScored []say.Message     // findings that others explain or tell already
	Certainty say.Message       // how far the first cause may be relied on
	Level     string            // open, possible, likely
	Hours     *float64          // since the last rebuild
	Spoiled   []say.Message     // evidence that was washed, mixed or lost
	Codes     []Code            // ISO 14224:2016, mechanisms that the findings show
	Confirmed []string          // causes that somebody confirmed
	Learned   int               // finished jobs of the shop that weigh in
	Timed     int               // finished jobs whose time in service weighs in
	Answer    *knowledge.Answer // nil when nothing was found or measured
	Warnings  []say.Message

	base  *knowledge.Base
	facts map[string]*Fact
}

// Cause is one cause with what speaks for and against it.
type Cause struct {
	*knowledge.Cause
	Probability float64 // chance that it began the failure; a ranking aid, no frequency
	For         []Reason
	Against     []Reason
	Chain       []Link // what it brought about, as far as it shows
	Standing    []Condition
	Named       *job.Kept[job.Cause] // somebody wrote it down
}

// Direct names what shows the cause itself, before its consequences.
func (c *Cause) Direct() []string {
	var names []string
	for _, r := range c.For {
		if r.Through == "" && !r.Absent {
			names = append(names, r.Name)
		}
	}
	return names
}

// Reason is one thing that speaks for or against a cause.
type Reason struct {
	Item     string
	Name     string
	Text     say.Message
	Absent   bool
	Measured *Fact    // nil for what a person saw
	Factor   float64  // on the odds of the cause
	Through  string   // name of the consequence by way of which it speaks
	Also     []string // further findings of the same fact
}

// Short says the reason without the numbers behind it.
func (r Reason) Short() say.Message {
	switch {
	case r.Measured != nil && r.Absent:
		return textShortNot.With(say.Known(r.Name))
	case r.Measured != nil:
		return textShort.With(say.Known(r.Name))
	}
	return r.Text
}

// Link is a consequence of a cause with what shows it.
type Link struct {
	Cause *knowledge.Cause
	After *knowledge.Cause // the link before: the cause, or another consequence
	Reach float64          // chance that the cause brings it about
	Shows []string         // empty for a link that only leads on
}

// Condition is a standing condition with how it is known.
type Condition struct {
	ID, Name string
	Why      say.Message
}

// Check is a look worth taking.
type Check struct {
	knowledge.Look
	Bits   float64 // expected information
	Rate   float64 // bits for each minute
	Chance float64 // that it will be found
}

// Code is a code of ISO 14224:2016, table B.2.
type Code struct {
	Code, Meaning string
	Items         []string
}

var (
	msgUnread     = say.Define("cause.running_unread", "a reading of the running pump could not be used: {reason}")
	msgUnknown    = say.Define("cause.unknown", "a finding was left out: {reason}")
	msgNothing    = say.Define("cause.nothing", "nothing was found or measured yet that could tell a cause")
	msgJudged     = say.Define("cause.judged", "the strengths behind this are a compiler's judgement, not measured: a ranking aid, no frequency")
	msgWashed     = say.Define("cause.washed", "{evidence}: seen only after it was washed or mixed")
	msgMixedStack = say.Define("cause.mixed_stack", "pieces or order of the old stack were lost")
	msgOpen       = say.Define("cause.certainty_open", "open: several causes are as likely")
	msgPossible   = say.Define("cause.certainty_possible", "possible: ahead of the others, not proved")
	msgLikely     = say.Define("cause.certainty_likely", "likely: well ahead, at least two independent facts speak for it")
	msgCapped     = say.Define("cause.certainty_capped", "possible at most: evidence was washed, mixed or lost")
	msgOwn        = say.Define("cause.own", "{item} ({name}) is written down as found and as absent")
	msgPair       = say.Define("cause.pair", "{first} and {second} cannot both be true of one part")
	msgAgainst    = say.Define("cause.against_reading", "{name}: written down as {written:message}, the readings say {read:message} ({text:message}); the readings count")
	msgTold       = say.Define("cause.told", "{name}: explained or told already by what else was found")
	msgTimed      = say.Define("cause.timed", "the time in service is weighed with {n:count|finished job|finished jobs} of the shop whose time is known")
	msgLearned    = say.Define("cause.learned", "weighed with {n:count|confirmed cause|confirmed causes} of the shop's finished jobs")
	msgAgainstTop = say.Define("cause.wrong_name", "{name} was written down as the cause; by what was found and measured its chance is {chance:percent}")
	wordFound     = say.Define("cause.found", "found")
	wordAbsent    = say.Define("cause.absent", "not there")
	textFound     = say.Define("cause.reason_found", "{name}")
	textAbsent    = say.Define("cause.reason_absent", "looked for and not there: {name}")
	textMeasured  = say.Define("cause.reason_measured", "{name} (measured: {text:message}; {why:message})")
	textNot       = say.Define("cause.reason_measured_absent", "measured and not there: {name} ({text:message}; {why:message})")
	textShort     = say.Define("cause.reason_short", "{name} (measured)")
	textShortNot  = say.Define("cause.reason_short_absent", "measured and not there: {name}")
	textOwn       = say.Define("cause.reason_confirm", "the check that settles “{name}”")
)

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{base: in.Base, Hours: in.Hours, facts: map[string]*Fact{}}
	if c.base == nil {
		base, err := knowledge.Embedded()
		if err != nil {
			c.Warnings = append(c.Warnings, say.Plain(err.Error()))
			return c
		}
		c.base = base
	}
	if c.Hours == nil && in.State.Open != nil {
		c.Hours = in.State.Open.Body.Hours
	}
	c.measure(in)
	q := c.question(in)
	if len(q.Found)+len(q.Absent) == 0 && q.Hours == nil {
		c.Warnings = append(c.Warnings, msgNothing.With())
		return c
	}
	answer, err := c.base.Diagnose(q)
	if err != nil {
		c.Warnings = append(c.Warnings, msgUnknown.With(err))
		return c
	}
	c.Answer = answer
	c.read(in)
	return c
}

// measure collects the facts, the strongest of each item.
func (c *Chapter) measure(in Inputs) {
	d := &detector{in: in, chapter: c}
	d.wear()
	d.clearance()
	d.plan()
	d.atSite()
	c.Undecided = d.undecided
	best := map[string]int{}
	for _, f := range d.facts {
		at, there := best[f.Item]
		switch {
		case !there:
			best[f.Item] = len(c.Facts)
			c.Facts = append(c.Facts, f)
		case f.Found && !c.Facts[at].Found || f.Found == c.Facts[at].Found && f.Strength > c.Facts[at].Strength:
			c.Facts[at] = f
		}
	}
	for i := range c.Facts {
		f := &c.Facts[i]
		f.Name = c.name(f.Item)
		c.facts[f.Item] = f
	}
}

// evidence returns an item of evidence, nil for a confirming check. (The
// refusal of an unknown id looks for near ones, which takes its time.)
func (c *Chapter) evidence(id string) *knowledge.Evidence {
	if strings.HasPrefix(id, "K") {
		return nil
	}
	e, err := c.base.Item(id)
	if err != nil {
		return nil
	}
	return e
}

// name is the name of an item of evidence, or of the cause whose confirming
// check it is.
func (c *Chapter) name(item string) string {
	if e := c.evidence(item); e != nil {
		return e.Name
	}
	if len(item) > 1 {
		if k, err := c.base.Cause("C" + item[1:]); err == nil {
			return textOwn.With(k.Name).String()
		}
	}
	return item
}

// question joins what was measured with what people wrote down.
func (c *Chapter) question(in Inputs) knowledge.Question {
	q := knowledge.Question{Hours: c.Hours}
	q.Weights, c.Learned = c.learned(in.Confirmed)
	if c.Hours != nil {
		c.Timed = in.Times.Jobs()
		q.Times, q.Band = in.Times, ledger.TimeBand(*c.Hours)
	}
	for i := range c.Facts {
		if f := &c.Facts[i]; f.Found {
			q.Found = append(q.Found, knowledge.Finding{ID: f.Item, Strength: f.Strength})
		} else {
			q.Absent = append(q.Absent, f.Item)
		}
	}
	for _, k := range in.State.Findings {
		c.finding(k.Body, &q)
	}
	for _, k := range in.State.Causes {
		if !k.Body.Confirmed {
			continue
		}
		if _, err := c.base.Cause(k.Body.Cause); err != nil {
			c.Warnings = append(c.Warnings, msgUnknown.With(err))
			continue
		}
		c.Confirmed = append(c.Confirmed, k.Body.Cause)
		q.Found = append(q.Found, knowledge.Finding{ID: "K" + k.Body.Cause[1:], Strength: 1})
	}
	if n := len(in.State.Stacks); n > 0 && in.State.Stacks[n-1].Body.Mixed {
		c.Spoiled = append(c.Spoiled, msgMixedStack.With())
	}
	q.Spoiled = len(c.Spoiled) > 0
	for _, s := range c.Standing {
		q.Conditions = append(q.Conditions, s.ID)
	}
	return q
}

// finding takes one written finding. What the readings say otherwise is shown
// and not counted.
func (c *Chapter) finding(f job.Finding, q *knowledge.Question) {
	if !c.knows(f.Evidence) {
		_, err := c.base.Item(f.Evidence)
		c.Warnings = append(c.Warnings, msgUnknown.With(err))
		return
	}
	name := c.name(f.Evidence)
	if f.Washed {
		c.Spoiled = append(c.Spoiled, msgWashed.With(name))
	}
	if fact := c.facts[f.Evidence]; fact != nil {
		if fact.Found == f.Absent {
			c.Conflicts = append(c.Conflicts, msgAgainst.With(name, word(!f.Absent), word(fact.Found), fact.Text))
			return
		}
	}
	if f.Absent {
		q.Absent = append(q.Absent, f.Evidence)
		return
	}
	strength := f.Strength
	if !(strength > 0 && strength <= 1) {
		strength = 0 // as seen by eye
	}
	q.Found = append(q.Found, knowledge.Finding{ID: f.Evidence, Strength: strength})
}

// knows reports whether an id is that of an item or of a confirming check.
func (c *Chapter) knows(id string) bool {
	if c.evidence(id) != nil {
		return true
	}
	if len(id) < 2 || id[0] != 'K' {
		return false
	}
	_, err := c.base.Cause("C" + id[1:])
	return err == nil
}

func word(found bool) say.Message {
	if found {
		return wordFound.With()
	}
	return wordAbsent.With()
}

// read turns the answer into words.
func (c *Chapter) read(in Inputs) {
	a := c.Answer
	named := map[string]*job.Kept[job.Cause]{}
	for i := range in.State.Causes {
		named[in.State.Causes[i].Body.Cause] = &in.State.Causes[i]
	}
	for _, r := range a.Ranked {
		k := &c.base.Causes[r.Cause]
		one := Cause{Cause: k, Probability: r.Probability, For: c.reasons(r, r.For), Against: c.reasons(r, r.Against), Named: named[k.ID]}
		for _, s := range a.Conditions[k.ID] {
			one.Standing = append(one.Standing, c.standing(s.ID))
		}
		c.Causes = append(c.Causes, one)
	}
	for i := range c.Causes[:min(chained, len(c.Causes))] {
		c.Causes[i].Chain = c.chain(c.Causes[i].Cause, a.Chains(a.Ranked[i].Cause))
	}
	for _, k := range a.Checks {
		if look := c.base.Look(k.Item); look.Settles == "" && !fits(c.evidence(look.ID), in.Sheet.Build) {
			continue
		}
		c.Next = append(c.Next, Check{Look: c.base.Look(k.Item), Bits: k.Bits, Rate: k.Rate, Chance: k.Found})
	}
	for _, k := range a.Conflicts {
		x, y := c.base.Look(k.A), c.base.Look(k.B)
		if k.A == k.B {
			c.Conflicts = append(c.Conflicts, msgOwn.With(x.ID, say.Known(x.Name)))
			continue
		}
		c.Conflicts = append(c.Conflicts, msgPair.With(say.Known(x.Name), say.Known(y.Name)))
	}
	for _, item := range a.NotScored {
		c.NotScored = append(c.NotScored, msgTold.With(c.base.Look(item).Name))
	}
	c.certainty()
	c.codes(in)
	c.Warnings = append(c.Warnings, msgJudged.With())
	if c.Learned > 0 {
		c.Warnings = append(c.Warnings, msgLearned.With(c.Learned))
	}
	if c.Timed > 0 {
		c.Warnings = append(c.Warnings, msgTimed.With(c.Timed))
	}
	c.checkNamed()
}

// leastReach is the chance from which a consequence is shown as one: at most
// two links away.
const leastReach = 0.2

// chained is for how many causes the chain to the damage is worked out.
const chained = 5

// chain puts the consequences of a cause that show in the order in which they
// come about, with the links between them.
func (c *Chapter) chain(from *knowledge.Cause, found []diagnose.Chain) []Link {
	shown := map[string]diagnose.Chain{}
	for _, l := range found {
		if l.Reach >= leastReach {
			shown[c.base.Causes[l.Consequence].ID] = l
		}
	}
	after := map[string]*knowledge.Cause{from.ID: nil}
	order := []*knowledge.Cause{from}
	for i := 0; i < len(order); i++ { // the nearest first
		for _, id := range order[i].LeadsTo {
			if _, known := after[id]; known {
				continue
			}
			next, err := c.base.Cause(id)
			if err != nil {
				continue // the base has looked at it
			}
			after[id] = order[i]
			order = append(order, next)
		}
	}
	wanted := map[string]bool{}
	for id := range shown {
		for k, there := after[id]; there && k != nil; k, there = after[id] {
			wanted[id], id = true, k.ID
		}
	}
	var chain []Link
	for _, k := range order[1:] {
		if wanted[k.ID] {
			l := shown[k.ID]
			chain = append(chain, Link{Cause: k, After: after[k.ID], Reach: l.Reach, Shows: c.names(l.Items)})
		}
	}
	return chain
}

func (c *Chapter) certainty() {
	c.Level = c.Answer.Certainty.String()
	switch {
	case c.Answer.Certainty == diagnose.Open:
		c.Certainty = msgOpen.With()
	case len(c.Spoiled) > 0:
		c.Certainty = msgCapped.With()
	case c.Answer.Certainty == diagnose.Likely:
		c.Certainty = msgLikely.With()
	default:
		c.Certainty = msgPossible.With()
	}
}

// unlikelyNamed is below which chance a cause that somebody named is said to
// lack support. Our own convention.
const unlikelyNamed = 0.05

func (c *Chapter) checkNamed() {
	for _, k := range c.Causes {
		if k.Named != nil && k.Probability < unlikelyNamed {
			c.Warnings = append(c.Warnings, msgAgainstTop.With(say.Known(k.Name), k.Probability))
		}
	}
}

func (c *Chapter) names(items []int) []string {
	list := make([]string, len(items))
	for i, item := range items {
		list[i] = c.name(c.base.Look(item).ID)
	}
	return list
}

func (c *Chapter) reasons(r diagnose.Ranked, list []diagnose.Reason) []Reason {
	reasons := make([]Reason, 0, len(list))
	for _, k := range list {
		item := c.base.Look(k.Item).ID
		one := Reason{Item: item, Name: c.name(item), Absent: k.State == diagnose.Absent, Measured: c.facts[item], Factor: k.Ratio, Also: c.names(k.Also)}
		if k.Through != r.Cause {
			one.Through = c.base.Causes[k.Through].Name
		}
		name := say.Known(one.Name)
		switch {
		case one.Measured != nil && one.Absent:
			one.Text = textNot.With(name, one.Measured.Text, one.Measured.Why)
		case one.Measured != nil:
			one.Text = textMeasured.With(name, one.Measured.Text, one.Measured.Why)
		case one.Absent:
			one.Text = textAbsent.With(name)
		default:
			one.Text = textFound.With(name)
		}
		reasons = append(reasons, one)
	}
	return reasons
}

func (c *Chapter) standing(id string) Condition {
	for _, s := range c.Standing {
		if s.ID == id {
			return s
		}
	}
	return Condition{ID: id}
}

// codes collects the mechanism codes of the items that were found.
func (c *Chapter) codes(in Inputs) {
	at := map[string]int{}
	add := func(item string) {
		e := c.evidence(item)
		if e == nil || e.ISO == "" {
			return
		}
		i, there := at[e.ISO]
		if !there {
			i = len(c.Codes)
			at[e.ISO] = i
			c.Codes = append(c.Codes, Code{Code: e.ISO, Meaning: c.base.Codes.Mechanisms[e.ISO]})
		}
		for _, known := range c.Codes[i].Items {
			if known == e.Name {
				return
			}
		}
		c.Codes[i].Items = append(c.Codes[i].Items, e.Name)
	}
	for _, f := range c.Facts {
		if f.Found {
			add(f.Item)
		}
	}
	for _, k := range in.State.Findings {
		if !k.Body.Absent {
			add(k.Body.Evidence)
		}
	}
	sort.SliceStable(c.Codes, func(a, b int) bool { return c.Codes[a].Code < c.Codes[b].Code })
}

// fits tells whether an item of evidence can show on a pump of this build.
func fits(e *knowledge.Evidence, b sheet.Build) bool {
	switch e.ID {
	case "E31", "E32":
		return b.ShaftSeal == "packing"
	case "E33", "E34", "E35":
		return b.ShaftSeal == "lip"
	case "E39", "E40":
		return b.IdlerBushing == "carbon"
	case "E41":
		return b.IdlerBushing == "bronze"
	}
	switch e.Part {
	case "faces", "rings", "drive":
		return b.ShaftSeal != "packing" && b.ShaftSeal != "lip"
	case "bushing":
		return b.IdlerBushing != "none"
	case "bracket":
		return b.BracketBushing != "none"
	case "relief":
		return b.ReliefValve != "none"
	}
	return true
}

// First returns the most likely cause, or nil when nothing can be told.
func (c *Chapter) First() *Cause {
	if len(c.Causes) == 0 {
		return nil
	}
	return &c.Causes[0]
}

// Looks returns the next looks at the bench, without the confirming checks of
// single causes, which often need the site or a laboratory.
func (c *Chapter) Looks(most int) []Check {
	var list []Check
	for _, k := range c.Next {
		if k.Settles == "" && len(list) < most {
			list = append(list, k)
		}
	}
	return list
}
