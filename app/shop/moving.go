package shop

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"
	"time"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// Holdings is all that a site keeps, for an archive to be made of or put back
// into. It is for the owner of the machine, who asks at its command line.
type Holdings struct {
	shop *Shop
	ctx  context.Context // an archive is made in one go
	site string

	tables bool // what comes in are tables, not the archive of a shop
	told   func(written int)
}

// Told returns the same holdings, which tell how many entries are written while
// many are taken; they are kept when all are.
func (h *Holdings) Told(told func(written int)) *Holdings {
	telling := *h
	telling.told = told
	return &telling
}

// ForTables returns the same holdings for rows that people typed: what a table
// may not change is refused, and streams get names that an address takes.
func (h *Holdings) ForTables() *Holdings {
	tabled := *h
	tabled.tables = true
	return &tabled
}

// Holdings returns what the only site of the shop keeps; the site is made when
// there is none.
func (s *Shop) Holdings(ctx context.Context) (*Holdings, error) {
	site, err := s.siteOfMachine(ctx)
	if err != nil {
		return nil, err
	}
	if site == "" {
		site = mainSite
		if err := s.store.AddSite(ctx, store.Site{ID: site, Name: site, Created: s.stamp()}); err != nil {
			return nil, err
		}
	}
	return &Holdings{shop: s, ctx: ctx, site: site}, nil
}

// StreamNames lists the streams by name.
func (h *Holdings) StreamNames() ([]string, error) {
	heads, err := h.shop.store.Heads(h.ctx, h.site, "")
	names := make([]string, len(heads))
	for i := range heads {
		names[i] = heads[i].Stream
	}
	return names, err
}

// Stream returns a stream.
func (h *Holdings) Stream(name string) (*record.Stream, error) {
	return h.shop.store.Load(h.ctx, h.site, name, 0)
}

// BlobHashes lists the photos and papers. The small pictures are made of the
// photos, so they are made again.
func (h *Holdings) BlobHashes() ([]string, error) {
	blobs, err := h.shop.store.Blobs(h.ctx, h.site)
	small := map[string]bool{}
	for _, b := range blobs {
		small[b.Thumb] = true
	}
	var hashes []string
	for _, b := range blobs {
		if !small[b.Hash] {
			hashes = append(hashes, b.Hash)
		}
	}
	return hashes, err
}

// PutBlob keeps a photo, with a small picture of it, or a paper.
func (h *Holdings) PutBlob(hash string, content []byte) error {
	b := store.Blob{Media: pdfMedia, Created: h.shop.stamp()}
	if isPhoto(content) {
		_, thumb, err := h.shop.develop(h.ctx, content)
		if err != nil {
			return err
		}
		small, err := h.shop.store.PutBlob(h.ctx, h.site, store.Blob{Media: jpegMedia, Created: b.Created}, thumb)
		if err != nil {
			return err
		}
		b.Media, b.Thumb = jpegMedia, small.Hash
	}
	_, err := h.shop.store.PutBlob(h.ctx, h.site, b, content)
	return err
}

// Exchange returns what the site of a person keeps, for tables to be taken in
// and everything to be given out.
func (s *Shop) Exchange(ctx context.Context, sc Scope) (*Holdings, error) {
	if err := sc.need(access.Exchange); err != nil {
		return nil, err
	}
	return &Holdings{shop: s, ctx: ctx, site: sc.Site, tables: true}, nil
}

var (
	msgTakeClosed = say.Define("shop.take_closed", "the job is closed: a table changes nothing of it any more")
	msgTakeHere   = say.Define("shop.take_here", "there is a job of this name already, opened otherwise")
	msgTakeNone   = say.Define("shop.take_none", "there is no job of this name")
	msgTakeFirst  = say.Define("shop.take_first", "take the jobs in first, or put the name right; nothing was taken")
	msgTakeEmpty  = say.Define("shop.take_empty", "there are jobs or pumps here already")
	msgTakeUnpack = say.Define("shop.take_unpack", "put an archive back into a shop that has none yet")
	msgTakeOut    = say.Define("shop.take_out", "take its rows out of the table, or put them right; nothing was taken")
)

// Take takes entries of any streams, all or none.
func (h *Holdings) Take(entries []record.Entry) error {
	now := h.shop.stamp()
	all := make([]record.Entry, len(entries))
	for i, e := range entries {
		e.Stream = h.place(e.Stream)
		if e.Hash == "" { // what comes from an archive stays as it was sealed
			if e.Received == 0 {
				e.Received = now
			}
			if e.At == 0 {
				e.At = now
			}
		}
		all[i] = e
	}
	if h.tables {
		if err := h.vet(all); err != nil {
			return err
		}
		if err := h.nameSheets(all); err != nil {
			return err
		}
	}
	if err := h.shop.store.AppendAll(h.ctx, h.site, all, h.told); err != nil {
		return err
	}
	told := map[string]bool{}
	for i := range all {
		if name := all[i].Stream; !told[name] {
			told[name] = true
			h.shop.hints.publish(h.site, Hint{Stream: name})
		}
	}
	return h.shop.textsAnew(h.ctx, h.site)
}

// place is the stream in which entries are kept: a serial number may hold signs
// that no address takes.
func (h *Holdings) place(stream string) string {
	if serial, ok := strings.CutPrefix(stream, pumpPrefix); ok && h.tables {
		return pumpPrefix + pumpName(serial, "")
	}
	return stream
}

// vet keeps tables from jobs that do not exist, that are another one's, or that
// were closed, and perhaps signed, without them.
func (h *Holdings) vet(entries []record.Entry) error {
	opens := map[string]bool{} // by job: whether the table opens it
	for i := range entries {
		if name, ok := strings.CutPrefix(entries[i].Stream, jobPrefix); ok {
			opens[name] = opens[name] || entries[i].Kind == job.KindOpen
		}
	}
	for _, name := range slices.Sorted(maps.Keys(opens)) {
		if err := checkName("job", name); err != nil {
			return err
		}
		stream, err := h.shop.store.Load(h.ctx, h.site, StreamOf(name), 0)
		if err != nil {
			return err
		}
		switch there := len(stream.Entries) > 0; {
		case !there && !opens[name]:
			return say.Refuse("job", name, msgTakeNone.With(), msgTakeFirst.With())
		case !there:
		case job.Fold(stream).ClosedHere():
			return say.Refuse("job", name, msgTakeClosed.With(), msgTakeOut.With())
		case opens[name]:
			return say.Refuse("job", name, msgTakeHere.With(), msgTakeOut.With())
		}
	}
	return nil
}

// nameSheets gives jobs that name a model sheet its text, where the shop has it:
// without, their readings could not be judged.
func (h *Holdings) nameSheets(entries []record.Entry) error {
	texts := map[string]string{}
	for i := range entries {
		if entries[i].Kind != job.KindSheet {
			continue
		}
		var body job.Text
		if err := json.Unmarshal(entries[i].Body, &body); err != nil || body.Text != "" {
			continue
		}
		name := strings.TrimSuffix(body.Name, ".yaml")
		if _, asked := texts[name]; !asked {
			paper, err := h.shop.paper(h.ctx, h.site, Sheets, name, 0)
			if err != nil && !errors.Is(err, ErrNotFound) {
				return err
			}
			texts[name] = paper.Text
		}
		if body.Text = texts[name]; body.Text == "" {
			continue
		}
		raw, err := record.CanonicalOf(body)
		if err != nil {
			return err
		}
		entries[i].Body = raw
	}
	return nil
}

// Check returns what looks at each reading of a table with what the sheet of
// its job knows; what is unlikely is gathered and not refused.
func (h *Holdings) Check(unlikely *[]say.Message) func(stream, kind string, body []byte) error {
	type known struct {
		state *job.State
		sheet *sheet.Sheet
	}
	jobs := map[string]known{}
	return func(stream, kind string, body []byte) error {
		if kind != job.KindReading {
			return nil
		}
		k, there := jobs[stream]
		if !there {
			s, err := h.Stream(stream)
			if err != nil {
				return err
			}
			if len(s.Entries) == 0 {
				return say.Refuse("job", strings.TrimPrefix(stream, jobPrefix), msgTakeNone.With(), msgTakeFirst.With())
			}
			k.state = job.Fold(s)
			if in, err := h.shop.texts.FromJob(k.state, time.Time{}); err == nil {
				k.sheet = in.Sheet
			}
			jobs[stream] = k
		}
		warnings, err := job.Vet(k.state, k.sheet, kind, body)
		*unlikely = append(*unlikely, warnings...)
		return err
	}
}

// Refill returns what the site of a person keeps, for an archive to be put back
// into. Entries name who made them, so only a shop that has no jobs and no
// pumps yet takes them this way.
func (s *Shop) Refill(ctx context.Context, sc Scope) (*Holdings, error) {
	if err := sc.need(access.Settle); err != nil {
		return nil, err
	}
	for _, prefix := range []string{jobPrefix, pumpPrefix} {
		heads, err := s.store.Heads(ctx, sc.Site, prefix)
		if err != nil {
			return nil, err
		}
		if len(heads) > 0 {
			return nil, say.Refuse("", "", msgTakeEmpty.With(), msgTakeUnpack.With())
		}
	}
	return &Holdings{shop: s, ctx: ctx, site: sc.Site}, nil
}

// OpenBlob opens a photo or a paper.
func (h *Holdings) OpenBlob(hash string) (io.ReadCloser, error) {
	_, content, err := h.shop.store.OpenBlob(h.ctx, h.site, hash)
	return content, err
}

// Here returns those of the ids that a stream holds.
func (h *Holdings) Here(stream string, ids []string) (map[string]bool, error) {
	s, err := h.shop.store.Load(h.ctx, h.site, h.place(stream), 0)
	if err != nil {
		return nil, err
	}
	held := make(map[string]bool, len(s.Entries))
	for i := range s.Entries {
		held[s.Entries[i].ID] = true
	}
	here := map[string]bool{}
	for _, id := range ids {
		if held[id] {
			here[id] = true
		}
	}
	return here, nil
}
