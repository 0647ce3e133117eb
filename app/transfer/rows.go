package transfer

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"pumpwright/calc/say"
)

// Row is one row of a table from outside.
type Row struct {
	Line    int // as the spreadsheet or the editor counts it
	Cells   []string
	Formula []bool // cells that hold a formula; nil when none does
}

// Rows is a table that is read row by row: a CSV file or a sheet of a
// workbook.
type Rows struct {
	Columns []string // the first row
	next    func() (Row, error)
	sheet   bool // cells come from a workbook: dates are numbers there
}

// Next returns the next row that is not empty, io.EOF after the last. The
// cells hold until the next call.
func (r *Rows) Next() (Row, error) {
	for {
		row, err := r.next()
		if err != nil {
			return Row{}, err
		}
		for _, c := range row.Cells {
			if c != "" {
				return row, nil
			}
		}
	}
}

var (
	msgEmptyTable = say.Define("transfer.empty_table", "there is no row with the names of the columns")
	msgNotUTF8    = say.Define("transfer.not_utf8", "the file is not in UTF-8 (nor UTF-16)")
	msgSaveUTF8   = say.Define("transfer.save_utf8", "save it as CSV UTF-8, or as a workbook")
	msgBadCSV     = say.Define("transfer.bad_csv", "line {line:count} cannot be read as CSV: {reason}")
	msgQuoteCSV   = say.Define("transfer.quote_csv", "a cell with quotes is written in quotes, the quotes inside doubled")
	msgColumn2    = say.Define("transfer.column_twice", "two columns have this name")
)

// OpenCSV reads a table with commas, semicolons or tabs between its cells; the
// first row tells which. UTF-8 with or without a mark, or UTF-16 with one.
func OpenCSV(from io.Reader) (*Rows, error) {
	text := bufio.NewReaderSize(transform.NewReader(from, unicode.BOMOverride(transform.Nop)), 1<<16)
	head, err := text.Peek(1 << 15)
	if err != nil && !errors.Is(err, io.EOF) && !errors.Is(err, bufio.ErrBufferFull) {
		return nil, fmt.Errorf("transfer: %w", err)
	}
	if !utf8.Valid(cutRune(head)) {
		return nil, say.Refuse("", "", msgNotUTF8.With(), msgSaveUTF8.With())
	}
	reader := csv.NewReader(text)
	reader.Comma = delimiter(head)
	reader.FieldsPerRecord = -1
	reader.ReuseRecord = true
	r := &Rows{next: func() (Row, error) {
		cells, err := reader.Read()
		if err != nil {
			return Row{}, csvProblem(err)
		}
		line, _ := reader.FieldPos(0)
		row := Row{Line: line, Cells: cells}
		for i, c := range cells {
			switch {
			case !utf8.ValidString(c):
				return Row{}, say.Refuse(fmt.Sprintf("line %d", line), "", msgNotUTF8.With(), msgSaveUTF8.With())
			case formulaText(c):
				if row.Formula == nil {
					row.Formula = make([]bool, len(cells))
				}
				row.Formula[i] = true
			}
			cells[i] = strings.TrimSpace(unescapeCell(c))
		}
		return row, nil
	}}
	return r, r.head()
}

// head takes the first row as the names of the columns.
func (r *Rows) head() error {
	row, err := r.Next()
	if errors.Is(err, io.EOF) {
		return say.Refuse("", "", msgEmptyTable.With(), say.Message{})
	}
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	for _, c := range row.Cells {
		c = strings.Clone(c)
		if key := plainName(c); key != "" && seen[key] {
			return say.Refuse("columns", c, msgColumn2.With(), say.Message{})
		} else {
			seen[key] = true
		}
		r.Columns = append(r.Columns, c)
	}
	return nil
}

func csvProblem(err error) error {
	var p *csv.ParseError
	if errors.As(err, &p) {
		return say.Refuse(fmt.Sprintf("line %d", p.StartLine), "", msgBadCSV.With(p.Line, p.Err.Error()), msgQuoteCSV.With())
	}
	return err
}

// cutRune takes off a rune that was cut at the end of a peek.
func cutRune(b []byte) []byte {
	for i := 1; i <= utf8.UTFMax && i <= len(b); i++ {
		if utf8.RuneStart(b[len(b)-i]) {
			if !utf8.FullRune(b[len(b)-i:]) {
				return b[:len(b)-i]
			}
			break
		}
	}
	return b
}

// delimiter is the sign that stands most often in the first line, outside of
// quotes.
func delimiter(text []byte) rune {
	if i := bytes.IndexAny(text, "\r\n"); i > 0 {
		text = text[:i]
	}
	best, most := ',', 0
	for _, sign := range ",;\t" {
		n, quoted := 0, false
		for _, c := range string(text) {
			if c == '"' {
				quoted = !quoted
			} else if c == sign && !quoted {
				n++
			}
		}
		if n > most {
			best, most = sign, n
		}
	}
	return best
}

// formulaText reports whether the text of a CSV cell is a formula to whatever
// program opens it. Numbers with a sign, and words behind a dash, are none.
func formulaText(cell string) bool {
	return strings.HasPrefix(cell, "=") || strings.HasPrefix(cell, "@") || strings.HasPrefix(cell, "+=") || strings.HasPrefix(cell, "-=")
}

// active are the first signs with which spreadsheet programs take a cell for a
// formula, the wide forms of them included. Source: common practice against
// formulas in exported cells.
const active = "=+-@\t\r\n＝＋－＠"

// escapeCell makes a text that no spreadsheet program executes: a text that
// begins with an active sign gets an apostrophe before it, unless it is a plain
// number. unescapeCell takes exactly that apostrophe off again.
func escapeCell(text string) string {
	if rest := strings.TrimLeft(text, "'"); rest != "" && startsActive(rest) && (rest != text || !plainNumber(text)) {
		return "'" + text
	}
	return text
}

func unescapeCell(cell string) string {
	if strings.HasPrefix(cell, "'") && startsActive(strings.TrimLeft(cell, "'")) {
		return cell[1:]
	}
	return cell
}

func startsActive(text string) bool {
	r, _ := utf8.DecodeRuneInString(text)
	return text != "" && strings.ContainsRune(active, r)
}

// plainNumber reports whether a text is a sign, digits, a point and an
// exponent, and nothing else.
func plainNumber(text string) bool {
	digits := false
	for i, c := range text {
		switch {
		case c >= '0' && c <= '9':
			digits = true
		case (c == '-' || c == '+') && (i == 0 || text[i-1] == 'e' || text[i-1] == 'E'):
		case c == '.':
		case (c == 'e' || c == 'E') && digits:
		default:
			return false
		}
	}
	return digits
}
