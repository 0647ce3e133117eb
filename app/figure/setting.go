package figure

import (
	"math"

	"pumpwright/app/draw"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/seal"
)

// Setting is the chain that makes the working length of a seal, drawn to
// scale: each dimension from where the one before it ended, and what is left
// for the seal beside what is wanted.
type Setting struct {
	Links     []SettingLink
	Set       say.Shower // name of the link that is set; nil when there is none
	Position  quantity.Length
	Free      quantity.Length // 0: not known
	Wanted    quantity.Length
	Tolerance quantity.Length // 0: none stated
	Left      *quantity.Estimate[quantity.Length]
	Force     *quantity.Force // of the spring there
	State     draw.State
}

// SettingLink is one dimension of the chain; Sign is +1 where it makes the
// working length longer, −1 where it makes it shorter.
type SettingLink struct {
	Name say.Shower
	Size quantity.Length // as it counts
	Sign float64
	Set  bool // it is the one that is set
}

// OfSetting is the drawing of a seal's setting; free and force may be unknown.
func OfSetting(set seal.Set, free quantity.Length, force *quantity.Force) Setting {
	left := set.WorkingLength
	f := Setting{Set: say.Plain(set.Unknown), Position: set.Position, Free: free, Wanted: set.Setting.WorkingLength, Tolerance: set.Tolerance, Force: force, State: draw.NotRead}
	for _, l := range set.Links {
		value := l.Value
		if l.Low != 0 || l.High != 0 {
			value = (l.Low + l.High) / 2
		}
		it := SettingLink{Name: say.Plain(l.Name), Set: l.Name == set.Unknown}
		if it.Set && !set.IsSet {
			value = set.Position
		}
		it.Size, it.Sign = quantity.Length(math.Abs(l.Sensitivity*value.SI())), 1
		if l.Sensitivity*value.SI() < 0 {
			it.Sign = -1
		}
		f.Links = append(f.Links, it)
	}
	if set.IsSet {
		f.Left = &left
	}
	switch set.Decision {
	case seal.DecisionSet:
		f.State = draw.Good
	case seal.DecisionMove:
		f.State = draw.PastLimit
	case seal.DecisionMeasure:
		f.State = draw.MeasureAgain
	}
	return f
}

var (
	titleSetting   = say.Define("figure.setting_title", "Working length of the seal")
	wordFree       = say.Define("figure.setting_free", "free length {length:length}")
	wordWanted     = say.Define("figure.setting_wanted", "wanted {length:length}")
	wordWantedBand = say.Define("figure.setting_wanted_band", "wanted {length:length} ± {tolerance:length}")
	wordAsLeft     = say.Define("figure.setting_left", "as set {length}")
	wordSetTo      = say.Define("figure.setting_to", "set {link} to {position:length}")
	msgSettingLink = say.Define("figure.setting_link", "{name}: {size:length}.")
	msgSettingLess = say.Define("figure.setting_less", "{name}: {size:length}, taken off.")
	msgSettingForc = say.Define("figure.setting_force", "Force of the spring there: {force}.")
	msgSettingBand = say.Define("figure.setting_band", "The band is the tolerance of the working length.")
	wordSeat       = say.Define("figure.setting_seat", "face of the seat")
)

const settingRow = 12.0

// Draw makes the picture.
func (s Setting) Draw(style say.Style) *draw.Drawing {
	low, high, at := 0.0, 0.0, 0.0
	reach := func(v float64) { low, high = min(low, v), max(high, v) }
	for _, l := range s.Links {
		if !usable(l.Size.SI(), l.Sign) {
			return missing(titleSetting.With(), words(l.Name, style), style)
		}
		at += l.Sign * l.Size.SI()
		reach(at)
	}
	for _, l := range []quantity.Length{s.Free, s.Wanted + s.Tolerance} {
		reach(l.SI())
	}
	if s.Left != nil {
		reach(s.Left.Value.SI())
	}
	if !usable(low, high) || high-low <= 0 || !positive(s.Wanted) {
		return missing(titleSetting.With(), titleSetting.With().Text(style), style)
	}
	told := &description{style: style}
	const names, room = 46.0, sheetWidth - 46 - 12
	x := func(v float64) float64 { return names + 4 + room*(v-low)/(high-low) }
	d := draw.New(sheetWidth, 20)
	y := 10.0
	if len(s.Links) > 1 { // a chain of one is the length itself
		at = 0
		for _, l := range s.Links {
			from, to := x(at), x(at+l.Sign*l.Size.SI())
			pen, letters, said := draw.Outline, draw.Label, msgSettingLink
			if l.Set {
				pen, letters = draw.Marked, draw.Label.In(draw.Accent)
			}
			if l.Sign < 0 {
				said = msgSettingLess
			}
			d.Text(draw.At(2, y+1), draw.Shorten(words(l.Name, style), letters.Size, false, names-6), letters)
			if math.Abs(to-from) > 0.5 {
				d.Pointer(draw.At(from, y), draw.At(to, y), pen)
			}
			d.Line(draw.Leading, draw.At(to, y-2), draw.At(to, y+settingRow))
			d.Text(draw.At(min(max((from+to)/2, names+12), sheetWidth-14), y-1.6), show(l.Size, style), letters.At(draw.Middle).OnGround())
			told.add(said.With(words(l.Name, style), l.Size))
			at += l.Sign * l.Size.SI()
			y += settingRow
		}
		y += 3
	}
	zero := x(0)
	rows := 1.0
	for _, there := range []bool{positive(s.Free), s.Left != nil} {
		if there {
			rows++
		}
	}
	top, tall := y-4, rows*settingRow
	if positive(s.Tolerance) {
		d.Fill(draw.Rectangle(x((s.Wanted-s.Tolerance).SI()), top, x((s.Wanted+s.Tolerance).SI())-x((s.Wanted-s.Tolerance).SI()), tall), draw.Tint)
	}
	row := func(length quantity.Length, text say.Message, role draw.Role, coils bool) {
		end := x(length.SI())
		if coils {
			spring(d, zero, end, y+1, role)
		} else {
			d.Line(draw.Outline.In(role), draw.At(zero, y+1), draw.At(end, y+1))
		}
		d.Line(draw.Outline.In(role), draw.At(end, y-3.4), draw.At(end, y+5.4))
		words := text.Text(style)
		d.Text(draw.At(2, y+2), draw.Shorten(words, draw.Label.Size, false, names-2), draw.Label.In(role))
		told.add(say.Plain(words + "."))
		y += settingRow
	}
	d.Line(draw.Outline.Wide(0.6), draw.At(zero, top), draw.At(zero, top+tall))
	if positive(s.Free) {
		row(s.Free, wordFree.With(s.Free), draw.Soft, true)
	}
	if positive(s.Tolerance) {
		row(s.Wanted, wordWantedBand.With(s.Wanted, s.Tolerance), draw.Ink, false)
	} else {
		row(s.Wanted, wordWanted.With(s.Wanted), draw.Ink, false)
	}
	if s.Left != nil {
		row(s.Left.Value, wordAsLeft.With(*s.Left), draw.Accent, true)
		if s.State != draw.NotRead {
			d.StateLabel(draw.At(2, y-4.6), s.State, style, draw.Label)
			y += 2
			told.add(say.Plain(s.State.Word().Text(style) + "."))
		}
	}
	d.Text(draw.At(zero+1, top+tall+3.6), wordSeat.With().Text(style), draw.Small)
	y = max(y, top+tall+8)
	var notes []say.Message
	if s.Set != nil && s.Left == nil {
		notes = append(notes, wordSetTo.With(s.Set, s.Position))
	}
	if s.Force != nil {
		notes = append(notes, msgSettingForc.With(*s.Force))
	}
	if positive(s.Tolerance) {
		notes = append(notes, msgSettingBand.With())
	}
	for _, n := range notes {
		y = d.Paragraph(draw.At(2, y+2), n.Text(style), sheetWidth-4, draw.Label.In(draw.Soft)).Bottom() + 2.6
		told.add(n)
	}
	d.Height = y + 1
	d.Describe(titleSetting.With().Text(style), told.String())
	return d
}

// spring draws a coil spring between two places of a line.
func spring(d *draw.Drawing, from, to, y float64, role draw.Role) {
	const turns, half = 9, 2.6
	points := []draw.Point{draw.At(from, y)}
	step := (to - from) / (2*turns + 2)
	for i := 1; i <= 2*turns; i++ {
		side := half
		if i%2 == 0 {
			side = -half
		}
		points = append(points, draw.At(from+step*(float64(i)+0.5), y+side))
	}
	points = append(points, draw.At(to, y))
	d.Line(draw.Thin.In(role).Wide(0.3), points...)
}
