package rest

import (
	"math"

	"github.com/bojanz/currency"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/shot"
)

// draftOf is what the user said, in the engine's terms. The faults are those of money, which is text in JSON and an
// exact amount everywhere else; all other rules are [shot.Draft.Resolve]'s.
func draftOf(req *SizingRequest) (shot.Draft, []Fault) {
	limits, faults := limitsOf(req.Limits, "/limits")
	d := shot.Draft{Limits: limits, Prefer: wordOf(req.Prefer), CrewLadder: deref(req.CrewLadder)}
	if req.Shot != nil {
		addShot(&d, req.Shot)
	}
	return d, faults
}

// addShot adds to a draft what was said of the shot itself.
func addShot(d *shot.Draft, s *ShotDraft) {
	if s.Name != nil {
		d.Name = *s.Name
	}
	if v := s.Site; v != nil {
		d.Site = siteOf(v)
	}
	if v := s.Window; v != nil {
		d.Window = shot.DraftWindow{Date: v.Date, Start: v.Start, End: v.End, EndDate: v.EndDate}
	}
	if v := s.Sky; v != nil {
		d.Sky = shot.DraftSky{Condition: wordOf(v.Condition), SunLx: v.SunLx, SkyLx: v.SkyLx}
	}
	if v := s.Camera; v != nil {
		d.Camera = shot.DraftCamera{BearingDeg: v.BearingDeg, HeightM: v.HeightM, AimHeightM: v.AimHeightM}
	}
	if v := s.Framing; v != nil {
		d.Framing = shot.DraftFraming{
			WidthM: v.WidthM, DistanceM: v.DistanceM, AspectRatio: v.AspectRatio,
			FocalLengthMM: v.FocalLengthMm, SensorWidthMM: v.SensorWidthMm,
		}
	}
	if v := s.Zone; v != nil {
		d.Zone = shot.DraftZone{WidthM: v.WidthM, DepthM: v.DepthM, BaseM: v.BaseM, TopM: v.TopM}
	}
	if v := s.Look; v != nil {
		d.Look = shot.DraftLook{
			Soften: wordOf(v.Soften), KeySide: wordOf(v.KeySide), KeyStops: v.KeyStops,
			ContrastStops: v.ContrastStops, NetStops: v.NetStops, BackStops: v.BackStops, Back: wordOf(v.Back), SoftDeg: v.SoftDeg,
			Colour: wordOf(v.Colour),
		}
		if b := v.BackStops; b != nil && math.IsNaN(*b) {
			d.Look.BackStops, d.Look.AnyBack = nil, true
		}
	}
	if v := s.Background; v != nil {
		d.Background = shot.DraftBackground{
			Faces: wordOf(v.Faces), Reflectance: v.Reflectance, EV100: v.Ev100, PlacementStops: v.PlacementStops,
		}
	}
	if v := s.Exposure; v != nil {
		d.Exposure = shot.DraftExposure{
			ISO: v.Iso, FrameRateFPS: v.FrameRateFps, ShutterAngleDeg: v.ShutterAngleDeg, TStop: v.TStop,
		}
	}
	if v := s.Allowance; v != nil {
		d.Allowance = shot.DraftAllowance{CoverM: v.CoverM, ViewM: v.ViewM, HeadM: v.HeadM, BallastKg: v.BallastKg, BallastHighKg: v.BallastHighKg}
	}
	d.GroundAnchor, d.GustMS, d.MeanWindMS, d.SafetyFactor = wordOf(s.GroundAnchor), s.GustMs, s.MeanWindMs, s.SafetyFactor
	if v := s.Supply; v != nil {
		d.Supply = shot.DraftSupply{Volts: v.Volts, CircuitA: v.CircuitA, Generator: v.Generator}
		if v.PositionM != nil {
			d.Supply.PositionM = append([]float64{}, *v.PositionM...) // an empty one was said, too
		}
	}
	d.Forecast = forecastOf(s.Forecast)
	if v := s.Walk; v != nil {
		d.Walk = &shot.DraftWalk{}
		if v.ToM != nil {
			d.Walk.ToM = append([]float64{}, *v.ToM...)
		}
	}
	for _, v := range deref(s.OtherZones) {
		d.OtherZones = append(d.OtherZones, shot.DraftOtherZone{
			Label: v.Label, CenterM: deref(v.CenterM), WidthM: v.WidthM, DepthM: v.DepthM,
			BaseM: v.BaseM, TopM: v.TopM, KeyStops: v.KeyStops,
		})
	}
	for _, v := range deref(s.Lamps) {
		d.Lamps = append(d.Lamps, shot.DraftLamp{
			Label: v.Label, AzimuthDeg: v.AzimuthDeg, ElevationDeg: v.ElevationDeg, IlluminanceLx: v.IlluminanceLx,
			PositionM: deref(v.PositionM), IntensityCd: v.IntensityCd, AngularRadiusDeg: v.AngularRadiusDeg, CanBeOff: v.CanBeOff,
		})
	}
}

func siteOf(v *SiteDraft) shot.DraftSite {
	out := shot.DraftSite{
		LatitudeDeg: v.LatitudeDeg, LongitudeDeg: v.LongitudeDeg, ElevationM: v.ElevationM,
		PressureHPa: v.PressureHpa, TemperatureC: v.TemperatureC, TimeZone: v.TimeZone, Roofed: v.Roofed,
		Ground: wordOf(v.Ground), GroundReflectance: v.GroundReflectance,
	}
	for _, a := range deref(v.Anchors) {
		out.Anchors = append(out.Anchors, shot.DraftAnchor{Label: a.Label, PositionM: deref(a.PositionM), SafePullN: a.SafePullN})
	}
	return out
}

// forecastOf is nil where none was said, which an empty one was.
func forecastOf(rows *[]ForecastRowDraft) []shot.DraftForecastRow {
	if rows == nil {
		return nil
	}
	out := make([]shot.DraftForecastRow, len(*rows))
	for i, v := range *rows {
		out[i] = shot.DraftForecastRow{At: v.At, GustMS: v.GustMs, Cloud: v.Cloud}
	}
	return out
}

func limitsOf(l *LimitsDraft, pointer string) (shot.DraftLimits, []Fault) {
	if l == nil {
		return shot.DraftLimits{}, nil
	}
	out := shot.DraftLimits{Crew: l.Crew, RigHeightM: l.RigHeightM, MassKg: l.MassKg, VehicleSKU: l.VehicleSku}
	var faults []Fault
	money := func(m *MoneyDraft, name string) *currency.Amount {
		if m == nil {
			return nil
		}
		amount, wrong := moneyOf(*m, pointer+"/"+name)
		if faults = append(faults, wrong...); len(wrong) > 0 {
			return nil
		}
		return &amount
	}
	out.PricePerDay, out.TotalPerDay = money(l.PricePerDay, "price_per_day"), money(l.TotalPerDay, "total_per_day")
	return out, faults
}

// moneyOf reads an amount; pointer is the money's own.
func moneyOf(m MoneyDraft, pointer string) (currency.Amount, []Fault) {
	var faults []Fault
	if m.Amount == nil {
		faults = append(faults, faultAt(pointer+"/amount", fault.Missing{Want: fault.WantAmount}))
	}
	code := deref(m.Currency)
	if _, known := currency.GetDigits(code); !known {
		var wrong fault.Kind = fault.Missing{Want: fault.WantCurrency}
		if m.Currency != nil {
			wrong = fault.UnknownCurrency{Got: cut(code)}
		}
		return currency.Amount{}, append(faults, faultAt(pointer+"/currency", wrong))
	}
	if faults != nil {
		return currency.Amount{}, faults
	}
	amount, err := catalog.ParseMoney(*m.Amount, code)
	if err != nil {
		return currency.Amount{}, []Fault{faultAt(pointer+"/amount", fault.NotAnAmount{Reason: err.Error()})}
	}
	return amount, nil
}

// wordOf turns a word of a closed list, which the engine checks, into plain text.
func wordOf[W ~string](w *W) *string {
	if w == nil {
		return nil
	}
	s := string(*w)
	return &s
}

// deref is the value, or the zero value where nothing was said.
func deref[T any](p *T) T {
	if p == nil {
		var zero T
		return zero
	}
	return *p
}
