package shot

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/finding"
)

// Readings that contradict each other or their hour are taken, and every option says so.
func TestReadingsThatContradictAreTakenWithANote(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Fatal(err)
	}
	half := func(hour int) time.Time { return time.Date(2027, 6, 18, hour, 30, 0, 0, lisbon) }
	night := func(d *Draft) { d.Window.Start, d.Window.End = ptr("02:00"), ptr("03:00") }
	for name, tc := range map[string]struct {
		change func(*Draft)
		want   []finding.Note
	}{
		"as under a clear sky": {func(d *Draft) { d.Sky.SunLx, d.Sky.SkyLx = ptr(90000.0), ptr(15000.0) }, nil},
		"less sun than sky": {func(d *Draft) { d.Sky.SunLx, d.Sky.SkyLx = ptr(5000.0), ptr(12000.0) },
			[]finding.Note{finding.SunUnderSky{SunLx: 5000, SkyLx: 12000}}},
		"sun at night": {func(d *Draft) { night(d); d.Sky.SunLx = ptr(60000.0) },
			[]finding.Note{finding.ReadingInTheDark{Reading: "sun_lx", ReadingLx: 60000, Of: finding.OfSun, At: half(2)}}},
		"sky at night": {func(d *Draft) { night(d); d.Sky.SkyLx = ptr(9000.0) },
			[]finding.Note{finding.ReadingInTheDark{Reading: "sky_lx", ReadingLx: 9000, Of: finding.OfSky, At: half(2)}}},
		"no sun at night": {func(d *Draft) { night(d); d.Sky.SunLx = ptr(0.0) }, nil},
		// Lisbon in the middle of June: the sun sets at 21:04 (almanac, from memory), and ten minutes before stands a degree up.
		"noon's sun at sunset": {func(d *Draft) {
			d.Window.Start, d.Window.End, d.Sky.SunLx = ptr("20:50"), ptr("20:58"), ptr(90000.0)
		}, []finding.Note{finding.ReadingTooBright{Reading: "sun_lx", ReadingLx: 90000, Of: finding.OfSun, At: half(20).Add(24 * time.Minute)}}},
		"under a roof": {func(d *Draft) { night(d); d.Site.Roofed, d.Sky.SunLx = ptr(true), ptr(60000.0) },
			[]finding.Note{finding.ReadingsUnderRoof{}}},
	} {
		t.Run(name, func(t *testing.T) {
			d := bare()
			tc.change(&d)
			s := mustResolve(t, d)
			for i, n := range s.Notes {
				if bright, ok := n.(finding.ReadingTooBright); ok && bright.MostLx > 0 && bright.MostLx < bright.ReadingLx/4 {
					bright.MostLx = 0 // of the model
					s.Notes[i] = bright
				}
			}
			if diff := cmp.Diff(tc.want, s.Notes); diff != "" {
				t.Errorf("notes (-want +got)\n%s", diff)
			}
		})
	}
}

func TestAReadingIsOfTheMiddleOfTheWindow(t *testing.T) {
	d := bare()
	if s := mustResolve(t, d); !s.Sky.ReadAt.IsZero() {
		t.Errorf("without a reading, read at %s", s.Sky.ReadAt)
	}
	d.Sky.SkyLx = ptr(15000.0)
	if s := mustResolve(t, d); !s.Sky.ReadAt.Equal(time.Date(2027, 6, 18, 16, 0, 0, 0, time.UTC)) { // 17:00 in Lisbon
		t.Errorf("read at %s", s.Sky.ReadAt)
	}
}

func TestExposuresThatNoCameraHasAreRefused(t *testing.T) {
	for name, tc := range map[string]struct {
		exposure DraftExposure
		pointer  string
		detail   string
	}{
		"iso of 0":              {DraftExposure{ISO: ptr(0.0)}, "/shot/exposure/iso", "iso is 0, out of range; give a value from 1 to 1000000"},
		"iso beyond any":        {DraftExposure{ISO: ptr(1000001.0)}, "/shot/exposure/iso", "iso is 1000001, out of range"},
		"a T-stop of 0.4":       {DraftExposure{TStop: ptr(0.4)}, "/shot/exposure/t_stop", "t_stop is 0.4, out of range; give a value from 0.5 to 128"},
		"a pinhole":             {DraftExposure{TStop: ptr(129.0)}, "/shot/exposure/t_stop", "t_stop is 129, out of range"},
		"a shutter past a turn": {DraftExposure{ShutterAngleDeg: ptr(361.0)}, "/shot/exposure/shutter_angle_deg", "shutter_angle_deg is 361, out of range; give a value over 0 and at most 360"},
		"a closed shutter":      {DraftExposure{ShutterAngleDeg: ptr(0.0)}, "/shot/exposure/shutter_angle_deg", "shutter_angle_deg is 0, out of range"},
		"no frames":             {DraftExposure{FrameRateFPS: ptr(0.0)}, "/shot/exposure/frame_rate_fps", "frame_rate_fps is 0, out of range; give a value over 0 and at most 100000"},
		"frames without end":    {DraftExposure{FrameRateFPS: ptr(100001.0)}, "/shot/exposure/frame_rate_fps", "frame_rate_fps is 100001, out of range"},
	} {
		t.Run(name, func(t *testing.T) {
			d := bare()
			d.Exposure = tc.exposure
			_, faults := d.Resolve()
			if len(faults) != 1 || faults[0].Pointer != tc.pointer || !strings.Contains(Said(faults[0]), tc.detail) {
				t.Errorf("%v, want one at %s: %s", faults, tc.pointer, tc.detail)
			}
		})
	}
}
