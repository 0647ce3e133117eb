// Package why is the place of a job that says why the pump failed: what was
// seen and measured, what speaks for and against each cause, the chain from
// cause to damage, and the look that tells most for its minutes. What is seen,
// or looked for and not there, the outcome of a check and the cause that
// somebody names are written down here.
package why

import (
	"math"
	"unicode"
	"unicode/utf8"

	"pumpwright/app/access"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/cause"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/knowledge"
)

// Place is the place.
func Place() frame.Place {
	return frame.Place{Routes: []frame.Route{{Pattern: "GET /job/{job}/why", Handle: show}}}
}

// How many causes stand open with all that speaks for and against them, how
// many more behind a tap, and how many looks are proposed.
const (
	open      = 3
	behind    = 6
	looks     = 4
	leastOpen = 0.03
)

// page is the page of one job.
type page struct {
	v      *frame.Visit
	j      *frame.Job
	c      *cause.Chapter
	asked  string // what was typed to find an item of evidence
	rows   []row
	found  map[string]*job.Kept[job.Finding] // last finding by item
	write  bool                              // may write findings
	decide bool                              // may name and confirm a cause
}

// row is one item of evidence to be ticked.
type row struct {
	*knowledge.Evidence
	place string
}

func show(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	base, err := knowledge.Embedded()
	if err != nil {
		return err
	}
	p := &page{v: v, j: j, c: j.Assessment.Cause(), asked: v.URL.Query().Get("q"), found: map[string]*job.Kept[job.Finding]{}}
	open := j.State.Closed == nil
	p.write, p.decide = open && v.Visitor.May(access.WriteBench), open && v.Visitor.May(access.Decide)
	for i := range j.State.Findings {
		p.found[j.State.Findings[i].Body.Evidence] = &j.State.Findings[i]
	}
	for _, e := range base.Find(p.asked) {
		p.rows = append(p.rows, row{e, base.Parts[e.Part]})
	}
	return v.Show(frame.Page{Title: wordWhy.With(), Job: j, Here: "why", Body: body(p)})
}

// shown are the causes that stand open, and those behind a tap.
func (p *page) shown() (first, more, rest []cause.Cause) {
	all := p.c.Causes
	n := 0
	for n < len(all) && n < open && (n == 0 || all[n].Probability >= leastOpen || all[n].Named != nil) {
		n++
	}
	m := min(n+behind, len(all))
	return all[:n], all[n:m], all[m:]
}

// look is the form that takes what a look has shown.
func (p *page) look(id, draft string) *part.Entry {
	e := p.v.EntryFor(p.j, job.KindFinding, draft+"."+id, nil, part.Field{Name: "t/evidence", Kind: part.Hidden, Value: id})
	e.Quiet = true
	return e
}

// ticked is the form in which an item is chosen from the list.
func (p *page) ticked() *part.Entry { return p.v.EntryFor(p.j, job.KindFinding, "why.finding", nil) }

// naming is the form that names a cause.
func (p *page) naming(id string) *part.Entry {
	e := p.v.EntryFor(p.j, job.KindCause, "why.cause."+id, nil,
		part.Field{Name: "t/cause", Kind: part.Hidden, Value: id},
		part.Field{Name: "t/note", Word: wordShows.With(), Kind: part.Line})
	e.Quiet = true
	return e
}

// takeBack is the form that takes a finding or a named cause back.
func (p *page) takeBack(ref string) *part.Entry {
	e := p.v.EntryFor(p.j, job.KindVoid, "why.void."+ref, wordTakeBack.With(),
		part.Field{Name: "t/entry", Kind: part.Hidden, Value: ref},
		part.Field{Name: "t/reason", Word: wordReason.With(), Kind: part.Line, Must: true})
	e.Quiet = true
	return e
}

// outcome is what was written down about the check that settles a cause.
func (p *page) outcome(c *cause.Cause) *job.Kept[job.Finding] { return p.found["K"+c.ID[1:]] }

// name is the name of an item of evidence, or of the check that settles a
// cause.
func (p *page) name(id string) say.Message {
	base, err := knowledge.Embedded()
	if err != nil {
		return say.Plain(id)
	}
	if e, err := base.Item(id); err == nil {
		return say.Known(e.Name)
	}
	if len(id) > 1 {
		if k, err := base.Cause("C" + id[1:]); err == nil {
			return wordCheckOf.With(say.Known(k.Name))
		}
	}
	return say.Plain(id)
}

func (p *page) partName(id string) string {
	if one := p.j.Assessment.Inputs.Sheet.Part(id); one != nil {
		return one.Name
	}
	return id
}

// standing says how an item stands in the list; empty when nobody looked.
func (p *page) standing(id string) say.Message {
	k := p.found[id]
	switch {
	case k == nil:
		return say.Message{}
	case k.Body.Absent:
		return wordAbsent.With()
	}
	return wordSeen.With()
}

// notes says what the ranking rests on.
func (p *page) notes() []say.Message {
	c := p.c
	var list []say.Message
	if len(c.Causes) == 0 {
		return list
	}
	if c.Hours != nil {
		list = append(list, wordHours.With(*c.Hours))
	} else {
		list = append(list, wordNoHours.With())
	}
	if c.Answer != nil {
		list = append(list, wordNone.With(c.Answer.None, c.Answer.Beyond))
	}
	if c.Learned > 0 {
		list = append(list, wordLearned.With(c.Learned))
	} else {
		list = append(list, wordNotLearned.With())
	}
	if c.Timed > 0 {
		list = append(list, wordTimed.With(c.Timed))
	}
	return list
}

func share(p float64) float64 { return 100 * p }

// hundredths rounds a number to two places for reading.
func hundredths(v float64) float64 { return math.Round(100*v) / 100 }

// sentence begins a text with a capital.
func sentence(text string) string {
	for i, r := range text {
		return string(unicode.ToUpper(r)) + text[i+utf8.RuneLen(r):]
	}
	return text
}
