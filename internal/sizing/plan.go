package sizing

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/geom"
	"kitspan/internal/light"
)

// engine is one shot against one house: what every step of a plan reads.
type engine struct {
	shot   *Shot
	stock  *catalog.Snapshot
	prices Pricer
	zone   *time.Location
	limit  int64 // price per day in minor units; 0 for none
	// stands and lifts are the house's frames with supports of each class, best first.
	stands, lifts []*candidate
}

// Plan sizes one resolved shot from one house's catalogue. Its only errors are a catalogue that contradicts itself,
// such as a frame without a price that was priced a moment ago.
func Plan(shot Shot, stock *catalog.Snapshot, prices Pricer) (Result, error) {
	e := &engine{shot: &shot, stock: stock, prices: prices, zone: shot.Window.From.Location()}
	if l := shot.Limits.PricePerDay; l != nil {
		n, err := l.Int64()
		if err != nil {
			return Result{}, fmt.Errorf("sizing: price limit: %w", err)
		}
		e.limit = n
	}
	e.stands = candidates(&shot, stock, prices, catalog.ClassStand)
	e.lifts = candidates(&shot, stock, prices, catalog.ClassMachine)

	st := newStage(&shot)
	sky := newSky(&shot, shot.Window.From, shot.Window.To)
	list := sources(&shot, st, sky)
	res := Result{Shot: shot, Cautions: cautions()}
	var hard []*source
	for _, src := range list {
		res.Sources = append(res.Sources, src.track(&shot, st))
		if len(src.spans) > 0 {
			hard = append(hard, src)
		}
	}
	res.Background = background(&shot, list, sky)
	notes := append(slices.Clone(shot.Notes), e.advice(st, list)...)

	if len(hard) == 0 || shot.Look.Soften == SoftenOff {
		opt, err := e.bare(list, hard, notes)
		res.Options = []Option{opt}
		res.WidestZoneM = widestAskedM // nothing stands in the way of any
		if len(hard) > 0 {
			res.WidestZoneM = e.widest(newGroup(st, hard))
		}
		return res, err
	}
	return e.overheads(res, st, hard, notes)
}

// overheads fills in the options of a shot that has something to soften, what was ruled out and the widest zone.
func (e *engine) overheads(res Result, st *stage, hard []*source, notes []string) (Result, error) {
	all := newGroup(st, hard)
	onStands := e.single(all, e.stands)
	if onStands == nil && len(hard) > 1 {
		onStands = e.share(st, hard, e.stands)
	}
	onLift := e.single(all, e.lifts)
	if onLift == nil && onStands == nil && len(hard) > 1 {
		onLift = e.share(st, hard, e.lifts)
	}

	res.RuledOut = e.ruledOut(all, onStands, onLift)
	first, err := e.option(LabelOverhead, e.shot.Window, st, onStands, notes)
	if err != nil {
		return res, err
	}
	if onStands == nil {
		e.leftOut(&first, res.RuledOut, st, hard)
	}
	res.Options = append(res.Options, first)
	if onLift != nil {
		opt, err := e.option(LabelOnLift, e.shot.Window, st, onLift, notes)
		if err != nil {
			return res, err
		}
		res.Options = append(res.Options, opt)
	}
	if opt, ok, err := e.laterHour(onStands); err != nil {
		return res, err
	} else if ok {
		res.Options = append(res.Options, opt)
	}
	e.order(res.Options)
	res.WidestZoneM = e.widest(all)
	if len(onStands) > 1 { // shared: as wide as the tightest of the frames' shares allows
		res.WidestZoneM = math.Inf(1)
		for _, ch := range onStands {
			res.WidestZoneM = math.Min(res.WidestZoneM, e.widest(ch.group))
		}
	}
	return res, nil
}

// single is the one frame that stops all the sources of a group. Where every such rig breaks the price limit it is chosen
// all the same, and the option says so.
func (e *engine) single(g *group, cands []*candidate) []*choice {
	ch := g.choose(cands, e.limit)
	if ch == nil && e.limit > 0 {
		ch = g.choose(cands, 0)
	}
	if ch == nil {
		return nil
	}
	return []*choice{ch}
}

// option turns choices into an option of the answer; no choices make one without pieces.
func (e *engine) option(label Label, w Window, st *stage, choices []*choice, notes []string) (Option, error) {
	opt := Option{Label: label, Window: w, Workable: true, Serves: true, Notes: slices.Clone(notes)}
	kit, err := e.prices.Price(countAll(choices))
	if err != nil {
		return opt, fmt.Errorf("sizing: price %s: %w", label, err)
	}
	opt.Kit = kit
	for _, l := range kit.Lines {
		item := e.stock.Item(l.SKU)
		opt.Load.MassKg += float64(l.Quantity) * item.MassKg
		opt.Load.VolumeM3 += float64(l.Quantity) * item.PackedM3
	}
	area, supports := 0.0, 0
	for _, ch := range choices {
		area += ch.candidate.areaM2
		supports += ch.rigged.count
	}
	minor, err := kit.PerDay.Int64()
	if err != nil {
		return opt, fmt.Errorf("sizing: price %s: %w", label, err)
	}
	opt.rank = rankBy(e.shot.Prefer, area, opt.Load.MassKg, minor, supports)
	for i, role := range roles(choices) {
		opt.Pieces = append(opt.Pieces, choices[i].piece(role, st))
	}
	opt.Summary = e.summary(&opt, choices)
	e.keepLimits(&opt, choices)
	return opt, nil
}

// roles calls the most level of the frames the overhead, and the others side frames.
func roles(choices []*choice) []Role {
	out := make([]Role, len(choices))
	level, at := -1.0, 0
	for i, ch := range choices {
		out[i] = RoleSide
		if n := math.Abs(ch.rigged.opening.Normal().Z); n > level+1e-9 {
			level, at = n, i
		}
	}
	if len(out) > 0 {
		out[at] = RoleOverhead
	}
	return out
}

// keepLimits marks an option that breaks a limit and says by how much.
func (e *engine) keepLimits(opt *Option, choices []*choice) {
	if e.limit == 0 || len(choices) == 0 {
		return
	}
	limit := e.shot.Limits.PricePerDay
	over, err := opt.Kit.PerDay.Sub(*limit)
	if err != nil || !over.IsPositive() {
		return
	}
	opt.Workable = false
	opt.Notes = append(opt.Notes, fmt.Sprintf("Over the limit of %s %s a day by %s %s.",
		limit.Number(), limit.CurrencyCode(), over.Number(), over.CurrencyCode()))
}

// leftOut says of the option without its overhead what is missing and how near the nearest frame came.
func (e *engine) leftOut(opt *Option, ruled []RuledOut, st *stage, hard []*source) {
	opt.Serves = false
	opt.Workable = e.shot.Look.Soften != SoftenRequired
	opt.Summary = "No frame of the house on stands softens this shot; the light stays hard."
	var nearest *RuledOut
	for i := range ruled {
		r := &ruled[i]
		if r.ShortByM > 0 && (nearest == nil || r.ShortByM < nearest.ShortByM) {
			nearest = r
		}
	}
	note := "The softening that is asked for is left out: no frame of the house on stands does it."
	if nearest != nil {
		note += " The nearest: " + nearest.Detail
	}
	opt.Notes = append(opt.Notes, note)
	for _, src := range hard {
		for i := range src.checks {
			if far := st.outOfView(src.checks[i].dir); far > farM {
				opt.Notes = append(opt.Notes, fmt.Sprintf(
					"Light from %s still crosses the picture %.0f m from the zone, as far away as a frame is put: raise or tilt the lens, narrow the shot, or shoot when the sun is higher.",
					src.name(), farM))
				return
			}
		}
	}
}

// bare is the option of a shot with nothing to soften, or nothing to be softened: no overhead.
func (e *engine) bare(list, hard []*source, notes []string) (Option, error) {
	switch {
	case e.shot.Look.Soften == SoftenOff:
		notes = append(notes, "Softening is off: no overhead is planned.")
	case len(list) == 0:
		notes = append(notes, "Nothing to soften: a roof keeps the sun off and no lamps are given.")
	case len(hard) == 0:
		notes = append(notes, "Nothing to soften: no hard source stands over the shot in this window.")
	}
	opt, err := e.option(LabelOverhead, e.shot.Window, nil, nil, notes)
	opt.Summary = "No overhead. " + notes[len(notes)-1]
	return opt, err
}

// order sorts options as the contract has it: those that do what the look asks, then workable, then by preference, the
// later hour last in its class.
func (e *engine) order(options []Option) {
	slices.SortStableFunc(options, func(a, b Option) int {
		later := func(o *Option) int { return int(flag(o.Label == LabelLaterHour)) }
		return cmp.Or(
			cmp.Compare(flag(!a.Serves), flag(!b.Serves)),
			cmp.Compare(flag(!a.Workable), flag(!b.Workable)),
			cmp.Compare(later(&a), later(&b)),
			slices.Compare(a.rank[:], b.rank[:]),
		)
	})
}

// ruledOut lists every frame smaller than the overhead chosen on stands, or every frame when none serves, smallest
// first.
func (e *engine) ruledOut(all *group, chosen, onLift []*choice) []RuledOut {
	g, limit := all, math.Inf(1)
	for i, role := range roles(chosen) {
		if role == RoleOverhead {
			g, limit = chosen[i].group, chosen[i].candidate.areaM2
		}
	}
	frames := slices.Clone(e.stands)
	slices.SortStableFunc(frames, func(a, b *candidate) int {
		return cmp.Or(cmp.Compare(a.areaM2, b.areaM2), strings.Compare(a.item.SKU, b.item.SKU))
	})
	lifts := map[string]*candidate{}
	for _, c := range e.lifts {
		lifts[c.item.SKU] = c
	}
	var out []RuledOut
	for _, c := range frames {
		if c.areaM2 > limit-1e-9 {
			break
		}
		r, does := e.why(g, c)
		if lift := lifts[c.item.SKU]; !does && g == all && len(onLift) == 1 && lift.areaM2 >= onLift[0].candidate.areaM2-1e-9 &&
			len(lift.ways) > 0 && g.try(lift).fits() {
			r.Detail += " On a lifting machine it would do."
		}
		out = append(out, r)
	}
	return out
}

// summary is one sentence that a person can act on.
func (e *engine) summary(opt *Option, choices []*choice) string {
	if len(choices) == 0 {
		return "No overhead."
	}
	var parts []string
	times := map[string]int{}
	for _, ch := range choices {
		var on []string
		for _, n := range ch.supports() {
			on = append(on, fmt.Sprintf("%d × %s", n.Quantity, e.stock.Item(n.SKU).Name))
		}
		part := fmt.Sprintf("%s with %s on %s, middle %.1f m up",
			ch.candidate.item.Name, ch.candidate.fabric.Name, strings.Join(on, " and "), ch.rigged.opening.Center.Z)
		if times[part]++; times[part] == 1 {
			parts = append(parts, part)
		}
	}
	for i, part := range parts {
		if n := times[part]; n > 1 {
			parts[i] = fmt.Sprintf("%d times %s", n, part)
		}
	}
	s := strings.Join(parts, "; ")
	if opt.Label == LabelLaterHour {
		s = fmt.Sprintf("Shoot %s to %s: %s", opt.Window.Start, opt.Window.End, s)
	}
	return fmt.Sprintf("%s; %s %s a day.", s, opt.Kit.PerDay.Number(), opt.Kit.PerDay.CurrencyCode())
}

// background is the exposure reference at mid-window: the sunlit ground, or what was measured.
func background(s *Shot, list []*source, k *sky) BackgroundLevel {
	var lx float64
	if s.Background.EV100 != nil {
		lx = light.LuxOfEV100(*s.Background.EV100)
	} else {
		if !s.Site.Roofed {
			p, d := k.at(s.Window.mid())
			lx = d.SkyHorizontalLx + d.BeamNormalLx*math.Max(0, math.Sin(p.ElevationDeg*math.Pi/180))
		}
		for _, src := range list {
			if src.lamp != nil {
				lx += src.moments[0].lux * math.Max(0, geom.Toward(0, src.moments[0].el).Z)
			}
		}
		lx = light.ReferenceLx(lx, s.Background.Reflectance)
	}
	lx = math.Max(lx, darkestLx)
	exp := light.Exposure{
		ISO: s.Exposure.ISO, FrameRateFPS: s.Exposure.FrameRateFPS,
		ShutterAngleDeg: s.Exposure.ShutterAngleDeg, TStop: s.Exposure.TStop,
	}
	nd := exp.NDStops(lx, s.Background.PlacementStops)
	return BackgroundLevel{ReferenceLx: lx, EV100: light.EV100(lx), NDStops: nd, NDDensity: light.NDDensity(nd)}
}

// darkestLx stands for no light at all, so that its exposure value is a number: starlight (from memory).
const darkestLx = 1e-3
