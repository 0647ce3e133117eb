package bench

import (
	"net/http"
	"net/url"
	"strconv"

	"pumpwright/app/shop"
	"pumpwright/app/web/frame"
	"pumpwright/rebuild/assess/progress"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
)

// Place is the bench.
func Place() frame.Place {
	return frame.Place{Routes: []frame.Route{
		{Pattern: "GET /job/{job}", Handle: goToNext},
		{Pattern: "GET /job/{job}/step/{step}", Handle: showStep},
		{Pattern: "GET /job/{job}/read/{feature}", Handle: goToReading},
		{Pattern: "GET /job/{job}/part/{part}", Handle: showPart},
		{Pattern: "POST /job/{job}/answer", Handle: answerTyped},
		{Pattern: "GET /job/{job}/marks/{photo}", Handle: showMarks},
		{Pattern: "GET /job/{job}/outside", Handle: showOutside},
		{Pattern: "GET /job/{job}/known", Handle: showKnown},
		{Pattern: "GET /job/{job}/entries", Handle: showEntries},
	}}
}

// goToNext leads to the step that comes next, or to what is known when all is
// done.
func goToNext(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	if next := j.Assessment.Progress.Next; next != nil {
		return v.Go(stepAddress(j, next.Step.ID))
	}
	return v.Go(j.Path("/known"))
}

// goToReading leads to the step that reads a feature; a reading that no step
// asks for is taken at the step that follows.
func goToReading(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	state := v.URL.Query().Get("state")
	if state != job.AsLeft {
		state = job.AsFound
	}
	f := j.Assessment.Inputs.Sheet.Feature(v.PathValue("feature"))
	if f == nil {
		return shop.ErrNotFound
	}
	if f.Difference != nil { // made of two others: read the first of them
		if of := j.Assessment.Inputs.Sheet.Feature(f.Difference.Of); of != nil {
			f = of
		}
	}
	return v.Go(readAddress(j, f.ID, f.RoleOf(), state))
}

func readAddress(j *frame.Job, feature, role, state string) string {
	steps := j.Assessment.Progress.Steps
	var at *progress.Step
	for _, s := range steps {
		for _, r := range s.Step.Reads {
			if r == role && (at == nil || s.Step.State == state) {
				at = s
			}
		}
	}
	if at == nil {
		at = j.Assessment.Progress.Next
	}
	if at == nil && len(steps) > 0 {
		at = steps[len(steps)-1]
	}
	if at == nil {
		return j.Path("/known")
	}
	return stepAddress(j, at.Step.ID) + "?" + url.Values{"feature": {feature}, "state": {state}}.Encode()
}

func stepAddress(j *frame.Job, id string) string { return j.Path("/step/" + url.PathEscape(id)) }

// placeAddress asks for one place of a feature.
func placeAddress(step string, f *reading.Feature, p reading.PlaceName) string {
	q := url.Values{"feature": {f.Feature.ID}, "state": {f.State}}
	if p.Plane != "" {
		q.Set("plane", p.Plane)
	}
	if p.Around {
		q.Set("angle", strconv.FormatFloat(p.Angle, 'f', -1, 64))
	}
	return step + "?" + q.Encode()
}

func showStep(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	n := stand(v, j)
	if n == nil {
		return shop.ErrNotFound
	}
	return v.Show(frame.Page{Title: n.step.Title, Job: j, Here: "bench", Body: benchPage(n)})
}

func showPart(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	id := partOf(j, v.PathValue("part"))
	if id == "" {
		return shop.ErrNotFound
	}
	if id == gasketsPart {
		http.Redirect(v.ResponseWriter, v.Request, j.Path("/close"), http.StatusSeeOther)
		return nil
	}
	p := openPart(v, j, id)
	return v.Show(frame.Page{Title: p.title(), Job: j, Here: "known", Body: partPage(p)})
}

func showKnown(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordKnown.With(), Job: j, Here: "known", Body: knownPage(v, j)})
}

func showEntries(v *frame.Visit) error {
	j, err := v.JobNamed()
	if err != nil {
		return err
	}
	return v.Show(frame.Page{Title: wordEntries.With(), Job: j, Here: "entries", Plain: true, Body: entriesPage(v, j)})
}
