package rest

import (
	"fmt"
	"math"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/lighting"
	"kitspan/internal/price"
	"kitspan/internal/scene"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// What computed numbers are rounded to in the answer.
const (
	perMetre  = 1e4 // 0.1 mm
	perDegree = 1e4
	perLux    = 10
	perStop   = 1e4
	perKg     = 1e4
	perMinute = 10
	perWatt   = 10
	perNewton = 10
	perSpeed  = 1e4
	perAmp    = 100
	perMired  = 100
)

// AnswerOf returns the response to a sizing. A number that is not finite, which JSON cannot say, is an error.
func AnswerOf(r sizing.Result) (Sizing, error) { return answerOf(text.Metres, r) }

// answerOf is [AnswerOf] with its sentences for a reader.
func answerOf(to text.Reader, r sizing.Result) (Sizing, error) {
	p := printer{to: to}
	out := Sizing{
		Shot:        echoOf(r.Shot),
		Sources:     make([]Source, len(r.Sources)),
		Background:  p.background(r.Background),
		Options:     make([]Option, len(r.Options)),
		RuledOut:    make([]RuledOut, len(r.RuledOut)),
		WidestZoneM: p.number(r.WidestZoneM, perMetre),
		Cautions:    cautionsOf(to, r.Cautions),
	}
	if f := r.Forecast; f != nil {
		out.ForecastSpan = &Span{From: printable(f.From), To: printable(f.To)}
	}
	for i, s := range r.Sources {
		out.Sources[i] = p.source(s)
	}
	for i := range r.Options {
		out.Options[i] = p.option(&r.Options[i], i == 0)
	}
	if len(r.Ladder) > 0 {
		rungs := make([]CrewRung, len(r.Ladder))
		for i := range r.Ladder {
			rungs[i] = CrewRung{Crew: r.Ladder[i].Crew, Option: p.option(&r.Ladder[i].Option, true)}
		}
		out.CrewLadder = &rungs
	}
	for i := range r.RuledOut {
		out.RuledOut[i] = p.ruledOut(&r.RuledOut[i])
	}
	if p.broken > 0 {
		return Sizing{}, fmt.Errorf("the result holds %d numbers that are not finite", p.broken)
	}
	return out, nil
}

// printer rounds numbers for print and counts those that cannot be printed.
type printer struct {
	to     text.Reader // of the sentences; its zero is a reader of English, in metres
	broken int
}

func (p *printer) number(v, per float64) float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		p.broken++
		return 0
	}
	return math.Round(v*per)/per + 0 // -0 becomes 0
}

// optional is null where there is no number.
func (p *printer) optional(v *float64, per float64) *float64 {
	if v == nil {
		return nil
	}
	n := p.number(*v, per)
	return &n
}

func (p *printer) point(v geom.Vec) Point {
	return Point{p.number(v.X, perMetre), p.number(v.Y, perMetre), p.number(v.Z, perMetre)}
}

func (p *printer) source(s scene.SourceTrack) Source {
	out := Source{Label: s.Label, Softened: s.Softened, Track: make([]TrackPoint, len(s.Track))}
	for i, t := range s.Track {
		out.Track[i] = p.track(t)
	}
	return out
}

func (p *printer) track(t scene.TrackPoint) TrackPoint {
	return TrackPoint{
		At: t.At, AzimuthDeg: p.number(t.AzimuthDeg, perDegree), ElevationDeg: p.number(t.ElevationDeg, perDegree),
		IlluminanceLx: p.number(t.IlluminanceLx, perLux), OffAxisDeg: p.number(t.OffAxisDeg, perDegree), InView: t.InView,
	}
}

func (p *printer) background(b scene.BackgroundLevel) BackgroundLevel {
	engraved, thirds := b.TradeND()
	return BackgroundLevel{
		ReferenceLx: p.number(b.ReferenceLx, perLux), Ev100: p.number(b.EV100, perStop),
		UprightLx: p.number(b.UprightLx, perLux), LevelLx: p.number(b.LevelLx, perLux),
		NdStops: p.number(b.NDStops, perStop), NdDensity: p.number(b.NDDensity, perStop),
		NdTradeDensity: p.number(engraved, perStop), NdTradeThirds: thirds,
	}
}

func (p *printer) option(o *sizing.Option, first bool) Option {
	out := Option{
		Label: OptionLabel(o.Label), BestIn: bestIn(o), Trade: p.trade(o, first), State: OptionState(o.State), Broken: p.brokenLimits(o), GivesUp: p.givenUp(o),
		Summary: text.Summary(p.to, &o.Summary), Workable: o.Workable, Window: windowOf(o.Window), SwitchOff: list(o.SwitchOff), Background: p.background(o.Background),
		Pieces: p.pieces(o.Pieces), Levels: p.levels(&o.Levels), Sensitivity: p.trim(o.Trim),
		Crew:        p.crew(o),
		Load:        p.load(o),
		PowerW:      p.number(o.PowerW, perWatt),
		Power:       p.power(&o.Power),
		Kit:         linesOf(&o.Kit),
		Labour:      linesOf(&o.Labour),
		Transport:   linesOf(&o.Transport),
		PricePerDay: money(o.Kit.PerDay), LabourPerDay: money(o.Labour.PerDay), TransportPerDay: money(o.Transport.PerDay),
		TotalPerDay: money(o.TotalPerDay), TotalWithout: []OptionTotalWithout{},
		Wind:  p.wind(o.Wind),
		Notes: p.notes(o.Notes),
	}
	for _, u := range o.TotalWithout() {
		out.TotalWithout = append(out.TotalWithout, OptionTotalWithout(u))
	}
	if len(o.Moves) > 0 {
		moves := make([]Move, len(o.Moves))
		for i := range o.Moves {
			moves[i] = p.move(&o.Moves[i])
		}
		out.Moves = &moves
	}
	return out
}

func (p *printer) move(m *sizing.Move) Move {
	return Move{
		At: printable(m.Window.From), Minutes: m.Minutes, Hands: m.Hands, Pieces: p.pieces(m.Pieces), Background: p.background(m.Background),
		Levels: p.levels(&m.Levels), Sensitivity: p.trim(m.Trim), ReaimMin: p.optional(m.ReaimMin, perMinute), Notes: p.notes(m.Notes),
	}
}

func (p *printer) pieces(list []sizing.Piece) []Piece {
	out := make([]Piece, len(list))
	for i := range list {
		out[i] = p.piece(&list[i])
	}
	return out
}

func (p *printer) trim(steps []lighting.TrimStep) []TrimStep {
	out := make([]TrimStep, len(steps))
	for i, t := range steps {
		out[i] = TrimStep{
			DistanceM: p.number(t.DistanceM, perMetre), KeyLx: p.number(t.KeyLx, perLux),
			KeyStops: p.number(t.KeyStops, perStop), ContrastStops: p.number(t.ContrastStops, perStop),
		}
	}
	return out
}

func linesOf(k *price.Kit) []KitLine {
	out := make([]KitLine, len(k.Lines))
	for i, l := range k.Lines {
		out[i] = KitLine{Sku: l.SKU, Name: l.Name, Quantity: l.Quantity, DayRate: money(l.DayRate), LinePerDay: money(l.LinePerDay)}
	}
	return out
}

func (p *printer) levels(l *lighting.Levels) Levels {
	out := Levels{
		At: l.At, KeyLx: p.number(l.KeyLx, perLux), FillLx: p.number(l.FillLx, perLux), BackLx: p.number(l.BackLx, perLux),
		KeyStops: p.number(l.KeyStops, perStop), ContrastStops: p.number(l.ContrastStops, perStop),
		SoftnessDeg: p.number(l.SoftnessDeg, perDegree), KeySoftnessDeg: p.number(l.KeySoftnessDeg, perDegree), KeyFrom: LevelsKeyFrom(l.KeyFrom),
		KeyShiftMired: p.optional(l.KeyShiftMired, perMired), UniformityStops: p.number(l.UniformityStops, perStop),
		OtherZones: make([]ZoneLevels, len(l.OtherZones)),
	}
	for i, z := range l.OtherZones {
		out.OtherZones[i] = ZoneLevels{
			Label: z.Label, KeyLx: p.number(z.KeyLx, perLux), KeyStops: p.number(z.KeyStops, perStop),
			UniformityStops: p.number(z.UniformityStops, perStop),
		}
	}
	return out
}

func (p *printer) piece(v *sizing.Piece) Piece {
	out := Piece{
		Role: PieceRole(v.Role), Face: v.Face, Serves: v.Serves, Covers: list(v.Covers), Items: countsOf(v.Items),
		ViewClearanceM: p.number(v.ViewClearanceM, perMetre), Supports: make([]PlacedSupport, len(v.Supports)),
	}
	if v.Lights != "" {
		lights := PieceLights(v.Lights)
		out.Lights = &lights
	}
	if lamp := v.Lamp; lamp != nil {
		position, aim := p.point(lamp.Position), p.point(lamp.Aim)
		out.PositionM, out.AimM = &position, &aim
	} else {
		corners := make([]Point, len(v.Corners))
		for i, c := range v.Corners {
			corners[i] = p.point(c)
		}
		out.CornersM = &corners
		faces := v.Faces()
		azimuth, tilt := p.number(faces.Bearing(), perDegree), p.number(faces.Elevation(), perDegree)
		out.AzimuthDeg, out.TiltDeg = &azimuth, &tilt
		if v.Aim != nil {
			aim := p.point(*v.Aim)
			out.AimM = &aim
		}
	}
	if v.Role.HasMargin() {
		out.MarginM = p.optional(&v.MarginM, perMetre)
	}
	if len(v.HeldBy) > 0 {
		held := make([]PlacedHands, len(v.HeldBy))
		for i, h := range v.HeldBy {
			held[i] = PlacedHands{BaseM: GroundPoint{p.number(h.Stands.X, perMetre), p.number(h.Stands.Y, perMetre)}, HandsM: p.point(h.Holds)}
		}
		out.HeldBy = &held
	}
	out.Stands, out.OnWatch = spansOf(v.Stands), spansOf(v.OnWatch)
	out.Lines, out.Hold = p.lines(v.Lines), p.hold(&v.Hold, len(v.Lines) > 0)
	for i, s := range v.Supports {
		placed := PlacedSupport{
			Sku: s.SKU, BaseM: GroundPoint{p.number(s.Base.X, perMetre), p.number(s.Base.Y, perMetre)},
			HeightM: p.number(s.HeightM, perMetre), FootprintM: p.number(s.FootprintM, perMetre), Legs: s.Legs,
			Ballast: []Count{}, OnEachLeg: s.EachLeg, AtMast: s.AtMast, MastMomentNm: p.number(s.MastNM, perNewton),
		}
		if s.Ballast.Quantity > 0 {
			placed.Ballast = countsOf([]catalog.Count{s.Ballast})
		}
		if s.Arm != nil {
			placed.ArmM = &[]Point{p.point(s.Arm[0]), p.point(s.Arm[1])}
		}
		out.Supports[i] = placed
	}
	return out
}

// spansOf is nil without a forecast, which an empty list is not.
func spansOf(list []finding.Span) *[]Span {
	if list == nil {
		return nil
	}
	out := make([]Span, len(list))
	for i, s := range list {
		out[i] = Span{From: printable(s.From), To: printable(s.To)}
	}
	return &out
}

func (p *printer) ruledOut(f *finding.RuledOut) RuledOut {
	out := RuledOut{
		Sku: f.SKU, Role: RuledOutRole(f.Role), Because: RuledOutBecause(f.Because), Obstacle: p.obstacle(f.Obstacle), DoesOnLift: f.DoesOnLift, Detail: text.RuledOut(p.to, f),
	}
	switch f.Because {
	case finding.TooSmall, finding.InView, finding.TooHigh, finding.TooLow:
		// Over 0 by contract: what is less than can be printed is printed as the least that can.
		short := max(p.number(f.ShortByM, perMetre), 1/perMetre)
		out.ShortByM = &short
	default: // no matter of metres
	}
	return out
}

func countsOf(counts []catalog.Count) []Count {
	out := make([]Count, len(counts))
	for i, c := range counts {
		out[i] = Count{Sku: c.SKU, Quantity: c.Quantity}
	}
	return out
}

func money(a currency.Amount) Money {
	return Money{Amount: a.Number(), Currency: a.CurrencyCode()}
}

// list is never null in JSON.
func list(s []string) []string {
	if s == nil {
		return []string{}
	}
	return s
}
