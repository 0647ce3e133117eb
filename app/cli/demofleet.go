package cli

import (
	"bytes"
	_ "embed"
	"errors"
	"fmt"
	"io"
	"path"
	"strconv"

	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/demo/fleet"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/record"
)

// demoFleet writes an invented fleet.
type demoFleet struct {
	Jobs int    `default:"300" placeholder:"N" help:"How many jobs."`
	Seed uint64 `default:"1" placeholder:"S" help:"Another number gives another fleet; the same one the same fleet, on every machine."`
	Dir  string `default:"pumpwright-fleet" help:"Folder to write."`
}

// Help shows how it is called.
func (*demoFleet) Help() string {
	return `Pumps of the invented family, worn by laws that are known because they were chosen, rebuilt again and again. The folder gets an archive with what a shop would have written down, and beside it the truth, so that an estimate can be held against what made its data. Files that are there already are left alone.

  pumpwright demo fleet --jobs 40 --seed 7 --dir fleet
  pumpwright due fleet
  pumpwright fleet fleet
`
}

//go:embed template/FLEET.txt
var fleetReadme []byte

var (
	msgFleetMade  = say.Define("cli.fleet_made", "An invented fleet: {jobs:count|job|jobs} of {machines:count|pump|pumps}, up to {day}. No such plants, people or machines exist.")
	msgFleetFiles = say.Define("cli.fleet_files", "{archive} holds what was written down, {truth} the hours at which each idler bushing that runs now will reach its limit.")
	msgFleetJobs  = say.Define("cli.fleet_jobs", "a fleet has at least one job")
	msgFleetMost  = say.Define("cli.fleet_most", "write 1 to {most:count}")
)

// mostFleet is the largest fleet that is written: an archive is read whole.
const mostFleet = 100_000

// The files of a fleet.
const (
	fleetArchive = "fleet.zip"
	fleetTruth   = "truth.csv"
)

// Run writes the fleet.
func (c *demoFleet) Run(env *Env) error {
	if c.Jobs < 1 || c.Jobs > mostFleet {
		return say.Refuse("jobs", strconv.Itoa(c.Jobs), msgFleetJobs.With(), msgFleetMost.With(mostFleet))
	}
	f, err := fleet.Simulate(fleet.Options{Jobs: c.Jobs, Seed: c.Seed})
	if err != nil {
		return err
	}
	var archive, truth bytes.Buffer
	source := newFleetSource(f)
	defer source.stop()
	if _, err := transfer.WriteArchive(&archive, source, "", f.AsOf); err != nil {
		return err
	}
	if err := truthTable(f).WriteCSV(&truth); err != nil {
		return err
	}
	if err := env.Folder.MakeFolder(c.Dir); err != nil {
		return err
	}
	for _, file := range []demoFile{{"README.txt", fleetReadme}, {fleetTruth, truth.Bytes()}, {fleetArchive, archive.Bytes()}} {
		if err := env.Folder.Create(path.Join(c.Dir, file.name), file.content); err != nil {
			return err
		}
	}
	p := newPage(env, say.Style{})
	p.say(msgFleetMade.With(c.Jobs, len(f.Machines), f.AsOf.Day()))
	p.say(msgFleetFiles.With(path.Join(c.Dir, fleetArchive), path.Join(c.Dir, fleetTruth)))
	p.blank()
	for _, line := range []string{"due " + c.Dir, "fleet " + c.Dir, "history " + c.Dir + " --serial " + f.Machines[0].Serial} {
		p.line("  " + name + " " + line)
	}
	return p.err
}

// truthTable lists what is true of the bushings that run now.
func truthTable(f *fleet.Fleet) *transfer.Table {
	t := &transfer.Table{Name: "truth", Columns: []string{"serial", "tag", "place", "liquid", "hours a year", "bushing hours at last rebuild", "wear, mm in 1000 h", "limit, mm", "hours of the bushing at the limit"}}
	for _, one := range f.Truths() {
		m := one.Machine
		t.Rows = append(t.Rows, []transfer.Cell{transfer.TextCell(m.Serial), transfer.TextCell(m.Tag), transfer.TextCell(m.Site), transfer.TextCell(f.Laws.Services[m.Service].Liquid),
			transfer.NumberCell(m.HoursAYear), transfer.NumberCell(one.Age), transfer.NumberCell(1e6 * one.Wear.Rate), transfer.NumberCell(1e3 * one.Limit), transfer.NumberCell(one.Hours)})
	}
	return t
}

// fleetSource gives the streams of a fleet one after the other, in the order
// of their names here, so that they never lie in memory together.
type fleetSource struct {
	fleet *fleet.Fleet
	next  chan *record.Stream
	ended chan error
	done  chan struct{}
}

func newFleetSource(f *fleet.Fleet) *fleetSource {
	s := &fleetSource{f, make(chan *record.Stream), make(chan error, 1), make(chan struct{})}
	go func() {
		defer close(s.next)
		s.ended <- f.Streams(func(stream *record.Stream) error {
			select {
			case s.next <- stream:
				return nil
			case <-s.done:
				return errStopped
			}
		})
	}()
	return s
}

var errStopped = errors.New("cli: fleet: stopped")

func (s *fleetSource) stop() { close(s.done) }

// StreamNames lists the streams in the order in which they come.
func (s *fleetSource) StreamNames() ([]string, error) {
	var list []string
	for i := range s.fleet.Machines {
		m := &s.fleet.Machines[i]
		list = append(list, history.PumpStream(m.Serial))
		for k := range m.Jobs {
			list = append(list, "job:"+m.Jobs[k].Name)
		}
	}
	return list, nil
}

// Stream gives the next stream.
func (s *fleetSource) Stream(name string) (*record.Stream, error) {
	stream, ok := <-s.next
	if !ok {
		return nil, fmt.Errorf("cli: fleet: %s: %w", name, <-s.ended)
	}
	if stream.Name != name {
		return nil, fmt.Errorf("cli: fleet: %s came for %s", stream.Name, name)
	}
	return stream, nil
}

// BlobHashes lists no photos: nobody took any.
func (s *fleetSource) BlobHashes() ([]string, error) { return nil, nil }

// OpenBlob opens none.
func (s *fleetSource) OpenBlob(string) (io.ReadCloser, error) { return nil, errStopped }
