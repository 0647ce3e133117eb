package job

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/fields"
)

// Running is a set of readings of the pump in service.
type Running struct {
	After       *quantity.Time               `json:"after" help:"time since the start, for example 15 min or 24 h"`
	Pressure    *quantity.PressureDifference `json:"pressure" help:"discharge minus suction pressure"`
	Vacuum      *quantity.PressureDifference `json:"vacuum" help:"vacuum at the suction flange"`
	Flow        *quantity.Flow               `json:"flow" help:"flow"`
	Speed       *quantity.RotationalSpeed    `json:"speed" help:"speed of the pump"`
	Power       *quantity.Power              `json:"power" help:"power at the shaft, or of the motor"`
	Current     *Current                     `json:"current" help:"current of the motor, for example 8.1 A"`
	Temperature *quantity.Temperature        `json:"temperature" help:"temperature of the liquid at the inlet"`
	Bearing     *quantity.Temperature        `json:"bearing_temperature" help:"temperature at the thrust bearing"`
	Viscosity   *quantity.KinematicViscosity `json:"viscosity" help:"viscosity of the liquid at that temperature"`
	Vibration   *quantity.Speed              `json:"vibration" help:"vibration velocity, root mean square"`
	Leakage     *Drops                       `json:"leakage" help:"leakage at the seal, drops a minute"`
	Note        string                       `json:"note" optional:"yes" help:"remark"`
}

// ReadRunning reads the body of a running entry. Fields of later versions are
// passed over.
func ReadRunning(raw any) (Running, error) {
	var r Running
	reader := fields.Reader{KeepUnknown: true}
	return r, reader.Bind(raw, &r)
}

// Current is an electric current in ampere. Nothing is computed from it: it
// is kept and set beside later readings.
type Current float64

var (
	msgAmpere      = say.Define("job.ampere", "wanted is a current")
	msgWriteAmpere = say.Define("job.write_ampere", "write it like 8.1 A")
	msgDrops       = say.Define("job.drops", "wanted is a number of drops a minute")
	msgWriteDrops  = say.Define("job.write_drops", "write a plain number, 0 for none")
)

// FromInput reads 8.1 A, or a plain number.
func (c *Current) FromInput(raw any) error {
	v, ok := plainNumber(raw, "A", "amp", "amps", "ampere")
	if !ok {
		return say.Refuse("", fmt.Sprint(raw), msgAmpere.With(), msgWriteAmpere.With())
	}
	*c = Current(v)
	return nil
}

// KindName names the kind for help.
func (*Current) KindName() string { return "current" }

// Show prints the current.
func (c Current) Show(s say.Style) string { return quantity.ShowIn(float64(c), "A", s) }

// Drops is a leakage in drops a minute.
type Drops float64

// FromInput reads a plain number, or 40 drops/min.
func (d *Drops) FromInput(raw any) error {
	v, ok := plainNumber(raw, "drops/min", "drops a minute", "drops per minute", "drops")
	if !ok {
		return say.Refuse("", fmt.Sprint(raw), msgDrops.With(), msgWriteDrops.With())
	}
	*d = Drops(v)
	return nil
}

// KindName names the kind for help.
func (*Drops) KindName() string { return "drops a minute" }

var wordDrops = say.Define("job.drops_words", "{n:number} drops/min")

// Show prints the leakage.
func (d Drops) Show(s say.Style) string { return wordDrops.With(float64(d)).Text(s) }

// plainNumber reads a number at or above zero that may carry one of the units.
func plainNumber(raw any, units ...string) (float64, bool) {
	text := strings.TrimSpace(fmt.Sprint(raw))
	for _, unit := range units {
		if rest, cut := strings.CutSuffix(text, unit); cut {
			text = strings.TrimSpace(rest)
			break
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		v, err = quantity.ReadNumber(text)
	}
	return v, err == nil && v >= 0 && !math.IsInf(v, 1)
}
