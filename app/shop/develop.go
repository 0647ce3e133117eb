//go:build !js

package shop

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"image/color"
	_ "image/jpeg" // format of photos
	_ "image/png"  // format of photos

	"github.com/kovidgoyal/imaging"
	_ "golang.org/x/image/webp" // format of photos

	"pumpwright/calc/say"
)

// develop makes the picture that is kept and the small one. One is made at a
// time: each needs memory for all its pixels.
func (s *Shop) develop(ctx context.Context, content []byte) (kept, thumb []byte, err error) {
	if !isPhoto(content) {
		return nil, nil, say.Refuse("photo", "", msgPhotoKind.With(), msgPhotoKinds.With())
	}
	select {
	case s.pictures <- struct{}{}:
		defer func() { <-s.pictures }()
	case <-ctx.Done():
		return nil, nil, ctx.Err()
	}
	defer func() { // a reader of pictures that stumbles must not stop the shop
		if fault := recover(); fault != nil {
			kept, thumb, err = nil, nil, broken(fmt.Errorf("%v", fault))
		}
	}()
	size, _, err := image.DecodeConfig(bytes.NewReader(content))
	if err != nil {
		return nil, nil, broken(err)
	}
	if size.Width <= 0 || size.Height <= 0 || size.Width > mostPixels || size.Height > mostPixels || size.Width*size.Height > mostPixels {
		return nil, nil, say.Refuse("photo", fmt.Sprintf("%d × %d", size.Width, size.Height), msgPhotoSize.With(), msgPhotoMost.With(mostPhotoBytes>>20, mostPixels/1_000_000))
	}
	picture, err := imaging.Decode(bytes.NewReader(content), imaging.AutoOrientation(true), imaging.Backends(imaging.GO_IMAGE))
	if err != nil {
		return nil, nil, broken(err)
	}
	if !imaging.IsOpaque(picture) {
		picture = imaging.PasteOntoBackground(picture, color.White)
	}
	if b := picture.Bounds(); b.Dx() > keptSide || b.Dy() > keptSide {
		picture = imaging.Fit(picture, keptSide, keptSide, imaging.CatmullRom)
	}
	if kept, err = asJPEG(picture, keptQuality); err != nil {
		return nil, nil, err
	}
	thumb, err = asJPEG(imaging.Fit(picture, thumbSide, thumbSide, imaging.Linear), thumbQuality)
	return kept, thumb, err
}

func asJPEG(picture image.Image, quality int) ([]byte, error) {
	var out bytes.Buffer
	if err := imaging.Encode(&out, picture, imaging.JPEG, imaging.JPEGQuality(quality)); err != nil {
		return nil, fmt.Errorf("shop: photo: %w", err)
	}
	return out.Bytes(), nil
}
