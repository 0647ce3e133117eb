package figure

import (
	"bytes"
	"io"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"pumpwright/app/document"
	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// figureReport holds every figure, as a report would.
func figureReport() *document.Report {
	r := &document.Report{Title: say.Plain("All figures"), Created: time.Date(2026, 3, 4, 0, 0, 0, 0, time.UTC), Foot: say.Plain("invented data")}
	all := figures()
	for _, name := range slices.Sorted(maps.Keys(all)) {
		r.Blocks = append(r.Blocks, document.Figure{Caption: say.Plain(name), Draw: all[name].Draw})
	}
	return r
}

func TestFiguresInReport(t *testing.T) {
	var a, b bytes.Buffer
	if err := figureReport().PDF(&a, document.Letter, say.Style{}); err != nil {
		t.Fatal(err)
	}
	if err := figureReport().PDF(&b, document.Letter, say.Style{}); err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("the same figures gave two different files")
	}
	if folder := os.Getenv("DRAW_LOOK"); folder != "" {
		if err := os.WriteFile(filepath.Join(folder, "figures.pdf"), a.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

func BenchmarkReportOfAllFigures(b *testing.B) {
	for range b.N {
		var out bytes.Buffer
		if err := figureReport().PDF(&out, document.A4, say.Style{}); err != nil {
			b.Fatal(err)
		}
	}
}

// Several people may ask for drawings at once; run with -race.
func TestDrawingAtOnce(t *testing.T) {
	want := demoFace().Draw(say.Style{}).SVG(draw.SVGOptions{})
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			d := demoFace().Draw(say.Style{})
			if d.SVG(draw.SVGOptions{}) != want {
				t.Error("another drawing")
			}
			if err := d.PNG(io.Discard, 1, draw.PaperPalette); err != nil {
				t.Error(err)
			}
			if err := figureReport().PDF(io.Discard, document.A4, say.Style{}); err != nil {
				t.Error(err)
			}
		})
	}
	group.Wait()
}
