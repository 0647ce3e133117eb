package calculate

import (
	"slices"
	"sort"
	"strconv"

	"pumpwright/rebuild/calculator"
)

// result is one line of an answer: a name with a text, with texts, with a
// table, or with lines below it.
type result struct {
	Name  string
	Text  string
	Items []string
	Head  []string // of Rows
	Rows  [][]string
	Lines []result
}

// results puts an outcome in lines, in the order of the fields.
func (f *form) results() []result {
	doc := f.outcome.Document(f.v.View.Style, false)
	values, _ := doc["results"].(map[string]any)
	return linesOf(values, f.c.Results())
}

func linesOf(values map[string]any, fields []calculator.Field) []result {
	var lines []result
	for _, field := range fields {
		if value, there := values[field.Name]; there {
			lines = append(lines, lineOf(field.Name, value, field.Fields))
		}
	}
	return lines
}

func lineOf(name string, value any, fields []calculator.Field) result {
	line := result{Name: name}
	switch v := value.(type) {
	case map[string]any:
		if text, ok := v["text"].(string); ok {
			line.Text = text
			return line
		}
		if len(fields) > 0 {
			if line.Lines = linesOf(v, fields); len(line.Lines) > 0 {
				return line
			}
		}
		names := make([]string, 0, len(v))
		for n := range v {
			names = append(names, n)
		}
		sort.Strings(names)
		for _, n := range names {
			line.Lines = append(line.Lines, lineOf(n, v[n], fields))
		}
	case []any:
		for i, item := range v {
			line.Lines = append(line.Lines, lineOf(strconv.Itoa(i+1), item, fields))
		}
		line.flatten(fields)
	case float64:
		line.Text = strconv.FormatFloat(v, 'g', 6, 64)
	case string:
		line.Text = v
	case bool:
		line.Text = strconv.FormatBool(v)
	case int:
		line.Text = strconv.Itoa(v)
	}
	return line
}

// mostColumns is how many columns of a table a page has room for.
const mostColumns = 7

// flatten turns a list of texts into items, and a list of records without
// lists of their own into a table.
func (r *result) flatten(fields []calculator.Field) {
	var items []string
	var rows [][]string
	head := make([]string, 0, len(fields))
	for _, f := range fields {
		if slices.ContainsFunc(r.Lines, func(l result) bool { return l.named(f.Name) != "" }) {
			head = append(head, f.Name)
		}
	}
	for _, l := range r.Lines {
		if l.Lines == nil && l.Items == nil && l.Rows == nil {
			items = append(items, l.Text)
			continue
		}
		row := make([]string, len(head))
		plain := 0
		for i, name := range head {
			if row[i] = l.named(name); row[i] != "" {
				plain++
			}
		}
		if plain == len(l.Lines) {
			rows = append(rows, row)
		}
	}
	switch {
	case len(items) == len(r.Lines):
		r.Items, r.Lines = items, nil
	case len(rows) == len(r.Lines) && len(head) <= mostColumns:
		r.Head, r.Rows, r.Lines = head, rows, nil
	}
}

// named is the text of a line below, "" when there is none.
func (r *result) named(name string) string {
	for _, l := range r.Lines {
		if l.Name == name && l.Lines == nil && l.Items == nil && l.Rows == nil {
			return l.Text
		}
	}
	return ""
}

// counted reports whether a name is the number of an item.
func counted(name string) bool { return name != "" && name[0] >= '0' && name[0] <= '9' }
