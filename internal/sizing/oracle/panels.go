package oracle

import (
	"math"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/light"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// black is what cloths and boards call their black side, and blackBack the most that the black back of a bounce cloth
// gives back: the catalogue has one reflectance a cloth, the front's.
const (
	black     = "black"
	blackBack = 0.04
)

// panel is a piece's sheet as light sees it, read from the catalogue. Side A, to which the corners' order points, is the
// face that works.
func (f parts) panel(p sizing.Piece) light.Panel {
	out := light.Panel{Corners: p.Corners}
	if b := f.board; b != nil {
		out.A = light.Surface{Diffuse: b.DiffuseA, Specular: b.SpecularA, LobeDeg: b.LobeADeg, ShiftMired: b.ColourShiftAMired}
		out.B = light.Surface{Diffuse: b.DiffuseB, Specular: b.SpecularB, LobeDeg: b.LobeBDeg, ShiftMired: b.ColourShiftBMired}
		if p.Face != b.FaceA {
			out.A, out.B = out.B, out.A
		}
		return out
	}
	c := f.fabric
	side := func(face string) light.Surface {
		if c.Use == catalog.UseBounce && face == black {
			return light.Surface{Diffuse: math.Min(c.Reflectance, blackBack), ShiftMired: c.ColourShiftMired}
		}
		return light.Surface{Diffuse: c.Reflectance, ShiftMired: c.ColourShiftMired}
	}
	out.A, out.B = side(c.FaceA), side(c.FaceB)
	if p.Face != c.FaceA {
		out.A, out.B = out.B, out.A
	}
	out.Transmittance, out.BeamShare, out.ShiftMired = c.Transmittance, c.BeamShare, c.ColourShiftMired
	out.Fed = p.Role == finding.RoleReflectorDiffuser || p.Role == finding.RoleLampDiffuser
	return out
}

// lit is what gives light at mid-window with some of an option's pieces up.
func lit(s *Scene, pieces []sizing.Piece, stock *catalog.Snapshot) light.Scene {
	out := light.Scene{SkyLx: s.skyAt(s.mid()), GroundReflectance: s.Shot.Site.GroundReflectance}
	for _, h := range s.hardAt(s.mid()) {
		out.Hard = append(out.Hard, h.Hard)
	}
	for _, p := range pieces {
		found, _ := partsOf(p, stock)
		switch {
		case !found.fit(p.Role): // told by CheckPiece
		case found.lamp != nil:
			if p.Lamp != nil {
				out.Lamps = append(out.Lamps, light.Lamp{At: p.Lamp.Position, Aim: p.Lamp.Aim, IntensityCd: found.lamp.IntensityCd, BeamDeg: found.lamp.BeamDeg})
			}
		default:
			out.Panels = append(out.Panels, found.panel(p))
		}
	}
	return out
}

// faces are the ways that the subject's key, fill and back face look: upright, 45° to either side of the lens; and from
// the lens, 45° up.
func faces(s *Scene) (key, fill, back geom.Vec) {
	b := s.Shot.Camera.BearingDeg
	left, right := toGeom(toward(b+180+45, 0)), toGeom(toward(b+180-45, 0))
	back = toGeom(toward(b, 45))
	if s.Shot.Look.KeySide == shot.SideRight {
		return right, left, back
	}
	return left, right, back
}
