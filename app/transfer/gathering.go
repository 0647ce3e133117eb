package transfer

import (
	"bytes"
	"os"
	"path/filepath"
	"sort"
	"strings"

	"pumpwright/calc/say"
	"pumpwright/rebuild/record"
)

// Gathered is the streams of several files, each stream once.
type Gathered struct {
	Streams []*record.Stream
	Faults  []FileFault
	Made    record.Time       // when the newest of the archives was made, 0 without one
	from    map[string]string // file of each stream
}

// NewGathered returns one without streams.
func NewGathered() *Gathered { return &Gathered{from: map[string]string{}} }

// FileFault is what is wrong with a file of entries.
type FileFault struct {
	File string
	record.Fault
}

var (
	msgNoEntries = say.Define("transfer.no_entries", "there is no entry in it")
	msgGiveFiles = say.Define("transfer.give_files", "give job files, an archive, or a folder with such files")
	msgTwoWays   = say.Define("transfer.two_ways", "{stream} goes on here in another way than in {file}")
	msgOneOnly   = say.Define("transfer.one_only", "give one of the two")
)

// Gather reads a file of entries, an archive of a shop or a folder with such
// files. A stream that comes twice counts once: the longer one, when it begins
// as the other does. Faults say what cannot be read; an archive that is not
// whole, or a stream told in two ways, is an error.
func (f Folder) Gather(g *Gathered, name string) error {
	files, err := f.filesOf(name)
	if err != nil {
		return err
	}
	before := len(g.Streams) + len(g.Faults)
	known := len(g.from)
	for _, file := range files {
		if err := g.read(f, file); err != nil {
			return err
		}
	}
	if known == 0 && len(g.Streams)+len(g.Faults) == before {
		return say.Refuse("file", name, msgNoEntries.With(), msgGiveFiles.With())
	}
	return nil
}

// Sort puts the streams in the order of their names.
func (g *Gathered) Sort() {
	sort.Slice(g.Streams, func(a, b int) bool { return g.Streams[a].Name < g.Streams[b].Name })
}

// File returns the file of a stream.
func (g *Gathered) File(stream string) string { return g.from[stream] }

// filesOf lists the files that a name stands for.
func (f Folder) filesOf(name string) ([]string, error) {
	info, err := os.Stat(f.Path(name))
	if err != nil {
		return nil, err
	}
	if !info.IsDir() {
		return []string{name}, nil
	}
	inside, err := os.ReadDir(f.Path(name))
	if err != nil {
		return nil, err
	}
	var files []string
	for _, e := range inside {
		if ext := strings.ToLower(filepath.Ext(e.Name())); !e.IsDir() && (ext == ".jsonl" || ext == ".zip") {
			files = append(files, filepath.Join(name, e.Name()))
		}
	}
	return files, nil
}

// zipSign is how an archive begins, and no line of JSON.
const zipSign = "PK"

func (g *Gathered) read(f Folder, file string) error {
	content, err := f.Read(file)
	if err != nil {
		return err
	}
	var streams []*record.Stream
	if bytes.HasPrefix(content, []byte(zipSign)) {
		a, err := ReadArchive(bytes.NewReader(content), int64(len(content)))
		if err != nil {
			return say.In(file, err)
		}
		streams = a.Streams
		g.Made = max(g.Made, a.Manifest.Made)
	} else {
		var faults []record.Fault
		if streams, faults, err = ReadLines(bytes.NewReader(content)); err != nil {
			return err
		}
		for _, fault := range faults {
			g.Faults = append(g.Faults, FileFault{file, fault})
		}
	}
	for _, s := range streams {
		if err := g.Add(file, s); err != nil {
			return err
		}
	}
	return nil
}

// Add adds a stream from a file.
func (g *Gathered) Add(file string, s *record.Stream) error {
	first, there := g.from[s.Name]
	if !there {
		g.from[s.Name] = file
		g.Streams = append(g.Streams, s)
		return nil
	}
	for i, have := range g.Streams {
		if have.Name != s.Name {
			continue
		}
		short, long := have, s
		if len(short.Entries) > len(long.Entries) {
			short, long = long, short
		}
		if n := len(short.Entries); n > 0 && short.Entries[n-1].Hash != long.Entries[n-1].Hash {
			return say.Refuse(file, "", msgTwoWays.With(s.Name, first), msgOneOnly.With())
		}
		if long == s {
			g.Streams[i], g.from[s.Name] = s, file
		}
	}
	return nil
}
