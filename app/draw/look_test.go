package draw

import (
	"os"
	"path/filepath"
	"testing"
	"time"
)

var epoch = time.Date(2001, 1, 1, 0, 0, 0, 0, time.UTC)

// With DRAW_LOOK set to a folder the samples are written there to be looked at.
func TestLook(t *testing.T) {
	folder := os.Getenv("DRAW_LOOK")
	if folder == "" {
		t.Skip("DRAW_LOOK names no folder")
	}
	d := sample()
	for i, s := range []State{NotRead, Good, Worn, PastLimit, MeasureAgain} {
		d.Mark(At(10, 10+float64(i)*8), s, 5)
	}
	f, err := os.Create(filepath.Join(folder, "sample.png"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if err := d.PNG(f, 8, PaperPalette); err != nil {
		t.Fatal(err)
	}
}
