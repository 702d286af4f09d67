//go:build !race

// Arithmetic in one goroutine, where the race detector finds nothing and takes eight times as long: deploy/tests.sh runs this without it.

package web

import (
	"io/fs"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/PuerkitoBio/goquery"
	"github.com/bojanz/currency"
	"github.com/getkin/kin-openapi/openapi3"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"kitspan/api"
	"kitspan/docs"
	"kitspan/internal/rest"
	"kitspan/internal/shot"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// documented are the examples of the documents.
func documented(t testing.TB) (list []Example) {
	t.Helper()
	files, err := fs.Glob(docs.Examples, "examples/*.json")
	if err != nil || len(files) < 14 {
		t.Fatalf("%d examples, %v", len(files), err)
	}
	for _, name := range files {
		body, err := fs.ReadFile(docs.Examples, name)
		if err != nil {
			t.Fatal(err)
		}
		house, draft, err := rest.ReadShot(body)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		list = append(list, Example{house, draft})
	}
	return list
}

// sameDraft compares drafts; a list that is empty is one that was not said.
var sameDraft = cmp.Options{cmpopts.EquateEmpty()}

// What the page's address says of an example is what its JSON says, for readers of every notation, and the first page leads there. The same
// draft is the same answer: office.Take and office.Plan know nothing else.
func TestEveryExampleIsTheSameByBothWays(t *testing.T) {
	t.Parallel()
	list := documented(t)
	s := newSiteWith(t, func(o *setup) { o.Examples = list })
	links := s.get(t, "/").Find(".cards a[href^='/plan?']")
	if links.Length() != len(list) {
		t.Fatalf("%d examples on the first page, of %d", links.Length(), len(list))
	}
	for i, e := range list {
		for _, n := range notations {
			f := readForm(addressOf(e.House, &e.Draft), "EUR", n, text.Metres)
			if len(f.Errors) > 0 || f.House != e.House {
				t.Errorf("%s, %s: %v", e.Draft.Name, n.language, f.Errors)
			}
			if diff := cmp.Diff(e.Draft, f.Draft, sameDraft, cmp.Comparer(sameAmount)); diff != "" {
				t.Errorf("%s, %s: the address says something else:\n%s", e.Draft.Name, n.language, diff)
			}
		}
		if href, _ := links.Eq(i).Attr("href"); href != "/plan?"+addressOf(e.House, &e.Draft).Encode() {
			t.Errorf("%s is at %s", e.Draft.Name, href)
		}
		if links.Eq(i).Find("svg [data-part=lens]").Length() != 1 || links.Eq(i).Find("svg [data-part=people]").Length() != 1+len(e.Draft.OtherZones) {
			t.Errorf("%s: its drawing lacks lens or people", e.Draft.Name)
		}
	}
}

// Every member of a sizing request has a place on the page.
func TestEveryMemberOfTheContractHasAField(t *testing.T) {
	t.Parallel()
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	members := 0
	var walk func(schema *openapi3.Schema, pointer string)
	walk = func(schema *openapi3.Schema, pointer string) {
		switch {
		case schema.Type.Is("object"):
			for name, member := range schema.Properties {
				walk(member.Value, pointer+"/"+name)
			}
			return
		case schema.Type.Is("array"):
			walk(schema.Items.Value, pointer+"/0")
			return
		}
		members++
		if pointer == "/house" || pointer == "/shot/name" {
			return // above the groups
		}
		name, exact := fieldOf(pointer)
		def := defOf(name)
		switch {
		case def == nil:
			t.Errorf("%s has no field", pointer)
		case exact || def.Kind == asMoney || def.get != nil: // an amount in the house's currency, a list's coordinate or number
		case def.Kind == asTable:
			if column := pointer[strings.LastIndexByte(pointer, '/')+1:]; !slices.Contains(shot.ForecastColumns, column) || !strings.Contains(string(def.Hint), column) {
				t.Errorf("%s is no column of %s", pointer, name)
			}
		case def.Kind == asLines:
			if _, member, _ := strings.Cut(strings.TrimPrefix(pointer, def.pointer+"/"), "/"); parts[member] == "" && parts[member+"/0"] == "" {
				t.Errorf("%s has no part in the lines of %s", pointer, name)
			}
		default:
			t.Errorf("%s has no field of its own: it is in %s", pointer, name)
		}
	}
	walk(doc.Components.Schemas["SizingRequest"].Value, "")
	if members < 70 {
		t.Fatalf("%d members", members)
	}
}

// filled is a draft that says everything, each number another.
func filled(t *testing.T) shot.Draft {
	t.Helper()
	var d shot.Draft
	n := 0.125
	var fill func(v reflect.Value, name string)
	fill = func(v reflect.Value, name string) {
		switch v.Kind() {
		case reflect.Pointer:
			switch v.Interface().(type) {
			case *float64:
				n++
				v.Set(reflect.ValueOf(&[]float64{n}[0]))
			case *string:
				s := wordsFor[name]
				if s == "" {
					s = "said of " + name
				}
				v.Set(reflect.ValueOf(&s))
			case *bool:
				yes := true
				v.Set(reflect.ValueOf(&yes))
			case *int:
				v.Set(reflect.ValueOf(&[]int{7}[0]))
			case *shot.DraftWalk:
				v.Set(reflect.ValueOf(&shot.DraftWalk{ToM: []float64{1.5, -2}}))
			default: // money
				a := amountOf(t, "12.50")
				v.Set(reflect.ValueOf(&a))
			}
		case reflect.Struct:
			for i := range v.NumField() {
				fill(v.Field(i), v.Type().Field(i).Name)
			}
		case reflect.Slice:
			switch v.Interface().(type) {
			case []float64:
				size := map[string]int{"CenterM": 2}[name]
				if name == "PositionM" {
					size = 3
				}
				list := make([]float64, max(2, size))
				for i := range list {
					n++
					list[i] = n
				}
				v.Set(reflect.ValueOf(list))
			case []int:
				v.Set(reflect.ValueOf([]int{2, 3}))
			default:
				v.Set(reflect.MakeSlice(v.Type(), 2, 2))
				for i := range 2 {
					fill(v.Index(i), name)
				}
			}
		case reflect.String:
			v.SetString("A name")
		case reflect.Bool:
		default:
			t.Fatalf("no value for %s", name)
		}
	}
	fill(reflect.ValueOf(&d).Elem(), "")
	d.Supply.PositionM = d.Supply.PositionM[:2]
	d.ForecastCSV, d.Forecast = nil, nil // a table below
	for i := range d.Lamps {             // a direction or a place
		if lamp := &d.Lamps[i]; i == 0 {
			lamp.PositionM, lamp.IntensityCd = nil, nil
		} else {
			lamp.AzimuthDeg, lamp.ElevationDeg, lamp.IlluminanceLx = nil, nil, nil
		}
	}
	return d
}

// wordsFor are texts of a draft that are no free text.
var wordsFor = map[string]string{"Date": "2027-06-18", "EndDate": "2027-06-19", "Start": "22:00", "End": "02:00"}

// What a draft says, all of it, is said by its address.
func TestTheAddressSaysAllThatADraftCan(t *testing.T) {
	t.Parallel()
	said := filled(t)
	q := addressOf("quayside", &said)
	for _, n := range notations {
		f := readForm(addressOf("quayside", &said), "EUR", n, text.Metres)
		if diff := cmp.Diff(said, f.Draft, sameDraft, cmp.Comparer(sameAmount)); diff != "" || len(f.Errors) > 0 {
			t.Errorf("%s: %v\n%s", n.language, f.Errors, diff)
		}
	}
	for _, g := range groups {
		for _, def := range g.Fields {
			if def.Kind != asQuick && def.Kind != asTable && !q.Has(def.Name) {
				t.Errorf("nothing of a draft that says everything is in %s", def.Name)
			}
		}
	}
	cloud := 0.25
	at, gust := "2027-06-18T16:00:00+01:00", 6.5
	said = shot.Draft{Forecast: []shot.DraftForecastRow{{At: &at, GustMS: &gust, Cloud: &cloud}, {At: &at, GustMS: &gust}}}
	if got := addressOf("", &said).Get("forecast"); got != "at,gust_ms,cloud\n"+at+",6.5,0.25\n"+at+",6.5," {
		t.Errorf("a forecast is %q", got)
	}
}

func amountOf(t *testing.T, amount string) currency.Amount {
	t.Helper()
	a, err := currency.NewAmount(amount, "EUR")
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func sameAmount(a, b currency.Amount) bool { return a.Equal(b) }

// A picture on the first page has no colours but those of the drawings, which the themes know.
func TestThumbnailsHaveTheColoursOfDrawings(t *testing.T) {
	s, faults := documented(t)[0].Draft.Resolve()
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	svg := draw.Thumbnail(&s)
	for _, c := range regexp.MustCompile(`#[0-9a-f]{3,6}\b`).FindAllString(svg, -1) {
		if !slices.Contains(draw.Palette(), c) {
			t.Errorf("%s is no colour of the drawings", c)
		}
	}
}

// On set the caution that belongs to one piece stands on its card, and all that the plan needs stand on the page.
func TestOnSetEachPieceHasItsOwnCautions(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for number, want := range map[int]map[string]string{ // by a word of the piece's heading
		2:  {"Reflector": "Sun in a mirror", "Overhead": ""},
		10: {"lamp": "Lamps and mains", "frame": ""},
	} {
		example := documented(t)[number-1]
		p := s.get(t, "/set?"+addressOf(example.House, &example.Draft).Encode())
		for word, begins := range want {
			cards := p.Find(".piece").FilterFunction(func(_ int, card *goquery.Selection) bool { return strings.Contains(card.Find("h3").Text(), word) })
			if got := cards.Find(".cautions").Text(); cards.Length() == 0 || !strings.HasPrefix(strings.TrimSpace(got), begins) || begins == "" && got != "" {
				t.Errorf("example %d, %d cards of %s: %q, want %q", number, cards.Length(), word, got, begins)
			}
		}
		if n := p.Find("section.cautions li").Length(); n < 6 {
			t.Errorf("example %d: %d cautions that the plan needs", number, n)
		}
	}
}
