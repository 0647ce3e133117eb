package metrology

import (
	"math"
	"sort"
	"strconv"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
	"pumpwright/calc/working"
)

var (
	msgNoReadings   = say.Define("metrology.no_readings", "there are no readings")
	msgFewAngles    = say.Define("metrology.few_angles", "a first harmonic needs readings at three angles or more")
	msgCompareWord  = say.Define("metrology.compare_word", "this way to compare is not known")
	msgCompareAre   = say.Define("metrology.compare_are", "write one of {words:list}")
	msgNoRepeats    = say.Define("metrology.no_repeats", "no place was read twice: the uncertainty leaves out how well a reading repeats")
	msgPlaceMean    = say.Define("metrology.place_mean", "mean over all places")
	msgPlaceReading = say.Define("metrology.place_reading", "mean of the readings at {place}")
	msgPlaceAt      = say.Define("metrology.place_at", "plane {plane}, {angle:angle}")
)

// Reading is one reading of a length at a place: a plane along the axis and an
// angle around it. Several readings at one place are repeats.
type Reading struct {
	Plane string
	Angle quantity.Angle
	Value quantity.Length
	Ref   string // entry that it came from
}

// Place is what was read at one place.
type Place struct {
	Plane string
	Angle quantity.Angle
	Mean  quantity.Length
	SD    quantity.Length // of the repeats; 0 for a single reading
	N     int
	Ref   string // of the first reading
}

// Name says where the place is.
func (p Place) Name() say.Message { return msgPlaceAt.With(p.Plane, p.Angle) }

// Plane is the places of one plane taken together.
type Plane struct {
	Name       string
	Mean       quantity.Length
	OutOfRound quantity.Length // largest less smallest place
	Places     int
}

// Wear is the direction in which a feature wears.
type Wear uint8

// A bore grows, a shaft gets smaller.
const (
	Grows Wear = iota
	Shrinks
)

// Survey is the readings of one feature put in order.
type Survey struct {
	Places        []Place // by plane in the order given, then by angle
	Planes        []Plane
	Mean          quantity.Length // of all places alike
	Spread        quantity.Length // largest place less smallest place
	Taper         quantity.Length // mean of the last plane less mean of the first, sign kept
	PlaneSpread   quantity.Length // largest plane mean less smallest: the taper or barrel without its sign
	OutOfRound    quantity.Length // worst plane
	Largest       Place
	Smallest      Place
	Repeatability quantity.Length // pooled standard deviation of one reading, from the repeats
	RepeatDOF     float64         // 0 when no place was read twice
}

// Take puts readings in order. Angles are taken modulo a full turn and are the
// same when they differ by less than a tenth of a degree. Repeats at a place
// are averaged; all further results use one value a place, so that a place
// read often does not count more.
//
//	s_r² = Σ_places Σ (x − x̄_place)² / Σ (n_place − 1)
//
// Source: derived here; pooling as in the NIST/SEMATECH e-Handbook, 2.4.4.
// Out-of-round is the largest less the smallest reading of a plane (of
// diameters when diameters are read): common practice, no source.
func Take(readings []Reading) (Survey, error) {
	if len(readings) == 0 {
		return Survey{}, say.Refuse("readings", "", msgNoReadings.With(), msgNeedsReadings.With(1))
	}
	var s Survey
	planeOrder := map[string]int{}
	type key struct {
		plane string
		step  int
	}
	groups := map[key][]int{}
	var keys []key
	for i, r := range readings {
		field := "readings[" + strconv.Itoa(i) + "]"
		if err := finite(field, r.Value.SI()); err != nil {
			return Survey{}, err
		}
		if err := finite(field+".angle", r.Angle.SI()); err != nil {
			return Survey{}, err
		}
		if _, known := planeOrder[r.Plane]; !known {
			planeOrder[r.Plane] = len(planeOrder)
			s.Planes = append(s.Planes, Plane{Name: r.Plane})
		}
		k := key{r.Plane, angleStep(r.Angle)}
		if groups[k] == nil {
			keys = append(keys, k)
		}
		groups[k] = append(groups[k], i)
	}
	sort.SliceStable(keys, func(a, b int) bool {
		if keys[a].plane != keys[b].plane {
			return planeOrder[keys[a].plane] < planeOrder[keys[b].plane]
		}
		return keys[a].step < keys[b].step
	})
	squares := 0.0
	for _, k := range keys {
		values := make([]float64, len(groups[k]))
		for j, i := range groups[k] {
			values[j] = readings[i].Value.SI()
		}
		mean, ss := meanAndSquares(values)
		first := readings[groups[k][0]]
		place := Place{Plane: k.plane, Angle: first.Angle, Mean: quantity.Length(mean), N: len(values), Ref: first.Ref}
		if len(values) > 1 {
			place.SD = quantity.Length(math.Sqrt(ss / float64(len(values)-1)))
			squares += ss
			s.RepeatDOF += float64(len(values) - 1)
		}
		s.Places = append(s.Places, place)
	}
	if s.RepeatDOF > 0 {
		s.Repeatability = quantity.Length(math.Sqrt(squares / s.RepeatDOF))
	}
	s.summarise(planeOrder)
	return s, nil
}

const angleSteps = 3600 // places in a full turn

func angleStep(a quantity.Angle) int {
	turn := a.SI() / (2 * math.Pi)
	step := int(math.Round((turn - math.Floor(turn)) * angleSteps))
	return step % angleSteps
}

func (s *Survey) summarise(planeOrder map[string]int) {
	total := 0.0
	s.Largest, s.Smallest = s.Places[0], s.Places[0]
	lows, highs := make([]float64, len(s.Planes)), make([]float64, len(s.Planes))
	for _, p := range s.Places {
		v := p.Mean.SI()
		total += v
		if p.Mean > s.Largest.Mean {
			s.Largest = p
		}
		if p.Mean < s.Smallest.Mean {
			s.Smallest = p
		}
		i := planeOrder[p.Plane]
		if s.Planes[i].Places == 0 {
			lows[i], highs[i] = v, v
		}
		lows[i], highs[i] = math.Min(lows[i], v), math.Max(highs[i], v)
		s.Planes[i].Mean += p.Mean
		s.Planes[i].Places++
	}
	s.Mean = quantity.Length(total / float64(len(s.Places)))
	s.Spread = s.Largest.Mean - s.Smallest.Mean
	least, most := math.Inf(1), math.Inf(-1)
	for i := range s.Planes {
		p := &s.Planes[i]
		p.Mean /= quantity.Length(p.Places)
		p.OutOfRound = quantity.Length(highs[i] - lows[i])
		s.OutOfRound = max(s.OutOfRound, p.OutOfRound)
		least, most = math.Min(least, p.Mean.SI()), math.Max(most, p.Mean.SI())
	}
	s.PlaneSpread = quantity.Length(most - least)
	s.Taper = s.Planes[len(s.Planes)-1].Mean - s.Planes[0].Mean
}

// Worst returns the place that is worn most.
func (s Survey) Worst(wear Wear) Place {
	if wear == Shrinks {
		return s.Smallest
	}
	return s.Largest
}

// Compare is the number of a survey that is held against a limit.
type Compare string

// Show prints the word in the language of a style.
func (v Compare) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v Compare) Message() say.Message { return say.Word("metrology", string(v)) }

// What can be compared with a limit.
const (
	CompareWorst      Compare = "worst"
	CompareMean       Compare = "mean"
	CompareTaper      Compare = "taper"
	CompareSpread     Compare = "spread"
	CompareOutOfRound Compare = "out of round"
)

// Number returns the number that meets a limit: the worst place, the mean, the
// taper without its sign, or the spread.
func (s Survey) Number(c Compare, wear Wear) (quantity.Length, error) {
	switch c {
	case CompareWorst:
		return s.Worst(wear).Mean, nil
	case CompareMean:
		return s.Mean, nil
	case CompareTaper:
		return s.PlaneSpread, nil
	case CompareSpread:
		return s.Spread, nil
	case CompareOutOfRound:
		return s.OutOfRound, nil
	}
	words := []string{string(CompareWorst), string(CompareMean), string(CompareTaper), string(CompareSpread), string(CompareOutOfRound)}
	return 0, say.Refuse("compare", string(c), msgCompareWord.With(), msgCompareAre.With(words))
}

// Harmonic is the once-a-turn part of radial readings.
type Harmonic struct {
	Amplitude quantity.Length // half of what a dial shows over a turn
	HighAngle quantity.Angle  // where the reading is highest, 0 … 2π
	Residual  quantity.Length // standard deviation of what is left
}

// FirstHarmonic fits x = x₀ + a cos θ + b sin θ to all places by least squares:
// for radii or gaps the amplitude is how far the centre has moved, toward
// HighAngle for a gap that is wide there. A diameter does not show it. Places
// at three angles or more. Source: derived here.
func (s Survey) FirstHarmonic() (Harmonic, error) {
	angles := map[int]bool{}
	var m [3][3]float64
	var right [3]float64
	for _, p := range s.Places {
		angles[angleStep(p.Angle)] = true
		row := [3]float64{1, math.Cos(p.Angle.SI()), math.Sin(p.Angle.SI())}
		for i := range row {
			for j := range row {
				m[i][j] += row[i] * row[j]
			}
			right[i] += row[i] * (p.Mean - s.Mean).SI()
		}
	}
	x, ok := solve3(m, right)
	if len(angles) < 3 || !ok {
		return Harmonic{}, say.Refuse("readings", strconv.Itoa(len(angles)), msgFewAngles.With(), msgNeedsReadings.With(3))
	}
	squares := 0.0
	for _, p := range s.Places {
		rest := (p.Mean - s.Mean).SI() - x[0] - x[1]*math.Cos(p.Angle.SI()) - x[2]*math.Sin(p.Angle.SI())
		squares += rest * rest
	}
	h := Harmonic{Amplitude: quantity.Length(math.Hypot(x[1], x[2]))}
	high := math.Atan2(x[2], x[1])
	if high < 0 {
		high += 2 * math.Pi
	}
	h.HighAngle = quantity.Angle(high)
	if free := len(s.Places) - 3; free > 0 {
		h.Residual = quantity.Length(math.Sqrt(squares / float64(free)))
	}
	return h, nil
}

// solve3 solves three linear equations with pivoting.
func solve3(m [3][3]float64, right [3]float64) ([3]float64, bool) {
	scale := m[0][0]
	for c := range 3 {
		pivot := c
		for r := c + 1; r < 3; r++ {
			if math.Abs(m[r][c]) > math.Abs(m[pivot][c]) {
				pivot = r
			}
		}
		m[c], m[pivot] = m[pivot], m[c]
		right[c], right[pivot] = right[pivot], right[c]
		if math.Abs(m[c][c]) <= 1e-9*scale {
			return right, false
		}
		for r := range 3 {
			if r == c {
				continue
			}
			f := m[r][c] / m[c][c]
			for k := c; k < 3; k++ {
				m[r][k] -= f * m[c][k]
			}
			right[r] -= f * right[c]
		}
	}
	for c := range 3 {
		right[c] /= m[c][c]
	}
	return right, true
}

// PlaceBudget returns the budget of one place: resolution and calibration of
// the instrument, how well a reading repeats (from the repeats of the survey,
// else as stated for the instrument) over √n, and further parts, for example
// the temperature. The spread over places is wear and stays out. Warnings say
// what is missing.
func (s Survey) PlaceBudget(p Place, instrument Instrument, further ...Part) (Budget, []say.Message) {
	b := Budget{Dimension: quantity.LengthDimension, Parts: instrument.parts()}
	var warnings []say.Message
	n := math.Max(1, float64(p.N))
	switch {
	case s.RepeatDOF > 0:
		b.Parts = append(b.Parts, Part{Name: "repeat", U: s.Repeatability.SI() / math.Sqrt(n), Sensitivity: 1, DOF: s.RepeatDOF})
	case instrument.Repeatability > 0:
		b.Parts = append(b.Parts, Part{Name: "repeat", U: instrument.Repeatability / math.Sqrt(n), Sensitivity: 1})
	default:
		warnings = append(warnings, msgNoRepeats.With())
	}
	b.Parts = append(b.Parts, further...)
	return b, warnings
}

// Working returns the tree of the mean over all places.
func (s Survey) Working() *working.Node {
	root := &working.Node{ID: "survey.mean", Name: msgPlaceMean.With(), Symbol: "x̄", Dimension: quantity.LengthDimension, Value: s.Mean.SI(),
		Equation: "x̄ = Σ x_place / n", Source: "derived here"}
	for i, p := range s.Places {
		ref := p.Ref
		if ref == "" {
			ref = "readings"
		}
		root.Inputs = append(root.Inputs, working.Leaf("survey.place."+strconv.Itoa(i), msgPlaceReading.With(p.Name()), "x", p.Mean, ref))
	}
	return root
}
