package main

import (
	"math"
	"math/rand/v2"

	"pumpwright/calc/gasket"
	"pumpwright/calc/quantity"
)

// All lengths of this program are in mm, as they are printed.

// What is true, and not what the solver is told.
const (
	lotShare        = 0.5    // of a kind's variance is common to its lot
	compressionOff  = 0.05   // paper compresses up to this much more or less than stated
	filmOff         = 0.01   // film likewise
	depthZero       = 0.003  // zero error of the depth micrometer, standard deviation
	depthNoise      = 0.006  // of one depth reading
	depthPlace      = 0.003  // a depth's place is not the true mean: three readings do not help
	dialZero        = 0.003  // zero error of the dial, with the push of the shaft
	dialNoise       = 0.005  // of one dial reading
	feelBias        = 0.004  // of a person's feel for a leaf
	feelNoise       = 0.004  // of one leaf
	micrometerZero  = 0.001  // of the micrometer for gaskets
	micrometerNoise = 0.002  // of one piece
	fixtureZero     = 0.002  // of the torqued fixture
	fixtureNoise    = 0.003  // of one stack in it
	fixtureLikeness = 0.005  // the joint compresses otherwise than the fixture, per mm of paper
	earlierJobs     = 10     // that a shop has learned from
	rebuildsPerShop = 10     // a shop keeps lots, instruments and people for so many
	standardGap     = -0.475 // without gaskets, of the pump for which the standard stack was made
	gapScatter      = 0.07   // of rebuilt pumps about it: skimmed heads, new rotors
	windowLow       = 0.08
	windowHigh      = 0.30
	narrow, wide    = 0.05, 0.08
	mostAssemblies  = 6
	feelerLeafStep  = 0.02
	thinnestLeaf    = 0.04
)

// What the solver is told.
const (
	statedDepthOnce   = 0.012 // clearance without gaskets, one reading of each depth
	statedDepthThrice = 0.0085
	statedDial        = 0.006
	statedFeel        = 0.005
	statedPiece       = 0.0025 // a piece under the micrometer
	statedFixture     = 0.0045
	statedCompression = 0.029 // ±0.05, rectangular
)

// shelf is the invented stock of every shop.
func shelf() []gasket.Kind {
	kind := func(name string, t, tolerance, compression float64, sealing bool, stock int) gasket.Kind {
		return gasket.Kind{Name: name, Thickness: mm(t), Tolerance: mm(tolerance), Compression: compression, Sealing: sealing, Stock: stock}
	}
	return []gasket.Kind{
		kind("paper 0.15", .15, .015, .08, true, 6),
		kind("paper 0.25", .25, .02, .08, true, 6),
		kind("paper 0.40", .40, .03, .08, true, 4),
		kind("film 0.05", .05, .005, 0, false, 6),
		kind("film 0.075", .075, .006, 0, false, 6),
		kind("film 0.125", .125, .008, 0, false, 4),
		kind("film 0.25", .25, .012, 0, false, 3),
	}
}

func mm(v float64) quantity.Length   { return quantity.Length(v * 1e-3) }
func sqrt(v float64) float64         { return math.Sqrt(v) }
func inMM(v quantity.Length) float64 { return float64(v) * 1e3 }

func estimate(v, u float64) *quantity.Estimate[quantity.Length] {
	e := quantity.Within(mm(v), u*1e-3)
	return &e
}

// shop is what stays the same over several rebuilds.
type shop struct {
	lot        []float64 // offset of each kind's lot, mm
	paper      float64   // compression beyond the stated one
	film       float64
	depthZero  float64
	dialZero   float64
	feel       float64
	micrometer float64
	fixture    float64
	learned    [2]learned // from earlier jobs: by printed thickness, by micrometer
}

type learned struct{ extra, u float64 }

func newShop(draw *rand.Rand) *shop {
	s := &shop{
		depthZero:  depthZero * draw.NormFloat64(),
		dialZero:   dialZero * draw.NormFloat64(),
		feel:       feelBias * draw.NormFloat64(),
		micrometer: micrometerZero * draw.NormFloat64(),
		fixture:    fixtureZero * draw.NormFloat64(),
	}
	s.receive(draw)
	return s
}

// receive fills the shelf with new lots.
func (s *shop) receive(draw *rand.Rand) {
	s.paper = compressionOff * (2*draw.Float64() - 1)
	s.film = filmOff * (2*draw.Float64() - 1)
	s.lot = nil
	for _, k := range shelf() {
		s.lot = append(s.lot, sqrt(lotShare)*inMM(k.Tolerance)/2*draw.NormFloat64())
	}
}

// job is one rebuild: its pump and its window.
type job struct {
	shop      *shop
	gap       float64 // true clearance without gaskets
	low, high float64
	draw      *rand.Rand // of readings and pieces
}

func newJob(s *shop, draw *rand.Rand) *job {
	j := &job{shop: s, draw: draw}
	j.gap = standardGap + j.normal(gapScatter)
	width := narrow + (wide-narrow)*draw.Float64()
	j.low = windowLow + (windowHigh-width-windowLow)*draw.Float64()
	j.high = j.low + width
	return j
}

func (j *job) middle() float64          { return (j.low + j.high) / 2 }
func (j *job) right(s float64) bool     { return s >= j.low && s <= j.high }
func (j *job) normal(u float64) float64 { return u * j.draw.NormFloat64() }

// piece is a real gasket.
type piece struct {
	kind int
	free float64 // true thickness
	read float64 // under the micrometer; 0: not measured
}

// take draws a piece of a kind from the shelf.
func (j *job) take(kind int) piece {
	k := shelf()[kind]
	own := sqrt(1-lotShare) * inMM(k.Tolerance) / 2
	return piece{kind: kind, free: inMM(k.Thickness) + j.shop.lot[kind] + j.normal(own)}
}

// compressed is the true thickness of a stack in the torqued joint.
func (j *job) compressed(stack []piece) float64 {
	sum := 0.0
	for _, p := range stack {
		sum += p.free * (1 - j.compression(p.kind))
	}
	return sum
}

func (j *job) compression(kind int) float64 {
	k := shelf()[kind]
	if k.Sealing {
		return k.Compression + j.shop.paper
	}
	return k.Compression + j.shop.film
}

func (j *job) clearance(stack []piece) float64 { return j.gap + j.compressed(stack) }

// depths reads the clearance without gaskets: casing depth − rotor height −
// boss, each so many times with one micrometer, whose zero error is left once.
func (j *job) depths(times int) float64 {
	error := -j.shop.depthZero
	for range 3 {
		error += j.normal(depthNoise/sqrt(float64(times))) + j.normal(depthPlace)
	}
	return j.gap + error
}

// dial reads the clearance of an assembled pump.
func (j *job) dial(s float64) float64 { return s + j.shop.dialZero + j.normal(dialNoise) }

// feeler tries leaves: the thickest that goes and the next one. ok is false
// when not even the thinnest goes.
func (j *job) feeler(s float64) (goes, noGo float64, ok bool) {
	noGo = thinnestLeaf
	for {
		if noGo > s+j.shop.feel+j.normal(feelNoise) {
			return goes, noGo, ok
		}
		goes, ok = noGo, true
		noGo += feelerLeafStep
	}
}

// fixtureReading measures a stack between two flat plates under torque.
func (j *job) fixtureReading(stack []piece) float64 {
	paper := 0.0
	for _, p := range stack {
		if shelf()[p.kind].Sealing {
			paper += p.free
		}
	}
	return j.compressed(stack) + j.shop.fixture + j.normal(fixtureNoise) + j.normal(fixtureLikeness)*paper
}
