package cli

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/delivery"
	"pumpwright/rebuild/assess/proof"
)

var (
	headDelivery = say.Define("cli.head_delivery", "What it delivers")
	msgDutyPoint = say.Define("cli.duty_point", "At the service point: {speed:rotational_speed}, {pressure:pressure}, {viscosity:kinematic_viscosity} at {temperature:temperature}.")
	msgMostlyOf  = say.Define("cli.share", "{part}: new, alone, it brings back {flow:flow}{year:message}")
	msgAYear     = say.Define("cli.a_year", ", worth {amount:number} {currency} a year")
	msgRadial    = say.Define("cli.radial", "{part}: new, alone, it brings back {flow:flow}{year:message}; no gasket cures it")
	columnState  = say.Define("cli.column_state", "pump")
	columnFlow   = say.Define("cli.column_flow", "flow")
	columnShare  = say.Define("cli.column_efficiency", "volumetric")
	columnPower  = say.Define("cli.column_power", "power")
	percentWords = say.Define("cli.percent", "{share:percent}")
	noFlow       = say.Define("cli.no_flow", "–")
)

// delivery says what the pump delivers as found, as left and as new, and what
// each worn part costs.
func (v *view) delivery() {
	c := v.a.Delivery()
	v.head(headDelivery.With())
	if !c.Unknown.IsZero() {
		v.say(c.Unknown)
		v.fallback(c.Fallback)
		return
	}
	v.say(msgDutyPoint.With(c.Duty.Speed, c.Duty.Pressure, c.Viscosity, c.Temperature))
	v.blank()
	var rows [][]string
	for _, p := range []*delivery.Pump{c.Found, c.Left, c.New} {
		if p == nil {
			continue
		}
		row := []string{string(p.State), noFlow.With().Text(v.style), noFlow.With().Text(v.style), noFlow.With().Text(v.style)}
		if d := p.Duty; d != nil {
			row[1] = d.Flow.Show(v.style)
			row[2] = percentWords.With(d.Result.VolumetricEfficiency).Text(v.style)
			if d.Power != nil {
				row[3] = d.Power.Show(v.style)
			}
		}
		rows = append(rows, row)
	}
	v.table("", []say.Message{columnState.With(), columnFlow.With(), columnShare.With(), columnPower.With()}, rows)
	v.blank()
	for _, s := range c.Shares {
		words := msgMostlyOf
		if s.Radial {
			words = msgRadial
		}
		year := say.Message{}
		if s.AYear != nil && v.a.Inputs.Service != nil {
			year = msgAYear.With(float64(int(*s.AYear+0.5)), v.a.Inputs.Service.Currency)
		}
		v.item("  - ", words.With(s.Name, s.Flow, year))
	}
	for _, d := range c.Drive {
		if !d.Message.IsZero() {
			v.item("  - ", d.Message)
		}
	}
	if !c.Statement.IsZero() {
		v.say(c.Statement)
	}
}

var (
	msgDisplaces = say.Define("cli.displaces", "Displacement {displacement}; without slip {flow} at the service speed.")
	msgTwoNumber = say.Define("cli.two_number", "By the two-number model of the bench test: {flow}.")
)

// fallback says what is known without tooth data.
func (v *view) fallback(f *delivery.Fallback) {
	if f == nil {
		return
	}
	if f.Displacement != nil && f.Theoretical != nil {
		v.say(msgDisplaces.With(*f.Displacement, *f.Theoretical))
	}
	if f.Flow != nil {
		v.say(msgTwoNumber.With(*f.Flow))
	}
	v.list(f.CannotSay)
}

var (
	headProof    = say.Define("cli.head_proof", "The bench test")
	msgVerdict   = say.Define("cli.verdict", "Verdict: {verdict}.")
	columnPoint  = say.Define("cli.column_point", "point")
	columnExpect = say.Define("cli.column_expected", "flow expected")
	columnRead   = say.Define("cli.column_measured", "flow measured")
	columnSays   = say.Define("cli.column_says", "how it stands")
	msgPoint     = say.Define("cli.point", "{speed:rotational_speed}, {pressure}")
	msgPlanned   = say.Define("cli.planned", "Points to run in {liquid} at {temperature:temperature} ({viscosity:kinematic_viscosity}), with what they should read:")
)

// proof says which points to run and what they should read, and what the
// points that were run are worth.
func (v *view) proof() {
	c := v.a.Proof()
	v.head(headProof.With())
	if len(c.Points) == 0 {
		v.planned(c.Planned)
		v.list(c.Asks)
		return
	}
	v.say(msgVerdict.With(c.Verdict))
	v.list(c.Reasons)
	var rows [][]string
	var pressures []quantity.PressureDifference
	for _, p := range c.Points {
		pressures = append(pressures, p.Point.Pressure)
	}
	column := quantity.ColumnOf(pressures...)
	for _, p := range c.Points {
		row := []string{msgPoint.With(p.Point.Speed, column.Cell(p.Point.Pressure)).Text(v.style), "–", p.Flow.Show(v.style), string(p.Agreement)}
		if p.Expected != nil {
			row[1] = p.Expected.Flow.Show(v.style)
		}
		if !p.Refused.IsZero() {
			row[0], row[2], row[3] = p.Entry.Body.Speed+", "+p.Entry.Body.Pressure, p.Entry.Body.Flow, p.Refused.Text(v.style)
		}
		rows = append(rows, row)
	}
	v.blank()
	v.table("", []say.Message{columnPoint.With(), columnExpect.With(), columnRead.With(), columnSays.With()}, rows)
	for _, m := range c.Missing {
		v.say(m.Message)
	}
	v.list(c.Statements)
}

func (v *view) planned(list []proof.Planned) {
	if len(list) == 0 {
		return
	}
	first := list[0]
	v.say(msgPlanned.With(first.Liquid, first.Temperature, first.Viscosity))
	var pressures []quantity.PressureDifference
	for _, p := range list {
		pressures = append(pressures, p.Point.Pressure)
	}
	column := quantity.ColumnOf(pressures...)
	var rows [][]string
	for _, p := range list {
		row := []string{msgPoint.With(p.Point.Speed, column.Cell(p.Point.Pressure)).Text(v.style), "–", "–"}
		if p.Expected != nil {
			row[1] = p.Expected.Flow.Show(v.style)
			if p.Expected.Power != nil {
				row[2] = p.Expected.Power.Show(v.style)
			}
		}
		rows = append(rows, row)
	}
	v.table("", []say.Message{columnPoint.With(), columnExpect.With(), columnPower.With()}, rows)
}
