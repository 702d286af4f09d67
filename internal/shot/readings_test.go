package shot

import (
	"strings"
	"testing"
	"time"
)

// Readings that contradict each other or their hour are taken, and every option says so.
func TestReadingsThatContradictAreTakenWithANote(t *testing.T) {
	night := func(d *Draft) { d.Window.Start, d.Window.End = ptr("02:00"), ptr("03:00") }
	for name, tc := range map[string]struct {
		change func(*Draft)
		want   []string // what each note holds
	}{
		"as under a clear sky": {func(d *Draft) { d.Sky.SunLx, d.Sky.SkyLx = ptr(90000.0), ptr(15000.0) }, nil},
		"less sun than sky": {func(d *Draft) { d.Sky.SunLx, d.Sky.SkyLx = ptr(5000.0), ptr(12000.0) },
			[]string{"The sun was read at 5000 lx, less than the sky at 12000 lx"}},
		"sun at night": {func(d *Draft) { night(d); d.Sky.SunLx = ptr(60000.0) },
			[]string{"sun_lx is 60000 lx, but in the middle of the window, at 02:30, there is no light from the sun: the reading is not used."}},
		"sky at night": {func(d *Draft) { night(d); d.Sky.SkyLx = ptr(9000.0) },
			[]string{"sky_lx is 9000 lx, but in the middle of the window, at 02:30, there is no light from the sky"}},
		"no sun at night": {func(d *Draft) { night(d); d.Sky.SunLx = ptr(0.0) }, nil},
		// Lisbon in the middle of June: the sun sets at 21:04 (almanac, from memory), and ten minutes before stands a degree up.
		"noon's sun at sunset": {func(d *Draft) {
			d.Window.Start, d.Window.End, d.Sky.SunLx = ptr("20:50"), ptr("20:58"), ptr(90000.0)
		}, []string{"sun_lx is 90000 lx, but in the middle of the window, at 20:54, the sun gives "}},
		"under a roof": {func(d *Draft) { night(d); d.Site.Roofed, d.Sky.SunLx = ptr(true), ptr(60000.0) },
			[]string{"The site is roofed: the readings of sun and sky are not used."}},
	} {
		t.Run(name, func(t *testing.T) {
			d := bare()
			tc.change(&d)
			s := mustResolve(t, d)
			if len(s.Notes) != len(tc.want) {
				t.Fatalf("notes %q, want %d", s.Notes, len(tc.want))
			}
			for i, want := range tc.want {
				if !strings.Contains(s.Notes[i], want) {
					t.Errorf("%q does not say %q", s.Notes[i], want)
				}
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

func TestRoughly(t *testing.T) {
	for v, want := range map[float64]string{127441: "130000", 44: "44", 9.87: "9.9", 0.0312: "0.031"} {
		if got := roughly(v); got != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
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
			if len(faults) != 1 || faults[0].Pointer != tc.pointer || !strings.Contains(faults[0].Detail, tc.detail) {
				t.Errorf("%v, want one at %s: %s", faults, tc.pointer, tc.detail)
			}
		})
	}
}
