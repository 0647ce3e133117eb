// Package bucket keeps contents in an object store that speaks the REST
// interface of Amazon S3, with four verbs: put, get, has and drop. Requests are
// signed with AWS Signature Version 4; names are placed in the path, so that
// any server of that interface can be used.
package bucket

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/http"
	"net/url"
	"strings"
	"time"

	"pumpwright/calc/say"
)

// Client speaks to one bucket.
type Client struct {
	base   *url.URL // of the bucket, with what stands before each name
	region string
	key    Key
	http   *http.Client
	now    func() time.Time
}

// Key is what requests are signed with. It never leaves the process: only
// signatures made with it do.
type Key struct{ ID, Secret string }

// usualRegion is what servers that know no regions take.
const usualRegion = "us-east-1"

var (
	msgAddress = say.Define("bucket.address", "this is no address of a bucket")
	msgLike    = say.Define("bucket.like", "write it like https://host/bucket?region=name, without a key")
	msgNoKey   = say.Define("bucket.no_key", "the key for the bucket is missing")
	msgGiveKey = say.Define("bucket.give_key", "give both its id and its secret")
)

// New makes a client for an address such as https://host/bucket/before?region=name.
func New(address string, key Key) (*Client, error) {
	u, err := url.Parse(address)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" || u.Host == "" || u.User != nil || strings.Trim(u.Path, "/") == "" {
		return nil, say.Refuse("photos", "", msgAddress.With(), msgLike.With())
	}
	if key.ID == "" || key.Secret == "" {
		return nil, say.Refuse("photos", "", msgNoKey.With(), msgGiveKey.With())
	}
	c := &Client{region: u.Query().Get("region"), key: key, now: time.Now, http: &http.Client{
		Timeout: time.Minute,
		// a signature holds for one address
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
	if c.region == "" {
		c.region = usualRegion
	}
	u.RawQuery, u.Fragment, u.Path = "", "", "/"+strings.Trim(u.Path, "/")
	c.base = u
	return c, nil
}

// Put keeps a content under a name.
func (c *Client) Put(ctx context.Context, name string, content []byte) error {
	_, err := c.ask(ctx, http.MethodPut, name, content)
	return err
}

// Get returns a content; fs.ErrNotExist when there is none.
func (c *Client) Get(ctx context.Context, name string) ([]byte, error) {
	return c.ask(ctx, http.MethodGet, name, nil)
}

// Has reports whether there is a content of a name.
func (c *Client) Has(ctx context.Context, name string) (bool, error) {
	_, err := c.ask(ctx, http.MethodHead, name, nil)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	return err == nil, err
}

// Drop takes a content away; it is no error when there is none.
func (c *Client) Drop(ctx context.Context, name string) error {
	_, err := c.ask(ctx, http.MethodDelete, name, nil)
	if errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	return err
}

// Every verb may be repeated: the second time it finds what the first one left.
const (
	mostTries = 4
	firstWait = 200 * time.Millisecond
	mostBytes = 1 << 30
)

func (c *Client) ask(ctx context.Context, method, name string, content []byte) (answer []byte, err error) {
	wait := firstWait
	for try := 1; ; try++ {
		var again bool
		answer, again, err = c.once(ctx, method, name, content)
		if err == nil || !again || try == mostTries {
			return answer, err
		}
		select {
		case <-time.After(wait):
			wait *= 2
		case <-ctx.Done():
			return nil, ctx.Err()
		}
	}
}

// once makes one request; again says whether another may end better.
func (c *Client) once(ctx context.Context, method, name string, content []byte) (answer []byte, again bool, err error) {
	u := *c.base
	u.Path += "/" + name
	u.RawPath = escaped(u.Path)
	r, err := http.NewRequestWithContext(ctx, method, u.String(), bytes.NewReader(content))
	if err != nil {
		return nil, false, fmt.Errorf("bucket: %w", err)
	}
	c.sign(r, content)
	w, err := c.http.Do(r)
	if err != nil {
		return nil, ctx.Err() == nil, fmt.Errorf("bucket: %w", err)
	}
	defer func() { _ = w.Body.Close() }() // it was read, or is given up
	switch {
	case w.StatusCode == http.StatusNotFound:
		return nil, false, fmt.Errorf("bucket: %s: %w", name, fs.ErrNotExist)
	case w.StatusCode/100 != 2:
		return nil, w.StatusCode >= 500 || w.StatusCode == http.StatusTooManyRequests, fmt.Errorf("bucket: %s %s: status %d", method, name, w.StatusCode)
	}
	answer, err = io.ReadAll(io.LimitReader(w.Body, mostBytes))
	if err != nil {
		return nil, ctx.Err() == nil, fmt.Errorf("bucket: %s: %w", name, err)
	}
	return answer, false, nil
}
