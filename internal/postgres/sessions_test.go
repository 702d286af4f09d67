package postgres_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgxpool"

	"kitspan/internal/catalog"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// hash is a token's hash by its length alone.
func hash(letter string) string { return strings.Repeat(letter, 43) }

func TestSessionsLastUntilTheyExpireOrEnd(t *testing.T) {
	t.Parallel()
	pool := pgtest.New(t)
	s, ctx := postgres.NewSessions(pool), t.Context()
	keep := func(letter, data string, left time.Duration) {
		t.Helper()
		if err := s.CommitCtx(ctx, hash(letter), []byte(data), time.Now().Add(left)); err != nil {
			t.Fatal(err)
		}
	}
	expect := func(letter, want string) {
		t.Helper()
		data, found, err := s.FindCtx(ctx, hash(letter))
		if err != nil || found != (want != "") || string(data) != want {
			t.Errorf("session %s: %q, found %v, %v; want %q", letter, data, found, err, want)
		}
	}
	keep("a", "first", time.Hour)
	keep("a", "second", time.Hour)
	keep("b", "over", -time.Second)
	expect("a", "second")
	expect("b", "")
	expect("c", "")
	keep("c", "new", time.Hour)
	var rows int
	if err := pool.QueryRow(ctx, `SELECT count(*) FROM staff_sessions`).Scan(&rows); err != nil || rows != 2 {
		t.Errorf("%d rows, %v: want those of a and c, that of b is over", rows, err)
	}
	for range 2 { // the second time there is nothing to end
		if err := s.DeleteCtx(ctx, hash("a")); err != nil {
			t.Error(err)
		}
	}
	expect("a", "")
	expect("c", "new")
}

func TestSessionsOutOfReachAreUnavailable(t *testing.T) {
	t.Parallel()
	pool, err := pgxpool.New(t.Context(), "postgres://kitspan@127.0.0.1:1/kitspan?connect_timeout=1")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(pool.Close)
	s := postgres.NewSessions(pool)
	_, _, found := s.FindCtx(t.Context(), hash("a"))
	for what, err := range map[string]error{
		"find": found, "commit": s.CommitCtx(t.Context(), hash("a"), []byte("x"), time.Now().Add(time.Hour)), "delete": s.DeleteCtx(t.Context(), hash("a")),
	} {
		if !errors.Is(err, catalog.ErrUnavailable) {
			t.Errorf("%s: %v", what, err)
		}
	}
}
