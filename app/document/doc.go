// Package document holds a report as a tree: headings, paragraphs, tables,
// figures, notes, cautions, facts and lines to sign. The same tree becomes a
// PDF for paper and a piece of HTML for a page.
//
// Texts are kept as say.Shower and become words only when the report is
// rendered, in the units and the language of the person who reads it. Figures
// are drawn at the same moment.
//
// The same report gives the same bytes: the time of creation is an input, and
// nothing else that changes goes into the file. The text of the PDF can be
// searched and copied; title, language and dates stand in its metadata. No
// level of an archival standard is claimed.
package document
