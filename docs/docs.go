// Package docs holds the handbook as it is read on paper, in a code browser and
// in the program's own pages: one text, embedded.
package docs

import "embed"

// Files holds the chapters as Markdown with their pictures.
//
//go:embed *.md *.png *.svg
var Files embed.FS

// Chapter is one text of the handbook.
type Chapter struct {
	Name  string // of its file, without .md
	Title string
}

// Chapters lists the handbook in the order of reading.
func Chapters() []Chapter {
	return []Chapter{
		{"first-rebuild", "A first rebuild in twenty minutes"},
		{"model-sheet", "How to transcribe a model sheet"},
		{"measuring", "Measuring guide"},
		{"cautions", "Cautions"},
		{"glossary", "Words of the trade"},
		{"answers", "Which equation stands behind which answer"},
		{"results", "How each result is computed"},
		{"diagnosis", "Diagnosis: the model and how far it may be trusted"},
		{"coverage", "How often the stated bounds hold the truth"},
		{"measured", "What was measured, with which command"},
		{"administration", "Administration"},
		{"api", "For programs: the JSON interface"},
		{"json", "The JSON of a job's assessment"},
		{"threats", "Threats"},
		{"languages", "Languages"},
		{"ux-notes", "Stumbles, and what became of them"},
		{"design", "Design"},
	}
}
