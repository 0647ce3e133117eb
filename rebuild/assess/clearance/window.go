package clearance

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/window"
	"pumpwright/rebuild/fields"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// Window is the wanted end clearance, cold: what rules, and what liquid,
// temperature and slip ask for beside it.
//
// A lead's signed limit rules, then the manual's row, then the computed
// window, then a rule of thumb. Low and High carry no allowance for
// uncertainty: whoever chooses gaskets counts it. Computed holds the guarded
// limits by which a finished reading is judged.
type Window struct {
	Known     bool
	Low, High quantity.Length
	Target    *quantity.Length
	Rank      string // lead, customer, site, maker, computed, rule-of-thumb
	Page      string
	Row       *sheet.WindowRow // the manual's row for the normal duty, also where a lead chose otherwise
	Hottest   *sheet.WindowRow // row at the highest temperature, when it differs
	Viscosity *quantity.KinematicViscosity
	Minimum   *quantity.Length // hard floor of the sheet
	Between   []*sheet.WindowRow
	SignedBy  string // who signed another window than the manual's

	Computed   *window.Result // from liquid, temperature and slip; nil: see NoComputed
	NoComputed say.Message

	Warnings []say.Message
	Reasons  []say.Message
	Unknown  say.Message
}

// Landing is where a clearance lies against the window.
type Landing int

// The places.
const (
	NoWindow Landing = iota // the window is not known
	Inside
	Below
	Above
)

// Landing tells where a clearance lies.
func (w *Window) Landing(clearance quantity.Length) Landing {
	switch {
	case !w.Known:
		return NoWindow
	case clearance < w.Low:
		return Below
	case clearance > w.High:
		return Above
	}
	return Inside
}

// The ranks of a window besides those of limits.
const (
	RankMaker    = "maker"
	RankComputed = "computed"
	RankThumb    = "rule-of-thumb"
	RankLead     = "lead"
)

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
	msgSigned     = say.Define("clearance.signed", "{low:length} to {high:length} was signed by {who}: {source}")
	msgNotLead    = say.Define("clearance.not_lead", "the limit of {who} for the end clearance is no lead's: the window stays as it is until a lead signs another")
	msgBadLimit   = say.Define("clearance.bad_limit", "the signed limit for the end clearance cannot be used: {reason}")
	msgLowHigh    = say.Define("clearance.low_high", "its low end lies above its high end")
	msgBelowFloor = say.Define("clearance.below_floor", "the signed window reaches below the sheet's minimum of {minimum:length}, which is a hard floor: the low end was raised to it")
	msgIsComputed = say.Define("clearance.is_computed", "the sheet states no window: computed from liquid, temperature and slip")
)

// windowOf finds the window.
func (c *Chapter) windowOf(in Inputs) Window {
	w := Window{}
	if m := in.Sheet.EndClearance.Minimum; m != nil {
		w.Minimum = &m.Value
	}
	w.manual(in)
	w.compute(in, c)
	if !w.Known && w.fromComputed() {
		w.Unknown = say.Message{}
	}
	if !w.Known && len(in.Sheet.EndClearance.Rows) == 0 {
		w.thumb(in)
	}
	w.signed(in)
	w.aim()
	w.compare()
	return w
}

// manual picks the row of the manual by the low-shear viscosity at normal
// pumping temperature and by that temperature; the row at the highest
// temperature is shown beside it.
func (w *Window) manual(in Inputs) {
	rows := in.Sheet.EndClearance.Rows
	if len(rows) == 0 {
		w.Unknown = msgNoRows.With()
		return
	}
	if in.Service == nil || in.Service.Temperature == nil {
		w.Unknown = msgNoDuty.With()
		return
	}
	t := in.Service.Temperature.Value
	w.Viscosity = viscosityAt(in, t, w)
	row, near := find(in.Sheet, w.Viscosity, t)
	if row == nil {
		w.Between = near
		w.Unknown = msgNoRow.With()
		if w.Viscosity == nil {
			w.Unknown = msgManyRows.With()
		}
		return
	}
	w.Known, w.Row, w.Rank, w.Page = true, row, RankMaker, pageOf(row)
	w.Low, w.High = row.Low.Value, row.High.Value
	if w.Viscosity != nil {
		w.Reasons = append(w.Reasons, msgRow.With(*w.Viscosity, t, pageOf(row)))
	} else {
		w.Reasons = append(w.Reasons, msgRowNoVisc.With(pageOf(row)))
	}
	if w.Minimum != nil && w.Low < *w.Minimum {
		w.Low = *w.Minimum
		w.Reasons = append(w.Reasons, msgRaised.With(*w.Minimum))
	}
	if h := in.Service.Highest; h != nil && h.Value > t {
		var quiet Window
		hot, _ := find(in.Sheet, viscosityAt(in, h.Value, &quiet), h.Value)
		if hot != nil && hot != row {
			w.Hottest = hot
			w.Warnings = append(w.Warnings, msgHotter.With(hot.Low.Value, hot.High.Value))
		}
	}
}

func pageOf(row *sheet.WindowRow) string {
	if row.Low.Page != "" {
		return row.Low.Page
	}
	return "–"
}

// fromComputed takes the computed limits, without their guard.
func (w *Window) fromComputed() bool {
	r := w.Computed
	if len(w.Between) > 0 || r == nil || r.LowerUnguarded == nil || r.UpperUnguarded == nil || r.LowerUnguarded.Value > r.UpperUnguarded.Value {
		return false
	}
	w.Known, w.Rank, w.Low, w.High = true, RankComputed, r.LowerUnguarded.Value, r.UpperUnguarded.Value
	w.Reasons = append(w.Reasons, msgIsComputed.With())
	return true
}

// thumb stands in where nothing else is known. [common practice, no source]
func (w *Window) thumb(in Inputs) {
	od := in.Sheet.Nominal(sheet.RoleRotorOD)
	if od == nil || in.Service == nil || in.Service.Temperature == nil || in.Service.Temperature.Value > 383.15 {
		return
	}
	nu := viscosityAt(in, in.Service.Temperature.Value, w)
	if nu == nil || nu.SI() < 20e-6 || nu.SI() > 750e-6 {
		return
	}
	w.Known, w.Rank, w.Viscosity = true, RankThumb, nu
	w.Low, w.High = quantity.Length(0.0010*od.SI()), quantity.Length(0.0015*od.SI())
	if w.Minimum != nil && w.Low < *w.Minimum {
		w.Low = *w.Minimum
	}
	w.Unknown = say.Message{}
	w.Reasons = append(w.Reasons, msgThumb.With())
}

// signed lets the last limit that a lead wrote for the end clearance rule,
// with both ends given. The sheet's minimum stays a hard floor.
func (w *Window) signed(in Inputs) {
	f := in.Sheet.ByRole(sheet.RoleEndClearance)
	if f == nil {
		return
	}
	for i := len(in.Limits) - 1; i >= 0; i-- {
		l := &in.Limits[i]
		if l.Body.Feature != f.ID || l.Body.Min == "" || l.Body.Max == "" {
			continue
		}
		who := l.By
		if in.Shop != nil {
			who = in.Shop.PersonName(l.By)
		}
		if !isLead(in, l.By) {
			w.Warnings = append(w.Warnings, msgNotLead.With(who))
			continue
		}
		low, high, problem := readLimit(l.Body)
		if !problem.IsZero() {
			w.Warnings = append(w.Warnings, msgBadLimit.With(problem))
			continue
		}
		w.Known, w.Unknown, w.Low, w.High, w.Rank, w.SignedBy = true, say.Message{}, low, high, l.Body.Rank, who
		w.Reasons = []say.Message{msgSigned.With(low, high, who, l.Body.Source)}
		if w.Minimum != nil && w.Low < *w.Minimum {
			w.Low = *w.Minimum
			w.Warnings = append(w.Warnings, msgBelowFloor.With(*w.Minimum))
		}
		return
	}
}

func isLead(in Inputs, id string) bool {
	if in.Shop == nil {
		return false
	}
	for _, p := range in.Shop.People {
		if p.ID != id {
			continue
		}
		for _, r := range p.Roles {
			if r == RankLead {
				return true
			}
		}
	}
	return false
}

func readLimit(l job.Limit) (low, high quantity.Length, problem say.Message) {
	var ends [2]quantity.Length
	for i, text := range []string{l.Min, l.Max} {
		e, err := fields.ParseAny(text)
		if err == nil && e.Dimension != quantity.LengthDimension {
			_, err = quantity.Parse(quantity.LengthDimension, text)
		}
		if err != nil {
			return 0, 0, say.Plain(err.Error())
		}
		ends[i] = quantity.Length(e.SI)
	}
	if ends[0] > ends[1] {
		return 0, 0, msgLowHigh.With()
	}
	return ends[0], ends[1], say.Message{}
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
func find(s *sheet.Sheet, nu *quantity.KinematicViscosity, t quantity.Temperature) (*sheet.WindowRow, []*sheet.WindowRow) {
	rows := s.ManualRows()
	own := func(r window.Row) *sheet.WindowRow {
		for i := range rows {
			if rows[i] == r {
				return &s.EndClearance.Rows[i]
			}
		}
		return nil
	}
	if nu != nil {
		m := window.FromManual(rows, *nu, t)
		if m.Row != nil {
			return own(*m.Row), nil
		}
		var near []*sheet.WindowRow
		for _, r := range m.Neighbours {
			near = append(near, own(r))
		}
		return nil, near
	}
	var near []*sheet.WindowRow
	for i := range rows {
		r := &s.EndClearance.Rows[i]
		if (r.TemperatureFrom == nil || t > r.TemperatureFrom.Value) && (r.TemperatureTo == nil || t <= r.TemperatureTo.Value) {
			near = append(near, r)
		}
	}
	if len(near) == 1 {
		return near[0], nil
	}
	return nil, near
}
