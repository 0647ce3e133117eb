package quote

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"pumpwright/app/access"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/calc/cover"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/offer"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

// aim is a choice of parts that a quote can be made for.
type aim struct {
	*offer.Plan
	advised bool
	best    []string // what it is best for
}

// words says what the choice costs, when it is there and what is left over.
func (a aim) words() say.Message {
	m := wordAtOnce.With(a.Price, a.best)
	if a.Lead > 0 {
		m = wordBestFor.With(a.Price, a.Lead.SI()/86400, a.best)
	}
	if a.Waiting.Amount() > 0 {
		m = wordWaiting.With(m, a.Total)
	}
	if len(a.LeftOver) > 0 {
		return wordLeft.With(m, a.LeftOver)
	}
	return wordNoOver.With(m)
}

// spare is how many empty rows a draft has for what somebody adds.
const spare = 2

// form is a quote before it is offered, as it stands in its fields.
type form struct {
	v        *frame.Visit
	j        *frame.Job
	quote    job.Quote
	fields   url.Values // as typed, nil for a fresh draft
	lines    int        // rows of lines
	warnings []say.Message
	problem  *say.Problem
	ask      []say.Message
	id       string
}

func draft(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	q := v.URL.Query()
	f := &form{v: v, j: j, id: frame.NewID()}
	f.quote, f.warnings, err = v.Shop.DraftQuote(v.Context(), v.Visitor.Scope, j.Name, offer.Asked{Step: q.Get("step"), Aim: cover.Aim(q.Get("aim"))})
	if problem := frame.Refusal(err); problem != nil {
		return (&page{v: v, problem: problem}).show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	f.lines = len(f.quote.Lines) + spare
	return f.show(http.StatusOK)
}

func (f *form) show(status int) error {
	return f.v.Show(frame.Page{Title: wordNew.With(f.quote.Number), Job: f.j, Here: "quote", Plain: true, Status: status, Body: draftBody(f)})
}

// typed returns a field as it was typed, else what the draft says.
func (f *form) typed(name, fresh string) string {
	if f.fields != nil {
		return f.fields.Get(name)
	}
	return fresh
}

func (f *form) line(i int) job.QuoteLine {
	if i < len(f.quote.Lines) {
		return f.quote.Lines[i]
	}
	return job.QuoteLine{}
}

func number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}

func count(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}

func readCount(text string) (int, error) {
	n, err := strconv.Atoi(strings.TrimSpace(text))
	if err != nil {
		return 0, say.Refuse("count", text, msgCount.With(), say.Message{})
	}
	return n, nil
}

func moveOf(item string, n int, name string) ledger.StockMove {
	return ledger.StockMove{Item: item, Count: n, Job: name}
}

// offerIt reads the fields and keeps the quote as an entry.
func offerIt(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	if err := v.ParseForm(); err != nil {
		return err
	}
	if !v.Visitor.May(access.Quote) { // the shop says who may
		_, _, err := v.Shop.DraftQuote(v.Context(), v.Visitor.Scope, j.Name, offer.Asked{})
		return err
	}
	f := &form{v: v, j: j, fields: v.PostForm, id: v.PostForm.Get("id")}
	f.lines, _ = strconv.Atoi(v.PostForm.Get("rows"))
	f.lines = min(max(f.lines, spare), mostLines)
	err = f.read()
	var taken *shop.Answer
	if err == nil {
		var body []byte
		if body, err = record.CanonicalOf(f.quote); err == nil {
			taken, err = v.Shop.Add(v.Context(), v.Visitor.Scope, j.Name, shop.NewEntry{ID: f.id, Kind: job.KindQuote, Body: body, Seen: j.Head})
		}
	}
	if f.problem = frame.Refusal(err); f.problem != nil {
		return f.show(http.StatusUnprocessableEntity)
	}
	if err != nil {
		return err
	}
	if !taken.Kept {
		f.ask = taken.Warnings
		return f.show(http.StatusUnprocessableEntity)
	}
	return v.Go(j.Path("/quote/" + url.PathEscape(f.quote.Number)))
}

// mostLines bounds a form against one made up.
const mostLines = 100

// read makes the quote of the fields. Rows that stay empty, or are ticked to be
// left out, are not in it.
func (f *form) read() error {
	get := func(name string) string { return strings.TrimSpace(f.fields.Get(name)) }
	q := job.Quote{Number: get("number"), Step: get("step"), Status: job.QuoteOffered, Currency: get("currency"), ValidUntil: get("valid_until"), Note: get("note")}
	f.quote = q
	for i := range f.lines {
		at := "lines[" + strconv.Itoa(i) + "]"
		what, price := get(at+".what"), get(at+".price")
		if what+price == "" || get(at+".out") != "" {
			continue
		}
		if what == "" {
			return say.Refuse(at+".what", "", msgWhat.With(), say.Message{})
		}
		line := job.QuoteLine{What: what, Count: 1, Why: get(at + ".why"), Outside: get(at+".outside") != ""}
		var err error
		if line.Price, err = readMoney(at+".price", price); err != nil {
			return err
		}
		if text := get(at + ".count"); text != "" {
			if line.Count, err = readCount(text); err != nil {
				return say.In(strings.TrimSuffix(at, "."), err)
			}
		}
		q.Lines = append(q.Lines, line)
	}
	for _, stage := range procedure.Stages() {
		at := "labour." + string(stage)
		hours := get(at + ".hours")
		if hours == "" || get(at+".out") != "" {
			continue
		}
		l := job.QuoteLabour{Stage: string(stage)}
		var err error
		if l.Hours, err = readMoney(at+".hours", hours); err == nil {
			l.Rate, err = readMoney(at+".rate", get(at+".rate"))
		}
		if err != nil {
			return err
		}
		if l.Hours > 0 {
			q.Labour = append(q.Labour, l)
		}
	}
	for name, into := range map[string]**float64{"teardown_fee": &q.TeardownFee, "unclaimed_days": &q.Unclaimed} {
		if text := get(name); text != "" {
			n, err := readMoney(name, text)
			if err != nil {
				return err
			}
			*into = &n
		}
	}
	if len(q.Lines)+len(q.Labour) > 0 {
		total := q.Sum()
		q.Total = &total
	}
	f.quote = q
	return nil
}

func readMoney(field, text string) (float64, error) {
	n, err := quantity.ReadNumber(text)
	if err != nil {
		return 0, say.Refuse(field, text, msgNumber.With(), msgNumberAs.With())
	}
	return n, nil
}

// stageRow is the labour of one stage as it stands in the form.
type stageRow struct {
	at, hours, rate string
	name            say.Message
}

// stages are the stages with hours, of the draft or as typed.
func stages(f *form) []stageRow {
	var list []stageRow
	if f.fields == nil {
		for _, l := range f.quote.Labour {
			list = append(list, stageRow{"labour." + l.Stage, number(l.Hours), number(l.Rate), procedure.Stage(l.Stage).Name()})
		}
		return list
	}
	for _, s := range procedure.Stages() {
		at := "labour." + string(s)
		if f.fields.Has(at + ".hours") {
			list = append(list, stageRow{at, f.fields.Get(at + ".hours"), f.fields.Get(at + ".rate"), s.Name()})
		}
	}
	return list
}

// sentence begins a text with a capital.
func sentence(text string) string {
	for i, r := range text {
		return string(unicode.ToUpper(r)) + text[i+utf8.RuneLen(r):]
	}
	return text
}
