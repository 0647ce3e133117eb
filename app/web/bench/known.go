package bench

import (
	"pumpwright/app/web/frame"
	"pumpwright/app/web/part"
	"pumpwright/calc/say"
	verdict "pumpwright/rebuild/assess/part"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/sheet"
)

// opened is what the page of a part shows.
type opened struct {
	v        *frame.Visit
	j        *frame.Job
	part     *sheet.Part
	decision *verdict.Decision
	features []*reading.Feature // as found and as left, those that were read or are asked for
	form     *part.Entry
}

// openPart puts the page of a part together.
func openPart(v *frame.Visit, j *frame.Job, id string) *opened {
	a := j.Assessment
	p := &opened{v: v, j: j, part: a.Inputs.Sheet.Part(id), decision: a.Parts.Of(id)}
	for i, f := range a.Readings.Found {
		if f.Feature.Part != id {
			continue
		}
		left := a.Readings.Left[i]
		if f.Feature.When != job.AsLeft || f.Mean != nil {
			p.features = append(p.features, f)
		}
		if left.Mean != nil || f.Feature.When == job.AsLeft || !f.Feature.Lost && j.State.LeftFromOutside(id) > 0 {
			p.features = append(p.features, left)
		}
	}
	n := &now{v: v, j: j, a: a}
	p.form = v.EntryFor(j, job.KindDecision, "decision."+id, wordDecide.With(), n.decision(id)...)
	return p
}

func (p *opened) title() say.Message { return say.Plain(p.part.Name) }

// findings about the part.
func (p *opened) findings() []job.Kept[job.Finding] {
	var list []job.Kept[job.Finding]
	for _, f := range p.j.State.Findings {
		if f.Body.Part == p.part.ID {
			list = append(list, f)
		}
	}
	return list
}

// photos of the part.
func (p *opened) photos() []job.Kept[job.Photo] {
	var list []job.Kept[job.Photo]
	for _, k := range p.j.State.Photos {
		if k.Body.Part == p.part.ID {
			list = append(list, k)
		}
	}
	return list
}

// picture of the pump with the part lit.
func (p *opened) picture() picture { return draws(p.v, p.j, p.part.ID, false, nil) }

// becomesOf says what becomes of the part of a feature.
func becomesOf(j *frame.Job, f *reading.Feature) say.Message {
	if f == nil || f.State != job.AsFound {
		return say.Message{}
	}
	d := j.Assessment.Parts.Of(f.Feature.Part)
	if d == nil || d.Part.Always || len(d.Missing) > 0 && d.Verdict != verdict.Replace {
		return say.Message{}
	}
	return part.Becomes(d, j.Assessment.Parts)
}

// barOf is the bar of the feature that decides about a part.
func barOf(d *verdict.Decision) *part.WearBar {
	for _, f := range d.Because {
		if b := part.BarOf(f); b != nil {
			return b
		}
	}
	return nil
}

// placeOf is the place of a conflict in words.
func placeOf(p job.Place) say.Message {
	return placeWords(reading.PlaceName{Plane: p.Plane, Angle: p.Angle, Around: p.Around})
}

func featureName(j *frame.Job, id string) string {
	if f := j.Assessment.Inputs.Sheet.Feature(id); f != nil {
		return f.Name
	}
	return id
}
