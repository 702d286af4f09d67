package postgres_test

import (
	"context"
	"errors"
	"maps"
	"net"
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"kitspan/internal/pgserver"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// hangs is how long a test waits before it calls a call hung; none that ends comes near it.
const hangs = time.Minute

// endOf waits for a call that runs in a goroutine.
func endOf(t *testing.T, ended <-chan error) error {
	t.Helper()
	select {
	case err := <-ended:
		return err
	case <-time.After(hangs):
		t.Fatal("it hangs")
		return nil
	}
}

// silent is the address of something that takes connections and never says a word; taken tells of each.
func silent(t *testing.T) (url string, taken <-chan struct{}) {
	t.Helper()
	listener, err := (&net.ListenConfig{}).Listen(t.Context(), "tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = listener.Close() })
	accepted := make(chan struct{}, 100)
	go func() {
		var conns []net.Conn
		defer func() {
			for _, conn := range conns {
				_ = conn.Close()
			}
		}()
		for {
			conn, err := listener.Accept()
			if err != nil {
				return
			}
			conns = append(conns, conn)
			accepted <- struct{}{}
		}
	}()
	return "postgres://nobody@" + listener.Addr().String() + "/none?sslmode=disable", accepted
}

// Each way to a database: none may wait for ever for one that takes connections and never answers.
var ways = map[string]func(ctx context.Context, url string) error{
	"migrate up":   postgres.MigrateUp,
	"migrate down": postgres.MigrateDown,
	"check schema": postgres.CheckSchema,
	"open": func(ctx context.Context, url string) error {
		pool, err := postgres.Open(ctx, url)
		if err == nil {
			pool.Close()
		}
		return err
	},
}

func TestNoWayToADatabaseWaitsForEver(t *testing.T) {
	t.Parallel()
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			url, _ := silent(t)
			ended := make(chan error, 1)
			go func() { ended <- way(t.Context(), url) }()
			if err := endOf(t, ended); !errors.Is(err, postgres.ErrUnavailable) {
				t.Errorf("got %v, want ErrUnavailable", err)
			}
		})
	}
}

func TestTheWayToADatabaseEndsWithItsContext(t *testing.T) {
	t.Parallel()
	for name, way := range ways {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			url, taken := silent(t)
			ctx, cancel := context.WithCancel(t.Context())
			defer cancel()
			ended := make(chan error, 1)
			go func() { ended <- way(ctx, url+"&connect_timeout=3600") }()
			<-taken
			cancel()
			if err := endOf(t, ended); !errors.Is(err, context.Canceled) {
				t.Errorf("got %v, want context.Canceled", err)
			}
		})
	}
}

// slowSteps are two good steps, the second of which takes for ever.
func slowSteps() fstest.MapFS {
	steps := maps.Clone(goodStep)
	steps["000002_dawdle.up.sql"] = &fstest.MapFile{Data: []byte(`CREATE TABLE half (id int); SELECT pg_sleep(3600);`)}
	steps["000002_dawdle.down.sql"] = &fstest.MapFile{Data: []byte(`DROP TABLE half;`)}
	return steps
}

// sleepers counts the sessions of the database that the dawdling step keeps busy.
const sleepers = `SELECT count(*)::text FROM pg_stat_activity WHERE datname = current_database() AND query LIKE '%pg_sleep(3600)%' AND pid <> pg_backend_pid()
	AND state <> 'idle'`

func waitFor(t *testing.T, url, sql, want string) {
	t.Helper()
	for begin := time.Now(); readOne(t, url, sql) != want; time.Sleep(10 * time.Millisecond) {
		if time.Since(begin) > hangs {
			t.Fatalf("never %s: %s", want, sql)
		}
	}
}

func TestMigrationsEndWithTheirContextInTheMiddleOfAStep(t *testing.T) {
	t.Parallel()
	url := emptyURL(t)
	ctx, cancel := context.WithCancelCause(t.Context())
	defer cancel(nil)
	ended := make(chan error, 1)
	go func() { ended <- postgres.MigrateUpSteps(ctx, url, slowSteps()) }()
	waitFor(t, url, sleepers, "1")
	limit := errors.New("the limit of this test")
	cancel(limit)
	if err := endOf(t, ended); !errors.Is(err, limit) {
		t.Errorf("got %v, want the cause of the context's end", err)
	}
	waitFor(t, url, sleepers, "0")
	if got := version(t, url); got != 1 {
		t.Errorf("version %d, want that of the step before", got)
	}
	if left := readOne(t, url, leftovers); strings.Contains(left, "half") {
		t.Errorf("the cancelled step left something: %s", left)
	}
	// And the next process goes on from there.
	steps := maps.Clone(goodStep)
	steps["000002_hurry.up.sql"] = &fstest.MapFile{Data: []byte(`CREATE TABLE half (id int);`)}
	steps["000002_hurry.down.sql"] = &fstest.MapFile{Data: []byte(`DROP TABLE half;`)}
	if err := postgres.MigrateUpSteps(t.Context(), url, steps); err != nil || version(t, url) != 2 {
		t.Errorf("migrating on: %v", err)
	}
}

// Waiting for another process's migration ends too.
func TestWaitingForAnotherMigrationEndsWithTheContext(t *testing.T) {
	t.Parallel()
	url := emptyURL(t)
	first, stopFirst := context.WithCancel(t.Context())
	defer stopFirst()
	firstEnded := make(chan error, 1)
	go func() { firstEnded <- postgres.MigrateUpSteps(first, url, slowSteps()) }()
	waitFor(t, url, sleepers, "1")
	const waiters = `SELECT count(*)::text FROM pg_stat_activity WHERE datname = current_database() AND wait_event = 'advisory'`
	second, stopSecond := context.WithCancel(t.Context())
	defer stopSecond()
	secondEnded := make(chan error, 1)
	go func() { secondEnded <- postgres.MigrateUpSteps(second, url, goodStep) }()
	waitFor(t, url, waiters, "1")
	stopSecond()
	if err := endOf(t, secondEnded); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want context.Canceled", err)
	}
	waitFor(t, url, waiters, "0")
	stopFirst()
	if err := endOf(t, firstEnded); !errors.Is(err, context.Canceled) {
		t.Errorf("the first: %v", err)
	}
}

func TestMigrationsEndOnAFrozenServer(t *testing.T) {
	t.Parallel()
	dir := pgtest.DataDir(t)
	url := pgtest.StartServer(t, pgserver.Options{DataDir: dir}).URL("postgres")
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	ended := make(chan error, 1)
	go func() { ended <- postgres.MigrateUpSteps(ctx, url, slowSteps()) }()
	waitFor(t, url, sleepers, "1")
	thaw := pgtest.Freeze(t, dir)
	cancel()
	if err := endOf(t, ended); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v, want context.Canceled", err)
	}
	thaw()
	waitFor(t, url, sleepers, "0") // the server finds out that nobody waits for the step any more
}

func TestASchemaThatIsNotTheProgramsIsExplained(t *testing.T) {
	t.Parallel()
	newer := maps.Clone(goodStep)
	newer["000002_add_more.up.sql"] = &fstest.MapFile{Data: []byte(`CREATE TABLE more (id int);`)}
	newer["000002_add_more.down.sql"] = &fstest.MapFile{Data: []byte(`DROP TABLE more;`)}

	url := emptyURL(t)
	if err := postgres.CheckSchemaSteps(t.Context(), url, goodStep); !errors.Is(err, postgres.ErrSchemaOlder) ||
		!strings.Contains(err.Error(), "at version 0") || !strings.Contains(err.Error(), "api migrate") {
		t.Errorf("an empty database: got %v", err)
	}
	if err := postgres.MigrateUpSteps(t.Context(), url, newer); err != nil {
		t.Fatal(err)
	}
	if err := postgres.CheckSchemaSteps(t.Context(), url, newer); err != nil {
		t.Errorf("the program's own schema: %v", err)
	}
	for name, err := range map[string]error{
		"check": postgres.CheckSchemaSteps(t.Context(), url, goodStep), "migrate": postgres.MigrateUpSteps(t.Context(), url, goodStep),
	} {
		if !errors.Is(err, postgres.ErrSchemaNewer) || !strings.Contains(err.Error(), "at version 2") || !strings.Contains(err.Error(), "up to 1") {
			t.Errorf("%s with an older program: got %v, want ErrSchemaNewer with both versions", name, err)
		}
	}

	broken := maps.Clone(newer)
	broken["000003_hang_up.up.sql"] = &fstest.MapFile{Data: []byte(`CREATE TABLE half (id int); SELECT pg_terminate_backend(pg_backend_pid());`)}
	broken["000003_hang_up.down.sql"] = &fstest.MapFile{Data: []byte(`DROP TABLE half;`)}
	if err := postgres.MigrateUpSteps(t.Context(), url, broken); err == nil {
		t.Fatal("a step whose session ends in the middle succeeded")
	}
	for name, err := range map[string]error{
		"check": postgres.CheckSchemaSteps(t.Context(), url, broken), "migrate": postgres.MigrateUpSteps(t.Context(), url, broken),
	} {
		if !errors.Is(err, postgres.ErrSchemaUncertain) || !strings.Contains(err.Error(), "step 3") {
			t.Errorf("%s after a step that broke off: got %v, want ErrSchemaUncertain with the step", name, err)
			continue
		}
		// The advice works as it is written.
		advice := regexp.MustCompile(`"(UPDATE [^"]*version[^"]*)"`).FindStringSubmatch(err.Error())
		if advice == nil {
			t.Errorf("%s gives no advice: %v", name, err)
			continue
		}
		pgtest.Execute(t, url, advice[1])
		if err := postgres.CheckSchemaSteps(t.Context(), url, newer); err != nil {
			t.Errorf("%s: the advice does not help: %v", name, err)
		}
		pgtest.Execute(t, url, `UPDATE schema_migrations SET version = 3, dirty = true`)
	}
}

// What the migration library knows of a step rests on this.
func TestStepsLeaveTransactionsToTheDatabase(t *testing.T) {
	control := regexp.MustCompile(`(?im)^\s*((BEGIN|COMMIT|ROLLBACK)\s*;|START\s+TRANSACTION|VACUUM\b)|\bCONCURRENTLY\b`)
	names, err := os.ReadDir("../../db/migrations")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if !strings.HasSuffix(name.Name(), ".sql") {
			continue
		}
		text, err := os.ReadFile("../../db/migrations/" + name.Name())
		if err != nil {
			t.Fatal(err)
		}
		if found := control.Find(text); found != nil {
			t.Errorf("%s has %q: a step is one transaction, made by the server", name.Name(), found)
		}
	}
}
