package ledger

import (
	"fmt"
	"time"

	"pumpwright/calc/metrology"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/sheet"
)

// Shop is what an assessment takes from outside the job.
type Shop struct {
	Name        string          `json:"name" optional:"yes" help:"name of the shop"`
	Language    string          `json:"language" optional:"yes" help:"tag of the language of the shop, for people who have chosen none: en, de, es"`
	Invented    bool            `json:"invented" optional:"yes" help:"true when there is no such shop"`
	Instruments []Instrument    `json:"instruments" optional:"yes" help:"instruments with their calibration"`
	Limits      []Limit         `json:"limits" optional:"yes" help:"limits of the site or the customer"`
	Stock       map[string]int  `json:"stock" optional:"yes" help:"gaskets on the shelf, by kind"`
	Lots        []Lot           `json:"gasket_lots" optional:"yes" help:"gaskets that were measured with a micrometer"`
	FootShims   []FootShim      `json:"foot_shims" optional:"yes" help:"shims for the feet of machines on the shelf"`
	Shelf       map[string]int  `json:"shelf" optional:"yes" help:"parts and kits on the shelf, by part of the model sheet or name of the offer"`
	Prices      *Prices         `json:"prices" help:"what the shop asks for its work, and what a new pump costs"`
	CauseTimes  TimesOf         `json:"cause_times" optional:"yes" help:"by confirmed cause, how many finished jobs had run up to 100, 316, 1000, 3162, 10000 h and more"`
	Causes      map[string]int  `json:"causes" optional:"yes" help:"confirmed causes of the shop's finished jobs, by id and count"`
	People      []Person        `json:"people" optional:"yes" help:"who is who"`
	Compression *Compression    `json:"compression" help:"what the shop has learned of the compression of its gaskets"`
	Factors     []LearnedFactor `json:"learned_factors" optional:"yes" help:"what benches have shown of slip and drag, by model sheet"`
	Medians     []LearnedHours  `json:"learned_hours" optional:"yes" help:"how long the stages took in finished jobs"`
	Machine     *Machine        `json:"machine" help:"what is known of the machine of the job over its earlier rebuilds"`
	BenchAt     *sheet.Value    `json:"bench_temperature" help:"temperature of the bench (20 °C when missing)"`
	TestStand   *TestStand      `json:"test_stand" help:"the stand on which pumps are proved"`
}

// TestStand is the stand on which pumps are proved: its liquid and its limits.
type TestStand struct {
	Liquid      string                                     `json:"liquid" help:"name of its liquid"`
	Temperature *sheet.Number[quantity.Temperature]        `json:"temperature" help:"temperature that it holds"`
	Pressure    *sheet.Number[quantity.PressureDifference] `json:"max_pressure" help:"highest pressure difference"`
	Speed       *sheet.Number[quantity.RotationalSpeed]    `json:"max_speed" help:"highest speed"`
	Flow        *sheet.Number[quantity.Flow]               `json:"max_flow" help:"highest flow of its meter"`
	Power       *sheet.Number[quantity.Power]              `json:"max_power" help:"highest power at the shaft"`
	FlowU       *float64                                   `json:"flow_u" help:"standard uncertainty of its flow meter, as a part of the reading"`
	PowerU      *float64                                   `json:"power_u" help:"standard uncertainty of its power reading, as a part of the reading"`
}

// Instrument is one instrument as its certificate states it.
type Instrument struct {
	ID            string       `json:"id" help:"number on the instrument"`
	Kind          string       `json:"kind" help:"kind, for example outside micrometer"`
	Name          string       `json:"name" optional:"yes" help:"what people call it"`
	Resolution    *sheet.Value `json:"resolution" help:"worth of its smallest step"`
	CalibrationU  *sheet.Value `json:"calibration_u" help:"standard uncertainty from the certificate"`
	Repeatability *sheet.Value `json:"repeatability" help:"standard deviation of one reading, from a study"`
	Due           string       `json:"due" optional:"yes" help:"day on which the calibration ends, as 2026-09-30"`
	FailedOn      string       `json:"failed_on" optional:"yes" help:"day on which a check failed"`
}

// Limit is a limit of a site or a customer for a feature of a model.
type Limit struct {
	Sheet   string       `json:"sheet" optional:"yes" help:"model sheet it holds for; all when missing"`
	Feature string       `json:"feature" help:"feature"`
	Min     *sheet.Value `json:"min" help:"smallest value"`
	Max     *sheet.Value `json:"max" help:"largest value"`
	Compare string       `json:"compare" default:"worst" oneof:"worst|mean|taper|spread|below-unworn" help:"which number meets the limit"`
	Rank    string       `json:"rank" default:"site" oneof:"customer|site|shop" help:"whose limit it is"`
	Source  string       `json:"source" optional:"yes" help:"where it is written"`
}

// Person is somebody of the shop.
type Person struct {
	ID    string   `json:"id" help:"id used in entries"`
	Name  string   `json:"name" help:"name"`
	Roles []string `json:"roles" optional:"yes" help:"technician, inspector, lead, office, operations, customer, reader"`
}

// Lot is a lot of gaskets as the shop has measured it.
type Lot struct {
	Kind        string       `json:"kind" help:"kind of gasket, as in the model sheet"`
	Thickness   sheet.Value  `json:"thickness" help:"mean thickness by micrometer, light even force"`
	U           *sheet.Value `json:"u" help:"standard uncertainty of the thickness of a piece (0.004 mm when missing)"`
	Compression *float64     `json:"compression" help:"compression under torque, where a trial has shown it"`
}

// FootShim is one thickness of the shims that lie under feet.
type FootShim struct {
	Thickness sheet.Value `json:"thickness" help:"thickness of one shim"`
	Count     int         `json:"count" help:"how many there are, for one foot"`
}

// Compression is what trials have taught about gaskets.
type Compression struct {
	Extra float64 `json:"extra" help:"compression beyond the sheet's, as a fraction"`
	U     float64 `json:"u" help:"its standard uncertainty"`
	Jobs  int     `json:"jobs" help:"how many jobs stand behind it"`
}

// Read reads a shop from what JSON or YAML gave.
func Read(raw any) (*Shop, error) {
	s := &Shop{}
	reader := fields.Reader{KeepUnknown: true}
	if err := reader.Bind(raw, s); err != nil {
		return nil, err
	}
	for i, in := range s.Instruments {
		for name, day := range map[string]string{"due": in.Due, "failed_on": in.FailedOn} {
			if _, err := parseDay(day); err != nil {
				return nil, say.In(fmt.Sprintf("instruments[%d].%s", i, name), err)
			}
		}
	}
	return s, nil
}

var (
	msgBadDay   = say.Define("ledger.bad_day", "this is no day")
	msgWriteDay = say.Define("ledger.write_day", "write the day as 2026-09-30")
)

func parseDay(text string) (time.Time, error) {
	if text == "" {
		return time.Time{}, nil
	}
	day, err := time.Parse(time.DateOnly, text)
	if err != nil {
		return time.Time{}, say.Refuse("", text, msgBadDay.With(), msgWriteDay.With())
	}
	return day, nil
}

// Find returns the instrument of an id, or nil.
func (s *Shop) Find(id string) *Instrument {
	if s == nil || id == "" {
		return nil
	}
	for i := range s.Instruments {
		if s.Instruments[i].ID == id {
			return &s.Instruments[i]
		}
	}
	return nil
}

// LotOf returns the measured lot of a kind of gasket, or nil.
func (s *Shop) LotOf(kind string) *Lot {
	if s == nil {
		return nil
	}
	for i := range s.Lots {
		if s.Lots[i].Kind == kind && s.Lots[i].Thickness.Dimension == quantity.LengthDimension {
			return &s.Lots[i]
		}
	}
	return nil
}

// PersonName returns the name behind an id, or the id.
func (s *Shop) PersonName(id string) string {
	if s != nil {
		for _, p := range s.People {
			if p.ID == id {
				return p.Name
			}
		}
	}
	return id
}

// Metrology returns the instrument for a budget.
func (in *Instrument) Metrology() metrology.Instrument {
	due, _ := parseDay(in.Due) // Read has looked at it
	failed, _ := parseDay(in.FailedOn)
	m := metrology.Instrument{Name: in.ID, Dimension: quantity.LengthDimension, Due: due, FailedOn: failed}
	if in.Resolution != nil {
		m.Resolution = in.Resolution.SI
		m.Dimension = in.Resolution.Dimension
	}
	if in.CalibrationU != nil {
		m.CalibrationU = in.CalibrationU.SI
	}
	if in.Repeatability != nil {
		m.Repeatability = in.Repeatability.SI
	}
	return m
}

// Usual returns an instrument of a kind with the figures that such instruments
// usually have, for a reading that names none: resolution, standard
// uncertainty of calibration, standard deviation of a reading, in metres.
// Known only as a rule of thumb. [common practice, no source]
func Usual(kind string) (metrology.Instrument, bool) {
	figures, known := map[string][3]float64{
		"outside micrometer": {0.01e-3, 0.002e-3, 0.003e-3},
		"bore gauge":         {0.002e-3, 0.002e-3, 0.003e-3},
		"depth micrometer":   {0.01e-3, 0.003e-3, 0.005e-3},
		"dial indicator":     {0.01e-3, 0.003e-3, 0.004e-3},
		"feeler gauge":       {0, 0.002e-3, 0.005e-3},
		"depth gauge":        {0.02e-3, 0.010e-3, 0.020e-3},
		"caliper":            {0.02e-3, 0.010e-3, 0.015e-3},
		"straightedge":       {0, 0.005e-3, 0.010e-3},
	}[kind]
	m := metrology.Instrument{Name: kind, Dimension: quantity.LengthDimension, Resolution: figures[0], CalibrationU: figures[1], Repeatability: figures[2]}
	return m, known
}
