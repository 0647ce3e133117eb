package bench

import (
	"strconv"
	"strings"

	"pumpwright/app/draw"
	"pumpwright/app/figure"
	"pumpwright/app/report"
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess"
	"pumpwright/rebuild/assess/assembly"
	verdict "pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/sides"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// gasketsPart is the id under which a touch on the stack leads to the closing
// of the pump.
const gasketsPart = "gaskets"

// onDrawing tells for the roles of features which part or gap of the drawing
// they belong to, and whether the view from the head shows it better.
var onDrawing = map[string]struct {
	id   string
	face bool
}{
	sheet.RoleCasingDepth:       {figure.PartCasing, false},
	sheet.RoleRotorHeight:       {figure.PartRotor, false},
	sheet.RoleHeadBoss:          {figure.PartHead, false},
	sheet.RoleEndClearance:      {figure.GapEnd, false},
	sheet.RoleEndPlay:           {figure.PartBearing, false},
	sheet.RoleIdlerWidth:        {figure.PartIdler, false},
	sheet.RolePocketDepth:       {figure.PartRotor, false},
	sheet.RoleCrescentWidth:     {figure.PartCrescent, false},
	sheet.RoleCasingBore:        {figure.PartCasing, true},
	sheet.RoleRotorOD:           {figure.PartRotor, false},
	sheet.RoleCrescentOuterGap:  {figure.GapCrescentOuter, true},
	sheet.RoleCrescentInnerGap:  {figure.GapCrescentInner, true},
	sheet.RolePinOD:             {figure.PartPin, false},
	sheet.RoleIdlerBushingBore:  {figure.PartIdlerBushing, false},
	sheet.RoleShaftOD:           {figure.PartShaft, false},
	sheet.RoleShaftBushingBore:  {figure.PartShaftBushing, false},
	sheet.RoleShaftRunOut:       {figure.PartShaft, false},
	sheet.RoleSealWorkingLength: {figure.PartSeal, false},
	sheet.RoleSealFlatness:      {figure.PartSeal, false},
	sheet.RoleHandTurn:          {figure.PartShaft, false},
	sheet.RoleGroove:            {figure.PartHead, false},
}

// behind tells for what is on a drawing the roles whose part it is.
var behind = map[string]string{
	figure.GapEnd: sheet.RoleEndClearance, figure.GapIdlerFloat: sheet.RoleIdlerWidth, figure.GapCrescentEnd: sheet.RoleCrescentOuterGap,
	figure.GapRotor: sheet.RoleCasingBore, figure.GapCrescentOuter: sheet.RoleCrescentOuterGap, figure.GapCrescentInner: sheet.RoleCrescentInnerGap,
	figure.GapPin: sheet.RoleIdlerBushingBore, figure.GapShaftBushing: sheet.RoleShaftBushingBore, figure.PartCrescent: sheet.RoleCrescentOuterGap,
	figure.PartPin: sheet.RolePinOD, figure.PartIdlerBushing: sheet.RoleIdlerBushingBore, figure.PartShaftBushing: sheet.RoleShaftBushingBore,
	figure.PartBearing: sheet.RoleEndPlay, figure.PartSeal: sheet.RoleSealWorkingLength, figure.PartCasing: sheet.RoleCasingBore,
	figure.PartRotor: sheet.RoleRotorOD, figure.PartIdler: sheet.RoleIdlerWidth, figure.PartHead: sheet.RoleHeadBoss, figure.PartShaft: sheet.RoleShaftOD,
}

// partOf returns the part of the sheet for an id of the drawing or the sheet,
// "" when there is none.
func partOf(j *frame.Job, id string) string {
	s := j.Assessment.Inputs.Sheet
	switch {
	case id == gasketsPart:
		return gasketsPart
	case s.Part(id) != nil:
		return id
	}
	if f := s.ByRole(behind[id]); f != nil && s.Part(f.Part) != nil {
		return f.Part
	}
	return ""
}

// picture is what the drawing zone shows.
type picture struct {
	whole, bare string
	where       string
	also        string // what the reading is for
}

// draws makes the drawings for a feature, a part, or the whole pump.
func draws(v *frame.Visit, j *frame.Job, askedID string, face bool, where func(say.Style) *draw.Drawing) picture {
	a, style := j.Assessment, v.View.Style
	var p picture
	if where != nil {
		p.where = part.SVG(where(style), "where")
	}
	section, seen := report.Section(a), report.Face(a)
	switch {
	case face && seen != nil:
		seen.Asked = askedID
		p.whole = part.SVG(seen.Draw(style), "whole")
		seen.Bare = true
		p.bare = part.SVG(seen.Draw(style), "bare")
	case section != nil:
		section.Asked = askedID
		p.whole = part.SVG(section.Draw(style), "whole")
		section.Bare = true
		p.bare = part.SVG(section.Draw(style), "bare")
	}
	states := statesOf(a)
	p.whole, p.bare = withStates(p.whole, states), withStates(p.bare, states)
	return p
}

// statesOf returns the parts of the drawing that stand out.
func statesOf(a *assess.Assessment) map[string]string {
	wrong := map[string]string{}
	for _, d := range a.Parts.Decisions {
		if d.Part.Always {
			continue
		}
		switch d.Verdict {
		case verdict.Replace, verdict.Rework:
			wrong[d.Part.ID] = "past-limit"
		case verdict.MeasureAgain, verdict.Engineering:
			wrong[d.Part.ID] = "measure-again"
		}
	}
	return wrong
}

// withStates marks the parts of a drawing that stand out; the word for it
// stands in the list beside the drawing.
func withStates(svg string, states map[string]string) string {
	for id, state := range states {
		mark := `<g data-part="` + id + `"`
		svg = strings.ReplaceAll(svg, mark+`>`, mark+` data-state="`+state+`">`)
	}
	return svg
}

// drawing makes the drawings of the step.
func (n *now) drawing() picture {
	asked, face := "", false
	var where func(say.Style) *draw.Drawing
	switch {
	case n.asked != nil:
		on := onDrawing[n.asked.feature.Feature.RoleOf()]
		asked, face = on.id, on.face
		where = n.where()
	case len(n.reads) > 0:
		read := n.reads[0].Feature
		on := onDrawing[read.RoleOf()]
		asked, face = on.id, on.face
		if film := n.film(read.Part); film != nil && n.step.Step.Stage == "reassemble" {
			where = film.Draw
		}
		if strings.Contains(n.step.Step.ID, "seal") {
			where = n.figure()
		}
	default:
		asked = stepPart(n.step.Step.ID, n.step.Step.Records)
		where = n.figure()
	}
	p := draws(n.v, n.j, asked, face, where)
	if n.asked != nil && n.step.Step.Stage == "reassemble" {
		if film := n.film(n.asked.feature.Feature.Part); film != nil {
			p.also = part.SVG(film.Draw(n.v.View.Style), "also")
		}
	}
	return p
}

// figure is the drawing of what the step does: force over the stroke, order of
// the bolts, how the shafts lie.
func (n *now) figure() func(say.Style) *draw.Drawing {
	step, c := n.step.Step, n.a.Assembly
	switch {
	case step.Records == job.KindPress:
		bore := n.a.Inputs.Sheet.ByRole(step.Of)
		for _, p := range c.Presses {
			if f := report.Stroke(p); f != nil && bore != nil && bore.Part == p.Bushing.Part {
				return f.Draw
			}
		}
	case step.Records == job.KindTorque:
		for _, g := range c.Bolts { // those of the head come first on a sheet
			if len(g.Order) > 1 {
				return report.Bolts(g).Draw
			}
		}
	case step.ID == soloFeet:
		if feet := c.Alignment.Feet; feet != nil && feet.SoftFoot != nil {
			return figure.OfSoftFoot(*feet.SoftFoot).Draw
		}
	case strings.Contains(step.ID, "seal") || step.ID == "build-collar":
		if f := n.setting(); f != nil {
			return f.Draw
		}
	case step.Records == job.KindAlignment && !n.upright():
		for _, set := range []*assembly.Alignment{c.Alignment.Hot, c.Alignment.Left, c.Alignment.Found} {
			if set != nil && set.Plan != nil && (set.Body.State == "hot") == (step.ID == "follow-align") && (step.ID != "safe-alignment" || set.Body.State == job.AsFound) {
				return report.Alignment(set, c.Alignment.Found).Draw
			}
		}
	}
	return nil
}

// upright reports whether the pump stands in service: it has no feet.
func (n *now) upright() bool { return n.a.Inputs.Sheet.Build.Mounting == "vertical" }

// setting is the working length of a seal that is set by length.
func (n *now) setting() *figure.Setting {
	switch s := n.a.Assembly.Seal; {
	case s == nil:
		return nil
	case s.Kind == "bellows" || s.Kind == "wedge" || s.Kind == "o-ring":
		return report.Setting(s, n.a.Inputs.Sheet.Seal)
	}
	return nil
}

// film is the bushing of a part, in service.
func (n *now) film(of string) *figure.Film {
	for _, f := range n.a.Assembly.Films {
		if f.Bushing.Part == of {
			drawn, _ := report.Film(f)
			return drawn
		}
	}
	return nil
}

// tightened is the first group of bolts that is not tightened yet, else the
// first of all.
func (n *now) tightened() *assembly.Bolts {
	list := n.a.Assembly.Bolts
	if len(list) == 0 {
		return nil
	}
	for _, g := range list {
		if !g.Complete {
			return g
		}
	}
	return list[0]
}

// stepPart is the part that a step without readings is about.
func stepPart(step, records string) string {
	for _, known := range []struct{ in, part string }{
		{"seal", figure.PartSeal}, {"cartridge", figure.PartSeal}, {"packing", figure.PartSeal}, {"lip", figure.PartSeal}, {"collar", figure.PartShaft},
		{"gasket", figure.PartGaskets}, {"stack", figure.PartGaskets}, {"clearance", figure.GapEnd}, {"head", figure.PartHead},
		{"press-idler", figure.PartIdlerBushing}, {"press-carbon", figure.PartIdlerBushing}, {"press-bracket", figure.PartShaftBushing},
		{"idler", figure.PartIdler}, {"pin", figure.PartPin}, {"rotor", figure.PartRotor}, {"shaft", figure.PartShaft}, {"alignment", figure.PartShaft}, {"align", figure.PartShaft},
	} {
		for _, word := range strings.Split(step, "-") {
			if word == known.in || strings.Contains(known.in, "-") && strings.Contains(step, known.in) {
				return known.part
			}
		}
	}
	if records == "trial" {
		return figure.PartGaskets
	}
	return ""
}

// where shows where to measure, for what a drawing of places can show.
func (n *now) where() func(say.Style) *draw.Drawing {
	f, k := n.asked.feature.Feature, n.asked
	role := f.RoleOf()
	dial := strings.Contains(f.Instrument, "dial")
	switch {
	case role == sheet.RoleEndClearance && !dial && k.byLeaves():
		return figure.Feeler{PushToHead: true}.Draw
	case role == sheet.RoleSealFlatness:
		if s := n.a.Assembly.Seal; s != nil && s.Flat != nil {
			return figure.OfFlatHeight(*s.Flat).Draw
		}
		return figure.FlatLimit().Draw
	case role == sheet.RoleSealWorkingLength:
		if f := n.setting(); f != nil {
			return f.Draw
		}
		return nil
	case role == sheet.RoleEndPlay || role == sheet.RoleEndClearance && dial:
		return figure.Dial{}.Draw
	case role == sheet.RoleCasingBore, role == sheet.RoleRotorOD, role == sheet.RolePinOD, role == sheet.RoleShaftOD,
		role == sheet.RoleIdlerBushingBore, role == sheet.RoleShaftBushingBore:
	default:
		return nil
	}
	if len(f.Angles) > 8 || len(f.Planes) > 6 {
		return nil
	}
	for _, a := range f.Angles {
		if a >= 180 {
			return nil
		}
	}
	p := figure.Places{
		What: say.Plain(f.Name), Planes: max(1, len(f.Planes)), Angles: max(1, len(f.Angles)),
		Inside:    role == sheet.RoleCasingBore || role == sheet.RoleIdlerBushingBore || role == sheet.RoleShaftBushingBore,
		LoadSide:  role == sheet.RolePinOD || role == sheet.RoleCasingBore,
		LoadRight: n.a.Sides.Suction == sides.Right,
		// The angles belong to the casting: 90° is the port that is suction at
		// the sheet's own rotation.
		Against:    n.a.Inputs.Sheet.Build.Rotation != sides.Anticlockwise,
		PlaneNames: f.Planes,
	}
	for _, a := range f.Angles {
		p.AngleNames = append(p.AngleNames, strconv.FormatFloat(a, 'f', -1, 64)+"°")
	}
	for i, plane := range f.Planes {
		if plane == k.place.Plane {
			p.AskedPlane = i + 1
		}
	}
	for i, a := range f.Angles {
		if k.place.Around && a == k.place.Angle {
			p.AskedAngle = i + 1
		}
	}
	return p.Draw
}
