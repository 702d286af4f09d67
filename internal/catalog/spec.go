package catalog

// Spec is the attributes of one kind of item. Lengths are metres, masses kilograms, forces newtons, angles
// degrees, speeds metres per second.
type Spec interface {
	Kind() Kind
	// Fields lists the attributes in the order of the CSV columns, each with a pointer to its value and the
	// rule that a value keeps.
	Fields() []Field
	// Contradiction names a field and says what is wrong with the attributes taken together; empty when
	// nothing is (each field's own rule is checked apart).
	Contradiction() (field, problem string)
}

// Frame is a rectangle of tubes that holds one fabric flat. The opening is what the fabric covers; the outer
// size is the opening and the tubes around it.
type Frame struct {
	OpeningWidthM  float64
	OpeningHeightM float64
	OuterWidthM    float64
	OuterHeightM   float64
	// SupportsMin and SupportsMax bound how many supports hold it: 2 at the middles of opposite sides, 4 at
	// the corners.
	SupportsMin int
	SupportsMax int
	// GustLimitMS is the house's own limit for the frame with a closed fabric; 0 where the house sets none.
	GustLimitMS float64
}

// Fabric is a cloth for a frame: it softens (diffusion), takes light down without softening (net), stops light
// (solid) or gives it back (bounce).
type Fabric struct {
	// FitsWidthM and FitsHeightM are the opening of the frames that it is sewn for.
	FitsWidthM  float64
	FitsHeightM float64
	// Use is one of FabricUses.
	Use string
	// Transmittance and Reflectance are shares of the light that arrives; their sum is at most 1.
	Transmittance float64
	Reflectance   float64
	// BeamShare is the share of the transmitted light that stays in the beam.
	BeamShare float64
	// ArealMassKgM2 is kilograms per square metre.
	ArealMassKgM2 float64
	// Solidity is the closed share of the area that the wind sees: 1 for woven cloth.
	Solidity float64
	// ColourShiftMired is by how much what passes and what comes back is warmer than what arrives.
	ColourShiftMired float64
	// FaceA and FaceB are the colours of the two sides, in words.
	FaceA string
	FaceB string
}

// The uses of a fabric.
const (
	UseDiffusion = "diffusion"
	UseNet       = "net"
	UseSolid     = "solid"
	UseBounce    = "bounce"
)

// Reflector is a board or a framed sheet that gives light back. Face B repeats face A where both sides are alike.
type Reflector struct {
	WidthM  float64
	HeightM float64
	FaceA   string
	// DiffuseA and SpecularA are shares of the light that arrives; their sum is at most 1.
	DiffuseA  float64
	SpecularA float64
	// LobeADeg is the half-angle by which the specular share is spread, slope error included; 0 for a flat mirror.
	LobeADeg float64
	// ColourShiftAMired is by how much what comes back is warmer than what arrives.
	ColourShiftAMired float64
	FaceB             string
	DiffuseB          float64
	SpecularB         float64
	LobeBDeg          float64
	ColourShiftBMired float64
}

// Support holds a frame, a reflector or a lamp up: a stand, or a lifting machine with its operator.
type Support struct {
	// Class is one of SupportClasses.
	Class string
	// LowestM and HighestM bound the height of the point that holds the load.
	LowestM  float64
	HighestM float64
	// SafeLoadKg is the working load at full height and full arm.
	SafeLoadKg float64
	// FootprintM is the radius of the circle of the feet, and Legs how many there are.
	FootprintM float64
	Legs       int
	// ArmReachM is how far from the mast, level, the load may hang; 0 where the load sits on the mast.
	ArmReachM float64
	// OperatorSKU is the labour item of the person who drives a machine; empty for a stand.
	OperatorSKU string
}

// The classes of support.
const (
	ClassStand   = "stand"
	ClassMachine = "machine"
)

// Ballast is dead weight for a base; its mass is the item's mass.
type Ballast struct {
	// Form is one of BallastForms.
	Form string
}

// The forms of ballast.
const (
	FormBag   = "bag"
	FormBlock = "block"
)

// Line is a guy rope.
type Line struct {
	LengthM   float64
	SafePullN float64
}

// Anchor holds the foot of a rope: a stake in soft ground, or a dead weight on hard standing, which holds
// by its mass and friction alone and has SafePullN 0.
type Anchor struct {
	// Form is one of AnchorForms.
	Form      string
	SafePullN float64
}

// The forms of anchor.
const (
	FormStake  = "stake"
	FormWeight = "weight"
)

// Lamp is an artificial source for lifting faces where the sun cannot serve.
type Lamp struct {
	// IntensityCd is the peak intensity in the beam's axis; BeamDeg the full angle at half of it.
	IntensityCd float64
	BeamDeg     float64
	PowerW      float64
	// Supply is one of LampSupplies.
	Supply string
}

// The supplies of a lamp.
const (
	SupplyMains   = "mains"
	SupplyBattery = "battery"
)

// Vehicle carries the kit.
type Vehicle struct {
	PayloadKg float64
	LoadM3    float64
	Seats     int
	// Driver is one of VehicleDrivers.
	Driver string
}

// Who drives a vehicle.
const (
	DriverCrew  = "crew"
	DriverHired = "hired"
)

// Labour is a person by the day.
type Labour struct {
	// Role is one of LabourRoles.
	Role        string
	HoursPerDay float64
}

// The roles of labour.
const (
	RoleLead        = "lead"
	RoleHand        = "hand"
	RoleOperator    = "operator"
	RoleElectrician = "electrician"
	RoleDriver      = "driver"
)

// Accessory is hired beside the rest and has no attributes of its own.
type Accessory struct{}

// Expendable is sold, not hired; its rate is the price of one unit.
type Expendable struct {
	// Unit is what one is: a roll, a sheet, a pair.
	Unit string
}
