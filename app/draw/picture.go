package draw

import (
	"bytes"
	"html"
	"image/jpeg"
	"io"
)

// Picture is a photo on a sheet: JPEG for paper, an address for a page. The
// picture itself is never changed; what is drawn over it stays lines.
type Picture struct {
	Wide, High int    // pixels
	JPEG       []byte // for a PDF; nil leaves its place empty there
	Address    string // for a page; "" leaves its place empty there
}

// ReadPicture reads the size of a JPEG, and with whole its content too.
func ReadPicture(r io.Reader, whole bool) (*Picture, error) {
	var p Picture
	if whole {
		content, err := io.ReadAll(r)
		if err != nil {
			return nil, err
		}
		p.JPEG, r = content, bytes.NewReader(content)
	}
	size, err := jpeg.DecodeConfig(r)
	if err != nil {
		return nil, err
	}
	p.Wide, p.High = size.Width, size.Height
	return &p, nil
}

// Picture places a photo into a box.
func (d *Drawing) Picture(box Rect, p *Picture) {
	d.add(item{path: Rectangle(box.X, box.Y, box.W, box.H), picture: p, box: box})
}

func (w *svgWriter) picture(it item) {
	if it.picture.Address == "" {
		return
	}
	w.raw(`<image href="` + html.EscapeString(it.picture.Address) + `" x="` + short(it.box.X, 2) + `" y="` + short(it.box.Y, 2) +
		`" width="` + short(it.box.W, 2) + `" height="` + short(it.box.H, 2) + `" preserveAspectRatio="none"/>`)
}
