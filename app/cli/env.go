package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"os"
	"os/signal"
	"strconv"
	"syscall"
	"time"

	"pumpwright/app/report"
	"pumpwright/app/transfer"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/calculator"
	"pumpwright/rebuild/record"
)

// Env is all that a command touches.
type Env struct {
	In       io.Reader
	Out, Err io.Writer
	Keyboard bool            // In is a person at a keyboard, not a file or a pipe
	Folder   transfer.Folder // where names of files are read from
	Now      func() time.Time
	Random   io.Reader // for the ids of entries
	Getenv   func(name string) string
	Version  string

	language string // tag of the language in which commands speak

	// Listen opens the port on which pages are served; nil: that of the
	// machine. Until gives the time for which they are; nil: until the process
	// is told to stop.
	Listen func(network, address string) (net.Listener, error)
	Until  func() (context.Context, context.CancelFunc)

	// Report makes the PDF of a job.
	Report func(*assess.Assessment, report.Options) ([]byte, error)
}

// usualWidth is the width of the terminal when COLUMNS does not tell it.
const (
	usualWidth = 100
	leastWidth = 40
)

func (e *Env) width() int {
	if n, err := strconv.Atoi(e.Getenv("COLUMNS")); err == nil && n >= leastWidth {
		return n
	}
	return usualWidth
}

// until is how long pages are served.
func (e *Env) until() (context.Context, context.CancelFunc) {
	if e.Until != nil {
		return e.Until()
	}
	return signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
}

// newID makes the id of an entry.
func (e *Env) newID() (string, error) {
	var random [10]byte
	if _, err := io.ReadFull(e.Random, random[:]); err != nil {
		return "", fmt.Errorf("cli: random bytes: %w", err)
	}
	return record.NewID(e.Now(), random), nil
}

// status ends a command with an exit status when everything was said already.
type status int

func (s status) Error() string { return "exit status " + strconv.Itoa(int(s)) }

// statusOf returns the exit status for an error.
func statusOf(err error) int {
	var quiet status
	var file *fs.PathError
	switch {
	case err == nil:
		return calculator.StatusDone
	case errors.As(err, &quiet):
		return int(quiet)
	case errors.As(err, &file):
		return calculator.StatusFile
	case say.AsProblem(err) != nil:
		return calculator.StatusRefused
	}
	return calculator.StatusFault
}

// Units are the units that a command prints.
type Units struct {
	Units string `enum:"metric,inch" default:"metric" placeholder:"metric|inch" help:"Units to print: metric or inch."`
}

func (u Units) style() say.Style {
	if u.Units == say.Inch.String() {
		return say.Style{Units: say.Inch}
	}
	return say.Style{}
}
