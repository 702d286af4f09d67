package oracle_test

import (
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
)

// pastLens spoils a piece that lights the main zone by putting it 3 m behind the lens, so that its light falls on the camera. A mirror-like
// reflector keeps the way of its beam.
func pastLens(roles ...finding.Role) func(*shot.Shot, *sizing.Option, *catalog.Snapshot) bool {
	return func(s *shot.Shot, o *sizing.Option, stock *catalog.Snapshot) bool {
		p := the(o, roles...)
		eye := s.Axes().ToWorld(s.View().Eye)
		if p == nil || p.Serves != shot.MainLabel || the(o, finding.RoleReflectorDiffuser, finding.RoleLampDiffuser) != nil {
			return false
		}
		if p.Lamp != nil {
			place := *p.Lamp
			place.Position = eye.Add(eye.Sub(place.Aim).Unit().Scale(3))
			p.Lamp = &place
			return true
		}
		at, way := middle(p), geom.Vec{X: -eye.X, Y: -eye.Y}
		switch b := board(p, stock); {
		case mirrorLike(o, stock) == p:
			way = geom.Vec{X: -at.X, Y: -at.Y} // its beam goes on as it did
		case b != nil && (p.Face == b.FaceA && b.SpecularA > b.DiffuseA || p.Face == b.FaceB && b.SpecularB > b.DiffuseB):
			return false
		}
		behind := eye.Sub(way.Unit().Scale(3))
		putAt(p, geom.Vec{X: behind.X, Y: behind.Y, Z: at.Z})
		return true
	}
}
