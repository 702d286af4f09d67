package oracle_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/sizing/oracle"
)

// A broken answer must be caught, by the rule that it breaks. Each change below is made to every sound answer of a run
// of scenes; apply returns false where the answer has nothing to change in that way.
type mutation struct {
	name  string
	rule  oracle.Rule
	apply func(r *sizing.Result, p *sizing.Piece, stock *catalog.Snapshot) bool
}

// moved shifts a piece with its supports.
func moved(p *sizing.Piece, by geom.Vec) {
	for i := range p.Corners {
		p.Corners[i] = p.Corners[i].Add(by)
	}
	for i := range p.Supports {
		sp := &p.Supports[i]
		sp.Base = sp.Base.Add(geom.Vec{X: by.X, Y: by.Y})
		sp.HeightM += by.Z
		if sp.Arm != nil {
			sp.Arm[0], sp.Arm[1] = sp.Arm[0].Add(by), sp.Arm[1].Add(by)
		}
	}
}

func frameOf(p *sizing.Piece, stock *catalog.Snapshot) *catalog.Frame {
	for _, c := range p.Items {
		if f, ok := stock.Item(c.SKU).Spec.(*catalog.Frame); ok {
			return f
		}
	}
	return nil
}

var mutations = []mutation{
	{"a corner 3 cm off", oracle.RuleFrame, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Corners[2].X += 0.03
		return true
	}},
	{"3 cm smaller all round", oracle.RuleFrame, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		mid := p.Corners[0].Add(p.Corners[2]).Scale(0.5)
		for i, c := range p.Corners {
			p.Corners[i] = c.Add(mid.Sub(c).Unit().Scale(0.03))
		}
		return true
	}},
	{"rolled by 2° in its plane", oracle.RuleFrame, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		mid := p.Corners[0].Add(p.Corners[2]).Scale(0.5)
		n := p.Corners[1].Sub(p.Corners[0]).Cross(p.Corners[3].Sub(p.Corners[0])).Unit()
		if n.Z > 0.95 {
			return false // near the level a roll keeps the edges level
		}
		for i, c := range p.Corners {
			r := c.Sub(mid)
			p.Corners[i] = c.Add(n.Cross(r).Scale(0.035))
		}
		return true
	}},
	{"13 m off", oracle.RuleFrame, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		moved(p, geom.Vec{Z: 26})
		return true
	}},
	{"an opening's length beside the rays", oracle.RuleCovered, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		moved(p, p.Corners[1].Sub(p.Corners[0]))
		return true
	}},
	{"a source that is none", oracle.RuleCovered, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Covers = append(slices.Clone(p.Covers), "moon")
		return true
	}},
	{"no source", oracle.RuleCovered, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Covers = nil
		return true
	}},
	{"a margin told 1 cm too great", oracle.RuleMargin, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.MarginM += 0.01
		return true
	}},
	{"a clearance told 2 cm too great", oracle.RuleClearance, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.ViewClearanceM += 0.02
		return p.ViewClearanceM < 50 // behind the lens there is none
	}},
	{"a stand in the picture", oracle.RuleInView, func(r *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		ahead := geom.Toward(r.Shot.Camera.BearingDeg, 0)
		p.Supports[0].Base = ahead.Scale(r.Shot.Zone.DepthM/2 + 1)
		return true
	}},
	{"a stand among the people", oracle.RuleSupport, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Supports[0].Base = geom.Vec{}
		return true
	}},
	{"the frame through the picture", oracle.RuleInView, func(r *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		mid := p.Corners[0].Add(p.Corners[2]).Scale(0.5)
		moved(p, geom.Vec{Z: r.Shot.Camera.AimHeightM}.Sub(mid))
		return true
	}},
	{"at the height of a face", oracle.RuleHead, func(r *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		mid := p.Corners[0].Add(p.Corners[2]).Scale(0.5)
		moved(p, geom.Vec{Z: r.Shot.Allowance.HeadM - 0.05}.Sub(mid))
		return true
	}},
	{"a mast 2 m longer than it goes", oracle.RuleSupport, func(_ *sizing.Result, p *sizing.Piece, stock *catalog.Snapshot) bool {
		p.Supports[0].HeightM = stock.Item(p.Supports[0].SKU).Spec.(*catalog.Support).HighestM + 2
		return true
	}},
	{"a support less", oracle.RuleSupport, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		p.Supports = p.Supports[1:]
		return true
	}},
	{"a stand half a metre beside", oracle.RuleSupport, func(_ *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		sp := &p.Supports[0]
		sp.Base.X += 0.5
		if sp.Arm != nil {
			sp.Arm[0].X += 0.5
			sp.Arm[1].X += 0.5
		}
		return true
	}},
	{"a net for a cloth", oracle.RuleFabric, func(_ *sizing.Result, p *sizing.Piece, stock *catalog.Snapshot) bool {
		f := frameOf(p, stock)
		for _, item := range stock.Items() {
			if c, ok := item.Spec.(*catalog.Fabric); ok && c.Use == catalog.UseNet && c.FitsWidthM == f.OpeningWidthM && c.FitsHeightM == f.OpeningHeightM {
				p.Items = []catalog.Count{p.Items[0], {SKU: item.SKU, Quantity: 1}}
				return true
			}
		}
		return false
	}},
	{"a cloth for another frame", oracle.RuleFabric, func(_ *sizing.Result, p *sizing.Piece, stock *catalog.Snapshot) bool {
		f := frameOf(p, stock)
		for _, item := range stock.Items() {
			if c, ok := item.Spec.(*catalog.Fabric); ok && c.Use == catalog.UseDiffusion && c.FitsWidthM != f.OpeningWidthM && c.FitsWidthM != f.OpeningHeightM {
				p.Items = []catalog.Count{p.Items[0], {SKU: item.SKU, Quantity: 1}}
				return true
			}
		}
		return false
	}},
	{"one more of everything in the kit", oracle.RuleKit, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		lines := slices.Clone(r.Options[0].Kit.Lines)
		lines[0].Quantity++
		r.Options[0].Kit.Lines = lines
		return true
	}},
	{"a line forgotten", oracle.RuleKit, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		r.Options[0].Kit.Lines = r.Options[0].Kit.Lines[1:]
		return true
	}},
	{"a total twice as high", oracle.RuleKit, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		total, err := r.Options[0].Kit.PerDay.Add(r.Options[0].Kit.Lines[0].DayRate)
		r.Options[0].Kit.PerDay = total
		return err == nil
	}},
	{"a load 10 g off", oracle.RuleLoad, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		r.Options[0].Load.MassKg += 0.01
		return true
	}},
	{"a frame ruled out and not told", oracle.RuleRuledOut, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		if len(r.RuledOut) == 0 {
			return false
		}
		r.RuledOut = r.RuledOut[1:]
		return true
	}},
	{"no frame larger than one that does not hold the gust told", oracle.RuleRuledOut, func(r *sizing.Result, p *sizing.Piece, stock *catalog.Snapshot) bool {
		shown, was := frameOf(p, stock), len(r.RuledOut)
		r.RuledOut = slices.DeleteFunc(slices.Clone(r.RuledOut), func(x finding.RuledOut) bool {
			f, ok := stock.Item(x.SKU).Spec.(*catalog.Frame)
			return ok && f.OpeningWidthM*f.OpeningHeightM >= shown.OpeningWidthM*shown.OpeningHeightM
		})
		return p.Hold.LowerAtMS < r.Shot.GustMS && len(r.RuledOut) < was
	}},
	{"the chosen frame ruled out too", oracle.RuleRuledOut, func(r *sizing.Result, p *sizing.Piece, _ *catalog.Snapshot) bool {
		if p.Hold.LowerAtMS < r.Shot.GustMS {
			return false // then it is
		}
		r.RuledOut = append(slices.Clone(r.RuledOut), finding.RuledOut{
			SKU: p.Items[0].SKU, Role: finding.RoleOverhead, Because: finding.TooSmall, ShortByM: 0.1, Obstacle: finding.InPicture{},
		})
		return true
	}},
	{"too small by nothing", oracle.RuleRuledOut, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		list := slices.Clone(r.RuledOut)
		i := slices.IndexFunc(list, func(x finding.RuledOut) bool { return x.Because == finding.TooSmall && x.Role == finding.RoleOverhead })
		if i < 0 {
			return false
		}
		list[i].ShortByM = 0
		r.RuledOut = list
		return true
	}},
	{"a source called soft", oracle.RuleSources, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		list := slices.Clone(r.Sources)
		i := slices.IndexFunc(list, func(x scene.SourceTrack) bool { return x.Softened })
		list[i].Softened = false
		r.Sources = list
		return true
	}},
	{"the same option twice", oracle.RuleOptions, func(r *sizing.Result, _ *sizing.Piece, _ *catalog.Snapshot) bool {
		r.Options = append(slices.Clone(r.Options), r.Options[0])
		return true
	}},
}

// sheetsM2 is the area of all openings and boards of an option, and before it that of overheads and sides.
func sheetsM2(o sizing.Option, stock *catalog.Snapshot) (m2 [2]float64) {
	for _, p := range o.Pieces {
		area := 0.0
		switch spec := stock.Item(p.Items[0].SKU).Spec.(type) {
		case *catalog.Frame:
			area = spec.OpeningWidthM * spec.OpeningHeightM
		case *catalog.Reflector:
			area = spec.WidthM * spec.HeightM
		}
		if p.Role == finding.RoleOverhead || p.Role == finding.RoleSide {
			m2[0] += area
		}
		m2[1] += area
	}
	return m2
}

// softening reports whether an option begins with an overhead or a side.
func softening(o sizing.Option) bool {
	return len(o.Pieces) > 0 && (o.Pieces[0].Role == finding.RoleOverhead || o.Pieces[0].Role == finding.RoleSide)
}

// copied is a result whose first option and its first piece can be changed without changing the original.
func copied(r sizing.Result) (sizing.Result, *sizing.Piece) {
	r.Options = slices.Clone(r.Options)
	r.Options[0].Pieces = slices.Clone(r.Options[0].Pieces)
	p := &r.Options[0].Pieces[0]
	p.Supports = slices.Clone(p.Supports)
	for i := range p.Supports {
		if a := p.Supports[i].Arm; a != nil {
			c := *a
			p.Supports[i].Arm = &c
		}
	}
	return r, p
}

func TestBrokenAnswersAreCaught(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	check := func(res sizing.Result) []oracle.Violation {
		return oracle.CheckWithoutHolds(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(9, 9)))
	}
	tried := map[string]int{}
	sound := 0
	for _, s := range oracle.Scenes(800, scenes(30, 300)) {
		res, _, err := answerTo(t, s, "quayside")
		if err != nil || len(res.Options) == 0 || res.Options[0].Label != sizing.LabelOverhead || !softening(res.Options[0]) {
			continue
		}
		if len(check(res)) > 0 {
			continue // told by TestAnswersKeepEveryRule
		}
		sound++
		for _, m := range mutations {
			changed, p := copied(res)
			if !m.apply(&changed, p, stock) {
				continue
			}
			tried[m.name]++
			if !slices.ContainsFunc(check(changed), func(v oracle.Violation) bool { return v.Rule == m.rule }) {
				t.Errorf("%s: %s is not caught as %s\n\tdraft %s", s, m.name, m.rule, drafted(s.Draft))
			}
		}
	}
	if sound < 12 {
		t.Fatalf("%d sound answers: too few to break", sound)
	}
	for _, m := range mutations {
		if tried[m.name] < 3 { // of the rarest, where nothing holds the gust
			t.Errorf("%s was tried %d times", m.name, tried[m.name])
		}
	}
}

// TestShortCoverIsCaughtToACentimetre moves frames along their own sides until the nearest ray is one centimetre short.
func TestShortCoverIsCaughtToACentimetre(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	tried := 0
	for _, s := range oracle.Scenes(800, 40) {
		res, _, err := answerTo(t, s, "quayside")
		if err != nil || len(res.Options) == 0 || res.Options[0].Label != sizing.LabelOverhead || !softening(res.Options[0]) {
			continue
		}
		tried++
		caught := false
		for k := range 4 {
			changed, p := copied(res)
			side := p.Corners[(k+1)%4].Sub(p.Corners[k]).Unit()
			moved(p, side.Scale(p.MarginM-res.Shot.Allowance.CoverM+0.01))
			at := oracle.NewScene(res.Shot, res.Shot.Window.From, res.Shot.Window.To)
			for _, v := range oracle.CheckPiece(at, changed.Options[0].Pieces[0], stock, rand.New(rand.NewPCG(2, 2))) {
				caught = caught || v.Rule == oracle.RuleCovered
			}
		}
		if !caught {
			t.Errorf("%s: moved by its margin and a centimetre, each way along its sides, the frame still passes\n\tdraft %s", s, drafted(s.Draft))
		}
	}
	if tried < 12 {
		t.Errorf("%d frames were moved: too few", tried)
	}
}

// TestOptionsOutOfOrderAreCaught exchanges neighbours in the list of options: what does less of what is asked, and what is
// preferred less, may not come first.
func TestOptionsOutOfOrderAreCaught(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	tried := map[string]int{}
	for _, s := range oracle.Scenes(800, scenes(40, 60)) {
		res, _, err := answerTo(t, s, "quayside")
		if err != nil {
			continue // told by TestAnswersKeepEveryRule
		}
		for k := 1; k < len(res.Options); k++ {
			a, b := res.Options[k-1], res.Options[k]
			what := "larger first"
			switch other := a.Label == sizing.LabelOtherHour || b.Label == sizing.LabelOtherHour; {
			case a.State != b.State:
				what = "serves last"
			case a.Workable != b.Workable:
				what = "workable last"
			case other:
				what = "other hour first"
			case res.Shot.Prefer != shot.PreferSmallest || sheetsM2(a, stock) == sheetsM2(b, stock):
				continue
			}
			tried[what]++
			changed := res
			changed.Options = slices.Clone(res.Options)
			changed.Options[k-1], changed.Options[k] = b, a
			bad := oracle.CheckWithoutHolds(changed, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(9, 9)))
			if !slices.ContainsFunc(bad, func(v oracle.Violation) bool { return v.Rule == oracle.RuleOptions }) {
				t.Errorf("%s: %s before %s, %s, is not caught", s, b.Label, a.Label, what)
			}
		}
	}
	for _, what := range []string{"larger first", "serves last", "workable last", "other hour first"} {
		if tried[what] < 5 {
			t.Errorf("%s was tried %d times", what, tried[what])
		}
	}
}

// TestMachinesBesideStandsAreCaught offers what stands hold on machines as well: that is caught but for frames over 12 × 12 ft.
func TestMachinesBesideStandsAreCaught(t *testing.T) {
	t.Parallel()
	stock := demo(t, "quayside")
	tried := map[bool]int{}
	for _, s := range oracle.Scenes(800, scenes(40, 60)) {
		res, _, err := answerTo(t, s, "quayside")
		if err != nil {
			continue // told by TestAnswersKeepEveryRule
		}
		i := slices.IndexFunc(res.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelOverhead && o.Has(finding.RoleOverhead) })
		if i < 0 || slices.ContainsFunc(res.Options, func(o sizing.Option) bool { return o.Label == sizing.LabelOnLift }) {
			continue
		}
		again := res.Options[i]
		again.Label = sizing.LabelOnLift
		large := false
		for _, p := range again.Pieces {
			if f := frameOf(&p, stock); f != nil && (p.Role == finding.RoleOverhead || p.Role == finding.RoleSide) {
				large = large || f.OuterWidthM*f.OuterHeightM > 13.5 || p.Hold.LowerAtMS < res.Shot.GustMS
			}
		}
		tried[large]++
		res.Options = append(slices.Clone(res.Options), again)
		bad := oracle.CheckWithoutHolds(res, stock, res.Shot.Window.Date, rand.New(rand.NewPCG(9, 9)))
		caught := slices.ContainsFunc(bad, func(v oracle.Violation) bool {
			return strings.HasPrefix(v.Detail, "machines are offered where stands do")
		})
		if caught == large {
			t.Errorf("%s: machines beside a frame that calls for them %v: caught %v", s, large, caught)
		}
	}
	if tried[false] < 5 {
		t.Errorf("%v: too few", tried)
	}
}
