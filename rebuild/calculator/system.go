package calculator

import (
	"math"

	"pumpwright/calc/quantity"
	"pumpwright/calc/relief"
	"pumpwright/calc/say"
	"pumpwright/calc/suction"
)

// systemCalculators are those of the pump's place in its system.
func systemCalculators() []Calculator {
	return []Calculator{suctionCalculator(), reliefValveCalculator()}
}

type suctionIn struct {
	SurfacePressure quantity.AbsolutePressure    `json:"surface_pressure" default:"101325 Pa" pressure:"absolute" help:"absolute pressure on the liquid in the tank"`
	StaticHead      quantity.Length              `json:"static_head" help:"level of the liquid above the pump, negative when the pump lifts"`
	Flow            quantity.Flow                `json:"flow" help:"flow through the line"`
	Bore            quantity.Length              `json:"bore" help:"bore of the pipe"`
	Length          quantity.Length              `json:"length" help:"length of pipe"`
	Roughness       quantity.Length              `json:"roughness" default:"0.0457 mm" help:"roughness of the pipe wall (new commercial steel 0.0457 mm)"`
	FittingsK       float64                      `json:"fittings_k" help:"sum of the loss coefficients of entrance, bends, valves and strainer"`
	Viscosity       Any                          `json:"viscosity" help:"viscosity at the coldest pumping temperature, kinematic or dynamic"`
	Density         quantity.Density             `json:"density" help:"density of the liquid"`
	VaporPressure   quantity.AbsolutePressure    `json:"vapor_pressure" pressure:"absolute" help:"vapour pressure at the hottest pumping temperature"`
	DissolvedAir    quantity.PressureDifference  `json:"dissolved_air" default:"0" help:"allowance for air or gas that comes out of solution above the vapour pressure"`
	Required        *quantity.PressureDifference `json:"required" help:"net positive inlet pressure that the pump requires, from its maker's curve"`
	Displacement    *quantity.Displacement       `json:"displacement" help:"displacement of the pump, for the speed at which it fails"`
	Liquid          *LiquidInput                 `json:"liquid" help:"liquid (name, file or its fields), for the temperatures at which the pump fails; viscosity, density and vapour pressure above stay those of the duty"`
}

type suctionOut struct {
	Velocity        quantity.Speed               `json:"velocity" help:"velocity in the pipe"`
	Reynolds        float64                      `json:"reynolds" help:"Reynolds number of the pipe flow"`
	FrictionFactor  float64                      `json:"friction_factor" help:"friction factor (Darcy)"`
	PipeLoss        quantity.PressureDifference  `json:"pipe_loss" help:"pressure lost in the pipe"`
	FittingsLoss    quantity.PressureDifference  `json:"fittings_loss" help:"pressure lost in the fittings"`
	InletPressure   quantity.AbsolutePressure    `json:"inlet_pressure" help:"absolute total pressure at the pump's inlet"`
	Available       quantity.PressureDifference  `json:"available" help:"net positive inlet pressure available: total pressure at the inlet less vapour pressure and air allowance"`
	AvailableStatic quantity.PressureDifference  `json:"available_static" help:"the same without the velocity head: what a gauge on the flange shows"`
	Margin          *quantity.PressureDifference `json:"margin" help:"available less required"`
	MostFlow        *quantity.Flow               `json:"most_flow" help:"flow at which the margin is used up, all else held"`
	MostViscosity   *quantity.DynamicViscosity   `json:"most_viscosity" help:"dynamic viscosity at which the margin is used up, all else held"`
	MostSpeed       *quantity.RotationalSpeed    `json:"most_speed" help:"speed at which the margin is used up, slip left out; needs the displacement"`
	Coldest         *quantity.Temperature        `json:"coldest" help:"below this temperature the liquid is too thick; absent where the range of the liquid ends first"`
	Hottest         *quantity.Temperature        `json:"hottest" help:"above this temperature the liquid boils in the line; absent where the range of the liquid ends first"`
}

var msgVaporHeld = say.Define("calculator.vapor_held",
	"the vapour pressure of the liquid is not known all over its range; {pressure:absolute_pressure} is used where it is missing")

var msgSuctionCaution = say.Define("calculator.suction_caution",
	"the pump's own required inlet pressure, from its maker, decides; it rises with speed and viscosity")

func suctionCalculator() Calculator {
	return Define("suction", "Does the pump get its liquid?",
		`static_head: 1.5 m
flow: 10 m3/h
bore: 77.9 mm
length: 6 m
fittings_k: 2
viscosity: 2054 mm2/s
density: 900 kg/m3
vapor_pressure: 10 Pa
required: 40 kPa
`, func(env *Env, in suctionIn) (suctionOut, Notes, error) {
			viscosity, err := dynamicOf(in.Viscosity, in.Density)
			if err != nil {
				return suctionOut{}, Notes{}, err
			}
			line := suction.Line{SurfacePressure: in.SurfacePressure, StaticHead: in.StaticHead, Flow: in.Flow, Bore: in.Bore, Length: in.Length,
				Roughness: in.Roughness, FittingsK: in.FittingsK, Viscosity: viscosity, Density: in.Density,
				VaporPressure: in.VaporPressure, DissolvedAir: in.DissolvedAir, Required: in.Required}
			r, err := suction.At(line)
			if err != nil {
				return suctionOut{}, Notes{}, err
			}
			out := suctionOut{Velocity: r.Velocity, Reynolds: r.Reynolds, FrictionFactor: r.FrictionFactor, PipeLoss: r.PipeLoss, FittingsLoss: r.FittingsLoss,
				InletPressure: r.InletPressure, Available: r.Available, AvailableStatic: r.AvailableStatic, Margin: r.Margin}
			if flow, err := suction.MostFlow(line, nil); err == nil {
				out.MostFlow = &flow
			}
			if mu, err := suction.MostViscosity(line); err == nil {
				out.MostViscosity = &mu
			}
			notes := Notes{Warnings: r.Warnings, Cautions: []say.Message{msgSuctionCaution.With()}, Working: r.Working(), OutsideRange: r.OutsideRange || r.Available < 0}
			if d := in.Displacement; d != nil {
				if !(*d > 0) {
					return suctionOut{}, Notes{}, say.Refuse("displacement", d.String(), msgMustBePositive.With(), msgPositiveWanted.With())
				}
				if out.MostFlow != nil {
					speed := quantity.RotationalSpeed(2 * math.Pi * out.MostFlow.SI() / d.SI())
					out.MostSpeed = &speed
				}
			}
			if in.Liquid != nil {
				if err := suctionTemperatures(env, *in.Liquid, line, &out, &notes); err != nil {
					return suctionOut{}, Notes{}, err
				}
			}
			return out, notes, nil
		})
}

// suctionReach is how far a petroleum liquid is followed beyond its points.
// Convention of this program, no source.
const suctionReach = 60

// suctionTemperatures finds the temperatures between which the line feeds the
// pump with a liquid.
func suctionTemperatures(env *Env, given LiquidInput, line suction.Line, out *suctionOut, notes *Notes) error {
	l, err := given.read(env)
	if err != nil {
		return err
	}
	low, high := l.Range()
	if l.Line() != nil {
		low, high = low-suctionReach, high+suctionReach
	}
	if l.PourPoint != nil {
		low = max(low, *l.PourPoint)
	}
	if l.BoilingPoint != nil {
		high = min(high, *l.BoilingPoint)
	}
	vaporUnknown := false
	w, err := suction.TemperatureWindow(line, func(t quantity.Temperature) (quantity.Density, quantity.DynamicViscosity, quantity.AbsolutePressure, error) {
		state, err := l.At(t)
		if err != nil {
			return 0, 0, 0, err
		}
		vapor := line.VaporPressure
		if state.VaporPressure != nil {
			vapor = *state.VaporPressure
		} else {
			vaporUnknown = true
		}
		return state.Density, state.Dynamic, vapor, nil
	}, low, high)
	if vaporUnknown {
		notes.Warn(msgVaporHeld.With(line.VaporPressure))
	}
	if p := say.AsProblem(err); p != nil {
		notes.Warn(p.Message)
		return nil
	} else if err != nil {
		return err
	}
	if !w.OpenLow {
		out.Coldest = &w.Low
	}
	if !w.OpenHigh {
		out.Hottest = &w.High
	}
	return nil
}

// dynamicOf reads a viscosity that may be kinematic.
func dynamicOf(given Any, density quantity.Density) (quantity.DynamicViscosity, error) {
	if mu, err := given.As(quantity.DynamicViscosityDimension); err == nil {
		return quantity.DynamicViscosity(mu.SI), nil
	}
	nu, err := given.As(quantity.KinematicViscosityDimension)
	if err != nil {
		return 0, say.Refuse("viscosity", given.Text, msgKindViscosity.With(), msgWriteViscous.With())
	}
	return quantity.DynamicViscosity(nu.SI * density.SI()), nil
}

type reliefValveIn struct {
	Set         quantity.PressureDifference  `json:"set" help:"pressure to which the valve is adjusted"`
	Crack       quantity.PressureDifference  `json:"crack" help:"pressure at which it begins to pass"`
	FullBypass  *quantity.PressureDifference `json:"full_bypass" help:"pressure at which it passes the whole flow (1.10 times the set pressure is assumed when missing)"`
	Reseat      *quantity.PressureDifference `json:"reseat" help:"pressure at which it has closed again"`
	Working     quantity.PressureDifference  `json:"working_pressure" help:"highest pressure difference at which the pump works"`
	CasingLimit quantity.PressureDifference  `json:"casing_limit" help:"pressure that casing and pipe are allowed"`
	DriveLimit  quantity.PressureDifference  `json:"drive_limit" help:"pressure at which the drive reaches its rating"`
}

type reliefValveOut struct {
	Margin     quantity.PressureDifference `json:"margin" help:"opening pressure less working pressure"`
	Passes     bool                        `json:"passes_at_working" help:"it passes at working pressure, a leak of its own"`
	FullBypass quantity.PressureDifference `json:"full_bypass" help:"pressure at full bypass, as given or assumed"`
	Accepted   bool                        `json:"accepted" help:"it stays shut at work and opens fully within the limits"`
	Reasons    []say.Message               `json:"reasons" help:"why"`
}

var msgReliefCaution = say.Define("calculator.relief_caution",
	"a relief valve protects people: adjust and prove it as its maker and the local rules say, by those licensed to do so; never block it")

func reliefValveCalculator() Calculator {
	return Define("relief-valve", "Does the relief valve stay shut at work and open in time?",
		`set: 10 bar
crack: 9.2 bar
full_bypass: 11 bar
reseat: 8.6 bar
working_pressure: 8 bar
casing_limit: 16 bar
drive_limit: 12 bar
`, func(_ *Env, in reliefValveIn) (reliefValveOut, Notes, error) {
			r, err := relief.Judge(relief.Valve{Set: in.Set, Crack: in.Crack, FullBypass: in.FullBypass, Reseat: in.Reseat,
				Working: in.Working, CasingLimit: in.CasingLimit, DriveLimit: in.DriveLimit})
			if err != nil {
				return reliefValveOut{}, Notes{}, err
			}
			return reliefValveOut{Margin: r.Margin, Passes: r.Passes, FullBypass: r.FullBypass, Accepted: r.Accepted, Reasons: r.Reasons},
				Notes{Warnings: r.Warnings, Cautions: []say.Message{msgReliefCaution.With()}, Working: r.Working()}, nil
		})
}
