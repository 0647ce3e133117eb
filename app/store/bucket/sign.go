package bucket

import (
	"crypto/hmac"
	"crypto/sha256"
	"encoding/hex"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"
)

// Words of AWS Signature Version 4, as “AWS Signature Version 4 for API
// requests” of the AWS General Reference names them.
const (
	algorithm   = "AWS4-HMAC-SHA256"
	service     = "s3"
	lastWord    = "aws4_request"
	stampLayout = "20060102T150405Z"
	dayLayout   = "20060102"
	dateHeader  = "X-Amz-Date"
	sumHeader   = "X-Amz-Content-Sha256"
)

// sign signs a request with all the headers it has.
func (c *Client) sign(r *http.Request, content []byte) {
	r.Header.Set(sumHeader, sum(content))
	at := c.now().UTC()
	r.Header.Set(dateHeader, at.Format(stampLayout))
	r.Header.Set("Authorization", authorization(r, c.key, at, c.region, service, r.Header.Get(sumHeader)))
}

// authorization gives the header that signs a request: a chain of keyed hashes
// over the day, the region and the service signs the hash of the request in
// its canonical form.
func authorization(r *http.Request, key Key, at time.Time, region, service, contentSum string) string {
	canonical, names := canonicalRequest(r, contentSum)
	scope := strings.Join([]string{at.Format(dayLayout), region, service, lastWord}, "/")
	text := strings.Join([]string{algorithm, at.Format(stampLayout), scope, sum([]byte(canonical))}, "\n")
	signing := []byte("AWS4" + key.Secret)
	for _, word := range []string{at.Format(dayLayout), region, service, lastWord} {
		signing = keyed(signing, word)
	}
	return algorithm + " Credential=" + key.ID + "/" + scope + ",SignedHeaders=" + names + ",Signature=" + hex.EncodeToString(keyed(signing, text))
}

func canonicalRequest(r *http.Request, contentSum string) (text, names string) {
	headers := map[string]string{"host": r.Host}
	if r.Host == "" {
		headers["host"] = r.URL.Host
	}
	for name, values := range r.Header {
		trimmed := make([]string, len(values))
		for i, v := range values {
			trimmed[i] = strings.Join(strings.Fields(v), " ")
		}
		headers[strings.ToLower(name)] = strings.Join(trimmed, ",")
	}
	list := make([]string, 0, len(headers))
	for name := range headers {
		list = append(list, name)
	}
	slices.Sort(list)
	var lines strings.Builder
	for _, name := range list {
		lines.WriteString(name + ":" + headers[name] + "\n")
	}
	path := escaped(r.URL.Path)
	if path == "" {
		path = "/"
	}
	names = strings.Join(list, ";")
	return strings.Join([]string{r.Method, path, canonicalQuery(r.URL.Query()), lines.String(), names, contentSum}, "\n"), names
}

func canonicalQuery(query url.Values) string {
	var pairs []string
	for name, values := range query {
		for _, v := range values {
			pairs = append(pairs, escapedAll(name)+"="+escapedAll(v))
		}
	}
	slices.Sort(pairs)
	return strings.Join(pairs, "&")
}

// escaped writes a path as the signature wants it: every byte but those that
// RFC 3986 leaves unreserved, and the slash.
func escaped(path string) string { return escape(path, "/") }

func escapedAll(text string) string { return escape(text, "") }

func escape(text, keep string) string {
	const digits = "0123456789ABCDEF"
	var b strings.Builder
	for i := range len(text) {
		c := text[i]
		if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || strings.IndexByte("-_.~"+keep, c) >= 0 {
			b.WriteByte(c)
			continue
		}
		b.WriteByte('%')
		b.WriteByte(digits[c>>4])
		b.WriteByte(digits[c&15])
	}
	return b.String()
}

func keyed(key []byte, text string) []byte {
	mac := hmac.New(sha256.New, key)
	mac.Write([]byte(text))
	return mac.Sum(nil)
}

func sum(content []byte) string {
	s := sha256.Sum256(content)
	return hex.EncodeToString(s[:])
}
