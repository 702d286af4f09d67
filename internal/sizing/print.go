package sizing

import (
	"context"
	"math"

	"kitspan/internal/anchorage"
	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/overhead"
	"kitspan/internal/rigging"
	"kitspan/internal/scene"
)

// framePiece returns a rig as the answer has it, in the world's frame.
func framePiece(ch *overhead.Rig, role finding.Role, st *scene.Stage) Piece {
	r := &ch.Placed
	p := Piece{
		Role: role, Serves: "main", Face: ch.Candidate.FabricSpec().FaceA,
		Items: []catalog.Count{
			{SKU: ch.Candidate.Item.SKU, Quantity: 1}, {SKU: ch.Candidate.Fabric.SKU, Quantity: 1},
		},
		MarginM: r.MarginM, ViewClearanceM: math.Min(r.ClearM, scene.ClearOfAllM), // the frame's own; supports follow
		OuterAreaM2: ch.Candidate.Frame.OuterWidthM * ch.Candidate.Frame.OuterHeightM,
	}
	for _, s := range ch.Group.Sources {
		p.Covers = append(p.Covers, s.Label)
	}
	for i, c := range r.Opening.Corners() {
		p.Corners[i] = st.ToWorld(c)
	}
	for _, m := range ch.Masts() {
		p.Supports = append(p.Supports, supportPiece(&m, st))
		p.ViewClearanceM = math.Min(p.ViewClearanceM, anchorage.ViewClearanceM(st, &m))
	}
	for i := range ch.Hands {
		h := &ch.Hands[i]
		p.HeldBy = append(p.HeldBy, Hand{Stands: st.ToWorld(h.Stands), Holds: st.ToWorld(h.Holds)})
		p.ViewClearanceM = math.Min(p.ViewClearanceM, h.ViewClearanceM(st))
	}
	p.topM = anchorage.TopM(&r.Outer)
	p.hold(&ch.Anchorage, st)
	return p
}

// armEpsilonM is the length, in metres, of the shortest arm that is reported.
const armEpsilonM = 1e-3

// lightPiece returns a piece of a setup as the answer has it, in the world's frame.
func lightPiece(s *lighting.Setup, p *lighting.Piece) Piece {
	st := s.Light.Stage
	out := Piece{
		Role: p.Role, Face: p.Face, Serves: p.Serves, Lights: p.Lights, Covers: p.Covers, Items: p.Items, MarginM: p.MarginM,
		ViewClearanceM: scene.ClearOfAllM, OuterAreaM2: p.OuterM2,
	}
	if p.Lamp != nil {
		out.Lamp = &LampPlace{Position: st.ToWorld(p.Lamp.At), Aim: st.ToWorld(p.Lamp.Aim)}
		out.ViewClearanceM = math.Min(out.ViewClearanceM, st.View.Clearance(p.Lamp.At))
	} else {
		for i, c := range p.Sheet.Corners() {
			out.Corners[i] = st.ToWorld(c)
		}
		if p.Aim != nil {
			aim := st.ToWorld(*p.Aim)
			out.Aim = &aim
		}
		if p.Role == finding.RoleNet {
			out.ViewClearanceM = lighting.EdgeClearance(st, p.Outer)
		} else {
			corners := p.Outer.Corners()
			out.ViewClearanceM = math.Min(out.ViewClearanceM, st.View.PolygonClearance(corners[:]))
		}
	}
	for i := range p.Masts {
		m := &p.Masts[i]
		out.Supports = append(out.Supports, supportPiece(m, st))
		out.ViewClearanceM = math.Min(out.ViewClearanceM, anchorage.ViewClearanceM(st, m))
	}
	out.topM = p.TopM()
	out.hold(&p.Anchorage, st)
	return out
}

func supportPiece(m *anchorage.Mast, st *scene.Stage) Support {
	s := Support{SKU: m.Support.Item.SKU, Base: st.ToWorld(m.Base), HeightM: m.Held.Z, FootprintM: m.Support.Spec.FootprintM, Legs: m.Support.Spec.Legs}
	if m.ArmM() > armEpsilonM {
		s.Arm = &[2]geom.Vec{st.ToWorld(m.Top()), st.ToWorld(m.Held)}
	}
	return s
}

// hold fills in what holds a piece, its ropes and its ballast.
func (v *Piece) hold(f *anchorage.Anchorage, st *scene.Stage) {
	for i := range v.Supports {
		s := &v.Supports[i]
		if n := f.Bags[i]; n > 0 {
			s.Ballast = catalog.Count{SKU: f.Bag.SKU, Quantity: n}
			s.EachLeg, s.AtMast = rigging.OverLegs(n, s.Legs)
		}
	}
	for i := range f.Ropes {
		r := &f.Ropes[i]
		line := GuyLine{SKU: r.Item.SKU, Support: r.Mast, From: st.ToWorld(r.From), To: st.ToWorld(r.To), Point: r.Label}
		if r.Anchor != nil {
			line.Anchor = catalog.Count{SKU: r.Anchor.SKU, Quantity: r.Count}
		}
		v.Lines = append(v.Lines, line)
		v.ViewClearanceM = math.Min(v.ViewClearanceM, st.View.SegmentClearance(r.From, r.To))
	}
}

// bear fills in what the wind does to a piece, in a gust in m/s and up to which it stands.
func (v *Piece) bear(f *anchorage.Anchorage, b *anchorage.Piece, gustMS float64) {
	panel := b.Panel()
	w := panel.Wind()
	forces, pullN := f.Forces(gustMS)
	v.Hold = Hold{
		AreaM2: panel.AreaM2(), PressurePa: rigging.VelocityPressure(gustMS), ForceN: panel.ForceN(gustMS),
		Coefficient: math.Max(w.Down.Normal, w.Up.Normal) / panel.AreaM2(),
		Hold:        f.Hold(), RopeGoneMS: f.RopeGoneMS(),
	}
	for i := range v.Supports {
		if b.Masts[i].Support.Spec.Class != catalog.ClassMachine {
			v.Supports[i].MastNM = forces.MastNM[i]
		}
	}
	for i := range v.Lines {
		v.Lines[i].PullN = pullN
	}
}

// measured fills in what only an answer says of an option, and nothing is chosen by: what the wind does to its pieces, and how even the key
// is.
func measured(ctx context.Context, pl *planner, o *Option) {
	for k, a := range o.arranged {
		levels := &o.Levels
		if k > 0 {
			levels = &o.Moves[k-1].Levels
		}
		a.Spread(ctx)
		levels.UniformityStops = a.Levels.UniformityStops // further zones share their memory
		if len(pl.shot.Forecast) == 0 {                   // else the wind has been asked about
			bears(pl, o.piecesIn(k), a)
		}
	}
}

// bears fills in what the wind does to the pieces of an arrangement.
func bears(pl *planner, pieces []Piece, a *lighting.Arrangement) {
	for i, ch := range a.Rigs {
		b := ch.Held()
		pieces[i].bear(&ch.Anchorage, &b, pl.holding.GustMS)
	}
	for i, p := range a.Pieces {
		b := a.Held(p)
		pieces[len(a.Rigs)+i].bear(&p.Anchorage, &b, pl.holding.GustMS)
	}
}
