package sheet

import (
	"pumpwright/calc/quantity"
)

// Service is what a pump is asked to do, and where.
type Service struct {
	Name        string                               `json:"name" optional:"yes" help:"what people call this service"`
	Invented    bool                                 `json:"invented" optional:"yes" help:"true when there is no such service"`
	Liquid      any                                  `json:"liquid" optional:"yes" help:"name of a liquid, or its data"`
	Hazards     []string                             `json:"hazards" optional:"yes" help:"what the liquid can do to people: hot, flammable, toxic, corrosive …"`
	Temperature *Number[quantity.Temperature]        `json:"temperature" help:"normal pumping temperature"`
	Lowest      *Number[quantity.Temperature]        `json:"lowest_temperature" help:"temperature at the coldest start"`
	Highest     *Number[quantity.Temperature]        `json:"highest_temperature" help:"highest pumping temperature"`
	Ambient     *Number[quantity.Temperature]        `json:"ambient" help:"temperature of the surroundings (20 °C when missing)"`
	Pressure    *Number[quantity.PressureDifference] `json:"pressure" help:"discharge minus suction pressure"`
	Speed       *Number[quantity.RotationalSpeed]    `json:"speed" help:"pump speed"`
	Flow        *Number[quantity.Flow]               `json:"flow" help:"flow that the process needs"`
	Efficiency  *float64                             `json:"min_volumetric_efficiency" help:"least volumetric efficiency that the process can live with"`
	Solids      *Number[quantity.Length]             `json:"solids" help:"size of the larger solids (98 % are smaller)"`
	HoursAYear  *float64                             `json:"hours_a_year" help:"running hours a year"`
	EnergyPrice *float64                             `json:"energy_price" help:"price of a kWh"`
	OutputPrice *float64                             `json:"output_price" help:"what a cubic metre of lost output costs"`
	Currency    string                               `json:"currency" optional:"yes" help:"currency of the prices"`
	WarmUp      *WarmUp                              `json:"warm_up" help:"how the pump is brought to temperature"`
	Suction     *Suction                             `json:"suction" help:"the suction side"`
	Relief      *Relief                              `json:"relief_valve" help:"the relief valve and its setting"`
	Drive       *Drive                               `json:"drive" help:"motor, gearbox, coupling"`
	Acceptance  *Acceptance                          `json:"acceptance" help:"what the customer or a standard accepts of the bench test"`
	HeatPerMass *float64                             `json:"specific_heat" help:"specific heat of the liquid, J/(kg K); that of water or of an oil when missing"`

	// Version is the hash of the text that the service was read from.
	Version string `json:"-"`
}

// WarmUp is how the pump is brought to temperature.
type WarmUp struct {
	Start  string                        `json:"start" default:"liquid_first" oneof:"liquid_first|jacket_first|ramp" help:"what warms the pump first"`
	Ramp   *float64                      `json:"ramp" help:"kelvin per minute, for a ramp"`
	Jacket *Number[quantity.Temperature] `json:"jacket_temperature" help:"temperature of the jacket"`
}

// Suction is the suction side.
type Suction struct {
	SurfacePressure *Number[quantity.AbsolutePressure]   `json:"surface_pressure" help:"pressure on the liquid's surface, from vacuum"`
	StaticHead      *Number[quantity.Length]             `json:"static_head" help:"level above the pump, negative below"`
	Bore            *Number[quantity.Length]             `json:"bore" help:"bore of the suction line"`
	Length          *Number[quantity.Length]             `json:"length" help:"length of the suction line"`
	Fittings        *float64                             `json:"fittings_k" help:"sum of the loss coefficients of fittings"`
	Required        *Number[quantity.PressureDifference] `json:"required" help:"inlet pressure above vapour pressure that the pump needs, from its manual"`
}

// Relief is the relief valve.
type Relief struct {
	Place      string                               `json:"place" optional:"yes" help:"where it sits and where it returns to"`
	Set        *Number[quantity.PressureDifference] `json:"set" help:"set pressure"`
	Crack      *Number[quantity.PressureDifference] `json:"crack" help:"pressure at which it begins to pass"`
	FullBypass *Number[quantity.PressureDifference] `json:"full_bypass" help:"pressure at which it passes the whole flow"`
	Reseat     *Number[quantity.PressureDifference] `json:"reseat" help:"pressure at which it closes again"`
}

// Drive is what turns the pump.
type Drive struct {
	Power      *Number[quantity.Power]           `json:"power" help:"rated power"`
	MaxSpeed   *Number[quantity.RotationalSpeed] `json:"max_speed" help:"highest speed"`
	MaxTorque  *Number[quantity.Torque]          `json:"max_torque" help:"highest torque that gearbox and coupling carry"`
	Efficiency *float64                          `json:"efficiency" help:"efficiency of motor and gearbox together (0.9 when missing)"`
}

// Acceptance is what the customer or a standard accepts.
type Acceptance struct {
	FlowTolerance  *float64                `json:"flow_tolerance" help:"part of the flow that is asked for by which it may fall short, 0.05 for 5 %"`
	Power          *Number[quantity.Power] `json:"power" help:"highest power at the shaft"`
	PowerTolerance *float64                `json:"power_tolerance" help:"part of that power by which it may be above"`
	Source         string                  `json:"source" optional:"yes" help:"contract or standard"`
}

// ParseService reads a service, as Parse reads a sheet.
func ParseService(file string, text []byte) (*Service, Findings) {
	s := &Service{Version: Version(text)}
	findings, _ := readYAML(file, text, s)
	return s, findings
}
