package job

import (
	"pumpwright/calc/quantity"
	"pumpwright/rebuild/fields"
)

// Alignment is one set of alignment readings. Directions are those of package
// calc/align: up, and to the right as seen from the back of the movable
// machine; dials are positive when the plunger is pushed in.
type Alignment struct {
	State           string                    `json:"state" oneof:"as-found|as-left|hot" help:"as found before removal, as left cold, or hot after running"`
	Method          string                    `json:"method" oneof:"rim-face|reverse|tool|feet" help:"rim-face: both dials on one bracket; reverse: a dial on each shaft; tool: offsets and angles as an instrument reports them; feet: soft foot alone"`
	Dimensions      AlignmentDimensions       `json:"dimensions" optional:"yes" help:"distances along the shaft, from the plane of the movable rim (or the plane of the tool's offsets)"`
	Readings        AlignmentReadings         `json:"readings" optional:"yes" help:"dial readings, seen from the back of the movable machine, plunger pushed in positive"`
	Bracket         string                    `json:"bracket" default:"movable" oneof:"movable|stationary" help:"rim-face: the shaft that carries the bracket"`
	Sag             *quantity.Length          `json:"sag" help:"bar reading at the bottom on a stiff pipe, zero at the top; usually negative"`
	Growth          *AlignmentGrowth          `json:"growth" help:"rise of the movable feet less that of the fixed shaft, cold to running"`
	GrowthFrom      *AlignmentGrowthFrom      `json:"growth_from" help:"heights, expansions and warming, from which the growth is computed"`
	GrowthConfirmed bool                      `json:"growth_confirmed" optional:"yes" help:"true when somebody measured the growth hot, or the maker states it"`
	Speed           *quantity.RotationalSpeed `json:"speed" help:"speed of the coupling; that of the pump when missing"`
	ClosureLimit    quantity.Length           `json:"closure_limit" default:"0.0005 in" help:"largest closure error that counts as reading error"`
	SoftFoot        *AlignmentFeet            `json:"soft_foot" help:"rise of each foot when its bolt alone is loosened"`
	Instrument      string                    `json:"instrument" optional:"yes" help:"instrument"`
	Note            string                    `json:"note" optional:"yes" help:"remark"`
}

// AlignmentDimensions are the distances along the shaft.
type AlignmentDimensions struct {
	FaceDiameter *quantity.Length `json:"face_diameter" help:"rim-face: diameter swept by the face dial"`
	Between      *quantity.Length `json:"between" help:"reverse: between the planes of the two rims"`
	ToNearFoot   *quantity.Length `json:"to_near_foot" help:"to the near feet"`
	ToFarFoot    *quantity.Length `json:"to_far_foot" help:"to the far feet"`
}

// AlignmentReadings are the readings of one method.
type AlignmentReadings struct {
	Rim              *AlignmentClock  `json:"rim" help:"rim-face: dial on the rim"`
	Face             *AlignmentClock  `json:"face" help:"rim-face: dial on the face"`
	StationaryRim    *AlignmentClock  `json:"stationary_rim" help:"reverse: dial carried by the movable shaft, on the stationary rim"`
	MovableRim       *AlignmentClock  `json:"movable_rim" help:"reverse: dial carried by the stationary shaft, on the movable rim"`
	OffsetVertical   *quantity.Length `json:"offset_vertical" help:"tool: movable shaft higher (positive) at the coupling"`
	AngleVertical    *quantity.Angle  `json:"angle_vertical" help:"tool: movable shaft rises away from the coupling (positive)"`
	OffsetHorizontal *quantity.Length `json:"offset_horizontal" help:"tool: movable shaft to the right (positive) at the coupling"`
	AngleHorizontal  *quantity.Angle  `json:"angle_horizontal" help:"tool: movable shaft runs to the right away from the coupling (positive)"`
}

// AlignmentClock are the readings of one dial at four places.
type AlignmentClock struct {
	Top    quantity.Length `json:"top" default:"0" help:"reading at the top"`
	Right  quantity.Length `json:"right" help:"reading on the right"`
	Bottom quantity.Length `json:"bottom" help:"reading at the bottom"`
	Left   quantity.Length `json:"left" help:"reading on the left"`
}

// AlignmentGrowth is the growth at the feet.
type AlignmentGrowth struct {
	Near quantity.Length `json:"near" help:"at the near feet"`
	Far  quantity.Length `json:"far" help:"at the far feet"`
}

// AlignmentGrowthFrom is what growth is computed from.
type AlignmentGrowthFrom struct {
	Near       AlignmentWarming `json:"near" help:"near feet of the movable machine"`
	Far        AlignmentWarming `json:"far" help:"far feet of the movable machine"`
	Stationary AlignmentWarming `json:"stationary" help:"the fixed machine, at its shaft"`
}

// AlignmentWarming is a height that warms.
type AlignmentWarming struct {
	Height    quantity.Length                `json:"height" help:"base plate to shaft"`
	Expansion quantity.Expansion             `json:"expansion" help:"coefficient of thermal expansion"`
	Warming   quantity.TemperatureDifference `json:"warming" help:"mean warming of that height, from when it was read to running"`
}

// AlignmentFeet are the rises of the four feet, seen from the back of the
// movable machine.
type AlignmentFeet struct {
	NearLeft  quantity.Length `json:"near_left" help:"near left"`
	NearRight quantity.Length `json:"near_right" help:"near right"`
	FarLeft   quantity.Length `json:"far_left" help:"far left"`
	FarRight  quantity.Length `json:"far_right" help:"far right"`
}

// ReadAlignment reads the body of an alignment entry. Fields of later versions
// are passed over.
func ReadAlignment(raw any) (Alignment, error) {
	var a Alignment
	reader := fields.Reader{KeepUnknown: true}
	return a, reader.Bind(raw, &a)
}
