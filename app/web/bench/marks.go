package bench

import (
	"strconv"

	"pumpwright/app/draw"
	"pumpwright/app/report"
	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
)

var (
	wordMarks      = say.Define("bench.marks", "Marks on the photo")
	wordMarksSay   = say.Define("bench.marks_say", "Choose a shape and tap the picture; drag to set how far it reaches. Or set the places below with the arrow keys. The picture itself is not changed.")
	wordMark       = say.Define("bench.mark", "Mark {n:count}")
	wordMarkIs     = say.Define("bench.mark_is", "Mark {n:count}: {shape}")
	wordMarkNone   = say.Define("bench.mark_none", "no mark")
	wordMarkCircle = say.Define("bench.mark_circle", "circle")
	wordMarkArrow  = say.Define("bench.mark_arrow", "arrow")
	wordMarkNumber = say.Define("bench.mark_number", "number")
	wordMarkShape  = say.Define("bench.mark_shape", "Shape")
	wordMarkLeft   = say.Define("bench.mark_left", "From the left")
	wordMarkTop    = say.Define("bench.mark_top", "From the top")
	wordMarkToLeft = say.Define("bench.mark_to_left", "Reaches to, from the left")
	wordMarkToTop  = say.Define("bench.mark_to_top", "Reaches to, from the top")
	wordMarkText   = say.Define("bench.mark_text", "What it shows")
	wordMarksKeep  = say.Define("bench.marks_keep", "Save the marks")
	wordPhotoPlain = say.Define("bench.photo_plain", "the picture without marks")
	wordPhotoLost  = say.Define("bench.photo_lost", "This picture cannot be read here.")
	wordPhotoBy    = say.Define("bench.photo_by", "{who}, {when}")
	wordBackTo     = say.Define("bench.back_to", "back to the step")
	wordMarkCount  = say.Define("bench.mark_count", "{n:count|mark|marks}")
	wordPhotoMark  = say.Define("bench.photo_and_mark", "Keep it and mark it")
	wordPhotoFor   = say.Define("bench.photo_for", "Photo of: {finding:message}")
	wordPhotoAdd   = say.Define("bench.photo_add", "take a photo of it")
)

// blankMarks is how many empty marks the form has besides those that stand.
const blankMarks = 3

// markedPhoto is what the page of a photo shows.
type markedPhoto struct {
	v     *frame.Visit
	j     *frame.Job
	photo job.Kept[job.Photo]
	svg   string
	form  *part.Entry
	rows  []markRow
}

// markRow is one mark of the form.
type markRow struct {
	number                      int
	shape, x, y, toX, toY, text string // names of the fields
	mark                        job.PhotoMark
}

func photoNamed(j *frame.Job, ref string) *job.Kept[job.Photo] {
	for i := range j.State.Photos {
		if j.State.Photos[i].Ref == ref {
			return &j.State.Photos[i]
		}
	}
	return nil
}

func showMarks(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	k := photoNamed(j, v.PathValue("photo"))
	if k == nil {
		return shop.ErrNotFound
	}
	p := &markedPhoto{v: v, j: j, photo: *k, svg: markedSVG(v, j, k, j.State.MarksOf(k.Ref))}
	p.form = v.EntryFor(j, job.KindMarks, "marks."+k.Ref, nil, part.Field{Name: "t/photo", Kind: part.Hidden, Value: k.Ref})
	p.form.Answers = j.Path("/answer")
	marks := j.State.MarksOf(k.Ref)
	for i := range min(len(marks)+blankMarks, job.MostMarks) {
		at := strconv.Itoa(i)
		r := markRow{
			number: i + 1, shape: part.Pointer("k", "marks", at, "shape"), x: part.Pointer("n", "marks", at, "x"), y: part.Pointer("n", "marks", at, "y"),
			toX: part.Pointer("n", "marks", at, "to_x"), toY: part.Pointer("n", "marks", at, "to_y"), text: part.Pointer("t", "marks", at, "text"),
			mark: job.PhotoMark{X: 0.5, Y: 0.5},
		}
		if i < len(marks) {
			r.mark = marks[i]
		}
		p.rows = append(p.rows, r)
	}
	return v.Show(frame.Page{Title: wordMarks.With(), Job: j, Here: "bench", Plain: true, Body: marksPage(p)})
}

// markedSVG draws a photo with its marks.
func markedSVG(v *frame.Visit, j *frame.Job, k *job.Kept[job.Photo], marks []job.PhotoMark) string {
	picture := v.PictureOf(j, k.Body.Blob, false)
	if picture == nil {
		return ""
	}
	f := report.MarkedPhoto(picture, k.Body.Note, marks)
	f.Bare = true
	return f.Draw(v.View.Style).SVG(draw.SVGOptions{ID: "marked", Width: "100%"})
}

// marksTyped draws marks that are being set.
func marksTyped(v *frame.Visit, j *frame.Job, e *record.Entry) string {
	m, ok := readBody[job.Marks](e)
	k := photoNamed(j, m.Photo)
	if !ok || k == nil {
		return ""
	}
	return markedSVG(v, j, k, m.Marks)
}

func (r *markRow) value(e *part.Entry, name string, standing float64) string {
	if text := typed(e, name); text != "" {
		return text
	}
	return strconv.FormatFloat(standing, 'f', 3, 64)
}

func (r *markRow) endX() float64 { x, _ := r.mark.End(); return x }
func (r *markRow) endY() float64 { _, y := r.mark.End(); return y }

func (r *markRow) is(e *part.Entry, shape string) bool {
	if e.Typed != nil {
		return typed(e, r.shape) == shape
	}
	return r.mark.Shape == shape
}

func (r *markRow) title() say.Message {
	switch r.mark.Shape {
	case job.MarkCircle:
		return wordMarkIs.With(r.number, wordMarkCircle.With().String())
	case job.MarkArrow:
		return wordMarkIs.With(r.number, wordMarkArrow.With().String())
	case job.MarkNumber:
		return wordMarkIs.With(r.number, wordMarkNumber.With().String())
	}
	return wordMark.With(r.number)
}

var markShapes = []struct {
	shape string
	word  say.Template
}{{job.MarkCircle, wordMarkCircle}, {job.MarkArrow, wordMarkArrow}, {job.MarkNumber, wordMarkNumber}}

func marksPath(j *frame.Job, ref string) string { return j.Path("/marks/" + ref) }
