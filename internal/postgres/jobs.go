package postgres

import (
	"bytes"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
	"kitspan/internal/job"
)

// Jobs keeps jobs with their places and shots. It is safe for concurrent use. Refusals are those of package job: [job.ErrNoJob] where there
// is no job of an id, [job.ErrUnavailable] where the database does not answer, and an [*job.UnsoundError] for whatever does not resolve,
// which is never stored.
//
// Writers of one job take turns on its row.
type Jobs struct{ pool *pgxpool.Pool }

// NewJobs keeps jobs in a pool's database.
func NewJobs(pool *pgxpool.Pool) *Jobs {
	if pool == nil {
		panic("postgres: jobs without a pool")
	}
	return &Jobs{pool}
}

// Jobs lists at most limit jobs behind a place in the list, newest first.
func (j *Jobs) Jobs(ctx context.Context, limit int, after job.Mark) ([]job.Listed, error) {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	rows, err := j.pool.Query(ctx, `
		SELECT j.id, j.name, j.first_day, j.last_day, (SELECT count(*) FROM job_shots s WHERE s.job = j.id), j.created_at, j.changed_at
		FROM jobs j
		WHERE $2 = '' OR (j.created_at, j.id) < ($1, $2)
		ORDER BY j.created_at DESC, j.id DESC
		LIMIT $3`, after.Created, after.ID, limit)
	if err != nil {
		return nil, jobRefusal("list jobs", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (l job.Listed, err error) {
		var from, to *time.Time
		err = row.Scan(&l.ID, &l.Name, &from, &to, &l.Shots, &l.Created, &l.Changed)
		l.From, l.To = dateOf(from), dateOf(to)
		return l, err
	})
	if err != nil {
		return nil, jobRefusal("list jobs", err)
	}
	return list, nil
}

// Job reads one job whole.
func (j *Jobs) Job(ctx context.Context, id string) (job.Stored, error) {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	kept, err := readJob(ctx, j.pool, id)
	if err != nil {
		return job.Stored{}, jobRefusal("read job "+id, err)
	}
	return kept.Stored, nil
}

// CreateJob keeps a draft as a new job under an id of its own.
//
// key is the client's idempotency key, empty for none, and digest, 1 to 64 bytes, a hash of what it asked for: the same key with the same
// digest answers the job that it made, as it is now, and changes nothing; with another digest it is [job.ErrKeyReused]. Keys are remembered for
// a week, or until the job is deleted.
func (j *Jobs) CreateJob(ctx context.Context, draft job.Draft, key string, digest []byte) (job.Stored, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	var made job.Stored
	err := InTx(ctx, j.pool, readCommitted, func(tx pgx.Tx) error {
		made = job.Stored{ID: strings.ToLower(rand.Text()[:16])} // 80 bits: no two jobs meet by chance
		if key != "" {
			before, err := claimKey(ctx, tx, key, digest, made.ID)
			if err != nil {
				return err
			}
			if before != "" {
				kept, err := readJob(ctx, tx, before)
				made = kept.Stored
				return err
			}
		}
		after, err := rowsOf(draft, keptJob{}, 1)
		if err != nil {
			return err
		}
		made.Draft, made.Version, made.ShotVersions = draft, 1, after.versions()
		return insertJob(ctx, tx, made.ID, after)
	})
	if err != nil {
		return job.Stored{}, jobRefusal("create a job", err)
	}
	return made, nil
}

// claimKey notes that a job is made by a key, or returns the job that was made by it before. Of several that claim one key at once all but
// the first wait until that has ended.
func claimKey(ctx context.Context, tx pgx.Tx, key string, digest []byte, id string) (before string, err error) {
	if _, err := tx.Exec(ctx, `DELETE FROM job_creations WHERE created_at < now() - INTERVAL '7 days'`); err != nil {
		return "", err
	}
	claimed, err := tx.Exec(ctx, `
		INSERT INTO job_creations (idempotency_key, digest, job) VALUES ($1, $2, $3) ON CONFLICT (idempotency_key) DO NOTHING`, key, digest, id)
	if err != nil || claimed.RowsAffected() == 1 {
		return "", err
	}
	var first []byte
	err = tx.QueryRow(ctx, `SELECT digest, job FROM job_creations WHERE idempotency_key = $1`, key).Scan(&first, &before)
	switch {
	case errors.Is(err, pgx.ErrNoRows): // its job was deleted this moment
		return "", fmt.Errorf("%w: the key was let go meanwhile", ErrBusy)
	case err != nil:
		return "", err
	case !bytes.Equal(first, digest):
		return "", job.ErrKeyReused
	}
	return before, nil
}

// ChangeJob keeps what an edit makes of a job, all or nothing, and returns it. The edit looks at the job in the state in which nobody else
// changes it until the new one is kept, and its error comes back as it is. A job that it leaves as it was keeps its version.
func (j *Jobs) ChangeJob(ctx context.Context, id string, edit job.Edit) (job.Stored, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	var changed job.Stored
	err := InTx(ctx, j.pool, readCommitted, func(tx pgx.Tx) error {
		if err := lockJob(ctx, tx, id); err != nil {
			return err
		}
		before, err := readJob(ctx, tx, id)
		if err != nil {
			return err
		}
		changed = before.Stored
		if err := edit(&changed); err != nil {
			return err
		}
		after, err := rowsOf(changed.Draft, before, before.Version+1)
		if err != nil {
			return err
		}
		if changed.ShotVersions = after.versions(); after.same {
			return nil
		}
		changed.Version = before.Version + 1
		return updateJob(ctx, tx, before, after)
	})
	if err != nil {
		return job.Stored{}, jobRefusal("change job "+id, err)
	}
	return changed, nil
}

// DeleteJob removes a job with all that belongs to it if it is in an expected state, else [job.ErrStale].
func (j *Jobs) DeleteJob(ctx context.Context, id string, expect job.Expect) error {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	err := InTx(ctx, j.pool, readCommitted, func(tx pgx.Tx) error {
		if !job.IsID(id) {
			return job.ErrNoJob
		}
		var version int64
		err := tx.QueryRow(ctx, `SELECT version FROM jobs WHERE id = $1 FOR UPDATE`, id).Scan(&version)
		if err != nil {
			return noJob(err)
		}
		if !expect.Met(version) {
			return fmt.Errorf("%w: it is at version %d", job.ErrStale, version)
		}
		return oneRow(tx.Exec(ctx, `DELETE FROM jobs WHERE id = $1`, id))
	})
	if err != nil {
		return jobRefusal("delete job "+id, err)
	}
	return nil
}

// lockJob keeps other writers of a job waiting until the transaction ends.
func lockJob(ctx context.Context, tx pgx.Tx, id string) error {
	if !job.IsID(id) {
		return job.ErrNoJob
	}
	var version int64
	return noJob(tx.QueryRow(ctx, `SELECT version FROM jobs WHERE id = $1 FOR NO KEY UPDATE`, id).Scan(&version))
}

func noJob(err error) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return job.ErrNoJob
	}
	return err
}

// jobRefusal names the operation and turns the database's kinds of error into those of jobs.
func jobRefusal(operation string, err error) error {
	err = Translate(err)
	if errors.Is(err, ErrUnavailable) || errors.Is(err, ErrBusy) {
		err = fmt.Errorf("%w: %w", job.ErrUnavailable, err)
	}
	return fmt.Errorf("%s: %w", operation, err)
}

func dateOf(t *time.Time) catalog.Date {
	if t == nil {
		return catalog.Date{}
	}
	return catalog.Date{Year: t.Year(), Month: t.Month(), Day: t.Day()}
}
