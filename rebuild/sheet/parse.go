package sheet

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"strings"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

var (
	msgNotYAML   = say.Define("sheet.not_yaml", "the text is not YAML: {reason}")
	msgNotGroup  = say.Define("sheet.not_group", "the text must be fields with values")
	msgUnknown   = say.Define("sheet.unknown", "this version does not know the field; it is kept as it stands")
	msgNewFormat = say.Define("sheet.new_format", "the sheet is of format {found:count}, this version knows {known:count}; what it does not know is kept")
)

// Finding is something about a text: a problem or a remark, with its place.
type Finding struct {
	File    string
	Line    int // 0 when not known
	Problem *say.Problem
	Remark  bool // kept and said, nothing is wrong
}

// Show prints file, line and what is wrong.
func (f Finding) Show(s say.Style) string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
	}
	b.WriteString(": ")
	b.WriteString(f.Problem.Show(s))
	return b.String()
}

// Findings is a list that is an error when one of them is a problem.
type Findings []Finding

// Problems returns those that are wrong.
func (f Findings) Problems() Findings { return f.filter(false) }

// Remarks returns those that are only said.
func (f Findings) Remarks() Findings { return f.filter(true) }

func (f Findings) filter(remark bool) Findings {
	var list Findings
	for _, one := range f {
		if one.Remark == remark {
			list = append(list, one)
		}
	}
	return list
}

// Error prints the problems, one a line.
func (f Findings) Error() string {
	lines := make([]string, 0, len(f))
	for _, one := range f.Problems() {
		lines = append(lines, one.Show(say.Style{}))
	}
	return strings.Join(lines, "\n")
}

// Unwrap gives the first problem.
func (f Findings) Unwrap() error {
	if list := f.Problems(); len(list) > 0 {
		return list[0].Problem
	}
	return nil
}

// Parse reads a model sheet. The sheet is returned as far as it could be read;
// findings hold every problem and every remark with its line. file names the
// text in findings.
func Parse(file string, text []byte) (*Sheet, Findings) {
	s := &Sheet{Text: string(text), Version: Version(text)}
	findings, ok := readYAML(file, text, s)
	if !ok {
		return s, findings
	}
	if s.Format > Format {
		findings = append(findings, Finding{File: file, Line: 1, Remark: true,
			Problem: say.Refuse("format", fmt.Sprint(s.Format), msgNewFormat.With(s.Format, Format), say.Message{})})
	}
	problems := s.check()
	if len(problems) == 0 { // lines are looked for only when there is something to say
		return s, findings
	}
	lines := newLines(text)
	for _, p := range problems {
		findings = append(findings, Finding{File: file, Line: lines.of(p.Field), Problem: p})
	}
	return s, findings
}

// Format is the version of the form of model sheets that this program writes.
const Format = 1

// Version returns the version of a text: the beginning of its SHA-256.
func Version(text []byte) string {
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:6])
}

// readYAML fills target; ok is false when the text is no YAML group at all.
func readYAML(file string, text []byte, target any) (Findings, bool) {
	var raw any
	if err := yaml.Unmarshal(text, &raw); err != nil {
		line, reason := yamlFault(err)
		return Findings{{File: file, Line: line, Problem: say.Refuse("", "", msgNotYAML.With(reason), say.Message{})}}, false
	}
	if _, ok := raw.(map[string]any); !ok {
		return Findings{{File: file, Line: 1, Problem: say.Refuse("", "", msgNotGroup.With(), say.Message{})}}, false
	}
	reader := fields.Reader{KeepUnknown: true, All: true}
	_ = reader.Bind(raw, target) // every problem is in reader.Problems
	var findings Findings
	var lines *lines
	if len(reader.Problems)+len(reader.Unknown) > 0 {
		lines = newLines(text)
	}
	for _, p := range reader.Problems {
		findings = append(findings, Finding{File: file, Line: lines.of(p.Field), Problem: p})
	}
	for _, u := range reader.Unknown {
		findings = append(findings, Finding{File: file, Line: lines.of(u.Path), Remark: true,
			Problem: say.Refuse(u.Path, "", msgUnknown.With(), say.Message{})})
	}
	return findings, true
}

func yamlFault(err error) (line int, reason string) {
	text := err.Error()
	first, _, _ := strings.Cut(text, "\n")
	var column int
	if _, scanErr := fmt.Sscanf(first, "[%d:%d]", &line, &column); scanErr == nil {
		_, rest, _ := strings.Cut(first, "] ")
		return line, rest
	}
	return 0, first
}

// lines finds the line of a field in a YAML text.
type lines struct {
	file *ast.File
}

func newLines(text []byte) *lines {
	file, err := parser.ParseBytes(text, 0)
	if err != nil {
		return &lines{}
	}
	return &lines{file: file}
}

// of returns the line of a field, or of the nearest group around it that is
// there; 0 when the text has none of it.
func (l *lines) of(field string) int {
	if l == nil || l.file == nil || len(l.file.Docs) == 0 {
		return 0
	}
	for path := field; ; {
		if line := l.find(path); line > 0 {
			return line
		}
		cut := strings.LastIndexAny(path, ".[")
		if cut < 0 {
			return 1
		}
		path = path[:cut]
	}
}

func (l *lines) find(path string) int {
	node := l.file.Docs[0].Body
	line := 1
	for path != "" {
		name := path
		index := -1
		if path[0] == '[' {
			if _, err := fmt.Sscanf(path, "[%d]", &index); err != nil {
				return 0
			}
			_, path, _ = strings.Cut(path, "]")
			path = strings.TrimPrefix(path, ".")
		} else {
			end := strings.IndexAny(path, ".[")
			if end >= 0 {
				name = path[:end]
				path = strings.TrimPrefix(path[end:], ".")
			} else {
				path = ""
			}
		}
		node, line = step(node, name, index)
		if node == nil {
			return 0
		}
	}
	return line
}

// step goes down one name or one place.
func step(node ast.Node, name string, index int) (ast.Node, int) {
	if index >= 0 {
		if list, ok := node.(*ast.SequenceNode); ok && index < len(list.Values) {
			value := list.Values[index]
			return value, value.GetToken().Position.Line
		}
		return nil, 0
	}
	switch group := node.(type) {
	case *ast.MappingNode:
		for _, pair := range group.Values {
			if keyText(pair) == name {
				return pair.Value, pair.Key.GetToken().Position.Line
			}
		}
	case *ast.MappingValueNode:
		if keyText(group) == name {
			return group.Value, group.Key.GetToken().Position.Line
		}
	}
	return nil, 0
}

func keyText(pair *ast.MappingValueNode) string {
	if token := pair.Key.GetToken(); token != nil {
		return token.Value
	}
	return ""
}
