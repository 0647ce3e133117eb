package storetest

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"pumpwright/app/store/bucket"
)

// Bucket is an object store within the test: it keeps contents in memory and
// takes no request whose signature it cannot work out itself from what
// arrived.
type Bucket struct {
	server *httptest.Server

	mutex    sync.Mutex
	contents map[string][]byte
}

// NewBucket starts one for as long as the test runs.
func NewBucket(t testing.TB) *Bucket {
	b := &Bucket{contents: map[string][]byte{}}
	b.server = httptest.NewServer(b)
	t.Cleanup(b.server.Close)
	return b
}

const bucketRegion = "bench-1"

// Address is that of the bucket.
func (b *Bucket) Address() string { return b.server.URL + "/photos/shop?region=" + bucketRegion }

// Key is the one that it takes.
func (b *Bucket) Key() bucket.Key { return bucket.Key{ID: "BENCHKEY", Secret: "bench-secret/+="} }

// Count tells how many contents there are.
func (b *Bucket) Count() int {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	return len(b.contents)
}

// Spoil changes every content.
func (b *Bucket) Spoil() {
	b.mutex.Lock()
	defer b.mutex.Unlock()
	for name := range b.contents {
		b.contents[name] = []byte("spoiled")
	}
}

// ServeHTTP answers a request.
func (b *Bucket) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	content, err := io.ReadAll(r.Body)
	if err != nil {
		return // nobody is there to be told
	}
	if fault := b.verify(r, content); fault != "" {
		http.Error(w, fault, http.StatusForbidden)
		return
	}
	b.mutex.Lock()
	defer b.mutex.Unlock()
	kept, there := b.contents[r.URL.Path]
	switch {
	case r.Method == http.MethodPut:
		b.contents[r.URL.Path] = content
	case r.Method == http.MethodDelete:
		delete(b.contents, r.URL.Path)
		w.WriteHeader(http.StatusNoContent)
	case !there:
		w.WriteHeader(http.StatusNotFound)
	case r.Method == http.MethodGet || r.Method == http.MethodHead:
		w.Header().Set("Content-Length", fmt.Sprint(len(kept)))
		_, _ = w.Write(kept) // nobody is there to be told
	default:
		w.WriteHeader(http.StatusMethodNotAllowed)
	}
}

// verify works the signature out from the parts of the request as they came
// over the wire, step by step as the AWS General Reference describes it.
func (b *Bucket) verify(r *http.Request, content []byte) string {
	parts := map[string]string{}
	words, ok := strings.CutPrefix(r.Header.Get("Authorization"), "AWS4-HMAC-SHA256 ")
	if !ok {
		return "not signed"
	}
	for part := range strings.SplitSeq(words, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(part), "=")
		parts[name] = value
	}
	hash := sha256.Sum256(content)
	contentSum := hex.EncodeToString(hash[:])
	if r.Header.Get("X-Amz-Content-Sha256") != contentSum {
		return "the content is not the one that was signed"
	}
	stamp := r.Header.Get("X-Amz-Date")
	at, err := time.Parse("20060102T150405Z", stamp)
	if err != nil || time.Since(at).Abs() > 15*time.Minute {
		return "the time is wrong"
	}
	scope := stamp[:8] + "/" + bucketRegion + "/s3/aws4_request"
	if parts["Credential"] != b.Key().ID+"/"+scope {
		return "the credential is wrong"
	}
	for _, must := range []string{"host", "x-amz-content-sha256", "x-amz-date"} {
		if !strings.Contains(";"+parts["SignedHeaders"]+";", ";"+must+";") {
			return must + " is not signed"
		}
	}
	path, query, _ := strings.Cut(r.RequestURI, "?")
	canonical := r.Method + "\n" + path + "\n" + query + "\n"
	for name := range strings.SplitSeq(parts["SignedHeaders"], ";") {
		value := r.Header.Get(name)
		if name == "host" {
			value = r.Host
		}
		canonical += name + ":" + value + "\n"
	}
	canonical += "\n" + parts["SignedHeaders"] + "\n" + contentSum
	hash = sha256.Sum256([]byte(canonical))
	text := "AWS4-HMAC-SHA256\n" + stamp + "\n" + scope + "\n" + hex.EncodeToString(hash[:])
	mac := func(key []byte, word string) []byte {
		h := hmac.New(sha256.New, key)
		h.Write([]byte(word))
		return h.Sum(nil)
	}
	key := mac(mac(mac(mac([]byte("AWS4"+b.Key().Secret), stamp[:8]), bucketRegion), "s3"), "aws4_request")
	if hex.EncodeToString(mac(key, text)) != parts["Signature"] {
		return "the signature is wrong"
	}
	return ""
}
