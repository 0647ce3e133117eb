package knowledge

import (
	"embed"
	"errors"
	"io/fs"
	"sync"

	"github.com/goccy/go-yaml"

	"pumpwright/calc/diagnose"
	"pumpwright/calc/say"
)

// Onset says when in the life of a pump a cause shows.
type Onset string

// Show prints the word in the language of a style.
func (v Onset) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Onset) Message() say.Message { return say.Word("knowledge", string(v)) }

// The onsets.
const (
	Assembly Onset = "assembly" // within days of the assembly
	Running  Onset = "running"  // at any time in service
	WearOut  Onset = "wear-out" // after long service
	Start    Onset = "start"    // when the pump is started
	Standby  Onset = "standby"  // while it stands
)

// Cause is one cause of failure.
type Cause struct {
	ID                string   `yaml:"id"`
	Name              string   `yaml:"name"`
	Mechanism         string   `yaml:"mechanism"` // how it does its damage
	Confirm           string   `yaml:"confirm"`   // what would settle it
	Change            string   `yaml:"change"`    // what to change so that it does not come again
	Onset             Onset    `yaml:"onset"`
	LeadsTo           []string `yaml:"leads_to"`           // causes that it brings about
	ISOCause          string   `yaml:"iso_cause"`          // ISO 14224:2016 table B.3, "" where not looked up
	FirstInstallation string   `yaml:"first_installation"` // the code at a first installation
	Source            string   `yaml:"source"`             // key of Sources, "" = common practice
}

// Evidence is one thing that can be found.
type Evidence struct {
	ID      string  `yaml:"id"`
	Part    string  `yaml:"part"` // key of Parts
	Fact    string  `yaml:"fact"` // items with one fact count once
	Name    string  `yaml:"name"`
	Looks   string  `yaml:"looks"`
	Where   string  `yaml:"where"`
	Minutes float64 `yaml:"minutes"` // how long the look takes at the bench
	ISO     string  `yaml:"iso"`     // ISO 14224:2016 table B.2, "" where none fits
	Source  string  `yaml:"source"`  // key of Sources, "" = common practice
}

// Codes are the codes of ISO 14224:2016 with their meaning in short.
type Codes struct {
	EquipmentClass string            `yaml:"equipment_class"`
	FailureModes   map[string]string `yaml:"failure_modes"`
	Mechanisms     map[string]string `yaml:"mechanisms"`
	Causes         map[string]string `yaml:"causes"`
	Detection      map[string]string `yaml:"detection"`
	Activities     map[string]string `yaml:"activities"`
}

// Base is the whole knowledge. It is not to be changed after reading.
type Base struct {
	Causes    []Cause
	Evidence  []Evidence
	Parts     map[string]string
	Sources   map[string]string
	Codes     Codes
	Strengths Strengths

	causeAt     map[string]int
	evidenceAt  map[string]int
	conditionAt map[string]int
	model       *diagnose.Model
}

//go:embed causes.yaml evidence.yaml strengths.yaml sources.yaml codes.yaml
var embedded embed.FS

var embeddedBase = sync.OnceValues(func() (*Base, error) { return Read(embedded) })

// Embedded returns the knowledge that comes with the program.
func Embedded() (*Base, error) { return embeddedBase() }

var msgFile = say.Define("knowledge.file", "the file {file} cannot be used: {reason}")

// Read reads the knowledge from a folder; files that are missing there are the
// embedded ones. Errors are Problems whose field begins with the file's name.
func Read(files fs.FS) (*Base, error) {
	var causes struct {
		Causes []Cause `yaml:"causes"`
	}
	var evidence struct {
		Parts    map[string]string `yaml:"parts"`
		Evidence []Evidence        `yaml:"evidence"`
	}
	var sources struct {
		Sources map[string]string `yaml:"sources"`
	}
	b := &Base{}
	for _, file := range []struct {
		name string
		into any
	}{
		{"causes.yaml", &causes}, {"evidence.yaml", &evidence}, {"strengths.yaml", &b.Strengths},
		{"sources.yaml", &sources}, {"codes.yaml", &b.Codes},
	} {
		if err := readFile(files, file.name, file.into); err != nil {
			return nil, err
		}
	}
	b.Causes, b.Evidence, b.Parts, b.Sources = causes.Causes, evidence.Evidence, evidence.Parts, sources.Sources
	if err := b.check(); err != nil {
		return nil, err
	}
	return b, nil
}

func readFile(files fs.FS, name string, into any) error {
	data, err := fs.ReadFile(files, name)
	if errors.Is(err, fs.ErrNotExist) {
		data, err = embedded.ReadFile(name)
	}
	if err != nil {
		return say.Refuse(name, "", msgFile.With(name, err.Error()), say.Message{})
	}
	if err := yaml.UnmarshalWithOptions(data, into, yaml.Strict()); err != nil {
		return say.Refuse(name, "", msgFile.With(name, yaml.FormatError(err, false, true)), say.Message{})
	}
	return nil
}

// Cause returns the cause of an id, or a Problem that names near ids.
func (b *Base) Cause(id string) (*Cause, error) {
	if at, ok := b.causeAt[id]; ok {
		return &b.Causes[at], nil
	}
	return nil, unknown(id, msgNoCause.With(id), b.causeNames())
}

// Item returns the evidence of an id, or a Problem that names near ids.
func (b *Base) Item(id string) (*Evidence, error) {
	if at, ok := b.evidenceAt[id]; ok {
		return &b.Evidence[at], nil
	}
	return nil, unknown(id, msgNoEvidence.With(id), b.evidenceNames())
}

// SourceOf returns the words of a source key, "common practice, no source" for
// the empty key.
func (b *Base) SourceOf(key string) string {
	if text, ok := b.Sources[key]; ok {
		return text
	}
	return CommonPractice
}

// CommonPractice is the source of what the trade does without a text behind it.
const CommonPractice = "common practice, no source"
