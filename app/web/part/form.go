package part

import (
	"encoding/json"
	"net/url"
	"sort"
	"strconv"
	"strings"
	"unicode"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgNoNumber = say.Define("part.no_number", "this is no number")
	msgNumber   = say.Define("part.write_number", "write a number such as 4 or 2.5")
	msgOddName  = say.Define("part.odd_name", "the field does not belong to an entry")
)

// Body reads the fields of a form into the body of an entry. Empty fields are
// left out. Errors are Problems that name the field by its pointer.
func Body(form url.Values) (json.RawMessage, error) {
	root := any(map[string]any{})
	names := make([]string, 0, len(form))
	for name := range form {
		if len(name) > 2 && name[1] == '/' && strings.IndexByte("tnbk", name[0]) >= 0 {
			names = append(names, name)
		}
	}
	idle := idlePlaces(form)
	sort.Strings(names)
	for _, name := range names {
		text := strings.TrimSpace(form.Get(name))
		if text == "" || within(idle, name) {
			continue
		}
		var value any
		switch name[0] {
		case 't', 'k':
			value = WithUnit(text, unitFor(form, name))
		case 'n':
			n, err := quantity.ReadNumber(text)
			if err != nil {
				return nil, say.Refuse(name[2:], text, msgNoNumber.With(), msgNumber.With())
			}
			value = n
		case 'b':
			if value = text == "yes"; text != "yes" && text != "no" {
				continue
			}
		}
		next, ok := put(root, strings.Split(name[2:], "/"), value)
		if !ok {
			return nil, say.Refuse(name, text, msgOddName.With(), say.Message{})
		}
		root = next
	}
	return json.Marshal(compact(root))
}

// idlePlaces are the places of lists whose key is empty: what else stands there
// is left out with it.
func idlePlaces(form url.Values) []string {
	var list []string
	for name := range form {
		if strings.HasPrefix(name, "k/") && strings.TrimSpace(form.Get(name)) == "" {
			list = append(list, name[1:strings.LastIndexByte(name, '/')+1])
		}
	}
	return list
}

func within(places []string, name string) bool {
	for _, p := range places {
		if strings.HasPrefix(name[1:], p) {
			return true
		}
	}
	return false
}

// unitFor returns the unit key of a field: its own, the one that holds for all
// fields of its group, u/soft_foot/*, or for all places of its list,
// u/pieces/*/thickness.
func unitFor(form url.Values, name string) string {
	if u := form.Get("u" + name[1:]); u != "" {
		return u
	}
	if u := form.Get("u" + name[1:strings.LastIndexByte(name, '/')+1] + "*"); u != "" {
		return u
	}
	keys := strings.Split(name, "/")
	for i := 1; i < len(keys); i++ {
		if _, err := strconv.Atoi(keys[i]); err == nil {
			keys[i] = "*"
		}
	}
	keys[0] = "u"
	return form.Get(strings.Join(keys, "/"))
}

// WithUnit puts a unit behind a text that is a bare number; what was typed
// with its unit stays as typed.
func WithUnit(text, unit string) string {
	text = strings.TrimSpace(text)
	if text == "" || unit == "" {
		return text
	}
	for _, r := range text {
		if !unicode.IsDigit(r) && !strings.ContainsRune(" .,/+-−⁄½¼¾⅛⅜⅝⅞", r) {
			return text
		}
	}
	return text + " " + unit
}

// mostItems bounds a list of a form, against names made up.
const mostItems = 200

func put(at any, path []string, value any) (any, bool) {
	if len(path) == 0 {
		return value, at == nil
	}
	key := strings.ReplaceAll(strings.ReplaceAll(path[0], "~1", "/"), "~0", "~")
	if place, err := strconv.Atoi(key); err == nil && place >= 0 {
		list, ok := at.([]any)
		if at != nil && !ok || place >= mostItems {
			return nil, false
		}
		for len(list) <= place {
			list = append(list, nil)
		}
		inner, ok := put(list[place], path[1:], value)
		list[place] = inner
		return list, ok
	}
	group, ok := at.(map[string]any)
	if at != nil && !ok {
		return nil, false
	}
	if group == nil {
		group = map[string]any{}
	}
	inner, ok := put(group[key], path[1:], value)
	group[key] = inner
	return group, ok
}

// compact takes out the places of a list that stayed empty: a piece that was
// not typed in.
func compact(value any) any {
	switch v := value.(type) {
	case map[string]any:
		for key, inner := range v {
			v[key] = compact(inner)
		}
	case []any:
		kept := make([]any, 0, len(v))
		for _, inner := range v {
			if inner != nil {
				kept = append(kept, compact(inner))
			}
		}
		return kept
	}
	return value
}

// Pointer makes the name of a field: the kind of its value and the keys.
func Pointer(kind string, keys ...string) string {
	name := kind
	for _, k := range keys {
		name += "/" + strings.ReplaceAll(strings.ReplaceAll(k, "~", "~0"), "/", "~1")
	}
	return name
}

// FieldKind is how a field is entered.
type FieldKind uint8

// The kinds of fields.
const (
	Line FieldKind = iota
	Area
	Number
	Measure // with unit keys
	Choice
	Check
	Hidden
)

// Option is one answer of a choice.
type Option struct {
	Value string
	Word  say.Shower
}

// Field is one field of an entry.
type Field struct {
	Name    string
	Word    say.Shower
	Help    say.Shower
	Kind    FieldKind
	Value   string
	Options []Option
	Units   []string
	Must    bool
	First   bool // takes the focus
	// Dimension that is measured, for messages and examples.
	Example string
}

// Group is a run of fields that belong together: four readings of one dial,
// what is seldom entered.
type Group struct {
	Word   say.Shower
	Help   say.Shower
	Folded bool // closed until somebody opens it, or something stands in it
	Around bool // top, left, right, bottom: laid out like a clock
	Square bool // four corners, laid out as they stand
	Units  []string
	Unit   string // the field for which the unit keys stand, when one set is for all
	Fields []Field
}

// Entry is the form of one entry.
type Entry struct {
	Address string // where it is posted
	Kind    string
	ID      string
	Seen    string // hash of the last entry that the page knows
	Next    string // where to go when it is taken
	From    string // the page that holds the form
	Draft   string // name under which the browser keeps what is typed
	Word    say.Shower
	Fields  []Field
	Groups  []Group // after the fields
	Quiet   bool    // a plain button: not the main thing to do here
	Answers string  // where the answer is asked for while it is typed; "" for none

	// What came back when it was not taken.
	Typed   url.Values
	Problem say.Shower
	Ask     []say.Message
	Saved   bool
}

// value returns what the field shows: what was typed, else its own value.
func (e *Entry) value(f Field) string {
	if e.Typed != nil && f.Kind != Hidden {
		if v, ok := e.Typed[f.Name]; ok && len(v) > 0 {
			return v[0]
		}
	}
	return f.Value
}

// opened reports whether a group that is folded has something to show.
func (e *Entry) opened(g Group) bool {
	for _, f := range g.Fields {
		if e.value(f) != "" {
			return true
		}
	}
	return false
}

// unit returns the unit key that is pressed.
func (e *Entry) unit(f Field) string {
	if e.Typed != nil {
		if u := e.Typed.Get("u" + f.Name[1:]); u != "" {
			return u
		}
	}
	if len(f.Units) > 0 {
		return f.Units[0]
	}
	return ""
}
