package postgres

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
)

// keptJob is a job as it was read, with what the table knows of its shots besides.
type keptJob struct {
	job.Stored
	positions []int32     // beside Draft.Shots
	days      []time.Time // likewise
}

// querier is a pool or a transaction.
type querier interface {
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
}

// readJob reads a job whole in one query, which is one state of it.
func readJob(ctx context.Context, db querier, id string) (keptJob, error) {
	if !job.IsID(id) {
		return keptJob{}, job.ErrNoJob
	}
	kept := keptJob{Stored: job.Stored{ID: id}}
	var name string
	var head []byte
	var placeNames, numbers, at []string
	var places, shots [][]byte
	err := db.QueryRow(ctx, `
		SELECT j.version, j.name, j.draft, p.names, p.drafts, s.numbers, s.places, s.positions, s.days, s.versions, s.drafts
		FROM jobs j
		CROSS JOIN LATERAL (
			SELECT array_agg(name ORDER BY name) AS names, array_agg(draft ORDER BY name) AS drafts FROM job_places WHERE job = j.id
		) p
		CROSS JOIN LATERAL (
			SELECT array_agg(number ORDER BY position) AS numbers, array_agg(place ORDER BY position) AS places,
				array_agg(position ORDER BY position) AS positions, array_agg(day ORDER BY position) AS days,
				array_agg(version ORDER BY position) AS versions, array_agg(draft ORDER BY position) AS drafts
			FROM job_shots WHERE job = j.id
		) s
		WHERE j.id = $1`, id).
		Scan(&kept.Version, &name, &head, &placeNames, &places, &numbers, &at, &kept.positions, &kept.days, &kept.ShotVersions, &shots)
	if err != nil {
		return keptJob{}, noJob(err)
	}
	if err := json.Unmarshal(head, &kept.Draft); err != nil {
		return keptJob{}, fmt.Errorf("the draft of job %s: %w", id, err)
	}
	kept.Draft.Name = &name
	if len(placeNames) > 0 {
		kept.Draft.Places = make(map[string]job.Place, len(placeNames))
	}
	for i, name := range placeNames {
		var p job.Place
		if err := json.Unmarshal(places[i], &p); err != nil {
			return keptJob{}, fmt.Errorf("place %q of job %s: %w", name, id, err)
		}
		kept.Draft.Places[name] = p
	}
	for i := range numbers {
		var s job.DraftShot
		if err := json.Unmarshal(shots[i], &s); err != nil {
			return keptJob{}, fmt.Errorf("shot %q of job %s: %w", numbers[i], id, err)
		}
		s.Number, s.Place = &numbers[i], &at[i]
		kept.Draft.Shots = append(kept.Draft.Shots, s)
	}
	return kept, nil
}

// jobRows is a job as its rows: of the places those that are to be written or to go.
type jobRows struct {
	version     int64
	name        string
	head        string // JSON
	first, last *time.Time
	places      []placeRow
	gonePlaces  []string
	shots       []shotRow // in the order of the list
	goneShots   []string
	same        bool // nothing differs from what was kept before
}

type placeRow struct{ name, draft string }

type shotRow struct {
	number, place, draft string
	position             int32
	day                  time.Time
	version              int64
	stays                bool // as it is in the table
}

func (r *jobRows) versions() (out []int64) {
	for i := range r.shots {
		out = append(out, r.shots[i].version)
	}
	return out
}

// rowsOf makes the rows of a sound draft that takes the place of what was kept before, which is zero for a new job. version is what changes
// get. An unsound draft is an [*job.UnsoundError].
func rowsOf(draft job.Draft, before keptJob, version int64) (*jobRows, error) {
	resolved, faults := draft.Resolve()
	if len(faults) > 0 {
		return nil, &job.UnsoundError{Faults: faults}
	}
	r := &jobRows{version: version, name: resolved.Name, first: timeOf(resolved.From), last: timeOf(resolved.To)}
	var err error
	if r.head, err = asJSON(headOf(draft)); err != nil {
		return nil, err
	}
	r.same = reflect.DeepEqual(headOf(before.Draft), headOf(draft)) && before.Draft.Name != nil && *before.Draft.Name == r.name
	for _, name := range slices.Sorted(maps.Keys(draft.Places)) {
		if was, there := before.Draft.Places[name]; there && reflect.DeepEqual(was, draft.Places[name]) {
			continue
		}
		text, err := asJSON(draft.Places[name])
		if err != nil {
			return nil, err
		}
		r.places = append(r.places, placeRow{name, text})
		r.same = false
	}
	for name := range before.Draft.Places {
		if _, stays := draft.Places[name]; !stays {
			r.gonePlaces = append(r.gonePlaces, name)
			r.same = false
		}
	}
	was := make(map[string]int, len(before.Draft.Shots))
	for i, s := range before.Draft.Shots {
		was[*s.Number] = i
	}
	known := make([]int32, len(draft.Shots))
	for i, s := range draft.Shots {
		row := shotRow{number: *s.Number, place: *s.Place, day: *timeOf(resolved.Day(i)), version: version}
		if at, there := was[row.number]; there {
			known[i] = before.positions[at]
			delete(was, row.number)
			if reflect.DeepEqual(before.Draft.Shots[at], s) {
				row.version = before.ShotVersions[at]
				row.stays = row.day.Equal(before.days[at])
			}
		}
		r.shots = append(r.shots, row)
	}
	r.goneShots = slices.Sorted(maps.Keys(was))
	r.same = r.same && len(r.goneShots) == 0
	for i, p := range placeAll(known) {
		row, s := &r.shots[i], draft.Shots[i]
		row.position = p
		if row.stays = row.stays && p == known[i]; row.stays {
			continue
		}
		r.same = false
		s.Number, s.Place = nil, nil
		if row.draft, err = asJSON(s); err != nil {
			return nil, err
		}
	}
	return r, nil
}

// headOf is what a draft says of the job itself, without what has a column or rows of its own.
func headOf(d job.Draft) job.Draft {
	d.Name, d.Places, d.Shots = nil, nil, nil
	return d
}

// placeAll gives each shot of a list a position, ascending. known are those that they have, 0 for new ones: they keep them where they are in
// order and new ones have room between, so that little is written.
func placeAll(known []int32) []int32 {
	out := slices.Clone(known)
	last := int32(0)
	for i, k := range out {
		if k == 0 {
			out[i] = last + 1
		}
		if out[i] <= last {
			for n := range out {
				out[n] = int32(n) + 1
			}
			return out
		}
		last = out[i]
	}
	return out
}

func asJSON(v any) (string, error) {
	text, err := json.Marshal(v)
	return string(text), err
}

// timeOf is a day as the driver takes it; nil for none.
func timeOf(d catalog.Date) *time.Time {
	if d == (catalog.Date{}) {
		return nil
	}
	t := time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
	return &t
}

func insertJob(ctx context.Context, tx pgx.Tx, id string, rows *jobRows) error {
	err := oneRow(tx.Exec(ctx, `
		INSERT INTO jobs (id, version, name, draft, first_day, last_day) VALUES ($1, $2, $3, $4::text::jsonb, $5, $6)`,
		id, rows.version, rows.name, rows.head, rows.first, rows.last))
	if err != nil {
		return err
	}
	return writeParts(ctx, tx, id, rows)
}

// updateJob writes what differs from before.
func updateJob(ctx context.Context, tx pgx.Tx, before keptJob, rows *jobRows) error {
	err := oneRow(tx.Exec(ctx, `
		UPDATE jobs SET version = $2, name = $3, draft = $4::text::jsonb, first_day = $5, last_day = $6, changed_at = clock_timestamp()
		WHERE id = $1`, before.ID, rows.version, rows.name, rows.head, rows.first, rows.last))
	if err != nil {
		return err
	}
	if len(rows.goneShots) > 0 {
		if _, err := tx.Exec(ctx, `DELETE FROM job_shots WHERE job = $1 AND number = ANY($2)`, before.ID, rows.goneShots); err != nil {
			return err
		}
	}
	if err := writeParts(ctx, tx, before.ID, rows); err != nil {
		return err
	}
	if len(rows.gonePlaces) > 0 {
		_, err = tx.Exec(ctx, `DELETE FROM job_places WHERE job = $1 AND name = ANY($2)`, before.ID, rows.gonePlaces)
	}
	return err
}

// writeParts writes the places that are new or changed, then the shots that are.
func writeParts(ctx context.Context, tx pgx.Tx, id string, rows *jobRows) error {
	if len(rows.places) > 0 {
		var names, drafts []string
		for _, p := range rows.places {
			names, drafts = append(names, p.name), append(drafts, p.draft)
		}
		_, err := tx.Exec(ctx, `
			INSERT INTO job_places (job, name, draft)
			SELECT $1, p.name, p.draft::jsonb FROM unnest($2::text[], $3::text[]) AS p (name, draft)
			ON CONFLICT (job, name) DO UPDATE SET draft = EXCLUDED.draft`, id, names, drafts)
		if err != nil {
			return err
		}
	}
	var numbers, places, drafts []string
	var positions []int32
	var days []time.Time
	var versions []int64
	for i := range rows.shots {
		s := &rows.shots[i]
		if s.stays {
			continue
		}
		numbers, places, drafts = append(numbers, s.number), append(places, s.place), append(drafts, s.draft)
		positions, days, versions = append(positions, s.position), append(days, s.day), append(versions, s.version)
	}
	if len(numbers) == 0 {
		return nil
	}
	_, err := tx.Exec(ctx, `
		INSERT INTO job_shots (job, number, position, place, day, version, draft)
		SELECT $1, s.number, s.position, s.place, s.day, s.version, s.draft::jsonb
		FROM unnest($2::text[], $3::integer[], $4::text[], $5::date[], $6::bigint[], $7::text[]) AS s (number, position, place, day, version, draft)
		ON CONFLICT (job, number) DO UPDATE SET position = EXCLUDED.position, place = EXCLUDED.place, day = EXCLUDED.day,
			version = EXCLUDED.version, draft = EXCLUDED.draft`, id, numbers, positions, places, days, versions, drafts)
	return err
}
