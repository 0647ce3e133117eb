package seal

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// MachineCheck names one check of the machine before a seal goes in.
type MachineCheck string

// Show prints the word in the language of a style.
func (v MachineCheck) Show(s say.Style) string { return v.Message().Text(s) }

// Message returns the word as a message.
func (v MachineCheck) Message() say.Message { return say.Word("seal", string(v)) }

// The checks, all as total indicator readings.
const (
	ShaftRunout        MachineCheck = "shaft_runout"
	AxialFloat         MachineCheck = "axial_float"
	BoreConcentricity  MachineCheck = "bore_concentricity"
	ChamberSquareness  MachineCheck = "chamber_squareness"
	DeflectionAtFaces  MachineCheck = "deflection_at_faces"
	squarenessPerBore               = 0.5e-6 / 1e-3
	thousandth                      = 25.4e-6
	comparisonHairline              = 1e-9
)

// MachineLimit is the published limit of a check. Where two are published the
// stricter one counts and the other is shown.
type MachineLimit struct {
	Check  MachineCheck
	Limit  quantity.Length
	Other  quantity.Length // 0 = none
	Source string
}

const (
	knowPumps    = "Bachus and Custodio, Know and Understand Centrifugal Pumps, p. 223"
	fivePoint    = "five point check of a machine for seals, industrial monitoring page"
	twoThou      = "article on the origin of 0.002 inch; tests saw worse sealing above 0.003 in"
	apiChamber   = "API 610 and API 682, from memory: 0.5 µm per mm of bore"
	usualSquared = "five point check; API 610 allows 0.5 µm per mm of bore where the bore is known (from memory)"
)

var machineLimits = []MachineLimit{
	{Check: ShaftRunout, Limit: 0.050e-3, Other: 3 * thousandth, Source: fivePoint + "; " + knowPumps},
	{Check: AxialFloat, Limit: 3 * thousandth, Other: 0.100e-3, Source: knowPumps + "; " + fivePoint},
	{Check: BoreConcentricity, Limit: 0.125e-3, Source: fivePoint + "; API 610, from memory"},
	{Check: ChamberSquareness, Limit: 0.125e-3, Source: usualSquared},
	{Check: DeflectionAtFaces, Limit: 2 * thousandth, Other: 3 * thousandth, Source: twoThou},
}

var (
	msgNoCheck   = say.Define("seal.no_check", "this check is not known")
	msgChecksAre = say.Define("seal.checks_are", "the checks are {names}")
)

// LimitOf returns the published limit of a check.
func LimitOf(check MachineCheck) (MachineLimit, error) {
	names := make([]string, len(machineLimits))
	for i, l := range machineLimits {
		if l.Check == check {
			return l, nil
		}
		names[i] = string(l.Check)
	}
	return MachineLimit{}, say.Refuse("check", string(check), msgNoCheck.With(), msgChecksAre.With(names))
}

// SquarenessLimit returns the limit of the squareness of a seal chamber face
// to the shaft, 0.5 µm per mm of bore.
// Source: API 610 and API 682, from memory.
func SquarenessLimit(bore quantity.Length) (MachineLimit, error) {
	if err := aboveZero("bore", bore); err != nil {
		return MachineLimit{}, err
	}
	return MachineLimit{Check: ChamberSquareness, Limit: squarenessPerBore * bore, Source: apiChamber}, nil
}

// MachineVerdict is one check against its limit.
type MachineVerdict struct {
	MachineLimit
	Reading quantity.Length
	Within  bool
}

// CheckMachine judges a total indicator reading. bore sharpens the squareness
// limit; 0 means that it is not known.
// Errors: *say.Problem naming check or reading.
func CheckMachine(check MachineCheck, reading, bore quantity.Length) (MachineVerdict, error) {
	limit, err := LimitOf(check)
	if err != nil {
		return MachineVerdict{}, err
	}
	if check == ChamberSquareness && bore != 0 {
		if limit, err = SquarenessLimit(bore); err != nil {
			return MachineVerdict{}, err
		}
	}
	if v := reading.SI(); !(v >= 0) || math.IsInf(v, 1) {
		return MachineVerdict{}, say.Refuse("reading", reading.String(), msgNotBelow.With(), say.Message{})
	}
	return MachineVerdict{MachineLimit: limit, Reading: reading, Within: reading <= limit.Limit+comparisonHairline}, nil
}
