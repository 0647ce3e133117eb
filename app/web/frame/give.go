package frame

import (
	"fmt"
	"net/http"
	"strconv"
	"time"

	"pumpwright/app/shop"
)

// GivePhoto answers with the content of a photo.
func (v *Visit) GivePhoto(f *shop.File) error {
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", f.Media)
	h.Set("Cache-Control", "private, max-age=31536000, immutable")
	h.Set("Content-Security-Policy", "default-src 'none'; sandbox")
	if f.Media != "image/jpeg" {
		h.Set("Content-Disposition", "attachment")
	}
	http.ServeContent(v.ResponseWriter, v.Request, "", time.Time{}, f.Content)
	return nil
}

// GivePDF answers with a PDF to keep under a name.
func (v *Visit) GivePDF(name string, file []byte) error {
	h := v.ResponseWriter.Header()
	h.Set("Content-Type", "application/pdf")
	h.Set("Content-Length", strconv.Itoa(len(file)))
	h.Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", plainName(name)+".pdf"))
	h.Set("Cache-Control", "no-store")
	v.ResponseWriter.WriteHeader(http.StatusOK)
	_, err := v.ResponseWriter.Write(file)
	return err
}

// plainName keeps what is safe in a file name.
func plainName(name string) string {
	plain := []rune{}
	for _, r := range name {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			plain = append(plain, r)
		}
	}
	return string(plain)
}
