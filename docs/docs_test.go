package docs_test

import (
	"context"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"

	"pumpwright/docs"
)

// pages returns every Markdown file of the module's documents with its tree.
func pages(t *testing.T) map[string]page {
	t.Helper()
	names, err := filepath.Glob("*.md")
	if err != nil {
		t.Fatal(err)
	}
	names = append(names, "../README.md", "../CONTRIBUTING.md", "../bench/RESULTS.md")
	found := map[string]page{}
	for _, name := range names {
		source, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		markdown := goldmark.New(goldmark.WithExtensions(extension.Table), goldmark.WithParserOptions(parser.WithAutoHeadingID()))
		found[filepath.Clean(name)] = page{source, markdown.Parser().Parse(text.NewReader(source))}
	}
	if len(found) < 12 {
		t.Fatalf("only %d documents found", len(found))
	}
	return found
}

type page struct {
	source []byte
	tree   ast.Node
}

func (p page) walk(visit func(ast.Node)) {
	_ = ast.Walk(p.tree, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			visit(n)
		}
		return ast.WalkContinue, nil
	})
}

func (p page) anchors() map[string]bool {
	found := map[string]bool{}
	p.walk(func(n ast.Node) {
		if h, ok := n.(*ast.Heading); ok {
			if id, ok := h.AttributeString("id"); ok {
				found[string(id.([]byte))] = true
			}
		}
	})
	return found
}

// Links lead to a file and a heading that are there. Addresses outside are
// looked at for their form only.
func TestLinks(t *testing.T) {
	all := pages(t)
	outside := regexp.MustCompile(`^https://[a-z0-9.-]+\.[a-z]+(/\S*)?$`)
	links := 0
	for name, p := range all {
		p.walk(func(n ast.Node) {
			to := ""
			switch n := n.(type) {
			case *ast.Link:
				to = string(n.Destination)
			case *ast.Image:
				to = string(n.Destination)
				if n.FirstChild() == nil {
					t.Errorf("%s: picture %s has no words", name, to)
				}
			default:
				return
			}
			links++
			if strings.Contains(to, "://") {
				if !outside.MatchString(to) {
					t.Errorf("%s: odd address %s", name, to)
				}
				return
			}
			file, anchor, _ := strings.Cut(to, "#")
			target := name
			if file != "" {
				target = filepath.Join(filepath.Dir(name), file)
				if _, err := os.Stat(target); err != nil {
					t.Errorf("%s: link to %s: no such file", name, to)
					return
				}
			}
			if anchor != "" && !all[target].anchors()[anchor] {
				t.Errorf("%s: link to %s: no such heading", name, to)
			}
		})
	}
	if links < 40 {
		t.Errorf("only %d links seen", links)
	}
}

// Every chapter is there and begins with its title.
func TestChapters(t *testing.T) {
	for _, c := range docs.Chapters() {
		raw, err := docs.Files.ReadFile(c.Name + ".md")
		if err != nil || !strings.HasPrefix(string(raw), "# "+c.Title+"\n") {
			t.Errorf("%s: no chapter %q (%v)", c.Name, c.Title, err)
		}
	}
}

// The pictures stay small, and each is used.
func TestPictures(t *testing.T) {
	var all strings.Builder
	for _, p := range pages(t) {
		all.Write(p.source)
	}
	size := int64(0)
	err := fs.WalkDir(os.DirFS("."), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || strings.HasSuffix(name, ".md") || strings.HasSuffix(name, ".go") {
			return err
		}
		info, err := entry.Info()
		if err != nil {
			return err
		}
		size += info.Size()
		if !strings.Contains(all.String(), name) {
			t.Errorf("picture %s is used nowhere", name)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if size == 0 || size > 1_000_000 {
		t.Errorf("pictures take %d bytes", size)
	}
}

// command is one line of a block that is meant for the shell.
type command struct {
	line string
	exit int
}

var exitMark = regexp.MustCompile(`\s+# exit (\d+)\s*$`)

// commands returns the blocks of a document that are run. A block that is not
// run says why.
func commands(t *testing.T, name string, p page) (list []command) {
	p.walk(func(n ast.Node) {
		block, ok := n.(*ast.FencedCodeBlock)
		if !ok {
			return
		}
		info := ""
		if block.Info != nil {
			info = string(block.Info.Value(p.source))
		}
		lines := strings.Split(strings.TrimSpace(string(block.Lines().Value(p.source))), "\n")
		kind, rest, _ := strings.Cut(info, " ")
		if kind != "sh" {
			for _, line := range lines {
				if strings.HasPrefix(line, "pumpwright ") && name != "../README.md" { // there a list of what can be asked
					t.Errorf("%s: %q stands in a block that nobody runs", name, line)
				}
			}
			return
		}
		if rest != "" {
			if reason, found := strings.CutPrefix(rest, "skip: "); !found || len(reason) < 10 {
				t.Errorf("%s: block is left out without a reason: %q", name, info)
			}
			return
		}
		for _, line := range lines {
			c := command{line: line}
			if m := exitMark.FindStringSubmatch(line); m != nil {
				c.line = strings.TrimSuffix(line, m[0])
				c.exit, _ = strconv.Atoi(m[1]) // digits
			}
			list = append(list, c)
		}
	})
	return list
}

// Every command line of the documents does what they say: the lines of each
// document in their order, in a folder of its own, with the built program.
func TestCommands(t *testing.T) {
	if testing.Short() {
		t.Skip("builds the program")
	}
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash here")
	}
	bin := t.TempDir()
	build := exec.Command("go", "build", "-o", filepath.Join(bin, "pumpwright"), "../cmd/pumpwright")
	if printed, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, printed)
	}
	ran := 0
	for name, p := range pages(t) {
		t.Run(filepath.Base(name), func(t *testing.T) {
			folder := t.TempDir()
			for _, c := range commands(t, name, p) {
				ran++
				if err := run(shell, bin, folder, c); err != nil {
					t.Fatal(err)
				}
			}
		})
	}
	if ran < 25 {
		t.Errorf("only %d lines were run", ran)
	}
}

func run(shell, bin, folder string, c command) error {
	ctx, stop := context.WithTimeout(context.Background(), 2*time.Minute)
	defer stop()
	cmd := exec.CommandContext(ctx, shell, "-c", c.line)
	cmd.Dir = folder
	cmd.Env = append(os.Environ(), "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	printed, err := cmd.CombinedOutput()
	if cmd.ProcessState == nil {
		return fmt.Errorf("%s: %w", c.line, err)
	}
	if got := cmd.ProcessState.ExitCode(); got != c.exit {
		return fmt.Errorf("%s: exit %d, the document says %d\n%s", c.line, got, c.exit, printed)
	}
	return nil
}

// A line that fails, or ends otherwise than written, is seen.
func TestRunSeesFailure(t *testing.T) {
	shell, err := exec.LookPath("bash")
	if err != nil {
		t.Skip("no bash here")
	}
	for _, c := range []command{{"exit 2", 0}, {"true", 3}, {"no-such-program", 0}} {
		if run(shell, t.TempDir(), t.TempDir(), c) == nil {
			t.Errorf("%q with %d was taken", c.line, c.exit)
		}
	}
}
