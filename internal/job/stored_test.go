package job

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
	"kitspan/internal/shot"
)

func storedShots(numbers ...string) Stored {
	s := Stored{ID: "abcdefghijkl", Version: 7}
	for i, n := range numbers {
		s.Draft.Shots = append(s.Draft.Shots, DraftShot{Number: &n})
		s.ShotVersions = append(s.ShotVersions, int64(i+1))
	}
	return s
}

func TestAnOrderHasEveryShotOnce(t *testing.T) {
	for name, c := range map[string]struct {
		order  []string
		faults []fault.Fault
	}{
		"another order": {order: []string{"2", "10", "1"}},
		"one twice": {[]string{"1", "2", "1", "10"}, []fault.Fault{
			{Pointer: "/2", Kind: fault.Repeated{Got: "1", First: "/0"}},
		}},
		"a stranger in place of two": {[]string{"2", "3"}, []fault.Fault{
			{Pointer: "/1", Kind: fault.NoSuchShot{Got: "3"}},
			{Kind: fault.ShotsLeftOut{Count: 2, Numbers: []string{"1", "10"}}},
		}},
		"nothing": {nil, []fault.Fault{{Kind: fault.ShotsLeftOut{Count: 3, Numbers: []string{"1", "2", "10"}}}}},
	} {
		s := storedShots("1", "2", "10")
		err := OrderShots(Expect{Versions: []int64{7}}, c.order)(&s)
		var unsound *UnsoundError
		if c.faults == nil && err != nil || c.faults != nil && !errors.As(err, &unsound) {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if c.faults != nil {
			if d := cmp.Diff(c.faults, unsound.Faults); d != "" {
				t.Errorf("%s (-want +got):\n%s", name, d)
			}
			continue
		}
		var got []string
		for _, d := range s.Draft.Shots {
			got = append(got, *d.Number)
		}
		if !slices.Equal(got, c.order) {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Storage compares a job with what an edit makes of it: the edit must not write into the lists that it was given.
func TestEditsWriteNothingInPlace(t *testing.T) {
	whatever := Expect{Any: true}
	for name, edit := range map[string]Edit{
		"insert": InsertShots("2", []DraftShot{{}}), "replace": ReplaceShot("2", whatever, DraftShot{}), "delete": DeleteShot("2", whatever),
		"order": OrderShots(whatever, []string{"3", "2", "1"}), "set": SetShots(whatever, nil), "all": Replace(whatever, Draft{}),
	} {
		before, want := storedShots("1", "2", "3"), storedShots("1", "2", "3")
		after := before
		if err := edit(&after); err != nil {
			t.Errorf("%s: %v", name, err)
		}
		if d := cmp.Diff(want, before); d != "" {
			t.Errorf("%s (-before +after):\n%s", name, d)
		}
	}
}

func TestACopyHasANameOfItsOwn(t *testing.T) {
	for name, want := range map[string]string{
		"Estuary": "Estuary (copy)", "Estuary (copy)": "Estuary (copy) (copy)",
		strings.Repeat("ü", 200): strings.Repeat("ü", 193) + " (copy)",
	} {
		d := Draft{Name: &name}
		if got := *d.Copy().Name; got != want || *d.Name != name {
			t.Errorf("copy of %q is %q, the first then %q", name, got, *d.Name)
		}
	}
}

// A hire of which one day alone is said, of a job that has no shots yet, is that day.
func TestAHireWithoutShots(t *testing.T) {
	name, day := "Estuary", "2027-06-18"
	for _, hire := range []DraftHire{{From: &day}, {To: &day}, {From: &day, To: &day}} {
		d := Draft{Name: &name, Hire: hire}
		j, faults := d.Resolve()
		if len(faults) > 0 || j.From.String() != day || j.To.String() != day {
			t.Errorf("%+v: from %s to %s, %v", hire, j.From, j.To, faults)
		}
	}
}

func TestControlCharactersAreRefusedWhereverTextIsFree(t *testing.T) {
	bad := "a\x00b"
	zone, zero := "UTC", 0.0
	name, place := "Estuary", "jetty"
	site := nowhere()
	site.Anchors = append(site.Anchors, shot.DraftAnchor{Label: &bad})
	site.LatitudeDeg, site.LongitudeDeg, site.TimeZone = &zero, &zero, &zone
	s := DraftShot{Number: &place, Place: &place}
	s.Name = bad
	s.Limits.VehicleSKU = &bad
	s.OtherZones = append(s.OtherZones, shot.DraftOtherZone{Label: &bad})
	s.Lamps = append(s.Lamps, shot.DraftLamp{Label: &bad})
	d := Draft{Name: &name, Places: map[string]Place{place: site}, Shots: []DraftShot{s}}
	_, faults := d.Resolve()
	for _, at := range []string{
		"/job/places/jetty/anchors/0/label", "/job/shots/0/name", "/job/shots/0/limits/vehicle_sku", "/job/shots/0/other_zones/0/label", "/job/shots/0/lamps/0/label",
	} {
		if !slices.Contains(faults, fault.Fault{Pointer: at, Kind: fault.Unprintable{Character: "U+0000"}}) {
			t.Errorf("%s is not among %v", at, faults)
		}
	}
}
