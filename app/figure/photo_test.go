package figure

import (
	"bytes"
	"image"
	"image/jpeg"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"

	"pumpwright/app/draw"
	"pumpwright/calc/say"
)

// A photo stands on a page by its address and on paper with its content, and
// the marks lie over it where they were set.
func TestPhoto(t *testing.T) {
	var file bytes.Buffer
	if err := jpeg.Encode(&file, image.NewGray(image.Rect(0, 0, 400, 200)), nil); err != nil {
		t.Fatal(err)
	}
	content := bytes.Clone(file.Bytes())
	picture, err := draw.ReadPicture(&file, true)
	if err != nil {
		t.Fatal(err)
	}
	if picture.Wide != 400 || picture.High != 200 || !bytes.Equal(picture.JPEG, content) {
		t.Fatalf("read %d × %d, %d bytes", picture.Wide, picture.High, len(picture.JPEG))
	}
	picture.Address = "/job/J-1/photo/abc"
	p := Photo{Picture: picture, Note: "pin", Marks: []Mark{
		{Shape: MarkCircle, At: draw.At(0.25, 0.5), End: draw.At(0.35, 0.5), Text: "score on the load side"},
		{Shape: MarkArrow, At: draw.At(0.5, 0.5), End: draw.At(0.9, 0.1)}, {Shape: MarkNumber, At: draw.At(1, 1)},
	}}
	d := p.Draw(say.Style{})
	svg := d.SVG(draw.SVGOptions{})
	for _, want := range []string{`<image href="/job/J-1/photo/abc"`, "score on the load side", "Mark 1, circle, at 25 % from the left and 50 % from the top"} {
		if !strings.Contains(svg, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
	for _, n := range []string{"1", "2", "3"} {
		found := false
		for _, text := range d.Texts() {
			found = found || text.Text == n
		}
		if !found {
			t.Errorf("mark %s is not drawn", n)
		}
	}
	pdf := fpdf.New("P", "mm", "A4", "")
	draw.UseFonts(pdf)
	pdf.AddPage()
	d.Place(pdf, 10, 10, 1, draw.PaperPalette)
	var out bytes.Buffer
	if err := pdf.Output(&out); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(out.Bytes(), []byte("/Subtype /Image")) {
		t.Error("the photo is not on the paper")
	}
	if _, err := draw.ReadPicture(strings.NewReader("no picture"), false); err == nil {
		t.Error("anything is a picture")
	}
}
