package align

import (
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// Change is an alignment as found against the same as left.
type Change struct {
	ShiftBefore, ShiftAfter quantity.Length // largest running offset
	AngleBefore, AngleAfter quantity.Angle  // largest running angle
	Grades                  []GradeChange   // for each table that answers both times
	Words                   []say.Message
}

// GradeChange is the standing against one table before and after.
type GradeChange struct {
	Table         string
	Before, After Grade
}

var (
	msgShiftChange = say.Define("align.shift_change", "largest offset {before:length} before, {after:length} after")
	msgAngleChange = say.Define("align.angle_change", "largest angle {before} before, {after} after")
	msgGradeChange = say.Define("align.grade_change", "{table}: {before} before, {after} after")
	msgNoCompare   = say.Define("align.no_compare", "a set that does not close cannot be compared")
)

// Compare sets an alignment as left beside the one as found. Where either set
// does not close it says so and compares no grades.
func Compare(before, after Plan) Change {
	c := Change{ShiftBefore: before.Shift, ShiftAfter: after.Shift, AngleBefore: before.Angle, AngleAfter: after.Angle}
	if !before.Valid || !after.Valid {
		c.Words = []say.Message{msgNoCompare.With()}
		return c
	}
	c.Words = []say.Message{msgShiftChange.With(c.ShiftBefore, c.ShiftAfter), msgAngleChange.With(PerLength(c.AngleBefore), PerLength(c.AngleAfter))}
	for _, b := range before.Verdicts {
		for _, a := range after.Verdicts {
			if a.Table == b.Table {
				c.Grades = append(c.Grades, GradeChange{Table: a.Table, Before: b.Grade, After: a.Grade})
				c.Words = append(c.Words, msgGradeChange.With(a.Table, string(b.Grade), string(a.Grade)))
			}
		}
	}
	return c
}
