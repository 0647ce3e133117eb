package report

import (
	"pumpwright/app/document"
	"pumpwright/rebuild/assess"
)

// Piece is one matter of the report, for a page that shows it by itself.
type Piece string

// The pieces.
const (
	Together Piece = "together" // press, bolts, film, seal, alignment, return to service
	Proved   Piece = "proved"   // what it delivers, and the bench test
	Money    Piece = "quote"    // what to order, labour, rebuild or replace
)

// BuildPiece makes the tree of one matter, the same as it stands in the report.
func BuildPiece(a *assess.Assessment, piece Piece, o Options) *document.Report {
	b := builder{a: a, o: o}
	switch piece {
	case Together:
		b.assembly()
	case Proved:
		b.proof()
		b.delivery()
	case Money:
		b.offer()
	}
	return &document.Report{Title: b.mark(), Blocks: b.blocks}
}
