package shop

import (
	"context"
	"errors"
	"io"
	"path/filepath"

	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Home is where a shop is kept: a folder, or a PostgreSQL database with the
// photos in a folder.
type Home struct {
	Folder   string
	Database string // URL, "" for the SQLite file in the folder
}

func (h Home) open(ctx context.Context) (*store.DB, error) {
	if h.Database != "" {
		return store.OpenPostgres(ctx, h.Database, filepath.Join(h.Folder, "blobs"))
	}
	return store.OpenFolder(ctx, h.Folder)
}

// Open opens the shop that is kept there, and makes it when it is not.
func (h Home) Open(ctx context.Context, o Options) (*Shop, error) {
	if h.Database != "" {
		return OpenDatabase(ctx, h.Database, h.Folder, o)
	}
	return OpenFolder(ctx, h.Folder, o)
}

var msgMoveDamage = say.Define("shop.move_damage", "what arrived is not sound: {faults:list}")

// Move copies a whole shop into an empty home, of the other kind of database
// too, and checks what arrived: every entry, place and hash as it was, every
// photo, every person with his password. Sign-ins, tablets, links, tokens and
// webhooks stay behind. The old home is left as it is.
func Move(ctx context.Context, from, to Home) (err error) {
	source, err := from.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, source.Close()) }()
	target, err := to.open(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, target.Close()) }()
	if err := store.Copy(ctx, source, target); err != nil {
		return err
	}
	damage, err := target.Check(ctx)
	if err != nil || len(damage) == 0 {
		return err
	}
	faults := make([]say.Message, len(damage))
	for i, d := range damage {
		faults[i] = d.Message
	}
	return say.Refuse("", "", msgMoveDamage.With(faults), say.Message{})
}

// Holdings is all that a site keeps, for an archive to be made of or put back
// into. It is for the owner of the machine, who asks at its command line.
type Holdings struct {
	shop *Shop
	ctx  context.Context // an archive is made in one go
	site string
}

// Holdings returns what the only site of the shop keeps; the site is made when
// there is none.
func (s *Shop) Holdings(ctx context.Context) (*Holdings, error) {
	site, err := s.onlySite(ctx)
	if err != nil {
		return nil, err
	}
	if site == "" {
		site = mainSite
		if err := s.store.AddSite(ctx, store.Site{ID: site, Name: site, Created: s.stamp()}); err != nil {
			return nil, err
		}
	}
	return &Holdings{s, ctx, site}, nil
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

// Take takes entries of any streams, all or none.
func (h *Holdings) Take(entries []record.Entry) error {
	if err := h.shop.store.AppendAll(h.ctx, h.site, entries); err != nil {
		return err
	}
	return h.shop.textsAnew(h.ctx, h.site)
}

// OpenBlob opens a photo or a paper.
func (h *Holdings) OpenBlob(hash string) (io.ReadCloser, error) {
	_, content, err := h.shop.store.OpenBlob(h.ctx, h.site, hash)
	return content, err
}

// Here returns those of the ids that a stream holds.
func (h *Holdings) Here(stream string, ids []string) (map[string]bool, error) {
	s, err := h.shop.store.Load(h.ctx, h.site, stream, 0)
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
