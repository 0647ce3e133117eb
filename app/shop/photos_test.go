package shop

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"io"
	"strings"
	"testing"

	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

// picture is a photo whose upper left quarter is red.
func picture(w, h int) image.Image {
	p := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{240, 240, 240, 255}
			if x < w/2 && y < h/2 {
				c = color.NRGBA{200, 20, 20, 255}
			}
			p.Set(x, y, c)
		}
	}
	return p
}

func asPNG(t testing.TB, p image.Image) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := png.Encode(&out, p); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// withExif makes a JPEG that a camera held turned (orientation 6: it must be
// turned a quarter clockwise to stand upright), with a position in it. Layout:
// TIFF 6.0 within an APP1 segment, as Exif 2.3 states.
func withExif(t testing.TB, p image.Image) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := jpeg.Encode(&out, p, nil); err != nil {
		t.Fatal(err)
	}
	var tiff bytes.Buffer
	put := func(v any) { _ = binary.Write(&tiff, binary.BigEndian, v) } // a buffer takes all
	tiff.WriteString("MM\x00\x2a")
	put(uint32(8))
	put(uint16(2))
	put([]uint16{0x0112, 3})
	put(uint32(1))
	put([]uint16{6, 0})
	put([]uint16{0x010e, 2}) // a description that holds a position
	secret := "51.5007N 0.1246W secret place\x00"
	put(uint32(len(secret)))
	put(uint32(8 + 2 + 2*12 + 4))
	put(uint32(0))
	tiff.WriteString(secret)
	segment := append([]byte("Exif\x00\x00"), tiff.Bytes()...)
	raw := out.Bytes()
	head := append([]byte{0xff, 0xd8, 0xff, 0xe1, byte((len(segment) + 2) >> 8), byte(len(segment) + 2)}, segment...)
	return append(head, raw[2:]...)
}

func addPhoto(t *testing.T, s *Shop, content []byte) (*Answer, error) {
	t.Helper()
	return s.AddPhoto(t.Context(), as(t, s, "mira"), "J-2063", NewPhoto{Part: "casing", Note: "as it came", Content: bytes.NewReader(content)})
}

func readAll(t *testing.T, s *Shop, hash string, small bool) []byte {
	t.Helper()
	f, err := s.File(t.Context(), as(t, s, "mira"), "J-2063", hash, small)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = f.Content.Close() }()
	content, err := io.ReadAll(f.Content)
	if err != nil {
		t.Fatal(err)
	}
	return content
}

func TestPhoto(t *testing.T) {
	s, _ := openDemo(t)
	sent := withExif(t, picture(3000, 1000))
	if !bytes.Contains(sent, []byte("secret place")) {
		t.Fatal("the photo holds no position to begin with")
	}
	a, err := addPhoto(t, s, sent)
	if err != nil || !a.Kept {
		t.Fatal(a, err)
	}
	photo := a.Job.State.Photos[len(a.Job.State.Photos)-1].Body
	kept := readAll(t, s, photo.Blob, false)
	if bytes.Contains(kept, []byte("secret place")) || bytes.Contains(kept, []byte("Exif")) {
		t.Error("what the camera wrote is still there")
	}
	p, err := jpeg.Decode(bytes.NewReader(kept))
	if err != nil {
		t.Fatal(err)
	}
	if b := p.Bounds(); b.Dy() != keptSide || b.Dx() < keptSide/3-2 || b.Dx() > keptSide/3+2 {
		t.Errorf("kept as %v", b)
	}
	// Turned a quarter clockwise, the upper left quarter is at the upper right.
	b := p.Bounds()
	if r, g, _, _ := p.At(b.Dx()*3/4, b.Dy()/4).RGBA(); r < 3*g {
		t.Error("the photo is not upright")
	}
	if r, g, _, _ := p.At(b.Dx()/4, b.Dy()/4).RGBA(); r > 2*g {
		t.Error("the photo is not upright")
	}
	thumb, err := jpeg.Decode(bytes.NewReader(readAll(t, s, photo.Blob, true)))
	if err != nil || thumb.Bounds().Dy() != thumbSide {
		t.Errorf("small picture %v %v", thumb.Bounds(), err)
	}
}

func TestPhotoSentAgain(t *testing.T) {
	s, _ := openDemo(t)
	n := NewPhoto{NewEntry: NewEntry{ID: deriveID(day, "photo", "x")}}
	var first *Answer
	for i := range 2 {
		n.Content = bytes.NewReader(asPNG(t, picture(60, 40)))
		a, err := s.AddPhoto(t.Context(), as(t, s, "mira"), "J-2063", n)
		if err != nil || !a.Kept || a.Fresh != (i == 0) {
			t.Fatalf("%d: %+v %v", i, a, err)
		}
		if first == nil {
			first = a
		}
		if a.Entry.Hash != first.Entry.Hash {
			t.Error("kept twice")
		}
	}
}

// bomb is a small PNG that claims to be huge.
func bomb(t *testing.T) []byte {
	raw := asPNG(t, picture(8, 8))
	binary.BigEndian.PutUint32(raw[16:], 60000)
	binary.BigEndian.PutUint32(raw[20:], 60000)
	binary.BigEndian.PutUint32(raw[29:], crc32.ChecksumIEEE(raw[12:29]))
	return raw
}

func TestPhotoRefused(t *testing.T) {
	s, _ := openDemo(t)
	good := asPNG(t, picture(64, 64))
	for name, content := range map[string][]byte{
		"empty": {}, "text": []byte("hello"), "svg": []byte("<svg onload=alert(1)>"), "gif": []byte("GIF89a\x01\x00\x01\x00"), "tiff": []byte("II*\x00\x08\x00\x00\x00"),
		"pdf": []byte("%PDF-1.7"), "cut": good[:len(good)/2], "only a head": []byte("\xff\xd8\xff\xe0"), "webp head": []byte("RIFF\x00\x00\x00\x00WEBPVP8 "),
		"bomb": bomb(t), "too large": append(bytes.Clone(good), make([]byte, mostPhotoBytes)...),
	} {
		if _, err := addPhoto(t, s, content); say.AsProblem(err) == nil || say.AsProblem(err).Field != "photo" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := addPhoto(t, s, good); err != nil {
		t.Errorf("the good one: %v", err)
	}
}

func FuzzPhoto(f *testing.F) {
	f.Add(asPNG(f, picture(9, 9)))
	f.Add(withExif(f, picture(9, 9)))
	f.Add([]byte("RIFF\x00\x00\x00\x00WEBPVP8 "))
	s := &Shop{pictures: make(chan struct{}, 1)}
	f.Fuzz(func(t *testing.T, content []byte) {
		kept, thumb, err := s.develop(t.Context(), content)
		if err != nil {
			if say.AsProblem(err) == nil {
				t.Fatalf("an error that says nothing to a person: %v", err)
			}
			return
		}
		for _, one := range [][]byte{kept, thumb} {
			if _, err := jpeg.Decode(bytes.NewReader(one)); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func TestDocument(t *testing.T) {
	s, _ := openDemo(t)
	paper := []byte("%PDF-1.4\n% a cleaning statement\n%%EOF\n")
	a, err := s.AddDocument(t.Context(), as(t, s, "ines"), "J-2063", NewDocument{Name: `..\..\<b>cleaning` + "\u202efdp.exe", What: "cleaning statement", Content: bytes.NewReader(paper)})
	if err != nil || !a.Kept || len(a.Job.State.Documents) != 1 || len(a.Job.State.Troubles) > 0 {
		t.Fatalf("%+v %v", a, err)
	}
	d := a.Job.State.Documents[0].Body
	if d.Name != "_b_cleaningfdp.exe.pdf" {
		t.Errorf("called %q", d.Name)
	}
	f, err := s.File(t.Context(), as(t, s, "mira"), "J-2063", d.Blob, false)
	if err != nil || f.Media != pdfMedia {
		t.Fatalf("%+v %v", f, err)
	}
	content, err := io.ReadAll(f.Content)
	if err != nil || !bytes.Equal(content, paper) {
		t.Errorf("kept as %q %v", content, err)
	}
	if err := f.Content.Close(); err != nil {
		t.Error(err)
	}
	// Its hash opens nothing in another job, nor at another site.
	if _, err := s.File(t.Context(), as(t, s, "mira"), "J-2057", d.Blob, false); !errors.Is(err, ErrNotFound) {
		t.Errorf("from another job: %v", err)
	}
	for name, content := range map[string]string{"text": "hello", "late": " %PDF-1.4", "large": "%PDF-1.4" + strings.Repeat("x", mostPaperBytes)} {
		if _, err := s.AddDocument(t.Context(), as(t, s, "ines"), "J-2063", NewDocument{Content: strings.NewReader(content)}); say.AsProblem(err) == nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := s.Add(t.Context(), as(t, s, "mira"), "J-2063", NewEntry{Kind: job.KindNote, Body: body(t, job.Note{Text: fmt.Sprint("see ", d.Name)})}); err != nil {
		t.Error(err)
	}
}

func TestFileName(t *testing.T) {
	for sent, want := range map[string]string{
		"order.pdf": "order.pdf", "a/b/c.pdf": "c.pdf", `C:\x\y.pdf`: "y.pdf", "": "paper.pdf", "..": "paper.pdf", "/": "paper.pdf", "x\x00y\r\n.pdf": "xy.pdf",
		`a"; filename="b`: "a__ filename__b.pdf", "Prüfung 1.pdf": "Prüfung 1.pdf", strings.Repeat("ü", 300): strings.Repeat("ü", longestFileName) + ".pdf",
	} {
		if got := FileName(sent); got != want {
			t.Errorf("%q is called %q, want %q", sent, got, want)
		}
	}
}
