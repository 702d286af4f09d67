package web

import (
	"context"
	"testing"
	"time"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/postgres"
	"kitspan/internal/postgres/pgtest"
)

// atEnd is run after all tests; nil for nothing.
var atEnd func()

func TestMain(m *testing.M) {
	pgtest.Main(m, func() {
		if atEnd != nil {
			atEnd()
		}
	})
}

// newest is a database's catalogue, read whole at each use.
type newest struct{ *postgres.Catalogue }

func (n newest) Snapshot(ctx context.Context, house string) (*catalog.Snapshot, error) {
	stock, _, err := n.Catalogue.Snapshot(ctx, house)
	return stock, err
}

// newSiteOnPostgres is the pages on a database of their own with the demo houses, sessions included.
func newSiteOnPostgres(t *testing.T) *site {
	t.Helper()
	pool := pgtest.New(t)
	store := postgres.NewCatalogue(pool)
	if _, err := store.Seed(t.Context()); err != nil {
		t.Fatal(err)
	}
	return newSiteWith(t, func(o *setup) {
		o.Office, o.Storage, o.Jobs, o.Sessions = office.Office{Stock: newest{store}, Now: time.Now}, store, postgres.NewJobs(pool), postgres.NewSessions(pool)
	})
}

func TestSessionsOnADatabase(t *testing.T) {
	t.Parallel()
	s := newSiteOnPostgres(t)
	s.signIn(t)
	stolen := *s.client.Jar.(*jar).kept[staffCookie]
	if !s.mayEdit(t) {
		t.Fatal("staff cannot edit")
	}
	s.post(t, "/staff/out", nil)
	s.client.Jar.SetCookies(nil, append(s.client.Jar.Cookies(nil), &stolen))
	if s.mayEdit(t) {
		t.Error("the cookie opens after sign-out")
	}
}
