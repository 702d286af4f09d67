package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Sessions keeps the sessions of the staff who are signed in on the pages, by the hash of the token in their cookie. It is a store of
// github.com/alexedwards/scs, whose contract its methods follow, and safe for concurrent use. A database that does not answer is
// [catalog.ErrUnavailable].
type Sessions struct{ pool *pgxpool.Pool }

// NewSessions keeps sessions in a pool's database.
func NewSessions(pool *pgxpool.Pool) *Sessions {
	if pool == nil {
		panic("postgres: sessions without a pool")
	}
	return &Sessions{pool}
}

// FindCtx reads the data of a session; found is false where it is over or never was.
func (s *Sessions) FindCtx(ctx context.Context, tokenHash string) (data []byte, found bool, err error) {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	err = s.pool.QueryRow(ctx, `SELECT data FROM staff_sessions WHERE token_hash = $1 AND expires_at > now()`, tokenHash).Scan(&data)
	if errors.Is(err, pgx.ErrNoRows) {
		return nil, false, nil
	}
	if err != nil {
		return nil, false, refusal("read a staff session", err)
	}
	return data, true, nil
}

// CommitCtx keeps a session until it expires, in the place of one with the same hash. Those that are over are forgotten on the way.
func (s *Sessions) CommitCtx(ctx context.Context, tokenHash string, data []byte, expiry time.Time) error {
	ctx, cancel := context.WithTimeout(ctx, writeTimeout)
	defer cancel()
	err := InTx(ctx, s.pool, readCommitted, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `DELETE FROM staff_sessions WHERE expires_at <= now()`); err != nil {
			return err
		}
		return oneRow(tx.Exec(ctx, `
			INSERT INTO staff_sessions (token_hash, data, expires_at) VALUES ($1, $2, $3)
			ON CONFLICT (token_hash) DO UPDATE SET data = EXCLUDED.data, expires_at = EXCLUDED.expires_at`, tokenHash, data, expiry))
	})
	if err != nil {
		return refusal("keep a staff session", err)
	}
	return nil
}

// DeleteCtx ends a session. That there is none is no error.
func (s *Sessions) DeleteCtx(ctx context.Context, tokenHash string) error {
	ctx, cancel := context.WithTimeout(ctx, lookTimeout)
	defer cancel()
	if _, err := s.pool.Exec(ctx, `DELETE FROM staff_sessions WHERE token_hash = $1`, tokenHash); err != nil {
		return refusal("end a staff session", err)
	}
	return nil
}

var errNoContext = errors.New("postgres: a session is asked for without a context")

// Find, Commit and Delete belong to the contract and are not called where the methods with a context are there.
func (s *Sessions) Find(string) ([]byte, bool, error) {
	return nil, false, fmt.Errorf("find: %w", errNoContext)
}

// Commit is [Sessions.CommitCtx] without a context, which is an error.
func (s *Sessions) Commit(string, []byte, time.Time) error {
	return fmt.Errorf("commit: %w", errNoContext)
}

// Delete is [Sessions.DeleteCtx] without a context, which is an error.
func (s *Sessions) Delete(string) error { return fmt.Errorf("delete: %w", errNoContext) }
