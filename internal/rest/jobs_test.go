package rest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"kitspan/internal/job"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// withJobs is a server on a catalogue in memory with its jobs in a database.
func withJobs(t *testing.T) *face {
	t.Helper()
	var log bytes.Buffer
	storage := newMemory()
	o := optionsOn(storage, func() time.Time { return testDay }, slog.New(slog.NewTextHandler(&log, nil)))
	o.Jobs = postgres.NewJobs(pgtest.New(t))
	server, handler := chained(t, o)
	return &face{t, server, handler, storage, &log}
}

func shotBody(number string, more ...string) string {
	return `{"number": "` + number + `", "place": "jetty", "window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}, "camera": {"bearing_deg": 258},
		"framing": {"width_m": 3, "distance_m": 5.5}` + strings.Join(append([]string{""}, more...), ", ") + `}`
}

func jobBody(shots ...string) string {
	return `{"name": "Estuary", "production": {"name": "Ebb & Flow"}, "places": {"jetty": {"latitude_deg": 38.6935, "longitude_deg": -9.2057, "time_zone": "Europe/Lisbon"}},
		"shots": [` + strings.Join(shots, ",") + `]}`
}

// sameJSON holds an answer to a text.
func (a answer) sameJSON(want string) {
	a.t.Helper()
	var g, w any
	if err := json.Unmarshal([]byte(want), &w); err != nil {
		a.t.Fatal(err)
	}
	a.into(&g)
	if d := cmp.Diff(w, g); d != "" {
		a.t.Errorf("(-want +got):\n%s", d)
	}
}

func (a answer) wantPlaces(want ...string) {
	a.t.Helper()
	a.want(422)
	got := a.places()
	slices.Sort(got)
	want = slices.Sorted(slices.Values(want))
	if !slices.Equal(got, want) {
		a.t.Errorf("faults at %q, want %q: %s", got, want, a.body)
	}
}

func (a answer) numbers() (out []string) {
	a.t.Helper()
	var page struct{ Items []struct{ Number string } }
	a.into(&page)
	for _, s := range page.Items {
		out = append(out, s.Number)
	}
	return out
}

func TestJobsFromBeginningToEnd(t *testing.T) {
	t.Parallel()
	f := withJobs(t)
	body := jobBody(shotBody("1", `"look": {"back_stops": null}`, `"limits": {"total_per_day": {"amount": "900.00", "currency": "EUR"}}`), shotBody("12/B"))
	f.do("POST", "/v1/jobs", body).want(401)
	made := f.staff("POST", "/v1/jobs", body, "Idempotency-Key", "a").want(201)
	made.sameJSON(body)
	at, tag := made.header.Get("Location"), made.header.Get("ETag")
	if again := f.staff("POST", "/v1/jobs", " "+body, "Idempotency-Key", "a").want(201); again.header.Get("Location") != at {
		t.Errorf("the same key made %s besides %s", again.header.Get("Location"), at)
	}
	f.staff("POST", "/v1/jobs", jobBody(), "Idempotency-Key", "a").want(409)
	f.staff("POST", "/v1/jobs", jobBody(), "Idempotency-Key", strings.Repeat("k", 201)).want(422)

	f.do("GET", at, "").want(200).sameJSON(body)
	f.do("GET", at, "", "If-None-Match", tag).want(304)
	f.do("GET", "/v1/jobs/nosuchjob000", "").want(404)
	f.do("GET", "/v1/jobs/%00%ff", "").want(404)

	other := strings.Replace(body, "Estuary", "Estuary II", 1)
	f.do("PUT", at, other, "If-Match", tag).want(401)
	f.staff("PUT", at, other).want(428)
	f.staff("PUT", at, other, "If-Match", `"99"`).want(412)
	f.staff("PUT", at, other, "If-Match", "W/"+tag).want(412)
	changed := f.staff("PUT", at, other, "If-Match", `"99", `+tag).want(200)
	changed.sameJSON(other)
	f.staff("PUT", at, body, "If-Match", tag).want(412)
	f.do("GET", at, "", "If-None-Match", tag).want(200)

	copied := f.staff("POST", at+"/duplicate", "").want(201)
	copied.sameJSON(strings.Replace(other, "Estuary II", "Estuary II (copy)", 1))
	if copied.header.Get("Location") == at {
		t.Error("the copy has the address of the job")
	}
	f.staff("POST", "/v1/jobs/nosuchjob000/duplicate", "").want(404)

	var page JobPage
	f.do("GET", "/v1/jobs?limit=1", "").want(200).into(&page)
	if page.NextCursor == nil || len(page.Items) != 1 || page.Items[0].Name != "Estuary II (copy)" || page.Items[0].Shots != 2 || deref(page.Items[0].From) != "2027-06-18" {
		t.Fatalf("first page: %+v", page)
	}
	cursor := *page.NextCursor
	page = JobPage{}
	f.do("GET", "/v1/jobs?limit=1&cursor="+cursor, "").want(200).into(&page)
	if page.NextCursor != nil || len(page.Items) != 1 || "/v1/jobs/"+page.Items[0].Job != at {
		t.Errorf("second page: %+v", page)
	}
	f.do("GET", "/v1/jobs?cursor="+cursorAfter("x"), "").want(400)
	f.do("GET", "/v1/jobs?limit=0", "").want(400)

	f.do("DELETE", at, "", "If-Match", "*").want(401)
	f.staff("DELETE", at, "").want(428)
	f.staff("DELETE", at, "", "If-Match", tag).want(412)
	f.staff("DELETE", at, "", "If-Match", changed.header.Get("ETag")).want(204)
	f.do("GET", at, "").want(404)
	f.staff("PUT", at, body, "If-Match", "*").want(404)
	f.staff("DELETE", at, "", "If-Match", "*").want(404)
}

func TestShotsOfAJob(t *testing.T) {
	t.Parallel()
	f := withJobs(t)
	made := f.staff("POST", "/v1/jobs", jobBody(shotBody("1"), shotBody("2"))).want(201)
	at, tag := made.header.Get("Location"), made.header.Get("ETag")
	// Whatever a crew writes has an address of its own.
	strange := map[string]string{"12/B": "12%2FB", "50%": "50%25", "100%25": "100%2525", "a+b": "a+b", "?": "%3F", "ä 1": "%C3%A4%201", "order": "order", "2;x,y": "2;x,y", "..": "%2E%2E"}
	for number, segment := range strange {
		added := f.staff("POST", at+"/shots", `{"shots": [`+shotBody(number)+`]}`).want(201)
		added.sameJSON(`{"shots": [` + shotBody(number) + `]}`)
		for _, address := range []string{at + "/shots/" + segment, added.header.Get("Location")} {
			if number == ".." && address != at+"/shots/"+segment {
				continue // a client takes the dots for a step up, whatever they are written as
			}
			got := f.do("GET", address, "").want(200)
			got.sameJSON(shotBody(number))
			if got.header.Get("ETag") != added.header.Get("ETag") {
				t.Errorf("%s is at %s, made at %s", number, got.header.Get("ETag"), added.header.Get("ETag"))
			}
			f.do("GET", address, "", "If-None-Match", got.header.Get("ETag")).want(304)
		}
		f.staff("DELETE", at+"/shots/"+segment, "", "If-Match", added.header.Get("ETag")).want(204)
		f.do("GET", at+"/shots/"+segment, "").want(404)
	}
	f.staff("POST", at+"/shots", `{"shots": [`+shotBody("1A")+`,`+shotBody("1B")+`], "before": "2"}`).want(201)
	if got := f.do("GET", at+"/shots", "").want(200).numbers(); !slices.Equal(got, []string{"1", "1A", "1B", "2"}) {
		t.Errorf("shots %v", got)
	}
	first := f.do("GET", at+"/shots?limit=3", "").want(200)
	var page struct {
		Next string `json:"next_cursor"`
	}
	first.into(&page)
	if rest := f.do("GET", at+"/shots?cursor="+page.Next, "").want(200).numbers(); !slices.Equal(rest, []string{"2"}) {
		t.Errorf("the second page has %v", rest)
	}

	// A shot is changed by its own tag, whatever happens to others.
	f.staff("PUT", at+"/shots/1", shotBody("1", `"gust_ms": 7`)).want(428)
	changed := f.staff("PUT", at+"/shots/1", shotBody("1", `"gust_ms": 7`), "If-Match", tag).want(200)
	changed.sameJSON(shotBody("1", `"gust_ms": 7`))
	f.staff("PUT", at+"/shots/1", shotBody("1"), "If-Match", tag).want(412)
	renamed := f.staff("PUT", at+"/shots/2", shotBody("2X"), "If-Match", tag).want(200)
	f.staff("PUT", at+"/shots/2", shotBody("2"), "If-Match", "*").want(404)
	f.staff("DELETE", at+"/shots/2X", "", "If-Match", tag).want(412)
	f.staff("PUT", at+"/shots/2X", shotBody("2"), "If-Match", renamed.header.Get("ETag")).want(200)

	// So is the order, by the job's.
	order := `{"numbers": ["2", "1B", "1", "1A"]}`
	f.staff("PUT", at+"/order", order).want(428)
	f.staff("PUT", at+"/order", order, "If-Match", tag).want(412)
	now := f.do("GET", at, "").want(200).header.Get("ETag")
	ordered := f.staff("PUT", at+"/order", order, "If-Match", now).want(200)
	ordered.sameJSON(order)
	if got := f.do("GET", at+"/shots", "").want(200).numbers(); !slices.Equal(got, []string{"2", "1B", "1", "1A"}) {
		t.Errorf("ordered as %v", got)
	}
	if now := f.do("GET", at, "").want(200).header.Get("ETag"); now != ordered.header.Get("ETag") {
		t.Errorf("the order answers %s, the job is at %s", ordered.header.Get("ETag"), now)
	}
	f.do("GET", at+"/shots/1", "", "If-None-Match", changed.header.Get("ETag")).want(304)
}

// Every fault stands at its place in the body that was sent, all at once, and nothing of that body is kept.
func TestFaultsOfJobsByTheirPlaces(t *testing.T) {
	t.Parallel()
	f := newFace(t, newMemory())
	body := jobBody(shotBody("1"), shotBody("2"))
	at := f.staff("POST", "/v1/jobs", body).want(201).header.Get("Location")
	end := strings.NewReplacer(`"end": "17:30"`, `"end": "16:00"`)
	badMoney := `"limits": {"price_per_day": {"amount": "1.5", "currency": "EUR"}, "crew": 2.5}`
	wrong := jobBody(end.Replace(shotBody("1", badMoney)), strings.Replace(shotBody("1"), "jetty", "pier", 1))
	places := []string{"/shots/0/window/end", "/shots/0/limits/price_per_day/amount", "/shots/0/limits/crew", "/shots/1/place", "/shots/1/number"}
	f.staff("POST", "/v1/jobs", wrong).wantPlaces(places...)
	f.staff("PUT", at, wrong, "If-Match", "*").wantPlaces(places...)
	f.staff("POST", "/v1/jobs", strings.Replace(wrong, "2.5", "2", 1)).wantPlaces(slices.Delete(slices.Clone(places), 2, 3)...)
	f.staff("POST", "/v1/jobs", jobBody(end.Replace(shotBody("1")))).wantPlaces("/shots/0/window/end")
	f.staff("PUT", at, jobBody(end.Replace(shotBody("1"))), "If-Match", "*").wantPlaces("/shots/0/window/end")
	f.staff("POST", "/v1/jobs", `{"hire": {"from": "2027-06-19", "to": "2027-06-18"}}`).wantPlaces("/name", "/hire/to")

	f.staff("POST", at+"/shots", `{"shots": [`+shotBody("3")+`,`+end.Replace(shotBody("2", badMoney))+`]}`).
		wantPlaces("/shots/1/window/end", "/shots/1/number", "/shots/1/limits/price_per_day/amount", "/shots/1/limits/crew")
	f.staff("POST", at+"/shots", `{"shots": [`+shotBody("2")+`], "before": "1"}`).wantPlaces("/shots/0/number")
	f.staff("POST", at+"/shots", `{"shots": [`+shotBody("3")+`], "before": "9"}`).wantPlaces("/before")
	f.staff("POST", at+"/shots", `{}`).wantPlaces("/shots")
	f.staff("PUT", at+"/shots/1", end.Replace(shotBody("2")), "If-Match", "*").wantPlaces("/window/end", "/number")
	f.staff("PUT", at+"/shots/1", shotBody("1", badMoney), "If-Match", "*").wantPlaces("/limits/price_per_day/amount", "/limits/crew")
	f.staff("PUT", at+"/order", `{"numbers": ["1", "1", "3"]}`, "If-Match", "*").wantPlaces("/numbers", "/numbers/1", "/numbers/2")
	f.staff("PUT", at+"/order", `{}`, "If-Match", "*").wantPlaces("/numbers")
	f.staff("POST", "/v1/jobs", `{"name": "x", "plates": {}}`).want(400)

	f.do("GET", at, "").want(200).sameJSON(body)
	var page JobPage
	f.do("GET", "/v1/jobs", "").want(200).into(&page)
	if len(page.Items) != 1 {
		t.Errorf("%d jobs are kept", len(page.Items))
	}
}

func TestTooManyShotsAreRefused(t *testing.T) {
	t.Parallel()
	f := newFace(t, newMemory())
	at := f.staff("POST", "/v1/jobs", jobBody(shotBody("1"))).want(201).header.Get("Location")
	many := func(n int) []string {
		out := make([]string, n)
		for i := range out {
			out[i] = `{"number":"n` + fmt.Sprint(i) + `","place":"jetty"}`
		}
		return out
	}
	if got := f.staff("POST", "/v1/jobs", jobBody(many(10_000)...)).want(422); got.places()[0] != "/shots" {
		t.Errorf("%.300s", got.body)
	}
	whole := make([]string, 500)
	for i := range whole {
		whole[i] = shotBody(fmt.Sprintf("n%d", i))
	}
	f.staff("POST", at+"/shots", `{"shots": [`+strings.Join(whole, ",")+`]}`).wantPlaces("/shots")
	f.staff("POST", at+"/shots", `{"shots": [`+strings.Join(whole[:499], ",")+`]}`).want(201)
	f.staff("POST", at+"/shots", `{"shots": [`+shotBody("last")+`]}`).wantPlaces("/shots")
}

func TestOfManyWhoPutOneStateOneWins(t *testing.T) {
	t.Parallel()
	f := withJobs(t)
	made := f.staff("POST", "/v1/jobs", jobBody(shotBody("1"))).want(201)
	at, tag := made.header.Get("Location"), made.header.Get("ETag")
	statuses := make([]int, 20)
	var wg sync.WaitGroup
	for i := range statuses {
		wg.Go(func() {
			body := strings.Replace(jobBody(shotBody("1")), "Estuary", fmt.Sprint("by ", i), 1)
			statuses[i] = f.staff("PUT", at, body, "If-Match", tag).status
		})
	}
	wg.Wait()
	won := -1
	for i, s := range statuses {
		switch {
		case s == http.StatusOK && won < 0:
			won = i
		case s != http.StatusPreconditionFailed:
			t.Errorf("%d answers %d beside the winner %d", i, s, won)
		}
	}
	var kept struct{ Name string }
	f.do("GET", at, "").want(200).into(&kept)
	if kept.Name != fmt.Sprint("by ", won) {
		t.Errorf("kept is %q, %d won", kept.Name, won)
	}
}

func TestJobsThatCannotBeReached(t *testing.T) {
	t.Parallel()
	f := newFace(t, newMemory())
	f.server.jobs.(*jobMemory).down = job.ErrUnavailable
	at := "/v1/jobs/k3v7q2m5xw4t6b2c"
	for _, method := range []string{"GET /v1/jobs", "POST /v1/jobs", "GET " + at, "PUT " + at, "DELETE " + at, "POST " + at + "/duplicate", "PUT " + at + "/order",
		"GET " + at + "/shots", "POST " + at + "/shots", "GET " + at + "/shots/1", "PUT " + at + "/shots/1", "DELETE " + at + "/shots/1"} {
		verb, path, _ := strings.Cut(method, " ")
		body := ""
		switch {
		case verb == "POST" && path == at+"/shots":
			body = `{"shots": [` + shotBody("1") + `]}`
		case strings.HasSuffix(path, "/order"):
			body = `{"numbers": []}`
		case verb == "PUT" && strings.Contains(path, "/shots/"):
			body = shotBody("1")
		case (verb == "POST" || verb == "PUT") && !strings.HasSuffix(path, "duplicate"):
			body = jobBody()
		}
		f.staff(verb, path, body, "If-Match", "*").want(503)
	}
}
