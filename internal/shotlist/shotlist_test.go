package shotlist

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/bojanz/currency"
	"github.com/google/go-cmp/cmp"

	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// random says something of about half of what a shot has, nasty texts and numbers among it.
type random struct{ *rand.Rand }

func (r random) shot() (s job.DraftShot) {
	for i := range columns {
		c := &columns[i]
		if r.IntN(2) == 0 {
			continue
		}
		if c.anyBack && r.IntN(2) == 0 {
			s.Look.AnyBack = true
			continue
		}
		v, _ := c.field(&s, true)
		r.say(v, c.form != text)
	}
	return s
}

func (r random) say(v reflect.Value, trimmed bool) {
	if amount, ok := v.Addr().Interface().(**currency.Amount); ok {
		code := []string{"EUR", "JPY", "BHD"}[r.IntN(3)]
		a, _ := currency.NewAmountFromInt64(r.Int64N(1e12), code)
		*amount = &a
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		r.say(v.Elem(), trimmed)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), r.IntN(3), 3))
		for i := range v.Len() {
			r.say(v.Index(i), false)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if r.IntN(3) > 0 {
				r.say(v.Field(i), false)
			}
		}
	case reflect.String:
		var b strings.Builder
		for range r.IntN(6) {
			b.WriteString([]string{"a", "Z", "=", "+", "-", "@", ";", ",", "\"", "'", " ", "\n", "\t", "ü", "1", ".", "null", "[", "{", "\u00a0", "＝", "#"}[r.IntN(22)])
		}
		s := b.String()
		if trimmed {
			s = strings.TrimSpace(s)
		}
		v.SetString(s)
	case reflect.Bool:
		v.SetBool(r.IntN(2) == 0)
	case reflect.Int:
		v.SetInt(r.Int64N(1<<32-1) - 1<<31 + 1)
	case reflect.Float64:
		v.SetFloat([]float64{0, 1.7778, -0.5, 1e-9, 5e-324, math.MaxFloat64, 1e15, 123456.789, r.NormFloat64() * 1e3, math.Exp(200 * r.NormFloat64())}[r.IntN(10)])
	}
}

// What goes out comes back unchanged, whatever is in it.
func TestShotsComeBackUnchanged(t *testing.T) {
	for seed := range uint64(400) {
		r := random{rand.New(rand.NewPCG(seed, 1))}
		var shots []job.DraftShot
		for range 1 + r.IntN(4) {
			s := r.shot()
			n, p := "1", "jetty"
			if s.Number == nil || *s.Number == "" {
				s.Number = &n
			}
			if s.Place == nil {
				s.Place = &p
			}
			shots = append(shots, s)
		}
		comma := seed%2 == 0
		var file bytes.Buffer
		if err := Write(&file, shots, comma); err != nil {
			t.Fatal(err)
		}
		table := Read(file.Bytes())
		if faults := table.Faults(nil); len(faults) > 0 {
			t.Fatalf("seed %d: %+v in\n%s", seed, faults, file.String())
		}
		if d := cmp.Diff(shots, table.Shots); d != "" {
			t.Fatalf("seed %d (-out +back):\n%s\n%s", seed, d, file.String())
		}
	}
}

func TestNoSpreadsheetComputesACell(t *testing.T) {
	name, number, place := `=HYPERLINK("http://x")`, "-12", "a;@SUM(1)"
	var file bytes.Buffer
	s := job.DraftShot{Number: &number, Place: &place}
	s.Name = name
	if err := Write(&file, []job.DraftShot{s}, false); err != nil {
		t.Fatal(err)
	}
	line := strings.Split(file.String(), "\n")[1]
	if want := `'-12,a;'@SUM(1),"'=HYPERLINK(""http://x"")"`; !strings.HasPrefix(line, want) {
		t.Errorf("written as %s", line)
	}
}

func TestColumnsAreMembersByTheirPlaces(t *testing.T) {
	all := Columns()
	for _, want := range []string{"number", "place", "name", "window.date", "window.end_date", "when.earliest", "when.duration_min", "pin", "prefer", "camera.bearing_deg", "camera.height_m",
		"framing.focal_length_mm", "look.back_stops", "limits.price_per_day", "limits.vehicle_sku", "lamps", "other_zones", "forecast", "walk.to_m", "supply.position_m", "supply.generator"} {
		if !slices.Contains(all, want) {
			t.Errorf("there is no column %s", want)
		}
	}
	for _, not := range []string{"site", "site.latitude_deg", "crew_ladder", "forecast_csv"} {
		if slices.Contains(all, not) {
			t.Errorf("there is a column %s", not)
		}
	}
	if got := len(slices.Compact(slices.Sorted(slices.Values(all)))); got != len(all) {
		t.Errorf("%d names of %d columns", got, len(all))
	}
}

const twoShots = `number,place,window.date,window.start,window.end,camera.bearing_deg,framing.width_m,framing.distance_m,limits.price_per_day,lamps
1,jetty,2027-06-18,16:30,17:30,258,3,5.5,900.00 EUR,
2,jetty,2027-06-18,16:30,17:30,258.5,3,5.5,,"[{""label"":""street"",""azimuth_deg"":10,""elevation_deg"":30,""illuminance_lx"":20000}]"
`

// estuary is the job that tables of these tests belong to.
func estuary(shots []job.DraftShot) job.Draft {
	name, zone, at := "Estuary", "Europe/Lisbon", 38.7
	var jetty job.Place
	jetty.LatitudeDeg, jetty.LongitudeDeg, jetty.TimeZone = &at, &at, &zone
	return job.Draft{Name: &name, Places: map[string]job.Place{"jetty": jetty}, Shots: shots}
}

func faultsOf(table *Table) []fault.Fault {
	draft := estuary(table.Shots)
	_, faults := draft.Resolve()
	return table.Faults(faults)
}

func TestATableIsReadAsSpreadsheetsWriteIt(t *testing.T) {
	want := Read([]byte(twoShots))
	if faults := faultsOf(want); len(faults) > 0 || len(want.Shots) != 2 || *want.Shots[1].Lamps[0].Label != "street" || *want.Shots[1].Camera.BearingDeg != 258.5 {
		t.Fatalf("%d shots, %+v", len(want.Shots), faults)
	}
	semicolons := strings.NewReplacer(",", ";", "5.5", "5,5", "258.5", "258,5", "900.00", "900,00")
	local := semicolons.Replace(twoShots)
	local = strings.ReplaceAll(local, `"";""`, `"",""`)
	local = local[:strings.Index(local, `"[`)] + twoShots[strings.Index(twoShots, `"[`):] // a list is JSON everywhere
	lines := strings.Split(strings.TrimSpace(twoShots), "\n")
	for name, file := range map[string]string{
		"with a mark and CRLF":      "\ufeff" + strings.ReplaceAll(twoShots, "\n", "\r\n"),
		"semicolons":                local,
		"semicolons and points":     strings.NewReplacer("5,5", "5.5", "258,5", "258.5", "900,00", "900.00").Replace(local),
		"tabs":                      strings.ReplaceAll(local, ";", "\t"),
		"empty lines and cells":     lines[0] + ",,\n,,,,\n" + lines[1] + ",,,\n\n" + lines[2] + "\n,,,\n",
		"capitals and spaces":       strings.NewReplacer("number,place", " Number , PLACE ", "16:30", " 16:30 ").Replace(twoShots),
		"columns in another order":  turned(t, twoShots),
		"whole numbers with points": strings.ReplaceAll(twoShots, ",3,", ",3.0,"),
	} {
		got := Read([]byte(file))
		if faults := faultsOf(got); len(faults) > 0 {
			t.Errorf("%s: %+v in\n%s", name, faults, file)
			continue
		}
		if d := cmp.Diff(want.Shots, got.Shots); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}

// turned is a file with its columns from last to first.
func turned(t *testing.T, file string) string {
	t.Helper()
	var out []string
	for line := range strings.Lines(file) {
		head, list, quoted := strings.Cut(strings.TrimSuffix(line, "\n"), `,"[`)
		cells := strings.Split(head, ",")
		if quoted {
			cells = append(cells, `"[`+list)
		}
		slices.Reverse(cells)
		out = append(out, strings.Join(cells, ","))
	}
	return strings.Join(out, "\n")
}

func TestFaultsByLineAndColumn(t *testing.T) {
	change := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(twoShots) }
	lines := strings.SplitAfter(twoShots, "\n")
	type at struct {
		line   int
		column string
		code   string
	}
	for name, c := range map[string]struct {
		file string
		want []at
	}{
		"nothing":                 {"", []at{{1, "", "wrong_columns"}}},
		"the heading alone":       {lines[0], nil},
		"an unknown column":       {change("camera.bearing_deg", "camera.bearing", "window.end,", "window.end,size,"), []at{{1, "camera.bearing", "unknown"}, {1, "size", "unknown"}}},
		"no numbers":              {change("number,", "pin,"), []at{{1, "number", "missing"}}},
		"a column twice":          {change("framing.width_m", "place"), []at{{1, "place", "twice"}}},
		"no number":               {change("\n2,", "\n,"), []at{{3, "number", "missing"}}},
		"a number twice":          {change("\n2,", "\n1,"), []at{{3, "number", "repeated"}}},
		"an unknown place":        {change("2,jetty", "2,pier"), []at{{3, "place", "unknown_place"}}},
		"an end before its start": {change("17:30,258,", "16:00,258,"), []at{{2, "window.end", "end_not_after_start"}}},
		"no window":               {change("2027-06-18,16:30,17:30,258,", ",,,258,"), []at{{2, "window.date", "missing"}}},
		"letters for a number":    {change("258.5", "west"), []at{{3, "camera.bearing_deg", "wrong_type"}}},
		"a comma beside commas":   {change("258.5", `"258,5"`), []at{{3, "camera.bearing_deg", "wrong_type"}}},
		"infinity":                {change("258.5", "1e999", "5.5,9", "inf,9"), []at{{2, "framing.distance_m", "wrong_type"}, {3, "camera.bearing_deg", "far_out_of_range"}}},
		"out of range":            {change("258.5", "400"), []at{{3, "camera.bearing_deg", "out_of_range"}}},
		"no currency":             {change("900.00 EUR", "900"), []at{{2, "limits.price_per_day", "missing"}}},
		"no such currency":        {change("900.00 EUR", "900.00 EUX"), []at{{2, "limits.price_per_day", "unknown_currency"}}},
		"a decimal too few":       {change("900.00 EUR", "900.0 EUR"), []at{{2, "limits.price_per_day", "not_an_amount"}}},
		"no list":                 {change(`"[{`, `"{`, `}]"`, `}"`), []at{{3, "lamps", "not_a_list"}}},
		"an unknown member":       {change("azimuth_deg", "azimuth"), []at{{3, "lamps", "unknown"}}},
		"half a lamp":             {change(`""azimuth_deg"":10,`, ""), []at{{3, "lamps", "missing"}}},
		"two lists":               {change(`}]"`, `}] []"`), []at{{3, "lamps", "not_a_list"}}},
		"more cells":              {change("EUR,\n", "EUR,,x\n"), []at{{2, "", "wrong_cells"}}},
		"an open quote":           {change("1,jetty", `1,"jetty`), []at{{2, "", "open_quote"}}},
		"another alphabet":        {change("jetty", "jett\xff"), []at{{1, "", "not_text"}}},
		"several at once": {change("\n1,", "\n2,", "17:30,258,", "16:00,258,", "258.5", "west"),
			[]at{{2, "window.end", "end_not_after_start"}, {3, "camera.bearing_deg", "wrong_type"}, {3, "number", "repeated"}}},
	} {
		var got []at
		for _, f := range faultsOf(Read([]byte(c.file))) {
			got = append(got, at{f.Line, f.Column, f.Kind.Code()})
		}
		slices.SortFunc(got, func(a, b at) int { return strings.Compare(fmt.Sprint(a.line, a.column), fmt.Sprint(b.line, b.column)) })
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", name, got, c.want)
		}
	}
}

func TestTooManyRows(t *testing.T) {
	lines := strings.SplitAfter(twoShots, "\n")
	for _, n := range []int{job.MaxShots, job.MaxShots + 1, 10_000} {
		var file strings.Builder
		file.WriteString(lines[0])
		for i := range n {
			file.WriteString(strings.Replace(lines[1], "1,", fmt.Sprintf("%d,", i), 1))
		}
		faults := faultsOf(Read([]byte(file.String())))
		switch {
		case n <= job.MaxShots && len(faults) > 0:
			t.Errorf("%d: %+v", n, faults)
		case n > job.MaxShots && (len(faults) != 1 || faults[0] != (fault.Fault{Pointer: "/shots", Line: 1, Kind: fault.TooMany{Count: n, Most: job.MaxShots}})):
			t.Errorf("%d: %+v", n, faults)
		}
	}
}

func TestWhatATableChanges(t *testing.T) {
	shot := func(number, name string) job.DraftShot {
		s := job.DraftShot{Number: &number}
		s.Name = name
		return s
	}
	before := []job.DraftShot{shot("1", "a"), shot("2", "b"), shot("3", "c"), shot("4", "d")}
	got := Compare(before, []job.DraftShot{shot("3", "c"), shot("1", "a"), shot("2", "x"), shot("5", "e")})
	if d := cmp.Diff(Changes{Added: []string{"5"}, Changed: []string{"2"}, Removed: []string{"4"}, Unchanged: 2, Reordered: true}, got); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
	if d := cmp.Diff(Changes{Unchanged: 4}, Compare(before, before)); d != "" {
		t.Errorf("the same (-want +got):\n%s", d)
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(twoShots))
	f.Add([]byte("number;place;look.back_stops;window.start\n1;jetty;null;0,5\n"))
	f.Add([]byte("\ufeffnumber\tplace\tname\n\"\"\"\"\ta\t'=1\n"))
	f.Fuzz(func(t *testing.T, file []byte) {
		table := Read(file)
		if len(faultsOf(table)) > 0 {
			return
		}
		for _, comma := range []bool{false, true} {
			var out bytes.Buffer
			if err := Write(&out, table.Shots, comma); err != nil {
				t.Fatal(err)
			}
			again := Read(out.Bytes())
			if d := cmp.Diff(table.Shots, again.Shots); d != "" || len(again.Faults(nil)) > 0 {
				t.Errorf("%v (-read +read again):\n%s", again.Faults(nil), d)
			}
		}
	})
}
