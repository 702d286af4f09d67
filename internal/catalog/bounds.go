package catalog

import "fmt"

// Upper limits of attributes. They are common practice, no source: far above anything that is rigged by hand, low
// enough that a slipped decimal point or a wrong unit is caught.
const (
	maxSizeM     = 60    // a side of a frame, fabric or reflector
	maxReachM    = 100   // a height or an arm
	maxMassKg    = 50000 // a lorry's payload, a machine's own mass
	maxPackedM3  = 500
	maxOwned     = 1_000_000
	maxPullN     = 1e6
	maxGustMS    = 60
	maxAreal     = 5   // kg/m²
	maxMired     = 500 // either way
	maxCandela   = 1e8 // a large searchlight
	maxWatts     = 1e5
	maxLineM     = 500
	maxSeats     = 100
	maxWord      = 40 // characters of a colour or a unit
	maxSKU       = 40
	maxName      = 120
	maxAccount   = 40
	maxLegs      = 12
	maxFootprint = 20
	maxRates     = 500 // of one item: a new one each month for forty years
)

// shareSlack lets shares such as 0.7 + 0.3, whose binary sum may pass 1 by a rounding, count as 1.
const shareSlack = 1e-9

// Fields of a frame.
func (f *Frame) Fields() []Field {
	return []Field{
		{"opening_width_m", &f.OpeningWidthM, Positive(maxSizeM), "longer side of the opening"},
		{"opening_height_m", &f.OpeningHeightM, Positive(maxSizeM), "shorter side of the opening"},
		{"outer_width_m", &f.OuterWidthM, Positive(maxSizeM), "longer side over the tubes"},
		{"outer_height_m", &f.OuterHeightM, Positive(maxSizeM), "shorter side over the tubes"},
		{"supports_min", &f.SupportsMin, OneNumber(1, 2, 4), "fewest supports: 1 at the middle, 2 at the middles of opposite sides, 4 at the corners; over people 2 or 4"},
		{"supports_max", &f.SupportsMax, OneNumber(1, 2, 4), "most supports"},
		{"gust_limit_ms", &f.GustLimitMS, NonNegative(maxGustMS), "the house's own limit with a closed fabric, 0 for none"},
	}
}

// Fields of a fabric.
func (f *Fabric) Fields() []Field {
	return []Field{
		{"fits_width_m", &f.FitsWidthM, Positive(maxSizeM), "longer side of the opening that it is sewn for"},
		{"fits_height_m", &f.FitsHeightM, Positive(maxSizeM), "shorter side of the opening that it is sewn for"},
		{"use", &f.Use, OneOf(FabricUses...), "what the cloth does"},
		{"transmittance", &f.Transmittance, Share(), "share of the light that passes"},
		{"reflectance", &f.Reflectance, Share(), "share of the light that comes back"},
		{"beam_share", &f.BeamShare, Share(), "share of the passing light that stays in the beam"},
		{"areal_mass_kg_m2", &f.ArealMassKgM2, Positive(maxAreal), "mass of a square metre"},
		{"solidity", &f.Solidity, Rule{OpenMin: true, Max: 1}, "closed share of the area that the wind sees"},
		{"colour_shift_mired", &f.ColourShiftMired, Between(-maxMired, maxMired), "positive warms what passes and what comes back"},
		{"face_a", &f.FaceA, Text(maxWord), "colour of one side"},
		{"face_b", &f.FaceB, Text(maxWord), "colour of the other side"},
	}
}

// Fields of a reflector.
func (r *Reflector) Fields() []Field {
	return []Field{
		{"width_m", &r.WidthM, Positive(maxSizeM), "width of the sheet"},
		{"height_m", &r.HeightM, Positive(maxSizeM), "height of the sheet"},
		{"face_a", &r.FaceA, Text(maxWord), "surface of one side"},
		{"diffuse_a", &r.DiffuseA, Share(), "share of the light that comes back in all directions"},
		{"specular_a", &r.SpecularA, Share(), "share of the light that comes back as from a mirror"},
		{"lobe_a_deg", &r.LobeADeg, Between(0, 90), "half-angle by which the mirrored share spreads, 0 for a flat mirror"},
		{"colour_shift_a_mired", &r.ColourShiftAMired, Between(-maxMired, maxMired), "positive warms, as gold does by some 80"},
		{"face_b", &r.FaceB, Text(maxWord), "surface of the other side"},
		{"diffuse_b", &r.DiffuseB, Share(), "as diffuse_a"},
		{"specular_b", &r.SpecularB, Share(), "as specular_a"},
		{"lobe_b_deg", &r.LobeBDeg, Between(0, 90), "as lobe_a_deg"},
		{"colour_shift_b_mired", &r.ColourShiftBMired, Between(-maxMired, maxMired), "as colour_shift_a_mired"},
	}
}

// Fields of a support.
func (s *Support) Fields() []Field {
	return []Field{
		{"class", &s.Class, OneOf(SupportClasses...), "a stand, or a lifting machine"},
		{"lowest_m", &s.LowestM, NonNegative(maxReachM), "least height of the point that holds the load"},
		{"highest_m", &s.HighestM, Positive(maxReachM), "greatest height of the point that holds the load"},
		{"safe_load_kg", &s.SafeLoadKg, Positive(maxMassKg), "working load at full height and full arm"},
		{"footprint_m", &s.FootprintM, Positive(maxFootprint), "radius of the circle of the feet"},
		{"legs", &s.Legs, Between(3, maxLegs), "number of feet"},
		{"arm_reach_m", &s.ArmReachM, NonNegative(maxReachM), "level distance from the mast to the load, 0 for on the mast"},
		{"operator_sku", &s.OperatorSKU, Text(maxSKU).OrEmpty(), "labour item of a machine's driver, empty for a stand"},
	}
}

// Fields of ballast.
func (b *Ballast) Fields() []Field {
	return []Field{{"form", &b.Form, OneOf(BallastForms...), "a bag or a block; its mass is the item's"}}
}

// Fields of a line.
func (l *Line) Fields() []Field {
	return []Field{
		{"length_m", &l.LengthM, Positive(maxLineM), "length"},
		{"safe_pull_n", &l.SafePullN, Positive(maxPullN), "working load"},
	}
}

// Fields of an anchor.
func (a *Anchor) Fields() []Field {
	return []Field{
		{"form", &a.Form, OneOf(AnchorForms...), "a stake in soft ground, or a dead weight"},
		{"safe_pull_n", &a.SafePullN, NonNegative(maxPullN), "working pull of a stake; 0 for a weight, which holds by its mass"},
	}
}

// Fields of a lamp.
func (l *Lamp) Fields() []Field {
	return []Field{
		{"intensity_cd", &l.IntensityCd, Positive(maxCandela), "peak intensity in the axis"},
		{"beam_deg", &l.BeamDeg, Rule{OpenMin: true, Max: 180}, "full angle at half the peak"},
		{"power_w", &l.PowerW, Positive(maxWatts), "power drawn"},
		{"supply", &l.Supply, OneOf(LampSupplies...), "what feeds it"},
	}
}

// Fields of a vehicle.
func (v *Vehicle) Fields() []Field {
	return []Field{
		{"payload_kg", &v.PayloadKg, Positive(maxMassKg), "greatest load, whoever rides in it included"},
		{"load_m3", &v.LoadM3, Positive(maxPackedM3), "load space"},
		{"seats", &v.Seats, Between(1, maxSeats), "people, the driver among them"},
		{"driver", &v.Driver, OneOf(VehicleDrivers...), "who drives: one of the crew, or a driver hired with it, as for a lorry"},
	}
}

// Fields of labour.
func (l *Labour) Fields() []Field {
	return []Field{
		{"role", &l.Role, OneOf(LabourRoles...), "what the person does"},
		{"hours_per_day", &l.HoursPerDay, Rule{OpenMin: true, Max: 24}, "hours that the day rate buys"},
	}
}

// Fields of an accessory: none.
func (*Accessory) Fields() []Field { return nil }

// Fields of an expendable.
func (e *Expendable) Fields() []Field {
	return []Field{{"unit", &e.Unit, Text(maxWord), "what one is: a roll, a sheet, a pair"}}
}

// The closed lists of words, in the order in which messages name them.
var (
	FabricUses     = []string{UseDiffusion, UseNet, UseSolid, UseBounce}
	SupportClasses = []string{ClassStand, ClassMachine}
	BallastForms   = []string{FormBag, FormBlock}
	AnchorForms    = []string{FormStake, FormWeight}
	LampSupplies   = []string{SupplyMains, SupplyBattery}
	VehicleDrivers = []string{DriverCrew, DriverHired}
	LabourRoles    = []string{RoleLead, RoleHand, RoleOperator, RoleElectrician, RoleDriver}
)

func longerFirst(widthName string, widthM, heightM float64) []Problem {
	if widthM < heightM {
		return []Problem{{widthName, fmt.Sprintf("%s is less than the height %s: by convention the width is the longer side",
			plain(widthM), plain(heightM))}}
	}
	return nil
}

func sharesWithin(name, first string, a float64, second string, b float64) []Problem {
	if a+b > 1+shareSlack {
		return []Problem{{name, fmt.Sprintf("%s %s and %s %s add up to more than 1: nothing gives back more light than arrives",
			first, plain(a), second, plain(b))}}
	}
	return nil
}

func (f *Frame) contradictions() []Problem {
	found := longerFirst("opening_width_m", f.OpeningWidthM, f.OpeningHeightM)
	found = append(found, longerFirst("outer_width_m", f.OuterWidthM, f.OuterHeightM)...)
	if f.OuterWidthM < f.OpeningWidthM {
		found = append(found, Problem{"outer_width_m", fmt.Sprintf("%s is less than the opening's %s: the tubes lie around it",
			plain(f.OuterWidthM), plain(f.OpeningWidthM))})
	}
	if f.OuterHeightM < f.OpeningHeightM {
		found = append(found, Problem{"outer_height_m", fmt.Sprintf("%s is less than the opening's %s: the tubes lie around it",
			plain(f.OuterHeightM), plain(f.OpeningHeightM))})
	}
	if f.SupportsMax < f.SupportsMin {
		found = append(found, Problem{"supports_max", fmt.Sprintf("%d is less than supports_min %d", f.SupportsMax, f.SupportsMin)})
	}
	return found
}

func (f *Fabric) contradictions() []Problem {
	found := longerFirst("fits_width_m", f.FitsWidthM, f.FitsHeightM)
	found = append(found, sharesWithin("transmittance", "transmittance", f.Transmittance, "reflectance", f.Reflectance)...)
	if (f.Use == UseDiffusion || f.Use == UseNet) && f.Transmittance == 0 {
		found = append(found, Problem{"transmittance", "is 0: a " + f.Use + " lets light through"})
	}
	if f.Use == UseBounce && f.Reflectance == 0 {
		found = append(found, Problem{"reflectance", "is 0: a bounce gives light back"})
	}
	return found
}

func (r *Reflector) contradictions() []Problem {
	return append(sharesWithin("diffuse_a", "diffuse_a", r.DiffuseA, "specular_a", r.SpecularA),
		sharesWithin("diffuse_b", "diffuse_b", r.DiffuseB, "specular_b", r.SpecularB)...)
}

func (s *Support) contradictions() []Problem {
	var found []Problem
	if s.LowestM > s.HighestM {
		found = append(found, Problem{"lowest_m", fmt.Sprintf("%s is above highest_m %s", plain(s.LowestM), plain(s.HighestM))})
	}
	switch {
	case s.Class == ClassMachine && s.OperatorSKU == "":
		found = append(found, Problem{"operator_sku", "is empty: a machine needs the labour item of its operator"})
	case s.Class == ClassMachine && !skuPattern.MatchString(s.OperatorSKU):
		found = append(found, Problem{"operator_sku", quote(s.OperatorSKU) + " is not a SKU: " + skuRule})
	case s.Class == ClassStand && s.OperatorSKU != "":
		found = append(found, Problem{"operator_sku", quote(s.OperatorSKU) + ": a stand has no operator; leave it empty"})
	}
	return found
}

func (a *Anchor) contradictions() []Problem {
	switch {
	case a.Form == FormStake && a.SafePullN == 0:
		return []Problem{{"safe_pull_n", "is 0: a stake needs its working pull"}}
	case a.Form == FormWeight && a.SafePullN != 0:
		return []Problem{{"safe_pull_n", plain(a.SafePullN) + ": a weight holds by its mass; write 0"}}
	}
	return nil
}

func first(found []Problem) (field, problem string) {
	if len(found) == 0 {
		return "", ""
	}
	return found[0].Field, found[0].Detail
}

// Contradiction of a frame: the opening inside the outer size, widths the longer sides, supports_min at most
// supports_max.
func (f *Frame) Contradiction() (field, problem string) { return first(f.contradictions()) }

// Contradiction of a fabric: transmittance and reflectance within 1, the width the longer side, and light where the
// use needs it.
func (f *Fabric) Contradiction() (field, problem string) { return first(f.contradictions()) }

// Contradiction of a reflector: diffuse and specular reflectance within 1 on each face.
func (r *Reflector) Contradiction() (field, problem string) { return first(r.contradictions()) }

// Contradiction of a support: lowest at most highest, an operator for a machine and for nothing else.
func (s *Support) Contradiction() (field, problem string) { return first(s.contradictions()) }

// Contradiction of an anchor: a pull for a stake, none for a weight.
func (a *Anchor) Contradiction() (field, problem string) { return first(a.contradictions()) }

// The other kinds have attributes that cannot contradict each other.
func (*Ballast) Contradiction() (field, problem string)    { return "", "" }
func (*Line) Contradiction() (field, problem string)       { return "", "" }
func (*Lamp) Contradiction() (field, problem string)       { return "", "" }
func (*Vehicle) Contradiction() (field, problem string)    { return "", "" }
func (*Labour) Contradiction() (field, problem string)     { return "", "" }
func (*Accessory) Contradiction() (field, problem string)  { return "", "" }
func (*Expendable) Contradiction() (field, problem string) { return "", "" }
