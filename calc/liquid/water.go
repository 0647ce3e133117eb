package liquid

import (
	"fmt"
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/say"
)

var (
	msgWaterRange    = say.Define("liquid.water_range", "{temperature:temperature} is outside the range of the water formulation")
	msgWaterAccepted = say.Define("liquid.water_accepted", "liquid water from {low:temperature} to {high:temperature}")
	msgSteam         = say.Define("liquid.steam", "at {pressure:absolute_pressure} water is steam at this temperature; it boils below {vapor:absolute_pressure}")
	msgHighPressure  = say.Define("liquid.high_pressure", "the pressure is above 100 MPa")
	msgRaisePressure = say.Define("liquid.raise_pressure", "give a pressure from the vapour pressure to 100 MPa, or none")
	msgBoilsOpen     = say.Define("liquid.boils_open",
		"water boils at this temperature under atmospheric pressure; the values are those at its vapour pressure {vapor:absolute_pressure}")
)

// Range of temperature of IAPWS-IF97 region 1.
const (
	waterColdest quantity.Temperature = 273.15
	waterHottest quantity.Temperature = 623.15
)

const (
	waterGasConstant = 461.526 // J/(kg·K), IAPWS-IF97
	waterMostPa      = 100e6   // Pa
	waterCritical    = 647.096 // K
	waterCriticalRho = 322.0   // kg/m3
)

// waterRegion1 holds the exponents I, J and the coefficients n of IAPWS-IF97,
// table 2.
var waterRegion1 = [34]struct {
	i, j int
	n    float64
}{
	{0, -2, 0.14632971213167}, {0, -1, -0.84548187169114}, {0, 0, -0.37563603672040e1},
	{0, 1, 0.33855169168385e1}, {0, 2, -0.95791963387872}, {0, 3, 0.15772038513228},
	{0, 4, -0.16616417199501e-1}, {0, 5, 0.81214629983568e-3}, {1, -9, 0.28319080123804e-3},
	{1, -7, -0.60706301565874e-3}, {1, -1, -0.18990068218419e-1}, {1, 0, -0.32529748770505e-1},
	{1, 1, -0.21841717175414e-1}, {1, 3, -0.52838357969930e-4}, {2, -3, -0.47184321073267e-3},
	{2, 0, -0.30001780793026e-3}, {2, 1, 0.47661393906987e-4}, {2, 3, -0.44141845330846e-5},
	{2, 17, -0.72694996297594e-15}, {3, -4, -0.31679644845054e-4}, {3, 0, -0.28270797985312e-5},
	{3, 6, -0.85205128120103e-9}, {4, -5, -0.22425281908000e-5}, {4, -2, -0.65171222895601e-6},
	{4, 10, -0.14341729937924e-12}, {5, -8, -0.40516996860117e-6}, {8, -11, -0.12734301741641e-8},
	{8, -6, -0.17424871230634e-9}, {21, -29, -0.68762131295531e-18}, {23, -31, 0.14478307828521e-19},
	{29, -38, 0.26335781662795e-22}, {30, -39, -0.11947622640071e-22}, {31, -40, 0.18228094581404e-23},
	{32, -41, -0.93537087292458e-25},
}

// waterRegion4 holds the coefficients n₁ … n₁₀ of IAPWS-IF97, table 34.
var waterRegion4 = [10]float64{
	0.11670521452767e4, -0.72421316703206e6, -0.17073846940092e2, 0.12020824702470e5, -0.32325550322333e7,
	0.14915108613530e2, -0.48232657361591e4, 0.40511340542057e6, -0.23855557567849, 0.65017534844798e3,
}

// waterViscosityH holds H_ij of IAPWS R12-08, table 2: [i][j].
var waterViscosityH = [6][7]float64{
	{5.20094e-1, 2.22531e-1, -2.81378e-1, 1.61913e-1, -3.25372e-2, 0, 0},
	{8.50895e-2, 9.99115e-1, -9.06851e-1, 2.57399e-1, 0, 0, 0},
	{-1.08374, 1.88797, -7.72479e-1, 0, 0, 0, 0},
	{-2.89555e-1, 1.26613, -4.89837e-1, 0, 6.98452e-2, 0, -4.35673e-3},
	{0, 0, -2.57040e-1, 0, 0, 8.72102e-3, 0},
	{0, 1.20573e-1, 0, 0, 0, 0, -5.93264e-4},
}

// WaterVaporPressure returns the saturation pressure of water.
//
//	β from the quadratic of IAPWS-IF97, equation 30: p_s = [2C/(−B + √(B² − 4AC))]⁴ MPa
//
// Valid 273.15 K to 623.15 K here (the equation itself to the critical point);
// outside a say.Problem. Source: IAPWS-IF97, region 4.
func WaterVaporPressure(t quantity.Temperature) (quantity.AbsolutePressure, error) {
	if err := waterTemperature(t); err != nil {
		return 0, err
	}
	n := &waterRegion4
	theta := t.SI() + n[8]/(t.SI()-n[9])
	a := theta*theta + n[0]*theta + n[1]
	b := n[2]*theta*theta + n[3]*theta + n[4]
	c := n[5]*theta*theta + n[6]*theta + n[7]
	root := 2 * c / (-b + math.Sqrt(b*b-4*a*c))
	return quantity.AbsolutePressure(root * root * root * root * 1e6), nil
}

// WaterDensity returns the density of liquid water.
//
//	v = (R T/p) π γ_π,  γ_π = −Σ n I (7.1 − π)^(I−1) (τ − 1.222)^J
//	π = p/16.53 MPa, τ = 1386 K/T
//
// Valid 273.15 K to 623.15 K, from the vapour pressure to 100 MPa; outside a
// say.Problem. Source: IAPWS-IF97, region 1.
func WaterDensity(t quantity.Temperature, p quantity.AbsolutePressure) (quantity.Density, error) {
	if err := waterState(t, p); err != nil {
		return 0, err
	}
	pi, tau := p.SI()/16.53e6, 1386/t.SI()
	var slope float64
	for _, term := range waterRegion1 {
		if term.i > 0 {
			slope -= term.n * float64(term.i) * power(7.1-pi, term.i-1) * power(tau-1.222, term.j)
		}
	}
	return quantity.Density(16.53e6 / (waterGasConstant * t.SI() * slope)), nil
}

// WaterViscosity returns the dynamic viscosity of water at a temperature and a
// density, without the enhancement near the critical point.
//
//	μ = μ₀(T) μ₁(T, ρ) 1e-6 Pa·s,  T̄ = T/647.096 K, ρ̄ = ρ/322 kg/m³
//	μ₀ = 100 √T̄ / Σ H_i/T̄^i
//	μ₁ = exp[ρ̄ Σ (1/T̄ − 1)^i Σ H_ij (ρ̄ − 1)^j]
//
// Valid for liquid water and steam from 273.15 K to 1173 K, and densities up
// to 1200 kg/m³. Source: IAPWS R12-08, equations 11 and 12.
func WaterViscosity(t quantity.Temperature, density quantity.Density) (quantity.DynamicViscosity, error) {
	if !(t.SI() >= 273.15 && t.SI() <= 1173.15) {
		return 0, say.Refuse("temperature", "", msgWaterRange.With(t), msgWaterAccepted.With(waterColdest, quantity.Temperature(1173.15)))
	}
	if err := positive("density", density.SI()); err != nil {
		return 0, err
	}
	tr, rho := t.SI()/waterCritical, density.SI()/waterCriticalRho
	dilute := 100 * math.Sqrt(tr) / (1.67752 + 2.20462/tr + 0.6366564/(tr*tr) - 0.241605/(tr*tr*tr))
	var sum float64
	for i := 5; i >= 0; i-- {
		var inner float64
		for j := 6; j >= 0; j-- {
			inner = inner*(rho-1) + waterViscosityH[i][j]
		}
		sum = sum*(1/tr-1) + inner
	}
	return quantity.DynamicViscosity(1e-6 * dilute * math.Exp(rho*sum)), nil
}

// Water is what the IAPWS formulations say of liquid water at a temperature
// and a pressure.
type Water struct {
	Temperature   quantity.Temperature
	Pressure      quantity.AbsolutePressure
	Density       quantity.Density
	Dynamic       quantity.DynamicViscosity
	Kinematic     quantity.KinematicViscosity
	VaporPressure quantity.AbsolutePressure
	Warnings      []say.Message
}

// WaterAt returns the properties of liquid water. A nil pressure means
// atmospheric pressure (101325 Pa), or the vapour pressure where that is
// higher, with a warning. A pressure below the vapour pressure is refused: it
// would be steam.
func WaterAt(t quantity.Temperature, pressure *quantity.AbsolutePressure) (*Water, error) {
	vapor, err := WaterVaporPressure(t)
	if err != nil {
		return nil, err
	}
	w := &Water{Temperature: t, VaporPressure: vapor, Pressure: quantity.StandardAtmosphere}
	switch {
	case pressure != nil:
		w.Pressure = *pressure
	case vapor > quantity.StandardAtmosphere:
		w.Pressure = vapor
		w.Warnings = append(w.Warnings, msgBoilsOpen.With(vapor))
	}
	if w.Density, err = WaterDensity(t, w.Pressure); err != nil {
		return nil, err
	}
	if w.Dynamic, err = WaterViscosity(t, w.Density); err != nil {
		return nil, err
	}
	w.Kinematic = quantity.KinematicViscosity(w.Dynamic.SI() / w.Density.SI())
	return w, nil
}

func waterTemperature(t quantity.Temperature) error {
	if !(t >= waterColdest && t <= waterHottest) {
		return say.Refuse("temperature", "", msgWaterRange.With(t), msgWaterAccepted.With(waterColdest, waterHottest))
	}
	return nil
}

func waterState(t quantity.Temperature, p quantity.AbsolutePressure) error {
	vapor, err := WaterVaporPressure(t)
	if err != nil {
		return err
	}
	if err := positive("pressure", p.SI()); err != nil {
		return err
	}
	if p.SI() < vapor.SI()*(1-1e-9) {
		return say.Refuse("pressure", fmt.Sprint(p), msgSteam.With(p, vapor), msgRaisePressure.With())
	}
	if p.SI() > waterMostPa {
		return say.Refuse("pressure", fmt.Sprint(p), msgHighPressure.With(), msgRaisePressure.With())
	}
	return nil
}

// power is x to a whole power.
func power(x float64, n int) float64 {
	if n < 0 {
		return 1 / power(x, -n)
	}
	result := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			result *= x
		}
		x *= x
	}
	return result
}
