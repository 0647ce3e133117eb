package bolt

import (
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

const (
	inch       = 0.0254
	millimetre = 1e-3
)

// Thread is a screw thread of 60° form.
type Thread struct {
	Name     string
	Diameter quantity.Length // nominal
	Pitch    quantity.Length
	Unified  bool
}

var (
	msgNoThread     = say.Define("bolt.no_thread", "“{text}” is no thread that is known here")
	msgThreadFormat = say.Define("bolt.thread_format", "write it like M12, M16x1.5, 1/2-13 UNC, 3/4 UNF or #10-24")
	msgNoPitch      = say.Define("bolt.no_pitch", "{text} has no standard pitch in the table")
	msgGivePitch    = say.Define("bolt.give_pitch", "write the pitch too, like M16x1.5 or 1/2-20")
	msgPitchRange   = say.Define("bolt.pitch_range", "a pitch of {pitch:length} does not belong to a diameter of {diameter:length}")
)

// coarsePitch holds the coarse pitches of ISO 261, mm by diameter.
var coarsePitch = map[float64]float64{
	2: 0.4, 2.5: 0.45, 3: 0.5, 4: 0.7, 5: 0.8, 6: 1, 8: 1.25, 10: 1.5, 12: 1.75, 14: 2, 16: 2, 18: 2.5, 20: 2.5,
	22: 2.5, 24: 3, 27: 3, 30: 3.5, 33: 3.5, 36: 4, 39: 4, 42: 4.5, 45: 4.5, 48: 5, 52: 5, 56: 5.5, 60: 5.5, 64: 6,
}

// unifiedThreads holds threads per inch of ASME B1.1, coarse and fine (0 where
// there is none).
var unifiedThreads = []struct {
	diameter     float64 // in
	coarse, fine float64
}{
	{0.112, 40, 48}, {0.125, 40, 44}, {0.138, 32, 40}, {0.164, 32, 36}, {0.190, 24, 32}, {0.216, 24, 28},
	{1. / 4, 20, 28}, {5. / 16, 18, 24}, {3. / 8, 16, 24}, {7. / 16, 14, 20}, {1. / 2, 13, 20}, {9. / 16, 12, 18}, {5. / 8, 11, 18},
	{3. / 4, 10, 16}, {7. / 8, 9, 14}, {1, 8, 12}, {1.125, 7, 12}, {1.25, 7, 12}, {1.375, 6, 12}, {1.5, 6, 12}, {1.75, 5, 0}, {2, 4.5, 0},
}

var (
	metricPattern  = regexp.MustCompile(`^M\s*([0-9]+(?:[.,][0-9]+)?)(?:\s*[xX×*\-]\s*([0-9]+(?:[.,][0-9]+)?))?$`)
	unifiedPattern = regexp.MustCompile(`^(#\s*[0-9]{1,2}|[0-9][0-9 ./\-]*?)\s*(?:IN|"|″)?(?:\s*-\s*([0-9]+(?:\.[0-9]+)?))?(?:\s*-?\s*(UNC|UNF|UN|UNEF|UNS|NC|NF)(?:\s*-?\s*[123][AB]?)?)?$`)
)

// ParseThread reads a thread as the trade writes it. Without a pitch the
// coarse one of the table is taken.
//
// Source: ISO 261 (coarse pitches), ASME B1.1 (UNC and UNF).
func ParseThread(text string) (Thread, error) {
	clean := strings.TrimSpace(text)
	upper := strings.ToUpper(clean)
	if m := metricPattern.FindStringSubmatch(upper); m != nil {
		return metric(text, m[1], m[2])
	}
	if m := unifiedPattern.FindStringSubmatch(upper); m != nil {
		return unified(text, m[1], m[2], m[3])
	}
	return Thread{}, say.Refuse("thread", text, msgNoThread.With(clean), msgThreadFormat.With())
}

func metric(text, size, pitch string) (Thread, error) {
	d, err := strconv.ParseFloat(strings.Replace(size, ",", ".", 1), 64)
	if err != nil {
		return Thread{}, say.Refuse("thread", text, msgNoThread.With(text), msgThreadFormat.With())
	}
	p, ok := coarsePitch[d]
	if pitch != "" {
		if p, err = strconv.ParseFloat(strings.Replace(pitch, ",", ".", 1), 64); err != nil {
			return Thread{}, say.Refuse("thread", text, msgNoThread.With(text), msgThreadFormat.With())
		}
	} else if !ok {
		return Thread{}, say.Refuse("thread", text, msgNoPitch.With(text), msgGivePitch.With())
	}
	return checked(text, Thread{Name: fmt.Sprintf("M%g x %g", d, p), Diameter: quantity.Length(d * millimetre), Pitch: quantity.Length(p * millimetre)})
}

func unified(text, size, threads, series string) (Thread, error) {
	d, err := unifiedSize(size)
	if err != nil {
		return Thread{}, say.Refuse("thread", text, msgNoThread.With(text), msgThreadFormat.With())
	}
	n := 0.0
	if threads != "" {
		if n, err = strconv.ParseFloat(threads, 64); err != nil || n <= 0 {
			return Thread{}, say.Refuse("thread", text, msgNoThread.With(text), msgThreadFormat.With())
		}
	} else {
		for _, row := range unifiedThreads {
			if math.Abs(row.diameter-d) < 1e-6 {
				switch series {
				case "UNC", "NC", "":
					n = row.coarse
				case "UNF", "NF":
					n = row.fine
				}
			}
		}
		if n == 0 {
			return Thread{}, say.Refuse("thread", text, msgNoPitch.With(text), msgGivePitch.With())
		}
	}
	name := strings.TrimSpace(size) + "-" + strconv.FormatFloat(n, 'g', -1, 64)
	return checked(text, Thread{Name: name, Diameter: quantity.Length(d * inch), Pitch: quantity.Length(inch / n), Unified: true})
}

// unifiedSize reads 1/2, 1 1/4, 1-1/4, 0.5 or a number size such as #10.
func unifiedSize(size string) (float64, error) {
	clean := strings.TrimSpace(size)
	if number, ok := strings.CutPrefix(clean, "#"); ok {
		n, err := strconv.Atoi(strings.TrimSpace(number))
		if err != nil || n > 12 {
			return 0, fmt.Errorf("no number size")
		}
		return 0.060 + 0.013*float64(n), nil
	}
	return quantity.ReadNumber(clean)
}

// checked refuses a pitch that no thread of this diameter has: finer than a
// fortieth or coarser than a quarter of the diameter.
func checked(text string, t Thread) (Thread, error) {
	if !(t.Diameter > 0.0015) || t.Diameter > 0.5 {
		return Thread{}, say.Refuse("thread", text, msgNoThread.With(text), msgThreadFormat.With())
	}
	if !(t.Pitch >= t.Diameter/60) || t.Pitch > t.Diameter*0.3 {
		return Thread{}, say.Refuse("thread", text, msgPitchRange.With(t.Pitch, t.Diameter), msgThreadFormat.With())
	}
	return t, nil
}

// StressArea returns the tensile stress area.
//
//	metric   A_s = π/4 (d − 0.9382 P)²     ISO 898-1
//	unified  A_t = π/4 (d − 0.9743/n)²     ASME B1.1
func (t Thread) StressArea() quantity.Area {
	factor := 0.9382
	if t.Unified {
		factor = 0.9743
	}
	d := float64(t.Diameter) - factor*float64(t.Pitch)
	return quantity.Area(math.Pi / 4 * d * d)
}

// Grade is a strength class of bolts: its proof strength by diameter.
type Grade struct {
	Name   string
	Source string
	steps  []proofStep
}

type proofStep struct {
	upTo   float64 // m, largest diameter of the step
	stress float64 // Pa
}

const (
	ksi = 1000 * 0.45359237 * 9.80665 / (inch * inch)

	sourceISO898     = "ISO 898-1, proof strength"
	sourceISO898mem  = "ISO 898-1, proof strength, from memory"
	sourceJ429       = "SAE J429 in Shigley and Mischke, Mechanical Engineering Design 5th ed. p. 341"
	sourceJ429mem    = "SAE J429, from memory"
	sourceA193       = "ASTM A193 B7, yield strength, from memory"
	sourceISO3506mem = "ISO 3506-1, stress at 0.2 % strain, from memory"
)

func metricGrade(name, source string, steps ...proofStep) Grade { return Grade{name, source, steps} }

var gradeTable = []Grade{
	metricGrade("4.6", sourceISO898mem, proofStep{0.039, 225e6}),
	metricGrade("4.8", sourceISO898mem, proofStep{0.016, 310e6}),
	metricGrade("5.8", sourceISO898mem, proofStep{0.024, 380e6}),
	metricGrade("8.8", sourceISO898, proofStep{0.016, 580e6}, proofStep{0.039, 600e6}),
	metricGrade("9.8", sourceISO898mem, proofStep{0.016, 650e6}),
	metricGrade("10.9", sourceISO898, proofStep{0.039, 830e6}),
	metricGrade("12.9", sourceISO898mem, proofStep{0.039, 970e6}),
	metricGrade("A2-70", sourceISO3506mem, proofStep{0.024, 450e6}),
	metricGrade("A4-70", sourceISO3506mem, proofStep{0.024, 450e6}),
	metricGrade("A4-80", sourceISO3506mem, proofStep{0.024, 600e6}),
	{"SAE 2", sourceJ429mem, []proofStep{{0.75 * inch, 55 * ksi}, {1.5 * inch, 33 * ksi}}},
	{"SAE 5", sourceJ429, []proofStep{{1 * inch, 85 * ksi}, {1.5 * inch, 74 * ksi}}},
	{"SAE 8", sourceJ429, []proofStep{{1.5 * inch, 120 * ksi}}},
	{"B7", sourceA193, []proofStep{{2.5 * inch, 105 * ksi}}},
}

// proofLoads holds the proof loads that ISO 898-1 prints for coarse threads, N.
// They are rounded there, up to 0.6 % from area times strength, and what is
// printed rules. Only rows that were read are here.
var proofLoads = map[string]map[string]float64{
	"8.8":  {"M6 x 1": 11600, "M8 x 1.25": 21200, "M10 x 1.5": 33700, "M12 x 1.75": 48900, "M16 x 2": 91000},
	"10.9": {"M6 x 1": 16700, "M8 x 1.25": 30400, "M12 x 1.75": 70000, "M16 x 2": 130000},
}

// ProofLoad returns the proof load of a thread in the grade: the load that ISO
// 898-1 prints where it was read, else stress area times proof strength.
func (g Grade) ProofLoad(t Thread) (load quantity.Force, printed bool, err error) {
	strength, err := g.ProofStrength(t.Diameter)
	if err != nil {
		return 0, false, err
	}
	if v, ok := proofLoads[g.Name][t.Name]; ok {
		return quantity.Force(v), true, nil
	}
	return quantity.Force(float64(t.StressArea()) * float64(strength)), false, nil
}

var (
	msgNoGrade   = say.Define("bolt.no_grade", "there is no bolt grade “{name}” here")
	msgGradesAre = say.Define("bolt.grades_are", "the grades are {names}")
	msgGradeSize = say.Define("bolt.grade_size", "grade {name} has no proof strength for {size:length}")
	msgGradeUpTo = say.Define("bolt.grade_up_to", "it goes up to {size:length}")
)

// GradeNames lists the grades.
func GradeNames() []string {
	names := make([]string, len(gradeTable))
	for i, g := range gradeTable {
		names[i] = g.Name
	}
	return names
}

var withoutMarks = strings.NewReplacer(" ", "", "-", "", ".", "")

// FindGrade returns the grade of a name: "8.8", "SAE 5", "grade 8".
func FindGrade(name string) (Grade, error) {
	key := strings.ToUpper(withoutMarks.Replace(strings.TrimSpace(name)))
	key = strings.TrimPrefix(strings.TrimPrefix(strings.TrimPrefix(key, "CLASS"), "ASTM"), "A193")
	if len(key) == 1 { // grade 5, 8: the way the inch system writes it
		key = "SAE" + key
	}
	for _, prefix := range []string{"SAEGRADE", "SAEJ429GRADE", "GRADE", "SAEGR", "GR", "SAE"} {
		if rest, ok := strings.CutPrefix(key, prefix); ok && len(rest) == 1 {
			key = "SAE" + rest
			break
		}
	}
	for _, g := range gradeTable {
		if strings.ToUpper(withoutMarks.Replace(g.Name)) == key {
			return g, nil
		}
	}
	return Grade{}, say.Refuse("grade", name, msgNoGrade.With(name), msgGradesAre.With(GradeNames()))
}

// ProofStrength returns the proof strength of the grade for a diameter.
func (g Grade) ProofStrength(diameter quantity.Length) (quantity.Stress, error) {
	i := sort.Search(len(g.steps), func(i int) bool { return float64(diameter) <= g.steps[i].upTo*(1+1e-9) })
	if i == len(g.steps) {
		return 0, say.Refuse("grade", g.Name, msgGradeSize.With(g.Name, diameter), msgGradeUpTo.With(quantity.Length(g.steps[i-1].upTo)))
	}
	return quantity.Stress(g.steps[i].stress), nil
}
