package assess

import (
	"encoding/json"
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
	in := Inputs{Job: state, AsOf: asOf}
	if asOf.IsZero() {
		in.AsOf = state.Last.Time()
	}
	p, err := procedure.Crescent()
	if err != nil {
		return in, err
	}
	in.Procedure = p
	if err := in.sheetOf(state); err != nil {
		return in, err
	}
	in.serviceOf(state)
	in.shopOf(state)
	return in, nil
}

func (in *Inputs) sheetOf(state *job.State) error {
	n := len(state.Sheets)
	if n == 0 {
		return say.Refuse("sheet", "", msgNoSheet.With(), msgWriteSheet.With())
	}
	text := state.Sheets[n-1].Body
	source := []byte(text.Text)
	if text.Text == "" {
		demo, err := sheet.DemoText(text.Name)
		if err != nil {
			return err
		}
		source = demo
	}
	s, findings := sheet.Parse(text.Name, source)
	for _, f := range findings {
		in.Remarks = append(in.Remarks, msgSheetFinding.With(f))
	}
	in.Sheet = s
	return nil
}

func (in *Inputs) serviceOf(state *job.State) {
	n := len(state.Services)
	if n == 0 {
		in.Remarks = append(in.Remarks, msgNoService.With())
		return
	}
	text := state.Services[n-1].Body
	s, findings := sheet.ParseService(text.Name, []byte(text.Text))
	for _, f := range findings {
		in.Remarks = append(in.Remarks, msgService.With(f))
	}
	in.Service = s
	l, err := LiquidOf(s)
	if err != nil {
		in.Remarks = append(in.Remarks, msgLiquid.With(err))
	}
	in.Liquid = l
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

func (in *Inputs) shopOf(state *job.State) {
	n := len(state.Basis)
	if n == 0 {
		return
	}
	shop, err := ledger.Read(state.Basis[n-1].Body)
	if err != nil {
		in.Remarks = append(in.Remarks, msgBasis.With(err))
		return
	}
	in.Shop = shop
	key, _ := json.Marshal(state.Basis[n-1].Body)
	in.shopKey = sheet.Version(key)
}
