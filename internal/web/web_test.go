package web

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"html/template"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"reflect"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/PuerkitoBio/goquery"
	"github.com/alexedwards/scs/v2"
	"github.com/alexedwards/scs/v2/memstore"
	"github.com/labstack/echo/v4"

	"kitspan/internal/account"
	"kitspan/internal/catalog"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// shelf is a storage in memory with the demo houses, for pages alone: the real one is tested where it is.
type shelf struct {
	mu      sync.Mutex
	items   map[string]catalog.StoredItem // by house and SKU
	files   map[string]*keptFile          // by id
	version int64
	// down is what reading a catalogue answers while it is set; slow, where it is set, is called before.
	down error
	slow func(ctx context.Context)
}

// trouble sets what reading a catalogue does.
func (s *shelf) trouble(down error, slow func(ctx context.Context)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.down, s.slow = down, slow
}

func newShelf() *shelf {
	s := &shelf{items: map[string]catalog.StoredItem{}, files: map[string]*keptFile{}, version: 1}
	for _, h := range catalog.DemoHouses() {
		stock, _ := catalog.DemoSnapshot(h.Slug)
		for _, item := range stock.Items() {
			s.items[h.Slug+"/"+item.SKU] = catalog.StoredItem{Item: item, Version: 1}
		}
	}
	return s
}

func (s *shelf) Houses(context.Context) ([]catalog.House, error) { return catalog.DemoHouses(), nil }

func (s *shelf) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error) {
	s.mu.Lock()
	down, slow := s.down, s.slow
	s.mu.Unlock()
	if slow != nil {
		slow(ctx)
	}
	if err := errors.Join(down, ctx.Err()); err != nil {
		return nil, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, h := range catalog.DemoHouses() {
		if h.Slug != house {
			continue
		}
		var items []catalog.Item
		for key, item := range s.items {
			if strings.HasPrefix(key, house+"/") {
				items = append(items, item.Item)
			}
		}
		return catalog.NewSnapshot(h, items), nil
	}
	return nil, catalog.ErrNoHouse
}

func (s *shelf) Item(_ context.Context, house, sku string) (catalog.StoredItem, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if !utf8.ValidString(sku) || strings.ContainsRune(sku, 0) { // as PostgreSQL has it, SQLSTATE 22021
		return catalog.StoredItem{}, errors.New("invalid byte sequence for encoding UTF8")
	}
	item, ok := s.items[house+"/"+sku]
	if !ok {
		return item, catalog.ErrNoItem
	}
	return item, nil
}

func (s *shelf) ReplaceItem(_ context.Context, house string, item catalog.Item, version int64) (catalog.StoredItem, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	old, ok := s.items[house+"/"+item.SKU]
	switch {
	case !ok:
		return old, catalog.ErrNoItem
	case old.Version != version:
		return old, catalog.ErrItemChanged
	}
	s.version++
	stored := catalog.StoredItem{Item: item, Version: version + 1}
	s.items[house+"/"+item.SKU] = stored
	return stored, nil
}

// keptFile is a file on the shelf that waits to be imported.
type keptFile struct {
	catalog.FileLook
	house, holder string
	file          []byte
}

func (s *shelf) KeepFile(_ context.Context, house, holder string, kind catalog.Kind, file []byte) (string, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	id := "FILE" + strconv.Itoa(len(s.files))
	s.files[id] = &keptFile{catalog.FileLook{Kind: kind}, house, holder, file}
	return id, nil
}

// kept finds a file and reads it; the shelf is locked.
func (s *shelf) kept(house, holder, id string) (kept *keptFile, items []catalog.Item, err error) {
	kept, ok := s.files[id]
	if !ok || kept.house != house || kept.holder != holder {
		return nil, nil, catalog.ErrNoFile
	}
	for _, h := range catalog.DemoHouses() {
		if h.Slug == house && !kept.Done {
			err = catalog.ReadCSV(bytes.NewReader(kept.file), kept.Kind, catalog.OneHouse(h), func(_ string, item catalog.Item) error {
				items = append(items, item)
				return nil
			})
		}
	}
	return kept, items, err
}

func (s *shelf) LookAtFile(_ context.Context, house, holder, id string) (catalog.FileLook, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	kept, items, err := s.kept(house, holder, id)
	if err != nil || kept.Done {
		if kept == nil {
			return catalog.FileLook{}, err
		}
		return kept.FileLook, err
	}
	look := catalog.FileLook{Kind: kept.Kind, Version: s.version}
	for i := range items {
		switch old, had := s.items[house+"/"+items[i].SKU]; {
		case !had:
			look.Counts.Created++
		case reflect.DeepEqual(old.Item, items[i]):
			look.Counts.Unchanged++
		default:
			look.Counts.Changed++
		}
	}
	return look, nil
}

func (s *shelf) ImportFile(ctx context.Context, house, holder, id string, version int64) (catalog.ImportCounts, error) {
	look, err := s.LookAtFile(ctx, house, holder, id)
	if err != nil || look.Done {
		return look.Counts, err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.version != version {
		return catalog.ImportCounts{}, catalog.ErrCatalogueChanged
	}
	kept, items, err := s.kept(house, holder, id)
	if err != nil {
		return catalog.ImportCounts{}, err
	}
	s.version++
	for _, item := range items {
		s.items[house+"/"+item.SKU] = catalog.StoredItem{Item: item, Version: s.version}
	}
	kept.Counts, kept.Done = look.Counts, true
	return look.Counts, nil
}

const token = "a staff token of the tests"

// site is the pages, and a browser of a kind: it keeps cookies and reads answers by selector.
type site struct {
	*httptest.Server
	shelf    *shelf
	sessions scs.Store
	log      *journal
	server   *Server
	chain    *echo.Echo
	client   *http.Client
}

// journal keeps what the pages log; it may be read while they write.
type journal struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (j *journal) Write(p []byte) (int, error) {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.text.Write(p)
}

func (j *journal) String() string {
	j.mu.Lock()
	defer j.mu.Unlock()
	return j.text.String()
}

func newSite(t testing.TB) *site {
	t.Helper()
	return newSiteWith(t, func(*setup) {})
}

// staffOf are the staff who hold a token.
func staffOf(token string) *account.Staff {
	staff, err := account.NewStaff(token, time.Now)
	if err != nil {
		panic(err) // the tokens of the tests are long enough
	}
	return staff
}

// setup is what a site is made of.
type setup struct {
	Options
	TrustedProxies []netip.Prefix
}

// newSiteWith is newSite with other options.
func newSiteWith(t testing.TB, change func(*setup)) *site {
	t.Helper()
	store, log := newShelf(), &journal{}
	o := setup{Options: Options{
		Office: office.Office{Stock: store, Now: time.Now}, Storage: store, Jobs: newJobShelf(), Staff: staffOf(token), Sessions: memstore.NewWithCleanupInterval(0), Cautions: []byte("# Cautions\n\n- Lower early.\n"),
		JSON: func(r sizing.Result) ([]byte, error) {
			return []byte(`{"label": "` + string(r.Options[0].Label) + `"}`), nil
		},
		Text: func(w io.Writer, _ text.Reader, r sizing.Result) error {
			_, err := io.WriteString(w, text.Summary(text.Metres, &r.Options[0].Summary))
			return err
		},
		Log: slog.New(slog.NewTextHandler(log, nil)),
	}}
	change(&o)
	s, err := New(o.Options)
	if err != nil {
		t.Fatal(err)
	}
	metrics, err := httpchain.NewMetrics()
	if err != nil {
		t.Fatal(err)
	}
	chain, err := httpchain.New(httpchain.Options{
		Log: o.Log, Metrics: metrics, TrustedProxies: o.TrustedProxies, Faces: []httpchain.Face{s.Face()},
	})
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(chain)
	t.Cleanup(server.Close)
	return &site{Server: server, chain: chain, shelf: store, sessions: o.Sessions, log: log, server: s, client: newClient(t)}
}

func newClient(t testing.TB) *http.Client {
	t.Helper()
	return &http.Client{Jar: &jar{}, Timeout: time.Minute}
}

// jar keeps every cookie for every address: there is one site.
type jar struct{ kept map[string]*http.Cookie }

func (j *jar) SetCookies(_ *url.URL, cookies []*http.Cookie) {
	if j.kept == nil {
		j.kept = map[string]*http.Cookie{}
	}
	for _, c := range cookies {
		if c.MaxAge < 0 {
			delete(j.kept, c.Name)
			continue
		}
		j.kept[c.Name] = c
	}
}

func (j *jar) Cookies(*url.URL) (out []*http.Cookie) {
	for _, c := range j.kept {
		out = append(out, c)
	}
	return out
}

// page is an answer read by selector.
type page struct {
	*goquery.Document
	status int
	header http.Header
	at     *url.URL
}

func (p *page) text(selector string) string {
	return strings.Join(strings.Fields(p.Find(selector).Text()), " ")
}

func (s *site) do(t testing.TB, r *http.Request) *page {
	t.Helper()
	got, err := s.client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = got.Body.Close() }()
	doc, err := goquery.NewDocumentFromReader(got.Body)
	if err != nil {
		t.Fatal(err)
	}
	return &page{doc, got.StatusCode, got.Header, got.Request.URL}
}

func (s *site) get(t testing.TB, path string, header ...string) *page {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i+1 < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	return s.do(t, r)
}

func (s *site) post(t testing.TB, path string, form url.Values) *page {
	t.Helper()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+path, strings.NewReader(form.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return s.do(t, r)
}

// starter is a shot of the demo job: two anglers on a jetty.
var starter = map[string]string{
	houseField: "quayside", nameField: "Two anglers on the jetty", "width": "3", "distance": "5.5", "bearing": "258", "date": "2027-06-18",
	"from": "16:30", "to": "17:30", "lat": "38.6935", "lon": "-9.2057", "zone": "Europe/Lisbon", "aim_height": "1.25", "zone_width": "2.6",
	"zone_depth": "0.8", "zone_base": "0.6", "zone_top": "1.85", "faces": "sky",
}

// with is the starter shot with changes; an empty value takes a field out.
func with(changes ...string) string {
	q := url.Values{}
	for name, value := range starter {
		q.Set(name, value)
	}
	for i := 0; i+1 < len(changes); i += 2 {
		if q.Set(changes[i], changes[i+1]); changes[i+1] == "" {
			q.Del(changes[i])
		}
	}
	return q.Encode()
}

// small is with for a zone a metre wide: all is drawn as of the starter shot, planned in a third of the time.
func small(changes ...string) string { return with(append([]string{"zone_width", "1"}, changes...)...) }

// night is with for an hour at which there is nothing to plan, for tests that look at something else than a plan.
func night(changes ...string) string {
	return with(append([]string{"from", "01:00", "to", "02:00"}, changes...)...)
}

// A page with style of its own that cannot be made is answered with an error's page, in the style that its policy allows.
func TestAPageThatFailsHasTheStyleThatItsPolicyAllows(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	broken, err := s.server.pages["set"].Clone()
	if err != nil {
		t.Fatal(err)
	}
	s.server.pages["set"] = template.Must(broken.Parse(`{{define "main"}}{{.Page.Nothing}}{{end}}`))
	p := s.get(t, "/set?"+night())
	style := p.Find("style").Text()
	sum := sha256.Sum256([]byte(style))
	if want := base64.StdEncoding.EncodeToString(sum[:]); p.status != http.StatusInternalServerError || style == "" || !strings.Contains(p.header.Get("Content-Security-Policy"), want) {
		t.Errorf("%d, and the policy is %q, without %s", p.status, p.header.Get("Content-Security-Policy"), want)
	}
}

func TestAWholeShotHasItsAnswerBesideIt(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/plan?"+with())
	if p.status != http.StatusOK {
		t.Fatalf("%d at %s", p.status, p.at)
	}
	if n := p.Find("table.options tbody tr").Length(); n < 2 {
		t.Errorf("%d options", n)
	}
	if n := p.Find("figure svg").Length(); n != 7 {
		t.Errorf("%d drawings", n)
	}
	if !strings.Contains(p.text(".cautions"), "lower early") || !strings.Contains(p.text("footer"), "local law") {
		t.Error("no cautions beside the numbers")
	}
	if got := p.text("table.kit .sum td:last-child"); !strings.Contains(got, "EUR") {
		t.Errorf("sums %q", got)
	}
}

func TestTheAddressHoldsTheWholeShot(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	first := s.get(t, "/plan?"+with("sky", "overcast", "gust", "5", "prefer", "cheapest", "units", "ft", "width", "10 ft", "bearing", "WSW"))
	second := s.get(t, "/plan?"+first.at.RawQuery)
	if a, b := first.text("#results"), second.text("#results"); a != b || a == "" {
		t.Error("the same address gives another plan")
	}
	if v, _ := first.Find("#f-width").Attr("value"); v != "10 ft" {
		t.Errorf("the form forgot what was typed: %q", v)
	}
	if got := first.Find("[name=units][value=ft][checked]").Length(); got != 1 {
		t.Error("feet are not kept")
	}
}

func TestWhatIsWrongStandsBesideItsField(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/plan?"+with("width", "wide", "distance", "", "lat", "95", "to", "16:00", "bearing", "upwards", "price", "-3", "crew", "2.5"))
	if p.status != http.StatusUnprocessableEntity {
		t.Errorf("status %d", p.status)
	}
	for field, want := range map[string]string{
		"width": "give a length", "distance": "give a value from", "lat": "from -90 to 90", "to": "is not after", "bearing": "point of the compass",
		"price": "0 or more", "crew": "whole number",
	} {
		if got := p.text("#e-" + field); !strings.Contains(got, want) {
			t.Errorf("%s: %q, want %q", field, got, want)
		}
		if _, bad := p.Find("#f-" + field).Attr("aria-invalid"); !bad {
			t.Errorf("%s is not marked", field)
		}
		if p.Find(".summary a[href='#f-"+field+"']").Length() != 1 {
			t.Errorf("%s is not in the summary", field)
		}
	}
	if v, _ := p.Find("#f-width").Attr("value"); v != "wide" {
		t.Errorf("what was typed is gone: %q", v)
	}
	if p.Find("table.options").Length() != 0 {
		t.Error("a plan of a shot with faults")
	}
	if p = s.get(t, "/option?"+with("width", "wide")); p.at.Path != "/plan" || p.text("#e-width") == "" {
		t.Errorf("an option of a shot with faults: %s", p.at)
	}
	if p = s.get(t, "/plan.json?"+with("width", "wide")); p.status != http.StatusUnprocessableEntity {
		t.Errorf("JSON of a shot with faults: %d", p.status)
	}
}

func TestLampsAndOtherPeopleAreLines(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/plan?"+with("lamps", "north tower; 40; 35; 20000\n\neast tower; 12; 15; 9; 80000", "others", "bystanders; -8; 0; 1,5; -1.5"))
	if p.status != http.StatusOK || !strings.Contains(p.text("#results"), "bystanders") && !strings.Contains(p.text("#results"), "Bystanders") {
		t.Errorf("%d %q", p.status, p.text(".summary"))
	}
	if got := p.Find("#f-lamps").Text(); !strings.Contains(got, "east tower; 12") {
		t.Errorf("what was typed is gone: %q", got)
	}
	p = s.get(t, "/plan?"+with("lamps", "north tower; 40; 35; 20000; Off\neast tower; 12; 15; 9; 80000"))
	if said := p.text("#results"); !strings.Contains(said, ", north tower off") || strings.Contains(said, "east tower off") {
		t.Errorf("of two lamps the north tower may be off, and plans are %.2000s", said)
	}
	for lamps, want := range map[string]string{
		"tower; 1; off": "has 1 number ", "tower; 40; off; 20000": `"off" is no number`,
		"tower; x; 1; 2": `"x" is no number`, "tower; 1": "has 1 number ", "tower; 40; 350; 20000": "elevation_deg", "sun; 1; 2; 3": "sun",
	} {
		if p := s.get(t, "/plan?"+with("lamps", lamps)); p.status != http.StatusUnprocessableEntity || !strings.Contains(p.text("#e-lamps"), strings.TrimSuffix(want, "_deg")) &&
			!strings.Contains(p.text("#e-lamps"), "-90") {
			t.Errorf("%q: %d %q", lamps, p.status, p.text("#e-lamps"))
		}
	}
}

func TestFixedPointsAndForecastsAreTyped(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const table = "at,gust_ms,cloud\n2027-06-18 16:00,6.5,0.2\n2027-06-18 17:00,7,\n"
	p := s.get(t, "/plan?"+small("anchors", "railing; 3; -2,5; 1; 2000\nbollard; -4; 2; 0; 9000", "forecast", table, "ballast", "0", "ballast_high", "20"))
	if p.status != http.StatusOK {
		t.Errorf("%d %q", p.status, p.text(".summary"))
	}
	if got := p.Find("#f-forecast").Text(); got != strings.TrimSpace(table) {
		t.Errorf("what was typed is %q", got)
	}
	for _, tc := range []struct{ field, typed, want string }{
		{"anchors", "bollard; 1; 2; 0; 900\n\nrailing; 3; -2.5; 1", "line 3, the newtons it may bear: give a value over 0 and at most 50000 N"},
		{"anchors", "railing; 3; -2.5", "has 2 numbers"},
		{"anchors", "railing; 3; -2.5; -1; 2000", "line 1, the height: is -1, out of range; give a value from 0 to 60 m above the ground"},
		{"forecast", "at,gust_ms\n2027-06-18 16:00,41", "line 2: gust_ms is 41, out of range; give a value from 0 to 40 m/s"},
		{"forecast", "at,gust_ms\n2027-06-18 16:00,5\n2027-06-18 15:00,5", "line 3: at is 2027-06-18T15:00:00+01:00, not later than 2027-06-18T16:00:00+01:00 in the row before"},
		{"forecast", "16:00 5", `line 1: forecast begins with "16:00 5"`},
		{"forecast", "at,gust_ms" + strings.Repeat("\nnow,5", 5), "line 4: at is \"now\", no time"},
		{"forecast", "at,gust_ms" + strings.Repeat("\nnow,5", 5), "and 2 more"},
		{"gust", "41", "is 41, out of range; give a value from 0 to 40 m/s"},
		{"ballast_high", "10", `is 10, under "Ballast on every stand", which is 15 by default`},
	} {
		p := s.get(t, "/plan?"+small(tc.field, tc.typed))
		if got := p.text("#e-" + tc.field); p.status != http.StatusUnprocessableEntity || !strings.Contains(got, tc.want) {
			t.Errorf("%q: %d %q", tc.typed, p.status, got)
		}
	}
}

// Plan and sheet say when pieces may stand by a forecast, in words and drawn, with what a forecast is not beside it; not without one.
func TestPagesShowTheForecastAlongTheDay(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const table = "at,gust_ms\n2027-06-18 06:00,1\n2027-06-18 12:00,1\n2027-06-18 14:00,30\n2027-06-18 18:00,30\n"
	for _, path := range []string{"/plan?", "/option?"} {
		p := s.get(t, path+small("forecast", table))
		for _, want := range []string{"may stand from 06:00 to 12:00", "must be down from 16:30 to 17:30", "not the wind on the spot", "Forecast: it is made for a region"} {
			if !strings.Contains(p.text("main"), want) {
				t.Errorf("%s lacks %q", path, want)
			}
		}
		if p.Find(".d-forecast svg").Length() != 1 {
			t.Errorf("%s has no drawing of it", path)
		}
		if p := s.get(t, path+small()); p.Find(".d-forecast").Length() != 0 || strings.Contains(p.text("main"), "may stand from") {
			t.Errorf("%s without a forecast speaks of one", path)
		}
	}
}

// The first page with all that it needs is small.
func TestPagesAreSmall(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	size := func(path string) (n int, packed bool) {
		r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.URL+path, nil)
		if err != nil {
			t.Fatal(err)
		}
		r.Header.Set("Accept-Encoding", "gzip")
		got, err := s.client.Do(r)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = got.Body.Close() }()
		b, err := io.ReadAll(got.Body)
		if err != nil {
			t.Fatal(err)
		}
		return len(b), got.Header.Get("Content-Encoding") == "gzip"
	}
	page, packed := size("/plan?" + with())
	script, _ := size("/live.js")
	if page+script > 100_000 || !packed {
		t.Errorf("a plan takes %d bytes, compressed %v", page+script, packed)
	}
}

func TestTheSheetHoldsWhatAGripNeeds(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/option?"+with())
	text := p.text("main")
	for _, want := range []string{"Lower at", "Safe to", "Goes at", "Worst rope gone", "N·m", "To stake out", "near left corner", "(4 legs)", "faces ", "raise it", "Together", "In other gusts", "lower early", "Cautions", "safety factor 1.5", "EV "} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q", want)
		}
	}
	if p.Find("figure svg").Length() != 7 {
		t.Error("not all drawings")
	}
	p = s.get(t, "/option?"+small("ground", "grass", "crew", "6", "high", "4.5"))
	facts := p.text(".facts")
	for _, want := range []string{"Quayside Grip", "38.6935°, −9.2057°", "18 June 2027", "(Europe/Lisbon)", "Zone to light 1.00 m wide"} {
		if !strings.Contains(facts, want) {
			t.Errorf("the title lacks %q: %s", want, facts)
		}
	}
	if !strings.Contains(facts, "on grass. Not to go over 6 people, 4.50 m high.") || !regexp.MustCompile(`Background \d\d,?\d00 lx`).MatchString(facts) {
		t.Errorf("facts: %s", facts)
	}
}

func TestPlansGoOutAsFiles(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	if p := s.get(t, "/plan.txt?"+with()); !strings.Contains(p.Text(), "diffusion 12 x 12 ft") || !strings.HasPrefix(p.header.Get("Content-Type"), "text/plain") {
		t.Errorf("text %q", p.Text())
	}
	if p := s.get(t, "/plan.json?"+with()); p.header.Get("Content-Disposition") == "" || p.header.Get("Content-Type") != "application/json" {
		t.Errorf("JSON: %v", p.header)
	}
}

func TestPlacesAreKeptInTheBrowser(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	q, _ := url.ParseQuery(with())
	p := s.post(t, "/places", url.Values{"place_name": {"The <slip>"}, "lat": {"41.1"}, "lon": {"-8.6"}, "zone": {"Europe/Lisbon"}, "back": {q.Encode()}})
	if p.at.Path != "/plan" || p.text(".places li") != "The <slip>" {
		t.Fatalf("%s: %q", p.at, p.text(".places"))
	}
	href, _ := p.Find(".places li a").Attr("href")
	if p = s.get(t, href); p.Find("#f-lat[value='41.1']").Length() != 1 || p.Find("#f-width[value='3']").Length() != 1 {
		t.Errorf("%s does not move the shot there", href)
	}
	if p = s.post(t, "/places", url.Values{"place_name": {""}, "lat": {"x"}}); p.status != http.StatusUnprocessableEntity {
		t.Errorf("a place without a name: %d", p.status)
	}
}

// edit is the item's form as it stands.
func (s *site) edit(t *testing.T, path string) url.Values {
	t.Helper()
	form := url.Values{}
	s.get(t, path).Find("form.shot input").Each(func(_ int, in *goquery.Selection) {
		name, _ := in.Attr("name")
		value, _ := in.Attr("value")
		form.Set(name, value)
	})
	return form
}

func TestEditingAndLosingARace(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	const path = "/catalogue/quayside/QG-BAG-16"
	if p := s.post(t, path, url.Values{"f_name": {"x"}}); p.status != http.StatusUnauthorized {
		t.Errorf("a stranger writes: %d", p.status)
	}
	s.signIn(t)
	form := s.edit(t, path)
	form.Set("f_name", "Sand bag, sixteen")
	form.Set("f_mass_kg", "sixteen")
	if p := s.post(t, path, form); p.status != http.StatusUnprocessableEntity || p.text("#ce-mass_kg") == "" || p.Find("#c-name[value='Sand bag, sixteen']").Length() != 1 {
		t.Errorf("a bad mass: %d %q", p.status, p.text(".error"))
	}
	form.Set("f_mass_kg", "16.5")
	stale := s.edit(t, path)
	if p := s.post(t, path, form); p.status != http.StatusOK || p.text(".good") != "Saved." || p.text("h1") != "Sand bag, sixteen" {
		t.Errorf("saving: %d %s", p.status, p.text("main"))
	}
	stale.Set("f_owned", "77")
	p := s.post(t, path, stale)
	if p.status != http.StatusPreconditionFailed || !strings.Contains(p.text(".summary"), "Sand bag, sixteen") || p.Find("#c-owned[value='77']").Length() != 1 {
		t.Errorf("a lost race: %d %q", p.status, p.text(".summary"))
	}
	again := s.formOf(p)
	if p = s.post(t, path, again); p.text(".good") != "Saved." {
		t.Errorf("saving after a lost race: %d", p.status)
	}
}

// Files escape what a spreadsheet would compute; the form shows and takes texts as they are.
func TestATextThatLooksLikeAFormulaIsEditedAsItIs(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	const path = "/catalogue/quayside/QG-BAG-16"
	for _, name := range []string{"=1+1", "'=1+1", "-5 degrees; @home"} {
		form := s.edit(t, path)
		form.Set("f_name", name)
		if p := s.post(t, path, form); p.text(".good") != "Saved." {
			t.Fatalf("saving %q: %d %q", name, p.status, p.text(".error"))
		}
		if stored, err := s.shelf.Item(t.Context(), "quayside", "QG-BAG-16"); err != nil || stored.Name != name {
			t.Errorf("%q is stored as %q, %v", name, stored.Name, err)
		}
		if got, _ := s.get(t, path).Find("#c-name").Attr("value"); got != name {
			t.Errorf("%q is shown as %q", name, got)
		}
	}
}

func (s *site) formOf(p *page) url.Values {
	form := url.Values{}
	p.Find("form.shot input").Each(func(_ int, in *goquery.Selection) {
		name, _ := in.Attr("name")
		value, _ := in.Attr("value")
		form.Set(name, value)
	})
	return form
}

func TestCatalogueIsFoundByWords(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/catalogue/quayside?kind=ballast&q=sand+16")
	if p.Find("tbody tr").Length() != 1 || !strings.Contains(p.text("tbody"), "QG-BAG-16") || !strings.Contains(p.text("tbody"), "1.90 EUR") {
		t.Errorf("%q", p.text("tbody"))
	}
	for path, status := range map[string]int{"/catalogue/nowhere": 404, "/catalogue/quayside?kind=gold": 404, "/catalogue/quayside/NONE": 404, "/nothing": 404, "/cautions": 200, "/": 200} {
		if p := s.get(t, path); p.status != status || p.text("h1") == "" {
			t.Errorf("%s: %d %q", path, p.status, p.text("h1"))
		}
	}
}

// Pages hold nothing from elsewhere and no style or script of their own beside those allowed.
func TestPagesKeepTheirPolicy(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	look := s.upload(t, "/import/quayside", "ballast", bags(1)).at.Path
	for _, path := range []string{"/", "/plan?" + with(), "/option?" + with(), "/day?" + small(), "/reach?" + with(), "/set?" + small(), setNonePath, "/catalogue", "/catalogue/quayside",
		"/catalogue/quayside/QG-BAG-16", "/import/quayside", look, "/import/quayside/NONE", "/staff", "/cautions", "/nothing"} {
		p := s.get(t, path)
		policy := p.header.Get("Content-Security-Policy")
		if !strings.Contains(policy, "default-src 'none'") || strings.Contains(policy, "unsafe") {
			t.Errorf("%s: policy %q", path, policy)
		}
		if n := p.Find("[style], script:not([src='/live.js']):not([src^='/set.js?v=']), [onclick], iframe, object").Length(); n != 0 {
			t.Errorf("%s: %d parts that the policy would stop", path, n)
		}
		p.Find("[src], link[href], a[href], form[action]").Each(func(_ int, e *goquery.Selection) {
			for _, name := range []string{"src", "href", "action"} {
				if v, ok := e.Attr(name); ok && strings.Contains(v, "://") {
					t.Errorf("%s leads out of the site: %s", path, v)
				}
			}
		})
		p.Find("input:not([type=hidden]), select").Each(func(_ int, in *goquery.Selection) {
			id, _ := in.Attr("id")
			if in.Closest("label").Length() == 0 && p.Find("label[for='"+id+"']").Length() != 1 {
				t.Errorf("%s: field %q has no label", path, id)
			}
		})
		ids := map[string]int{}
		p.Find("[id]").Each(func(_ int, e *goquery.Selection) { id, _ := e.Attr("id"); ids[id]++ })
		for id, n := range ids {
			if n > 1 {
				t.Errorf("%s: id %s stands %d times", path, id, n)
			}
		}
		if p.Find("h1").Length() != 1 || p.Find("main").Length() != 1 {
			t.Errorf("%s: %d headings", path, p.Find("h1").Length())
		}
	}
}

func TestBlanksShowWhatIsTaken(t *testing.T) {
	t.Parallel()
	p := newSite(t).get(t, "/plan?"+with())
	for field, want := range map[string]string{"iso": "800", "stop": "2.8", "ratio": "1.78", "key": "−0.5", "gust": "8", "lens_height": "1.50 m"} {
		if got, _ := p.Find("#f-" + field).Attr("placeholder"); got != want {
			t.Errorf("%s: %q, want %q", field, got, want)
		}
	}
}

func BenchmarkPlanPage(b *testing.B) {
	s := newSite(b)
	path := "/plan?" + with()
	for b.Loop() {
		if p := s.get(b, path); p.status != http.StatusOK {
			b.Fatal(p.status)
		}
	}
}

// Addresses of houses and items that cannot be are not found, without asking the storage.
func TestNamesThatCannotBeAreNotFound(t *testing.T) {
	s := newSite(t)
	s.signIn(t)
	for _, name := range []string{"%00", "A%00", "%01", "%1b%5b31m", "%7f", "%ff", "%e2%80%ae", "%2f", strings.Repeat("A", 5000)} {
		for _, path := range []string{"/catalogue/" + name, "/catalogue/" + name + "/QG-STAND-LOW", "/catalogue/quayside/" + name, "/import/" + name} {
			if got := s.get(t, path); got.status != http.StatusNotFound {
				t.Errorf("GET %.60s: status %d, want 404", path, got.status)
			}
		}
	}
}

// TestAWalkIsTypedAsTwoLengths: in feet too, and a fault of the way as a whole stands beside one of them.
func TestAWalkIsTypedAsTwoLengths(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/plan?"+with("walk_east", "-1.5", "walk_north", "2"))
	if got := p.text("#results"); p.status != http.StatusOK || !strings.Contains(got, "The people walk 2.5 m") {
		t.Errorf("a walk of 1.5 m west and 2 m north: %d, %.300s", p.status, got)
	}
	p = s.get(t, "/plan?"+with("walk_north", "10", unitsField, "ft"))
	if got := p.text("#results"); !strings.Contains(got, "The people walk 10 ft") {
		t.Errorf("a walk of 10 ft: %d, %.300s", p.status, got)
	}
	p = s.get(t, "/plan?"+with("walk_east", "15", "walk_north", "15"))
	if got := p.text("#e-walk_north"); p.status != http.StatusUnprocessableEntity || !strings.Contains(got, "from 0.1 to 20 m") {
		t.Errorf("a walk of 21 m: %d, %q", p.status, got)
	}
}
