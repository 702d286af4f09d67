package rest

import (
	"kitspan/internal/job"
	"kitspan/internal/shot"
)

// jobDraftOf is what the user said of a job, in the engine's terms. The faults are those of money; all other rules are
// [job.Draft.Resolve]'s.
func jobDraftOf(in *JobDraft) (job.Draft, []Fault) {
	out := job.Draft{Name: in.Name, Notes: in.Notes, TimeZone: in.TimeZone}
	if p := in.Production; p != nil {
		out.Production = job.DraftProduction{Name: p.Name, Contact: p.Contact, Address: p.Address}
	}
	if h := in.Hire; h != nil {
		out.Hire = job.DraftHire{From: h.From, To: h.To}
	}
	for _, m := range deref(in.Moves) {
		out.Moves = append(out.Moves, job.DraftMove{Between: deref(m.Between), Minutes: m.Minutes})
	}
	if in.Places != nil {
		out.Places = make(map[string]job.Place, len(*in.Places))
	}
	for name, p := range deref(in.Places) {
		out.Places[name] = placeOf(&p)
	}
	var faults []Fault
	for i := range deref(in.Shots) {
		one, wrong := jobShotOf(&(*in.Shots)[i], job.ShotPointer(i))
		out.Shots = append(out.Shots, one)
		faults = append(faults, wrong...)
	}
	return out, faults
}

func placeOf(p *PlaceDraft) job.Place {
	return job.Place{
		DraftSite: siteOf(&SiteDraft{
			LatitudeDeg: p.LatitudeDeg, LongitudeDeg: p.LongitudeDeg, ElevationM: p.ElevationM, PressureHpa: p.PressureHpa, TemperatureC: p.TemperatureC,
			TimeZone: p.TimeZone, Roofed: p.Roofed, Ground: (*SiteDraftGround)(p.Ground), GroundReflectance: p.GroundReflectance, Anchors: p.Anchors,
		}),
		Forecast: forecastOf(p.Forecast),
	}
}

// jobShotOf is a shot of a job; pointer is its own.
func jobShotOf(in *JobShotDraft, pointer string) (job.DraftShot, []Fault) {
	limits, faults := limitsOf(in.Limits, pointer+"/limits")
	out := job.DraftShot{Number: in.Number, Place: in.Place, Pin: wordOf(in.Pin), Draft: shot.Draft{Limits: limits, Prefer: wordOf(in.Prefer)}}
	if w := in.When; w != nil {
		out.When = &job.DraftWhen{Date: w.Date, Earliest: w.Earliest, Latest: w.Latest, DurationMin: w.DurationMin}
	}
	addShot(&out.Draft, &ShotDraft{
		Name: in.Name, Window: in.Window, Sky: in.Sky, Camera: in.Camera, Framing: in.Framing, Zone: in.Zone, Look: in.Look, OtherZones: in.OtherZones,
		Background: in.Background, Exposure: in.Exposure, Allowance: in.Allowance, GroundAnchor: (*ShotDraftGroundAnchor)(in.GroundAnchor), GustMs: in.GustMs,
		MeanWindMs: in.MeanWindMs, SafetyFactor: in.SafetyFactor, Supply: in.Supply, Lamps: in.Lamps, Walk: in.Walk, Forecast: in.Forecast,
	})
	return out, faults
}
