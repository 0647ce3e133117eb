package quantity

import "pumpwright/calc/say"

// Dimension names what kind of quantity a number is.
type Dimension uint8

// The dimensions of the trade. The SI unit of each stands in the comment.
const (
	NoDimension                    Dimension = iota // a plain number
	LengthDimension                                 // m
	AreaDimension                                   // m2
	VolumeDimension                                 // m3
	DisplacementDimension                           // m3
	AngleDimension                                  // rad
	TemperatureDimension                            // K
	TemperatureDifferenceDimension                  // K
	AbsolutePressureDimension                       // Pa
	PressureDifferenceDimension                     // Pa
	StressDimension                                 // Pa
	FlowDimension                                   // m3/s
	SpeedDimension                                  // m/s
	RotationalSpeedDimension                        // rad/s
	TorqueDimension                                 // N·m
	ForceDimension                                  // N
	MassDimension                                   // kg
	DensityDimension                                // kg/m3
	DynamicViscosityDimension                       // Pa·s
	KinematicViscosityDimension                     // m2/s
	PowerDimension                                  // W
	EnergyDimension                                 // J
	TimeDimension                                   // s
	StiffnessDimension                              // N/m
	ExpansionDimension                              // 1/K
	ShearRateDimension                              // 1/s
	PressureVelocityDimension                       // Pa·m/s
	HeatCapacityDimension                           // J/K
	ConductanceDimension                            // W/K
	dimensionCount
)

// Quantity is a value of one dimension.
type Quantity interface {
	Dimension() Dimension
	// SI returns the value in the SI unit of the dimension.
	SI() float64
	Show(say.Style) string
}

// Of is the constraint of every quantity type of this package.
type Of interface {
	~float64
	Quantity
}

// Length is a length, in m.
type Length float64

// Area is an area, in m2.
type Area float64

// Volume is a volume, in m3.
type Volume float64

// Displacement is a volume moved by one revolution (m3 per revolution), in m3.
type Displacement float64

// Angle is a plane angle, in rad.
type Angle float64

// Temperature is an absolute temperature, in K.
type Temperature float64

// TemperatureDifference is a difference of temperatures, in K.
type TemperatureDifference float64

// AbsolutePressure is a pressure counted from vacuum, in Pa.
type AbsolutePressure float64

// PressureDifference is a pressure difference; gauge pressure is the difference to the surroundings, in Pa.
type PressureDifference float64

// Stress is a mechanical stress, contact pressure or elastic modulus, in Pa.
type Stress float64

// Flow is a volume flow, in m3/s.
type Flow float64

// Speed is a linear speed, in m/s.
type Speed float64

// RotationalSpeed is a speed of rotation, in rad/s.
type RotationalSpeed float64

// Torque is a torque, in N·m.
type Torque float64

// Force is a force, in N.
type Force float64

// Mass is a mass, in kg.
type Mass float64

// Density is a density, in kg/m3.
type Density float64

// DynamicViscosity is a dynamic viscosity, in Pa·s.
type DynamicViscosity float64

// KinematicViscosity is a kinematic viscosity, in m2/s.
type KinematicViscosity float64

// Power is a power, in W.
type Power float64

// Energy is an energy, in J.
type Energy float64

// Time is a time, in s.
type Time float64

// Stiffness is a spring rate, in N/m.
type Stiffness float64

// Expansion is a coefficient of linear thermal expansion, in 1/K.
type Expansion float64

// ShearRate is a shear rate, in 1/s.
type ShearRate float64

// PressureVelocity is a product of pressure and sliding speed, the PV of a bearing or seal, in Pa·m/s.
type PressureVelocity float64

// HeatCapacity is a heat capacity of a body, in J/K.
type HeatCapacity float64

// Conductance is a thermal conductance between two bodies, or hA to a liquid, in W/K.
type Conductance float64

// Dimension returns LengthDimension.
func (Length) Dimension() Dimension { return LengthDimension }

// SI returns the value in m.
func (q Length) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Length) Show(s say.Style) string { return Show(LengthDimension, float64(q), s) }

// String prints the value in metric units.
func (q Length) String() string { return q.Show(say.Style{}) }

// Dimension returns AreaDimension.
func (Area) Dimension() Dimension { return AreaDimension }

// SI returns the value in m2.
func (q Area) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Area) Show(s say.Style) string { return Show(AreaDimension, float64(q), s) }

// String prints the value in metric units.
func (q Area) String() string { return q.Show(say.Style{}) }

// Dimension returns VolumeDimension.
func (Volume) Dimension() Dimension { return VolumeDimension }

// SI returns the value in m3.
func (q Volume) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Volume) Show(s say.Style) string { return Show(VolumeDimension, float64(q), s) }

// String prints the value in metric units.
func (q Volume) String() string { return q.Show(say.Style{}) }

// Dimension returns DisplacementDimension.
func (Displacement) Dimension() Dimension { return DisplacementDimension }

// SI returns the value in m3.
func (q Displacement) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Displacement) Show(s say.Style) string { return Show(DisplacementDimension, float64(q), s) }

// String prints the value in metric units.
func (q Displacement) String() string { return q.Show(say.Style{}) }

// Dimension returns AngleDimension.
func (Angle) Dimension() Dimension { return AngleDimension }

// SI returns the value in rad.
func (q Angle) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Angle) Show(s say.Style) string { return Show(AngleDimension, float64(q), s) }

// String prints the value in metric units.
func (q Angle) String() string { return q.Show(say.Style{}) }

// Dimension returns TemperatureDimension.
func (Temperature) Dimension() Dimension { return TemperatureDimension }

// SI returns the value in K.
func (q Temperature) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Temperature) Show(s say.Style) string { return Show(TemperatureDimension, float64(q), s) }

// String prints the value in metric units.
func (q Temperature) String() string { return q.Show(say.Style{}) }

// Dimension returns TemperatureDifferenceDimension.
func (TemperatureDifference) Dimension() Dimension { return TemperatureDifferenceDimension }

// SI returns the value in K.
func (q TemperatureDifference) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q TemperatureDifference) Show(s say.Style) string {
	return Show(TemperatureDifferenceDimension, float64(q), s)
}

// String prints the value in metric units.
func (q TemperatureDifference) String() string { return q.Show(say.Style{}) }

// Dimension returns AbsolutePressureDimension.
func (AbsolutePressure) Dimension() Dimension { return AbsolutePressureDimension }

// SI returns the value in Pa.
func (q AbsolutePressure) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q AbsolutePressure) Show(s say.Style) string {
	return Show(AbsolutePressureDimension, float64(q), s)
}

// String prints the value in metric units.
func (q AbsolutePressure) String() string { return q.Show(say.Style{}) }

// Dimension returns PressureDifferenceDimension.
func (PressureDifference) Dimension() Dimension { return PressureDifferenceDimension }

// SI returns the value in Pa.
func (q PressureDifference) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q PressureDifference) Show(s say.Style) string {
	return Show(PressureDifferenceDimension, float64(q), s)
}

// String prints the value in metric units.
func (q PressureDifference) String() string { return q.Show(say.Style{}) }

// Dimension returns StressDimension.
func (Stress) Dimension() Dimension { return StressDimension }

// SI returns the value in Pa.
func (q Stress) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Stress) Show(s say.Style) string { return Show(StressDimension, float64(q), s) }

// String prints the value in metric units.
func (q Stress) String() string { return q.Show(say.Style{}) }

// Dimension returns FlowDimension.
func (Flow) Dimension() Dimension { return FlowDimension }

// SI returns the value in m3/s.
func (q Flow) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Flow) Show(s say.Style) string { return Show(FlowDimension, float64(q), s) }

// String prints the value in metric units.
func (q Flow) String() string { return q.Show(say.Style{}) }

// Dimension returns SpeedDimension.
func (Speed) Dimension() Dimension { return SpeedDimension }

// SI returns the value in m/s.
func (q Speed) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Speed) Show(s say.Style) string { return Show(SpeedDimension, float64(q), s) }

// String prints the value in metric units.
func (q Speed) String() string { return q.Show(say.Style{}) }

// Dimension returns RotationalSpeedDimension.
func (RotationalSpeed) Dimension() Dimension { return RotationalSpeedDimension }

// SI returns the value in rad/s.
func (q RotationalSpeed) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q RotationalSpeed) Show(s say.Style) string {
	return Show(RotationalSpeedDimension, float64(q), s)
}

// String prints the value in metric units.
func (q RotationalSpeed) String() string { return q.Show(say.Style{}) }

// Dimension returns TorqueDimension.
func (Torque) Dimension() Dimension { return TorqueDimension }

// SI returns the value in N·m.
func (q Torque) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Torque) Show(s say.Style) string { return Show(TorqueDimension, float64(q), s) }

// String prints the value in metric units.
func (q Torque) String() string { return q.Show(say.Style{}) }

// Dimension returns ForceDimension.
func (Force) Dimension() Dimension { return ForceDimension }

// SI returns the value in N.
func (q Force) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Force) Show(s say.Style) string { return Show(ForceDimension, float64(q), s) }

// String prints the value in metric units.
func (q Force) String() string { return q.Show(say.Style{}) }

// Dimension returns MassDimension.
func (Mass) Dimension() Dimension { return MassDimension }

// SI returns the value in kg.
func (q Mass) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Mass) Show(s say.Style) string { return Show(MassDimension, float64(q), s) }

// String prints the value in metric units.
func (q Mass) String() string { return q.Show(say.Style{}) }

// Dimension returns DensityDimension.
func (Density) Dimension() Dimension { return DensityDimension }

// SI returns the value in kg/m3.
func (q Density) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Density) Show(s say.Style) string { return Show(DensityDimension, float64(q), s) }

// String prints the value in metric units.
func (q Density) String() string { return q.Show(say.Style{}) }

// Dimension returns DynamicViscosityDimension.
func (DynamicViscosity) Dimension() Dimension { return DynamicViscosityDimension }

// SI returns the value in Pa·s.
func (q DynamicViscosity) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q DynamicViscosity) Show(s say.Style) string {
	return Show(DynamicViscosityDimension, float64(q), s)
}

// String prints the value in metric units.
func (q DynamicViscosity) String() string { return q.Show(say.Style{}) }

// Dimension returns KinematicViscosityDimension.
func (KinematicViscosity) Dimension() Dimension { return KinematicViscosityDimension }

// SI returns the value in m2/s.
func (q KinematicViscosity) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q KinematicViscosity) Show(s say.Style) string {
	return Show(KinematicViscosityDimension, float64(q), s)
}

// String prints the value in metric units.
func (q KinematicViscosity) String() string { return q.Show(say.Style{}) }

// Dimension returns PowerDimension.
func (Power) Dimension() Dimension { return PowerDimension }

// SI returns the value in W.
func (q Power) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Power) Show(s say.Style) string { return Show(PowerDimension, float64(q), s) }

// String prints the value in metric units.
func (q Power) String() string { return q.Show(say.Style{}) }

// Dimension returns EnergyDimension.
func (Energy) Dimension() Dimension { return EnergyDimension }

// SI returns the value in J.
func (q Energy) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Energy) Show(s say.Style) string { return Show(EnergyDimension, float64(q), s) }

// String prints the value in metric units.
func (q Energy) String() string { return q.Show(say.Style{}) }

// Dimension returns TimeDimension.
func (Time) Dimension() Dimension { return TimeDimension }

// SI returns the value in s.
func (q Time) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Time) Show(s say.Style) string { return Show(TimeDimension, float64(q), s) }

// String prints the value in metric units.
func (q Time) String() string { return q.Show(say.Style{}) }

// Dimension returns StiffnessDimension.
func (Stiffness) Dimension() Dimension { return StiffnessDimension }

// SI returns the value in N/m.
func (q Stiffness) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Stiffness) Show(s say.Style) string { return Show(StiffnessDimension, float64(q), s) }

// String prints the value in metric units.
func (q Stiffness) String() string { return q.Show(say.Style{}) }

// Dimension returns ExpansionDimension.
func (Expansion) Dimension() Dimension { return ExpansionDimension }

// SI returns the value in 1/K.
func (q Expansion) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Expansion) Show(s say.Style) string { return Show(ExpansionDimension, float64(q), s) }

// String prints the value in metric units.
func (q Expansion) String() string { return q.Show(say.Style{}) }

// Dimension returns ShearRateDimension.
func (ShearRate) Dimension() Dimension { return ShearRateDimension }

// SI returns the value in 1/s.
func (q ShearRate) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q ShearRate) Show(s say.Style) string { return Show(ShearRateDimension, float64(q), s) }

// String prints the value in metric units.
func (q ShearRate) String() string { return q.Show(say.Style{}) }

// Dimension returns PressureVelocityDimension.
func (PressureVelocity) Dimension() Dimension { return PressureVelocityDimension }

// SI returns the value in Pa·m/s.
func (q PressureVelocity) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q PressureVelocity) Show(s say.Style) string {
	return Show(PressureVelocityDimension, float64(q), s)
}

// String prints the value in metric units.
func (q PressureVelocity) String() string { return q.Show(say.Style{}) }

// Dimension returns HeatCapacityDimension.
func (HeatCapacity) Dimension() Dimension { return HeatCapacityDimension }

// SI returns the value in J/K.
func (q HeatCapacity) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q HeatCapacity) Show(s say.Style) string { return Show(HeatCapacityDimension, float64(q), s) }

// String prints the value in metric units.
func (q HeatCapacity) String() string { return q.Show(say.Style{}) }

// Dimension returns ConductanceDimension.
func (Conductance) Dimension() Dimension { return ConductanceDimension }

// SI returns the value in W/K.
func (q Conductance) SI() float64 { return float64(q) }

// Show prints the value in the units of a style.
func (q Conductance) Show(s say.Style) string { return Show(ConductanceDimension, float64(q), s) }

// String prints the value in metric units.
func (q Conductance) String() string { return q.Show(say.Style{}) }
