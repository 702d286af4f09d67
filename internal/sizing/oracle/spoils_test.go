package oracle_test

import (
	"math"
	"slices"
	"strings"

	"kitspan/internal/lighting"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// A spoil breaks one option in a way that one rule has to catch. It gets the shot and a copy of the option and returns
// false where there is nothing to spoil in that way.
type spoil struct {
	name  string
	rule  oracle.Rule
	light bool // caught by rays
	apply func(shot *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool
}

// the is the first piece of a role; nil where there is none.
func the(o *sizing.Option, roles ...finding.Role) *sizing.Piece {
	i := slices.IndexFunc(o.Pieces, func(p sizing.Piece) bool { return slices.Contains(roles, p.Role) })
	if i < 0 {
		return nil
	}
	return &o.Pieces[i]
}

func middle(p *sizing.Piece) geom.Vec {
	if p.Lamp != nil {
		return p.Lamp.Position
	}
	return p.Corners[0].Add(p.Corners[2]).Scale(0.5)
}

// putAt moves a sheet with its supports so that its middle lies at a point.
func putAt(p *sizing.Piece, at geom.Vec) { moved(p, at.Sub(middle(p))) }

// turned turns a sheet about its middle by an angle, about an axis.
func turned(p *sizing.Piece, axis geom.Vec, deg float64) {
	sin, cos := math.Sincos(deg * math.Pi / 180)
	axis = axis.Unit()
	mid := middle(p)
	for i, c := range p.Corners {
		r := c.Sub(mid)
		p.Corners[i] = mid.Add(r.Scale(cos)).Add(axis.Cross(r).Scale(sin)).Add(axis.Scale(axis.Dot(r) * (1 - cos)))
	}
}

func board(p *sizing.Piece, stock *catalog.Snapshot) *catalog.Reflector {
	if p == nil {
		return nil
	}
	b, _ := stock.Item(p.Items[0].SKU).Spec.(*catalog.Reflector)
	return b
}

// mirrorLike is the first reflector that throws more than it glows, narrowly.
func mirrorLike(o *sizing.Option, stock *catalog.Snapshot) *sizing.Piece {
	p := the(o, finding.RoleReflector)
	if b := board(p, stock); b != nil && p.Face == b.FaceA && b.SpecularA > b.DiffuseA && b.LobeADeg < 10 {
		return p
	}
	return nil
}

// other turns a board's other face to the work in words.
func other(p *sizing.Piece, stock *catalog.Snapshot, want string) bool {
	b := board(p, stock)
	if b == nil || b.FaceA == b.FaceB {
		return false
	}
	face := b.FaceA
	if p.Face == b.FaceA {
		face = b.FaceB
	}
	if face != want {
		return false
	}
	p.Face = face
	return true
}

// atLens puts the first support of an option to a place in the camera's axes about the foot of the lens.
func atLens(s *shot.Shot, o *sizing.Option, at geom.Vec) bool {
	if len(o.Pieces) == 0 || len(o.Pieces[0].Supports) == 0 {
		return false
	}
	eye := s.View().Eye
	p := &o.Pieces[0]
	p.Supports = slices.Clone(p.Supports)
	p.Supports[0].Base = s.Axes().ToWorld(geom.Vec{X: eye.X + at.X, Y: eye.Y + at.Y})
	return true
}

var shapers = []finding.Role{finding.RoleReflector, finding.RoleFill, finding.RoleBlack, finding.RoleReflectorDiffuser, finding.RoleCameraShade, finding.RoleNet}

// overBehind is the overhead or side, its first support and the first further zone; ok is false where one is missing.
func overBehind(said *shot.Shot, o *sizing.Option) (p *sizing.Piece, sp *sizing.Support, z shot.OtherZone, ok bool) {
	p = the(o, finding.RoleOverhead, finding.RoleSide)
	if p == nil || len(said.OtherZones) == 0 {
		return nil, nil, z, false
	}
	return p, &p.Supports[0], said.OtherZones[0], true
}

var spoils = []spoil{
	{"a stand of the overhead among the people behind", oracle.RuleSupport, false, func(said *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		_, sp, z, ok := overBehind(said, o)
		if ok {
			sp.Base = geom.Vec{X: z.CenterX, Y: z.CenterY}
		}
		return ok
	}},
	{"an arm at the faces of the people behind", oracle.RuleHead, false, func(said *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		_, sp, z, ok := overBehind(said, o)
		if ok {
			at := geom.Vec{X: z.CenterX, Y: z.CenterY, Z: z.TopM - 0.2}
			top := at.Add(geom.Toward(said.Camera.BearingDeg+90, 0).Scale(z.WidthM + 2))
			sp.Base, sp.HeightM, sp.Arm = geom.Vec{X: top.X, Y: top.Y}, at.Z, &[2]geom.Vec{top, at}
		}
		return ok
	}},
	{"an overhead at the faces of the people behind", oracle.RuleHead, false, func(said *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p, _, z, ok := overBehind(said, o)
		if ok {
			putAt(p, geom.Vec{X: z.CenterX, Y: z.CenterY, Z: z.TopM - 0.1})
		}
		return ok
	}},
	{"a reflector in the shade of the overhead", oracle.RuleSun, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p, over := the(o, finding.RoleReflector), the(o, finding.RoleOverhead)
		if p == nil || over == nil || len(over.Covers) != 1 || over.Covers[0] != oracle.SunLabel {
			return false
		}
		putAt(p, middle(over).Sub(geom.Vec{Z: 0.6})) // right under it: the sun is never so low
		return true
	}},
	{"a reflector with its back to the sun", oracle.RuleSun, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleReflector)
		if p == nil || shot.Site.Roofed || len(shot.Lamps) > 0 {
			return false
		}
		p.Corners[1], p.Corners[3] = p.Corners[3], p.Corners[1]
		return true
	}},
	{"a mirror aimed beside the zone", oracle.RuleMirror, false, func(shot *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := mirrorLike(o, stock)
		if p == nil || shot.Site.Roofed || the(o, finding.RoleReflectorDiffuser) != nil {
			return false
		}
		turned(p, geom.Vec{Z: 1}, 35)
		return true
	}},
	{"a reflector less in a row", oracle.RuleMirror, false, func(shot *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := mirrorLike(o, stock)
		if p == nil || shot.Site.Roofed || the(o, finding.RoleReflectorDiffuser) != nil {
			return false
		}
		// All but the first look where the first looks, two metres past the zone.
		for i := range o.Pieces {
			if q := &o.Pieces[i]; q.Role == finding.RoleReflector && q.Serves == p.Serves {
				turned(q, geom.Vec{Z: 1}, 20)
			}
		}
		return true
	}},
	{"a diffusing frame behind its reflectors", oracle.RuleVeil, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		v, r := the(o, finding.RoleReflectorDiffuser, finding.RoleLampDiffuser), the(o, finding.RoleReflector, finding.RoleLamp)
		if v == nil || r == nil {
			return false
		}
		step := middle(r).Sub(middle(v)).Scale(2)
		moved(v, geom.Vec{X: step.X, Y: step.Y})
		return true
	}},
	{"feet under the lens", oracle.RuleCamera, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		return atLens(shot, o, geom.Vec{Y: 0.9})
	}},
	{"feet among the operator's", oracle.RuleCamera, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		return atLens(shot, o, geom.Vec{X: -0.4, Y: -1.6})
	}},
	{"a mirror behind the lens", oracle.RuleCamera, false, pastLens(finding.RoleReflector)},
	{"a fill behind the lens", oracle.RuleCamera, false, pastLens(finding.RoleFill)},
	{"a lamp behind the lens", oracle.RuleCamera, false, pastLens(finding.RoleLamp)},
	{"a lamp under a rope", oracle.RuleLines, false, lampUnderRope},
	{"a lens shade a width aside", oracle.RuleShade, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleCameraShade)
		if p == nil {
			return false
		}
		moved(p, p.Corners[1].Sub(p.Corners[0]))
		return true
	}},
	{"a lens shade on two stands", oracle.RuleSupport, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleCameraShade)
		if p == nil {
			return false
		}
		twin := p.Supports[0]
		twin.Base.X += 3
		p.Supports = append(slices.Clone(p.Supports), twin)
		return true
	}},
	{"a lens shade on three bags", oracle.RuleSupport, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleCameraShade)
		if p == nil || p.Supports[0].Ballast.Quantity == 0 {
			return false
		}
		p.Supports = slices.Clone(p.Supports)
		p.Supports[0].Ballast.Quantity = 3
		return true
	}},
	{"a lens shade's feet before the lens", oracle.RuleCamera, false, func(s *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleCameraShade)
		if p == nil {
			return false
		}
		eye := s.View().Eye
		p.Supports = slices.Clone(p.Supports)
		p.Supports[0].Base = s.Axes().ToWorld(geom.Vec{X: eye.X + 0.2, Y: eye.Y + 1.5})
		return -eye.Y > 1.5
	}},
	{"a lens shade for nothing", oracle.RuleShade, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleCameraShade)
		if p == nil {
			return false
		}
		p.Covers = nil
		return true
	}},
	{"a lens shade forgotten", oracle.RuleShade, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		n := len(o.Pieces)
		o.Pieces = slices.DeleteFunc(o.Pieces, func(p sizing.Piece) bool { return p.Role == finding.RoleCameraShade })
		return len(o.Pieces) < n && !slices.ContainsFunc(o.Notes, func(n finding.Note) bool { return n.Code() == finding.LensUnshaded{}.Code() })
	}},
	{"a black in the beam", oracle.RuleMirror, false, func(shot *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := mirrorLike(o, stock)
		q := the(o, finding.RoleFill, finding.RoleBlack)
		if p == nil || board(q, stock) == nil || shot.Site.Roofed || the(o, finding.RoleReflectorDiffuser) != nil || p.Serves != "main" {
			return false
		}
		// Every reflector gets a twin of the fill before its face.
		twin := *q
		at := twin.Corners
		for i := range o.Pieces {
			if r := &o.Pieces[i]; r.Role == finding.RoleReflector {
				n := r.Corners[1].Sub(r.Corners[0]).Cross(r.Corners[3].Sub(r.Corners[0])).Unit()
				twin.Supports, twin.Corners = nil, at
				grown := board(r, stock).WidthM
				for k := range twin.Corners {
					mid := middle(r)
					twin.Corners[k] = mid.Add(r.Corners[k].Sub(mid).Scale(3)).Add(n.Scale(grown / 2))
				}
				o.Pieces = append(o.Pieces, twin)
			}
		}
		return true
	}},
	{"a net half a metre narrower", oracle.RuleFrame, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleNet)
		if p == nil {
			return false
		}
		in := p.Corners[1].Sub(p.Corners[0]).Unit().Scale(0.25)
		p.Corners[0], p.Corners[3] = p.Corners[0].Add(in), p.Corners[3].Add(in)
		p.Corners[1], p.Corners[2] = p.Corners[1].Sub(in), p.Corners[2].Sub(in)
		return true
	}},
	{"a net three metres further off", oracle.RuleMargin, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleNet)
		if p == nil {
			return false
		}
		moved(p, geom.Toward(shot.Camera.BearingDeg, 0).Scale(3))
		return true
	}},
	{"a net that leaves a side of the picture free", oracle.RuleNet, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleNet)
		if p == nil {
			return false
		}
		moved(p, geom.Toward(shot.Camera.BearingDeg+90, 0).Scale(p.MarginM+0.3+p.Corners[1].Sub(p.Corners[0]).Len()/2))
		return true
	}},
	{"a net of another strength", oracle.RuleNet, false, func(_ *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := the(o, finding.RoleNet)
		if p == nil {
			return false
		}
		was := stock.Item(p.Items[1].SKU).Spec.(*catalog.Fabric)
		for _, item := range stock.Items() {
			c, ok := item.Spec.(*catalog.Fabric)
			if ok && c.Use == catalog.UseNet && c.FitsWidthM == was.FitsWidthM && c.FitsHeightM == was.FitsHeightM && c.Transmittance != was.Transmittance {
				p.Items = []catalog.Count{p.Items[0], {SKU: item.SKU, Quantity: 1}}
				return true
			}
		}
		return false
	}},
	{"a net before the people", oracle.RuleNet, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleNet)
		if p == nil {
			return false
		}
		moved(p, geom.Toward(shot.Camera.BearingDeg, 0).Scale(-middle(p).Dot(geom.Toward(shot.Camera.BearingDeg, 0))-1))
		return true
	}},
	{"a board without its stand", oracle.RuleSupport, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, shapers...)
		if p == nil {
			return false
		}
		p.Supports = p.Supports[1:]
		return true
	}},
	{"a lamp off its stand", oracle.RuleSupport, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleLamp)
		if p == nil {
			return false
		}
		p.Lamp = &sizing.LampPlace{Position: p.Lamp.Position.Add(geom.Vec{Z: 0.3}), Aim: p.Lamp.Aim}
		return true
	}},
	{"a stand among people behind", oracle.RuleSupport, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, shapers...)
		if p == nil || len(shot.OtherZones) == 0 {
			return false
		}
		z := shot.OtherZones[0]
		p.Supports[0].Base = geom.Vec{X: z.CenterX, Y: z.CenterY}
		return true
	}},
	{"a board at arm's length of the people", oracle.RuleApart, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, shapers...)
		if p == nil {
			return false
		}
		at := geom.Toward(shot.Camera.BearingDeg+90, 0).Scale(shot.Zone.WidthM/2 + 0.2)
		putAt(p, geom.Vec{X: at.X, Y: at.Y, Z: middle(p).Z})
		return true
	}},
	{"a board through the overhead", oracle.RuleApart, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p, over := the(o, shapers...), the(o, finding.RoleOverhead)
		if p == nil || over == nil {
			return false
		}
		putAt(p, middle(over))
		n := over.Corners[1].Sub(over.Corners[0]).Cross(over.Corners[3].Sub(over.Corners[0]))
		m := p.Corners[1].Sub(p.Corners[0]).Cross(p.Corners[3].Sub(p.Corners[0]))
		return n.Unit().Cross(m.Unit()).Len() > 0.2
	}},
	{"a mast through the overhead", oracle.RuleApart, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p, over := the(o, shapers...), the(o, finding.RoleOverhead)
		if p == nil || over == nil {
			return false
		}
		at := middle(over)
		n := over.Corners[1].Sub(over.Corners[0]).Cross(over.Corners[3].Sub(over.Corners[0])).Unit()
		p.Supports[0].Base, p.Supports[0].HeightM, p.Supports[0].Arm = geom.Vec{X: at.X, Y: at.Y}, at.Z+0.5, nil
		return math.Abs(n.Z) > 0.1
	}},
	{"two masts in one place", oracle.RuleApart, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p, q := the(o, finding.RoleReflector), the(o, finding.RoleFill, finding.RoleBlack)
		if p == nil || q == nil {
			return false
		}
		p.Supports[0].Base = q.Supports[0].Base
		return true
	}},
	{"two masts of one frame in one place", oracle.RuleApart, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleOverhead, finding.RoleSide, finding.RoleFill)
		if p == nil || len(p.Supports) < 2 {
			return false
		}
		p.Supports[1].Base = p.Supports[0].Base
		return true
	}},
	{"a board in the picture", oracle.RuleInView, false, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleReflector, finding.RoleFill, finding.RoleBlack)
		if p == nil {
			return false
		}
		putAt(p, geom.Toward(shot.Camera.BearingDeg, 0).Scale(3).Add(geom.Vec{Z: shot.Camera.AimHeightM}))
		return true
	}},
	{"a board's clearance told 1 cm too great", oracle.RuleClearance, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, shapers...)
		if p == nil || p.ViewClearanceM > 50 {
			return false
		}
		p.ViewClearanceM += 0.01
		return true
	}},
	{"a board under the ground", oracle.RuleHead, false, func(_ *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := the(o, finding.RoleReflector, finding.RoleFill, finding.RoleBlack)
		if board(p, stock) == nil {
			return false
		}
		putAt(p, geom.Vec{X: middle(p).X, Y: middle(p).Y})
		return true
	}},
	{"a face that the board has not", oracle.RuleFabric, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleReflector, finding.RoleFill, finding.RoleBlack)
		if p == nil {
			return false
		}
		p.Face = "tartan"
		return true
	}},
	{"a board for people that are not there", oracle.RuleOptions, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, shapers...)
		if p == nil {
			return false
		}
		p.Serves = "ghosts"
		return true
	}},
	{"a background 2 % brighter", oracle.RuleBackground, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Background.ReferenceLx *= 1.02
		return true
	}},
	{"a tenth of a stop more density", oracle.RuleBackground, false, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Background.NDStops += 0.1
		return true
	}},
	{"a key told 0.2 stops too high", oracle.RuleLevel, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.KeyLx *= math.Exp2(0.2)
		o.Levels.KeyStops += 0.2
		o.Levels.ContrastStops += 0.2
		return o.Levels.KeyLx > 50
	}},
	{"a fill told 0.2 stops too low", oracle.RuleLevel, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.FillLx *= math.Exp2(-0.2)
		o.Levels.ContrastStops += 0.2
		return o.Levels.FillLx > 50
	}},
	{"a back told 0.2 stops too high", oracle.RuleLevel, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.BackLx *= math.Exp2(0.2)
		return o.Levels.BackLx > 50
	}},
	{"a contrast of other levels", oracle.RuleLevel, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.ContrastStops += 0.05
		return true
	}},
	{"people behind told 0.2 stops brighter", oracle.RuleLevel, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		if len(o.Levels.OtherZones) == 0 || o.Levels.OtherZones[0].KeyLx < 50 {
			return false
		}
		o.Levels.OtherZones = slices.Clone(o.Levels.OtherZones)
		o.Levels.OtherZones[0].KeyLx *= math.Exp2(0.2)
		o.Levels.OtherZones[0].KeyStops += 0.2
		return true
	}},
	{"a reflector forgotten in the levels", oracle.RuleLevel, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		n := len(o.Pieces)
		o.Pieces = slices.DeleteFunc(o.Pieces, func(p sizing.Piece) bool { return p.Role == finding.RoleReflector && p.Serves == "main" })
		return len(o.Pieces) < n
	}},
	{"a lamp aimed elsewhere", oracle.RuleLevel, true, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleLamp)
		if p == nil || p.Serves != "main" {
			return false
		}
		p.Lamp = &sizing.LampPlace{Position: p.Lamp.Position, Aim: p.Lamp.Position.Scale(2).Sub(p.Lamp.Aim)}
		return true
	}},
	{"a sun stopped more than the rim wants", oracle.RuleStrength, true, func(shot *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := the(o, finding.RoleOverhead)
		if p == nil || shot.Look.BackStops == nil || *shot.Look.BackStops < 0 || len(shot.Lamps) > 0 {
			return false
		}
		was := p.Items[1].SKU
		full := strings.Replace(was, "-LIGHT-", "-FULL-", 1)
		// With the back well up, and held for sure with the heavier cloth.
		if full == was || stock.Item(full) == nil || o.Levels.BackLx < 0.7*o.Background.ReferenceLx || shot.Look.Back != "preferred" ||
			p.Hold.GoesAtMS < 1.06*shot.GustMS*math.Sqrt(shot.SafetyFactor) {
			return false
		}
		p.Items = slices.Clone(p.Items)
		p.Items[1].SKU = full
		return true
	}},
	{"a fill too far off to bring anything", oracle.RuleGain, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleFill)
		if p == nil {
			return false
		}
		putAt(p, middle(p).Scale(20))
		return true
	}},
	{"a key told half as large again", oracle.RuleSoftness, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.KeySoftnessDeg *= 1.5
		return o.Levels.KeySoftnessDeg > 1 && o.Levels.KeyLx > 50
	}},
	{"a key told to come from a side frame", oracle.RuleSoftness, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := o.Levels.KeyFrom
		o.Levels.KeyFrom = finding.FromRole(finding.RoleSide)
		return was != o.Levels.KeyFrom && o.Levels.KeyLx > 50
	}},
	{"a key told warmer by 10 mired", oracle.RuleColour, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		warmer := 10.0
		if was := o.Levels.KeyShiftMired; was != nil {
			warmer += *was
		}
		o.Levels.KeyShiftMired = &warmer
		return o.Levels.KeyLx > 50 && len(o.Pieces) > 0
	}},
	{"gold where the key is to be neutral", oracle.RuleColour, true, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleReflector)
		shot.Look.Colour = "neutral"
		return p != nil && p.Face == "gold"
	}},
	{"a warm key that is none", oracle.RuleServes, true, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := shot.Look.Colour
		shot.Look.Colour = "warm"
		return was == "neutral" && o.Levels.KeyLx > 50 && (o.Levels.KeyShiftMired == nil || *o.Levels.KeyShiftMired < 10) && o.Background.ReferenceLx > 10
	}},
	{"a warm key said to be none", oracle.RuleServes, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.GivesUp = append(slices.Clone(o.GivesUp), finding.Shortfall{What: finding.Colour})
		return o.Levels.KeyShiftMired != nil && *o.Levels.KeyShiftMired > 25
	}},
	{"an evenness of half a stop more", oracle.RuleEven, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.UniformityStops -= 0.5
		return true
	}},
	{"an unevenness of a stop and a half more", oracle.RuleEven, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Levels.UniformityStops += 1.5
		return true
	}},
	{"a table of distances without the plan's", oracle.RuleTrim, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		if len(o.Trim) == 0 {
			return false
		}
		o.Trim = slices.DeleteFunc(slices.Clone(o.Trim), func(s lighting.TrimStep) bool { return math.Abs(s.KeyLx-o.Levels.KeyLx) < 1e-3*s.KeyLx })
		return len(o.Trim) > 0
	}},
	{"a table of distances back to front", oracle.RuleTrim, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Trim = slices.Clone(o.Trim)
		slices.Reverse(o.Trim)
		return len(o.Trim) > 0
	}},
	{"boards aimed anew far too late", oracle.RuleReaim, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		length := o.Window.To.Sub(o.Window.From).Minutes()
		if o.ReaimMin == nil || *o.ReaimMin > length/4 {
			return false
		}
		late := length
		o.ReaimMin = &late
		return true
	}},
	{"boards aimed anew all the time", oracle.RuleReaim, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		if o.ReaimMin == nil || *o.ReaimMin < 10 {
			return false
		}
		soon := 0.0
		o.ReaimMin = &soon
		return true
	}},
	{"a fill with its black side to the face", oracle.RuleEffect, true, func(shot *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		some := false
		if shot.Site.Roofed || len(shot.Lamps) > 0 {
			return false // it hides no sky, or a lamp on its black side gives as much: it takes nothing that could be noticed
		}
		for i := range o.Pieces {
			some = o.Pieces[i].Role == finding.RoleFill && other(&o.Pieces[i], stock, "black") || some
		}
		return some
	}},
	{"a fill called a black", oracle.RuleEffect, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleFill)
		if p == nil || the(o, finding.RoleBlack) != nil {
			return false
		}
		p.Role = finding.RoleBlack
		return true
	}},
	{"a black called a fill", oracle.RuleEffect, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		p := the(o, finding.RoleBlack)
		if p == nil || the(o, finding.RoleFill) != nil {
			return false
		}
		p.Role = finding.RoleFill
		return true
	}},
	{"called of service", oracle.RuleServes, true, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := o.Serves()
		o.GivesUp = nil
		return !was && math.Abs(o.Levels.KeyStops-shot.Look.KeyStops) > 0.5
	}},
	{"called of no service", oracle.RuleServes, true, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		was, by := o.Serves(), o.Levels.KeyStops-shot.Look.KeyStops
		o.GivesUp = []finding.Shortfall{{What: finding.Key, ByStops: &by}}
		return was && math.Abs(o.Levels.KeyStops-shot.Look.KeyStops) < 0.2 && math.Abs(o.Levels.ContrastStops-shot.Look.ContrastStops) < 0.2 &&
			(shot.Look.BackStops == nil || shot.Look.Back == "preferred") && len(shot.OtherZones) == 0 && len(shot.Lamps) == 0 && o.Label != sizing.LabelOtherHour
	}},
	{"a key missed by half as much", oracle.RuleServes, true, func(_ *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		i := slices.IndexFunc(o.GivesUp, func(s finding.Shortfall) bool { return s.What == finding.Key && s.ByStops != nil })
		if i < 0 {
			return false
		}
		half := *o.GivesUp[i].ByStops / 2
		o.GivesUp = slices.Clone(o.GivesUp)
		o.GivesUp[i].ByStops = &half
		return math.Abs(half) > 0.2
	}},
	{"a lack that no note tells", oracle.RuleServes, true, func(shot *shot.Shot, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Notes = slices.DeleteFunc(slices.Clone(o.Notes), missesKey)
		return math.Abs(o.Levels.KeyStops-shot.Look.KeyStops) > 0.5
	}},
}

// missesKey reports whether a note tells that the key is not as asked.
func missesKey(n finding.Note) bool {
	switch n.(type) {
	case finding.KeyTooBright, finding.KeyTooDark, finding.KeyMissed:
		return true
	default:
		return false
	}
}
