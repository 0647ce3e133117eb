package transfer

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// An archive is one ZIP file that holds a whole shop: every stream as JSON
// Lines, every photo and paper under its hash, and a manifest with the hash of
// each file. Nothing computed is in it, and nothing that lets anybody sign in.
//
//	manifest.json
//	streams/000001.jsonl …
//	blobs/3fa9…

// ArchiveSource is where an archive is made from.
type ArchiveSource interface {
	// StreamNames lists the streams by name.
	StreamNames() ([]string, error)
	Stream(name string) (*record.Stream, error)
	// BlobHashes lists the photos and papers by the SHA-256 of their content.
	BlobHashes() ([]string, error)
	OpenBlob(hash string) (io.ReadCloser, error)
}

// ArchiveTarget is what an archive is put back into: empty, or the same shop
// as it was earlier.
type ArchiveTarget interface {
	Target
	PutBlob(hash string, content []byte) error
}

// Manifest is the list of what an archive holds.
type Manifest struct {
	Format  int           `json:"format"`
	Made    record.Time   `json:"made"`
	Shop    string        `json:"shop,omitempty"`
	Streams []StreamEntry `json:"streams"`
	Blobs   []BlobEntry   `json:"blobs"`
}

// StreamEntry is one stream of an archive.
type StreamEntry struct {
	Name    string `json:"name"`
	File    string `json:"file"`
	Entries int    `json:"entries"`
	Head    string `json:"head"`
	SHA256  string `json:"sha256"`
	Size    int64  `json:"size"`
}

// BlobEntry is one photo or paper of an archive.
type BlobEntry struct {
	Hash string `json:"hash"`
	Size int64  `json:"size"`
}

const (
	archiveFormat = 1
	manifestFile  = "manifest.json"
	mostBlob      = 1 << 30
	mostManifest  = 1 << 28
)

var (
	msgNotArchive  = say.Define("transfer.not_archive", "the file is no archive of a shop: {reason}")
	msgArchiveNew  = say.Define("transfer.archive_new", "the archive is of form {form:count}; this version reads form {known:count}")
	msgArchiveLost = say.Define("transfer.archive_lost", "the archive lacks {file}")
	msgArchiveBad  = say.Define("transfer.archive_bad", "{file} was changed or damaged after the archive was made: its content does not match its hash")
	msgArchiveBlob = say.Define("transfer.archive_blob", "the content of {file} is not what its name says")
	msgArchiveLine = say.Define("transfer.archive_line", "{file}: {fault:message}")
	msgNothingPut  = say.Define("transfer.nothing_put", "nothing was put back; take another copy of the archive")
	msgOtherShop   = say.Define("transfer.other_shop", "stream {name} is here already and goes on in another way than in the archive")
	msgEmptyShop   = say.Define("transfer.empty_shop", "put an archive back into an empty shop, or into the one it was made of")
)

// WriteArchive writes an archive. made is its time.
func WriteArchive(to io.Writer, from ArchiveSource, shop string, made record.Time) (*Manifest, error) {
	m := &Manifest{Format: archiveFormat, Made: made, Shop: shop, Streams: []StreamEntry{}, Blobs: []BlobEntry{}}
	z := zip.NewWriter(to)
	put := func(name string, content []byte) error {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Deflate, Modified: made.Time()})
		if err == nil {
			_, err = w.Write(content)
		}
		if err != nil {
			return fmt.Errorf("transfer: archive: %w", err)
		}
		return nil
	}
	names, err := from.StreamNames()
	if err != nil {
		return nil, err
	}
	for i, name := range names {
		s, err := from.Stream(name)
		if err != nil {
			return nil, err
		}
		var text bytes.Buffer
		if err := s.Write(&text); err != nil {
			return nil, err
		}
		e := StreamEntry{Name: name, File: fmt.Sprintf("streams/%06d.jsonl", i+1), Entries: len(s.Entries), Head: s.Head(), SHA256: sum(text.Bytes()), Size: int64(text.Len())}
		if err := put(e.File, text.Bytes()); err != nil {
			return nil, err
		}
		m.Streams = append(m.Streams, e)
	}
	hashes, err := from.BlobHashes()
	if err != nil {
		return nil, err
	}
	for _, hash := range hashes {
		content, err := blobOf(from, hash)
		if err != nil {
			return nil, err
		}
		if sum(content) != hash {
			return nil, say.Refuse("blob", hash, msgArchiveBlob.With(hash), say.Message{})
		}
		if err := put("blobs/"+hash, content); err != nil {
			return nil, err
		}
		m.Blobs = append(m.Blobs, BlobEntry{hash, int64(len(content))})
	}
	raw, err := json.MarshalIndent(m, "", " ")
	if err != nil {
		return nil, err
	}
	if err := put(manifestFile, raw); err != nil {
		return nil, err
	}
	return m, z.Close()
}

func blobOf(from ArchiveSource, hash string) ([]byte, error) {
	in, err := from.OpenBlob(hash)
	if err != nil {
		return nil, err
	}
	defer in.Close()
	return io.ReadAll(in)
}

func sum(content []byte) string {
	h := sha256.Sum256(content)
	return hex.EncodeToString(h[:])
}

// Archive is an archive whose every byte was checked.
type Archive struct {
	Manifest Manifest
	Streams  []*record.Stream
	zip      *zip.Reader
}

// ReadArchive opens an archive and checks it whole: the hash of every file,
// the chain of every stream, the hash of every photo.
func ReadArchive(from io.ReaderAt, size int64) (*Archive, error) {
	z, err := zip.NewReader(from, size)
	if err != nil {
		return nil, say.Refuse("archive", "", msgNotArchive.With(err), msgNothingPut.With())
	}
	a := &Archive{zip: z}
	raw, err := a.file(manifestFile, mostManifest)
	if err != nil {
		return nil, err
	}
	if err := json.Unmarshal(raw, &a.Manifest); err != nil {
		return nil, say.Refuse("archive", "", msgNotArchive.With(err), msgNothingPut.With())
	}
	if a.Manifest.Format != archiveFormat {
		return nil, say.Refuse("archive", "", msgArchiveNew.With(a.Manifest.Format, archiveFormat), msgNothingPut.With())
	}
	for _, e := range a.Manifest.Streams {
		s, err := a.stream(e)
		if err != nil {
			return nil, err
		}
		a.Streams = append(a.Streams, s)
	}
	for _, b := range a.Manifest.Blobs {
		if _, err := a.blob(b); err != nil {
			return nil, err
		}
	}
	return a, nil
}

// file reads a file of the archive, never more than it may be.
func (a *Archive) file(name string, most int64) ([]byte, error) {
	in, err := a.zip.Open(name)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, say.Refuse("archive", name, msgArchiveLost.With(name), msgNothingPut.With())
	}
	if err != nil {
		return nil, say.Refuse("archive", name, msgNotArchive.With(err), msgNothingPut.With())
	}
	defer in.Close()
	content, err := io.ReadAll(io.LimitReader(in, most+1))
	if err != nil || int64(len(content)) > most {
		return nil, say.Refuse("archive", name, msgArchiveBad.With(name), msgNothingPut.With())
	}
	return content, nil
}

func (a *Archive) stream(e StreamEntry) (*record.Stream, error) {
	if e.Size < 0 {
		return nil, say.Refuse("archive", e.File, msgArchiveBad.With(e.File), msgNothingPut.With())
	}
	content, err := a.file(e.File, e.Size)
	if err != nil {
		return nil, err
	}
	if sum(content) != e.SHA256 {
		return nil, say.Refuse("archive", e.File, msgArchiveBad.With(e.File), msgNothingPut.With())
	}
	s, faults, err := record.Read(bytes.NewReader(content))
	if err != nil {
		return nil, err
	}
	if len(faults) > 0 {
		return nil, say.Refuse("archive", e.File, msgArchiveLine.With(e.File, faults[0].Message), msgNothingPut.With())
	}
	if s.Name == "" {
		s.Name = e.Name
	}
	if s.Name != e.Name || len(s.Entries) != e.Entries || s.Head() != e.Head {
		return nil, say.Refuse("archive", e.File, msgArchiveBad.With(e.File), msgNothingPut.With())
	}
	return s, nil
}

func (a *Archive) blob(b BlobEntry) ([]byte, error) {
	name := "blobs/" + b.Hash
	if b.Size < 0 || b.Size > mostBlob {
		return nil, say.Refuse("archive", name, msgArchiveBad.With(name), msgNothingPut.With())
	}
	content, err := a.file(name, b.Size)
	if err != nil {
		return nil, err
	}
	if sum(content) != b.Hash {
		return nil, say.Refuse("archive", name, msgArchiveBlob.With(name), msgNothingPut.With())
	}
	return content, nil
}

// Restore puts the archive back: photos first, as nothing is lost by a photo
// too many, then all entries at once. Entries that are there already stay.
// Places and hashes come out as they were, when the target is empty or holds
// the beginning of the same streams; otherwise nothing is put back.
func (a *Archive) Restore(t ArchiveTarget) (Outcome, error) {
	for _, s := range a.Streams {
		ids := make([]string, len(s.Entries))
		for i := range s.Entries {
			ids[i] = s.Entries[i].ID
		}
		here, err := t.Here(s.Name, ids)
		if err != nil {
			return Outcome{}, err
		}
		for i, id := range ids { // what is here must be the beginning
			if here[id] != (i < len(here)) {
				return Outcome{}, say.Refuse("archive", s.Name, msgOtherShop.With(s.Name), msgEmptyShop.With())
			}
		}
	}
	for _, b := range a.Manifest.Blobs {
		content, err := a.blob(b)
		if err != nil {
			return Outcome{}, err
		}
		if err := t.PutBlob(b.Hash, content); err != nil {
			return Outcome{}, err
		}
	}
	return TakeLines(a.Streams, t)
}
