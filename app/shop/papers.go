package shop

import (
	"context"
	"encoding/json"
	"strings"
	"time"

	"github.com/goccy/go-yaml"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/liquid"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// PaperKind is a kind of text that the shop keeps in versions.
type PaperKind string

// Show prints the word in the language of a style.
func (v PaperKind) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v PaperKind) Message() say.Message { return say.Word("shop", string(v)) }

// The kinds of texts.
const (
	Sheets   PaperKind = "sheet"
	Services PaperKind = "service"
	Liquids  PaperKind = "liquid"
)

// Paper is a version of a text: a model sheet, a service or a liquid, in YAML.
type Paper struct {
	Kind     PaperKind
	Name     string
	Title    string
	Invented bool
	Version  int64  // counted from 1
	Text     string // "" in lists
	Reason   string
	By       string
	At       record.Time
	Entry    string // id of the entry
	// Findings are the problems and remarks that the text has now.
	Findings sheet.Findings
	Sheet    *sheet.Sheet   // of a sheet
	Service  *sheet.Service // of a service
	Liquid   *liquid.Liquid // of a liquid that can be read
}

// NewPaper is a text to keep.
type NewPaper struct {
	ID     string // UUID made by the writer; made here when empty
	Kind   PaperKind
	Name   string // as in the text, for a sheet
	Text   string
	Reason string
	At     time.Time
}

var (
	msgPaperKind  = say.Define("shop.paper_kind", "there is no such kind of text")
	msgPaperKinds = say.Define("shop.paper_kinds", "sheet, service or liquid")
	msgPaperName  = say.Define("shop.paper_name", "the text calls itself “{inside}”")
	msgSameName   = say.Define("shop.same_name", "use the same name inside and outside")
	msgTooLong    = say.Define("shop.text_long", "the text is too long ({size:count} bytes)")
	msgTextMost   = say.Define("shop.text_most", "at most {most:count} bytes")
)

// readPaper reads a text and says what is wrong with it.
func readPaper(kind PaperKind, name, text string) Paper {
	p := Paper{Kind: kind, Name: name, Title: name, Text: text}
	file := name + ".yaml"
	switch kind {
	case Sheets:
		p.Sheet, p.Findings = sheet.Parse(file, []byte(text))
		p.Title, p.Invented = p.Sheet.Title, p.Sheet.Invented
	case Services:
		p.Service, p.Findings = sheet.ParseService(file, []byte(text))
		p.Title, p.Invented = p.Service.Name, p.Service.Invented
	case Liquids:
		var raw any
		err := yaml.Unmarshal([]byte(text), &raw)
		if err == nil {
			p.Liquid, err = liquid.FromFields(raw)
		}
		if problem := say.AsProblem(err); problem != nil {
			p.Findings = sheet.Findings{{File: file, Problem: problem}}
		} else if err != nil {
			p.Findings = sheet.Findings{{File: file, Problem: say.Refuse("", "", say.Plain(err.Error()), say.Message{})}}
		}
	}
	if p.Title == "" {
		p.Title = name
	}
	return p
}

// CheckPaper reads a text as it is typed and says what is wrong with it;
// nothing is kept.
func (s *Shop) CheckPaper(sc Scope, kind PaperKind, name, text string) (Paper, error) {
	if err := sc.need(access.ReadSheets); err != nil {
		return Paper{}, err
	}
	if err := checkPaper(kind, text); err != nil {
		return Paper{}, err
	}
	return readPaper(kind, name, text), nil
}

func checkPaper(kind PaperKind, text string) error {
	if kind != Sheets && kind != Services && kind != Liquids {
		return say.Refuse("kind", string(kind), msgPaperKind.With(), msgPaperKinds.With())
	}
	if len(text) > mostText {
		return say.Refuse("text", "", msgTooLong.With(len(text)), msgTextMost.With(mostText))
	}
	return nil
}

// SavePaper keeps a version of a text. A text with problems is kept too, with
// its findings: copying a manual takes days. Jobs are not received with it.
func (s *Shop) SavePaper(ctx context.Context, sc Scope, n NewPaper) (Paper, error) {
	if err := sc.need(access.WriteSheets); err != nil {
		return Paper{}, err
	}
	if err := checkPaper(n.Kind, n.Text); err != nil {
		return Paper{}, err
	}
	if err := checkName("name", n.Name); err != nil {
		return Paper{}, err
	}
	p := readPaper(n.Kind, n.Name, n.Text)
	if n.Kind == Sheets && p.Sheet.Name != n.Name {
		return p, say.Refuse("name", n.Name, msgPaperName.With(p.Sheet.Name), msgSameName.With())
	}
	e, err := s.keep(ctx, sc, kept{id: n.ID, stream: string(n.Kind) + ":" + n.Name, kind: string(n.Kind), at: n.At},
		job.Text{Name: n.Name + ".yaml", Text: n.Text, Reason: n.Reason}, string(n.Kind)+" "+n.Name+" "+p.Title)
	if err != nil {
		return p, err
	}
	p.Version, p.By, p.At, p.Entry, p.Reason = e.Seq, e.By, e.At, e.ID, n.Reason
	return p, nil
}

// Papers lists the texts of a kind, the newest version of each, without the
// texts themselves.
func (s *Shop) Papers(ctx context.Context, sc Scope, kind PaperKind) ([]Paper, error) {
	if err := sc.need(access.ReadSheets); err != nil {
		return nil, err
	}
	entries, err := s.store.Latest(ctx, sc.Site, string(kind)+":")
	if err != nil {
		return nil, err
	}
	papers := make([]Paper, 0, len(entries))
	for i := range entries {
		p, err := s.paperOf(&entries[i])
		if err != nil {
			return nil, err
		}
		p.Text = ""
		papers = append(papers, p)
	}
	return papers, nil
}

func (s *Shop) paperOf(e *record.Entry) (Paper, error) {
	var body job.Text
	if err := json.Unmarshal(e.Body, &body); err != nil {
		return Paper{}, err
	}
	kind, name, _ := strings.Cut(e.Stream, ":")
	p := readPaper(PaperKind(kind), name, body.Text)
	p.Version, p.By, p.At, p.Entry, p.Reason = e.Seq, e.By, e.At, e.ID, body.Reason
	return p, nil
}

// Paper returns a version of a text; the newest for version 0.
func (s *Shop) Paper(ctx context.Context, sc Scope, kind PaperKind, name string, version int64) (Paper, error) {
	if err := sc.need(access.ReadSheets); err != nil {
		return Paper{}, err
	}
	return s.paper(ctx, sc.Site, kind, name, version)
}

func (s *Shop) paper(ctx context.Context, site string, kind PaperKind, name string, version int64) (Paper, error) {
	stream, err := s.store.Load(ctx, site, string(kind)+":"+name, max(0, version-1))
	if err != nil {
		return Paper{}, err
	}
	n := len(stream.Entries)
	if n == 0 {
		return Paper{}, ErrNotFound
	}
	if version > 0 {
		return s.paperOf(&stream.Entries[0])
	}
	return s.paperOf(&stream.Entries[n-1])
}

// PaperVersions lists the versions of a text, with their texts, the newest
// first.
func (s *Shop) PaperVersions(ctx context.Context, sc Scope, kind PaperKind, name string) ([]Paper, error) {
	if err := sc.need(access.ReadSheets); err != nil {
		return nil, err
	}
	stream, err := s.store.Load(ctx, sc.Site, string(kind)+":"+name, 0)
	if err != nil {
		return nil, err
	}
	if len(stream.Entries) == 0 {
		return nil, ErrNotFound
	}
	var papers []Paper
	for i := len(stream.Entries) - 1; i >= 0; i-- {
		p, err := s.paperOf(&stream.Entries[i])
		if err != nil {
			return nil, err
		}
		papers = append(papers, p)
	}
	return papers, nil
}

// kept says how an entry that is of no job is kept.
type kept struct {
	id, stream, kind string
	at               time.Time
}

// keep appends an entry to a stream that is of no job, tells everybody, and
// has it found by its words.
func (s *Shop) keep(ctx context.Context, sc Scope, k kept, body any, words string) (record.Entry, error) {
	raw, err := record.CanonicalOf(body)
	if err != nil {
		return record.Entry{}, err
	}
	if k.id == "" {
		if k.id, err = s.newID(); err != nil {
			return record.Entry{}, err
		}
	} else if !uuid.MatchString(k.id) {
		return record.Entry{}, say.Refuse("id", k.id, msgBadID.With(), msgUUID.With())
	}
	e := record.Entry{
		ID: k.id, Stream: k.stream, Kind: k.kind, Version: 1, Body: raw, By: sc.Person, At: record.TimeOf(k.at), Device: sc.Device, Received: s.stamp(),
	}
	if e.At == 0 {
		e.At = e.Received
	}
	was, err := s.store.Entry(ctx, sc.Site, k.id)
	switch {
	case err == nil && was.By == e.By: // sent again
		e.Device = was.Device
		if k.at.IsZero() {
			e.At = was.At
		}
	case err != nil && !isNotFound(err):
		return e, err
	}
	sealed, fresh, err := s.store.Append(ctx, sc.Site, store.AnyHead, e)
	if err != nil {
		return e, err
	}
	if fresh > 0 {
		s.hints.publish(sc.Site, Hint{k.stream, sealed[0].Seq})
	}
	return sealed[0], s.putText(ctx, sc.Site, &sealed[0], words)
}

func (s *Shop) putText(ctx context.Context, site string, e *record.Entry, words string) error {
	kind, _, _ := strings.Cut(e.Stream, ":")
	return s.store.PutDerived(ctx, site, store.Head{Stream: e.Stream, Seq: e.Seq, Hash: e.Hash}, nil,
		[]store.Text{{Stream: e.Stream, Kind: kind, Text: words, At: e.At}})
}
