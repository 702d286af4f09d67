package oracle_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/price"
	"kitspan/internal/rigging"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// A rigSpoil breaks what holds, carries or prices an option in a way that one rule has to catch. It gets an answer with that
// option alone and returns false where there is nothing to spoil in that way.
type rigSpoil struct {
	name  string
	rule  oracle.Rule
	apply func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool
}

// curve spoils the wind curve.
func curve(spoil func(w []sizing.WindStep) bool) func(*sizing.Result, *sizing.Option, *catalog.Snapshot) bool {
	return func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Wind = slices.Clone(o.Wind)
		return spoil(o.Wind)
	}
}

// some spoils the first piece that it can.
func some(spoil func(p *sizing.Piece, stock *catalog.Snapshot) bool) func(*sizing.Result, *sizing.Option, *catalog.Snapshot) bool {
	return func(_ *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		for i := range o.Pieces {
			if spoil(&o.Pieces[i], stock) {
				return true
			}
		}
		return false
	}
}

// onBags is a support of the piece with ballast, where the piece has no lines and its ballast is what it stands by.
func onBags(p *sizing.Piece) *sizing.Support {
	if len(p.Lines) > 0 || p.Hold.Support < 0 || p.Supports[p.Hold.Support].Ballast.Quantity == 0 {
		return nil
	}
	return &p.Supports[p.Hold.Support]
}

// line spoils a line of the first guyed piece.
func line(spoil func(p *sizing.Piece, l *sizing.GuyLine, stock *catalog.Snapshot) bool) func(*sizing.Result, *sizing.Option, *catalog.Snapshot) bool {
	return some(func(p *sizing.Piece, stock *catalog.Snapshot) bool {
		if len(p.Lines) == 0 {
			return false
		}
		p.Lines = slices.Clone(p.Lines)
		return spoil(p, &p.Lines[0], stock)
	})
}

// by makes all gusts of a piece so many times what they are; false where a limit that is set decides.
func by(p *sizing.Piece, share float64) bool {
	h := &p.Hold
	if h.LowerAtMS < math.Min(h.SafeToMS, 0.8*h.GoesAtMS) || h.SafeToMS < 2 || h.GoesAtMS > 50 {
		return false
	}
	h.SafeToMS, h.GoesAtMS = share*h.SafeToMS, share*h.GoesAtMS
	reckoned(p)
	return true
}

// reckoned works out when to lower and to watch a piece from what it is safe to and goes at.
func reckoned(p *sizing.Piece) {
	h := &p.Hold
	h.LowerAtMS = math.Min(h.SafeToMS, 0.8*h.GoesAtMS)
	h.WatchAtMS = 0.75 * h.LowerAtMS
}

// twists reports whether a frame on several stands, or its ropes, can twist them.
func twists(p *sizing.Piece) bool {
	if len(p.Supports) == 1 && len(p.Lines) == 0 {
		return false
	}
	return slices.ContainsFunc(p.Supports, func(sp sizing.Support) bool { return sp.Arm != nil || sp.HeightM != p.Supports[0].HeightM })
}

// lay puts so many bags on a support.
func lay(sp *sizing.Support, bags int) {
	sp.Ballast.Quantity = bags
	sp.EachLeg, sp.AtMast = bags/sp.Legs, bags%sp.Legs
}

var rigSpoils = []rigSpoil{
	{"a force 1 % too small", oracle.RuleWind, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.ForceN *= 0.99
		return p.Hold.ForceN > 0
	})},
	{"a coefficient and its force 1 % too small", oracle.RuleWind, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.Coefficient *= 0.99
		p.Hold.ForceN *= 0.99
		return true
	})},
	{"the area of the opening", oracle.RuleWind, some(func(p *sizing.Piece, stock *catalog.Snapshot) bool {
		f := frameOf(p, stock)
		if f == nil {
			return false
		}
		p.Hold.AreaM2 = f.OpeningWidthM * f.OpeningHeightM
		return true
	})},
	{"gusts 4 % too high", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool { return !twists(p) && by(p, 1.04) })},
	{"gusts of a rig whose arms twist half too high", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool { return twists(p) && by(p, 1.5) })},
	{"gusts 4 % too low", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool { return !twists(p) && by(p, 0.96) })},
	{"gusts of a rig whose arms twist 30 % too low", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool { return twists(p) && by(p, 0.7) })},
	{"safe to what it goes at", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		was := p.Hold.SafeToMS
		p.Hold.SafeToMS = p.Hold.GoesAtMS
		reckoned(p)
		return was > 1 && was < 0.9*p.Hold.GoesAtMS
	})},
	{"goes at what it is safe to", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		was := p.Hold.GoesAtMS
		p.Hold.GoesAtMS = p.Hold.SafeToMS
		reckoned(p)
		return !twists(p) && p.Hold.SafeToMS > 1 && was > 1.1*p.Hold.SafeToMS
	})},
	{"a moment of half of what it is", oracle.RuleWind, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		diagonal := p.Corners[0].Sub(p.Corners[2])
		upright := math.Abs(diagonal.Z) > 0.65*diagonal.Len()
		if len(p.Supports) > 1 || len(p.Lines) > 0 || p.Supports[0].Arm != nil || !upright || p.Supports[0].MastNM < 1 {
			return false
		}
		p.Supports[0].MastNM *= 0.5
		return true
	})},
	{"a moment that no stand on its feet bears", oracle.RuleWind, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Supports[0].MastNM = 1e5
		return true
	})},
	{"lowered when it goes", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.LowerAtMS = p.Hold.GoesAtMS
		return p.Hold.GoesAtMS > 0
	})},
	{"watched when it is to be down", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.WatchAtMS = p.Hold.LowerAtMS
		return p.Hold.LowerAtMS > 0
	})},
	{"what is in no balance goes first", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.Governs = rigging.GovernsUplift
		return true
	})},
	{"another thing of a single stand goes first", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		was := p.Hold.Governs
		p.Hold.Governs = rigging.GovernsSupport
		bears := math.Min(p.Hold.SafeToMS, 0.8*p.Hold.GoesAtMS)
		return len(p.Supports) == 1 && len(p.Lines) == 0 && p.Hold.GoesAtMS > 1 && p.Hold.LowerAtMS >= bears &&
			(was == rigging.GovernsOverturning || was == rigging.GovernsSliding)
	})},
	{"another support goes first", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.Support = -2
		return true
	})},
	{"a bag taken away", oracle.RuleGust, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		sp := onBags(p)
		if sp == nil || p.Hold.GoesAtMS >= 59 || len(p.Supports) > 1 {
			return false
		}
		lay(sp, sp.Ballast.Quantity-1)
		return true
	})},
	{"less ballast than lies on any stand", oracle.RuleBallast, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		return some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
			sp := onBags(p)
			if sp == nil || p.Hold.LowerAtMS < math.Max(3, r.Shot.GustMS) {
				return false
			}
			lay(sp, 0)
			sp.Ballast.SKU = ""
			return true
		})(r, o, stock)
	}},
	{"bags that need not be", oracle.RuleBallast, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		r.Shot.GustMS = 0
		return some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
			sp := onBags(p)
			if sp == nil || sp.Arm != nil || len(p.Supports) > 1 || p.Hold.SafeToMS < 8 || p.Hold.GoesAtMS < 10 {
				return false
			}
			lay(sp, 5)
			return true
		})(r, o, stock)
	}},
	{"bags on what does not hold, for nothing", oracle.RuleBallast, func(r *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		for i := range o.Pieces {
			p := &o.Pieces[i]
			if n := p.Supports[0].Ballast.Quantity; p.Hold.LowerAtMS >= r.Shot.GustMS || n == 0 || n > 3 {
				continue
			}
			p.Supports = slices.Clone(p.Supports)
			for k := range p.Supports {
				lay(&p.Supports[k], 2*p.Supports[k].Ballast.Quantity)
			}
			return true
		}
		return false
	}},
	{"a bag fewer on one of several stands", oracle.RuleBallast, func(_ *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		for i := range o.Pieces {
			p := &o.Pieces[i]
			first := p.Supports[0]
			if len(p.Supports) < 2 || first.Ballast.Quantity < 2 ||
				slices.ContainsFunc(p.Supports, func(sp sizing.Support) bool { return sp.SKU != first.SKU || sp.Ballast != first.Ballast }) ||
				!slices.ContainsFunc(o.Kit.Lines, func(l price.KitLine) bool { return l.SKU == first.Ballast.SKU && l.Quantity < stock.Item(l.SKU).Owned }) {
				continue
			}
			p.Supports = slices.Clone(p.Supports)
			lay(&p.Supports[0], first.Ballast.Quantity-1)
			return true
		}
		return false
	}},
	{"no word of an edge as high as a chest", oracle.RuleHead, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		n := len(o.Notes)
		o.Notes = slices.DeleteFunc(slices.Clone(o.Notes), func(note finding.Note) bool {
			_, is := note.(finding.LowEdge)
			return is
		})
		return len(o.Notes) < n
	}},
	{"a low edge that is not there", oracle.RuleHead, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		for _, n := range o.Notes {
			if _, is := n.(finding.LowEdge); is {
				return false
			}
		}
		o.Notes = append(slices.Clone(o.Notes), finding.LowEdge{Role: finding.RoleOverhead, LowM: 1.2})
		return !slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool {
			return len(p.Supports) > 1 && p.Corners[0].Z+p.Corners[1].Z+p.Corners[2].Z+p.Corners[3].Z < 8.5
		}) && len(o.Pieces) > 0
	}},
	{"legs buried under ballast", oracle.RuleBallast, some(func(p *sizing.Piece, stock *catalog.Snapshot) bool {
		sp := onBags(p)
		if sp == nil || stock.Item(sp.SKU).MassKg*15 > 75 {
			return false
		}
		for _, item := range stock.Items() {
			if item.Kind() == catalog.KindBallast && item.MassKg == 25 {
				sp.Ballast.SKU = item.SKU
			}
		}
		lay(sp, 6)
		return true
	})},
	{"blocks that hands do not carry", oracle.RuleBallast, some(func(p *sizing.Piece, stock *catalog.Snapshot) bool {
		sp := onBags(p)
		if sp == nil {
			return false
		}
		for _, item := range stock.Items() {
			if item.Kind() == catalog.KindBallast && item.MassKg > 40 {
				sp.Ballast.SKU = item.SKU
			}
		}
		return true
	})},
	{"bags of two kinds", oracle.RuleBallast, some(func(p *sizing.Piece, stock *catalog.Snapshot) bool {
		if len(p.Supports) < 2 || p.Supports[0].Ballast.Quantity == 0 || p.Supports[1].Ballast.Quantity == 0 {
			return false
		}
		for _, item := range stock.Items() {
			if item.Kind() == catalog.KindBallast && item.MassKg < 30 && item.SKU != p.Supports[0].Ballast.SKU {
				p.Supports[1].Ballast.SKU = item.SKU
			}
		}
		return true
	})},
	{"more bags than lie on a stand", oracle.RuleBallast, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		sp := onBags(p)
		if sp == nil {
			return false
		}
		sp.Ballast.Quantity = 7
		sp.EachLeg, sp.AtMast = 7/sp.Legs, 7%sp.Legs
		return true
	})},
	{"a bag on each leg that is not there", oracle.RuleBallast, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		sp := onBags(p)
		if sp == nil {
			return false
		}
		sp.EachLeg++
		return true
	})},
	{"a leg more", oracle.RuleBallast, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		sp := onBags(p)
		if sp == nil {
			return false
		}
		sp.Legs++
		return true
	})},
	{"ballast on a machine", oracle.RuleBallast, some(func(p *sizing.Piece, stock *catalog.Snapshot) bool {
		sp := &p.Supports[0]
		spec := stock.Item(sp.SKU).Spec.(*catalog.Support)
		if spec.Class != catalog.ClassMachine {
			return false
		}
		for _, item := range stock.Items() {
			if item.Kind() == catalog.KindBallast {
				sp.Ballast = catalog.Count{SKU: item.SKU, Quantity: 4}
				sp.EachLeg, sp.AtMast = 4/spec.Legs, 4%spec.Legs
			}
		}
		return true
	})},
	{"an anchor in the picture", oracle.RuleLines, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		return line(func(_ *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
			at := geom.Toward(r.Shot.Camera.BearingDeg, 0).Scale(r.Shot.Zone.DepthM/2 + 3)
			l.To = geom.Vec{X: at.X, Y: at.Y}
			return true
		})(r, o, stock)
	}},
	{"a line in the picture told so", oracle.RuleInView, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		return line(func(_ *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
			at := geom.Toward(r.Shot.Camera.BearingDeg, 0).Scale(r.Shot.Framing.DistanceM * 3)
			l.To = geom.Vec{X: at.X, Y: at.Y}
			l.From = geom.Vec{X: at.X, Y: at.Y, Z: r.Shot.Camera.AimHeightM}
			return true
		})(r, o, stock)
	}},
	{"one line and no more", oracle.RuleLines, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		if len(p.Lines) == 0 {
			return false
		}
		p.Lines = p.Lines[:1]
		return true
	})},
	{"a line from under where it is tied", oracle.RuleLines, line(func(_ *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		l.From.Z -= 0.2
		return true
	})},
	{"a line that is too short", oracle.RuleLines, line(func(p *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		way := l.To.Sub(l.From).Scale(4)
		l.From = l.To.Sub(way)
		return true
	})},
	{"lines at a frame that arms hold", oracle.RuleLines, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		armed := slices.ContainsFunc(p.Supports, func(sp sizing.Support) bool { return sp.Arm != nil && sp.Arm[0].Sub(sp.Arm[1]).Len() > 0.1 })
		if len(p.Lines) == 0 || !armed {
			return false
		}
		p.Lines = slices.Clone(p.Lines)
		for i := range p.Lines {
			p.Lines[i].Support = rigging.OnFrame
		}
		return true
	})},
	{"a weight that hands do not carry", oracle.RuleLines, line(func(p *sizing.Piece, l *sizing.GuyLine, stock *catalog.Snapshot) bool {
		for _, item := range stock.Items() {
			if a, is := item.Spec.(*catalog.Anchor); is && a.Form == catalog.FormWeight {
				l.Anchor = catalog.Count{SKU: item.SKU, Quantity: 1}
			}
		}
		return l.Point == ""
	})},
	{"a fixed point that nobody named", oracle.RuleWind, line(func(p *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		l.Anchor, l.Point = catalog.Count{}, "the old oak"
		return true
	})},
	{"a fixed point elsewhere", oracle.RuleLines, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		return line(func(p *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
			r.Shot.Site.Anchors = []shot.Anchor{{Label: "bollard", Position: l.To.Add(geom.Vec{X: 0.3}), SafePullN: 3000}}
			l.Anchor, l.Point = catalog.Count{}, "bollard"
			return true
		})(r, o, stock)
	}},
	{"no ropes, and as good with one gone", oracle.RuleLines, some(func(p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Hold.RopeGoneMS = 5
		return len(p.Lines) == 0
	})},
	{"better with a rope gone", oracle.RuleLines, line(func(p *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		p.Hold.RopeGoneMS = p.Hold.SafeToMS * 1.2
		return p.Hold.SafeToMS > 1
	})},
	{"a steeper line", oracle.RuleLines, line(func(_ *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		l.To = geom.Vec{X: (2*l.To.X + l.From.X) / 3, Y: (2*l.To.Y + l.From.Y) / 3}
		return true
	})},
	{"a pull that the rope does not bear", oracle.RuleLines, line(func(_ *sizing.Piece, l *sizing.GuyLine, stock *catalog.Snapshot) bool {
		l.PullN = 1.05 * stock.Item(l.SKU).Spec.(*catalog.Line).SafePullN
		return true
	})},
	{"two of a piece's ropes that may pull unlike", oracle.RuleLines, line(func(p *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		l.PullN /= 2
		return l.PullN > 0
	})},
	{"little at a rope's foot", oracle.RuleLines, line(func(p *sizing.Piece, l *sizing.GuyLine, stock *catalog.Snapshot) bool {
		for _, item := range stock.Items() {
			if item.Kind() == catalog.KindBallast && item.MassKg < 12 {
				l.Anchor = catalog.Count{SKU: item.SKU, Quantity: 2}
			}
		}
		return l.Point == ""
	})},
	{"a rope that pushes", oracle.RuleLines, line(func(_ *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		l.PullN = -1
		return true
	})},
	{"stakes where none are asked for", oracle.RuleLines, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		r.Shot.GroundAnchor = shot.AnchorBallast
		return line(func(_ *sizing.Piece, l *sizing.GuyLine, stock *catalog.Snapshot) bool {
			if a, is := stock.Item(l.Anchor.SKU).Spec.(*catalog.Anchor); is && a.Form == catalog.FormStake {
				return true
			}
			items := stock.Items()
			i := slices.IndexFunc(items, func(c catalog.Item) bool {
				a, ok := c.Spec.(*catalog.Anchor)
				return ok && a.Form == catalog.FormStake
			})
			if i >= 0 {
				l.Anchor = catalog.Count{SKU: items[i].SKU, Quantity: 1}
			}
			return i >= 0
		})(r, o, stock)
	}},
	{"a line to the zone", oracle.RuleLines, line(func(_ *sizing.Piece, l *sizing.GuyLine, _ *catalog.Snapshot) bool {
		l.To = geom.Vec{}
		return true
	})},
	{"said to be workable in more wind", oracle.RuleWorkable, func(r *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		if !o.Workable || len(o.Pieces) == 0 || o.Pieces[0].Hold.LowerAtMS > 30 {
			return false
		}
		r.Shot.GustMS = o.Pieces[0].Hold.LowerAtMS + 1
		return true
	}},
	{"said not to be workable", oracle.RuleWorkable, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := o.Workable
		o.Workable = false
		return was
	}},
	{"a weak piece and no note", oracle.RuleWorkable, func(r *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Notes = slices.DeleteFunc(slices.Clone(o.Notes), func(n finding.Note) bool { return n.Code() == finding.NotHeld{}.Code() })
		return slices.ContainsFunc(o.Pieces, func(p sizing.Piece) bool { return p.Hold.LowerAtMS < r.Shot.GustMS })
	}},
	{"a limit on people passed", oracle.RuleWorkable, func(r *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		fewer := o.Crew.Total - 1
		r.Shot.Limits.Crew = &fewer
		return o.Workable && fewer > 0
	}},
	{"a limit on height passed", oracle.RuleWorkable, func(r *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		low := 0.1
		r.Shot.Limits.RigHeightM = &low
		return o.Workable && len(o.Pieces) > 0
	}},
	{"one too few in all", oracle.RuleCrew, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Crew.Total--
		return o.Crew.Total > 0
	}},
	{"nobody to raise it", oracle.RuleCrew, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		c := &o.Crew
		c.Raise = c.Operators
		c.Total = max(c.Raise, c.Work)
		return len(o.Pieces) > 0
	}},
	{"nobody to hold", oracle.RuleCrew, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := o.Crew.Hold
		o.Crew.Hold = 0
		o.Crew.Work -= was
		return was > 0 && o.ReaimMin != nil
	}},
	{"work in an order that takes more", oracle.RuleCrew, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Order = slices.Clone(o.Order)
		slices.Reverse(o.Order)
		n := len(o.Order)
		return n > 1 && o.Order[0].Stay > 0 && o.Order[n-1].Stay == 0 && o.Order[0].Stay+o.Order[n-1].Hands > o.Crew.Raise-o.Crew.Operators
	}},
	{"one in charge who lifts or not", oracle.RuleCrew, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Crew.LeadLifts = !o.Crew.LeadLifts
		return len(o.Pieces) > 0
	}},
	{"ten minutes less to rig", oracle.RuleCrew, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Crew.RigMin -= 10
		return len(o.Pieces) > 0
	}},
	{"a hand who is not paid", oracle.RuleLabour, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		if len(o.Labour.Lines) == 0 {
			return false
		}
		o.Labour.Lines = slices.Clone(o.Labour.Lines)
		o.Labour.Lines[0].Quantity--
		return true
	}},
	{"labour a cent dearer", oracle.RuleLabour, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		if len(o.Labour.Lines) == 0 {
			return false
		}
		o.Labour.PerDay = o.TotalPerDay
		return true
	}},
	{"a vehicle too few", oracle.RuleTransport, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		if len(o.Haul) == 0 {
			return false
		}
		o.Haul = slices.Clone(o.Haul)
		o.Haul[0].Quantity--
		o.Haul[0].Trips--
		return true
	}},
	{"nothing that carries it", oracle.RuleTransport, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := len(o.Haul)
		o.Haul, o.Transport.Lines = nil, nil
		return was > 0
	}},
	{"a driver for a van, which the crew drives", oracle.RuleTransport, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		if slices.ContainsFunc(o.Transport.Lines, func(l price.KitLine) bool { return stock.Item(l.SKU).Kind() == catalog.KindLabour }) {
			return false
		}
		for _, item := range stock.Items() {
			l, is := item.Spec.(*catalog.Labour)
			rate, priced := item.RateOn(r.Shot.Window.Date)
			if !is || l.Role != catalog.RoleDriver || !priced {
				continue
			}
			sum, err := o.Transport.PerDay.Add(rate)
			o.Transport.PerDay = sum
			o.Transport.Lines = append(slices.Clone(o.Transport.Lines), price.KitLine{SKU: item.SKU, Name: item.Name, Quantity: 1, DayRate: rate, LinePerDay: rate})
			return err == nil
		}
		return false
	}},
	{"a total without people", oracle.RuleKit, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		was := o.TotalPerDay
		o.TotalPerDay = o.Kit.PerDay
		return !was.Equal(o.TotalPerDay)
	}},
	{"ballast that is not in the kit", oracle.RuleKit, func(_ *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		n := len(o.Kit.Lines)
		o.Kit.Lines = slices.DeleteFunc(slices.Clone(o.Kit.Lines), func(l price.KitLine) bool { return stock.Item(l.SKU).Kind() == catalog.KindBallast })
		return len(o.Kit.Lines) < n
	}},
	{"anchors that are not in the kit", oracle.RuleKit, func(_ *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		n := len(o.Kit.Lines)
		o.Kit.Lines = slices.DeleteFunc(slices.Clone(o.Kit.Lines), func(l price.KitLine) bool { return stock.Item(l.SKU).Kind() == catalog.KindAnchor })
		return len(o.Kit.Lines) < n
	}},
	{"down though it holds", oracle.RuleCurve, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		if !o.Workable || len(o.Pieces) == 0 {
			return false
		}
		for i := range o.Wind {
			o.Wind = slices.Clone(o.Wind)
			if !slices.Contains(o.Wind[i].Down, o.Pieces[0].Role) && o.Wind[i].GustMS <= o.Pieces[0].Hold.LowerAtMS {
				o.Wind[i].Down = append(slices.Clone(o.Wind[i].Down), o.Pieces[0].Role)
				return !slices.ContainsFunc(o.Pieces[1:], func(p sizing.Piece) bool { return p.Role == o.Pieces[0].Role })
			}
		}
		return false
	}},
	{"less ballast in more wind", oracle.RuleCurve, curve(func(w []sizing.WindStep) bool {
		w[len(w)-1].BallastKg = w[0].BallastKg - 1
		return w[0].BallastKg > 1
	})},
	{"fewer people in more wind", oracle.RuleCurve, curve(func(w []sizing.WindStep) bool {
		w[3].People = w[2].People - 1
		return w[2].People > 1
	})},
	{"cheaper in more wind", oracle.RuleCurve, curve(func(w []sizing.WindStep) bool {
		was := w[1].TotalPerDay
		w[1].TotalPerDay, _ = was.Mul("2")
		return was.IsPositive()
	})},
	{"a gust left out", oracle.RuleCurve, func(_ *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		o.Wind = o.Wind[1:]
		return true
	}},
	{"another gust", oracle.RuleCurve, curve(func(w []sizing.WindStep) bool {
		w[4].GustMS++
		return true
	})},
	{"up again in more wind", oracle.RuleCurve, curve(func(w []sizing.WindStep) bool {
		last := &w[len(w)-1]
		was := last.Down
		last.Down = nil
		return len(was) > 0 && len(w[len(w)-2].Down) > 0
	})},
	{"up in more wind than the house allows a frame", oracle.RuleCurve, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		for _, p := range o.Pieces {
			if f := frameOf(&p, stock); f == nil || f.GustLimitMS <= 0 || f.GustLimitMS >= 12 || r.Shot.GustMS >= 12 {
				continue
			}
			o.Wind = slices.Clone(o.Wind)
			for i := range o.Wind {
				o.Wind[i].Down = slices.DeleteFunc(slices.Clone(o.Wind[i].Down), func(role finding.Role) bool { return role == p.Role })
			}
			return true
		}
		return false
	}},
	{"a board up in more wind than its stand bears", oracle.RuleCurve, func(r *sizing.Result, o *sizing.Option, _ *catalog.Snapshot) bool {
		last := &o.Wind[len(o.Wind)-1]
		for _, p := range o.Pieces {
			if len(p.Supports) > 1 || p.Lamp != nil || p.Hold.Governs != rigging.GovernsSupport || p.Hold.LowerAtMS >= 11.5 || r.Shot.GustMS >= last.GustMS {
				continue
			}
			o.Wind = slices.Clone(o.Wind)
			last = &o.Wind[len(o.Wind)-1]
			last.Down = slices.DeleteFunc(slices.Clone(last.Down), func(role finding.Role) bool { return role == p.Role })
			return true
		}
		return false
	}},
	{"too windy by half a metre", oracle.RuleRuledOut, func(r *sizing.Result, _ *sizing.Option, _ *catalog.Snapshot) bool {
		return windy(r, func(x *finding.RuledOut) { x.ShortByM = 0.5 })
	}},
	{"a lens shade that breaks a limit", oracle.RuleWorkable, func(r *sizing.Result, o *sizing.Option, stock *catalog.Snapshot) bool {
		shadeKg := 0.0
		for _, p := range o.Pieces {
			if p.Role == finding.RoleCameraShade {
				for _, c := range p.Items {
					shadeKg += float64(c.Quantity) * stock.Item(c.SKU).MassKg
				}
			}
		}
		limit := o.Load.MassKg - shadeKg/2
		r.Shot.Limits.MassKg, o.Workable = &limit, false
		o.Notes = append(slices.Clone(o.Notes), finding.OverMass{MassKg: o.Load.MassKg, LimitKg: limit})
		return shadeKg > 0
	}},
	{"too windy for no gust", oracle.RuleRuledOut, func(r *sizing.Result, _ *sizing.Option, _ *catalog.Snapshot) bool {
		return windy(r, func(x *finding.RuledOut) { x.Obstacle = finding.NoFooting{} })
	}},
}

// windy changes the first frame that the wind rules out.
func windy(r *sizing.Result, change func(x *finding.RuledOut)) bool {
	i := slices.IndexFunc(r.RuledOut, func(x finding.RuledOut) bool { return x.Because == finding.Windy && x.Role == finding.RoleOverhead })
	if i < 0 {
		return false
	}
	r.RuledOut = slices.Clone(r.RuledOut)
	change(&r.RuledOut[i])
	return true
}

// TestSpoiltRigsAreCaught spoils options in every way above, each once (in full, some forty times), and wants each spoil caught by its rule.
func TestSpoiltRigsAreCaught(t *testing.T) {
	t.Parallel()
	enoughOfEach, least := scenes(1, 40), 1
	stock := demo(t, "quayside")
	tried := map[string]int{}
	broken := func(res sizing.Result, rule oracle.Rule) bool {
		check := oracle.CheckWithoutHolds
		switch rule {
		case oracle.RuleWind, oracle.RuleGust, oracle.RuleBallast, oracle.RuleLines:
			check = oracle.CheckResult
		}
		bad := check(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(9, 9)))
		return slices.ContainsFunc(bad, func(v oracle.Violation) bool { return v.Rule == rule })
	}
	for _, s := range oracle.Scenes(800, scenes(100, 400)) {
		if !slices.ContainsFunc(rigSpoils, func(sp rigSpoil) bool { return tried[sp.name] < enoughOfEach }) {
			break
		}
		res, _, err := answerTo(t, s, "quayside")
		if err != nil {
			continue // told by TestAnswersKeepEveryRule
		}
		for i := range res.Options {
			was := sync.OnceValue(func() (list map[oracle.Rule]bool) {
				list = map[oracle.Rule]bool{}
				for _, v := range oracle.CheckResult(alone(res, i), stock, res.Shot.Window.Date, rand.New(rand.NewPCG(9, 9))) {
					list[v.Rule] = true
				}
				return list
			})
			for _, sp := range rigSpoils {
				if tried[sp.name] >= enoughOfEach {
					continue
				}
				spoilt := alone(res, i)
				if !sp.apply(&spoilt, &spoilt.Options[0], stock) || was()[sp.rule] {
					continue
				}
				tried[sp.name]++
				if !broken(spoilt, sp.rule) {
					t.Errorf("%s, %s: %s is not caught as %s\n\tdraft %s", s, res.Options[i].Label, sp.name, sp.rule, drafted(s.Draft))
				}
			}
		}
	}
	for _, sp := range rigSpoils {
		if n := tried[sp.name]; n < least {
			t.Errorf("%s was tried %d times", sp.name, n)
		}
	}
}
