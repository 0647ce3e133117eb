package pumpwright_test

import (
	"go/ast"
	"go/token"
	"path"
	"strconv"
	"strings"
	"testing"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const sayPath = module + "/calc/say"

// defined is one say.Define found in the source.
type defined struct {
	id, words string
	folder    string
	variable  string // "" when it is not a package variable of its own
	at        token.Position
}

// definitions collects every say.Define of the module.
func definitions(t *testing.T, all []source) []defined {
	t.Helper()
	var list []defined
	for _, s := range all {
		if s.test {
			continue
		}
		inPackageVariable := map[*ast.CallExpr]string{}
		for _, declaration := range s.file.Decls {
			general, ok := declaration.(*ast.GenDecl)
			if !ok || general.Tok != token.VAR {
				continue
			}
			for _, spec := range general.Specs {
				value := spec.(*ast.ValueSpec)
				for i, expression := range value.Values {
					ast.Inspect(expression, func(n ast.Node) bool {
						if call, ok := n.(*ast.CallExpr); ok && isDefine(s, call) {
							inPackageVariable[call] = ""
							if expression == ast.Expr(call) && len(value.Names) == len(value.Values) {
								inPackageVariable[call] = value.Names[i].Name
							}
						}
						return true
					})
				}
			}
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || !isDefine(s, call) {
				return true
			}
			at := files.Position(call.Pos())
			variable, isVariable := inPackageVariable[call]
			if !isVariable {
				t.Errorf("%v: say.Define stands in a function; make it a package variable", at)
			}
			if len(call.Args) != 2 {
				return true
			}
			id, idFixed := constantText(call.Args[0])
			words, wordsFixed := constantText(call.Args[1])
			if !idFixed || !wordsFixed {
				t.Errorf("%v: id and words of a message must stand in the source as text", at)
				return true
			}
			list = append(list, defined{id, words, s.folder, variable, at})
			return true
		})
	}
	if len(list) < 20 {
		t.Fatalf("only %d messages found: the search is broken", len(list))
	}
	return list
}

func isDefine(s source, call *ast.CallExpr) bool {
	switch f := call.Fun.(type) {
	case *ast.Ident:
		return f.Name == "Define" && s.folder == "calc/say"
	case *ast.SelectorExpr:
		left, ok := f.X.(*ast.Ident)
		return ok && f.Sel.Name == "Define" && importNames(s.file)[left.Name] == sayPath
	}
	return false
}

// constantText reads a text literal, or several joined by +.
func constantText(e ast.Expr) (string, bool) {
	switch v := e.(type) {
	case *ast.BasicLit:
		if v.Kind != token.STRING {
			return "", false
		}
		text, err := strconv.Unquote(v.Value)
		return text, err == nil
	case *ast.BinaryExpr:
		left, ok1 := constantText(v.X)
		right, ok2 := constantText(v.Y)
		return left + right, v.Op == token.ADD && ok1 && ok2
	case *ast.ParenExpr:
		return constantText(v.X)
	}
	return "", false
}

// Every message has an id of its own that begins with its package, and words
// whose slots can be filled.
func TestMessages(t *testing.T) {
	first := map[string]token.Position{}
	for _, d := range definitions(t, sources(t)) {
		if before, twice := first[d.id]; twice {
			t.Errorf("%v: the id %q is used before at %v", d.at, d.id, before)
		}
		first[d.id] = d.at
		if prefix := path.Base(d.folder) + "."; !strings.HasPrefix(d.id, prefix) || d.id == prefix {
			t.Errorf("%v: the id %q must begin with %q", d.at, d.id, prefix)
		}
		for _, fault := range wordFaults(d.words) {
			t.Errorf("%v: %s: %s", d.at, d.id, fault)
		}
		for _, fault := range renderFaults(d.id, d.words) {
			t.Errorf("%v: %s: %s", d.at, d.id, fault)
		}
	}
}

// wordFaults looks at the braces and the kinds of the slots.
func wordFaults(words string) []string {
	var faults []string
	if strings.TrimSpace(words) == "" {
		faults = append(faults, "there are no words")
	}
	if strings.TrimSpace(words) != words || strings.Contains(words, "  ") {
		faults = append(faults, "there are spaces too many")
	}
	open := false
	for _, r := range words {
		if r == '{' && open || r == '}' && !open {
			return append(faults, "braces are not balanced")
		}
		if r == '{' || r == '}' {
			open = r == '{'
		}
	}
	if open {
		return append(faults, "braces are not balanced")
	}
	for _, slot := range say.Slots(words) {
		if !isSlotName(slot.Name) {
			faults = append(faults, "slot name “"+slot.Name+"” is not a word of small letters")
		}
		if sampleArguments(slot) == nil {
			faults = append(faults, "slot kind “"+slot.Kind+"” is not known")
		}
		if n := len(slot.Form); n != 0 && (slot.Kind != "count" || n != 2) {
			faults = append(faults, "slot “"+slot.Name+"”: two plural forms go with a count")
		}
	}
	return faults
}

func isSlotName(name string) bool {
	for _, r := range name {
		if (r < 'a' || r > 'z') && r != '_' && (r < '0' || r > '9') {
			return false
		}
	}
	return name != ""
}

// shown is a sample quantity of any dimension.
type shown struct {
	dimension quantity.Dimension
	si        float64
}

func (q shown) Show(s say.Style) string { return quantity.Show(q.dimension, q.si, s) }

// typeNames are the Go names of dimensions that differ from their trade names.
var typeNames = map[string]quantity.Dimension{
	"rotational_speed":  quantity.RotationalSpeedDimension,
	"stiffness":         quantity.StiffnessDimension,
	"expansion":         quantity.ExpansionDimension,
	"pressure_velocity": quantity.PressureVelocityDimension,
	"conductance":       quantity.ConductanceDimension,
}

// sampleArguments gives arguments that a slot may be filled with, nil for a
// kind that is not known.
func sampleArguments(slot say.Slot) []any {
	switch slot.Kind {
	case "text":
		return []any{"sample"}
	case "count":
		return []any{1, 3}
	case "number":
		return []any{1.25}
	case "percent":
		return []any{0.95}
	case "message":
		return []any{say.Plain("sample"), []say.Message{say.Plain("one"), say.Plain("two")}}
	case "list":
		return []any{[]string{"one", "two"}}
	}
	switch slot.Kind { // families of dimensions
	case "quantity":
		return []any{shown{quantity.LengthDimension, 0.5}, shown{quantity.TorqueDimension, 12}}
	case "pressure":
		return []any{shown{quantity.PressureDifferenceDimension, 1e6}, shown{quantity.AbsolutePressureDimension, 1e5}}
	case "viscosity":
		return []any{shown{quantity.KinematicViscosityDimension, 1e-4}, shown{quantity.DynamicViscosityDimension, 0.1}}
	}
	if d, ok := typeNames[slot.Kind]; ok {
		return []any{shown{d, 0.5}, shown{d, 1234.5}}
	}
	for _, d := range quantity.Dimensions() {
		if name := d.String(); name == slot.Kind || strings.ReplaceAll(name, " ", "_") == slot.Kind {
			return []any{shown{d, 0.5}, shown{d, 1234.5}}
		}
	}
	return nil
}

// renderFaults shows the message with samples in both unit systems.
func renderFaults(id, words string) []string {
	var faults []string
	template := say.Define(id, words)
	for _, units := range []say.Units{say.Metric, say.Inch} {
		for pick := range 2 {
			var args []any
			for _, slot := range template.Slots() {
				samples := sampleArguments(slot)
				if samples == nil {
					return nil // reported by wordFaults
				}
				args = append(args, samples[min(pick, len(samples)-1)])
			}
			text := template.With(args...).Text(say.Style{Units: units})
			if text == "" || strings.ContainsAny(text, "{}") || strings.Contains(text, "%!") {
				faults = append(faults, "shows in "+units.String()+" units as “"+text+"”")
			}
		}
	}
	return faults
}

// Every With has as many arguments as its template has slots.
func TestMessageArguments(t *testing.T) {
	all := sources(t)
	slots := map[string]int{} // "folder\x00variable" → number of slots
	for _, d := range definitions(t, all) {
		if d.variable != "" {
			slots[d.folder+"\x00"+d.variable] = len(say.Slots(d.words))
		}
	}
	checked := 0
	for _, s := range all {
		names := importNames(s.file)
		ast.Inspect(s.file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok || call.Ellipsis.IsValid() {
				return true
			}
			method, ok := call.Fun.(*ast.SelectorExpr)
			if !ok || method.Sel.Name != "With" {
				return true
			}
			folder, variable := s.folder, ""
			switch receiver := method.X.(type) {
			case *ast.Ident:
				variable = receiver.Name
			case *ast.SelectorExpr:
				if left, ok := receiver.X.(*ast.Ident); ok && in(names[left.Name], module) {
					folder, variable = strings.TrimPrefix(names[left.Name], module+"/"), receiver.Sel.Name
				}
			}
			want, known := slots[folder+"\x00"+variable]
			if !known {
				return true
			}
			checked++
			if len(call.Args) != want {
				t.Errorf("%v: %s.With has %d arguments, its words have %d slots", files.Position(call.Pos()), variable, len(call.Args), want)
			}
			return true
		})
	}
	if checked < 20 {
		t.Fatalf("only %d uses of messages found: the search is broken", checked)
	}
}

// The checks above find the faults they are there for.
func TestWordFaults(t *testing.T) {
	cases := []struct {
		words string
		bad   bool
	}{
		{"the gap is {gap:length}", false},
		{"{n:count|gasket|gaskets} at {when:temperature difference}", false},
		{"the gap is {gap:length", true},
		{"the gap is gap:length}", true},
		{"{{gap}}", true},
		{"the gap is {gap:bananas}", true},
		{"{n:count|gasket}", true},
		{"{name|gasket|gaskets}", true},
		{"{Gap}", true},
		{"{}", true},
		{"two  spaces", true},
		{"", true},
	}
	for _, c := range cases {
		if faults := wordFaults(c.words); (len(faults) > 0) != c.bad {
			t.Errorf("%q: faults %q, want some: %v", c.words, faults, c.bad)
		}
	}
}
