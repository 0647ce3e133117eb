package bench

import (
	"encoding/json"

	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/assess/reading"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

// bodyWords says what an entry says, values as they were typed.
func bodyWords(v *frame.Visit, j *frame.Job, e *record.Entry) say.Message {
	switch e.Kind {
	case job.KindReading:
		if r, ok := readBody[job.Reading](e); ok {
			return entryReading.With(featureName(j, r.Feature), stateWord(r.State), valueWords(v, r), toolWords(r.Instrument))
		}
	case job.KindStep:
		if m, ok := readBody[job.Mark](e); ok {
			if m.Mark == "skipped" {
				return entrySkipped.With(stepTitle(j, m.Step), m.Reason)
			}
			return entryDone.With(stepTitle(j, m.Step))
		}
	case job.KindSign:
		if s, ok := readBody[job.Sign](e); ok {
			return entrySigned.With(stepTitle(j, s.Step), s.Role)
		}
	case job.KindFinding:
		if f, ok := readBody[job.Finding](e); ok {
			return entryFinding.With(findingWords(f), f.Note)
		}
	case job.KindDecision:
		if d, ok := readBody[job.Decision](e); ok {
			return entryDecision.With(partName(j, d.Part), d.Decision, d.Reason)
		}
	case job.KindNote:
		if n, ok := readBody[job.Note](e); ok {
			return say.Plain(n.Text)
		}
	case job.KindPhoto:
		if p, ok := readBody[job.Photo](e); ok {
			return say.Plain(p.Note)
		}
	case job.KindDocument:
		if d, ok := readBody[job.Document](e); ok {
			return entryPaper.With(d.What, d.Name)
		}
	case job.KindTorque:
		if t, ok := readBody[job.Torque](e); ok {
			return entryTorque.With(fastenerName(j, t.Fastener), t.Pass, t.Torque, toolWords(t.Instrument))
		}
	case job.KindFitted:
		if f, ok := readBody[job.Fitted](e); ok {
			return entryFitted.With(partName(j, f.Part), fittedWords(f))
		}
	case job.KindOutside:
		if o, ok := readBody[job.Outside](e); ok {
			name := partName(j, o.Subject())
			if o.Returned {
				return entryBack.With(name)
			}
			return wordAwayLine.With(name, o.Work, o.To)
		}
	case job.KindAccepted:
		if a, ok := readBody[job.Accepted](e); ok {
			return wordAnywayIs.With(a.Instrument, j.NameOf(e.By), a.Reason)
		}
	case job.KindMarks:
		if m, ok := readBody[job.Marks](e); ok {
			return wordMarkCount.With(len(m.Marks))
		}
	case job.KindHours:
		if h, ok := readBody[job.Hours](e); ok && (h.Started || h.Stopped) {
			stage := procedure.Stage(h.Stage).Name()
			if h.Started {
				return entryStarted.With(stage)
			}
			return entryStopped.With(stage)
		}
	case job.KindVoid:
		if d, ok := readBody[job.Void](e); ok {
			return say.Plain(d.Reason)
		}
	case job.KindSheet, job.KindService:
		if t, ok := readBody[job.Text](e); ok {
			return say.Plain(t.Name)
		}
	case job.KindBasis:
		return entryBasis.With()
	}
	return moreWords(v, j, e)
}

func fastenerName(j *frame.Job, id string) string {
	for i := range j.Assessment.Inputs.Sheet.Fasteners {
		if f := &j.Assessment.Inputs.Sheet.Fasteners[i]; f.ID == id {
			return f.Name
		}
	}
	return id
}

// fittedWords are batch, serial number and elastomer as far as they are there.
func fittedWords(f job.Fitted) []string {
	var list []string
	for _, text := range []string{f.Batch, f.Serial, f.Elastomer, f.Note} {
		if text != "" {
			list = append(list, text)
		}
	}
	return list
}

func readBody[T any](e *record.Entry) (T, bool) {
	var body T
	err := json.Unmarshal(e.Body, &body)
	return body, err == nil
}

func valueWords(v *frame.Visit, r job.Reading) []string {
	list := make([]string, len(r.Values))
	for i, one := range r.Values {
		p := reading.PlaceName{Plane: one.Plane}
		if one.Angle != nil {
			p.Angle, p.Around = *one.Angle, true
		}
		text := one.Text
		if text == "" {
			text = one.Goes + " … " + one.NoGo
		}
		if name := spotName(p); name != "" {
			text = v.View.T(entryAt.With(name, text))
		}
		list[i] = text
	}
	return list
}

func toolWords(id string) say.Message {
	if id == "" {
		return say.Message{}
	}
	return entryWith.With(id)
}

func stepTitle(j *frame.Job, id string) say.Message {
	for _, s := range j.Assessment.Progress.Steps {
		if s.Step.ID == id {
			return s.Title
		}
	}
	return say.Plain(id)
}

func partName(j *frame.Job, id string) string {
	if p := j.Assessment.Inputs.Sheet.Part(id); p != nil {
		return p.Name
	}
	return id
}
