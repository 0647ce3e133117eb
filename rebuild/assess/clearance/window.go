package clearance

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/rebuild/sheet"
)

// Window is the wanted end clearance, cold.
type Window struct {
	Known     bool
	Low, High quantity.Length
	Rank      string // maker, rule-of-thumb
	Page      string
	Row       *sheet.WindowRow
	Hottest   *sheet.WindowRow // row at the worst temperature, when it differs
	Viscosity *quantity.KinematicViscosity
	Minimum   *quantity.Length // hard floor of the sheet
	Between   []*sheet.WindowRow
	Warnings  []say.Message
	Reasons   []say.Message
	Unknown   say.Message
}

var (
	msgRow        = say.Define("clearance.row", "the manual's window for {viscosity:kinematic_viscosity} at {temperature:temperature} ({page})")
	msgRowNoVisc  = say.Define("clearance.row_no_viscosity", "the viscosity at the pumping temperature is not known; the only row of the manual that fits the temperature is taken ({page})")
	msgRaised     = say.Define("clearance.raised", "the lower end was raised to the sheet's minimum of {minimum:length}")
	msgNoRow      = say.Define("clearance.no_row", "no row of the manual holds for this viscosity and temperature; both neighbours are shown, and a lead chooses and signs")
	msgNoRows     = say.Define("clearance.no_rows", "the sheet states no window for the end clearance")
	msgNoDuty     = say.Define("clearance.no_duty", "the service states no temperature, so no row of the manual can be picked")
	msgManyRows   = say.Define("clearance.many_rows", "the viscosity is not known and several rows of the manual fit the temperature")
	msgThumb      = say.Define("clearance.thumb", "rule of thumb: 0.0010 to 0.0015 of the rotor's diameter, for 20 to 750 mm2/s below 110 °C; the maker's figure outranks it")
	msgHotter     = say.Define("clearance.hotter", "at the highest temperature the manual's row is {low:length} to {high:length}")
	msgLiquidSays = say.Define("clearance.liquid", "viscosity: {reason}")
)

// pickWindow picks the row of the manual by the low-shear viscosity at normal
// pumping temperature and by that temperature; the row at the highest
// temperature is shown beside it.
func pickWindow(in Inputs) Window {
	w := Window{}
	if m := in.Sheet.EndClearance.Minimum; m != nil {
		w.Minimum = &m.Value
	}
	rows := in.Sheet.EndClearance.Rows
	if len(rows) == 0 {
		return ruleOfThumb(in, w)
	}
	if in.Service == nil || in.Service.Temperature == nil {
		w.Unknown = msgNoDuty.With()
		return w
	}
	t := in.Service.Temperature.Value
	w.Viscosity = viscosityAt(in, t, &w)
	row, near := find(rows, w.Viscosity, t)
	if row == nil {
		w.Between = near
		w.Unknown = msgNoRow.With()
		if w.Viscosity == nil {
			w.Unknown = msgManyRows.With()
		}
		return w
	}
	w.take(row)
	if w.Viscosity != nil {
		w.Reasons = append(w.Reasons, msgRow.With(*w.Viscosity, t, pageOf(row)))
	} else {
		w.Reasons = append(w.Reasons, msgRowNoVisc.With(pageOf(row)))
	}
	if h := in.Service.Highest; h != nil && h.Value > t {
		var quiet Window
		hot, _ := find(rows, viscosityAt(in, h.Value, &quiet), h.Value)
		if hot != nil && hot != row {
			w.Hottest = hot
			w.Warnings = append(w.Warnings, msgHotter.With(hot.Low.Value, hot.High.Value))
		}
	}
	return w
}

func (w *Window) take(row *sheet.WindowRow) {
	w.Known, w.Row, w.Rank, w.Page = true, row, "maker", pageOf(row)
	w.Low, w.High = row.Low.Value, row.High.Value
	if w.Minimum != nil && w.Low < *w.Minimum {
		w.Low = *w.Minimum
		w.Reasons = append(w.Reasons, msgRaised.With(*w.Minimum))
	}
}

func pageOf(row *sheet.WindowRow) string {
	if row.Low.Page != "" {
		return row.Low.Page
	}
	return "–"
}

// ruleOfThumb stands in where the sheet has no window. [common practice, no
// source]
func ruleOfThumb(in Inputs, w Window) Window {
	w.Unknown = msgNoRows.With()
	od := in.Sheet.Nominal(sheet.RoleRotorOD)
	if od == nil || in.Service == nil || in.Service.Temperature == nil || in.Service.Temperature.Value > 383.15 {
		return w
	}
	nu := viscosityAt(in, in.Service.Temperature.Value, &w)
	if nu == nil || nu.SI() < 20e-6 || nu.SI() > 750e-6 {
		return w
	}
	w.Known, w.Rank, w.Viscosity = true, "rule-of-thumb", nu
	w.Low, w.High = quantity.Length(0.0010*od.SI()), quantity.Length(0.0015*od.SI())
	if w.Minimum != nil && w.Low < *w.Minimum {
		w.Low = *w.Minimum
	}
	w.Unknown = say.Message{}
	w.Reasons = append(w.Reasons, msgThumb.With())
	return w
}

func viscosityAt(in Inputs, t quantity.Temperature, w *Window) *quantity.KinematicViscosity {
	if in.Liquid == nil {
		return nil
	}
	state, err := in.Liquid.At(t)
	if err != nil {
		w.Warnings = append(w.Warnings, msgLiquidSays.With(err))
		return nil
	}
	w.Warnings = append(w.Warnings, state.Warnings...)
	nu := state.Kinematic
	return &nu
}

// find returns the row that holds, or the neighbours when none does. Without a
// viscosity a row holds only when it is the only one for the temperature.
func find(rows []sheet.WindowRow, nu *quantity.KinematicViscosity, t quantity.Temperature) (*sheet.WindowRow, []*sheet.WindowRow) {
	var near []*sheet.WindowRow
	for i := range rows {
		r := &rows[i]
		if !temperatureFits(r, t) {
			continue
		}
		if nu != nil && viscosityFits(r, *nu) {
			return r, nil
		}
		near = append(near, r)
	}
	if nu == nil && len(near) == 1 {
		return near[0], nil
	}
	if len(near) == 0 {
		for i := range rows {
			near = append(near, &rows[i])
		}
	}
	return nil, near
}

func temperatureFits(r *sheet.WindowRow, t quantity.Temperature) bool {
	return (r.TemperatureFrom == nil || t > r.TemperatureFrom.Value) && (r.TemperatureTo == nil || t <= r.TemperatureTo.Value)
}

func viscosityFits(r *sheet.WindowRow, nu quantity.KinematicViscosity) bool {
	return (r.ViscosityFrom == nil || nu > r.ViscosityFrom.Value) && (r.ViscosityTo == nil || nu <= r.ViscosityTo.Value)
}
