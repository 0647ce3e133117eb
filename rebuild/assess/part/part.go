package part

import (
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/sheet"
)

// Verdict is what becomes of a part.
type Verdict string

// Show prints the word in the language of a style.
func (v Verdict) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Verdict) Message() say.Message { return say.Word("part", string(v)) }

// The verdicts.
const (
	Reuse        Verdict = "reuse"
	Replace      Verdict = "replace"
	Rework       Verdict = "rework"
	MeasureAgain Verdict = "measure again"
	Engineering  Verdict = "engineering decision"
	NotMeasured  Verdict = "not yet measured"
)

// Inputs is what the chapter reads.
type Inputs struct {
	Sheet     *sheet.Sheet
	Readings  *reading.Chapter
	Decisions []job.Kept[job.Decision]
	Shop      *ledger.Shop // for the names of people; may be nil
	Outside   []job.Away   // work that left the shop
}

// Decision is what becomes of one part.
type Decision struct {
	Part     *sheet.Part
	Verdict  Verdict
	Advice   Verdict // what the readings say, before anybody decided
	Reasons  []say.Message
	Because  []*reading.Feature // the features that decided
	By       *job.Kept[job.Decision]
	Against  bool // somebody decided against the readings
	Settling string
	Missing  []*reading.Feature // features of the part that were not read
}

// Chapter is what becomes of every part.
type Chapter struct {
	Decisions []*Decision
	Warnings  []say.Message
	byID      map[string]*Decision
}

// Of returns the decision about a part, or nil.
func (c *Chapter) Of(id string) *Decision { return c.byID[id] }

// Replaced returns the parts that are replaced or reworked.
func (c *Chapter) Replaced() map[string]bool {
	set := map[string]bool{}
	for _, d := range c.Decisions {
		if d.Verdict == Replace || d.Verdict == Rework {
			set[d.Part.ID] = true
		}
	}
	return set
}

var (
	reasonPast     = say.Define("part.past", "{feature}: {number} against {limit} ({rank}); the chance that it still conforms is {chance:percent}")
	reasonGood     = say.Define("part.good", "{feature}: {number}, limit {limit} ({rank})")
	reasonUnclear  = say.Define("part.unclear", "{feature}: {number} is too near to {limit} ({rank}) to decide: chance that it conforms {chance:percent}")
	reasonSettles  = say.Define("part.settles", "a reading with a standard uncertainty of {u:length} or less would settle it")
	reasonPair     = say.Define("part.pair", "replaced together with {other}: they wear as a pair")
	reasonAlways   = say.Define("part.always", "renewed at every rebuild")
	reasonDisturb  = say.Define("part.disturbed", "disturbed when {other} comes off")
	reasonNoLimit  = say.Define("part.no_limit", "{feature}: {number}; no limit is known")
	reasonNotRead  = say.Define("part.not_read", "{feature} was not read yet")
	reasonNothing  = say.Define("part.nothing", "the sheet names nothing to measure: judge it by eye and write down the finding")
	reasonDecided  = say.Define("part.decided", "decided by {who}: {reason}")
	reasonBlocked  = say.Define("part.blocked", "{feature}: read with an instrument out of calibration")
	warnAgainst    = say.Define("part.against", "{part}: {decision} was decided against the readings, which say {advice}")
	warnAlways     = say.Define("part.against_always", "{part} is renewed at every rebuild; {who} decided otherwise ({decision}): {reason}")
	warnSplitPair  = say.Define("part.split_pair", "{part} is renewed and {other} is not: they wear as a pair, and the old one wears the new one out")
	wordNoReason   = say.Define("part.no_reason", "no reason was written")
	limitAtMost    = say.Define("part.at_most", "at most {max}")
	limitAtLeast   = say.Define("part.at_least", "at least {min}")
	limitBetween   = say.Define("part.between", "{min} to {max}")
	compareWorst   = say.Define("part.compare_worst", "worst place")
	compareMean    = say.Define("part.compare_mean", "mean")
	compareTaper   = say.Define("part.compare_taper", "taper")
	compareSpread  = say.Define("part.compare_spread", "spread")
	compareUnworn  = say.Define("part.compare_unworn", "loss below the unworn end")
	rankCustomer   = say.Define("part.rank_customer", "customer's limit")
	rankSite       = say.Define("part.rank_site", "site's limit")
	rankLead       = say.Define("part.rank_lead", "signed by a lead")
	rankMaker      = say.Define("part.rank_maker", "maker's limit")
	rankShop       = say.Define("part.rank_shop", "shop's own limit")
	rankThumb      = say.Define("part.rank_thumb", "rule of thumb")
	featureCompare = say.Define("part.feature_compare", "{feature}, {compare:message}")
)

// LimitText says what a limit is.
func LimitText(j *reading.Judged) say.Message {
	switch {
	case j.Min != nil && j.Max != nil:
		return limitBetween.With(shown(j, true), shown(j, false))
	case j.Max != nil:
		return limitAtMost.With(shown(j, false))
	}
	return limitAtLeast.With(shown(j, true))
}

// value shows a limit in the reader's units.
type value struct {
	e   *reading.Judged
	low bool
}

func shown(j *reading.Judged, low bool) say.Shower { return value{j, low} }

// Show prints the side of the limit.
func (v value) Show(s say.Style) string {
	e := v.e.Max
	if v.low {
		e = v.e.Min
	}
	return reading.Estimate{Dimension: e.Dimension, Value: e.SI}.Show(s)
}

// RankText says whose limit it is.
func RankText(rank string) say.Message {
	switch rank {
	case "customer":
		return rankCustomer.With()
	case "site":
		return rankSite.With()
	case "lead":
		return rankLead.With()
	case "shop":
		return rankShop.With()
	case "rule-of-thumb":
		return rankThumb.With()
	}
	return rankMaker.With()
}

// CompareText says which number met the limit.
func CompareText(compare string) say.Message {
	switch compare {
	case "mean":
		return compareMean.With()
	case "taper":
		return compareTaper.With()
	case "spread":
		return compareSpread.With()
	case "below-unworn":
		return compareUnworn.With()
	}
	return compareWorst.With()
}

// Assess makes the chapter.
func Assess(in Inputs) *Chapter {
	c := &Chapter{byID: map[string]*Decision{}}
	for i := range in.Sheet.Parts {
		d := &Decision{Part: &in.Sheet.Parts[i], Advice: NotMeasured}
		c.Decisions = append(c.Decisions, d)
		c.byID[d.Part.ID] = d
	}
	for _, d := range c.Decisions {
		d.advise(in)
	}
	c.pairs()
	c.disturbed()
	for _, d := range c.Decisions {
		d.Verdict = d.Advice
		d.decided(in, c)
		d.outside(in)
	}
	c.checkPairs()
	return c
}

// outside: a part that left the shop to be worked on is reworked, whatever was
// measured on it before; unless somebody decided otherwise.
func (d *Decision) outside(in Inputs) {
	if d.By != nil || d.Part.Always {
		return
	}
	for _, a := range in.Outside {
		if a.Sent.Body.Part == d.Part.ID {
			d.Verdict = Rework
			d.Reasons = append(d.Reasons, reasonOutside.With(a.Sent.Body.Work, a.Sent.Body.To))
			return
		}
	}
}

var reasonOutside = say.Define("part.outside", "sent out: {work}, with {to}; measured again on return")

// severity orders advice from the features of one part, worst first.
var severity = map[Verdict]int{Replace: 4, MeasureAgain: 3, NotMeasured: 2, Reuse: 1}

// advise reads the part's features as found; the worst of them decides.
func (d *Decision) advise(in Inputs) {
	if d.Part.Always {
		d.Advice = Replace
		d.Reasons = append(d.Reasons, reasonAlways.With())
		return
	}
	features := 0
	worst := Verdict("")
	for _, f := range in.Readings.Found {
		if f.Feature.Part != d.Part.ID || f.Feature.When == job.AsLeft {
			continue
		}
		if f.Feature.RoleOf() == sheet.RoleEndClearance { // set at assembly: it condemns no part
			continue
		}
		features++
		verdict, reason := adviceOf(f)
		if f.Survey == nil {
			d.Missing = append(d.Missing, f)
		}
		if severity[verdict] > severity[worst] {
			worst = verdict
			d.Because = nil
		}
		if verdict == worst {
			d.Because = append(d.Because, f)
		}
		d.Reasons = append(d.Reasons, reason...)
	}
	if features == 0 {
		d.Reasons = append(d.Reasons, reasonNothing.With())
		return
	}
	d.Advice = worst
}

func adviceOf(f *reading.Feature) (Verdict, []say.Message) {
	j := f.Governs()
	name := say.Plain(f.Feature.Name)
	if j != nil && j.Compare != "worst" {
		name = featureCompare.With(f.Feature.Name, CompareText(j.Compare))
	}
	switch f.Word {
	case reading.NotRead:
		return NotMeasured, []say.Message{reasonNotRead.With(f.Feature.Name)}
	case reading.NoLimit:
		return Reuse, []say.Message{reasonNoLimit.With(name, *f.Worst)}
	}
	if f.Blocked {
		return MeasureAgain, []say.Message{reasonBlocked.With(name)}
	}
	args := []any{name, j.Number, LimitText(j), RankText(j.Rank)}
	switch f.Word {
	case reading.PastLimit:
		return Replace, []say.Message{reasonPast.With(append(args, j.Decision.Probability)...)}
	case reading.Good:
		return Reuse, []say.Message{reasonGood.With(args...)}
	}
	reasons := []say.Message{reasonUnclear.With(append(args, j.Decision.Probability)...)}
	if j.Decision.SettlingU != nil && *j.Decision.SettlingU > 0.02*j.Number.U {
		reasons = append(reasons, reasonSettles.With(reading.Estimate{Dimension: j.Number.Dimension, Value: *j.Decision.SettlingU}))
	}
	return MeasureAgain, reasons
}

// pairs replaces what wears together.
func (c *Chapter) pairs() {
	var worn []*Decision
	for _, d := range c.Decisions {
		if d.Advice == Replace && !d.Part.Always {
			worn = append(worn, d)
		}
	}
	for _, d := range worn {
		for _, id := range d.Part.With {
			other := c.byID[id]
			if other == nil || other.Advice == Replace {
				continue
			}
			other.Advice = Replace
			other.Because = d.Because
			other.Reasons = append([]say.Message{reasonPair.With(d.Part.Name)}, other.Reasons...)
		}
	}
}

// disturbed renews what must be renewed when a part comes off. The head and
// the seal come off at every rebuild, so this holds for all parts.
func (c *Chapter) disturbed() {
	for _, d := range c.Decisions {
		for _, id := range d.Part.Disturbs {
			if other := c.byID[id]; other != nil && other.Advice != Replace {
				other.Advice = Replace
				other.Reasons = append([]say.Message{reasonDisturb.With(d.Part.Name)}, other.Reasons...)
			}
		}
	}
}

// decided lets what somebody has written stand.
func (d *Decision) decided(in Inputs, c *Chapter) {
	for i := len(in.Decisions) - 1; i >= 0; i-- {
		k := &in.Decisions[i]
		if k.Body.Part != d.Part.ID {
			continue
		}
		d.By = k
		d.Verdict = Verdict(k.Body.Decision)
		reason := say.Plain(k.Body.Reason)
		if k.Body.Reason == "" {
			reason = wordNoReason.With()
		}
		d.Reasons = append([]say.Message{reasonDecided.With(in.Shop.PersonName(k.By), reason)}, d.Reasons...)
		if d.Part.Always && d.Verdict != Replace {
			d.Against = true
			c.Warnings = append(c.Warnings, warnAlways.With(d.Part.Name, in.Shop.PersonName(k.By), string(d.Verdict), reason))
			return
		}
		if d.Verdict == Reuse && (d.Advice == Replace || d.Advice == MeasureAgain) {
			d.Against = true
			c.Warnings = append(c.Warnings, warnAgainst.With(d.Part.Name, d.Verdict, d.Advice))
		}
		return
	}
}

func (c *Chapter) checkPairs() {
	for _, d := range c.Decisions {
		if d.Verdict != Replace {
			continue
		}
		for _, id := range d.Part.With {
			if other := c.byID[id]; other != nil && other.Verdict == Reuse {
				c.Warnings = append(c.Warnings, warnSplitPair.With(d.Part.Name, other.Part.Name))
			}
		}
	}
}
