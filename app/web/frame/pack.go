package frame

import (
	"compress/gzip"
	"net/http"
	"strings"
	"sync"
)

var packers = sync.Pool{New: func() any {
	w, _ := gzip.NewWriterLevel(nil, gzip.BestSpeed) // the level exists
	return w
}}

// Send answers with a text, packed when the browser takes that: a page is
// mostly drawings, which shrink to a fifth.
func Send(w http.ResponseWriter, r *http.Request, status int, text []byte) error {
	w.Header().Add("Vary", "Accept-Encoding")
	if !strings.Contains(r.Header.Get("Accept-Encoding"), "gzip") || len(text) < 1400 {
		w.WriteHeader(status)
		_, err := w.Write(text)
		return err
	}
	w.Header().Set("Content-Encoding", "gzip")
	w.WriteHeader(status)
	z := packers.Get().(*gzip.Writer)
	defer packers.Put(z)
	z.Reset(w)
	if _, err := z.Write(text); err != nil {
		return err
	}
	return z.Close()
}
