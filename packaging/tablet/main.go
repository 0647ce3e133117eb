// Command tablet makes the pages' own code for tablets without network: the
// WebAssembly of cmd/tablet, packed, and the script of the toolchain that
// starts it. A build with the tag "tablet" carries both.
//
//	go run ./packaging/tablet            into app/web/assets/tablet
//	go run ./packaging/tablet FOLDER
//	go run ./packaging/tablet -quick     packed less, in seconds, to try it
package main

import (
	"bytes"
	"compress/gzip"
	"flag"
	"fmt"
	"go/ast"
	"go/format"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"os/exec"
	gopath "path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/andybalholm/brotli"
)

// noFont takes the place of the fonts of the plot library: app/draw measures
// and sets the words of a chart itself.
const noFont = `package liberation

import "gonum.org/v1/plot/font"

// Collection holds nothing.
func Collection() font.Collection { return nil }
`

// paths are the files of the canvas library that shapes are made with. The
// others set text and write pictures, for which a tablet has its browser.
var paths = []string{"path.go", "path_intersection.go", "path_intersection_util.go", "path_scanner.go", "path_simplify.go", "path_stroke.go",
	"path_util.go", "polyline.go", "shapes.go", "colors.go", "util.go"}

// pictures are the functions among them that write pictures, with the help of
// libraries for windows and fonts.
var pictures = []string{"ToVectorRasterizer", "ToScanxScanner"}

func main() {
	quality := brotli.BestCompression
	quick := flag.Bool("quick", false, "pack less, in seconds, to try it")
	flag.Parse()
	folder := filepath.Join("app", "web", "assets", "tablet")
	if flag.NArg() > 0 {
		folder = flag.Arg(0)
	}
	if *quick {
		quality = 5
	}
	if err := build(folder, quality); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func build(folder string, quality int) (err error) {
	work, err := os.MkdirTemp("", "tablet-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	modules, err := withLess(work)
	if err != nil {
		return err
	}
	program := filepath.Join(work, "tablet.wasm")
	// minimal and latex leave out what writes files and what sets formulas; our
	// own functions, most of which write pages, take less room not inlined
	if _, err := run([]string{"GOOS=js", "GOARCH=wasm"}, "go", "build", "-trimpath", "-modfile", modules, "-tags", "minimal,latex", "-gcflags=pumpwright/...=-l", "-ldflags", "-s -w", "-o", program, "./cmd/tablet"); err != nil {
		return err
	}
	code, err := os.ReadFile(program)
	if err != nil {
		return err
	}
	root, err := run(nil, "go", "env", "GOROOT")
	if err != nil {
		return err
	}
	starter, err := os.ReadFile(filepath.Join(root, "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		return err
	}
	packed, err := pack(code, quality)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "tablet.js"), starter, 0o644); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(folder, "tablet.wasm.br"), packed, 0o644); err != nil {
		return err
	}
	var zipped bytes.Buffer
	z := gzip.NewWriter(&zipped)
	if _, err := z.Write(code); err != nil {
		return err
	}
	if err := z.Close(); err != nil {
		return err
	}
	fmt.Printf("tablet.wasm: %d bytes, %d with gzip, %d with brotli\n", len(code), zipped.Len(), len(packed))
	return nil
}

// withLess writes a list of modules in which the plot library has no fonts
// and the canvas library has its paths only.
func withLess(work string) (string, error) {
	plot, err := copied(work, "gonum.org/v1/plot")
	if err != nil {
		return "", err
	}
	if err := os.WriteFile(filepath.Join(plot, "font", "liberation", "liberation.go"), []byte(noFont), 0o644); err != nil {
		return "", err
	}
	if err := os.Remove(filepath.Join(plot, "text", "latex.go")); err != nil { // formulas, with fonts of their own
		return "", err
	}
	canvas, err := copied(work, "github.com/tdewolff/canvas")
	if err != nil {
		return "", err
	}
	all, err := filepath.Glob(filepath.Join(canvas, "*.go"))
	if err != nil {
		return "", err
	}
	for _, file := range all {
		if !slices.Contains(paths, filepath.Base(file)) {
			if err := os.Remove(file); err != nil {
				return "", err
			}
		}
	}
	if err := withoutFunctions(filepath.Join(canvas, "path.go"), pictures); err != nil {
		return "", err
	}
	for _, name := range []string{"go.mod", "go.sum"} {
		text, err := os.ReadFile(name)
		if err != nil {
			return "", err
		}
		if err := os.WriteFile(filepath.Join(work, strings.Replace(name, "go.", "tablet.", 1)), text, 0o644); err != nil {
			return "", err
		}
	}
	modules := filepath.Join(work, "tablet.mod")
	_, err = run(nil, "go", "mod", "edit", "-replace", "gonum.org/v1/plot="+plot, "-replace", "github.com/tdewolff/canvas="+canvas, modules)
	return modules, err
}

// withoutFunctions takes functions out of a file, and what it imported for them.
func withoutFunctions(path string, names []string) error {
	set := token.NewFileSet()
	file, err := parser.ParseFile(set, path, nil, 0)
	if err != nil {
		return err
	}
	before := len(file.Decls)
	file.Decls = slices.DeleteFunc(file.Decls, func(d ast.Decl) bool {
		f, is := d.(*ast.FuncDecl)
		return is && slices.Contains(names, f.Name.Name)
	})
	if before-len(file.Decls) != len(names) {
		return fmt.Errorf("%s has no longer each of %v", path, names)
	}
	used := map[string]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		if s, is := n.(*ast.SelectorExpr); is {
			if x, is := s.X.(*ast.Ident); is {
				used[x.Name] = true
			}
		}
		return true
	})
	for _, d := range file.Decls {
		if g, is := d.(*ast.GenDecl); is && g.Tok == token.IMPORT {
			g.Specs = slices.DeleteFunc(g.Specs, func(s ast.Spec) bool {
				return !used[gopath.Base(strings.Trim(s.(*ast.ImportSpec).Path.Value, `"`))]
			})
		}
	}
	var text bytes.Buffer
	if err := format.Node(&text, set, file); err != nil {
		return err
	}
	return os.WriteFile(path, text.Bytes(), 0o644)
}

// copied copies a module where it may be changed.
func copied(work, module string) (string, error) {
	from, err := run(nil, "go", "list", "-m", "-f", "{{.Dir}}", module)
	if err != nil {
		return "", err
	}
	to := filepath.Join(work, filepath.Base(module))
	if err := os.CopyFS(to, os.DirFS(from)); err != nil {
		return "", err
	}
	return to, filepath.WalkDir(to, func(path string, _ fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		return os.Chmod(path, 0o755) // the cache of modules may not be written
	})
}

func pack(code []byte, quality int) ([]byte, error) {
	var out bytes.Buffer
	w := brotli.NewWriterOptions(&out, brotli.WriterOptions{Quality: quality, LGWin: 24})
	if _, err := w.Write(code); err != nil {
		return nil, err
	}
	err := w.Close()
	return out.Bytes(), err
}

func run(environment []string, name string, args ...string) (string, error) {
	c := exec.Command(name, args...)
	c.Env = append(os.Environ(), environment...)
	c.Stderr = os.Stderr
	out, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("%s %s: %w", name, strings.Join(args, " "), err)
	}
	return strings.TrimSpace(string(out)), nil
}
