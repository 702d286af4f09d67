package postgres_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
	"github.com/riverqueue/river/riverdriver/riverpgxv5"
	"github.com/riverqueue/river/rivermigrate"

	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// queueSchema lists what a database holds of the queue's: columns, constraints, indexes, words of its type, its function.
const queueSchema = `
	SELECT c.relname || ' ' || c.relpersistence::text || ' ' || a.attname || ' ' || format_type(a.atttypid, a.atttypmod) || ' ' ||
		a.attnotnull::text || ' ' || COALESCE(pg_get_expr(d.adbin, d.adrelid), '-')
	FROM pg_class c JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0 AND NOT a.attisdropped
		LEFT JOIN pg_attrdef d ON d.adrelid = c.oid AND d.adnum = a.attnum
	WHERE c.relkind = 'r' AND c.relname ~ '^river_' AND c.relname <> 'river_migration'
	UNION ALL
	SELECT conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid)
	FROM pg_constraint WHERE conrelid::regclass::text ~ '^river_' AND conrelid::regclass::text <> 'river_migration'
	UNION ALL
	SELECT indexdef FROM pg_indexes WHERE tablename ~ '^river_' AND tablename <> 'river_migration'
	UNION ALL
	SELECT enumtypid::regtype || ' ' || enumlabel FROM pg_enum
	UNION ALL
	SELECT pg_get_function_identity_arguments(oid) || ' ' || proname || ' ' || provolatile::text || ' ' || btrim(prosrc) FROM pg_proc WHERE proname ~ '^river_'
	UNION ALL
	SELECT tgname FROM pg_trigger WHERE tgrelid::regclass::text ~ '^river_' AND NOT tgisinternal
	ORDER BY 1`

func queueSchemaOf(t *testing.T, pool *pgxpool.Pool) []string {
	t.Helper()
	rows, err := pool.Query(t.Context(), queueSchema)
	if err != nil {
		t.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// The queue's own migrations, run in an empty database, say what its version wants: another version may want something else.
func TestTheQueueHasTheTablesThatItsVersionWants(t *testing.T) {
	t.Parallel()
	url := emptyURL(t)
	theirs, err := postgres.Open(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer theirs.Close()
	migrator, err := rivermigrate.New(riverpgxv5.New(theirs), nil)
	if err != nil {
		t.Fatal(err)
	}
	done, err := migrator.Migrate(t.Context(), rivermigrate.DirectionUp, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(done.Versions) == 0 {
		t.Fatal("the queue's migrations did nothing")
	}
	want := queueSchemaOf(t, theirs)
	if got := queueSchemaOf(t, pgtest.New(t)); len(want) < 40 || !cmp.Equal(want, got) {
		t.Errorf("the queue wants %d things (-wants +has):\n%s", len(want), cmp.Diff(want, got))
	}
}
