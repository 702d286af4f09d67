package job

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/shot"
)

// Job is a job with every default filled in.
type Job struct {
	Name, Notes string
	Production  Production
	// Zone is the one whose dates are the job's days; TimeZone is its name.
	TimeZone string
	Zone     *time.Location
	// From and To are the first and last day of the hire; zero without shots.
	From, To catalog.Date
	Moves    []Move
	Sites    []Site // by name
	Shots    []Shot // in the order of the list
}

// Production is who a job is for.
type Production struct{ Name, Contact, Address string }

// Move is the way between two places.
type Move struct {
	Between [2]string
	Minutes int
}

// Site is a place of a job.
type Site struct {
	Name string
	shot.Site
	Forecast []shot.ForecastRow
}

// Shot is one of a job. Of a movable one Shot is that at its first start, with auto left where it was said, or nothing.
type Shot struct {
	Number, Place string
	Pin           string
	When          *When // nil where its window is fixed
	shot.Shot

	draft shot.Draft
}

// Resolve fills in every default, or names every fault at once by the pointers of a plan request. Where there are any, the job is zero.
func (d *Draft) Resolve() (Job, []fault.Fault) {
	r := resolver{}
	j := Job{Name: r.words("/name", d.Name, longestName, true), Notes: r.words("/notes", d.Notes, longestNotes, false)}
	j.Production = Production{
		Name:    r.words("/production/name", d.Production.Name, longestName, false),
		Contact: r.words("/production/contact", d.Production.Contact, longestPerson, false),
		Address: r.words("/production/address", d.Production.Address, longestPost, false),
	}
	j.Sites = r.sites(d.Places)
	j.Moves = r.moves(d.Moves, d.Places)
	j.Shots = r.shots(d)
	j.TimeZone, j.Zone = r.zone(d)
	r.days(d, &j)
	if len(r.faults) > 0 {
		return Job{}, r.faults
	}
	return j, nil
}

// resolver gathers what is wrong with a job.
type resolver struct{ faults []fault.Fault }

// fault notes one, by its pointer in the job.
func (r *resolver) fault(at string, k fault.Kind) {
	r.faults = append(r.faults, fault.Fault{Pointer: Pointer + at, Kind: k})
}

// words reads a text for people. What is needed may not be blank.
func (r *resolver) words(at string, v *string, most int, needed bool) string {
	if v == nil || needed && strings.TrimSpace(*v) == "" {
		if needed {
			r.fault(at, fault.Missing{Want: fault.WantText})
		}
		return ""
	}
	if n := utf8.RuneCountInString(*v); n > most {
		r.fault(at, fault.TooLong{Characters: n, Most: most})
	} else if c, found := unprintable(*v, !needed); found {
		r.fault(at, fault.Unprintable{Character: c})
	}
	return *v
}

// unprintable finds a character that nobody can have meant. Lines may break where the text may have several.
func unprintable(s string, lines bool) (code string, found bool) {
	for _, c := range s {
		if layout := c == '\n' || c == '\r' || c == '\t'; !unicode.IsPrint(c) && (!lines || !layout) {
			return fmt.Sprintf("%U", c), true
		}
	}
	return "", false
}

// printable keeps control characters, of which storage refuses U+0000, out of a text that may come from anywhere; pointer is its own.
func (r *resolver) printable(pointer string, v *string) {
	if v == nil {
		return
	}
	for _, c := range *v {
		if unicode.IsControl(c) && c != '\n' && c != '\t' {
			r.faults = append(r.faults, fault.Fault{Pointer: pointer, Kind: fault.Unprintable{Character: fmt.Sprintf("%U", c)}})
			return
		}
	}
}

// sites reads the places, by name.
func (r *resolver) sites(places map[string]Place) []Site {
	if len(places) > MaxPlaces {
		r.fault("/places", fault.TooMany{Count: len(places), Most: MaxPlaces})
	}
	var out []Site
	for _, name := range slices.Sorted(maps.Keys(places)) {
		p := places[name]
		at := PlacePointer(name)
		switch c, found := unprintable(name, false); {
		case strings.TrimSpace(name) == "":
			r.faults = append(r.faults, fault.Fault{Pointer: at, Kind: fault.Missing{Want: fault.WantLabel}})
		case utf8.RuneCountInString(name) > longestPlace:
			r.faults = append(r.faults, fault.Fault{Pointer: at, Kind: fault.TooLong{Characters: utf8.RuneCountInString(name), Most: longestPlace}})
		case found:
			r.faults = append(r.faults, fault.Fault{Pointer: at, Kind: fault.Unprintable{Character: c}})
		}
		for i := range p.Anchors {
			r.printable(at+"/anchors/"+strconv.Itoa(i)+"/label", p.Anchors[i].Label)
		}
		s := Site{Name: name}
		var faults []fault.Fault
		s.Site, s.Forecast, faults = p.Resolve(p.Forecast)
		for _, f := range faults {
			if rest, own := strings.CutPrefix(f.Pointer, sitePointer); own {
				f.Pointer = at + rest
			} else {
				f.Pointer = at + strings.TrimPrefix(f.Pointer, "/shot")
			}
			r.faults = append(r.faults, f)
		}
		out = append(out, s)
	}
	return out
}

// Where the engine finds the faults of a site and of a forecast.
const (
	sitePointer     = "/shot/site"
	forecastPointer = "/shot/forecast"
)

// moves reads the ways between places.
func (r *resolver) moves(list []DraftMove, places map[string]Place) []Move {
	var out []Move
	first := map[[2]string]string{}
	for i, d := range list {
		at := "/moves/" + strconv.Itoa(i)
		m := Move{}
		if len(d.Between) != 2 {
			r.fault(at+"/between", fault.WrongCount{Count: len(d.Between), Axes: []string{"from", "to"}})
		} else {
			m.Between = [2]string{d.Between[0], d.Between[1]}
			for k, name := range m.Between {
				r.knownPlace(Pointer+at+"/between/"+strconv.Itoa(k), &name, places)
			}
			key := m.Between
			slices.Sort(key[:])
			if before, twice := first[key]; twice || key[0] == key[1] {
				r.fault(at+"/between", fault.Repeated{Got: strings.Join(m.Between[:], ", "), First: cmp.Or(before, Pointer+at+"/between/0")})
			}
			first[key] = Pointer + at + "/between"
		}
		var faults []fault.Fault
		m.Minutes, faults = shot.ResolveNumber(Pointer+at+"/minutes", d.Minutes, 0, 24*60, "minutes")
		r.faults = append(r.faults, faults...)
		out = append(out, m)
	}
	return out
}

// knownPlace reads the name of a place; ok is false where there is none of that name.
func (r *resolver) knownPlace(pointer string, name *string, places map[string]Place) (p Place, ok bool) {
	if name == nil || *name == "" {
		r.faults = append(r.faults, fault.Fault{Pointer: pointer, Kind: fault.Missing{Want: fault.WantLabel, Words: fewNames(places)}})
		return Place{}, false
	}
	p, ok = places[*name]
	if !ok {
		r.faults = append(r.faults, fault.Fault{Pointer: pointer, Kind: fault.UnknownPlace{Got: cut(*name), Words: fewNames(places)}})
	}
	return p, ok
}

// fewNames lists the places for a fault, where they are few.
func fewNames(places map[string]Place) []string {
	const most = 20
	if len(places) > most {
		return nil
	}
	return slices.Sorted(maps.Keys(places))
}

// zone reads the zone of the job's days: that of the first shot's place where it was left out, or of the first place. nil where it is at
// fault.
func (r *resolver) zone(d *Draft) (string, *time.Location) {
	name := d.TimeZone
	if name == nil {
		zone := "UTC"
		for _, p := range slices.Sorted(maps.Keys(d.Places)) {
			if z := d.Places[p].TimeZone; z != nil {
				zone = *z
				break
			}
		}
		if len(d.Shots) > 0 && d.Shots[0].Place != nil {
			if z := d.Places[*d.Shots[0].Place].TimeZone; z != nil {
				zone = *z
			}
		}
		loc, faults := shot.ResolveTimeZone("", &zone)
		if len(faults) > 0 { // of the place, which says so itself
			return "", nil
		}
		return zone, loc
	}
	loc, faults := shot.ResolveTimeZone(Pointer+"/time_zone", name)
	r.faults = append(r.faults, faults...)
	return *name, loc
}

// days reads the first and last day of the hire, and holds every shot's day against them.
func (r *resolver) days(d *Draft, j *Job) {
	if j.Zone == nil {
		return
	}
	for i := range j.Shots {
		day := j.Day(i)
		if day == (catalog.Date{}) {
			continue
		}
		if j.From == (catalog.Date{}) || j.From.After(day) {
			j.From = day
		}
		if day.After(j.To) {
			j.To = day
		}
	}
	var faults []fault.Fault
	okFrom, okTo := true, true
	if d.Hire.From != nil {
		j.From, faults = shot.ResolveDate(Pointer+"/hire/from", d.Hire.From)
		okFrom = len(faults) == 0
		r.faults = append(r.faults, faults...)
	}
	if d.Hire.To != nil {
		j.To, faults = shot.ResolveDate(Pointer+"/hire/to", d.Hire.To)
		okTo = len(faults) == 0
		r.faults = append(r.faults, faults...)
	}
	if !okFrom || !okTo {
		return
	}
	switch none := (catalog.Date{}); { // one day alone was said, and there are no shots
	case j.From == none:
		j.From = j.To
	case j.To == none:
		j.To = j.From
	}
	if d.Hire.From != nil && d.Hire.To != nil {
		if j.From.After(j.To) {
			r.fault("/hire/to", fault.HireBackwards{From: j.From.String(), To: j.To.String()})
			return
		}
		if days := daysFrom(j.From, j.To) + 1; days > maxDays {
			r.fault("/hire/to", fault.HireTooLong{From: j.From.String(), To: j.To.String(), Days: days, Most: maxDays})
			return
		}
	} else if days := daysFrom(j.From, j.To) + 1; days > maxDays && len(r.faults) == 0 {
		r.fault("/shots", fault.HireTooLong{From: j.From.String(), To: j.To.String(), Days: days, Most: maxDays})
	}
	for i := range j.Shots {
		day := j.Day(i)
		if day == (catalog.Date{}) || !j.From.After(day) && !day.After(j.To) {
			continue
		}
		at := "/window/date"
		if j.Shots[i].When != nil {
			at = "/when/date"
		}
		r.faults = append(r.faults, fault.Fault{Pointer: ShotPointer(i) + at, Kind: fault.OutsideHire{Date: day.String(), From: j.From.String(), To: j.To.String()}})
	}
}

// maxDays is the longest hire: a year (common practice, no source).
const maxDays = 366

// Day returns the day of a shot: the date on which it starts, in the job's zone; zero where that is not known.
func (j *Job) Day(i int) catalog.Date {
	from := j.Shots[i].Window.From
	if from.IsZero() || j.Zone == nil {
		return catalog.Date{}
	}
	return dateIn(j.Zone, from)
}

func dateIn(zone *time.Location, at time.Time) catalog.Date {
	y, m, d := at.In(zone).Date()
	return catalog.Date{Year: y, Month: m, Day: d}
}

// daysFrom is how many days one date is after another.
func daysFrom(from, to catalog.Date) int {
	at := func(d catalog.Date) time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }
	return int(at(to).Sub(at(from)).Hours() / 24)
}

// cut shortens what a fault repeats.
func cut(s string) string {
	const longest = 60
	if r := []rune(s); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return s
}
