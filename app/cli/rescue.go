package cli

import (
	"bytes"
	"io"

	"pumpwright/app/shop"
	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var (
	msgLostStream = say.Define("cli.lost_stream", "left out, it cannot be read whole: {name}")
	msgLostSome   = say.Define("cli.lost_some", "Not everything could be saved: {n:count|part is|parts are} left out. What is in the archive is sound.")
)

// rescued gives what can be read whole of a damaged shop.
type rescued struct {
	*shop.Holdings
	lost []string
}

// StreamNames lists the streams whose every entry can be read and follows the
// one before.
func (r *rescued) StreamNames() ([]string, error) {
	names, err := r.Holdings.StreamNames()
	if err != nil {
		return nil, err
	}
	var good []string
	for _, name := range names {
		if r.whole(name) {
			good = append(good, name)
		} else {
			r.lost = append(r.lost, name)
		}
	}
	return good, nil
}

func (r *rescued) whole(name string) bool {
	s, err := r.Stream(name)
	if err != nil || len(s.Entries) == 0 {
		return false
	}
	var text bytes.Buffer
	if err := s.Write(&text); err != nil {
		return false
	}
	_, faults, err := record.Read(&text)
	return err == nil && len(faults) == 0
}

// BlobHashes lists the photos and papers that are as they were kept.
func (r *rescued) BlobHashes() ([]string, error) {
	hashes, err := r.Holdings.BlobHashes()
	if err != nil {
		return nil, err
	}
	var good []string
	for _, hash := range hashes {
		content, err := r.OpenBlob(hash)
		if err == nil {
			var text []byte
			text, err = io.ReadAll(content)
			_ = content.Close() // it was read, or is given up
			if err == nil && shop.HashOf(text) == hash {
				good = append(good, hash)
				continue
			}
		}
		r.lost = append(r.lost, hash)
	}
	return good, nil
}
