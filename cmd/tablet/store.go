//go:build js

package main

import (
	"bytes"
	"context"
	"errors"
	"io"
	"maps"
	"slices"
	"strings"

	"pumpwright/app/store"
	"pumpwright/rebuild/record"
)

// errNotHere: the tablet holds one job and nothing else of the shop.
var errNotHere = errors.New("tablet: only the shop has this")

// held is a store that holds the copy of one job in memory. What it does not
// hold is not asked for by the pages of a job; the embedded interface is nil.
type held struct {
	store.Store
	streams map[string]*record.Stream
	people  []store.Person
	blobs   map[string][]byte
}

func newHeld(stream *record.Stream, names map[string]string) *held {
	h := &held{streams: map[string]*record.Stream{stream.Name: stream}, blobs: map[string][]byte{}}
	for _, id := range slices.Sorted(maps.Keys(names)) {
		h.people = append(h.people, store.Person{ID: id, Name: names[id]})
	}
	return h
}

func (h *held) stream(name string) *record.Stream {
	if h.streams[name] == nil {
		h.streams[name] = &record.Stream{Name: name}
	}
	return h.streams[name]
}

func (h *held) Append(_ context.Context, _ string, _ store.Head, entries ...record.Entry) (sealed []record.Entry, fresh int, err error) {
	for _, e := range entries {
		s := h.stream(e.Stream)
		before := len(s.Entries)
		one, err := s.Append(e)
		if err != nil {
			return nil, 0, err
		}
		sealed = append(sealed, one)
		fresh += len(s.Entries) - before
	}
	return sealed, fresh, nil
}

func (h *held) Load(_ context.Context, _, stream string, after int64) (*record.Stream, error) {
	s := h.stream(stream)
	return &record.Stream{Name: stream, Entries: slices.Clone(s.Entries[min(int(after), len(s.Entries)):])}, nil
}

func (h *held) HeadOf(_ context.Context, _, stream string) (store.Head, error) {
	s := h.stream(stream)
	return store.Head{Stream: stream, Seq: int64(len(s.Entries)), Hash: s.Head()}, nil
}

func (h *held) Heads(_ context.Context, _, prefix string) ([]store.Head, error) {
	var list []store.Head
	for _, name := range slices.Sorted(maps.Keys(h.streams)) {
		if s := h.streams[name]; strings.HasPrefix(name, prefix) && len(s.Entries) > 0 {
			list = append(list, store.Head{Stream: name, Seq: int64(len(s.Entries)), Hash: s.Head()})
		}
	}
	return list, nil
}

func (h *held) Latest(context.Context, string, string) ([]record.Entry, error) { return nil, nil }

func (h *held) Entry(context.Context, string, string) (record.Entry, error) {
	return record.Entry{}, store.ErrNotFound
}

func (h *held) People(context.Context, string) ([]store.Person, error) { return h.people, nil }

func (h *held) Person(_ context.Context, _, id string) (store.Person, error) {
	for _, p := range h.people {
		if p.ID == id {
			return p, nil
		}
	}
	return store.Person{}, store.ErrNotFound
}

func (h *held) Sites(context.Context) ([]store.Site, error) { return nil, nil }

func (h *held) PutBlob(_ context.Context, _ string, b store.Blob, content []byte) (store.Blob, error) {
	b.Hash, b.Size = store.HashOf(content), int64(len(content))
	h.blobs[b.Hash] = content
	return b, nil
}

func (h *held) BlobOf(_ context.Context, _, hash string) (store.Blob, error) {
	content, ok := h.blobs[hash]
	if !ok {
		return store.Blob{}, store.ErrNotFound
	}
	return store.Blob{Hash: hash, Media: "image/jpeg", Size: int64(len(content))}, nil
}

type content struct{ *bytes.Reader }

func (content) Close() error { return nil }

func (h *held) OpenBlob(ctx context.Context, site, hash string) (store.Blob, io.ReadSeekCloser, error) {
	b, err := h.BlobOf(ctx, site, hash)
	return b, content{bytes.NewReader(h.blobs[hash])}, err
}

func (h *held) Behind(context.Context, string, string, int) ([]store.Head, error) { return nil, nil }

func (h *held) PutDerived(context.Context, string, store.Head, *store.Summary, []store.Text) error {
	return nil
}

func (h *held) Summaries(context.Context, string, store.SummaryQuery) ([]store.Summary, error) {
	return nil, nil
}

func (h *held) Hooks(context.Context, string) ([]store.Hook, error) { return nil, nil }

func (h *held) Stage(context.Context, string, store.Head, string, []store.Delivery) (bool, error) {
	return false, nil
}

func (h *held) Watch(ctx context.Context, _ func(store.Notice)) { <-ctx.Done() }

func (h *held) Close() error { return nil }
