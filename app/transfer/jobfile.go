package transfer

import (
	"bytes"

	"pumpwright/rebuild/record"
)

// ReadStream reads a file of entries. Faults say what is wrong with it; what
// can be read is read all the same.
func (f Folder) ReadStream(name string) (*record.Stream, []record.Fault, error) {
	content, err := f.Read(name)
	if err != nil {
		return nil, nil, err
	}
	return record.Read(bytes.NewReader(content))
}

// CreateStream writes a new file of entries.
func (f Folder) CreateStream(name string, stream *record.Stream) error {
	var out bytes.Buffer
	if err := stream.Write(&out); err != nil {
		return err
	}
	return f.Create(name, out.Bytes())
}

// Append adds entries to a file of entries. While nobody else can write, next
// sees what the file holds and returns what is to be added; an error of it
// leaves the file as it was. The bytes that are there stay as they are, faults
// included. The entries come back with their place and hash.
func (f Folder) Append(name string, next func(*record.Stream, []record.Fault) ([]record.Entry, error)) ([]record.Entry, error) {
	path, err := throughLinks(f.Path(name))
	if err != nil {
		return nil, err
	}
	if _, err := f.Read(name); err != nil { // before a lock file is left beside nothing
		return nil, err
	}
	unlock, err := lock(path)
	if err != nil {
		return nil, err
	}
	defer unlock()
	content, err := f.Read(name)
	if err != nil {
		return nil, err
	}
	stream, faults, err := record.Read(bytes.NewReader(content))
	if err != nil {
		return nil, err
	}
	entries, err := next(stream, faults)
	if err != nil {
		return nil, err
	}
	if n := len(content); n > 0 && content[n-1] != '\n' {
		content = append(content, '\n')
	}
	var sealed []record.Entry
	for _, e := range entries {
		before := len(stream.Entries)
		e, err := stream.Append(e)
		if err != nil {
			return nil, err
		}
		sealed = append(sealed, e)
		if len(stream.Entries) == before { // it was there already
			continue
		}
		line, err := record.Line(&e)
		if err != nil {
			return nil, err
		}
		content = append(content, line...)
	}
	return sealed, replace(path, content)
}
