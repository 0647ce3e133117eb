package sheet

import (
	"fmt"
	"regexp"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgBadName      = say.Define("sheet.bad_name", "the name must be small letters, digits and hyphens")
	msgDouble       = say.Define("sheet.double", "“{id}” is used twice")
	msgNoSuchPart   = say.Define("sheet.no_such_part", "the sheet has no part “{id}”")
	msgPartsAre     = say.Define("sheet.parts_are", "the parts are {ids}")
	msgNoSuchItem   = say.Define("sheet.no_such_feature", "the sheet has no feature “{id}”")
	msgMixed        = say.Define("sheet.mixed", "{found} does not go with {wanted} of the same feature")
	msgNoLimit      = say.Define("sheet.no_limit", "a limit needs a smallest or a largest value")
	msgCrossed      = say.Define("sheet.crossed", "the smallest value lies above the largest")
	msgFraction     = say.Define("sheet.fraction", "a part of one must lie between 0 and 1")
	msgPositive     = say.Define("sheet.positive", "the value must be above zero")
	msgUnknownBuild = say.Define("sheet.unknown_build", "the build has no field “{field}”")
	msgNoPlane      = say.Define("sheet.no_plane", "the feature has no plane “{plane}”")
	msgTeeth        = say.Define("sheet.teeth", "the rotor must have more teeth than the idler, and both at least 5")
	msgNeedsModule  = say.Define("sheet.needs_module", "the size of the teeth is missing")
	msgWriteModule  = say.Define("sheet.write_module", "give module, or diametral_pitch")
	msgSealing      = say.Define("sheet.sealing", "no kind of gasket seals; the outermost gaskets of a stack must")
	msgShimOnly     = say.Define("sheet.shim_only", "a metal shim neither seals nor gives way")
	msgShims        = say.Define("sheet.shims", "where shims lie and which there are does not go together")
	msgWriteShims   = say.Define("sheet.write_shims", "write shims: bearing or head in build, and shim: true at the kinds under gaskets")
	msgWriteSealing = say.Define("sheet.write_sealing", "write sealing: true at the kinds that seal against casing and head")
)

var namePattern = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// check finds what does not hold together in a sheet that could be read.
func (s *Sheet) check() []*say.Problem {
	var c checker
	if s.Name != "" && !namePattern.MatchString(s.Name) {
		c.refuse("name", s.Name, msgBadName.With(), say.Message{})
	}
	parts := c.parts(s)
	c.features(s, parts)
	c.gaskets(s)
	c.window(s)
	if t := s.Teeth; t != nil {
		if t.Idler < 5 || t.Rotor <= t.Idler {
			c.refuse("teeth.rotor", fmt.Sprintf("%d, %d", t.Rotor, t.Idler), msgTeeth.With(), say.Message{})
		}
		if t.Module == nil && t.DiametralPitch == nil {
			c.refuse("teeth.module", "", msgNeedsModule.With(), msgWriteModule.With())
		}
	}
	return c.problems
}

type checker struct {
	problems []*say.Problem
}

func (c *checker) refuse(field, read string, message, accepted say.Message) {
	c.problems = append(c.problems, say.Refuse(field, read, message, accepted))
}

func (c *checker) parts(s *Sheet) []string {
	var ids []string
	seen := map[string]bool{}
	for i, p := range s.Parts {
		if seen[p.ID] {
			c.refuse(fmt.Sprintf("parts[%d].id", i), p.ID, msgDouble.With(p.ID), say.Message{})
		}
		seen[p.ID] = true
		ids = append(ids, p.ID)
	}
	for i, p := range s.Parts {
		for j, other := range append(append([]string{}, p.With...), p.Disturbs...) {
			if !seen[other] {
				c.refuse(fmt.Sprintf("parts[%d].with[%d]", i, j), other, msgNoSuchPart.With(other), msgPartsAre.With(ids))
			}
		}
	}
	for i, b := range s.Bushings {
		for name, id := range map[string]string{"part": b.Part, "into": b.Into} {
			if !seen[id] {
				c.refuse(fmt.Sprintf("bushings[%d].%s", i, name), id, msgNoSuchPart.With(id), msgPartsAre.With(ids))
			}
		}
	}
	for i, o := range s.Offers {
		for id := range o.Parts {
			if !seen[id] {
				c.refuse(fmt.Sprintf("offers[%d].parts.%s", i, id), id, msgNoSuchPart.With(id), msgPartsAre.With(ids))
			}
		}
	}
	return ids
}

func (c *checker) features(s *Sheet, parts []string) {
	seen := map[string]bool{}
	for i := range s.Features {
		f := &s.Features[i]
		at := fmt.Sprintf("features[%d]", i)
		if seen[f.ID] {
			c.refuse(at+".id", f.ID, msgDouble.With(f.ID), say.Message{})
		}
		seen[f.ID] = true
		if f.Part != "" && s.Part(f.Part) == nil {
			c.refuse(at+".part", f.Part, msgNoSuchPart.With(f.Part), msgPartsAre.With(parts))
		}
		c.featureValues(at, f)
		if d := f.Difference; d != nil {
			for name, id := range map[string]string{"of": d.Of, "minus": d.Minus} {
				if s.Feature(id) == nil {
					c.refuse(at+".difference."+name, id, msgNoSuchItem.With(id), say.Message{})
				}
			}
		}
		if f.Unworn != "" && !contains(f.Planes, f.Unworn) {
			c.refuse(at+".unworn", f.Unworn, msgNoPlane.With(f.Unworn), say.Message{})
		}
		for field := range f.Only {
			if s.Build.Word(field) == "" {
				c.refuse(at+".only."+field, "", msgUnknownBuild.With(field), say.Message{})
			}
		}
	}
}

func (c *checker) featureValues(at string, f *Feature) {
	dimension := f.Dimension()
	same := func(field string, v *Value) {
		if v != nil && v.Dimension != dimension {
			c.refuse(at+"."+field, v.Text, msgMixed.With(v.Dimension.String(), dimension.String()), say.Message{})
		}
	}
	same("nominal", f.Nominal)
	same("lower", f.Lower)
	same("upper", f.Upper)
	for j, l := range f.Limits {
		limit := fmt.Sprintf("limits[%d]", j)
		same(limit+".min", l.Min)
		same(limit+".max", l.Max)
		if l.Min == nil && l.Max == nil {
			c.refuse(at+"."+limit, "", msgNoLimit.With(), say.Message{})
		}
		if l.Min != nil && l.Max != nil && l.Min.SI > l.Max.SI {
			c.refuse(at+"."+limit+".min", l.Min.Text, msgCrossed.With(), say.Message{})
		}
	}
}

// Dimension returns the dimension in which the feature is measured.
func (f *Feature) Dimension() quantity.Dimension {
	for _, v := range []*Value{f.Nominal, f.Lower, f.Upper} {
		if v != nil {
			return v.Dimension
		}
	}
	for _, l := range f.Limits {
		for _, v := range []*Value{l.Min, l.Max} {
			if v != nil {
				return v.Dimension
			}
		}
	}
	if f.RoleOf() == RoleHandTurn {
		return quantity.TorqueDimension
	}
	return quantity.LengthDimension
}

func (c *checker) gaskets(s *Sheet) {
	sealing, shims := s.Build.ClearanceBy == "shims", 0
	for i, g := range s.Gaskets {
		at := fmt.Sprintf("gaskets[%d]", i)
		if g.Thickness.IsGiven() && g.Thickness.Value <= 0 {
			c.refuse(at+".thickness", g.Thickness.Text, msgPositive.With(), say.Message{})
		}
		if g.Compression < 0 || g.Compression >= 1 {
			c.refuse(at+".compression", fmt.Sprint(g.Compression), msgFraction.With(), say.Message{})
		}
		sealing = sealing || g.Sealing
		if !g.Shim {
			continue
		}
		shims++
		if g.Sealing || g.Compression > 0 {
			c.refuse(at+".shim", g.Name, msgShimOnly.With(), say.Message{})
		}
	}
	if wanted := s.Build.Shims == "bearing" || s.Build.Shims == "head"; wanted != (shims > 0) || s.Build.ClearanceBy == "shims" && !wanted {
		c.refuse("build.shims", s.Build.Shims, msgShims.With(), msgWriteShims.With())
	}
	if len(s.Gaskets) > 0 && !sealing {
		c.refuse("gaskets", "", msgSealing.With(), msgWriteSealing.With())
	}
}

func (c *checker) window(s *Sheet) {
	for i, row := range s.EndClearance.Rows {
		if row.Low.IsGiven() && row.High.IsGiven() && row.Low.Value > row.High.Value {
			c.refuse(fmt.Sprintf("end_clearance.rows[%d].low", i), row.Low.Text, msgCrossed.With(), say.Message{})
		}
	}
}

func contains(list []string, want string) bool {
	for _, s := range list {
		if s == want {
			return true
		}
	}
	return false
}
