package cli

import (
	"fmt"
	"strconv"
	"strings"

	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
)

func numberText(n int64) string { return strconv.FormatInt(n, 10) }

// addReading adds a reading.
type addReading struct {
	Feature string   `arg:"" optional:"" help:"Feature of the model sheet."`
	At      string   `placeholder:"PLANE/ANGLE" help:"Where: A, A/90 or /90; the angle in degrees."`
	AsFound string   `xor:"state" placeholder:"VALUE" help:"What was read before anything was changed."`
	AsLeft  string   `xor:"state" placeholder:"VALUE" help:"What was read after the work."`
	Goes    string   `placeholder:"LEAF" help:"Thickest feeler leaf that goes."`
	NoGo    string   `placeholder:"LEAF" help:"Thinnest feeler leaf that does not."`
	State   string   `enum:"as-found,as-left" default:"as-found" placeholder:"as-found|as-left" help:"State for leaves and rows."`
	Row     []string `sep:"none" placeholder:"PLANE=VALUES" help:"All values of a plane in the order of the sheet's angles, the unit once at the end."`
	With    string   `placeholder:"INSTRUMENT" help:"Number of the instrument."`
	Pushed  string   `placeholder:"head|drive" help:"Which way the shaft was pushed."`
	Float   string   `placeholder:"VALUE" help:"Bearing float that the value still holds."`
	Note    string   `help:"A note."`
}

// Help shows how it is called.
func (*addReading) Help() string {
	return `A value that the sheet makes unlikely (another unit, a slipped decimal point) is asked about before it is stored.

  pumpwright job add J-2063.jsonl reading idler-pin-od --at A/90 --as-found "0.6245 in" --with IM-01 --by mira
  pumpwright job add J-2063.jsonl reading end-clearance --goes "0.15 mm" --no-go "0.18 mm" --with FG-01 --by mira
  pumpwright job add J-2063.jsonl reading idler-pin-od --row "B=29.931 29.948 29.986 29.951 mm" --with OM-04 --by mira
`
}

// Run stores the reading.
func (c *addReading) Run(env *Env, to *addTo) error { return to.store(env, job.KindReading, c) }

var (
	msgNoReading = say.Define("cli.no_reading", "no value was given")
	msgGiveOne   = say.Define("cli.give_value", "write --as-found or --as-left with a value and its unit, --goes and --no-go with feeler leaves, or --row")
	msgBadAngle  = say.Define("cli.bad_angle", "the angle is no number of degrees")
	msgWriteAt   = say.Define("cli.write_at", "write the place as A, A/90 or /90")
	msgWriteRow  = say.Define("cli.write_row", "write a row as A=29.992 29.993 29.992 mm")
	msgBadRow    = say.Define("cli.bad_row", "the row has no values or no unit")
	msgRowCount  = say.Define("cli.row_count", "the row has {given:count|value|values}, the sheet names {wanted:count|angle|angles} for this feature")
)

func (c *addReading) body(a *adding) (any, error) {
	r := job.Reading{Feature: c.Feature, State: c.State, Instrument: c.With, Pushed: c.Pushed, Float: c.Float, Note: c.Note}
	if len(c.Row) > 0 {
		return r, c.rows(a, &r)
	}
	value := job.Value{Text: c.AsFound, Goes: c.Goes, NoGo: c.NoGo}
	if c.AsLeft != "" {
		r.State, value.Text = job.AsLeft, c.AsLeft
	}
	if c.AsFound != "" {
		r.State = job.AsFound
	}
	if value.Text == "" && value.Goes == "" && value.NoGo == "" {
		return nil, say.Refuse("as-found", "", msgNoReading.With(), msgGiveOne.With())
	}
	var err error
	value.Plane, value.Angle, err = place(c.At)
	r.Values = []job.Value{value}
	return r, err
}

// place reads A, A/90 or /90.
func place(text string) (plane string, angle *float64, err error) {
	plane, degrees, around := strings.Cut(text, "/")
	if !around {
		return plane, nil, nil
	}
	v, err := strconv.ParseFloat(strings.TrimSuffix(strings.TrimSpace(degrees), "°"), 64)
	if err != nil || !(v >= -360 && v <= 360) {
		return "", nil, say.Refuse("at", text, msgBadAngle.With(), msgWriteAt.With())
	}
	return plane, &v, nil
}

// rows expands whole planes. The angles are those of the sheet; without a
// sheet, or without angles in it, the row must be one value.
func (c *addReading) rows(a *adding, r *job.Reading) error {
	var angles []float64
	if a.sheet != nil {
		if f := a.sheet.Feature(c.Feature); f != nil {
			angles = f.Angles
		}
	}
	for i, row := range c.Row {
		field := fmt.Sprintf("row[%d]", i)
		plane, text, found := strings.Cut(row, "=")
		words := strings.Fields(text)
		if !found || len(words) < 2 {
			return say.Refuse(field, row, msgBadRow.With(), msgWriteRow.With())
		}
		values, unit := words[:len(words)-1], words[len(words)-1]
		if len(values) != max(1, len(angles)) {
			return say.Refuse(field, row, msgRowCount.With(len(values), max(1, len(angles))), msgWriteRow.With())
		}
		for j, v := range values {
			value := job.Value{Plane: strings.TrimSpace(plane), Text: v + " " + unit}
			if len(angles) > 0 {
				value.Angle = &angles[j]
			}
			r.Values = append(r.Values, value)
		}
	}
	return nil
}

// addFinding adds evidence.
type addFinding struct {
	Evidence string  `arg:"" optional:"" help:"Id of the evidence."`
	Part     string  `help:"Part it was seen on."`
	Absent   bool    `help:"It was looked for and is not there."`
	Strength float64 `placeholder:"0-1" help:"How plainly it shows, 1 for without doubt."`
	Washed   bool    `help:"It was seen only after washing."`
	Note     string  `help:"A note."`
}

// Help shows how it is called.
func (*addFinding) Help() string {
	return `
  pumpwright job add J-2063.jsonl finding E38 --part idler-pin --note "worn on the discharge side only" --by mira
`
}

// Run stores the finding.
func (c *addFinding) Run(env *Env, to *addTo) error { return to.store(env, job.KindFinding, c) }

func (c *addFinding) body(*adding) (any, error) {
	return job.Finding{Evidence: c.Evidence, Part: c.Part, Absent: c.Absent, Strength: c.Strength, Washed: c.Washed, Note: c.Note},
		need("evidence", c.Evidence, say.Message{})
}

// addStackFound adds the old stack.
type addStackFound struct {
	Piece []string `sep:"none" placeholder:"PIECE" help:"One gasket in order from casing to head: its thickness or its kind, then the word sealing if it seals."`
	Mixed bool     `help:"Order or pieces were lost."`
}

// Help shows how it is called.
func (*addStackFound) Help() string {
	return `
  pumpwright job add J-2063.jsonl stack-found --piece "0.232 mm sealing" --piece "0.126 mm" --piece "0.229 mm sealing" --by mira
`
}

// Run stores the stack.
func (c *addStackFound) Run(env *Env, to *addTo) error { return to.store(env, job.KindStackFound, c) }

func (c *addStackFound) body(a *adding) (any, error) {
	s := job.StackFound{Mixed: c.Mixed}
	for _, text := range c.Piece {
		piece := job.Piece{}
		text, piece.Sealing = strings.CutSuffix(strings.TrimSpace(text), " sealing")
		if a.sheet != nil && a.sheet.GasketIndex(text) >= 0 {
			piece.Kind = text
		} else {
			if _, err := lengthText("piece", text); err != nil {
				return nil, err
			}
			piece.Thickness = text
		}
		s.Pieces = append(s.Pieces, piece)
	}
	if len(s.Pieces) == 0 && !s.Mixed {
		return nil, need("piece", "", say.Message{})
	}
	return s, nil
}

// addTrial adds a trial assembly.
type addTrial struct {
	Stack       map[string]int `mapsep:"none" placeholder:"KIND=COUNT" help:"How many of a kind were fitted; once for each kind."`
	Measured    string         `placeholder:"VALUE" help:"End clearance by indicator."`
	U           string         `placeholder:"VALUE" help:"Its standard uncertainty."`
	Goes        string         `placeholder:"LEAF" help:"Thickest feeler leaf that goes."`
	NoGo        string         `placeholder:"LEAF" help:"Thinnest feeler leaf that does not."`
	Float       string         `placeholder:"VALUE" help:"Bearing float that the value still holds."`
	With        string         `placeholder:"INSTRUMENT" help:"Number of the instrument."`
	AfterTorque bool           `help:"The head bolts were at full torque."`
	TurnsFreely bool           `negatable:"" help:"The shaft turned freely by hand."`
	Bound       bool           `help:"The rotor was bound after torque."`
	Notches     int            `help:"Notches that the bearing housing was turned (positive opens)."`
}

// Help shows how it is called.
func (*addTrial) Help() string {
	return `
  pumpwright job add J-2057.jsonl trial --stack "paper 6 thou=2" --stack "film 5 thou=2" --measured "0.0045 in" --with DI-03 --after-torque --turns-freely --by tomas
`
}

// Run stores the trial.
func (c *addTrial) Run(env *Env, to *addTo) error { return to.store(env, job.KindTrial, c) }

func (c *addTrial) body(*adding) (any, error) {
	if c.Measured == "" && c.Goes == "" && c.NoGo == "" && !c.Bound {
		return nil, say.Refuse("measured", "", msgNoReading.With(), msgGiveTrial.With())
	}
	t := job.Trial{Counts: c.Stack, Measured: c.Measured, U: c.U, Goes: c.Goes, NoGo: c.NoGo, Float: c.Float, Instrument: c.With,
		AfterTorque: c.AfterTorque, Bound: c.Bound, Notches: c.Notches}
	if c.TurnsFreely || c.Bound {
		free := c.TurnsFreely
		t.TurnsFreely = &free
	}
	return t, nil
}

var msgGiveTrial = say.Define("cli.give_trial", "write --measured with a value, --goes and --no-go with feeler leaves, or --bound")
