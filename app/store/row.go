package store

import (
	"context"
	"crypto/sha256"
	"encoding/hex"

	"pumpwright/calc/say"
)

// Row is a row of a table, or the content of a blob (Table "content", the hash
// as the only value).
type Row struct {
	Table   string
	Values  []any // string or int64, in the order of the table's columns
	Content []byte
}

// Copy copies everything from one store into an empty one.
func Copy(ctx context.Context, from, to Store) error {
	return to.Fill(ctx, func(take func(Row) error) error { return from.Dump(ctx, take) })
}

// Damage is something that is not as it was written.
type Damage struct {
	Site, Stream string // "" when it is of no stream
	Seq          int64
	Message      say.Message
}

// HashOf returns the name of a content.
func HashOf(content []byte) string {
	sum := sha256.Sum256(content)
	return hex.EncodeToString(sum[:])
}
