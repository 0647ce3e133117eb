package transfer

import (
	"bytes"
	"errors"
	"io/fs"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

var (
	msgFileFaulty = say.Define("transfer.file_faulty", "line {line:count} of the file: {fault:message}")
	msgWholeFirst = say.Define("transfer.whole_first", "nothing is taken into a file that is damaged: pumpwright job verify names what is wrong")
)

// TakeInto lets take put entries into a file of entries of any streams, while
// nobody else can write; a file that is not there is made. An error of take
// leaves everything as it was, and so does a file that is damaged.
func (f Folder) TakeInto(name string, take func(*Memory) error) error {
	path, err := throughLinks(f.Path(name))
	if err != nil {
		return err
	}
	unlock, err := lock(path)
	if err != nil {
		return err
	}
	defer unlock()
	content, err := f.Read(name)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	streams, faults, err := ReadLines(bytes.NewReader(content))
	if err != nil {
		return err
	}
	if len(faults) > 0 {
		return say.Refuse(name, "", msgFileFaulty.With(faults[0].Line, faults[0].Message), msgWholeFirst.With())
	}
	m := NewMemory(streams...)
	if err := take(m); err != nil {
		return err
	}
	var out bytes.Buffer
	if err := WriteLines(&out, m.Streams()...); err != nil {
		return err
	}
	if bytes.Equal(out.Bytes(), content) {
		return nil
	}
	return replace(path, out.Bytes())
}

// Stream returns a stream, an empty one when there is none of the name.
func (m *Memory) Stream(name string) (*record.Stream, error) {
	if s := m.streams[name]; s != nil {
		return s, nil
	}
	return &record.Stream{Name: name}, nil
}
