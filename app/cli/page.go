package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"pumpwright/app/language"
	"pumpwright/calc/say"
)

// page writes text for people: paragraphs and tables that keep to a width.
type page struct {
	out   io.Writer
	width int
	style say.Style
	err   error // the first that happened
}

func newPage(env *Env, style say.Style) *page {
	style.Catalogue = language.Catalogue(env.language)
	return &page{out: env.Out, width: env.width(), style: style}
}

func (p *page) line(text string) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.out, strings.TrimRight(text, " "))
	}
}

func (p *page) blank() { p.line("") }

// head writes a heading with a line of space before it.
func (p *page) head(m say.Message) {
	p.blank()
	p.line(strings.ToUpper(m.Text(p.style)))
}

// say writes a message as a paragraph.
func (p *page) say(m say.Message) { p.text("", m.Text(p.style)) }

// names joins names that may hold commas.
func names(list []string) string { return strings.Join(list, "; ") }

// item writes a message with a mark before it, its further lines indented
// behind the mark.
func (p *page) item(mark string, m say.Message) { p.text(mark, m.Text(p.style)) }

func (p *page) text(mark, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(mark))
	for i, line := range wrap(text, p.width-len(indent)) {
		if i == 0 {
			p.line(mark + line)
			continue
		}
		p.line(indent + line)
	}
}

// wrap breaks a text into lines of at most width runes where it can. Spaces
// before a paragraph indent all its lines.
func wrap(text string, width int) []string {
	var lines []string
	for _, paragraph := range strings.Split(text, "\n") {
		indent := paragraph[:len(paragraph)-len(strings.TrimLeft(paragraph, " "))]
		line := indent
		for _, word := range gluedWords(paragraph, width-len(indent)) {
			switch {
			case line == indent:
				line += word
			case utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) <= width:
				line += " " + word
			default:
				lines = append(lines, line)
				line = indent + word
			}
		}
		lines = append(lines, line)
	}
	return lines
}

// gluedWords splits a text into words; a number stays with its unit and with
// its uncertainty where the width allows it.
func gluedWords(text string, width int) []string {
	var words []string
	glue := false
	for _, word := range strings.Fields(text) {
		last := len(words) - 1
		if (glue || word == "±" && last >= 0) && utf8.RuneCountInString(words[last]+" "+word) <= width {
			words[last] += " " + word
		} else {
			words = append(words, word)
		}
		glue = strings.Trim(word, "-+.,0123456789±<≥") == ""
	}
	return words
}

const (
	columnGap   = "  "
	leastColumn = 10
)

// table writes rows in columns. When they are wider than the page, the widest
// column is narrowed and its text broken. heads may be nil.
func (p *page) table(indent string, heads []say.Message, rows [][]string) {
	all := rows
	if heads != nil {
		all = append([][]string{say.Texts(heads, p.style)}, rows...)
	}
	if len(rows) == 0 {
		return
	}
	widths := columnWidths(all, p.width-len(indent))
	for _, row := range all {
		cells := make([][]string, len(row))
		height := 1
		for i, cell := range row {
			cells[i] = wrap(cell, widths[i])
			height = max(height, len(cells[i]))
		}
		for y := range height {
			var b strings.Builder
			b.WriteString(indent)
			for i := range cells {
				part := ""
				if y < len(cells[i]) {
					part = cells[i][y]
				}
				b.WriteString(part)
				if i < len(cells)-1 {
					b.WriteString(strings.Repeat(" ", max(0, widths[i]-utf8.RuneCountInString(part))))
					b.WriteString(columnGap)
				}
			}
			p.line(b.String())
		}
	}
}

// columnWidths gives each column its natural width and takes from the widest
// until the rows fit.
func columnWidths(rows [][]string, width int) []int {
	var widths []int
	for _, row := range rows {
		for i, cell := range row {
			for len(widths) <= i {
				widths = append(widths, 0)
			}
			for _, line := range strings.Split(cell, "\n") {
				widths[i] = max(widths[i], utf8.RuneCountInString(line))
			}
		}
	}
	total := len(columnGap) * (len(widths) - 1)
	for _, w := range widths {
		total += w
	}
	for ; total > width; total-- {
		widest := 0
		for i := range widths {
			if widths[i] > widths[widest] {
				widest = i
			}
		}
		if widths[widest] <= leastColumn {
			break
		}
		widths[widest]--
	}
	return widths
}
