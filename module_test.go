package pumpwright_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

const module = "pumpwright"

// source is one parsed Go file of the module.
type source struct {
	path   string // slash path from the module's root
	folder string
	test   bool
	file   *ast.File
}

var files = token.NewFileSet()

// sources parses every Go file of the module.
func sources(t *testing.T) []source {
	t.Helper()
	var list []source
	err := filepath.WalkDir(".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		base := entry.Name()
		if entry.IsDir() {
			if name != "." && (strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_") || base == "testdata" || base == "node_modules" || isModule(name)) {
				return fs.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(base, ".go") || strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_") {
			return nil
		}
		slash := filepath.ToSlash(name)
		parsed, err := parser.ParseFile(files, name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Errorf("%s: %v", slash, err)
			return nil
		}
		list = append(list, source{slash, path.Dir(slash), strings.HasSuffix(base, "_test.go"), parsed})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if len(list) < 10 {
		t.Fatalf("only %d Go files found: the test does not stand at the module's root", len(list))
	}
	return list
}

// isModule tells a nested module, which has rules of its own.
func isModule(folder string) bool {
	_, err := os.Stat(filepath.Join(folder, "go.mod"))
	return err == nil
}

// in reports whether a folder lies in a tree of the module.
func in(folder, tree string) bool { return folder == tree || strings.HasPrefix(folder, tree+"/") }

// A panic in calc or rebuild would take a whole bench down because of one
// odd input: bad input is a say.Problem.
func TestNoPanics(t *testing.T) {
	for _, s := range sources(t) {
		if s.test || !in(s.folder, "calc") && !in(s.folder, "rebuild") {
			continue
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				if name, ok := call.Fun.(*ast.Ident); ok && name.Name == "panic" {
					t.Errorf("%v: panic: return a say.Problem or an error", files.Position(call.Pos()))
				}
			}
			return true
		})
	}
}

// calc answers the same to the same input: it reads no clock, writes no log,
// opens no file and draws no random number except from a source passed in.
func TestCalcIsPure(t *testing.T) {
	refusedImports := map[string]bool{"log": true, "log/slog": true, "os": true, "net": true, "net/http": true, "io/fs": true, "crypto/rand": true, "unsafe": true}
	randomConstructors := map[string]bool{"New": true, "NewPCG": true, "NewChaCha8": true, "NewZipf": true, "Rand": true, "Source": true, "PCG": true, "ChaCha8": true, "NewSource": true}
	for _, s := range sources(t) {
		if s.test || !in(s.folder, "calc") || s.file.Name.Name == "main" { // main: a generator run by hand
			continue
		}
		names := importNames(s.file)
		for _, imported := range names {
			if refusedImports[imported] {
				t.Errorf("%s imports %s: calc touches nothing of the world", s.path, imported)
			}
		}
		ast.Inspect(s.file, func(n ast.Node) bool {
			selector, ok := n.(*ast.SelectorExpr)
			if !ok {
				return true
			}
			left, ok := selector.X.(*ast.Ident)
			if !ok {
				return true
			}
			switch at := files.Position(selector.Pos()); names[left.Name] {
			case "time":
				if name := selector.Sel.Name; name == "Now" || name == "Since" || name == "Until" {
					t.Errorf("%v: time.%s: pass the time in", at, name)
				}
			case "math/rand", "math/rand/v2":
				if !randomConstructors[selector.Sel.Name] {
					t.Errorf("%v: the global random source: pass a seeded source in", at)
				}
			}
			return true
		})
	}
}

// importNames gives for each name used in a file the path it was imported
// from.
func importNames(file *ast.File) map[string]string {
	names := map[string]string{}
	for _, spec := range file.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			continue
		}
		name := path.Base(imported)
		if len(name) > 1 && name[0] == 'v' && strings.Trim(name[1:], "0123456789") == "" {
			name = path.Base(path.Dir(imported))
		}
		if spec.Name != nil {
			name = spec.Name.Name
		}
		names[name] = imported
	}
	return names
}
