package record

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"hash"
	"strconv"
	"time"

	"pumpwright/calc/say"
)

// Entry is one thing written down.
type Entry struct {
	ID       string          `json:"id"`     // UUID version 7, made by the writer
	Stream   string          `json:"stream"` // job:…, pump:…, stock:…, instrument:…, sheet:…
	Seq      int64           `json:"seq"`    // place in the stream, from 1
	Kind     string          `json:"kind"`
	Version  int             `json:"v"`
	Body     json.RawMessage `json:"body"`
	By       string          `json:"by"` // id of a person; the name is kept elsewhere
	At       Time            `json:"at"`
	Seen     string          `json:"seen,omitempty"`     // hash of the last entry the writer had
	Received Time            `json:"received,omitempty"` // when the store took it
	Device   string          `json:"device,omitempty"`
	Prev     string          `json:"prev,omitempty"` // hash of the entry before
	Hash     string          `json:"hash"`
}

// Time is a moment in whole microseconds since 1970-01-01 UTC; 0 is unknown.
type Time int64

// TimeOf makes a Time.
func TimeOf(t time.Time) Time {
	if t.IsZero() {
		return 0
	}
	return Time(t.UnixMicro())
}

// Time returns the moment in UTC.
func (t Time) Time() time.Time { return time.UnixMicro(int64(t)).UTC() }

// Day returns the day, or a dash.
func (t Time) Day() say.Day {
	if t == 0 {
		return "–"
	}
	return say.Day(t.Time().Format("2006-01-02"))
}

// ComputeHash returns the hash over the fields of the entry.
func (e *Entry) ComputeHash() string {
	h := sha256.New()
	for _, field := range []string{
		e.ID, e.Stream, strconv.FormatInt(e.Seq, 10), e.Kind, strconv.Itoa(e.Version), string(e.Body),
		e.By, strconv.FormatInt(int64(e.At), 10), e.Seen, strconv.FormatInt(int64(e.Received), 10), e.Device, e.Prev,
	} {
		writeField(h, field)
	}
	return hex.EncodeToString(h.Sum(nil))
}

func writeField(h hash.Hash, field string) {
	var buffer [20]byte
	h.Write(strconv.AppendInt(buffer[:0], int64(len(field)), 10))
	h.Write([]byte{':'})
	h.Write([]byte(field))
}

// SameContent reports whether two entries with one id say the same: place,
// hashes and the time of receipt are the store's, not the writer's.
func (e *Entry) SameContent(other *Entry) bool {
	return e.ID == other.ID && e.Stream == other.Stream && e.Kind == other.Kind && e.Version == other.Version &&
		string(e.Body) == string(other.Body) && e.By == other.By && e.At == other.At && e.Device == other.Device
}

// NewID makes a UUID version 7 (RFC 9562) from a moment and random bytes:
// 48 bits of Unix milliseconds, then the bytes given.
func NewID(at time.Time, random [10]byte) string {
	var b [16]byte
	ms := uint64(at.UnixMilli())
	for i := range 6 {
		b[i] = byte(ms >> (40 - 8*i))
	}
	copy(b[6:], random[:])
	b[6] = b[6]&0x0f | 0x70
	b[8] = b[8]&0x3f | 0x80
	text := hex.EncodeToString(b[:])
	return text[:8] + "-" + text[8:12] + "-" + text[12:16] + "-" + text[16:20] + "-" + text[20:]
}
