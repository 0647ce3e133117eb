package calculator

import (
	"encoding/csv"
	"slices"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

var (
	msgNoFiles      = say.Define("calculator.no_files", "files cannot be read here")
	msgGiveRows     = say.Define("calculator.give_rows", "give {field} instead")
	msgFileUnread   = say.Define("calculator.file_unread", "the file cannot be read: {reason}")
	msgCSVColumn    = say.Define("calculator.csv_column", "the file has no column “{column}”")
	msgCSVColumns   = say.Define("calculator.csv_columns", "its first line must name the columns {columns:list}")
	msgCSVEmpty     = say.Define("calculator.csv_empty", "the file has no lines below its head")
	msgCSVValue     = say.Define("calculator.csv_value", "line {line:count} of the file: this is not a number")
	msgCSVLine      = say.Define("calculator.csv_line", "line {line:count} of the file: {reason:message}")
	msgWriteNumbers = say.Define("calculator.write_numbers", "write plain numbers; their unit stands in the field unit")
)

// csvTable is a CSV file by the names of its columns: in any order and case,
// parted by commas, semicolons or tabs, with # before remarks.
type csvTable struct {
	at    map[string]int
	lines [][]string
}

// csvColumn is a column that is wanted.
type csvColumn struct {
	name    string
	aliases []string
	mayLack bool
}

// readCSV reads a file that an input names. Problems name no field; the caller
// adds its own.
func readCSV(env *Env, name string, columns []csvColumn) (*csvTable, error) {
	if env == nil || env.ReadFile == nil {
		return nil, say.Refuse("", name, msgNoFiles.With(), msgGiveRows.With("rows"))
	}
	content, err := env.ReadFile(name)
	if err != nil {
		return nil, err
	}
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	text := strings.TrimPrefix(string(content), "\ufeff")
	reader := csv.NewReader(strings.NewReader(text))
	reader.Comment = '#'
	reader.TrimLeadingSpace = true
	reader.Comma = csvComma(text)
	lines, err := reader.ReadAll()
	switch {
	case err != nil:
		return nil, say.Refuse("", name, msgFileUnread.With(err.Error()), msgCSVColumns.With(names))
	case len(lines) < 2:
		return nil, say.Refuse("", name, msgCSVEmpty.With(), msgCSVColumns.With(names))
	}
	t := &csvTable{at: map[string]int{}, lines: lines[1:]}
	for i, head := range lines[0] {
		head = strings.ToLower(strings.TrimSpace(head))
		for _, c := range columns {
			if slices.Contains(c.aliases, head) {
				head = c.name
			}
		}
		t.at[head] = i
	}
	for _, c := range columns {
		if _, found := t.at[c.name]; !found && !c.mayLack {
			return nil, say.Refuse("", name, msgCSVColumn.With(c.name), msgCSVColumns.With(names))
		}
	}
	return t, nil
}

// csvComma is what parts the columns, seen from the first line that is no
// remark.
func csvComma(text string) rune {
	for line := range strings.Lines(text) {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		for _, comma := range []rune{';', '\t'} {
			if strings.ContainsRune(line, comma) {
				return comma
			}
		}
		break
	}
	return ','
}

// text returns a cell, "" where the column is missing.
func (t *csvTable) text(line int, column string) string {
	i, there := t.at[column]
	if !there {
		return ""
	}
	return strings.TrimSpace(t.lines[line][i])
}

// number reads a cell; accepted says what it wants.
func (t *csvTable) number(line int, column string, accepted say.Message) (float64, error) {
	text := t.text(line, column)
	v, err := quantity.ReadNumber(text)
	if err != nil {
		return 0, say.Refuse("", text, msgCSVValue.With(line+2), accepted)
	}
	return v, t.onLine(line, fields.InReach(text, v))
}

// fromFile names the field of the file in a problem of rows that came from
// one: the rows themselves were not written in the input.
func fromFile(file string, err error) error {
	p := say.AsProblem(err)
	if file == "" || p == nil || !strings.HasPrefix(p.Field, "rows") {
		return err
	}
	return say.Refuse("file", file, p.Message, p.Accepted)
}

// onLine says in which line of the file a problem lies.
func (t *csvTable) onLine(line int, err error) error {
	p := say.AsProblem(err)
	if p == nil {
		return err
	}
	return say.Refuse("", p.Read, msgCSVLine.With(line+2, p.Message), p.Accepted)
}
