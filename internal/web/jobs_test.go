package web

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"mime/multipart"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/PuerkitoBio/goquery"

	"kitspan/docs"
	"kitspan/internal/job"
	"kitspan/internal/shotlist"
)

// walkedJob and walkedPair are the first jobs that a [jobShelf] keeps.
const walkedJob, walkedPair = "shelf0000000", "shelf0000001"

// anyJob is an id of the shape that storage makes.
const anyJob = "aaaaaaaaaaaaaaaa"

// jobShelf is a storage of jobs in memory, for pages alone.
type jobShelf struct {
	mu   sync.Mutex
	jobs map[string]job.Stored
	keys map[string]shelfKey
}

type shelfKey struct {
	digest []byte
	id     string
}

func newJobShelf() *jobShelf {
	return &jobShelf{jobs: map[string]job.Stored{}, keys: map[string]shelfKey{}}
}

func (s *jobShelf) Jobs(_ context.Context, limit int, after job.Mark) (out []job.Listed, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for id, kept := range s.jobs {
		j, _ := kept.Draft.Resolve()
		made := time.Date(2027, 3, 1, 9, len(id), 0, 0, time.UTC)
		out = append(out, job.Listed{ID: id, Name: j.Name, From: j.From, To: j.To, Shots: len(j.Shots), Created: made, Changed: made})
	}
	slices.SortFunc(out, func(a, b job.Listed) int { return cmp.Compare(b.ID, a.ID) })
	if at := slices.IndexFunc(out, func(l job.Listed) bool { return l.ID == after.ID }); at >= 0 {
		out = out[at+1:]
	}
	return out[:min(limit, len(out))], nil
}

func (s *jobShelf) Job(_ context.Context, id string) (job.Stored, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	kept, ok := s.jobs[id]
	if !ok {
		return kept, job.ErrNoJob
	}
	return kept, nil
}

func (s *jobShelf) CreateJob(_ context.Context, draft job.Draft, key string, digest []byte) (job.Stored, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if _, faults := draft.Resolve(); len(faults) > 0 {
		return job.Stored{}, &job.UnsoundError{Faults: faults}
	}
	if before, used := s.keys[key]; used && key != "" {
		if !bytes.Equal(before.digest, digest) {
			return job.Stored{}, job.ErrKeyReused
		}
		return s.jobs[before.id], nil
	}
	kept := job.Stored{ID: fmt.Sprintf("shelf%07d", len(s.jobs)), Version: 1, Draft: draft, ShotVersions: slices.Repeat([]int64{1}, len(draft.Shots))}
	s.jobs[kept.ID], s.keys[key] = kept, shelfKey{digest, kept.ID}
	return kept, nil
}

func (s *jobShelf) ChangeJob(_ context.Context, id string, edit job.Edit) (job.Stored, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	before, ok := s.jobs[id]
	if !ok {
		return job.Stored{}, job.ErrNoJob
	}
	after, faults, err := before.Look(edit)
	if err != nil || len(faults) > 0 {
		return job.Stored{}, cmp.Or(err, error(&job.UnsoundError{Faults: faults}))
	}
	after.Version++
	after.ShotVersions = slices.Repeat([]int64{after.Version}, len(after.Draft.Shots))
	s.jobs[id] = after
	return after, nil
}

func (s *jobShelf) DeleteJob(_ context.Context, id string, expect job.Expect) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	kept, ok := s.jobs[id]
	switch {
	case !ok:
		return job.ErrNoJob
	case !expect.Met(kept.Version):
		return job.ErrStale
	}
	delete(s.jobs, id)
	return nil
}

// estuary is the documented job.
func estuary(t testing.TB) job.Draft {
	t.Helper()
	var request struct{ Job job.Draft }
	if err := json.Unmarshal(docs.ExampleJob, &request); err != nil {
		t.Fatal(err)
	}
	return request.Job
}

// keepJob keeps a job on a site.
func (s *site) keepJob(t testing.TB, d job.Draft) job.Stored {
	t.Helper()
	stored, err := s.server.Jobs.CreateJob(context.Background(), d, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	return stored
}

// fields are the values of the form of a job as a browser would send them.
func (p *page) fields(form string) url.Values {
	q := url.Values{}
	p.Find(form + " [name]").Each(func(_ int, e *goquery.Selection) {
		name, _ := e.Attr("name")
		switch typed, _ := e.Attr("type"); {
		case e.Is("button"), typed == "checkbox":
		case e.Is("select"):
			v, _ := e.Find("option[selected]").Attr("value")
			if v == "" {
				v, _ = e.Find("option").First().Attr("value")
			}
			q.Add(name, v)
		case e.Is("textarea"):
			q.Add(name, e.Text())
		default:
			v, _ := e.Attr("value")
			q.Add(name, v)
		}
	})
	return q
}

func TestANewJobIsBlank(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	if p := s.post(t, "/jobs", url.Values{"name": {"Harbour"}}); p.status != http.StatusUnauthorized {
		t.Fatalf("a stranger makes a job: %d", p.status)
	}
	s.signIn(t)
	p := s.post(t, "/jobs", url.Values{"name": {"Harbour"}, "key": {"once"}})
	if p.status != http.StatusOK || p.text("h1") != "Harbour" {
		t.Fatalf("%d: %s", p.status, p.text("h1"))
	}
	for name, v := range p.fields("form#job") {
		if name == "name" || name == "numbers" || name == "version" || strings.HasSuffix(name, "-ground") {
			continue
		}
		if v[0] != "" {
			t.Errorf("a new job says %s: %q", name, v[0])
		}
	}
	if again := s.post(t, "/jobs", url.Values{"name": {"Harbour"}, "key": {"once"}}); again.at.Path != p.at.Path {
		t.Errorf("sent twice it is made twice: %s and %s", p.at, again.at)
	}
	if p := s.post(t, "/jobs", url.Values{"name": {" "}}); p.status != http.StatusUnprocessableEntity || p.text("#e-name") == "" {
		t.Errorf("without a name: %d %q", p.status, p.text("#e-name"))
	}
}

// A job that is saved as it was shown stays as it was, in every language, on a database.
func TestAJobSavedAsShownStays(t *testing.T) {
	t.Parallel()
	s := newSiteOnPostgres(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	for _, lang := range []string{"en", "de", "pt", "fr", "es"} {
		p := s.get(t, jobPath(stored.ID)+"?lang="+lang)
		q := p.fields("form#job")
		if got := s.post(t, jobPath(stored.ID), q); got.status != http.StatusOK || got.at.Query().Get("saved") == "" {
			t.Fatalf("%s: %d %s", lang, got.status, got.text(".summary"))
		}
		now, err := s.server.Jobs.Job(t.Context(), stored.ID)
		if err != nil || now.Version != stored.Version {
			t.Errorf("%s: version %d became %d: %v", lang, stored.Version, now.Version, err)
		}
	}
}

func TestShotsAreTypedRowByRow(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	name := "Harbour"
	stored := s.keepJob(t, job.Draft{Name: &name})
	q := s.get(t, jobPath(stored.ID)+"?lang=de").fields("form#job")
	for field, v := range map[string]string{
		"p0-name": "Mole", "p0-at": `38°41′36.6″N 9°12′20.5″W`, "p0-zone": "Europe/Lisbon",
		"s0-number": "1", "s0-place": "Mole", "s0-date": "2027-06-15", "s0-from": "10:00", "s0-to": "11:00", "s0-bearing": "SW", "s0-width": "2,5", "s0-distance": "13 ft",
		"s1-number": "2", "s1-from": "14:00", "s1-to": "18:00", "s1-min": "45", "s1-bearing": "200", "s1-width": "3", "s1-distance": "4",
	} {
		q.Set(field, v)
	}
	if p := s.post(t, jobPath(stored.ID), q); p.at.Query().Get("saved") == "" {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	now, _ := s.server.Jobs.Job(t.Context(), stored.ID)
	one, two := &now.Draft.Shots[0], &now.Draft.Shots[1]
	if *one.Camera.BearingDeg != 225 || *one.Framing.WidthM != 2.5 || fmt.Sprintf("%.4f", *one.Framing.DistanceM) != "3.9624" {
		t.Errorf("shot 1 is %+v %+v", one.Camera, one.Framing)
	}
	if two.When == nil || *two.When.DurationMin != 45 || *two.When.Date != "2027-06-15" || *two.Place != "Mole" {
		t.Errorf("shot 2 is %+v at %v", two.When, two.Place)
	}
}

func TestFaultsOfAJobStandBesideTheirCells(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	q := s.get(t, jobPath(stored.ID)).fields("form#job")
	for field, v := range map[string]string{
		"s1-number": "3", "s2-place": "pier", "s3-min": "700", "s4-width": "wide", "p0-at": "somewhere", "m0-min": "-1", "p2-name": "",
	} {
		q.Set(field, v)
	}
	p := s.post(t, jobPath(stored.ID), q)
	if p.status != http.StatusUnprocessableEntity {
		t.Fatalf("%d at %s", p.status, p.at)
	}
	for field, want := range map[string]string{
		"s1-number": "row 1", "s2-place": "pier", "s3-to": "700 minutes", "s4-width": "length", "p0-at": "38.6935", "m0-min": "from 0", "p2-name": "name of its own",
	} {
		if got := p.text("#e-" + field); !strings.Contains(got, want) {
			t.Errorf("beside %s: %q, not %q", field, got, want)
		}
		if p.Find(`.summary a[href="#f-`+field+`"]`).Length() != 1 {
			t.Errorf("no link to %s", field)
		}
		if v, _ := p.Find("#f-" + field).Attr("aria-invalid"); v != "true" {
			t.Errorf("%s is not marked", field)
		}
	}
	if now, _ := s.server.Jobs.Job(t.Context(), stored.ID); now.Version != stored.Version {
		t.Error("something was kept")
	}
	if v, _ := p.Find("#f-s4-width").Attr("value"); v != "wide" {
		t.Errorf("typed and lost: %q", v)
	}
}

func TestRowsAreCopiedMovedAndDeleted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	numbers := func(p *page) (list []string) {
		q := p.fields("form#job")
		for i := 0; q.Has(rowOf("s", i, "number")); i++ {
			if n := q.Get(rowOf("s", i, "number")); n != "" {
				list = append(list, n)
			}
		}
		return list
	}
	p := s.get(t, jobPath(stored.ID))
	act := func(do string, mark ...string) {
		t.Helper()
		q := p.fields("form#job")
		q.Set("do", do)
		q["mark"] = mark
		if p = s.post(t, jobPath(stored.ID), q); p.status != http.StatusOK {
			t.Fatalf("%s: %d", do, p.status)
		}
	}
	act("copy", "s0")
	act("up", "s2")
	act("delete", "s4", "s5", "s6")
	if got := strings.Join(numbers(p), " "); got != "3 4 7 12B 15 16" {
		t.Errorf("rows are %s", got)
	}
	if now, _ := s.server.Jobs.Job(t.Context(), stored.ID); now.Version != stored.Version {
		t.Error("kept before it was saved")
	}
	q := p.fields("form#job")
	q.Set("s2-number", "3 again")
	if p = s.post(t, jobPath(stored.ID), q); p.at.Query().Get("saved") == "" {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	now, _ := s.server.Jobs.Job(t.Context(), stored.ID)
	if len(now.Draft.Shots) != 7 {
		t.Errorf("%d shots", len(now.Draft.Shots))
	}
}

// What two change at once is lost for neither: the second sees both, and saves both.
func TestALostRaceKeepsBoth(t *testing.T) {
	t.Parallel()
	s := newSiteOnPostgres(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	mine := s.get(t, jobPath(stored.ID)).fields("form#job")
	theirs := s.get(t, jobPath(stored.ID)).fields("form#job")
	theirs.Set("s0-width", "1.7")
	theirs.Set("s9-number", "17")
	theirs.Set("s9-from", "18:00")
	theirs.Set("s9-to", "18:30")
	theirs.Set("s9-bearing", "200")
	theirs.Set("s9-width", "2")
	theirs.Set("s9-distance", "3")
	if p := s.post(t, jobPath(stored.ID), theirs); p.at.Query().Get("saved") == "" {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	mine.Set("notes", "Bring boots.")
	p := s.post(t, jobPath(stored.ID), mine)
	if p.status != http.StatusPreconditionFailed || !strings.Contains(p.text(".summary"), "shot 3, Width: 1.7") || !strings.Contains(p.text(".summary"), "shot 17 is new") {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	if p.text("#f-notes") != "Bring boots." {
		t.Error("what was typed is lost")
	}
	if p = s.post(t, jobPath(stored.ID), p.fields("form#job")); p.at.Query().Get("saved") == "" {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	now, _ := s.server.Jobs.Job(t.Context(), stored.ID)
	if len(now.Draft.Shots) != 10 || *now.Draft.Notes != "Bring boots." {
		t.Errorf("%d shots, notes %q", len(now.Draft.Shots), *now.Draft.Notes)
	}
}

func TestOneShotOfAJob(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	at := jobPath(stored.ID, "shots", "12A")
	p := s.get(t, at)
	if p.status != http.StatusOK || p.Find("#f-lat").Length() != 0 || p.Find("#f-key").Length() != 1 {
		t.Fatalf("%d", p.status)
	}
	q := p.fields("form.oneshot")
	if p := s.post(t, at, q); p.at.Query().Get("saved") == "" {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	now, _ := s.server.Jobs.Job(t.Context(), stored.ID)
	if a, b := jsonOf(t, stored.Draft.Shots[5]), jsonOf(t, now.Draft.Shots[5]); a != b {
		t.Errorf("saved as shown it is\n%s\nand was\n%s", b, a)
	}
	q = s.get(t, at).fields("form.oneshot")
	q.Set("key", "-1")
	q.Set("price", "200")
	q.Set("pin", "hand-held")
	q.Set("lens_height", "300")
	q.Set("number", "16")
	if p = s.post(t, at, q); p.status != http.StatusUnprocessableEntity || p.text("#e-number") == "" || p.text("#e-lens_height") == "" {
		t.Errorf("%d %s", p.status, p.text(".summary"))
	}
	q.Set("number", "12/A")
	q.Set("lens_height", "1.2")
	if p = s.post(t, at, q); p.at.Query().Get("saved") == "" || p.text("h1") != "Shot 12/A of Estuary" {
		t.Fatalf("%d %s", p.status, p.text(".summary"))
	}
	now, _ = s.server.Jobs.Job(t.Context(), stored.ID)
	if d := now.Draft.Shots[5]; *d.Look.KeyStops != -1 || d.Limits.PricePerDay.Number() != "200.00" || *d.Pin != "hand-held" {
		t.Errorf("kept is %s", jsonOf(t, d))
	}
}

func jsonOf(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestJobsAreCopiedAndDeleted(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	if p := s.post(t, jobPath(stored.ID, "copy"), nil); p.text("h1") != "Estuary (copy)" {
		t.Errorf("%d %s", p.status, p.text("h1"))
	}
	if p := s.post(t, jobPath(stored.ID, "delete"), url.Values{"version": {"0"}}); p.status != http.StatusPreconditionFailed {
		t.Errorf("another state is deleted: %d", p.status)
	}
	if p := s.post(t, jobPath(stored.ID, "delete"), s.get(t, jobPath(stored.ID, "delete")).fields("main form")); p.at.Path != "/jobs" || p.Find("tbody tr").Length() != 1 {
		t.Errorf("%d at %s", p.status, p.at)
	}
	if p := s.get(t, jobPath(stored.ID)); p.status != http.StatusNotFound {
		t.Errorf("deleted and there: %d", p.status)
	}
}

// uploadShots sends a file of shots in a form.
func (s *site) uploadShots(t *testing.T, path, name string, file []byte) *page {
	t.Helper()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	part, err := form.CreateFormFile("file", name)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := part.Write(file); err != nil {
		t.Fatal(err)
	}
	form.Close()
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, s.URL+path, &body)
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Content-Type", form.FormDataContentType())
	return s.do(t, r)
}

// A list of shots is looked at, then taken whole; faults are said by line and column, and nothing of a faulty one is kept.
func TestShotsAreImportedAfterALook(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	s.signIn(t)
	stored := s.keepJob(t, estuary(t))
	var file bytes.Buffer
	if err := shotlist.Write(&file, stored.Draft.Shots, true); err != nil {
		t.Fatal(err)
	}
	lines := strings.SplitAfter(file.String(), "\n")
	list := lines[0] + strings.Replace(lines[1], "1,6", "1,7", 1) + strings.Replace(lines[2], "4;", "4A;", 1)
	p := s.uploadShots(t, jobPath(stored.ID, "import"), "shots.csv", []byte(list))
	if got := p.text("main"); p.status != http.StatusOK || !strings.Contains(got, "1 added, 1 changed, 8 removed, 0 as they are") || !strings.Contains(got, "Added: 4A.") {
		t.Fatalf("%d: %s", p.status, got)
	}
	if now, _ := s.server.Jobs.Job(t.Context(), stored.ID); now.Version != stored.Version {
		t.Error("kept before it was taken")
	}
	take := p.fields("form:not(.upload):not(.out)")
	if p = s.post(t, jobPath(stored.ID, "import"), take); p.at.Query().Get("saved") == "" {
		t.Fatalf("%d: %s", p.status, p.text(".summary"))
	}
	if now, _ := s.server.Jobs.Job(t.Context(), stored.ID); len(now.Draft.Shots) != 2 || *now.Draft.Shots[0].Framing.WidthM != 1.7 {
		t.Errorf("%d shots", len(now.Draft.Shots))
	}
	if p = s.post(t, jobPath(stored.ID, "import"), take); p.status != http.StatusPreconditionFailed || p.Find("input[name=table]").Length() != 1 {
		t.Errorf("a list that was looked at before another change is taken: %d", p.status)
	}
	p = s.uploadShots(t, jobPath(stored.ID, "import"), "shots.csv", []byte(strings.Replace(list, "1,7", "wide", 1)))
	if p.status != http.StatusUnprocessableEntity || p.text("tbody td:first-child") != "2" || p.text("tbody td:nth-child(2)") != "framing.width_m" {
		t.Errorf("%d: %s", p.status, p.text(".summary"))
	}
}
