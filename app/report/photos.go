package report

import (
	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

var (
	headPhotos   = say.Define("report.head_photos", "Photos")
	captionPhoto = say.Define("report.caption_photo", "{note}")
	photoNoNote  = say.Define("report.photo_no_note", "photo of the job")
	photosAway   = say.Define("report.photos_away", "{n:count|photo belongs|photos belong} to this job. The pictures are kept by the shop; the report that is printed there shows them.")
	photosMore   = say.Define("report.photos_more", "{n:count|photo more stands|photos more stand} in the job.")
)

// mostPhotos is how many photos a report shows.
const mostPhotos = 16

// MarkedPhoto is a photo with its marks, the same on pages and on paper.
func MarkedPhoto(p *draw.Picture, note string, marks []job.PhotoMark) figure.Photo {
	f := figure.Photo{Picture: p, Note: note}
	for i := range marks {
		m := &marks[i]
		x, y := m.End()
		f.Marks = append(f.Marks, figure.Mark{Shape: m.Shape, At: draw.At(m.X, m.Y), End: draw.At(x, y), Text: m.Text})
	}
	return f
}

// photos shows the photos of findings and those with marks first, then others
// as far as there is room.
func (b *builder) photos() {
	s := b.a.Inputs.Job
	if b.o.Photo == nil {
		if n := len(s.Photos); n > 0 {
			b.heading(headPhotos)
			b.paragraph(photosAway.With(n))
		}
		return
	}
	var first, rest []job.Kept[job.Photo]
	for _, k := range s.Photos {
		if k.Body.Finding != "" || len(s.MarksOf(k.Ref)) > 0 {
			first = append(first, k)
		} else {
			rest = append(rest, k)
		}
	}
	var blocks []document.Block
	more := 0
	for _, k := range append(first, rest...) {
		if len(blocks) == mostPhotos {
			more++
			continue
		}
		p := b.o.Photo(k.Body.Blob)
		if p == nil {
			continue
		}
		note := k.Body.Note
		if note == "" {
			note = photoNoNote.With().Text(b.o.Style)
			if name := b.findingOf(k.Body.Finding); name != "" {
				note = name
			}
		}
		blocks = append(blocks, document.Figure{Caption: captionPhoto.With(note), Draw: MarkedPhoto(p, note, s.MarksOf(k.Ref)).Draw, Share: 0.75})
	}
	if len(blocks) == 0 {
		return
	}
	b.heading(headPhotos)
	b.add(blocks...)
	if more > 0 {
		b.paragraph(photosMore.With(more))
	}
}
