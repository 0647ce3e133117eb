package shop

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"path"
	"strings"
	"unicode"

	"pumpwright/app/access"
	"pumpwright/app/store"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

// Limits of what is taken.
const (
	mostPhotoBytes  = 40 << 20
	mostPaperBytes  = 20 << 20
	mostPixels      = 64_000_000 // what a phone takes, and less than memory holds
	keptSide        = 2560       // pixels of the longer side that are kept
	thumbSide       = 320
	keptQuality     = 85
	thumbQuality    = 75
	jpegMedia       = "image/jpeg"
	pdfMedia        = "application/pdf"
	longestFileName = 120
)

var (
	msgPhotoSize   = say.Define("shop.photo_size", "the photo is too large")
	msgPhotoMost   = say.Define("shop.photo_most", "at most {most:count} MB and {pixels:count} million pixels")
	msgPhotoKind   = say.Define("shop.photo_kind", "this is no photo that can be read")
	msgPhotoKinds  = say.Define("shop.photo_kinds", "JPEG, PNG or WebP")
	msgPhotoBroken = say.Define("shop.photo_broken", "the photo is damaged: {reason}")
	msgPhotoAgain  = say.Define("shop.photo_again", "take it again, or send it in another form")
	msgPaperSize   = say.Define("shop.paper_size", "the paper is too large")
	msgPaperMost   = say.Define("shop.paper_most", "at most {most:count} MB")
	msgNotPDF      = say.Define("shop.not_pdf", "papers are kept as PDF; this is none")
	msgPrintPDF    = say.Define("shop.print_pdf", "print it to PDF, or take a photo of it")
)

// NewPhoto is a photo for a job.
type NewPhoto struct {
	NewEntry // Kind and Body are made here
	Part     string
	Step     string
	Note     string
	Finding  string    // id of the finding that it shows
	Content  io.Reader // JPEG, PNG or WebP
}

// AddPhoto keeps a photo of a job: turned upright, at most 2560 pixels long,
// without what the camera wrote into it (place, time, serial numbers), and a
// small picture beside it. The entry names what is kept and what was sent.
func (s *Shop) AddPhoto(ctx context.Context, sc Scope, name string, n NewPhoto) (*Answer, error) {
	if err := s.mayAddFile(ctx, sc, name); err != nil {
		return nil, err
	}
	if n.ID != "" {
		if answer, err := s.sentBefore(ctx, sc, name, n.ID, job.KindPhoto); answer != nil || err != nil {
			return answer, err
		}
	}
	content, err := readAtMost(n.Content, mostPhotoBytes)
	if err != nil {
		return nil, err
	}
	if content == nil {
		return nil, say.Refuse("photo", "", msgPhotoSize.With(), msgPhotoMost.With(mostPhotoBytes>>20, mostPixels/1_000_000))
	}
	kept, thumb, err := s.develop(ctx, content)
	if err != nil {
		return nil, err
	}
	small, err := s.store.PutBlob(ctx, sc.Site, store.Blob{Media: jpegMedia, Created: s.stamp()}, thumb)
	if err != nil {
		return nil, err
	}
	blob, err := s.store.PutBlob(ctx, sc.Site, store.Blob{Media: jpegMedia, Thumb: small.Hash, Created: s.stamp()}, kept)
	if err != nil {
		return nil, err
	}
	n.Kind = job.KindPhoto
	return s.addBody(ctx, sc, name, n.NewEntry, job.Photo{Blob: blob.Hash, Sent: store.HashOf(content), Part: n.Part, Step: n.Step, Note: n.Note, Finding: n.Finding})
}

// mayAddFile refuses before anything large is read.
func (s *Shop) mayAddFile(ctx context.Context, sc Scope, name string) error {
	if err := sc.need(access.WriteNote); err != nil {
		return err
	}
	_, err := s.Job(ctx, sc, name)
	return err
}

// sentBefore answers a file that was sent again: it is kept as it was, even if
// this version of the program would make other bytes of it.
func (s *Shop) sentBefore(ctx context.Context, sc Scope, name, id, kind string) (*Answer, error) {
	l, err := s.enter(ctx, sc, name)
	if err != nil {
		return nil, err
	}
	defer l.mutex.Unlock()
	e := l.find(id)
	if e == nil || e.Kind != kind || e.By != sc.Person {
		return nil, nil
	}
	return &Answer{Kept: true, Entry: *e, Job: l.job}, nil
}

// readAtMost reads all, or returns nil when it is more.
func readAtMost(r io.Reader, most int64) ([]byte, error) {
	content, err := io.ReadAll(io.LimitReader(r, most+1))
	if err != nil {
		return nil, fmt.Errorf("shop: read file: %w", err)
	}
	if int64(len(content)) > most {
		return nil, nil
	}
	return content, nil
}

// isPhoto looks at the first bytes: what a name or a header claims counts for
// nothing, and no other reader of pictures is ever tried.
func isPhoto(content []byte) bool {
	return bytes.HasPrefix(content, []byte("\xff\xd8\xff")) || bytes.HasPrefix(content, []byte("\x89PNG\r\n\x1a\n")) ||
		len(content) > 12 && bytes.HasPrefix(content, []byte("RIFF")) && string(content[8:12]) == "WEBP"
}

func broken(err error) error {
	return say.Refuse("photo", "", msgPhotoBroken.With(err), msgPhotoAgain.With())
}

// NewDocument is a paper for a job.
type NewDocument struct {
	NewEntry // Kind and Body are made here
	Name     string
	What     string // safety data sheet, cleaning statement, order …
	Note     string
	Content  io.Reader // PDF
}

// AddDocument keeps a PDF of a job as it is.
func (s *Shop) AddDocument(ctx context.Context, sc Scope, name string, n NewDocument) (*Answer, error) {
	if err := s.mayAddFile(ctx, sc, name); err != nil {
		return nil, err
	}
	content, err := readAtMost(n.Content, mostPaperBytes)
	if err != nil {
		return nil, err
	}
	if content == nil {
		return nil, say.Refuse("document", n.Name, msgPaperSize.With(), msgPaperMost.With(mostPaperBytes>>20))
	}
	if !bytes.HasPrefix(content, []byte("%PDF-")) {
		return nil, say.Refuse("document", n.Name, msgNotPDF.With(), msgPrintPDF.With())
	}
	file := FileName(n.Name)
	blob, err := s.store.PutBlob(ctx, sc.Site, store.Blob{Media: pdfMedia, Name: file, Created: s.stamp()}, content)
	if err != nil {
		return nil, err
	}
	n.Kind = job.KindDocument
	return s.addBody(ctx, sc, name, n.NewEntry, job.Document{Blob: blob.Hash, Name: file, What: n.What, Note: n.Note})
}

// FileName makes a harmless file name of what somebody sent: no folders, no
// marks that mean something to a system, not too long, ending in .pdf.
func FileName(sent string) string {
	name := path.Base(strings.ReplaceAll(sent, "\\", "/"))
	name = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsLetter(r), unicode.IsDigit(r), strings.ContainsRune(" -_.,()+", r):
			return r
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r): // also those that turn the direction of writing
			return -1
		}
		return '_'
	}, name)
	name = strings.Trim(strings.TrimSuffix(strings.ToValidUTF8(name, ""), ".pdf"), " .")
	if runes := []rune(name); len(runes) > longestFileName {
		name = string(runes[:longestFileName])
	}
	if strings.IndexFunc(name, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }) < 0 {
		name = "paper"
	}
	return name + ".pdf"
}

// File is a photo or a paper that can be read.
type File struct {
	Media   string
	Name    string
	Size    int64
	Created record.Time
	Content io.ReadSeekCloser
}

// File opens a photo or a paper of a job, by the hash that an entry of the job
// names; small opens the small picture of a photo. A hash that the job does
// not name is not found, whatever else the shop keeps.
func (s *Shop) File(ctx context.Context, sc Scope, name, hash string, small bool) (*File, error) {
	if err := sc.need(access.ReadPapers); err != nil {
		return nil, err
	}
	j, err := s.Job(ctx, sc, name)
	if err != nil {
		return nil, err
	}
	fileName, named := j.names(hash)
	if !named {
		return nil, ErrNotFound
	}
	if small {
		b, err := s.store.BlobOf(ctx, sc.Site, hash)
		if err != nil {
			return nil, err
		}
		if b.Thumb == "" {
			return nil, ErrNotFound
		}
		hash = b.Thumb
	}
	b, content, err := s.store.OpenBlob(ctx, sc.Site, hash)
	if err != nil {
		return nil, err
	}
	if b.Name == "" { // it came out of an archive
		b.Name = fileName
	}
	return &File{Media: b.Media, Name: b.Name, Size: b.Size, Created: b.Created, Content: content}, nil
}

// names reports whether an entry of the job names a blob, voided or not, and
// under which file name.
func (j *Job) names(hash string) (fileName string, named bool) {
	if hash == "" {
		return "", false
	}
	for i := range j.Entries {
		e := &j.Entries[i]
		if e.Kind != job.KindPhoto && e.Kind != job.KindDocument {
			continue
		}
		var body struct{ Blob, Name string }
		if json.Unmarshal(e.Body, &body) == nil && body.Blob == hash {
			return body.Name, true
		}
	}
	return "", false
}

// HashOf is the name under which a content is kept.
func HashOf(content []byte) string { return store.HashOf(content) }
