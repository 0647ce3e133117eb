package record

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"pumpwright/calc/say"
)

var (
	msgSameID      = say.Define("record.same_id", "an entry with this id is here already and says something else")
	msgWriteNewID  = say.Define("record.write_new_id", "a new entry needs an id of its own")
	msgOtherStream = say.Define("record.other_stream", "the entry belongs to {found}, this is {here}")
	msgNoKind      = say.Define("record.no_kind", "the entry has no kind")

	msgFaultBroken    = say.Define("record.broken", "line {line:count} cannot be read: {reason}")
	msgFaultCut       = say.Define("record.cut", "line {line:count} ends in the middle of an entry: the file was cut off there")
	msgFaultEdited    = say.Define("record.edited", "entry {seq:count} ({kind}, line {line:count}) was changed after it was written: its content does not match its hash")
	msgFaultChain     = say.Define("record.chain", "entry {seq:count} ({kind}, line {line:count}) does not follow the entry before it: an entry was removed, added or moved")
	msgFaultOrder     = say.Define("record.order", "line {line:count} holds entry {found:count}, expected was entry {wanted:count}")
	msgFaultDouble    = say.Define("record.double", "entry {seq:count} (line {line:count}) is in the file twice")
	msgFaultForeign   = say.Define("record.foreign", "line {line:count} belongs to {found}, the file is {here}")
	msgFaultCanonical = say.Define("record.canonical", "entry {seq:count} (line {line:count}) is not in its canonical form")
)

// Stream is the entries of one job, pump, stock or instrument, in order.
type Stream struct {
	Name    string
	Entries []Entry
}

// Head returns the hash of the last entry, "" for an empty stream.
func (s *Stream) Head() string {
	if len(s.Entries) == 0 {
		return ""
	}
	return s.Entries[len(s.Entries)-1].Hash
}

// Append takes an entry at the end of the stream: it sets place, link and
// hash. The same id with the same content is taken once and returned as it
// stands; the same id with other content is refused.
func (s *Stream) Append(e Entry) (Entry, error) {
	for i := range s.Entries {
		if s.Entries[i].ID == e.ID {
			if body, err := Canonical(e.Body); err == nil {
				e.Body = body
			}
			if s.Entries[i].SameContent(&e) {
				return s.Entries[i], nil
			}
			return Entry{}, say.Refuse("id", e.ID, msgSameID.With(), msgWriteNewID.With())
		}
	}
	sealed, err := Seal(e, s.Name, int64(len(s.Entries))+1, s.Head())
	if err != nil {
		return Entry{}, err
	}
	if s.Name == "" {
		s.Name = sealed.Stream
	}
	s.Entries = append(s.Entries, sealed)
	return sealed, nil
}

// Seal gives an entry its place, its link to the entry before and its hash. A
// store calls it inside its transaction.
func Seal(e Entry, stream string, seq int64, prev string) (Entry, error) {
	if stream != "" && e.Stream != stream {
		return Entry{}, say.Refuse("stream", e.Stream, msgOtherStream.With(e.Stream, stream), say.Message{})
	}
	if e.Kind == "" {
		return Entry{}, say.Refuse("kind", "", msgNoKind.With(), say.Message{})
	}
	body, err := Canonical(e.Body)
	if err != nil {
		return Entry{}, err
	}
	e.Body = body
	e.Seq = seq
	e.Prev = prev
	e.Hash = e.ComputeHash()
	return e, nil
}

// Fault is something wrong with a file of entries. The entries that can be
// read are read all the same.
type Fault struct {
	Line    int
	Seq     int64 // 0 when the line could not be read
	ID      string
	Message say.Message
}

// Read reads a file of entries (JSON Lines) and checks it: every line that can
// be read gives an entry, everything that is wrong gives a fault. Only a
// failing reader gives an error.
func Read(r io.Reader) (*Stream, []Fault, error) {
	data, err := io.ReadAll(r)
	if err != nil {
		return nil, nil, fmt.Errorf("record: read: %w", err)
	}
	stream := &Stream{}
	var faults []Fault
	seen := map[string]string{}
	prev := ""
	lines := bytes.Split(data, []byte("\n"))
	for i, line := range lines {
		number := i + 1
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		var e Entry
		if err := json.Unmarshal(line, &e); err != nil {
			message := msgFaultBroken.With(number, err)
			if i == len(lines)-1 { // the last line has no line end behind it
				message = msgFaultCut.With(number)
			}
			faults = append(faults, Fault{Line: number, Message: message})
			prev = unknownPrev
			continue
		}
		if stream.Name == "" {
			stream.Name = e.Stream
		}
		fault := check(&e, stream, number, prev, seen)
		if !fault.Message.IsZero() {
			faults = append(faults, fault)
		}
		if hash, double := seen[e.ID]; double && hash == e.Hash {
			continue
		}
		seen[e.ID] = e.Hash
		prev = e.Hash
		stream.Entries = append(stream.Entries, e)
	}
	return stream, faults, nil
}

// unknownPrev stands for the hash of a line that could not be read: whatever
// the next entry is linked to is believed.
const unknownPrev = "?"

func check(e *Entry, stream *Stream, line int, prev string, seen map[string]string) Fault {
	fault := Fault{Line: line, Seq: e.Seq, ID: e.ID}
	wanted := int64(len(stream.Entries)) + 1
	canonical, err := Canonical(e.Body)
	switch {
	case seen[e.ID] != "":
		fault.Message = msgFaultDouble.With(int(e.Seq), line)
	case e.Stream != stream.Name:
		fault.Message = msgFaultForeign.With(line, e.Stream, stream.Name)
	case err != nil || !bytes.Equal(canonical, e.Body):
		fault.Message = msgFaultCanonical.With(int(e.Seq), line)
	case e.ComputeHash() != e.Hash:
		fault.Message = msgFaultEdited.With(int(e.Seq), e.Kind, line)
	case prev != unknownPrev && e.Prev != prev:
		fault.Message = msgFaultChain.With(int(e.Seq), e.Kind, line)
	case prev != unknownPrev && e.Seq != wanted:
		fault.Message = msgFaultOrder.With(line, int(e.Seq), int(wanted))
	}
	return fault
}

// Write writes the entries as JSON Lines.
func (s *Stream) Write(w io.Writer) error {
	for i := range s.Entries {
		line, err := Line(&s.Entries[i])
		if err != nil {
			return err
		}
		if _, err := w.Write(line); err != nil {
			return fmt.Errorf("record: write: %w", err)
		}
	}
	return nil
}

// Line returns an entry as one line of a file, with its line end.
func Line(e *Entry) ([]byte, error) {
	var out bytes.Buffer
	encoder := json.NewEncoder(&out)
	encoder.SetEscapeHTML(false)
	if err := encoder.Encode(e); err != nil {
		return nil, fmt.Errorf("record: entry %s: %w", e.ID, err)
	}
	return out.Bytes(), nil
}
