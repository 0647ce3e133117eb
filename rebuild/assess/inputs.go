package assess

import (
	"time"

	"pumpwright/calc/liquid"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/ledger"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/sheet"
)

// Inputs is all that an answer depends on.
type Inputs struct {
	Sheet     *sheet.Sheet
	Service   *sheet.Service // nil when not known
	Job       *job.State
	Shop      *ledger.Shop // nil when nothing is known of the shop
	Procedure *procedure.Procedure
	Liquid    *liquid.Liquid // nil when not known
	AsOf      time.Time      // the day for which instruments must be in date

	// Taught is what the shop's finished jobs have taught; nil for what the
	// job itself copied alone. It is stated wherever it is used.
	Taught *ledger.Taught

	// Remarks is what was found while the inputs were put together.
	Remarks []say.Message

	shopKey string
}

var (
	msgNoSheet      = say.Define("assess.no_sheet", "the job names no model sheet")
	msgWriteSheet   = say.Define("assess.write_sheet", "add the sheet to the job: pumpwright job add JOBFILE sheet --file SHEET.yaml")
	msgSheetFinding = say.Define("assess.sheet_finding", "model sheet: {finding}")
	msgService      = say.Define("assess.service_finding", "service: {finding}")
	msgNoService    = say.Define("assess.no_service", "the service of the pump is not written down yet: liquid, temperature, pressure and speed decide the wanted clearance")
	msgLiquid       = say.Define("assess.liquid", "liquid: {reason}")
	msgBasis        = say.Define("assess.basis", "what the shop wrote down cannot be read: {reason}")
)

// FromJob puts the inputs together from a job alone: the sheet and the service
// it carries, and what it copied of the shop. asOf is the day to judge for;
// the zero time takes the day of the last entry.
func FromJob(state *job.State, asOf time.Time) (Inputs, error) {
	return new(Texts).FromJob(state, asOf)
}

// LiquidOf returns the liquid of a service: one that ships with the program by
// its name, or the data that stand in the service.
func LiquidOf(s *sheet.Service) (*liquid.Liquid, error) {
	if s == nil || s.Liquid == nil {
		return nil, sheet.LiquidProblem()
	}
	if name, ok := s.Liquid.(string); ok {
		l, err := liquid.Named(name)
		return l, say.In("liquid", err)
	}
	l, err := liquid.FromFields(s.Liquid)
	return l, say.In("liquid", err)
}
