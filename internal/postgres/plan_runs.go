package postgres

import (
	"bytes"
	"compress/gzip"
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/riverqueue/river"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"

	"kitspan/internal/planrun"
)

// PlanRuns keeps plans that are worked out in the background, and the queue in which they wait. It is safe for concurrent use. Refusals are
// those of package planrun; [planrun.ErrUnavailable] is a database that does not answer.
//
// Of the two the run says what is so; the queue only says whom to look at next. So work that comes out of the queue twice, or for a run that
// has ended, does nothing.
type PlanRuns struct {
	pool  *pgxpool.Pool
	queue *river.Client[pgx.Tx]
}

// planWork is what stands in the queue.
type planWork struct {
	Run string `json:"run"`
}

// Kind implements [river.JobArgs].
func (planWork) Kind() string { return "plan" }

// NewPlanRuns keeps runs in a pool's database. It works on none: [StartPlanWorkers] does.
func NewPlanRuns(pool *pgxpool.Pool, log *slog.Logger) (*PlanRuns, error) {
	if pool == nil || log == nil {
		return nil, errors.New("postgres: runs without a pool or a log")
	}
	queue, err := river.NewClient(riverpgxv5.New(pool), &river.Config{Logger: log})
	if err != nil {
		return nil, fmt.Errorf("open the queue of plans: %w", err)
	}
	return &PlanRuns{pool, queue}, nil
}

// oneAtATime is the advisory lock of those who add to the queue, so that its bound holds; any number that nothing else uses.
const oneAtATime = 0x6b697473_706c616e

// Enqueue keeps a request and puts it into the queue, or answers [planrun.ErrFull]. Runs that have expired are forgotten on the way.
func (r *PlanRuns) Enqueue(ctx context.Context, req planrun.Request) (planrun.Run, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	body, err := compressed(req.Body)
	if err != nil {
		return planrun.Run{}, err
	}
	run := planrun.Run{ID: rand.Text(), State: planrun.Waiting, ShotsAll: req.Shots}
	err = InTx(ctx, r.pool, readCommitted, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, int64(oneAtATime)); err != nil {
			return err
		}
		if _, err := tx.Exec(ctx, `DELETE FROM plan_runs WHERE expires_at <= now()`); err != nil {
			return err
		}
		var waiting int
		if err := tx.QueryRow(ctx, `SELECT count(*) FROM plan_runs WHERE state = 'waiting'`).Scan(&waiting); err != nil {
			return err
		}
		if waiting >= planrun.MostWaiting {
			return planrun.ErrFull
		}
		err := tx.QueryRow(ctx, `
			INSERT INTO plan_runs (id, house, language, request, shots_all, expires_at)
			VALUES ($1, $2, $3, $4, $5, now() + $6::interval)
			RETURNING created_at, expires_at`, run.ID, req.House, req.Language, body, req.Shots, planrun.Kept).Scan(&run.Created, &run.Expires)
		if err != nil {
			return err
		}
		_, err = r.queue.InsertTx(ctx, tx, planWork{run.ID}, nil)
		return err
	})
	if err != nil {
		return planrun.Run{}, runRefusal("queue a plan", err)
	}
	return run, nil
}

// Find reads a run; [planrun.ErrNoRun] where there is none of the id, or it has expired.
func (r *PlanRuns) Find(ctx context.Context, id string) (planrun.Run, error) {
	if !planrun.IsID(id) {
		return planrun.Run{}, planrun.ErrNoRun
	}
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	run := planrun.Run{ID: id}
	var answer, problem []byte
	err := r.pool.QueryRow(ctx, `
		SELECT state, shots_done, shots_all, created_at, started_at, ended_at, expires_at, answer, problem
		FROM plan_runs WHERE id = $1 AND expires_at > now()`, id).
		Scan(&run.State, &run.ShotsDone, &run.ShotsAll, &run.Created, &run.Started, &run.Ended, &run.Expires, &answer, &problem)
	if err == nil {
		run.Answer, err = expanded(answer)
	}
	if err == nil {
		run.Problem, err = expanded(problem)
	}
	if err != nil {
		return planrun.Run{}, runRefusal("read run "+id, noRun(err))
	}
	return run, nil
}

// Cancel ends a run that waits or runs; whoever works on it finds out within a second. One that has ended stays as it is. [planrun.ErrNoRun]
// as in [PlanRuns.Find].
func (r *PlanRuns) Cancel(ctx context.Context, id string) error {
	if !planrun.IsID(id) {
		return planrun.ErrNoRun
	}
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	var state planrun.State
	err := InTx(ctx, r.pool, readCommitted, func(tx pgx.Tx) error {
		err := tx.QueryRow(ctx, `SELECT state FROM plan_runs WHERE id = $1 AND expires_at > now() FOR UPDATE`, id).Scan(&state)
		if err != nil || !state.Open() {
			return err
		}
		return oneRow(tx.Exec(ctx, `
			UPDATE plan_runs SET state = 'cancelled', request = NULL, ended_at = now(), expires_at = now() + $2::interval
			WHERE id = $1`, id, planrun.Kept))
	})
	if err != nil {
		return runRefusal("cancel run "+id, noRun(err))
	}
	return nil
}

func noRun(err error) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return planrun.ErrNoRun
	}
	return err
}

// runRefusal names the operation, and turns what the database says into what a caller asks about.
func runRefusal(operation string, err error) error {
	err = Translate(err)
	if errors.Is(err, ErrUnavailable) || errors.Is(err, ErrBusy) {
		err = fmt.Errorf("%w: %w", planrun.ErrUnavailable, err)
	}
	return fmt.Errorf("%s: %w", operation, err)
}

// compressed is what is kept of a body, nil of none. JSON shrinks to a tenth.
func compressed(body []byte) ([]byte, error) {
	if body == nil {
		return nil, nil
	}
	var out bytes.Buffer
	w := gzip.NewWriter(&out)
	if _, err := w.Write(body); err != nil {
		return nil, err
	}
	err := w.Close()
	return out.Bytes(), err
}

func expanded(kept []byte) ([]byte, error) {
	if kept == nil {
		return nil, nil
	}
	r, err := gzip.NewReader(bytes.NewReader(kept))
	if err != nil {
		return nil, fmt.Errorf("expand what is kept: %w", err)
	}
	body, err := io.ReadAll(r)
	if err != nil {
		return nil, fmt.Errorf("expand what is kept: %w", err)
	}
	return body, nil
}

// claim is the right to work on a run, until somebody else takes it.
type claim struct {
	run  string
	take int // who has the last take may write
	lost int
	req  planrun.Request
}

// take takes a run that waits, or one whose process has not been seen for silence. It returns nil where there is nothing to do.
func (r *PlanRuns) take(ctx context.Context, id string, silence time.Duration) (*claim, error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	c := claim{run: id}
	var body []byte
	err := r.pool.QueryRow(ctx, `
		UPDATE plan_runs SET state = 'running', take = take + 1, shots_done = 0, lost = lost + (state = 'running')::int,
			started_at = COALESCE(started_at, now()), seen_at = now()
		WHERE id = $1 AND expires_at > now() AND (state = 'waiting' OR state = 'running' AND seen_at < now() - $2::interval)
		RETURNING take, lost, house, language, request, shots_all`, id, silence).
		Scan(&c.take, &c.lost, &c.req.House, &c.req.Language, &body, &c.req.Shots)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, nil
	}
	if err == nil {
		c.req.Body, err = expanded(body)
	}
	if err != nil {
		return nil, runRefusal("take run "+id, err)
	}
	return &c, nil
}

// seen says how far a run is, and that somebody works on it. held is false once that is not the claim's holder: the run was cancelled, or
// somebody else has taken it.
func (r *PlanRuns) seen(ctx context.Context, c *claim, shots int) (held bool, err error) {
	return r.write(ctx, c, `shots_done = GREATEST(shots_done, LEAST($3, shots_all)), seen_at = now()`, shots)
}

// finish keeps what came of a run.
func (r *PlanRuns) finish(ctx context.Context, c *claim, out planrun.Outcome) (held bool, err error) {
	answer, err := compressed(out.Answer)
	if err != nil {
		return false, err
	}
	problem, err := compressed(out.Problem)
	if err != nil {
		return false, err
	}
	return r.write(ctx, c, `
		state = CASE WHEN $3::bytea IS NULL THEN 'failed' ELSE 'done' END, answer = $3, problem = $4, request = NULL,
		shots_done = CASE WHEN $3::bytea IS NULL THEN shots_done ELSE shots_all END, ended_at = now(), expires_at = now() + $5::interval`,
		answer, problem, planrun.Kept)
}

// putBack lets a run wait again.
func (r *PlanRuns) putBack(ctx context.Context, c *claim) (held bool, err error) {
	return r.write(ctx, c, `state = 'waiting', shots_done = 0, started_at = NULL, seen_at = NULL`)
}

// write changes a run that a claim still holds.
func (r *PlanRuns) write(ctx context.Context, c *claim, set string, args ...any) (held bool, err error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	tag, err := r.pool.Exec(ctx, `UPDATE plan_runs SET `+set+` WHERE id = $1 AND take = $2 AND state = 'running'`,
		append([]any{c.run, c.take}, args...)...)
	if err != nil {
		return true, runRefusal("write to run "+c.run, err)
	}
	return tag.RowsAffected() == 1, nil
}

// queueLost puts runs back into the queue whose process has not been seen for silence, and returns how many there were.
func (r *PlanRuns) queueLost(ctx context.Context, silence time.Duration) (found int, err error) {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	err = InTx(ctx, r.pool, readCommitted, func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `
			UPDATE plan_runs SET state = 'waiting', shots_done = 0, lost = lost + 1, started_at = NULL, seen_at = NULL
			WHERE id IN (SELECT id FROM plan_runs WHERE state = 'running' AND seen_at < now() - $1::interval FOR UPDATE SKIP LOCKED)
			RETURNING id`, silence)
		if err != nil {
			return err
		}
		ids, err := pgx.CollectRows(rows, pgx.RowTo[string])
		if found = len(ids); err != nil || found == 0 {
			return err
		}
		again := make([]river.InsertManyParams, found)
		for i, id := range ids {
			again[i].Args = planWork{id}
		}
		_, err = r.queue.InsertManyTx(ctx, tx, again)
		return err
	})
	if err != nil {
		return 0, runRefusal("look for lost runs", err)
	}
	return found, nil
}
