//go:build !js

package shop

import (
	"bytes"
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"
)

// answerWithin is how long an address may take to answer a message.
const answerWithin = 10 * time.Second

// PostSigned gives a Post that sends a message by HTTP and signs it as RFC
// 9421 says, with HMAC-SHA-256 and the secret of the hook over the method, the
// address and the digest of the content (RFC 9530). Any answer of 200 to 299
// means that it arrived. It follows no redirect: what is signed for one
// address is sent to no other.
func PostSigned(version string, now func() time.Time) Post {
	client := &http.Client{Timeout: answerWithin, CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }}
	return func(ctx context.Context, address, id, hook, secret string, body []byte) error {
		r, err := http.NewRequestWithContext(ctx, http.MethodPost, address, bytes.NewReader(body))
		if err != nil {
			return fmt.Errorf("shop: webhook: %w", err)
		}
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("User-Agent", "pumpwright/"+version)
		r.Header.Set("Idempotency-Key", `"`+id+`"`)
		sign(r, hook, secret, body, now())
		answer, err := client.Do(r)
		if err != nil {
			var inner interface{ Unwrap() error }
			if errors.As(err, &inner) && inner.Unwrap() != nil {
				err = inner.Unwrap() // without the address, which may hold a secret of its owner
			}
			return fmt.Errorf("shop: webhook: %w", err)
		}
		defer answer.Body.Close()
		_, _ = io.CopyN(io.Discard, answer.Body, 4<<10) // so that the connection can be used again
		if answer.StatusCode < 200 || answer.StatusCode > 299 {
			return fmt.Errorf("shop: webhook: the answer was %d", answer.StatusCode)
		}
		return nil
	}
}

// sign puts the signature into the header of a request.
func sign(r *http.Request, hook, secret string, body []byte, at time.Time) {
	digest := sha256.Sum256(body)
	contentDigest := "sha-256=:" + base64.StdEncoding.EncodeToString(digest[:]) + ":"
	params := fmt.Sprintf(`("@method" "@target-uri" "content-digest");created=%d;keyid="%s";alg="hmac-sha256"`, at.Unix(), hook)
	base := fmt.Sprintf("\"@method\": %s\n\"@target-uri\": %s\n\"content-digest\": %s\n\"@signature-params\": %s", r.Method, r.URL, contentDigest, params)
	r.Header.Set("Content-Digest", contentDigest)
	r.Header.Set("Signature-Input", "pumpwright="+params)
	r.Header.Set("Signature", "pumpwright=:"+mac([]byte(secret), base)+":")
}

// mac is the signature of a signature base.
func mac(key []byte, base string) string {
	h := hmac.New(sha256.New, key)
	h.Write([]byte(base))
	return base64.StdEncoding.EncodeToString(h.Sum(nil))
}
