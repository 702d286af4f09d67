package sizing

import (
	"cmp"
	"context"
	"math"
	"sync"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/lighting"
	"kitspan/internal/scene"
	"kitspan/internal/shot"
)

// SunIs is where the sun stands for a picture, in the words of the contract.
type SunIs string

// Where it stands.
const (
	SunBehind    SunIs = "behind" // the people, out of the picture
	SunBeside    SunIs = "beside"
	SunInPicture SunIs = "in_picture"
	SunInFront   SunIs = "in_front" // of the people
	SunAway      SunIs = "away"     // no direct sun
)

// besideFromDeg is how far off the lens's bearing the sun may stand and still be a backlight; as far as that from straight in front of the
// people it is a front light (common practice, no source).
const besideFromDeg = 60

// whereSun returns where the sun stands for a shot.
func whereSun(s *shot.Shot, p *scene.TrackPoint) SunIs {
	off := math.Abs(math.Remainder(p.AzimuthDeg-s.Camera.BearingDeg, 360))
	switch {
	case p.IlluminanceLx <= 0:
		return SunAway
	case p.InView:
		return SunInPicture
	case off <= besideFromDeg:
		return SunBehind
	case off < 180-besideFromDeg:
		return SunBeside
	}
	return SunInFront
}

// SweepWhole is the plan of a step, reflectors and all.
type SweepWhole struct {
	People      int
	TotalPerDay currency.Amount // hire, labour and transport
	KeyStops    float64
}

// whole returns what [Plan] would make of the step with that overhead: under a roof, where every step has the same light, once.
func (w *sweeper) whole(ctx context.Context, step *shot.Shot, list, hard []*scene.Source, o *stepOverhead) (*SweepWhole, error) {
	if !step.Site.Roofed {
		return w.wholeAnew(ctx, step, list, hard, o)
	}
	w.roofed.once.Do(func() { w.roofed.whole, w.roofed.err = w.wholeAnew(ctx, step, list, hard, o) })
	return w.roofed.whole, w.roofed.err
}

// roofedWhole is the plan of every step under a roof.
type roofedWhole struct {
	once  sync.Once
	whole *SweepWhole
	err   error
}

func (w *sweeper) wholeAnew(ctx context.Context, step *shot.Shot, list, hard []*scene.Source, o *stepOverhead) (*SweepWhole, error) {
	sc := scene.NewLight(step, w.st, list, w.sky, scene.BackgroundOf(step, list, w.sky))
	sc.ToSoften = hard
	label := LabelOverhead
	if o.onLift {
		label = LabelOnLift
	}
	opt, err := w.pl.option(ctx, scheme{label: label, light: sc, rigs: o.chosen, by: lighting.ByReflectors})
	if err != nil {
		return nil, err
	}
	return &SweepWhole{People: opt.Crew.Total, TotalPerDay: opt.TotalPerDay, KeyStops: opt.Levels.KeyStops}, nil
}

// SweepSpan is a time through which the scheme holds, from step to step.
type SweepSpan struct{ From, To time.Time }

func spansOf(r *SweepResult) (out []SweepSpan) {
	for i := range r.Rows {
		from := r.Rows[i].Sun.At
		switch to := from.Add(r.Steps.Step()); {
		case !r.Rows[i].Scheme:
		case len(out) > 0 && out[len(out)-1].To.Equal(from):
			out[len(out)-1].To = to
		default:
			out = append(out, SweepSpan{from, to})
		}
	}
	return out
}

// SweepBest is the best step of the day in something: the first of them, where the scheme holds, or anywhere where it does nowhere.
type SweepBest struct {
	In finding.Measure
	At time.Time
}

func bestOf(r *SweepResult) (out []SweepBest) {
	held := len(r.Spans) > 0
	total := func(row *SweepRow) float64 {
		minor, err := row.Whole.TotalPerDay.Int64()
		if err != nil {
			return math.Inf(1)
		}
		return float64(minor)
	}
	area := func(row *SweepRow) float64 { return row.Overhead.AreaM2 }
	people := func(row *SweepRow) float64 { return float64(row.Whole.People) }
	for _, by := range []struct {
		in   finding.Measure
		what [2]func(*SweepRow) float64
	}{{finding.MeasureFrame, [2]func(*SweepRow) float64{area, total}}, {finding.MeasureTotal, [2]func(*SweepRow) float64{total, area}}, {finding.MeasurePeople, [2]func(*SweepRow) float64{people, total}}} {
		var best *SweepRow
		for i := range r.Rows {
			row := &r.Rows[i]
			if row.Overhead == nil || held && !row.Scheme {
				continue
			}
			if best == nil || cmp.Or(cmp.Compare(by.what[0](row), by.what[0](best)), cmp.Compare(by.what[1](row), by.what[1](best))) < 0 {
				best = row
			}
		}
		if best != nil {
			out = append(out, SweepBest{by.in, best.Sun.At})
		}
	}
	return out
}
