package sheet

import (
	"pumpwright/calc/quantity"
)

// Sheet is one pump model.
type Sheet struct {
	Format   int      `json:"format" default:"1" help:"version of the form of model sheets"`
	Name     string   `json:"name" help:"short name, small letters, digits and hyphens"`
	Title    string   `json:"title" optional:"yes" help:"what people call the model"`
	Invented bool     `json:"invented" optional:"yes" help:"true when no such pump exists"`
	Manual   string   `json:"manual" optional:"yes" help:"the manual that the numbers were taken from: title, number, edition"`
	Notes    []string `json:"notes" optional:"yes" help:"whatever the next reader should know"`

	Build        Build               `json:"build" optional:"yes" help:"how this pump is built; the steps follow it"`
	Rating       Rating              `json:"rating" optional:"yes" help:"what the model is rated for"`
	Dimensions   Dimensions          `json:"dimensions" optional:"yes" help:"dimensions that are not measured at a rebuild but enter what is computed"`
	Features     []Feature           `json:"features" optional:"yes" help:"what can be measured, with its limits"`
	Parts        []Part              `json:"parts" optional:"yes" help:"the parts that can be reused or replaced"`
	EndClearance EndClearance        `json:"end_clearance" optional:"yes" help:"the wanted end clearance and how it is set"`
	Gaskets      []Gasket            `json:"gaskets" optional:"yes" help:"kinds of gasket for the stack under the head"`
	Fasteners    []Fastener          `json:"fasteners" optional:"yes" help:"bolts and their torque"`
	Seal         *Seal               `json:"seal" help:"the shaft seal"`
	Bushings     []Bushing           `json:"bushings" optional:"yes" help:"bushings and their fits"`
	Teeth        *Teeth              `json:"teeth" help:"the gear pair"`
	FlowPath     *FlowPath           `json:"flow_path" help:"gaps and lands that leak, for the prediction of flow and power"`
	Thermal      *Thermal            `json:"thermal" help:"masses and conductances for the warm-up"`
	Materials    map[string]Material `json:"materials" optional:"yes" help:"material of each group of parts: casing, head, rotor, idler, shaft, bracket, pin, bushing, gasket"`
	Labour       map[string]float64  `json:"labour" optional:"yes" help:"standard hours by stage"`
	Offers       []Offer             `json:"offers" optional:"yes" help:"kits, loose parts and work that can be bought"`

	// Version is the hash of the text that the sheet was read from.
	Version string `json:"-"`
	// Text is what the sheet was read from.
	Text string `json:"-"`
}

// Build says how the pump is built.
type Build struct {
	ShaftSeal      string `json:"shaft_seal" default:"bellows" oneof:"bellows|wedge|o-ring|cartridge|packing|lip" help:"kind of shaft seal"`
	SetCollar      bool   `json:"set_collar" optional:"yes" help:"true when a collar on the shaft sets the working length of the seal"`
	ReliefValve    string `json:"relief_valve" default:"none" oneof:"none|head|casing" help:"where the relief valve sits"`
	ValveOverBolts bool   `json:"valve_over_bolts" optional:"yes" help:"true when the relief valve must come off to reach the head bolts"`
	Jacketed       bool   `json:"jacketed" optional:"yes" help:"true when casing, head or seal chamber are heated by a jacket"`
	ClearanceBy    string `json:"clearance_by" default:"gaskets" oneof:"gaskets|housing|shims" help:"what sets the end clearance: the gaskets under the head, turning the bearing housing, or shims alone"`
	Shims          string `json:"shims" default:"none" oneof:"none|bearing|head" help:"where metal shims help to set the end clearance: behind the thrust bearing, or under the head"`
	IdlerBushing   string `json:"idler_bushing" default:"bronze" oneof:"bronze|carbon|iron|none" help:"material of the idler bushing"`
	GroovedBushing bool   `json:"grooved_bushing" optional:"yes" help:"true when the bushing on the shaft has a lubrication groove"`
	BracketBushing string `json:"bracket_bushing" default:"none" oneof:"bronze|carbon|iron|none" help:"material of the bushing on the shaft"`
	IdlerPin       string `json:"idler_pin" default:"pressed" oneof:"pressed|bolted|cast" help:"how the idler pin is held in the head"`
	PaperOutside   bool   `json:"paper_outside" optional:"yes" help:"true when the stack needs its sealing paper gaskets outside, next to casing and head"`
	ThrustBearing  string `json:"thrust_bearing" default:"ball" oneof:"ball|tapered|plain" help:"what holds the shaft endways"`
	Mounting       string `json:"mounting" default:"horizontal" oneof:"horizontal|vertical" help:"how the shaft lies in service"`
	Rotation       string `json:"rotation" default:"clockwise" oneof:"clockwise|anticlockwise|both" help:"rotation seen from the drive end"`
}

// Rating is what the model is rated for.
type Rating struct {
	Flow           *Number[quantity.Flow]               `json:"flow" help:"rated flow"`
	Speed          *Number[quantity.RotationalSpeed]    `json:"speed" help:"rated or highest speed"`
	Pressure       *Number[quantity.PressureDifference] `json:"pressure" help:"highest working pressure"`
	CasingLimit    *Number[quantity.PressureDifference] `json:"casing_limit" help:"highest pressure the casing may see"`
	Temperature    *Number[quantity.Temperature]        `json:"temperature" help:"highest temperature"`
	SuctionPort    *Number[quantity.Length]             `json:"suction_port" help:"nominal bore of the suction port"`
	DischargePort  *Number[quantity.Length]             `json:"discharge_port" help:"nominal bore of the discharge port"`
	Mass           *Number[quantity.Mass]               `json:"mass" help:"mass of the bare pump, for lifting"`
	VolumetricRate *float64                             `json:"volumetric_efficiency" help:"volumetric efficiency at the rating"`
}

// Limit is one limit of a feature.
type Limit struct {
	Min     *Value `json:"min" help:"smallest value that is still good"`
	Max     *Value `json:"max" help:"largest value that is still good"`
	Compare string `json:"compare" default:"worst" oneof:"worst|mean|taper|spread|below-unworn" help:"which number meets the limit: the worst place, the mean, the taper, the spread, or the loss below the unworn end"`
	Rank    string `json:"rank" default:"maker" oneof:"maker|shop|rule-of-thumb" help:"where the limit comes from"`
	Reason  string `json:"reason" optional:"yes" help:"what stands behind the limit"`
}

// Difference makes a feature of two others, as a clearance is made of a bore
// and a shaft.
type Difference struct {
	Of    string `json:"of" help:"feature that is counted positive (the bore)"`
	Minus string `json:"minus" help:"feature that is taken off (the shaft)"`
	Half  bool   `json:"half" optional:"yes" help:"true for a radial clearance out of two diameters"`
}

// Feature is one thing that can be measured.
type Feature struct {
	ID         string      `json:"id" help:"short name within the sheet"`
	Role       string      `json:"role" optional:"yes" help:"what the feature is to the engineering, see the list of roles; the id when missing"`
	Part       string      `json:"part" help:"id of the part that is measured"`
	Name       string      `json:"name" help:"what people call it"`
	Nominal    *Value      `json:"nominal" help:"nominal size"`
	Lower      *Value      `json:"lower" help:"lower deviation from nominal, as new"`
	Upper      *Value      `json:"upper" help:"upper deviation from nominal, as new"`
	Limits     []Limit     `json:"limits" optional:"yes" help:"wear limits"`
	Difference *Difference `json:"difference" help:"this feature is the difference of two others and is not measured itself"`
	Planes     []string    `json:"planes" optional:"yes" help:"places along the axis, for example A, B, C"`
	Angles     []float64   `json:"angles" optional:"yes" help:"places around, in degrees; around the casing 0 is the mesh and 90 the port that is suction at the rotation of the sheet"`
	Unworn     string      `json:"unworn" optional:"yes" help:"the plane that does not wear"`
	Instrument string      `json:"instrument" optional:"yes" help:"kind of instrument"`
	Picture    string      `json:"picture" optional:"yes" help:"drawing that shows where to measure"`
	When       string      `json:"when" default:"as-found" oneof:"as-found|as-left|both" help:"in which state it is read"`
	Lost       bool        `json:"lost_when_open" optional:"yes" help:"true when it can no longer be read once the head is off"`
	Only       Condition   `json:"only" optional:"yes" help:"builds for which it is read"`
	Effect     string      `json:"effect" optional:"yes" help:"what a worn value does to the pump"`
}

// Condition is a set of build fields, each with the words for which something
// holds; all must agree.
type Condition map[string][]string

// Part is something that can be reused, reworked or replaced.
type Part struct {
	ID       string   `json:"id" help:"short name within the sheet"`
	Name     string   `json:"name" help:"what people call it"`
	Count    int      `json:"count" default:"1" help:"how many the pump has"`
	Material string   `json:"material" optional:"yes" help:"material"`
	With     []string `json:"with" optional:"yes" help:"parts that are replaced together with this one"`
	Always   bool     `json:"always_replace" optional:"yes" help:"true for seals, gaskets and O-rings"`
	Disturbs []string `json:"disturbs" optional:"yes" help:"parts that must be renewed when this one is taken off"`
	Number   string   `json:"number" optional:"yes" help:"order number in the shop's own list"`
}

// EndClearance is the wanted end clearance and the way it is set.
type EndClearance struct {
	Minimum    *Number[quantity.Length] `json:"minimum" help:"never below this"`
	Rows       []WindowRow              `json:"rows" optional:"yes" help:"the manual's windows by viscosity and temperature"`
	Housing    *Housing                 `json:"housing" help:"the adjustable bearing housing"`
	ShimsClose bool                     `json:"shims_close" optional:"yes" help:"true when a shim behind the thrust bearing takes from the end clearance, false when it adds"`
	Floor      string                   `json:"floor" optional:"yes" help:"how the clearance is defined in the manual"`
}

// WindowRow is one row of a manual's table of end clearance.
type WindowRow struct {
	ViscosityFrom   *Number[quantity.KinematicViscosity] `json:"viscosity_from" help:"from this viscosity"`
	ViscosityTo     *Number[quantity.KinematicViscosity] `json:"viscosity_to" help:"up to this viscosity"`
	TemperatureFrom *Number[quantity.Temperature]        `json:"temperature_from" help:"from this temperature"`
	TemperatureTo   *Number[quantity.Temperature]        `json:"temperature_to" help:"up to this temperature"`
	Low             Number[quantity.Length]              `json:"low" help:"smallest end clearance, cold"`
	High            Number[quantity.Length]              `json:"high" help:"largest end clearance, cold"`
}

// Housing is a bearing housing that sets the end clearance by turning.
type Housing struct {
	Pitch   *Number[quantity.Length] `json:"thread_pitch" help:"pitch of its thread"`
	PerInch *float64                 `json:"threads_per_inch" help:"threads per inch, in place of the pitch"`
	Notches int                      `json:"notches" optional:"yes" help:"notches or lugs around, 0 for none"`
	Hand    string                   `json:"hand" default:"right" oneof:"right|left" help:"hand of the thread"`
}

// Gasket is one kind of gasket.
type Gasket struct {
	Name        string                  `json:"name" help:"what the shop calls it"`
	Material    string                  `json:"material" optional:"yes" help:"material"`
	Thickness   Number[quantity.Length] `json:"thickness" help:"free thickness"`
	Tolerance   Number[quantity.Length] `json:"tolerance" help:"± two standard deviations of the thickness"`
	Compression float64                 `json:"compression" help:"part of the thickness that is lost under torque, 0.08 for 8 %"`
	Sealing     bool                    `json:"sealing" optional:"yes" help:"true when it seals and may lie outside"`
	Shim        bool                    `json:"shim" optional:"yes" help:"true for a metal shim: neither compressed nor sealing"`
	Reusable    bool                    `json:"reusable" optional:"yes" help:"true when it may be fitted again after it has run"`
	Stock       *int                    `json:"stock" help:"pieces on the shelf when no stock is kept"`
}

// Fastener is one group of bolts.
type Fastener struct {
	ID       string                   `json:"id" help:"short name, for example head-bolts"`
	Name     string                   `json:"name" help:"what people call it"`
	Thread   string                   `json:"thread" help:"thread, for example M12 or 1/2-13 UNC"`
	Grade    string                   `json:"grade" optional:"yes" help:"property class or grade, for example 8.8 or SAE 5"`
	Count    int                      `json:"count" help:"how many"`
	Circle   *Number[quantity.Length] `json:"circle" help:"diameter of the bolt circle"`
	Torque   *Number[quantity.Torque] `json:"torque" help:"torque of the manual"`
	Fraction *float64                 `json:"preload_fraction" help:"preload as a part of the proof load, where the manual gives no torque"`
	Factor   *float64                 `json:"nut_factor" help:"nut factor, where the manual gives no torque"`
	Passes   []float64                `json:"passes" optional:"yes" help:"parts of the torque for each pass"`
}

// Offer is a kit, a loose part or a piece of work that can be bought.
type Offer struct {
	Name     string         `json:"name" help:"what it is called"`
	Price    float64        `json:"price" help:"price, in the currency of the shop"`
	Currency string         `json:"currency" optional:"yes" help:"currency, where it is not that of the shop"`
	LeadDays float64        `json:"lead_days" optional:"yes" help:"days until it is here"`
	Stock    *int           `json:"stock" help:"how many can be had"`
	Work     bool           `json:"work" optional:"yes" help:"true when it is work on a part, not a new part"`
	Parts    map[string]int `json:"parts" help:"parts it covers, with their count"`
}
