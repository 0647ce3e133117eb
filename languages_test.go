package pumpwright_test

import (
	"flag"
	"go/ast"
	"go/token"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pumpwright/app/language"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/knowledge"
	"pumpwright/rebuild/procedure"
)

var update = flag.Bool("update", false, "write what is missing into the files of the languages, and leave out what is gone")

// complete says that no text may be missing.
const complete = true

// worded is a text that a language has to word.
type worded struct{ id, english string }

// allWorded gathers every text of the program, sorted by id.
func allWorded(t *testing.T) []worded {
	all := sources(t)
	byID := map[string]string{}
	for _, d := range definitions(t, all) {
		if strings.Trim(withoutSlots(d.words), " .,:;·()–—/%“”+-=×±") != "" || hasForms(d.words) {
			byID[d.id] = d.words
		}
	}
	for id, words := range constants(t, all) {
		byID[id] = words
	}
	add := func(m say.Message) {
		if !m.IsZero() {
			byID[m.ID()] = m.String()
		}
	}
	for _, m := range procedureTexts(t) {
		add(m)
	}
	for _, text := range knownTexts(t) {
		add(say.Known(text))
	}
	list := make([]worded, 0, len(byID))
	for id, words := range byID {
		list = append(list, worded{id, words})
	}
	slices.SortFunc(list, func(a, b worded) int { return strings.Compare(a.id, b.id) })
	return list
}

// withoutSlots leaves the words between the slots: nothing is to be worded in
// "{a}: {b}".
func withoutSlots(words string) string {
	var b strings.Builder
	for {
		before, after, found := strings.Cut(words, "{")
		b.WriteString(before)
		if !found {
			return b.String()
		}
		_, words, _ = strings.Cut(after, "}")
	}
}

func hasForms(words string) bool {
	return slices.ContainsFunc(say.Slots(words), func(s say.Slot) bool { return len(s.Form) > 0 })
}

// constants collects the constants that say.Word shows: those of every type
// with a method that calls it.
func constants(t *testing.T, all []source) map[string]string {
	rooms := map[string]string{} // folder\x00type → room
	for _, s := range all {
		for _, declaration := range s.file.Decls {
			f, ok := declaration.(*ast.FuncDecl)
			if !ok || f.Recv == nil || len(f.Recv.List) != 1 || s.test {
				continue
			}
			receiver, ok := f.Recv.List[0].Type.(*ast.Ident)
			if !ok {
				continue
			}
			ast.Inspect(f, func(n ast.Node) bool {
				call, ok := n.(*ast.CallExpr)
				if !ok || len(call.Args) != 2 {
					return true
				}
				if name, ok := call.Fun.(*ast.SelectorExpr); ok && name.Sel.Name == "Word" && importNames(s.file)[leftOf(name)] == sayPath {
					if room, ok := constantText(call.Args[0]); ok {
						rooms[s.folder+"\x00"+receiver.Name] = room
					}
				}
				return true
			})
		}
	}
	if len(rooms) < 20 {
		t.Fatalf("only %d types with words found: the search is broken", len(rooms))
	}
	found := map[string]string{}
	for _, s := range all {
		for _, declaration := range s.file.Decls {
			general, ok := declaration.(*ast.GenDecl)
			if !ok || general.Tok != token.CONST || s.test {
				continue
			}
			for _, spec := range general.Specs {
				value := spec.(*ast.ValueSpec)
				name, ok := value.Type.(*ast.Ident)
				if !ok || rooms[s.folder+"\x00"+name.Name] == "" {
					continue
				}
				for _, expression := range value.Values {
					if text, ok := constantText(expression); ok && text != "" {
						found[say.Word(rooms[s.folder+"\x00"+name.Name], text).ID()] = text
					}
				}
			}
		}
	}
	return found
}

func leftOf(s *ast.SelectorExpr) string {
	if left, ok := s.X.(*ast.Ident); ok {
		return left.Name
	}
	return ""
}

func procedureTexts(t *testing.T) []say.Message {
	p, err := procedure.Crescent()
	if err != nil {
		t.Fatal(err)
	}
	var list []say.Message
	for i := range p.Steps {
		list = append(list, p.TitleOf(&p.Steps[i]), p.DoOf(&p.Steps[i]))
	}
	for _, c := range p.Cautions {
		list = append(list, say.Worded("procedure.harm_"+c.ID, c.Harm), say.Worded("procedure.do_"+c.ID, c.Do))
	}
	return list
}

// knownTexts are the texts that come as data and are shown with say.Known.
func knownTexts(t *testing.T) []string {
	var list []string
	p, err := procedure.Crescent()
	if err != nil {
		t.Fatal(err)
	}
	list = append(list, p.Title)
	for _, s := range p.Steps {
		list = append(list, s.Photo, s.Timer)
		list = append(list, s.Tools...)
		if s.Hold != nil {
			list = append(list, s.Hold.For)
			list = append(list, s.Hold.Who...)
		}
	}
	base, err := knowledge.Embedded()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range base.Causes {
		list = append(list, c.Name, c.Mechanism, c.Confirm, c.Change)
	}
	for _, e := range base.Evidence {
		list = append(list, e.Name, e.Looks, e.Where)
	}
	for _, name := range base.Parts {
		list = append(list, name)
	}
	for _, d := range append(quantity.Dimensions(), quantity.NoDimension) {
		list = append(list, d.String())
	}
	for _, c := range calculator.All() {
		list = append(list, c.Question)
		list = append(list, helpOf(c.Inputs())...)
		list = append(list, helpOf(c.Results())...)
	}
	return list
}

func helpOf(list []fields.Field) []string {
	var texts []string
	for _, f := range list {
		texts = append(texts, f.Help, f.Kind)
		texts = append(texts, helpOf(f.Fields)...)
	}
	return texts
}

// languageFiles are the files of the languages.
func languageFiles(t *testing.T) []string {
	files, err := filepath.Glob("app/language/words/*.po")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files of languages: %v", err)
	}
	return files
}

// Every text of the program is worded in every language, with the slots of the
// English words and as many forms of a count as the language has.
func TestLanguages(t *testing.T) {
	all := allWorded(t)
	for _, path := range languageFiles(t) {
		raw, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		f, err := language.Read(string(raw))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		if *update {
			updateFile(t, path, f, all)
		}
		checkLanguage(t, path, f, all)
	}
}

func checkLanguage(t *testing.T, path string, f *language.File, all []worded) {
	count, err := f.Forms()
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	have := map[string]language.Entry{}
	for _, e := range f.Entries {
		have[e.ID] = e
	}
	fault, shown := t.Logf, 0
	if complete {
		fault = t.Errorf
	}
	missing := map[string]int{}
	for _, w := range all {
		e, known := have[w.id]
		delete(have, w.id)
		why := ""
		switch {
		case !known || e.Words == "":
			why = "missing"
		case e.English != w.english:
			why = "the English words have changed"
		case e.Fuzzy:
			why = "marked fuzzy: look whether the words still fit"
		}
		if why != "" {
			missing[why]++
			if shown++; shown <= 20 && complete {
				fault("%s: %s: %s", path, w.id, why)
			}
			continue
		}
		for _, wrong := range slotFaults(w.english, e.Words, count) {
			t.Errorf("%s: %s: %s", path, w.id, wrong)
		}
	}
	for id := range have {
		missing["no text of the program any more"]++
		if shown++; shown <= 20 && complete {
			fault("%s: %s is no text of the program any more", path, id)
		}
	}
	if len(missing) > 0 {
		fault("%s: of %d texts: %v (go test . -run TestLanguages -update)", path, len(all), missing)
	}
}

// slotFaults compares the slots of a translation with those of the English
// words.
func slotFaults(english, words string, forms int) []string {
	var faults []string
	if strings.TrimSpace(words) != words || strings.Contains(words, "  ") {
		faults = append(faults, "there are spaces too many")
	}
	want := map[string]say.Slot{}
	for _, s := range say.Slots(english) {
		want[s.Name] = s
	}
	for _, s := range say.Slots(words) {
		w, known := want[s.Name]
		delete(want, s.Name)
		switch {
		case !known:
			faults = append(faults, "slot “"+s.Name+"” is not in the English words")
		case w.Kind != s.Kind:
			faults = append(faults, "slot “"+s.Name+"” is of kind “"+s.Kind+"”, not “"+w.Kind+"”")
		case len(s.Form) != 0 && (s.Kind != "count" || len(s.Form) != forms):
			faults = append(faults, "slot “"+s.Name+"” has not the forms that the language has")
		case len(w.Form) > 0 && len(s.Form) == 0:
			faults = append(faults, "slot “"+s.Name+"” lacks its forms")
		}
	}
	for name := range want {
		faults = append(faults, "slot “"+name+"” is missing")
	}
	if strings.Count(words, "{") != strings.Count(words, "}") {
		faults = append(faults, "braces are not balanced")
	}
	return faults
}

// updateFile writes every text into a file: new ones without words, changed
// ones marked fuzzy, in the order of their ids.
func updateFile(t *testing.T, path string, f *language.File, all []worded) {
	have := map[string]language.Entry{}
	for _, e := range f.Entries {
		have[e.ID] = e
	}
	f.Entries = f.Entries[:0]
	for _, w := range all {
		e := have[w.id]
		if e.Words != "" && e.English != w.english {
			e.Fuzzy = true
		}
		e.ID, e.English = w.id, w.english
		f.Entries = append(f.Entries, e)
	}
	if err := os.WriteFile(path, []byte(f.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

// The comparison of slots finds the faults it is there for.
func TestSlotFaults(t *testing.T) {
	cases := []struct {
		english, words string
		bad            bool
	}{
		{"{a:length} of {part}", "{part}: {a:length}", false},
		{"{n:count|gasket|gaskets}", "{n:count|Dichtung|Dichtungen}", false},
		{"{n:count|gasket|gaskets}", "{n:count|Dichtung}", true},
		{"{n:count|gasket|gaskets}", "{n:count} Dichtungen", true},
		{"{a:length} of {part}", "{part}", true},
		{"{a:length}", "{b:length}", true},
		{"{a:length}", "{a}", true},
		{"{a}", "{a", true},
		{"two words", "zwei  Worte", true},
	}
	for _, c := range cases {
		if faults := slotFaults(c.english, c.words, 2); (len(faults) > 0) != c.bad {
			t.Errorf("%q and %q: faults %q, want some: %v", c.english, c.words, faults, c.bad)
		}
	}
	if reflect.DeepEqual(say.Slots("{a}"), say.Slots("{b}")) {
		t.Error("slots are not read")
	}
}
