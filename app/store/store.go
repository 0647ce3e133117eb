package store

import (
	"context"
	"errors"
	"io"

	"pumpwright/rebuild/record"
)

// The errors that a caller tells apart. What a person did wrong comes as a
// *say.Problem instead.
var (
	// ErrNotFound: there is no such row in this site.
	ErrNotFound = errors.New("store: not found")
	// ErrMoved: the head of the stream is no longer the one that was expected.
	ErrMoved = errors.New("store: the stream has moved on")
)

// Head is where a stream ends.
type Head struct {
	Stream string
	Seq    int64  // 0 for a stream without entries
	Hash   string // "" for a stream without entries
}

// AnyHead takes an entry wherever its stream ends.
var AnyHead = Head{Seq: -1}

// Site is one shop, or one site of a firm.
type Site struct {
	ID, Name string
	Created  record.Time
}

// Blob describes a photo or a paper. Its name in the blob store is its hash.
type Blob struct {
	Hash    string // SHA-256 of the content, in hexadecimal
	Media   string // media type
	Name    string // file name as given, for a paper
	Size    int64
	Thumb   string // hash of the small picture, "" when there is none
	Created record.Time
}

// Streams keeps entries.
type Streams interface {
	// Append adds entries to one stream, all or none. Each gets its place, its
	// link and its hash. An entry that is there already is returned as it
	// stands; fresh counts the ones that were new. A head other than expected
	// gives ErrMoved (unless every entry was there already).
	Append(ctx context.Context, site string, expected Head, entries ...record.Entry) (sealed []record.Entry, fresh int, err error)
	// AppendAll adds entries to any streams, all or none, wherever these end.
	// Entries that are there already stay as they are. told, when it is not
	// nil, hears how many were written; they are kept when all are.
	AppendAll(ctx context.Context, site string, entries []record.Entry, told func(written int)) error
	// Load returns the entries of a stream after a place, in order.
	Load(ctx context.Context, site, stream string, after int64) (*record.Stream, error)
	// LoadAll returns the streams whose name begins with a prefix, by name.
	LoadAll(ctx context.Context, site, prefix string) ([]*record.Stream, error)
	// HeadOf returns where a stream ends; Seq is 0 when it has no entries.
	HeadOf(ctx context.Context, site, stream string) (Head, error)
	// Entry returns one entry by its id.
	Entry(ctx context.Context, site, id string) (record.Entry, error)
	// LoadSome returns the first streams of a prefix behind a name, at most as
	// many as are asked for.
	LoadSome(ctx context.Context, site, prefix, behind string, limit int) ([]*record.Stream, error)
	// Heads lists the streams whose name begins with a prefix, by name.
	Heads(ctx context.Context, site, prefix string) ([]Head, error)
	// Since lists the streams that have got entries after a mark, and gives the
	// mark for the next question; none, with the first mark, after mark 0.
	Since(ctx context.Context, site string, mark int64) (streams []string, next int64, err error)
	// Latest returns the last entry of every stream whose name begins with a
	// prefix, by name of the stream.
	Latest(ctx context.Context, site, prefix string) ([]record.Entry, error)
}

// Summary is a row made from the entries of a job.
type Summary struct {
	Stream string
	Seq    int64 // entries it was made from
	Waits  string
	Since  record.Time
	Opened record.Time
	Tag    string
	Serial string
	Owner  string
	Data   string // JSON of whoever made it
	Past   string // JSON of what the job says of its machine; Pasts gives it
}

// Text is a text that can be found by its words.
type Text struct {
	Stream, Ref, Kind, Text string
	At                      record.Time
}

// SummaryQuery asks for summaries. Empty fields ask for nothing.
type SummaryQuery struct {
	Stream, Waits, Owner, Tag, Serial string

	Limit int
	After *Summary // the last one of the page before
}

// Derived keeps what is made from entries.
type Derived interface {
	// Behind lists streams with entries that no summary was made from yet.
	Behind(ctx context.Context, site, prefix string, limit int) ([]Head, error)
	// PutDerived replaces what was made from a stream. It is no error when the
	// stream has moved on meanwhile: then it stays behind.
	PutDerived(ctx context.Context, site string, head Head, summary *Summary, texts []Text) error
	// ForgetDerived makes everything derived be made again.
	ForgetDerived(ctx context.Context, site string) error
	// Summaries lists summaries: of one group by how long they have waited, of
	// one machine or place by when they were opened, the newest first.
	Summaries(ctx context.Context, site string, q SummaryQuery) ([]Summary, error)
	// Pasts returns Stream, Seq and Past of one stream, or of all when it is "".
	Pasts(ctx context.Context, site, stream string) ([]Summary, error)
	// CountWaits counts the summaries of each group.
	CountWaits(ctx context.Context, site, owner string) (map[string]int, error)
	// Search finds the texts in which every word begins one.
	Search(ctx context.Context, site string, words []string, limit int) ([]Text, error)
}

// Blobs keeps photos and papers.
type Blobs interface {
	PutBlob(ctx context.Context, site string, b Blob, content []byte) (Blob, error)
	BlobOf(ctx context.Context, site, hash string) (Blob, error)
	OpenBlob(ctx context.Context, site, hash string) (Blob, io.ReadSeekCloser, error)
	// Blobs lists the blobs of a site by hash.
	Blobs(ctx context.Context, site string) ([]Blob, error)
}

// Store is all that a shop keeps.
type Store interface {
	Streams
	Derived
	Blobs
	People
	Programs

	// Next counts up a number of a site, from 1: for names of jobs.
	Next(ctx context.Context, site, name string) (int64, error)

	AddSite(ctx context.Context, s Site) error
	Sites(ctx context.Context) ([]Site, error)

	// Watch tells of the entries that other processes keep in the same store,
	// until the context ends. The zero Notice says that some may have been
	// missed. A store that only one process serves has nothing to tell.
	Watch(ctx context.Context, tell func(Notice))

	// Check looks at the database and at the chain of every stream.
	Check(ctx context.Context) ([]Damage, error)
	// Backup copies everything into a folder while work goes on, and checks
	// the copy. It returns the path of the copy.
	Backup(ctx context.Context, folder string, at record.Time) (string, error)
	NoteBackup(ctx context.Context, b BackupNote) error
	LastBackup(ctx context.Context) (good, any BackupNote, err error)

	// Dump gives every row of every table that holds truth, and every blob.
	Dump(ctx context.Context, take func(Row) error) error
	// Fill takes the rows of a dump into an empty store.
	Fill(ctx context.Context, dump func(take func(Row) error) error) error

	Close() error
}

// Notice says that a stream has come to an entry. It carries no content.
type Notice struct {
	Site   string `json:"site"`
	Stream string `json:"stream"`
	Seq    int64  `json:"seq"`
}

// BackupNote says how a backup went.
type BackupNote struct {
	At   record.Time
	Path string
	Good bool
	Note string
}
