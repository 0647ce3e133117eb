//go:build !js

package document

import (
	"slices"
	"strings"

	"pumpwright/app/draw"
)

// field is a cell ready to be set.
type field struct {
	lines  []string // of a text column
	number string   // of a figures column
	unit   string
	state  *draw.State
}

const (
	cellPad  = 1.6
	stateGap = 3.6 // shape and the gap behind it
)

// table sets a table: thin rules under the rows, heavier ones round the head,
// no uprights; the head again on each page.
func (w *paper) table(t Table) {
	if len(t.Columns) == 0 {
		return
	}
	caption := ""
	if text := show(t.Caption, w.style); text != "" {
		w.tables++
		caption = wordTable.With(w.tables, text).Text(w.style)
	}
	cells, units, widths := w.measure(t)
	rows := make([][]field, len(cells))
	step := tableSize * lineStep
	for i := range cells {
		rows[i] = w.wrapRow(cells[i], widths)
	}
	heads := make([][]string, len(t.Columns))
	headLines := 1
	for j, c := range t.Columns {
		heads[j] = draw.Wrap(show(c.Head, w.style), smallSize, true, widths[j]-2*cellPad)
		headLines = max(headLines, len(heads[j]))
	}
	headHeight := float64(headLines)*smallSize*lineStep + 2.4
	first := true
	head := func() {
		text := caption
		if !first && text != "" {
			text = wordContinued.With(caption).Text(w.style)
		}
		first = false
		if text != "" {
			for _, line := range draw.Wrap(text, smallSize, false, w.width) {
				w.put(w.left, w.y+0.78*smallSize*lineStep, line, smallSize, false, draw.Soft, draw.Left)
				w.y += smallSize * lineStep
			}
			w.y += 0.8
		}
		w.tableHead(t.Columns, heads, headLines, widths, headHeight)
	}
	w.room(headHeight + 8 + 2*(step+1.6))
	head()
	most := max(1, int((w.bottom-marginTop-headHeight-12)/step)) // lines that a page can hold
	for i, row := range rows {
		for _, part := range splitRow(row, most) {
			height := rowHeight(part, step)
			if w.y+height > w.bottom {
				w.newPage()
				head()
			}
			w.tableRow(part, t.Rows[i].Total, widths, units, height)
		}
	}
	w.rule(w.left, w.left+w.width, w.y, draw.Ink, 0.35)
	w.y += blockGap + 0.6
}

// measure shows the cells and finds the widths of the columns: as much as the
// longest text of each wants, or less when that is too much.
func (w *paper) measure(t Table) (cells [][]field, units, widths []float64) {
	n := len(t.Columns)
	units, widths = make([]float64, n), make([]float64, n)
	numbers, least := make([]float64, n), make([]float64, n)
	cells = make([][]field, len(t.Rows))
	for i, row := range t.Rows {
		cells[i] = make([]field, n)
		for j := range n {
			if j >= len(row.Cells) {
				continue
			}
			c := row.Cells[j]
			text := cellText(c, w.style)
			f := field{state: c.State}
			if t.Columns[j].Number && c.State == nil {
				f.number, f.unit = SplitUnit(text)
				numbers[j] = max(numbers[j], draw.TextWidth(f.number, tableSize, row.Total))
				units[j] = max(units[j], draw.TextWidth(f.unit, tableSize, row.Total))
			} else {
				f.lines = []string{text}
				extra := 0.0
				if c.State != nil {
					extra = stateGap
				}
				widths[j] = max(widths[j], draw.TextWidth(text, tableSize, row.Total)+extra)
				word := min(longestWord(text, tableSize, row.Total), w.width/4)
				if c.State != nil {
					word = draw.TextWidth(c.State.Word().Text(w.style), tableSize, true)
				}
				least[j] = max(least[j], word+extra)
			}
			cells[i][j] = f
		}
	}
	total := 0.0
	for j, c := range t.Columns {
		if gap := numbers[j] + units[j]; gap > 0 {
			if units[j] > 0 {
				gap += 0.9
			}
			widths[j] = max(widths[j], gap)
			least[j] = max(least[j], gap)
		}
		head := show(c.Head, w.style)
		// a head is broken rather than that its column grows for it alone
		widths[j] = max(widths[j], min(draw.TextWidth(head, smallSize, true), 18)) + 2*cellPad
		least[j] = max(least[j], longestWord(head, smallSize, true)) + 2*cellPad
		widths[j] = max(widths[j], least[j])
		total += widths[j]
	}
	if total > w.width {
		narrow(widths, least, w.width)
		return cells, units, widths
	}
	words := 0 // spread the rest over the columns of words, else over all
	for _, c := range t.Columns {
		if !c.Number {
			words++
		}
	}
	for j, c := range t.Columns {
		if words == 0 {
			widths[j] += (w.width - total) / float64(n)
		} else if !c.Number {
			widths[j] += (w.width - total) / float64(words)
		}
	}
	return cells, units, widths
}

// narrow takes width from the widest columns first, down to one common width,
// but from none more than its longest word allows.
func narrow(widths, least []float64, room float64) {
	low, high := 0.0, slices.Max(widths)
	for range 50 {
		level := (low + high) / 2
		total := 0.0
		for j := range widths {
			total += max(least[j], min(widths[j], level))
		}
		if total > room {
			high = level
		} else {
			low = level
		}
	}
	for j := range widths {
		widths[j] = max(least[j], min(widths[j], low))
	}
}

func longestWord(text string, size float64, bold bool) float64 {
	longest := 0.0
	for _, word := range strings.Fields(text) {
		longest = max(longest, draw.TextWidth(word, size, bold))
	}
	return longest
}

func (w *paper) wrapRow(row []field, widths []float64) []field {
	out := make([]field, len(row))
	for j, f := range row {
		out[j] = f
		if len(f.lines) == 0 {
			continue
		}
		width := widths[j] - 2*cellPad
		if f.state != nil {
			width -= stateGap
		}
		out[j].lines = draw.Wrap(f.lines[0], tableSize, false, width+0.01)
	}
	return out
}

// splitRow parts a row that is higher than a page.
func splitRow(row []field, most int) [][]field {
	var parts [][]field
	for {
		part, rest := make([]field, len(row)), make([]field, len(row))
		more := false
		for j, f := range row {
			part[j] = f
			if len(f.lines) > most {
				part[j].lines = f.lines[:most]
				rest[j].lines = f.lines[most:]
				more = true
			}
		}
		parts = append(parts, part)
		if !more {
			return parts
		}
		row = rest
	}
}

func rowHeight(row []field, step float64) float64 {
	lines := 1
	for _, f := range row {
		lines = max(lines, len(f.lines))
	}
	return float64(lines)*step + 1.6
}

// numberEnd returns the x at which the numbers of a column end.
func numberEnd(x, width, unit float64) float64 {
	gap := 0.0
	if unit > 0 {
		gap = 0.9
	}
	return x + width - cellPad - unit - gap
}

func (w *paper) tableHead(columns []Column, heads [][]string, lines int, widths []float64, height float64) {
	w.rule(w.left, w.left+w.width, w.y, draw.Ink, 0.35)
	x := w.left
	step := smallSize * lineStep
	for j, c := range columns {
		for k, line := range heads[j] {
			y := w.y + 1.2 + 0.78*step + float64(lines-len(heads[j])+k)*step
			if c.Number {
				w.put(x+widths[j]-cellPad, y, line, smallSize, true, draw.Ink, draw.Right)
			} else {
				w.put(x+cellPad, y, line, smallSize, true, draw.Ink, draw.Left)
			}
		}
		x += widths[j]
	}
	w.y += height
	w.rule(w.left, w.left+w.width, w.y, draw.Ink, 0.25)
}

func (w *paper) tableRow(row []field, bold bool, widths, units []float64, height float64) {
	if bold {
		w.rule(w.left, w.left+w.width, w.y, draw.Ink, 0.25)
	}
	step := tableSize * lineStep
	base := w.y + 0.8 + 0.78*step
	x := w.left
	for j, f := range row {
		switch {
		case f.number != "" || f.unit != "":
			end := numberEnd(x, widths[j], units[j])
			w.put(end, base, f.number, tableSize, bold, draw.Ink, draw.Right)
			w.put(end+0.9, base, f.unit, tableSize, bold, draw.Soft, draw.Left)
		case f.state != nil && len(f.lines) > 0:
			mark := draw.New(stateGap, stateGap)
			mark.Mark(draw.At(1.35, 1.35), *f.state, 2.7)
			mark.Place(w.pdf, x+cellPad, base-2.35, 1, w.palette)
			w.lines(x+cellPad+stateGap, base, f.lines, f.state.Role(), bold || *f.state == draw.PastLimit)
		default:
			w.lines(x+cellPad, base, f.lines, draw.Ink, bold)
		}
		x += widths[j]
	}
	w.y += height
	w.rule(w.left, w.left+w.width, w.y, draw.Faint, 0.12)
}

func (w *paper) lines(x, base float64, lines []string, role draw.Role, bold bool) {
	for k, line := range lines {
		w.put(x, base+float64(k)*tableSize*lineStep, line, tableSize, bold, role, draw.Left)
	}
}

// height estimates how high blocks will stand; tables and figures are taken
// whole.
func (w *paper) height(blocks []Block) float64 {
	total := 0.0
	text := func(t Text, width float64) float64 {
		return float64(len(draw.Wrap(show(t, w.style), bodySize, false, width))) * bodySize * lineStep
	}
	for _, b := range blocks {
		switch b := b.(type) {
		case Heading:
			total += 12
		case Paragraph:
			total += text(b.Text, w.width) + blockGap
		case Note:
			total += text(b.Text, w.width-8) + 9 + blockGap
		case Caution:
			total += max(13, text(b.Text, w.width-17)+9) + blockGap
		case List:
			for _, item := range b.Items {
				total += text(item, w.width-6.5) + 0.8
			}
			total += blockGap
		case Facts:
			total += float64(len(b.Items))*(bodySize*lineStep+1) + blockGap
		case Table:
			total += 14 + float64(len(b.Rows))*(tableSize*lineStep+1.6) + blockGap
		case Figure:
			if b.Draw == nil {
				continue
			}
			if d := b.Draw(w.style); d != nil && d.Width > 0 {
				total += d.Height*min(1, w.width/d.Width) + 8 + blockGap
			}
		case Signatures:
			total += 24*float64((len(b.Lines)+1)/2) + blockGap
		case Group:
			total += w.height(b.Blocks)
		}
	}
	return total
}
