package postgres_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/job"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

func jobs(t testing.TB) (*postgres.Jobs, *pgxpool.Pool) {
	t.Helper()
	pool := pgtest.New(t)
	return postgres.NewJobs(pool), pool
}

// aJob is a job with a shot of each number at one place, and something of every part.
func aJob(t testing.TB, numbers ...string) job.Draft {
	t.Helper()
	var shots []string
	for _, n := range numbers {
		shots = append(shots, aShot(n, "jetty", "2027-06-18"))
	}
	return readDraft[job.Draft](t, `{
		"name": "Estuary", "production": {"name": "Ebb & Flow", "contact": ""}, "notes": "two\nlines", "hire": {"to": "2027-06-20"},
		"moves": [{"between": ["slip", "jetty"], "minutes": 20}],
		"places": {
			"jetty": {"latitude_deg": 38.6935, "longitude_deg": -9.2057, "time_zone": "Europe/Lisbon", "anchors": [{"label": "rail", "position_m": [4, 5, 1], "safe_pull_n": 2000}],
				"forecast": [{"at": "2027-06-18T16:00:00+01:00", "gust_ms": 6}]},
			"slip": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon", "ground": "sand"}
		},
		"shots": [`+strings.Join(shots, ",")+`]
	}`)
}

func aShot(number, place, date string) string {
	return fmt.Sprintf(`{"number": %q, "place": %q, "window": {"date": %q, "start": "16:30", "end": "17:30"}, "camera": {"bearing_deg": 258, "height_m": 1.5},
		"framing": {"width_m": 3, "distance_m": 5.5, "aspect_ratio": 1.7778}, "zone": {"width_m": 2.6, "depth_m": 0.8, "base_m": 0.6, "top_m": 1.85},
		"look": {"soften": "required", "key_side": "left", "key_stops": -0.5, "contrast_stops": 1.5, "back_stops": null}, "background": {"reflectance": 0.18},
		"exposure": {"iso": 800, "frame_rate_fps": 25, "shutter_angle_deg": 180, "t_stop": 2.8}, "allowance": {"cover_m": 0.15, "view_m": 0.1, "head_m": 2.1},
		"ground_anchor": "ballast", "gust_ms": 8, "safety_factor": 1.5, "forecast": [], "limits": {"crew": 6, "total_per_day": {"amount": "2500.00", "currency": "EUR"}},
		"lamps": [{"label": "street", "azimuth_deg": 10, "elevation_deg": 30, "illuminance_lx": 20000}], "prefer": "smallest"}`, number, place, date)
}

func readDraft[T any](t testing.TB, text string) (out T) {
	t.Helper()
	if err := json.Unmarshal([]byte(text), &out); err != nil {
		t.Fatal(err)
	}
	return out
}

func makeJob(t testing.TB, j *postgres.Jobs, draft job.Draft) job.Stored {
	t.Helper()
	made, err := j.CreateJob(t.Context(), draft, "", nil)
	if err != nil {
		t.Fatal(err)
	}
	return made
}

func numbersOf(s job.Stored) (out []string) {
	for _, d := range s.Draft.Shots {
		out = append(out, *d.Number)
	}
	return out
}

var anyState = job.Expect{Any: true}

func TestAJobReadsBackAsItWasSaid(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	for name, draft := range map[string]job.Draft{
		"with everything": aJob(t, "1", "12B", "12/A", "ä % #"),
		"with a name":     readDraft[job.Draft](t, `{"name": "Nothing yet"}`),
		"with a movable shot": readDraft[job.Draft](t, `{"name": "Movable", "time_zone": "UTC", "places": {"a/b": {"latitude_deg": 1, "longitude_deg": 2, "time_zone": "UTC"}},
			"shots": [{"number": "1", "place": "a/b", "when": {"date": "2027-06-18", "earliest": "10:00", "latest": "12:00", "duration_min": 30}, "pin": "lamps",
				"camera": {"bearing_deg": 5e-324}, "framing": {"width_m": 3, "distance_m": 5.5}}]}`),
	} {
		made := makeJob(t, j, draft)
		if !job.IsID(made.ID) || made.Version != 1 || len(made.ShotVersions) != len(draft.Shots) {
			t.Errorf("%s: made as %q, version %d, shots %v", name, made.ID, made.Version, made.ShotVersions)
		}
		got, err := j.Job(t.Context(), made.ID)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if d := cmp.Diff(made, got); d != "" {
			t.Errorf("%s (-made +read):\n%s", name, d)
		}
		said, _ := json.Marshal(draft)
		read, _ := json.Marshal(got.Draft)
		if d := cmp.Diff(string(said), string(read)); d != "" {
			t.Errorf("%s (-said +read):\n%s", name, d)
		}
	}
}

func TestNoJobOfAnID(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	ctx := t.Context()
	for _, id := range []string{"", "abcdefghijkl", "ABCDEFGHIJKL", "abcdefghijkl\x00", "'; DROP TABLE jobs; --"} {
		_, read := j.Job(ctx, id)
		_, changed := j.ChangeJob(ctx, id, func(*job.Stored) error { t.Error("edited"); return nil })
		for what, err := range map[string]error{"read": read, "changed": changed, "deleted": j.DeleteJob(ctx, id, anyState)} {
			if !errors.Is(err, job.ErrNoJob) {
				t.Errorf("%q %s: %v, want no such job", id, what, err)
			}
		}
	}
}

func TestAnUnsoundJobIsNotStored(t *testing.T) {
	t.Parallel()
	j, pool := jobs(t)
	made := makeJob(t, j, aJob(t, "1", "2"))
	bad := aJob(t, "1", "1")
	var unsound *job.UnsoundError
	if _, err := j.CreateJob(t.Context(), bad, "k", []byte{1}); !errors.As(err, &unsound) || unsound.Faults[0].Pointer != "/job/shots/1/number" {
		t.Errorf("created: %v", err)
	}
	if _, err := j.ChangeJob(t.Context(), made.ID, job.Replace(anyState, bad)); !errors.As(err, &unsound) {
		t.Errorf("replaced: %v", err)
	}
	many := aJob(t)
	for i := range 10_000 {
		many.Shots = append(many.Shots, readDraft[job.DraftShot](t, fmt.Sprintf(`{"number": "%d"}`, i)))
	}
	if _, err := j.ChangeJob(t.Context(), made.ID, job.InsertShots("", many.Shots)); !errors.As(err, &unsound) || unsound.Faults[0] != (fault.Fault{Pointer: "/job/shots", Kind: fault.TooMany{Count: 10_002, Most: 500}}) {
		t.Errorf("10,000 shots more: %.200v", err)
	}
	var rows, keys int
	if err := pool.QueryRow(t.Context(), `SELECT (SELECT count(*) FROM job_shots) + (SELECT count(*) FROM jobs), (SELECT count(*) FROM job_creations)`).Scan(&rows, &keys); err != nil {
		t.Fatal(err)
	}
	if rows != 3 || keys != 0 {
		t.Errorf("%d rows and %d keys are there, want those of the first job", rows, keys)
	}
	if got, _ := j.Job(t.Context(), made.ID); got.Version != 1 {
		t.Errorf("version %d after refusals", got.Version)
	}
}

// Each edit is read back, and no more than it says has a new version.
func TestEditsKeepWhatTheyLeaveAlone(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	shot := func(n, place string) job.DraftShot { return readDraft[job.DraftShot](t, aShot(n, place, "2027-06-19")) }
	renamed := aJob(t, "1", "2", "3")
	other := "Other"
	renamed.Name = &other
	moved := aJob(t, "2", "3", "1")
	moved.Places["pier"] = moved.Places["slip"]
	delete(moved.Places, "slip")
	moved.Moves = nil
	for _, c := range []struct {
		name     string
		edit     job.Edit
		numbers  []string
		versions []int64
		version  int64
	}{
		{"nothing", func(*job.Stored) error { return nil }, []string{"1", "2", "3"}, []int64{1, 1, 1}, 1},
		{"the same again", job.Replace(anyState, aJob(t, "1", "2", "3")), []string{"1", "2", "3"}, []int64{1, 1, 1}, 1},
		{"the name", job.Replace(anyState, renamed), []string{"1", "2", "3"}, []int64{1, 1, 1}, 2},
		{"shots at the end", job.InsertShots("", []job.DraftShot{shot("4", "slip"), shot("5", "jetty")}), []string{"1", "2", "3", "4", "5"}, []int64{1, 1, 1, 2, 2}, 2},
		{"shots between", job.InsertShots("2", []job.DraftShot{shot("1A", "slip"), shot("1B", "jetty")}), []string{"1", "1A", "1B", "2", "3"}, []int64{1, 2, 2, 1, 1}, 2},
		{"one shot", job.ReplaceShot("2", anyState, shot("2", "slip")), []string{"1", "2", "3"}, []int64{1, 2, 1}, 2},
		{"the number of one", job.ReplaceShot("2", anyState, shot("2A", "jetty")), []string{"1", "2A", "3"}, []int64{1, 2, 1}, 2},
		{"one less", job.DeleteShot("1", anyState), []string{"2", "3"}, []int64{1, 1}, 2},
		{"the order", job.OrderShots(anyState, []string{"3", "1", "2"}), []string{"3", "1", "2"}, []int64{1, 1, 1}, 2},
		{"places and order", job.Replace(anyState, moved), []string{"2", "3", "1"}, []int64{1, 1, 1}, 2},
		{"all shots", job.SetShots(anyState, []job.DraftShot{shot("3", "jetty"), shot("9", "jetty")}), []string{"3", "9"}, []int64{2, 2}, 2},
		{"no shots", job.SetShots(anyState, nil), nil, []int64{}, 2},
	} {
		made := makeJob(t, j, aJob(t, "1", "2", "3"))
		changed, err := j.ChangeJob(t.Context(), made.ID, c.edit)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got, err := j.Job(t.Context(), made.ID)
		if err != nil {
			t.Fatal(err)
		}
		if !slices.Equal(numbersOf(got), c.numbers) || !slices.Equal(got.ShotVersions, c.versions) || got.Version != c.version {
			t.Errorf("%s: shots %v at %v of %d, want %v at %v of %d", c.name, numbersOf(got), got.ShotVersions, got.Version, c.numbers, c.versions, c.version)
		}
		if d := cmp.Diff(changed.Draft, got.Draft); d != "" || changed.Version != got.Version || !slices.Equal(changed.ShotVersions, got.ShotVersions) {
			t.Errorf("%s: at %d %v (-answered +read):\n%s", c.name, changed.Version, changed.ShotVersions, d)
		}
	}
}

func TestStaleEditsAreRefused(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	ctx := t.Context()
	made := makeJob(t, j, aJob(t, "1", "2"))
	first := job.Expect{Versions: []int64{1}}
	shot := readDraft[job.DraftShot](t, aShot("2", "slip", "2027-06-19"))
	if _, err := j.ChangeJob(ctx, made.ID, job.ReplaceShot("2", first, shot)); err != nil {
		t.Fatal(err)
	}
	for name, edit := range map[string]job.Edit{
		"replace": job.Replace(first, aJob(t)), "set shots": job.SetShots(first, nil), "order": job.OrderShots(first, []string{"2", "1"}),
		"replace the shot": job.ReplaceShot("2", first, shot), "delete the shot": job.DeleteShot("2", first),
	} {
		if _, err := j.ChangeJob(ctx, made.ID, edit); !errors.Is(err, job.ErrStale) {
			t.Errorf("%s: %v, want stale", name, err)
		}
	}
	if err := j.DeleteJob(ctx, made.ID, first); !errors.Is(err, job.ErrStale) {
		t.Errorf("delete: %v, want stale", err)
	}
	if _, err := j.ChangeJob(ctx, made.ID, job.DeleteShot("1", first)); err != nil { // which nobody has changed
		t.Errorf("another shot: %v", err)
	}
	if _, err := j.ChangeJob(ctx, made.ID, job.DeleteShot("1", anyState)); !errors.Is(err, job.ErrNoShot) {
		t.Errorf("a shot that has gone: %v", err)
	}
	if err := j.DeleteJob(ctx, made.ID, job.Expect{Versions: []int64{3}}); err != nil {
		t.Error(err)
	}
	if _, err := j.Job(ctx, made.ID); !errors.Is(err, job.ErrNoJob) {
		t.Errorf("a deleted job reads %v", err)
	}
}

func TestOfManyWhoChangeOneStateOneWins(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	made := makeJob(t, j, aJob(t, "1", "2"))
	var won atomic.Int32
	var name atomic.Value
	var wg sync.WaitGroup
	for i := range 20 {
		draft := aJob(t, "1", "2")
		mine := fmt.Sprintf("by %d", i)
		draft.Name = &mine
		wg.Go(func() {
			_, err := j.ChangeJob(t.Context(), made.ID, job.Replace(job.Expect{Versions: []int64{1}}, draft))
			switch {
			case err == nil:
				won.Add(1)
				name.Store(mine)
			case !errors.Is(err, job.ErrStale):
				t.Error(err)
			}
		})
	}
	wg.Wait()
	got, err := j.Job(t.Context(), made.ID)
	if err != nil {
		t.Fatal(err)
	}
	if won.Load() != 1 || got.Version != 2 || *got.Draft.Name != name.Load() {
		t.Errorf("%d won, version %d is named %q, the winner's %q", won.Load(), got.Version, *got.Draft.Name, name.Load())
	}
}

// Shots that many add at once are all there, each once.
func TestManyAddShotsAtOnce(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	made := makeJob(t, j, aJob(t))
	var wg sync.WaitGroup
	for i := range 20 {
		shot := readDraft[job.DraftShot](t, aShot(fmt.Sprint(i), "jetty", "2027-06-18"))
		wg.Go(func() {
			if _, err := j.ChangeJob(t.Context(), made.ID, job.InsertShots("", []job.DraftShot{shot})); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	got, err := j.Job(t.Context(), made.ID)
	if err != nil {
		t.Fatal(err)
	}
	numbers := numbersOf(got)
	slices.Sort(numbers)
	if len(slices.Compact(numbers)) != 20 || len(got.Draft.Shots) != 20 || got.Version != 21 {
		t.Errorf("shots %v at version %d", numbers, got.Version)
	}
}

func TestAKeyMakesOneJob(t *testing.T) {
	t.Parallel()
	j, pool := jobs(t)
	ctx := t.Context()
	var ids sync.Map
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			made, err := j.CreateJob(ctx, aJob(t, "1"), "key", []byte("digest"))
			if err != nil {
				t.Error(err)
			}
			ids.Store(made.ID, true)
		})
	}
	wg.Wait()
	var id string
	n := 0
	ids.Range(func(k, _ any) bool { id = k.(string); n++; return true })
	if n != 1 {
		t.Fatalf("%d jobs were answered", n)
	}
	if _, err := j.CreateJob(ctx, aJob(t, "2"), "key", []byte("other")); !errors.Is(err, job.ErrKeyReused) {
		t.Errorf("another body: %v", err)
	}
	if _, err := pool.Exec(ctx, `UPDATE job_creations SET created_at = now() - INTERVAL '8 days'`); err != nil {
		t.Fatal(err)
	}
	if made, err := j.CreateJob(ctx, aJob(t, "2"), "key", []byte("other")); err != nil || made.ID == id {
		t.Errorf("after a week: %q, %v, want a new job", made.ID, err)
	}
	if list, err := j.Jobs(ctx, 10, job.Mark{}); err != nil || len(list) != 2 {
		t.Errorf("%d jobs, %v", len(list), err)
	}
}

func TestJobsAreListedNewestFirst(t *testing.T) {
	t.Parallel()
	j, _ := jobs(t)
	var want []string
	for i := range 5 {
		draft := aJob(t)
		if i%2 == 0 {
			draft = aJob(t, "1", "2")
		}
		want = append([]string{makeJob(t, j, draft).ID}, want...)
	}
	makeJob(t, j, readDraft[job.Draft](t, `{"name": "Nothing yet"}`))
	var got []job.Listed
	for after := (job.Mark{}); ; {
		page, err := j.Jobs(t.Context(), 2, after)
		if err != nil {
			t.Fatal(err)
		}
		if len(page) == 0 {
			break
		}
		got = append(got, page...)
		after = page[len(page)-1].Mark()
	}
	if len(got) != 6 {
		t.Fatalf("%d jobs, want 6", len(got))
	}
	if got[0].From != (catalog.Date{}) || got[0].Shots != 0 || got[0].Name != "Nothing yet" {
		t.Errorf("a job without anything: %+v", got[0])
	}
	for i, l := range got[1:] {
		if l.ID != want[i] {
			t.Errorf("%d is %s, want %s", i, l.ID, want[i])
		}
	}
	if l := got[1]; l.Shots != 2 || l.From.String() != "2027-06-18" || l.To.String() != "2027-06-20" || l.Changed.Before(l.Created) {
		t.Errorf("listed as %+v", l)
	}
}

func TestSchemaOfJobsRefusesByName(t *testing.T) {
	t.Parallel()
	j, pool := jobs(t)
	made := makeJob(t, j, aJob(t, "1", "2"))
	for _, c := range []struct{ want, sql string }{
		{"jobs_id_form", `UPDATE jobs SET id = 'short'`},
		{"jobs_name_length", `UPDATE jobs SET name = ''`},
		{"jobs_version_positive", `UPDATE jobs SET version = 0`},
		{"jobs_draft_object", `UPDATE jobs SET draft = '[]'`},
		{"jobs_draft_object", `UPDATE jobs SET draft = '{"shots": []}'`},
		{"jobs_draft_size", `UPDATE jobs SET draft = jsonb_build_object('notes', repeat('x', 1048576))`},
		{"jobs_days_order", `UPDATE jobs SET first_day = '2028-01-01'`},
		{"jobs_days_order", `UPDATE jobs SET first_day = NULL`},
		{"jobs_changed_later", `UPDATE jobs SET changed_at = created_at - INTERVAL '1 second'`},
		{"job_places_name_length", `UPDATE job_places SET name = ''`},
		{"job_places_draft_object", `UPDATE job_places SET draft = '1'`},
		{"job_places_draft_size", `UPDATE job_places SET draft = jsonb_build_object('notes', repeat('x', 1048576))`},
		{"job_places_job_fkey", `INSERT INTO job_places VALUES ('abcdefghijkl', 'x', '{}')`},
		{"job_shots_place_fkey", `DELETE FROM job_places`},
		{"job_shots_place_fkey", `UPDATE job_shots SET place = 'nowhere'`},
		{"job_shots_job_fkey", `INSERT INTO job_shots VALUES ('abcdefghijkl', '3', 3, 'jetty', '2027-01-01', 1, '{}')`},
		{"job_shots_pkey", `UPDATE job_shots SET number = '1'`},
		{"job_shots_position_key", `UPDATE job_shots SET position = 1`},
		{"job_shots_position_positive", `UPDATE job_shots SET position = 0 WHERE number = '1'`},
		{"job_shots_version_positive", `UPDATE job_shots SET version = 0`},
		{"job_shots_number_length", `UPDATE job_shots SET number = '' WHERE number = '1'`},
		{"job_shots_draft_object", `UPDATE job_shots SET draft = '{"place": "jetty"}'`},
		{"job_shots_draft_size", `UPDATE job_shots SET draft = jsonb_build_object('name', repeat('x', 1048576))`},
		{"job_creations_key_length", `INSERT INTO job_creations VALUES ('', '\x01', '` + made.ID + `')`},
		{"job_creations_digest_length", `INSERT INTO job_creations VALUES ('k', '', '` + made.ID + `')`},
		{"job_creations_job_fkey", `INSERT INTO job_creations VALUES ('k', '\x01', 'abcdefghijkl')`},
	} {
		_, err := pool.Exec(t.Context(), c.sql)
		if postgres.Constraint(err) != c.want {
			t.Errorf("%s: %v, want %s", c.sql, err, c.want)
		}
	}
	if _, err := pool.Exec(t.Context(), `UPDATE job_shots SET position = 3 - position`); err != nil {
		t.Errorf("positions change places in one statement: %v", err)
	}
}

func manyShots(t testing.TB) job.Draft {
	numbers := make([]string, job.MaxShots)
	for i := range numbers {
		numbers[i] = fmt.Sprint(i + 1)
	}
	return aJob(t, numbers...)
}

func BenchmarkReadJobOf500Shots(b *testing.B) {
	j, _ := jobs(b)
	made := makeJob(b, j, manyShots(b))
	for b.Loop() {
		if _, err := j.Job(b.Context(), made.ID); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkSaveOneShot(b *testing.B) {
	for _, shots := range []int{40, job.MaxShots} {
		b.Run(fmt.Sprintf("of %d", shots), func(b *testing.B) {
			j, _ := jobs(b)
			draft := manyShots(b)
			draft.Shots = draft.Shots[:shots]
			made := makeJob(b, j, draft)
			n := 0.0
			for b.Loop() {
				n += 0.001
				shot, gust := draft.Shots[shots/2], 5+n
				shot.GustMS = &gust
				if _, err := j.ChangeJob(b.Context(), made.ID, job.ReplaceShot(*shot.Number, anyState, shot)); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
