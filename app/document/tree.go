package document

import (
	"time"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// Text is any text of a report: a message, a quantity, a problem.
type Text = say.Shower

// Report is a whole document.
type Report struct {
	Title    Text
	Subtitle Text
	Mark     Text      // what stands at the right of each page's head: job, tag
	Foot     Text      // what stands at the left of each page's foot
	Author   string    // for the metadata
	Created  time.Time // for the metadata; never read from a clock
	Facts    []Fact    // the title block of the first page
	Blocks   []Block
}

// Fact is a name with its value.
type Fact struct {
	Name  Text
	Value Text
}

// Block is one element of a report.
type Block interface{ block() }

// Heading begins a part of the report; Level counts from 1.
type Heading struct {
	Level int
	Text  Text
}

// Paragraph is running text.
type Paragraph struct{ Text Text }

// List is a list of texts, numbered or not.
type List struct {
	Items    []Text
	Numbered bool
}

// Note is a remark set apart.
type Note struct{ Text Text }

// Caution says what can happen and what to do, before the step it belongs to.
type Caution struct{ Text Text }

// Facts are names with values, one below the other.
type Facts struct{ Items []Fact }

// Table is a table; its head is repeated on every page that it reaches.
type Table struct {
	Caption Text
	Columns []Column
	Rows    []Row
}

// Column is a column of a table.
type Column struct {
	Head Text
	// Number sets the column as figures: aligned where number and unit meet.
	Number bool
}

// Row is one row; Total sets it apart with a rule above and bold figures.
type Row struct {
	Cells []Cell
	Total bool
}

// Cell is one field of a table, a text or a state.
type Cell struct {
	Text  Text
	State *draw.State // shown with its shape and its word, before the text
}

// Figure is a drawing, made when the report is rendered. Without a caption it
// has no number: a piece of a form, which nobody refers to.
type Figure struct {
	Caption Text
	Draw    func(say.Style) *draw.Drawing
	// Share is the part of the text width that the figure may take, 0…1;
	// 0 means all of it. A figure is never enlarged.
	Share float64
}

// Signatures are lines to sign on.
type Signatures struct{ Lines []Signature }

// Signature is one line: who may sign, what for, and who signed when.
type Signature struct {
	Role Text
	For  Text
	Name Text // empty: still to be signed
	Date Text
}

// PageBreak begins a new page on paper.
type PageBreak struct{}

// Group keeps its blocks on one page of paper when they fit on one.
type Group struct{ Blocks []Block }

func (Heading) block()    {}
func (Paragraph) block()  {}
func (List) block()       {}
func (Note) block()       {}
func (Caution) block()    {}
func (Facts) block()      {}
func (Table) block()      {}
func (Figure) block()     {}
func (Signatures) block() {}
func (PageBreak) block()  {}
func (Group) block()      {}

// Words makes a cell of a text.
func Words(t Text) Cell { return Cell{Text: t} }

// InState makes a cell of a state.
func InState(s draw.State) Cell { return Cell{State: &s} }

var (
	wordCaution   = say.Define("document.caution", "Caution")
	wordNote      = say.Define("document.note", "Note")
	wordPage      = say.Define("document.page", "page {n:count} of {all:count}")
	wordContinued = say.Define("document.continued", "{caption} (continued)")
	wordSigned    = say.Define("document.signed", "signed")
	wordDate      = say.Define("document.date", "date")
	wordFigure    = say.Define("document.figure", "Figure {n:count}. {caption}")
	wordTable     = say.Define("document.table", "Table {n:count}. {caption}")
)

func show(t Text, s say.Style) string {
	if t == nil {
		return ""
	}
	return draw.Clean(t.Show(s))
}
