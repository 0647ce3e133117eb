package fit

import (
	"math"

	"pumpwright/calc/material"
	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

// PressInput is a sleeve (or a solid pin) in a housing.
type PressInput struct {
	MatingDiameter quantity.Length // where the two touch
	Interference   quantity.Length // diametral, at bench temperature
	SleeveBore     quantity.Length // 0 = solid
	HousingOuter   quantity.Length // used unless HousingLarge
	HousingLarge   bool            // the housing is many times larger than the sleeve
	Length         quantity.Length // engaged; 0 = not given, then there is no force
	Sleeve         material.Material
	Housing        material.Material
	Friction       float64              // coefficient while pressing
	Bench          quantity.Temperature // temperature of both parts when measured and pressed
	Service        quantity.Temperature // temperature of both parts in service; 0 = not given
}

// State is the fit at one temperature.
type State struct {
	Temperature         quantity.Temperature
	Interference        quantity.Length // signed: below zero the parts are loose
	ContactPressure     quantity.Stress // 0 when loose
	BoreClosure         quantity.Length // diametral, 0 when loose or solid
	HousingHoop         quantity.Stress // at the mating diameter, tension positive
	SleeveHoopInterface quantity.Stress
	SleeveHoopBore      quantity.Stress // 0 for a solid part
	HousingGrowth       quantity.Length // of the mating bore, diametral

}

// StrokePoint is the press force when a part of the length is in.
type StrokePoint struct {
	Engaged quantity.Length
	Force   quantity.Force
}

// PressResult is the answer to a PressInput.
type PressResult struct {
	Input PressInput
	Cold  State
	Hot   *State // nil without a service temperature

	PressForce     quantity.Force // at the end of the stroke
	Stroke         []StrokePoint
	PressCapacity  quantity.Force // press to take: force with the margin pressMargin
	BoreAfterPress quantity.Length
	BoreHot        quantity.Length // as pressed, in service
	BoreHotReamed  quantity.Length // in service, when reamed to SleeveBore after pressing

	// LooseTemperatureRise is the signed rise above bench temperature at which
	// the interference is gone; nil when the expansions are equal.
	LooseTemperatureRise *quantity.TemperatureDifference

	Judged   bool // a strength was known on either side
	Accepted bool // no stress is over the strength of its material
	Warnings []say.Message
	Cautions []say.Message
}

// pressMargin is the capacity of the press over the computed force: common
// practice, no source.
const pressMargin = 1.5

// Press computes a press fit cold and hot.
//
//	p = δ / { d [ ((D²+d²)/(D²−d²) + ν_h)/E_h + ((d²+d_i²)/(d²−d_i²) − ν_s)/E_s ] }
//
//	closure of the sleeve bore   2 p d_i d² / (E_s (d² − d_i²))
//	hoop, housing at d           p (D²+d²)/(D²−d²)
//	hoop, sleeve at d            −p (d²+d_i²)/(d²−d_i²)
//	hoop, sleeve at its bore     −2 p d²/(d²−d_i²)
//	press force                  F = π d L p µ
//	interference in service      δ + (α_s − α_h) d ΔT
//	loose at                     ΔT = δ/((α_h − α_s) d)
//
//	d     mating diameter       m    > 0
//	δ     diametral interference m   > 0, below 2 % of d
//	d_i   sleeve bore           m    0 (solid) … below d
//	D     housing outside       m    above d, or very large
//	µ     friction              –    > 0 … 1
//
// Valid: elastic, parts of equal length, both parts at one temperature. A
// stress over the strength of its material makes Accepted false: past yield
// or crushing the numbers no longer hold.
// Errors: a Problem naming the field.
// Source: Lamé rings in plane stress, Ugural and Fenster, Advanced Strength
// and Applied Elasticity, ch. 8.
// Checked by: TestPressCases, TestTextbookPress.
func Press(in PressInput) (PressResult, error) {
	sleeve, housing, err := checkPress(in)
	if err != nil {
		return PressResult{}, err
	}
	r := PressResult{Input: in, Accepted: true}
	r.Cold = stateAt(in.Bench, float64(in.Interference), float64(in.MatingDiameter), sleeve, housing)
	r.BoreAfterPress = in.SleeveBore - r.Cold.BoreClosure
	if in.Length > 0 {
		r.setForce()
	}
	if err := r.setHot(sleeve, housing); err != nil {
		return PressResult{}, err
	}
	r.judge()
	r.caution()
	return r, nil
}

func checkPress(in PressInput) (sleeve, housing ring, err error) {
	d := float64(in.MatingDiameter)
	largest := float64(in.HousingOuter)
	if in.HousingLarge {
		largest = math.Inf(1)
	}
	switch {
	case !(d > 0) || math.IsInf(d, 0):
		return ring{}, ring{}, say.Refuse("mating_diameter", in.MatingDiameter.String(), msgNotPositive.With(), say.Message{})
	case !(in.Interference > 0):
		return ring{}, ring{}, say.Refuse("interference", in.Interference.String(), msgNoInterference.With(), msgInterferenceIs.With())
	case !(float64(in.Interference) < 0.02*d):
		return ring{}, ring{}, say.Refuse("interference", in.Interference.String(), msgTooMuch.With(in.MatingDiameter), msgInterferenceIs.With())
	case !(in.SleeveBore >= 0) || !(float64(in.SleeveBore) < d):
		return ring{}, ring{}, say.Refuse("sleeve_bore", in.SleeveBore.String(), msgBore.With(in.MatingDiameter), msgBoreIs.With())
	case !(largest > d):
		return ring{}, ring{}, say.Refuse("housing_outer", in.HousingOuter.String(), msgHousing.With(in.MatingDiameter), msgHousingIs.With())
	case !(in.Length >= 0) || math.IsInf(float64(in.Length), 0):
		return ring{}, ring{}, say.Refuse("length", in.Length.String(), msgNotPositive.With(), say.Message{})
	case !(in.Friction > 0 && in.Friction <= 1):
		return ring{}, ring{}, say.Refuse("friction", quantity.Show(quantity.NoDimension, in.Friction, say.Style{}), msgFriction.With(), msgFrictionIs.With())
	case !(in.Bench > 0):
		return ring{}, ring{}, say.Refuse("bench_temperature", in.Bench.String(), msgNotPositive.With(), say.Message{})
	}
	sleeve.far, housing.far = float64(in.SleeveBore), largest
	modulus, poisson, err := in.Sleeve.Elastic()
	if err != nil {
		return ring{}, ring{}, say.In("sleeve_material", err)
	}
	sleeve.modulus, sleeve.poisson = float64(modulus), poisson
	if modulus, poisson, err = in.Housing.Elastic(); err != nil {
		return ring{}, ring{}, say.In("housing_material", err)
	}
	housing.modulus, housing.poisson = float64(modulus), poisson
	return sleeve, housing, nil
}

// stateAt solves the two rings for an interference.
func stateAt(t quantity.Temperature, interference, d float64, sleeve, housing ring) State {
	s := State{Temperature: t, Interference: quantity.Length(interference)}
	if interference <= 0 {
		return s
	}
	p := interference / (d * (housing.housing(d) + sleeve.sleeve(d)))
	s.ContactPressure = quantity.Stress(p)
	s.HousingHoop = quantity.Stress(p * hoopFactor(d, housing.far))
	s.SleeveHoopInterface = quantity.Stress(-p * hoopFactor(sleeve.far, d))
	s.HousingGrowth = quantity.Length(p * d * housing.housing(d))
	if di := sleeve.far; di > 0 {
		bore := 2 * p * d * d / (d*d - di*di)
		s.SleeveHoopBore = quantity.Stress(-bore)
		s.BoreClosure = quantity.Length(bore * di / sleeve.modulus)
	}
	return s
}

func (r *PressResult) setForce() {
	in := r.Input
	full := math.Pi * float64(in.MatingDiameter) * float64(in.Length) * float64(r.Cold.ContactPressure) * in.Friction
	r.PressForce = quantity.Force(full)
	r.PressCapacity = quantity.Force(pressMargin * full)
	for _, share := range []float64{0.1, 0.25, 0.5, 0.75, 1} {
		r.Stroke = append(r.Stroke, StrokePoint{in.Length * quantity.Length(share), quantity.Force(full * share)})
	}
}

func (r *PressResult) setHot(sleeve, housing ring) error {
	in := r.Input
	alphaSleeve, errSleeve := in.Sleeve.ThermalExpansion()
	alphaHousing, errHousing := in.Housing.ThermalExpansion()
	if errSleeve == nil && errHousing == nil && alphaSleeve != alphaHousing {
		rise := quantity.TemperatureDifference(float64(in.Interference) / (float64(alphaHousing-alphaSleeve) * float64(in.MatingDiameter)))
		r.LooseTemperatureRise = &rise
	}
	if in.Service == 0 {
		return nil
	}
	if !(in.Service > 0) || math.IsInf(float64(in.Service), 0) {
		return say.Refuse("service_temperature", in.Service.String(), msgNotPositive.With(), say.Message{})
	}
	if errSleeve != nil {
		return say.In("sleeve_material", errSleeve)
	}
	if errHousing != nil {
		return say.In("housing_material", errHousing)
	}
	rise := float64(in.Service - in.Bench)
	interference := float64(in.Interference) + float64(alphaSleeve-alphaHousing)*float64(in.MatingDiameter)*rise
	hot := stateAt(in.Service, interference, float64(in.MatingDiameter), sleeve, housing)
	r.Hot = &hot
	growth := quantity.Length(float64(in.SleeveBore) * float64(alphaSleeve) * rise)
	r.BoreHot = in.SleeveBore + growth - hot.BoreClosure
	r.BoreHotReamed = in.SleeveBore + growth - (hot.BoreClosure - r.Cold.BoreClosure)
	return nil
}

// InterferenceFor returns the diametral interference that makes a contact
// pressure, the inverse of Press.
func InterferenceFor(in PressInput, pressure quantity.Stress) (quantity.Length, error) {
	if !(pressure > 0) || math.IsInf(float64(pressure), 0) {
		return 0, say.Refuse("contact_pressure", pressure.String(), msgNotPositive.With(), say.Message{})
	}
	in.Interference = in.MatingDiameter / 1000 // any valid value: only the compliance is used
	sleeve, housing, err := checkPress(in)
	if err != nil {
		return 0, err
	}
	d := float64(in.MatingDiameter)
	return quantity.Length(float64(pressure) * d * (housing.housing(d) + sleeve.sleeve(d))), nil
}
