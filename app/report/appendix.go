package report

import (
	"strings"

	"pumpwright/app/document"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	colName     = say.Define("report.col_name", "number")
	colValue    = say.Define("report.col_value", "value")
	colEquation = say.Define("report.col_equation", "how, and from where")
)

// appendix shows the working of every number: what it is called, its value,
// its equation and source, or where it was entered.
func (b *builder) appendix() {
	b.add(document.PageBreak{})
	b.heading(headWorking)
	for _, root := range b.a.Workings() {
		table := document.Table{Columns: []document.Column{{Head: colName.With()}, {Head: colValue.With(), Number: true}, {Head: colEquation.With()}}}
		root.Walk(func(n *working.Node, depth int) {
			table.Rows = append(table.Rows, document.Row{Cells: []document.Cell{
				document.Words(indented{n.Name, n.Symbol, depth}), document.Words(b.valueOf(n)), document.Words(say.Plain(b.because(n))),
			}})
		})
		b.add(document.Group{Blocks: []document.Block{document.Heading{Level: 2, Text: root.Name}, table}})
	}
}

// valueOf is the number of a node; a text that is no number stands with the
// reasons.
func (b *builder) valueOf(n *working.Node) say.Shower {
	if len(n.Text) > longestValue {
		return dash
	}
	return n
}

const longestValue = 24

// because is the equation and source of a computed number, the source or the
// entry of one that was given.
func (b *builder) because(n *working.Node) string {
	var parts []string
	if len(n.Text) > longestValue {
		parts = append(parts, n.Text)
	}
	if n.Equation != "" {
		parts = append(parts, n.Equation)
	}
	if n.Source != "" {
		parts = append(parts, n.Source)
	}
	if n.Ref != "" {
		parts = append(parts, b.refWords(n.Ref))
	}
	return strings.Join(parts, " · ")
}

// refWords names the entry by its number instead of its id.
func (b *builder) refWords(ref string) string {
	for _, v := range b.a.Inputs.Job.Values {
		if v.Ref == ref {
			return entryWords.With(int(v.Seq), b.a.Inputs.Shop.PersonName(v.By), v.At.Day()).Text(b.o.Style)
		}
	}
	return ref
}

var entryWords = say.Define("report.entry", "entry {seq:count}, {who}, {day}")

// indented is a name shown deeper for each level below the root.
type indented struct {
	name   say.Message
	symbol string
	depth  int
}

// Show prints the name with its symbol.
func (i indented) Show(s say.Style) string {
	text := strings.Repeat("  ", i.depth) + i.name.Text(s)
	if i.symbol != "" {
		text += " " + i.symbol
	}
	return text
}
