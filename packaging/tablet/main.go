// Command tablet makes the pages' own code for tablets without network: the
// WebAssembly of cmd/tablet, packed, and the script of the toolchain that
// starts it. A build with the tag "tablet" carries both.
//
//	go run ./packaging/tablet            into app/web/assets/tablet
//	go run ./packaging/tablet FOLDER
package main

import (
	"bytes"
	"compress/gzip"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"

	"github.com/andybalholm/brotli"
)

// oneFont takes the place of the fonts of the plot library: the charts of the
// pages are set in one of its twelve.
const oneFont = `package liberation

import (
	"fmt"
	"sync"

	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"golang.org/x/image/font/opentype"

	"gonum.org/v1/plot/font"
)

// Collection holds the one font that the charts are set in.
var Collection = sync.OnceValue(func() font.Collection {
	face, err := opentype.Parse(liberationsansregular.TTF)
	if err != nil {
		panic(fmt.Errorf("font: %w", err))
	}
	var all font.Collection
	for _, variant := range []font.Variant{"Sans", "Serif"} {
		all = append(all, font.Face{Font: font.Font{Typeface: "Liberation", Variant: variant}, Face: face})
	}
	return all
})
`

func main() {
	folder := filepath.Join("app", "web", "assets", "tablet")
	if len(os.Args) > 1 {
		folder = os.Args[1]
	}
	if err := build(folder); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func build(folder string) (err error) {
	work, err := os.MkdirTemp("", "tablet-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	modules, err := withOneFont(work)
	if err != nil {
		return err
	}
	program := filepath.Join(work, "tablet.wasm")
	// minimal and latex leave out what writes files and what sets formulas
	if _, err := run([]string{"GOOS=js", "GOARCH=wasm"}, "go", "build", "-trimpath", "-modfile", modules, "-tags", "minimal,latex", "-ldflags", "-s -w", "-o", program, "./cmd/tablet"); err != nil {
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
	packed, err := pack(code)
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

// withOneFont writes a list of modules in which the plot library has one font.
func withOneFont(work string) (string, error) {
	plot, err := run(nil, "go", "list", "-m", "-f", "{{.Dir}}", "gonum.org/v1/plot")
	if err != nil {
		return "", err
	}
	copied := filepath.Join(work, "plot")
	if err := os.CopyFS(copied, os.DirFS(plot)); err != nil {
		return "", err
	}
	fonts := filepath.Join(copied, "font", "liberation", "liberation.go")
	if err := filepath.WalkDir(copied, func(path string, _ fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		return os.Chmod(path, 0o755) // the cache of modules may not be written
	}); err != nil {
		return "", err
	}
	if err := os.WriteFile(fonts, []byte(oneFont), 0o644); err != nil {
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
	_, err = run(nil, "go", "mod", "edit", "-replace", "gonum.org/v1/plot="+copied, modules)
	return modules, err
}

func pack(code []byte) ([]byte, error) {
	var out bytes.Buffer
	w := brotli.NewWriterLevel(&out, 9)
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
