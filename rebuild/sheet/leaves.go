package sheet

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
	"github.com/goccy/go-yaml/token"

	"pumpwright/calc/say"
)

// Leaf is one value of a text in YAML, with its place. A group in a list is
// called by its id, name, part or step where it has one, so that a path stays
// the same when the list grows.
type Leaf struct {
	Path  string // dimensions[idler-pin-od].nominal
	Value string
	Line  int
	Fixed bool // its place in the text is not one word on one line: it is changed there only

	from, to int // bytes of the text
}

// Group is the first name of the path.
func (l *Leaf) Group() string {
	return l.Path[:strings.IndexFunc(l.Path+".", func(r rune) bool { return r == '.' || r == '[' })]
}

// Leaves lists the values of a text, in its order.
func Leaves(text string) ([]Leaf, error) {
	file, err := parser.ParseBytes([]byte(text), 0)
	if err != nil {
		return nil, say.Refuse("text", "", msgNotYAML.With(firstLine(err)), say.Message{})
	}
	w := leafWalk{lines: lineStarts(text), text: text, seen: map[string]int{}}
	for _, doc := range file.Docs {
		if doc.Body != nil {
			w.node("", doc.Body)
		}
	}
	return w.leaves, nil
}

func firstLine(err error) string {
	line, _, _ := strings.Cut(err.Error(), "\n")
	return line
}

func lineStarts(text string) []int {
	starts := []int{0}
	for i := range len(text) {
		if text[i] == '\n' {
			starts = append(starts, i+1)
		}
	}
	return starts
}

type leafWalk struct {
	text   string
	lines  []int
	seen   map[string]int
	leaves []Leaf
}

func (w *leafWalk) node(path string, n ast.Node) {
	switch n := n.(type) {
	case *ast.MappingNode:
		for _, v := range n.Values {
			w.value(path, v)
		}
	case *ast.MappingValueNode:
		w.value(path, n)
	case *ast.SequenceNode:
		for i, v := range n.Values {
			w.node(path+"["+nameIn(v, i)+"]", v)
		}
	case *ast.NullNode:
	default:
		w.leaf(path, n)
	}
}

func (w *leafWalk) value(path string, v *ast.MappingValueNode) {
	if path != "" {
		path += "."
	}
	w.node(path+strings.Trim(v.Key.String(), `"'`), v.Value)
}

// nameIn is what a group of a list is called by.
func nameIn(n ast.Node, i int) string {
	group, ok := n.(*ast.MappingNode)
	if !ok {
		return strconv.Itoa(i)
	}
	for _, key := range []string{"id", "name", "part", "step"} {
		for _, v := range group.Values {
			if word, ok := v.Value.(*ast.StringNode); ok && v.Key.String() == key {
				return word.Value
			}
		}
	}
	return strconv.Itoa(i)
}

func (w *leafWalk) leaf(path string, n ast.Node) {
	if w.seen[path]++; w.seen[path] > 1 {
		path += fmt.Sprintf("#%d", w.seen[path])
	}
	t := n.GetToken()
	l := Leaf{Path: path, Value: t.Value, Line: t.Position.Line, Fixed: true}
	if literal, ok := n.(*ast.LiteralNode); ok {
		l.Value = literal.Value.Value
		w.leaves = append(w.leaves, l)
		return
	}
	if at := t.Position.Line - 1; at >= 0 && at < len(w.lines) {
		from := w.lines[at]
		for range t.Position.Column - 1 { // columns count signs, not bytes
			if from < len(w.text) {
				from += len(string([]rune(w.text[from:min(len(w.text), from+4)])[:1]))
			}
		}
		raw := t.Value
		if t.Type == token.DoubleQuoteType || t.Type == token.SingleQuoteType {
			raw = quoted(w.text[min(from, len(w.text)):])
		}
		if raw != "" && strings.HasPrefix(w.text[min(from, len(w.text)):], raw) && !strings.Contains(raw, "\n") {
			l.Fixed, l.from, l.to = false, from, from+len(raw)
		}
	}
	w.leaves = append(w.leaves, l)
}

// quoted is a text in quotes at the beginning, "" when there is none.
func quoted(text string) string {
	if text == "" || text[0] != '"' && text[0] != '\'' {
		return ""
	}
	for i := 1; i < len(text); i++ {
		switch {
		case text[0] == '"' && text[i] == '\\':
			i++
		case text[i] == text[0] && text[0] == '\'' && i+1 < len(text) && text[i+1] == '\'':
			i++
		case text[i] == text[0]:
			return text[:i+1]
		}
	}
	return ""
}

// plainWord is a value that YAML reads as it stands, in a line or in braces.
var plainWord = regexp.MustCompile(`^[\pL\pN./±+(–-][\pL\pN ./%²³°·±µ()+–_-]*$`)

var (
	msgNoLeaf     = say.Define("sheet.no_leaf", "there is no such value in the text")
	msgFixedLeaf  = say.Define("sheet.fixed_leaf", "this value is changed in the text beside the form")
	msgCannotLeaf = say.Define("sheet.cannot_leaf", "this cannot be put into the text here")
)

// Put changes values of a text and leaves everything else, comments too, as it
// stands.
func Put(text string, changes map[string]string) (string, error) {
	leaves, err := Leaves(text)
	if err != nil {
		return "", err
	}
	byPath := map[string]*Leaf{}
	for i := range leaves {
		byPath[leaves[i].Path] = &leaves[i]
	}
	var todo []*Leaf
	for path, value := range changes {
		l := byPath[path]
		switch {
		case l == nil:
			return "", say.Refuse(path, value, msgNoLeaf.With(), say.Message{})
		case l.Fixed:
			return "", say.Refuse(path, value, msgFixedLeaf.With(), say.Message{})
		}
		todo = append(todo, l)
	}
	slices.SortFunc(todo, func(a, b *Leaf) int { return b.from - a.from })
	for _, l := range todo {
		value := strings.TrimSpace(changes[l.Path])
		raw := value
		if !plainWord.MatchString(value) || strings.HasPrefix(value, "- ") {
			raw = strconv.Quote(value)
		}
		text = text[:l.from] + raw + text[l.to:]
	}
	after, err := Leaves(text)
	if err != nil || len(after) != len(leaves) {
		for path, value := range changes {
			return "", say.Refuse(path, value, msgCannotLeaf.With(), say.Message{})
		}
	}
	for i := range leaves { // in the same order; a changed id changes paths
		want := leaves[i].Value
		if value, changed := changes[leaves[i].Path]; changed {
			want = strings.TrimSpace(value)
		}
		if after[i].Value != want {
			return "", say.Refuse(leaves[i].Path, want, msgCannotLeaf.With(), say.Message{})
		}
	}
	return text, nil
}

// FieldChange is a value that differs between two texts. Was or Is is empty
// where the one or the other has none.
type FieldChange struct{ Path, Was, Is string }

// Compare lists what differs between two texts, by value: in the order of the
// newer one, then what is gone. Comments and the order of fields do not count.
func Compare(older, newer string) ([]FieldChange, error) {
	was, err := Leaves(older)
	if err != nil {
		return nil, err
	}
	is, err := Leaves(newer)
	if err != nil {
		return nil, err
	}
	before := make(map[string]string, len(was))
	for _, l := range was {
		before[l.Path] = l.Value
	}
	var list []FieldChange
	there := make(map[string]bool, len(is))
	for _, l := range is {
		there[l.Path] = true
		if old, known := before[l.Path]; !known || old != l.Value {
			list = append(list, FieldChange{l.Path, old, l.Value})
		}
	}
	for _, l := range was {
		if !there[l.Path] {
			list = append(list, FieldChange{l.Path, l.Value, ""})
		}
	}
	return list, nil
}
