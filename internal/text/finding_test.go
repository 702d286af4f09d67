package text_test

import (
	"reflect"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/bojanz/currency"

	"kitspan/internal/finding"
	"kitspan/internal/rigging"
	"kitspan/internal/text"
)

// filled sets all that a finding holds to something worth mentioning.
func filled(v reflect.Value) {
	switch v.Interface().(type) {
	case time.Time:
		v.Set(reflect.ValueOf(time.Date(2027, 6, 18, 16, 30, 0, 0, time.UTC)))
		return
	case currency.Amount:
		a, _ := currency.NewAmount("12.50", "EUR")
		v.Set(reflect.ValueOf(a))
		return
	case finding.Side:
		v.Set(reflect.ValueOf(finding.Left))
		return
	case finding.Corner:
		v.Set(reflect.ValueOf(finding.FarLeft))
		return
	case rigging.Governs:
		v.Set(reflect.ValueOf(rigging.GovernsSliding))
		return
	case finding.Role:
		v.Set(reflect.ValueOf(finding.RoleSide))
		return
	case finding.RuledOut:
		v.Set(reflect.ValueOf(finding.RuledOut{Name: "Frame", ShortByM: 0.5, Obstacle: finding.InPicture{}}))
		return
	case finding.Remedy:
		v.Set(reflect.ValueOf(finding.Remedy{What: finding.SmallerSheet, AreaM2: 3}))
		return
	}
	switch v.Kind() {
	case reflect.Float64:
		v.SetFloat(3.5)
	case reflect.Int:
		v.SetInt(3)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.String:
		v.SetString("name")
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		filled(v.Elem())
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 1, 1))
		filled(v.Index(0))
	case reflect.Struct:
		for i := range v.NumField() {
			filled(v.Field(i))
		}
	}
}

func worthTelling[F any](f F) F {
	v := reflect.New(reflect.TypeOf(f)).Elem()
	filled(v)
	return v.Interface().(F)
}

var (
	inMetres = regexp.MustCompile(`\d m([^/³\w]|$)|m²`) // a gust is in m/s and a load in m³ for everybody
	inFeet   = regexp.MustCompile(`\d (ft|in)\b|ft²`)
)

// Every kind of finding has a sentence, and a reader of feet gets no metres.
func TestEveryFindingIsASentenceInTheReadersUnits(t *testing.T) {
	withLength := 0
	check := func(name string, say func(u text.Reader) string) {
		metric, imperial := say(text.Metres), say(text.Feet)
		for _, s := range []string{metric, imperial} {
			if !strings.HasSuffix(s, ".") || strings.ToUpper(s[:1]) != s[:1] && !strings.HasPrefix(s, "name") || strings.Contains(s, "%!") || strings.Contains(s, "  ") || strings.Contains(s, ": .") {
				t.Errorf("%s: %q is no sentence", name, s)
			}
		}
		if inFeet.MatchString(metric) {
			t.Errorf("%s has feet for a reader of metres: %s", name, metric)
		}
		if inMetres.MatchString(imperial) {
			t.Errorf("%s has metres for a reader of feet: %s", name, imperial)
		}
		if has := inMetres.MatchString(metric); has != inFeet.MatchString(imperial) {
			t.Errorf("%s: a length in one only of\n%s\n%s", name, metric, imperial)
		} else if has {
			withLength++
		}
	}
	for _, n := range finding.Notes() {
		n := worthTelling(n)
		check(n.Code(), func(u text.Reader) string { return text.Note(u, n) })
	}
	for _, o := range finding.Obstacles() {
		r := finding.RuledOut{Name: "Frame", ShortByM: 0.42, Obstacle: worthTelling(o), DoesOnLift: true}
		check(o.Code(), func(u text.Reader) string { return text.RuledOut(u, &r) })
		check(o.Code()+" anywhere", func(u text.Reader) string { return text.NoReach(u, &finding.NoReach{Sources: 2, Frame: r}) })
	}
	for _, w := range finding.Withouts() {
		w := worthTelling(w)
		check(w.Code(), func(u text.Reader) string { return text.Without(u, w) })
	}
	s := worthTelling(finding.Summary{})
	s.Dark = false
	check("summary", func(u text.Reader) string { return text.Summary(u, &s) })
	for _, c := range finding.Cautions() {
		check(string(c), func(text.Reader) string { return strings.ReplaceAll(text.Caution(text.Metres, c), "10 m", "ten") })
	}
	for _, step := range text.Order(text.Metres, []finding.Work{worthTelling(finding.Work{})}) {
		check("order", func(text.Reader) string { return step })
	}
	if withLength < 15 {
		t.Errorf("only %d findings have a length", withLength)
	}
}

// A foot is 0.3048 m (international yard and pound agreement, 1959).
func TestLengthsInFeet(t *testing.T) {
	for m, want := range map[float64]string{0.3048 * 7: "7 ft 0 in", 0.3048*6 + 0.0254*5: "6 ft 5 in", 0.0254 * 4: "4 in", 0.0254 * 11.7: "1 ft 0 in", 0.01: "under 1 in"} {
		r := finding.RuledOut{Name: "Frame", ShortByM: m, Obstacle: finding.InPicture{}}
		if got := text.RuledOut(text.Feet, &r); got != "Frame would cover, but "+want+" inside the clearance of the picture." {
			t.Errorf("%g m, %s: %s", m, want, got)
		}
	}
	// What keeps people away is rounded up: 5.19 m are 17 ft 0.33 in.
	for low, want := range map[finding.LowEdge]string{
		{Role: finding.RoleOverhead, LowM: 1.28, RightM: -2.1, BehindM: 1.4}: "An edge of the overhead hangs 1.2 m over the ground, 2.1 m to the left and 1.4 m behind the subject",
		{Role: finding.RoleOverhead, LowM: 1.28, RightM: 2.1, BehindM: -1.4}: "2.1 m to the right and 1.4 m in front of the subject",
	} {
		if got := text.Note(text.Metres, low); !strings.Contains(got, want) {
			t.Errorf("%q", got)
		}
	}
	if got := text.Note(text.Feet, finding.SlewingRoom{WithinM: 5.19}); !strings.Contains(got, "within 17 ft 1 in of") {
		t.Error(got)
	}
	if got := text.Note(text.Metres, finding.SlewingRoom{WithinM: 5.11}); !strings.Contains(got, "within 5.2 m of") {
		t.Error(got)
	}
	// Two feet are 0.6096 m: at half a stop a metre they lose 0.3.
	key := finding.KeyPlaced{By: finding.Array{Goods: finding.Goods{Quantity: 1}}, DistanceM: 3.048, Side: finding.Right, LosesStopsPerM: 0.5}
	if got := text.Note(text.Feet, key); !strings.Contains(got, " 10 ft 0 in from the subject on the right; each 2 ft further back loses 0.3 stop.") {
		t.Error(got)
	}
}

// Seen from the lens a positive x is to the right, a positive y beyond the middle of the zone.
func TestCornersAreAsTheLensSeesThem(t *testing.T) {
	for want, at := range map[string][2]float64{"near left": {-1, -1}, "near right": {1, -1}, "far left": {-1, 1}, "far right": {1, 1}} {
		r := finding.RuledOut{Name: "Frame", ShortByM: 1, Obstacle: finding.Misses{
			Corner: finding.CornerOf(at[0], at[1]), Source: finding.Sun, At: time.Date(2027, 6, 18, 17, 30, 0, 0, time.UTC),
		}}
		if got := text.RuledOut(text.Metres, &r); got != "Frame misses by 1.00 m at 17:30, "+want+" corner." {
			t.Errorf("%v: %s", at, got)
		}
		misses := r.Obstacle.(finding.Misses)
		misses.Source = "tower"
		r.Obstacle = misses
		if got := text.RuledOut(text.Metres, &r); got != "Frame misses by 1.00 m from lamp tower, "+want+" corner." {
			t.Errorf("%v: %s", at, got)
		}
	}
}
