package fleet

import (
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"time"

	"pumpwright/rebuild/demo"
	"pumpwright/rebuild/history"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/record"
	"pumpwright/rebuild/sheet"
)

// Streams gives the streams of the fleet, the pump's own before its jobs. It
// stops at the first error of take.
func (f *Fleet) Streams(take func(*record.Stream) error) error {
	texts := make([]string, len(f.Laws.Services))
	for i, s := range f.Laws.Services {
		text, err := demo.ServiceText(s.Name)
		if err != nil {
			return fmt.Errorf("fleet: %w", err)
		}
		texts[i] = string(text)
	}
	for i := range f.Machines {
		m := &f.Machines[i]
		w := writer{f: f, m: m, stream: &record.Stream{}, name: history.PumpStream(m.Serial)}
		if err := w.pump(); err != nil {
			return err
		}
		if err := take(w.stream); err != nil {
			return err
		}
		service := hoursLine.ReplaceAllString(texts[m.Service], fmt.Sprintf("hours_a_year: %.0f", m.HoursAYear))
		for k := range m.Jobs {
			j := &m.Jobs[k]
			w := writer{f: f, m: m, stream: &record.Stream{}, name: "job:" + j.Name, r: rand.New(rand.NewPCG(j.variant, uint64(i)))}
			if err := w.job(j, k, service); err != nil {
				return err
			}
			if err := take(w.stream); err != nil {
				return err
			}
		}
	}
	return nil
}

var hoursLine = regexp.MustCompile(`(?m)^hours_a_year: .*$`)

type writer struct {
	f      *Fleet
	m      *Machine
	r      *rand.Rand
	stream *record.Stream
	name   string
	at     time.Time
	err    error
}

// add writes an entry. Its id comes from the fleet's seed, the stream and the
// place, so that the same fleet has the same ids.
func (w *writer) add(by, kind string, body any) {
	if w.err != nil {
		return
	}
	raw, err := record.CanonicalOf(body)
	if err != nil {
		w.err = err
		return
	}
	var random [10]byte
	hash := rand.NewPCG(w.f.Seed, uint64(len(w.stream.Entries)))
	for _, c := range []byte(w.name) {
		hash.Seed(hash.Uint64()^uint64(c), uint64(len(w.stream.Entries)))
	}
	binary.BigEndian.PutUint64(random[:8], hash.Uint64())
	binary.BigEndian.PutUint16(random[8:], uint16(hash.Uint64()))
	_, w.err = w.stream.Append(record.Entry{ID: record.NewID(w.at, random), Stream: w.name, Kind: kind, Version: 1, Body: raw,
		By: by, At: record.TimeOf(w.at), Device: "bench-1", Seen: w.stream.Head()})
	w.at = w.at.Add(6 * time.Minute)
}

// pump writes the machine's own stream: put to work, and the meter as the
// plant read it whenever the pump came off.
func (w *writer) pump() error {
	m := w.m
	w.at = m.NewAt.Time()
	w.add("plant", history.KindInstalled, history.Installed{Tag: m.Tag, Place: m.Site, Owner: m.Owner, Sheet: w.f.models[m.Model].sheet.Name, New: true, Invented: true})
	w.add("plant", history.KindMeter, history.MeterReading{Hours: 0, Note: "as put to work"})
	for i := range m.Jobs {
		j := &m.Jobs[i]
		w.at = j.Opened.Time()
		w.add("plant", history.KindMeter, history.MeterReading{Hours: math.Round(j.Hours)})
		if j.Closed != 0 { // it stood meanwhile
			w.at = j.Closed.Time()
			w.add("plant", history.KindMeter, history.MeterReading{Hours: math.Round(j.Hours)})
		}
	}
	return w.err
}

// job writes one rebuild.
func (w *writer) job(j *Job, number int, service string) error {
	m, mod := w.m, &w.f.models[w.m.Model]
	w.at = j.Opened.Time()
	open := job.Open{Job: j.Name, Tag: m.Tag, Serial: m.Serial, Owner: m.Owner, Place: m.Site, Complaint: complaint(j), Invented: true}
	if number > 0 {
		open.Previous = m.Jobs[number-1].Name
	}
	w.add("ines", job.KindOpen, open)
	w.add("ines", job.KindSheet, job.Text{Name: mod.sheet.Name})
	w.add("ines", job.KindService, job.Text{Name: w.f.Laws.Services[m.Service].Name + ".yaml", Text: service})
	if j.SealFailed {
		w.add("mira", job.KindFinding, job.Finding{Evidence: "E07", Part: mod.seal, Note: "leaks along the shaft"})
	}
	w.add("mira", job.KindHours, job.Hours{Stage: "tear-down", Hours: j.Labour[0]})
	w.pair(&mod.idler, &j.Idler, j.IdlerAge, job.AsFound)
	w.pair(&mod.bracket, &j.Bracket, j.BracketAge, job.AsFound)
	w.decide("idler-bushing", j.Idler.Replaced, "past its limit")
	w.decide(pinPart, j.Idler.Replaced, "goes with the bushing")
	w.decide(bracketPart, j.Bracket.Replaced, "past its limit")
	if j.Cause != "" {
		w.add("odell", job.KindCause, job.Cause{Cause: j.Cause, Confirmed: j.Confirmed})
	}
	w.add("ines", job.KindQuote, map[string]any{"number": "Q" + j.Name[1:], "total": j.Cost, "currency": "EUR", "valid_days": 30})
	if j.Closed == 0 {
		return w.err
	}
	w.at = j.Closed.Time().Add(-26 * time.Hour)
	fitted := job.Fitted{Part: mod.seal, Batch: fmt.Sprintf("B-%d", 10+w.r.IntN(80))}
	if mod.seal == SealPart {
		fitted.Elastomer = "FKM"
	}
	w.add("mira", job.KindFitted, fitted)
	if j.Idler.Replaced {
		w.pair(&mod.idler, &j.Idler, 0, job.AsLeft)
	}
	if j.Bracket.Replaced {
		w.pair(&mod.bracket, &j.Bracket, 0, job.AsLeft)
	}
	w.trials(mod.sheet)
	w.add("mira", job.KindHours, job.Hours{Stage: "reassemble", Hours: j.Labour[1]})
	w.add("tomas", job.KindHours, job.Hours{Stage: "prove", Hours: j.Labour[2]})
	w.at = j.Closed.Time()
	w.add("odell", job.KindClose, job.Close{Result: "in service"})
	return w.err
}

func complaint(j *Job) string {
	switch {
	case j.Infant:
		return "drips again, days after it came back"
	case j.SealFailed:
		return "seal drips"
	case j.Idler.Read[0]-j.Idler.Read[1] > 0 && j.Idler.Replaced:
		return "flow down, louder"
	}
	return "taken off with the line"
}

func (w *writer) decide(part string, replaced bool, reason string) {
	d := job.Decision{Part: part, Decision: "reuse", Reason: "within its limit"}
	if replaced {
		d.Decision, d.Reason = "replace", reason
	}
	w.add("odell", job.KindDecision, d)
}

// Wear along the bushing: the far plane wears most, the journal's first plane
// not at all.
var (
	bushingWear = map[string]float64{"A": 0.6, "B": 0.8, "C": 1}
	journalWear = map[string]float64{"A": 0, "B": 0.5, "C": 1}
)

// pair writes the readings of bushing and journal: the most worn plane as the
// simulation read it, the others by how much less they wear.
func (w *writer) pair(p *pair, v *Found, age float64, state string) {
	model := w.f.models[w.m.Model].sheet
	read, worn := v.Read, v.Wear.Rate*age
	if state == job.AsLeft {
		read, worn = v.Left, 0
	}
	for i, side := range []struct {
		feature    string
		wear       map[string]float64
		sign, part float64
	}{{p.bore, bushingWear, -1, boreShare}, {p.journal, journalWear, 1, 1 - boreShare}} {
		f := model.Feature(side.feature)
		planes := f.Planes
		last := planes[len(planes)-1]
		r := job.Reading{Feature: side.feature, State: state}
		for _, plane := range planes {
			share := side.wear[plane]
			if plane == last {
				share = 1
			}
			value := read[i] + side.sign*(1-share)*side.part*worn
			if plane != last && worn == 0 { // new: even, and the last plane is the one that counts
				value = read[i] + side.sign*1e-6
			}
			angle := 0.0
			r.Values = append(r.Values, job.Value{Plane: plane, Angle: &angle, Text: strconv.FormatFloat(value*1e3, 'f', 4, 64) + " mm"})
		}
		w.add("mira", job.KindReading, r)
	}
}

// ExtraCompression is how much more the fleet's gaskets give way than their
// sheet says, as a fraction. Invented.
const ExtraCompression = 0.03

// trials writes two trial assemblies on pumps whose gaskets set the clearance.
func (w *writer) trials(s *sheet.Sheet) {
	if len(s.Gaskets) == 0 || s.EndClearance.Housing != nil {
		return
	}
	bare := -0.35e-3 + 0.02e-3*w.r.NormFloat64()
	for _, counts := range []map[string]int{{s.Gaskets[0].Name: 2, s.Gaskets[1].Name: 3}, {s.Gaskets[0].Name: 2, s.Gaskets[1].Name: 1}} {
		gap := bare
		for _, g := range s.Gaskets {
			n := float64(counts[g.Name])
			gap += n*g.Thickness.Value.SI()*(1-g.Compression-ExtraCompression) + math.Sqrt(n)*g.Tolerance.Value.SI()/2*w.r.NormFloat64()
		}
		w.add("mira", job.KindTrial, job.Trial{Counts: counts, Measured: strconv.FormatFloat((gap+0.004e-3*w.r.NormFloat64())*1e3, 'f', 3, 64) + " mm", U: "0.005 mm", AfterTorque: true})
	}
}
