//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package sun

import (
	"math"
	"testing"
	"time"
	_ "time/tzdata" // the zones named below, wherever the test runs

	"pgregory.net/rapid"
)

func zone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	if err != nil {
		t.Fatal(err)
	}
	return loc
}

func nearTime(t *testing.T, what string, got time.Time, want string, layout string, tol time.Duration) {
	t.Helper()
	w, err := time.ParseInLocation(layout, want, got.Location())
	if err != nil {
		t.Fatal(err)
	}
	if d := got.Sub(w).Abs(); got.IsZero() || d > tol {
		t.Errorf("%s: got %v, want %s ± %v", what, got, want, tol)
	}
}

// Each event of 35 N … Greenwich computed by SPA and by an ERFA root search,
// which agree within 1.3 s; Golden as printed, in whole seconds, by pvlib's
// tests, but for its sunsets: those are the ERFA roots of the local day (NREL's
// program and pvlib print the previous local day's, see DayOf; USNO has 19:13).
// The tolerance is those 1.3 s, of which 0.8 to 1.2 s is the parallax that SPA
// leaves out of its events, plus half a second of rounding where printed so.
func TestPublishedEvents(t *testing.T) {
	const tol, rounded = 1500 * time.Millisecond, 2 * time.Second
	mst := time.FixedZone("MST", -7*3600)
	north, south := Site{LatitudeDeg: 35}, Site{LatitudeDeg: -35}
	greenwich := Site{LatitudeDeg: 51.4779}
	for _, c := range []struct {
		date               string
		loc                *time.Location
		site               Site
		rise, transit, set string
		tol                time.Duration
	}{
		{"1994-01-02", time.UTC, north, "07:08:12.84", "12:04:00.59", "16:59:55.93", tol},
		{"1996-07-05", time.UTC, south, "07:08:15.47", "12:04:35.89", "17:01:04.47", tol},
		{"2004-12-04", time.UTC, south, "04:38:57.02", "11:50:21.63", "19:02:02.49", tol},
		{"2024-06-21", time.UTC, greenwich, "03:42:50.2", "12:01:55.3", "20:20:59.1", tol},
		{"2024-12-21", time.UTC, greenwich, "08:03:18.5", "11:58:17.4", "15:53:16.4", tol},
		{"2015-01-02", mst, nrelSite, "07:21:55", "12:04:45", "", rounded},
		{"2015-08-02", mst, nrelSite, "05:00:27", "12:06:58", "19:12:53", rounded},
		{"2003-10-17", mst, nrelSite, "", "11:46:04.96", "17:18:51", rounded},
	} {
		t.Run(c.date, func(t *testing.T) {
			at, err := time.Parse(time.DateOnly, c.date)
			if err != nil {
				t.Fatal(err)
			}
			d := DayOf(at.Year(), at.Month(), at.Day(), c.loc, c.site)
			for what, e := range map[string]struct {
				got  time.Time
				want string
			}{"rise": {d.Rise, c.rise}, "transit": {d.Transit, c.transit}, "set": {d.Set, c.set}} {
				if e.want != "" {
					nearTime(t, what, e.got, c.date+" "+e.want, "2006-01-02 15:04:05", c.tol)
				}
			}
			if d.AlwaysUp || d.AlwaysDown {
				t.Errorf("a day with events is neither polar day nor night: %+v", d)
			}
		})
	}
}

// Source: US Naval Observatory tables by way of the test data of
// klausbrunner/solarpositioning: UTC days, whole minutes (so 30 s, and as much
// again for the tables' own refraction and rounding).
func TestPublishedMinutes(t *testing.T) {
	const tol = time.Minute
	const up, down = "up", "down"
	dates := [4]time.Month{time.March, time.June, time.September, time.December}
	for name, c := range map[string]struct {
		site   Site
		events [4][2]string
	}{
		"Anchorage":    {Site{LatitudeDeg: 61.216667, LongitudeDeg: -149.866667}, [4][2]string{{"15:43", "04:27"}, {"12:22", "07:42"}, {"15:53", "03:51"}, {"19:15", "00:44"}}},
		"Auckland":     {Site{LatitudeDeg: -36.833333, LongitudeDeg: 174.8}, [4][2]string{{"18:29", "06:25"}, {"19:34", "05:13"}, {"18:04", "06:20"}, {"17:01", "07:41"}}},
		"Brasília":     {Site{LatitudeDeg: -15.8, LongitudeDeg: -47.85}, [4][2]string{{"09:16", "21:18"}, {"09:38", "20:50"}, {"08:58", "21:08"}, {"08:40", "21:44"}}},
		"Singapore":    {Site{LatitudeDeg: 1.283333, LongitudeDeg: 103.833333}, [4][2]string{{"23:07", "11:14"}, {"23:02", "11:13"}, {"22:53", "10:59"}, {"23:04", "11:06"}}},
		"Longyearbyen": {Site{LatitudeDeg: 78.216667, LongitudeDeg: 15.633333}, [4][2]string{{"04:09", "18:02"}, {up}, {"04:53", "16:42"}, {down}}},
		"McMurdo":      {Site{LatitudeDeg: -77.85, LongitudeDeg: 166.666667}, [4][2]string{{"19:25", "06:38"}, {down}, {"18:06", "07:21"}, {up}}},
	} {
		for i, month := range dates {
			d := DayOf(2020, month, 25, time.UTC, c.site)
			want := c.events[i]
			if want[0] == up || want[0] == down {
				if d.AlwaysUp != (want[0] == up) || d.AlwaysDown != (want[0] == down) || !d.Rise.IsZero() || !d.Set.IsZero() {
					t.Errorf("%s %s: want %s all day, got %+v", name, month, want[0], d)
				}
				continue
			}
			day := time.Date(2020, month, 25, 0, 0, 0, 0, time.UTC).Format("2006-01-02 ")
			nearTime(t, name+" rise", d.Rise, day+want[0], "2006-01-02 15:04", tol)
			nearTime(t, name+" set", d.Set, day+want[1], "2006-01-02 15:04", tol)
		}
	}

	// Civil twilight of the same table: the same search at −6°.
	anchorage := Site{LatitudeDeg: 61.216667, LongitudeDeg: -149.866667}
	for month, want := range map[time.Month][2]string{
		time.March: {"14:59", "05:11"}, time.September: {"15:10", "04:34"}, time.December: {"18:13", "01:46"},
	} {
		start := time.Date(2020, month, 25, 0, 0, 0, 0, time.UTC)
		dawn, dusk := crossings(NewArc(start, start.Add(24*time.Hour), anchorage), start, start.Add(24*time.Hour), -6)
		day := start.Format("2006-01-02 ")
		nearTime(t, "civil dawn", dawn, day+want[0], "2006-01-02 15:04", tol)
		nearTime(t, "civil dusk", dusk, day+want[1], "2006-01-02 15:04", tol)
	}
}

// Source: IANA tz database 2025b, clock changes.
func TestDaysThatAreNot24Hours(t *testing.T) {
	for _, c := range []struct {
		zone, date, start string
		length            time.Duration
	}{
		{"America/New_York", "2025-03-09", "2025-03-09T05:00:00Z", 23 * time.Hour},
		{"America/New_York", "2025-11-02", "2025-11-02T04:00:00Z", 25 * time.Hour},
		{"Australia/Lord_Howe", "2025-04-06", "2025-04-05T13:00:00Z", 24*time.Hour + 30*time.Minute},
		{"Africa/Cairo", "2025-04-25", "2025-04-24T22:00:00Z", 23 * time.Hour}, // no midnight
		{"Africa/Cairo", "2025-10-30", "2025-10-29T21:00:00Z", 25 * time.Hour}, // two 23:00s
		{"America/Santiago", "2025-09-07", "2025-09-07T04:00:00Z", 23 * time.Hour},
		{"Pacific/Apia", "2011-12-29", "2011-12-29T10:00:00Z", 24 * time.Hour},
		{"Pacific/Apia", "2011-12-30", "2011-12-30T10:00:00Z", 0}, // a date left out
		{"Pacific/Apia", "2011-12-31", "2011-12-30T10:00:00Z", 24 * time.Hour},
		{"UTC", "2027-06-18", "2027-06-18T00:00:00Z", 24 * time.Hour},
	} {
		t.Run(c.zone+" "+c.date, func(t *testing.T) {
			at, err := time.Parse(time.DateOnly, c.date)
			if err != nil {
				t.Fatal(err)
			}
			d := DayOf(at.Year(), at.Month(), at.Day(), zone(t, c.zone), Site{LatitudeDeg: 30})
			if !d.Start.Equal(utc(t, c.start)) || d.End.Sub(d.Start) != c.length {
				t.Errorf("day %v to %v, want from %s for %v", d.Start, d.End, c.start, c.length)
			}
			if c.length == 0 && (d.AlwaysUp || d.AlwaysDown || !d.Rise.IsZero() || !d.Set.IsZero() || !d.Transit.IsZero()) {
				t.Errorf("a date left out has no sun: %+v", d)
			}
		})
	}
}

func TestDaysFollowEachOtherWithoutGaps(t *testing.T) {
	zones := []string{"UTC", "Africa/Cairo", "America/St_Johns", "America/Santiago", "Asia/Gaza", "Australia/Lord_Howe", "Europe/Lisbon", "Pacific/Apia", "America/Sao_Paulo"}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(zones).Draw(t, "zone")
		loc, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		day := rapid.IntRange(0, 365*60).Draw(t, "day")
		start, end := dayStart(1970, 1, 1+day, loc), dayStart(1970, 1, 2+day, loc)
		if end.Before(start) {
			t.Fatalf("%v ends before it starts, %v", start, end)
		}
		if start.Equal(end) {
			return
		}
		want := time.Date(1970, 1, 1+day, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
		if got := start.Format(time.DateOnly); got != want {
			t.Fatalf("day %s starts on the clock of %s", want, got)
		}
		if before := start.Add(-time.Nanosecond).Format(time.DateOnly); before >= want {
			t.Fatalf("%s had begun before %v", want, start)
		}
	})
}

// scanStep is the resolution of the scan below.
const scanStep = 5 * time.Second

// bruteCrossings scans the day step by step with the full algorithm's own
// arc; slow, and with no idea of brackets or turning points.
func bruteCrossings(site Site, start, end time.Time) (up, down time.Time) {
	arc := NewArc(start, end, site)
	above := func(t time.Time) bool { return arc.At(t).TrueElevationDeg >= -0.8333 }
	was := above(start)
	for t := start.Add(scanStep); t.Before(end); t = t.Add(scanStep) {
		is := above(t)
		if is && !was && up.IsZero() {
			up = t
		}
		if !is && was && down.IsZero() {
			down = t
		}
		was = is
	}
	return up, down
}

func checkAgainstScan(t *rapid.T, d Day, site Site) {
	up, down := bruteCrossings(site, d.Start, d.End)
	for what, e := range map[string][2]time.Time{"rise": {d.Rise, up}, "set": {d.Set, down}} {
		got, scanned := e[0], e[1]
		if scanned.IsZero() != got.IsZero() {
			// The scan cannot see an excursion shorter than its step, nor the day's last step.
			if got.IsZero() || !briefExcursion(site, got) && d.End.Sub(got) > scanStep {
				t.Fatalf("%s: got %v, scan %v", what, got, scanned)
			}
			continue
		}
		if !scanned.IsZero() && scanned.Sub(got).Abs() > scanStep+eventResolution && !briefExcursion(site, got) {
			t.Fatalf("%s: got %v, scan %v", what, got, scanned)
		}
	}
}

func briefExcursion(site Site, at time.Time) bool {
	before := At(at.Add(-2*scanStep), site).TrueElevationDeg < sunriseElevationDeg
	after := At(at.Add(2*scanStep), site).TrueElevationDeg < sunriseElevationDeg
	return before == after
}

func TestEventsAreRootsOfTheDay(t *testing.T) {
	zones := []string{"UTC", "America/Anchorage", "Pacific/Auckland", "Europe/Oslo", "Asia/Kathmandu"}
	rapid.Check(t, func(t *rapid.T) {
		site := drawSite(t)
		loc, err := time.LoadLocation(rapid.SampledFrom(zones).Draw(t, "zone"))
		if err != nil {
			t.Fatal(err)
		}
		at := drawTime(t, 1950, 2050)
		d := DayOf(at.Year(), at.Month(), at.Day(), loc, site)
		for what, event := range map[string]time.Time{"rise": d.Rise, "set": d.Set} {
			if event.IsZero() {
				continue
			}
			if event.Before(d.Start) || !event.Before(d.End) {
				t.Fatalf("%s %v outside %v to %v", what, event, d.Start, d.End)
			}
			if e := At(event, site).TrueElevationDeg; math.Abs(e+0.8333) > 1e-4 {
				t.Fatalf("elevation at %s: %.6f°", what, e)
			}
		}
		if d.AlwaysUp && d.AlwaysDown || (d.AlwaysUp || d.AlwaysDown) != (d.Rise.IsZero() && d.Set.IsZero()) {
			t.Fatalf("contradiction: %+v", d)
		}
		if !d.Transit.IsZero() {
			// On the meridian: due north or south, or at the zenith.
			p := At(d.Transit, site)
			if off := math.Abs(math.Sin(p.AzimuthDeg*degree)) * math.Cos(p.TrueElevationDeg*degree); off > 1e-5 {
				t.Fatalf("azimuth at transit %.6f°", p.AzimuthDeg)
			}
		} else if d.End.Sub(d.Start) >= 24*time.Hour+time.Minute {
			t.Fatalf("no transit in a long day: %+v", d)
		}
		if rapid.IntRange(0, 9).Draw(t, "scan") == 0 {
			checkAgainstScan(t, d, site)
		}
	})
}

// Latitudes at which the noon or midnight sun only just clears the horizon, or
// just fails to: the hard case of a search that samples.
func TestGrazingSunIsFound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Elevation at midnight lat+δ−90 in summer, at noon 90−lat+δ in winter.
		date := time.Date(2027, 1, rapid.IntRange(1, 365).Draw(t, "day"), 0, 0, 0, 0, time.UTC)
		declination := geocentricAt(daysUT(date), 0).declination / degree
		offset := rapid.Float64Range(-0.005, 0.005).Draw(t, "offset")
		site := Site{LatitudeDeg: 90 - 0.8333 - declination + offset}
		hours := 0
		if declination < 0 {
			hours = 12
			declination = geocentricAt(daysUT(date)+0.5, 0).declination / degree
			site.LatitudeDeg = 90 + 0.8333 + declination + offset
		}
		if math.Abs(declination) < 1 {
			return
		}
		// Clocks that put the ends of the day just before, at and after the turn.
		clock := time.FixedZone("site", 3600*hours+rapid.IntRange(-1000, 1000).Draw(t, "clock"))
		d := DayOf(date.Year(), date.Month(), date.Day(), clock, site)
		checkAgainstScan(t, d, site)
	})
}

func TestPolarDayAndNight(t *testing.T) {
	pole := Site{LatitudeDeg: 90}
	if d := DayOf(2027, time.June, 21, time.UTC, pole); !d.AlwaysUp || d.AlwaysDown {
		t.Errorf("north pole in June: %+v", d)
	}
	if d := DayOf(2027, time.December, 21, time.UTC, pole); !d.AlwaysDown || d.AlwaysUp {
		t.Errorf("north pole in December: %+v", d)
	}
	// The pole's one sunrise of the year: a day or two before the March
	// equinox (2027-03-20 20:25 UTC, from memory), for the disc and refraction.
	rises := 0
	for day := 15; day <= 22; day++ {
		if d := DayOf(2027, time.March, day, time.UTC, pole); !d.Rise.IsZero() {
			rises++
			if day < 17 || day > 20 {
				t.Errorf("sunrise at the pole on the %dth", day)
			}
		}
	}
	if rises != 1 {
		t.Errorf("%d sunrises at the pole", rises)
	}
}
