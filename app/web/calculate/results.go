package calculate

import (
	"sort"
	"strconv"

	"pumpwright/rebuild/calculator"
)

// result is one line of an answer: a name with a text, or with lines below it.
type result struct {
	Name  string
	Text  string
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
