package bench

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"pumpwright/app/report"
	"pumpwright/app/web/frame"
	"pumpwright/calc/say"
	"pumpwright/rebuild/job"
	"pumpwright/rebuild/procedure"
	"pumpwright/rebuild/record"
)

var (
	entryOpen     = say.Define("bench.entry_open", "received: {facts:list}")
	entryPieces   = say.Define("bench.entry_pieces", "from casing to head: {pieces:list}")
	entryMixed    = say.Define("bench.entry_mixed", "{stack:message}; the order or a piece was lost")
	entryPiece    = say.Define("bench.entry_piece", "{kind} ({thickness})")
	entryCount    = say.Define("bench.entry_count", "{n} × {kind}")
	entryTrial    = say.Define("bench.entry_trial", "trial with {pieces:list}: {read:message}{with:message}")
	entryNotches  = say.Define("bench.entry_notches", "trial, {n:count|notch|notches}: {read:message}{with:message}")
	entryBetween  = say.Define("bench.entry_between", "{goes} goes, {no_go} does not")
	entryBound    = say.Define("bench.entry_bound", "the rotor was bound")
	entryNotRead  = say.Define("bench.entry_not_read", "not read")
	entryLimit    = say.Define("bench.entry_limit", "{feature}: {bounds:list}, from the {rank}, {source}")
	entryAtLeast  = say.Define("bench.entry_at_least", "at least {text}")
	entryAtMost   = say.Define("bench.entry_at_most", "at most {text}")
	entryTurns    = say.Define("bench.entry_turns", "turns {rotation}, seen from the drive end{head:message}")
	entryHead     = say.Define("bench.entry_head", ", the head turned by half a turn")
	entryCause    = say.Define("bench.entry_cause", "{cause}{sure:message} {note}")
	entrySure     = say.Define("bench.entry_sure", ", confirmed")
	entryQuote    = say.Define("bench.entry_quote", "quote {number}, {status:message} {sum} {note}")
	entryHours    = say.Define("bench.entry_hours", "{stage:message}: {hours:count|hour|hours}")
	entryClosed   = say.Define("bench.entry_closed", "closed: {result} {note}")
	entryOffered  = say.Define("bench.entry_quote_offered", "offered")
	entryNumbered = say.Define("bench.entry_numbered", "{name:message} {value}")
)

// ofKey are the words of what an entry may state, in the order in which they
// are read.
var ofKey = []struct {
	key  string
	word say.Template
}{
	{"state", say.Define("bench.key_state", "state")}, {"method", say.Define("bench.key_method", "method")},
	{"after", say.Define("bench.key_after", "after")}, {"set", say.Define("bench.key_set", "set to")},
	{"crack", say.Define("bench.key_crack", "begins to pass at")}, {"full_bypass", say.Define("bench.key_full_bypass", "full bypass at")},
	{"reseat", say.Define("bench.key_reseat", "closes again at")}, {"screw", say.Define("bench.key_screw", "screw")},
	{"sealed", say.Define("bench.key_sealed", "sealed with")}, {"speed", say.Define("bench.key_speed", "speed")},
	{"pressure", say.Define("bench.key_pressure", "pressure")}, {"vacuum", say.Define("bench.key_vacuum", "vacuum")},
	{"force", say.Define("bench.key_force", "force")}, {"ram_area", say.Define("bench.key_ram_area", "area of the ram")},
	{"flow", say.Define("bench.key_flow", "flow")}, {"power", say.Define("bench.key_power", "power")},
	{"current", say.Define("bench.key_current", "current")}, {"liquid", say.Define("bench.key_liquid", "liquid")},
	{"temperature", say.Define("bench.key_temperature", "temperature")}, {"viscosity", say.Define("bench.key_viscosity", "viscosity")},
	{"bearing_temperature", say.Define("bench.key_bearing", "thrust bearing")}, {"vibration", say.Define("bench.key_vibration", "vibration")},
	{"leakage", say.Define("bench.key_leakage", "drops a minute")}, {"instrument", say.Define("bench.key_instrument", "with")},
	{"readings", say.Define("bench.key_readings", "readings")}, {"soft_foot", say.Define("bench.key_soft_foot", "soft foot")},
	{"rim", say.Define("bench.key_rim", "rim")}, {"face", say.Define("bench.key_face", "face")},
	{"stationary_rim", say.Define("bench.key_stationary_rim", "rim of the fixed shaft")}, {"movable_rim", say.Define("bench.key_movable_rim", "rim of the movable shaft")},
	{"top", say.Define("bench.key_top", "top")}, {"right", say.Define("bench.key_right", "right")}, {"bottom", say.Define("bench.key_bottom", "bottom")}, {"left", say.Define("bench.key_left", "left")},
	{"near_left", say.Define("bench.key_near_left", "near left")}, {"near_right", say.Define("bench.key_near_right", "near right")},
	{"far_left", say.Define("bench.key_far_left", "far left")}, {"far_right", say.Define("bench.key_far_right", "far right")},
	{"offset_vertical", say.Define("bench.key_offset_vertical", "offset, vertical")}, {"angle_vertical", say.Define("bench.key_angle_vertical", "angle, vertical")},
	{"offset_horizontal", say.Define("bench.key_offset_horizontal", "offset, horizontal")}, {"angle_horizontal", say.Define("bench.key_angle_horizontal", "angle, horizontal")},
	{"sag", say.Define("bench.key_sag", "sag")}, {"note", say.Define("bench.key_note", "–")},
}

// stated are the values of a body whose keys have words, one behind the other.
func stated(v *frame.Visit, body map[string]any) string {
	var parts []string
	for _, k := range ofKey {
		var text string
		switch value := body[k.key].(type) {
		case map[string]any:
			if text = stated(v, value); text != "" {
				text = "(" + text + ")"
			}
		case string:
			text = value
			switch value {
			case job.AsFound, job.AsLeft:
				text = v.View.T(stateWord(value))
			}
		case float64:
			text = v.View.T(say.Plain(fmt.Sprint(value)))
		}
		if text != "" {
			parts = append(parts, v.View.T(entryNumbered.With(k.word.With(), text)))
		}
	}
	return strings.Join(parts, ", ")
}

// moreWords says what entries say that are written once in a job, or in a form
// of their own.
func moreWords(v *frame.Visit, j *frame.Job, e *record.Entry) say.Message {
	switch e.Kind {
	case job.KindOpen:
		if o, ok := readBody[job.Open](e); ok {
			return entryOpen.With(present(o.Tag, o.Serial, o.Owner, o.Place, o.Complaint))
		}
	case job.KindStackFound:
		if s, ok := readBody[job.StackFound](e); ok {
			stack := entryPieces.With(pieceWords(v, s.Pieces))
			if s.Mixed {
				return entryMixed.With(stack)
			}
			return stack
		}
	case job.KindTrial:
		if t, ok := readBody[job.Trial](e); ok {
			return trialWords(v, t)
		}
	case job.KindLimit:
		if l, ok := readBody[job.Limit](e); ok {
			var bounds []string
			if l.Min != "" {
				bounds = append(bounds, v.View.T(entryAtLeast.With(l.Min)))
			}
			if l.Max != "" {
				bounds = append(bounds, v.View.T(entryAtMost.With(l.Max)))
			}
			return entryLimit.With(featureName(j, l.Feature), bounds, l.Rank, l.Source)
		}
	case job.KindSides:
		if s, ok := readBody[job.Sides](e); ok {
			head := say.Message{}
			if s.HeadTurned {
				head = entryHead.With()
			}
			return entryTurns.With(rotationWord(s.Rotation), head)
		}
	case job.KindCause:
		if c, ok := readBody[job.Cause](e); ok {
			sure := say.Message{}
			if c.Confirmed {
				sure = entrySure.With()
			}
			return entryCause.With(report.CauseName(c.Cause), sure, c.Note)
		}
	case job.KindQuote:
		if q, ok := readBody[job.Quote](e); ok {
			sum := ""
			if q.Total != nil {
				sum = fmt.Sprintf("%.2f %s", *q.Total, q.Currency)
			}
			return entryQuote.With(q.Number, quoteWord(q.Status), sum, q.Note)
		}
	case job.KindHours:
		if h, ok := readBody[job.Hours](e); ok {
			return entryHours.With(procedure.Stage(h.Stage).Name(), h.Hours)
		}
	case job.KindClose:
		if c, ok := readBody[job.Close](e); ok {
			return entryClosed.With(c.Result, c.Note)
		}
	}
	var body map[string]any
	if json.Unmarshal(e.Body, &body) != nil {
		return say.Message{}
	}
	text := stated(v, body)
	if part, _ := body["part"].(string); part != "" {
		text = partName(j, part) + ": " + text
	}
	return say.Plain(text)
}

func rotationWord(rotation string) say.Message {
	if rotation == "anticlockwise" {
		return wordAnticlockwise.With()
	}
	return wordClockwise.With()
}

var quoteAnswers = map[string]say.Template{
	job.QuoteAccepted: say.Define("bench.entry_quote_accepted", "accepted"), job.QuoteChanged: say.Define("bench.entry_quote_changed", "to be changed"),
	job.QuoteDeclined: say.Define("bench.entry_quote_declined", "declined"), job.QuoteExpired: say.Define("bench.entry_quote_expired", "expired"),
}

func quoteWord(status string) say.Message {
	if answer, ok := quoteAnswers[status]; ok {
		return answer.With()
	}
	return entryOffered.With()
}

func present(texts ...string) []string {
	return slices.DeleteFunc(texts, func(s string) bool { return s == "" })
}

func pieceWords(v *frame.Visit, pieces []job.Piece) []string {
	list := make([]string, len(pieces))
	for i, p := range pieces {
		switch {
		case p.Kind == "":
			list[i] = p.Thickness
		case p.Thickness == "":
			list[i] = p.Kind
		default:
			list[i] = v.View.T(entryPiece.With(p.Kind, p.Thickness))
		}
	}
	return list
}

func trialWords(v *frame.Visit, t job.Trial) say.Message {
	var pieces []string
	for kind, n := range t.Counts {
		pieces = append(pieces, v.View.T(entryCount.With(n, kind)))
	}
	slices.Sort(pieces)
	pieces = append(pieces, pieceWords(v, t.Pieces)...)
	read := entryNotRead.With()
	switch {
	case t.Bound:
		read = entryBound.With()
	case t.Measured != "":
		read = say.Plain(t.Measured)
	case t.Goes != "" || t.NoGo != "":
		read = entryBetween.With(t.Goes, t.NoGo)
	}
	if len(pieces) == 0 {
		return entryNotches.With(t.Notches, read, toolWords(t.Instrument))
	}
	return entryTrial.With(pieces, read, toolWords(t.Instrument))
}
