package postgres_test

import (
	"context"
	"errors"
	"log/slog"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/planrun"
	"kitspan/internal/postgres"
)

// newRuns keeps runs in a database of their own that has houses.
func newRuns(t *testing.T) (*postgres.PlanRuns, *pgxpool.Pool) {
	t.Helper()
	_, pool := seeded(t)
	return runsOn(t, pool), pool
}

func runsOn(t *testing.T, pool *pgxpool.Pool) *postgres.PlanRuns {
	t.Helper()
	runs, err := postgres.NewPlanRuns(pool, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	return runs
}

func queued(t *testing.T, runs *postgres.PlanRuns, body string) string {
	t.Helper()
	run, err := runs.Enqueue(t.Context(), planrun.Request{House: "quayside", Language: "pt-PT", Body: []byte(body), Shots: 3})
	if err != nil {
		t.Fatal(err)
	}
	return run.ID
}

// started has runs worked on until the test ends, or it is stopped.
func started(t *testing.T, runs *postgres.PlanRuns, plan planrun.Planner) *postgres.PlanWorkers {
	t.Helper()
	w, err := postgres.StartHastyPlanWorkers(t.Context(), runs, workersOf(t, plan), 10*time.Millisecond, time.Minute)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stopWorkers(t, w) })
	return w
}

func workersOf(t *testing.T, plan planrun.Planner) postgres.PlanWorkersOptions {
	t.Helper()
	return postgres.PlanWorkersOptions{
		Workers: 1, Limit: time.Minute, Plan: plan, Log: slog.New(slog.NewTextHandler(t.Output(), &slog.HandlerOptions{Level: slog.LevelWarn})),
		GiveUp: func(r planrun.Request) []byte { return []byte("given up in " + r.Language) },
	}
}

func stopWorkers(t *testing.T, w *postgres.PlanWorkers) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.WithoutCancel(t.Context()), hangs)
	defer cancel()
	if err := w.Stop(ctx); err != nil {
		t.Error(err)
	}
}

// reaches waits until a run is as it is wanted.
func reaches(t *testing.T, runs *postgres.PlanRuns, id string, wanted func(planrun.Run) bool) planrun.Run {
	t.Helper()
	for begin := time.Now(); ; time.Sleep(5 * time.Millisecond) {
		run, err := runs.Find(t.Context(), id)
		if err != nil {
			t.Fatal(err)
		}
		if wanted(run) {
			return run
		}
		if time.Since(begin) > hangs {
			t.Fatalf("it stays %s with %d of %d shots", run.State, run.ShotsDone, run.ShotsAll)
		}
	}
}

func in(s planrun.State) func(planrun.Run) bool {
	return func(r planrun.Run) bool { return r.State == s }
}

func TestARunIsPlannedAndKept(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	id := queued(t, runs, `{"job": 1}`)
	run, err := runs.Find(t.Context(), id)
	if err != nil || run.State != planrun.Waiting || run.ShotsAll != 3 || run.Started != nil || run.Ended != nil || run.Expires.Sub(run.Created) != planrun.Kept {
		t.Fatalf("queued: %+v, %v", run, err)
	}
	if len(id) < 22 {
		t.Errorf("the id %q can be guessed", id)
	}
	answer := strings.Repeat(`{"total": 1}`, 1000)
	got, onward := make(chan planrun.Request, 1), make(chan bool)
	started(t, runs, func(_ context.Context, r planrun.Request, progress func(int)) (planrun.Outcome, error) {
		got <- r
		progress(2)
		<-onward
		return planrun.Outcome{Answer: []byte(answer)}, nil
	})
	want := planrun.Request{House: "quayside", Language: "pt-PT", Body: []byte(`{"job": 1}`), Shots: 3}
	if diff := cmp.Diff(want, <-got); diff != "" {
		t.Errorf("asked for (-want +got):\n%s", diff)
	}
	run = reaches(t, runs, id, func(r planrun.Run) bool { return r.ShotsDone == 2 })
	if run.State != planrun.Running || run.Started == nil || run.Ended != nil || run.Answer != nil {
		t.Errorf("while it runs: %+v", run)
	}
	close(onward)
	run = reaches(t, runs, id, in(planrun.Done))
	if string(run.Answer) != answer || run.Problem != nil || run.ShotsDone != 3 || run.Ended == nil || run.Ended.Before(*run.Started) || run.Expires.Sub(*run.Ended) != planrun.Kept {
		t.Errorf("done: %d bytes, %d shots, %v", len(run.Answer), run.ShotsDone, run.Ended)
	}
	if n := scan[int](t, pool, `SELECT count(request) FROM plan_runs`); n != 0 {
		t.Error("the request is kept after its end")
	}
	if n := scan[int](t, pool, `SELECT octet_length(answer) FROM plan_runs`); n > len(answer)/10 {
		t.Errorf("%d bytes are kept of %d", n, len(answer))
	}
	exec(t, pool, `UPDATE plan_runs SET created_at = now() - INTERVAL '2 days', expires_at = now() - INTERVAL '1 second'`)
	if _, err := runs.Find(t.Context(), id); !errors.Is(err, planrun.ErrNoRun) {
		t.Errorf("after its time: %v", err)
	}
	if err := runs.Cancel(t.Context(), id); !errors.Is(err, planrun.ErrNoRun) {
		t.Errorf("cancelled after its time: %v", err)
	}
	queued(t, runs, `{}`)
	if n := scan[int](t, pool, `SELECT count(*) FROM plan_runs WHERE id = $1`, id); n != 0 {
		t.Error("a run that has expired is kept when the next comes")
	}
}

func TestARunFailsWithItsProblem(t *testing.T) {
	t.Parallel()
	runs, _ := newRuns(t)
	var calls atomic.Int64
	started(t, runs, func(_ context.Context, r planrun.Request, progress func(int)) (planrun.Outcome, error) {
		calls.Add(1)
		progress(1)
		if string(r.Body) == "panic" {
			panic("what no test foresaw")
		}
		return planrun.Outcome{Problem: []byte("a problem")}, nil
	})
	for body, want := range map[string]string{"": "a problem", "panic": "given up in pt-PT"} {
		run := reaches(t, runs, queued(t, runs, body), in(planrun.Failed))
		if string(run.Problem) != want || run.Answer != nil || run.Ended == nil {
			t.Errorf("%q: %+v", body, run)
		}
	}
	if calls.Load() != 2 {
		t.Errorf("%d calls for 2 runs", calls.Load())
	}
}

func TestARunIsCancelled(t *testing.T) {
	t.Parallel()
	runs, _ := newRuns(t)
	begun, ended := make(chan string, 10), make(chan error, 10)
	first, second := queued(t, runs, "first"), queued(t, runs, "second")
	if err := runs.Cancel(t.Context(), second); err != nil { // while it waits
		t.Fatal(err)
	}
	started(t, runs, func(ctx context.Context, r planrun.Request, _ func(int)) (planrun.Outcome, error) {
		begun <- string(r.Body)
		if string(r.Body) == "third" {
			return planrun.Outcome{Answer: []byte("{}")}, nil
		}
		<-ctx.Done()
		ended <- ctx.Err()
		return planrun.Outcome{Answer: []byte("too late")}, nil
	})
	if got := <-begun; got != "first" {
		t.Fatalf("%s was begun", got)
	}
	if err := runs.Cancel(t.Context(), first); err != nil { // while it runs
		t.Fatal(err)
	}
	if err := <-ended; !errors.Is(err, context.Canceled) {
		t.Errorf("work ended by %v", err)
	}
	third := queued(t, runs, "third")
	reaches(t, runs, third, in(planrun.Done))
	if got := <-begun; got != "third" {
		t.Errorf("%s was begun, which had been cancelled", got)
	}
	for _, id := range []string{first, second} {
		run, err := runs.Find(t.Context(), id)
		if err != nil || run.State != planrun.Cancelled || run.Ended == nil || run.Answer != nil {
			t.Errorf("%+v, %v", run, err)
		}
	}
	for _, id := range []string{first, third} { // again, and what is done
		if err := runs.Cancel(t.Context(), id); err != nil {
			t.Error(err)
		}
	}
	if run, err := runs.Find(t.Context(), third); err != nil || run.State != planrun.Done {
		t.Errorf("cancelled after its end: %s, %v", run.State, err)
	}
	if err := runs.Cancel(t.Context(), strings.Repeat("A", 26)); !errors.Is(err, planrun.ErrNoRun) {
		t.Errorf("a run that never was: %v", err)
	}
}

// However many come at once, no more wait than may; what is cancelled makes room.
func TestTheQueueIsBounded(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	id := queued(t, runs, "{}")
	var refused atomic.Int64
	var all sync.WaitGroup
	for range 8 {
		all.Go(func() {
			for range planrun.MostWaiting / 8 * 2 {
				_, err := runs.Enqueue(t.Context(), planrun.Request{House: "quayside", Language: "en", Body: []byte("{}"), Shots: 1})
				if errors.Is(err, planrun.ErrFull) {
					refused.Add(1)
				} else if err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if n := scan[int](t, pool, `SELECT count(*) FROM plan_runs`); n != planrun.MostWaiting {
		t.Errorf("%d wait and %d were refused, want %d", n, refused.Load(), planrun.MostWaiting)
	}
	if err := runs.Cancel(t.Context(), id); err != nil {
		t.Fatal(err)
	}
	queued(t, runs, "{}")
}

// A server that stops puts its work back: the next one does it, once.
func TestStoppingPutsWorkBack(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	id := queued(t, runs, "{}")
	begun := make(chan bool)
	w, err := postgres.StartPlanWorkers(t.Context(), runs, workersOf(t, func(ctx context.Context, _ planrun.Request, progress func(int)) (planrun.Outcome, error) {
		progress(1)
		close(begun)
		<-ctx.Done()
		return planrun.Outcome{}, ctx.Err()
	}))
	if err != nil {
		t.Fatal(err)
	}
	<-begun
	stopWorkers(t, w)
	if run, err := runs.Find(t.Context(), id); err != nil || run.State != planrun.Waiting || run.ShotsDone != 0 || run.Started != nil {
		t.Errorf("put back: %+v, %v", run, err)
	}
	if state := scan[string](t, pool, `SELECT state FROM river_job`); state != "available" {
		t.Errorf("the work is %s in the queue", state)
	}
	started(t, runs, func(context.Context, planrun.Request, func(int)) (planrun.Outcome, error) {
		return planrun.Outcome{Answer: []byte("of the second")}, nil
	})
	if run := reaches(t, runs, id, in(planrun.Done)); string(run.Answer) != "of the second" {
		t.Errorf("%s", run.Answer)
	}
}

// A process that dies marks nothing. The next one takes its run, and what the dead one says when it wakes up again is not heard.
func TestARunOfADeadProcessIsTakenUpAgain(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	dying, err := pgxpool.NewWithConfig(t.Context(), pool.Config())
	if err != nil {
		t.Fatal(err)
	}
	id := queued(t, runs, "{}")
	begun, wake := make(chan bool), make(chan bool)
	died, err := postgres.StartPlanWorkers(t.Context(), runsOn(t, dying), workersOf(t, func(context.Context, planrun.Request, func(int)) (planrun.Outcome, error) {
		close(begun)
		<-wake
		return planrun.Outcome{Answer: []byte("of the dead")}, nil
	}))
	if err != nil {
		t.Fatal(err)
	}
	<-begun
	dying.Close() // its connections are gone, and nothing of what follows reaches the database
	second, err := postgres.StartHastyPlanWorkers(t.Context(), runs, workersOf(t, func(context.Context, planrun.Request, func(int)) (planrun.Outcome, error) {
		return planrun.Outcome{Answer: []byte("of the living")}, nil
	}), 10*time.Millisecond, time.Second)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { stopWorkers(t, second) })
	run := reaches(t, runs, id, in(planrun.Done))
	close(wake)
	stopWorkers(t, died)
	again, err := runs.Find(t.Context(), id)
	if err != nil || string(again.Answer) != "of the living" || !again.Ended.Equal(*run.Ended) {
		t.Errorf("answered %s, and then %s, %v", run.Answer, again.Answer, err)
	}
	if n := scan[int](t, pool, `SELECT lost FROM plan_runs`); n != 1 {
		t.Errorf("lost %d times, want 1", n)
	}
}

// The queue itself brings work back too, should nobody have looked for lost runs: what comes out of it twice is done once.
func TestWorkThatComesOutOfTheQueueTwiceIsDoneOnce(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	id := queued(t, runs, "{}")
	exec(t, pool, `INSERT INTO river_job (args, kind, max_attempts) SELECT args, kind, max_attempts FROM river_job`)
	var calls atomic.Int64
	started(t, runs, func(context.Context, planrun.Request, func(int)) (planrun.Outcome, error) {
		calls.Add(1)
		return planrun.Outcome{Answer: []byte("{}")}, nil
	})
	last := queued(t, runs, "{}")
	reaches(t, runs, last, in(planrun.Done))
	reaches(t, runs, id, in(planrun.Done))
	if calls.Load() != 2 {
		t.Errorf("%d calls for 2 runs", calls.Load())
	}
}

// A request that takes the process down is not tried for ever.
func TestARunThatTakesProcessesDownIsGivenUp(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	id := queued(t, runs, "{}")
	const most = 3
	for range most {
		if taken, err := postgres.TakeRun(t.Context(), runs, id); err != nil || !taken {
			t.Fatalf("taken: %v, %v", taken, err)
		}
		if taken, err := postgres.TakeRun(t.Context(), runs, id); err != nil || taken {
			t.Fatalf("taken from one who is there: %v, %v", taken, err)
		}
		exec(t, pool, `UPDATE plan_runs SET seen_at = now() - INTERVAL '1 hour'`)
	}
	started(t, runs, func(context.Context, planrun.Request, func(int)) (planrun.Outcome, error) {
		t.Error("tried once more")
		return planrun.Outcome{Answer: []byte("{}")}, nil
	})
	if run := reaches(t, runs, id, in(planrun.Failed)); string(run.Problem) != "given up in pt-PT" {
		t.Errorf("%s", run.Problem)
	}
}

func TestWhatCannotBePlannedNowWaitsAgain(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	id := queued(t, runs, "{}")
	started(t, runs, func(context.Context, planrun.Request, func(int)) (planrun.Outcome, error) {
		return planrun.Outcome{}, errors.New("the catalogue cannot be read")
	})
	for begin := time.Now(); scan[int](t, pool, `SELECT count(*) FROM river_job WHERE state = 'scheduled'`) == 0; time.Sleep(5 * time.Millisecond) {
		if time.Since(begin) > hangs {
			t.Fatal("the work is not scheduled again")
		}
	}
	if run := reaches(t, runs, id, in(planrun.Waiting)); run.Started != nil {
		t.Errorf("%+v", run)
	}
}

func TestRunsRefuseByName(t *testing.T) {
	t.Parallel()
	runs, pool := newRuns(t)
	_, err := runs.Enqueue(t.Context(), planrun.Request{House: "nowhere", Language: "en", Body: []byte("{}"), Shots: 1})
	if !errors.Is(err, postgres.ErrReference) || postgres.Constraint(err) != "plan_runs_house_fkey" {
		t.Errorf("a house that is not there: %v", err)
	}
	if n := scan[int](t, pool, `SELECT count(*) FROM river_job`); n != 0 {
		t.Error("work is queued for a run that was not kept")
	}
	queued(t, runs, "{}")
	tried := map[string]bool{"plan_runs_house_fkey": true, "plan_runs_pkey": true} // its id is by chance
	for set, want := range map[string]string{
		`state = 'resting', ended_at = now(), request = NULL`: "plan_runs_state_known",
		`request = NULL`:          "plan_runs_request_while_open",
		`answer = ''`:             "plan_runs_answer_when_done",
		`problem = ''`:            "plan_runs_problem_when_failed",
		`ended_at = now()`:        "plan_runs_ended_when_over",
		`state = 'running'`:       "plan_runs_seen_while_running",
		`shots_done = 4`:          "plan_runs_progress",
		`take = -1`:               "plan_runs_counts",
		`expires_at = created_at`: "plan_runs_expiry",
		`id = 'short'`:            "plan_runs_id_form",
		`language = ''`:           "plan_runs_language_length",
		`request = decode(repeat('00', 1050001), 'hex')`:                                                   "plan_runs_request_size",
		`state = 'done', request = NULL, ended_at = now(), answer = decode(repeat('00', 67174401), 'hex')`: "plan_runs_answer_size",
		`state = 'failed', request = NULL, ended_at = now(), problem = decode(repeat('00', 65537), 'hex')`: "plan_runs_problem_size",
	} {
		tried[want] = true
		if _, err := pool.Exec(t.Context(), `UPDATE plan_runs SET `+set); postgres.Constraint(err) != want {
			t.Errorf("%s: %v, want %s", set, err, want)
		}
	}
	for name := range strings.SplitSeq(scan[string](t, pool, `
		SELECT string_agg(conname, ' ') FROM pg_constraint WHERE conrelid = 'plan_runs'::regclass AND contype NOT IN ('t', 'n')`), " ") {
		if !tried[name] {
			t.Errorf("constraint %s is not tried", name)
		}
	}
}
