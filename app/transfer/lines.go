package transfer

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"io"

	"pumpwright/rebuild/record"
)

// WriteLines writes streams as JSON Lines, one entry a line, one stream after
// the other.
func WriteLines(to io.Writer, streams ...*record.Stream) error {
	w := bufio.NewWriter(to)
	for _, s := range streams {
		if err := s.Write(w); err != nil {
			return err
		}
	}
	return w.Flush()
}

// ReadLines reads entries of any number of streams, in whatever order their
// lines stand, and checks the chain of each. Faults name the lines of the
// file; what can be read is read.
func ReadLines(from io.Reader) ([]*record.Stream, []record.Fault, error) {
	data, err := io.ReadAll(from)
	if err != nil {
		return nil, nil, fmt.Errorf("transfer: %w", err)
	}
	type group struct {
		text  bytes.Buffer
		lines []int // line of the file of each line of the group
	}
	groups := map[string]*group{}
	var names []string
	all := bytes.Split(data, []byte("\n"))
	for i, line := range all {
		if len(bytes.TrimSpace(line)) == 0 {
			continue
		}
		var e struct {
			Stream string `json:"stream"`
		}
		_ = json.Unmarshal(line, &e) // what cannot be read is named by record.Read, under no stream
		g := groups[e.Stream]
		if g == nil {
			g = &group{}
			groups[e.Stream] = g
			names = append(names, e.Stream)
		}
		g.text.Write(line)
		if i < len(all)-1 {
			g.text.WriteByte('\n')
		}
		g.lines = append(g.lines, i+1)
	}
	var streams []*record.Stream
	var faults []record.Fault
	for _, name := range names {
		g := groups[name]
		s, wrong, err := record.Read(&g.text)
		if err != nil {
			return nil, nil, err
		}
		for _, f := range wrong {
			if f.Line >= 1 && f.Line <= len(g.lines) {
				f.Line = g.lines[f.Line-1]
			}
			faults = append(faults, f)
		}
		if len(s.Entries) > 0 {
			streams = append(streams, s)
		}
	}
	return streams, faults, nil
}

// TakeLines takes entries that come as streams, all or none, those alone that
// the target has not.
func TakeLines(streams []*record.Stream, t Target) (Outcome, error) {
	var all []record.Entry
	for _, s := range streams {
		all = append(all, s.Entries...)
	}
	return takeNew(t, all)
}
