package postgres

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Common practice, no source: enough attempts for a handful of writers of one row, and an end to it.
const (
	txAttempts      = 6
	txFirstBackoff  = 5 * time.Millisecond
	rollbackTimeout = 5 * time.Second
)

var errNoIsolation = errors.New("transaction without an isolation level: name one in pgx.TxOptions.IsoLevel")

// InTx runs work in one transaction and commits it when work returns nil. Any error, panic or runtime.Goexit rolls back, also when
// ctx is already cancelled. opts must name the isolation level.
//
// When the database reports a serialization failure or a deadlock, the whole of work runs again, up to six times in all with growing
// pauses: work must keep its effects inside the transaction and set its results afresh on each run. An error of work comes back as
// it is; those of beginning and committing are wrapped and translated here.
func InTx(ctx context.Context, pool *pgxpool.Pool, opts pgx.TxOptions, work func(pgx.Tx) error) error {
	if opts.IsoLevel == "" {
		return errNoIsolation
	}
	for attempt := 1; ; attempt++ {
		err := runTx(ctx, pool, opts, work)
		if err == nil || !lostRace(err) {
			return err
		}
		if attempt == txAttempts {
			return fmt.Errorf("give up after %d attempts: %w", attempt, Translate(err))
		}
		if pauseErr := pause(ctx, attempt); pauseErr != nil {
			return errors.Join(pauseErr, err)
		}
	}
}

func runTx(ctx context.Context, pool *pgxpool.Pool, opts pgx.TxOptions, work func(pgx.Tx) error) error {
	tx, err := pool.BeginTx(ctx, opts)
	if err != nil {
		return fmt.Errorf("begin transaction: %w", Translate(err))
	}
	committed := false
	defer func() {
		if committed {
			return
		}
		// The connection must come back clean even where the request that used it is gone.
		rollbackCtx, cancel := context.WithTimeout(context.WithoutCancel(ctx), rollbackTimeout)
		defer cancel()
		// A failed rollback closes the connection, which ends the transaction all the same; the first error matters more.
		_ = tx.Rollback(rollbackCtx)
	}()
	if err := work(tx); err != nil {
		return err
	}
	if err := tx.Commit(ctx); err != nil {
		return fmt.Errorf("commit transaction: %w", Translate(err))
	}
	committed = true
	return nil
}

// pause waits before the next attempt: doubled each time, and between half and the whole of it, so that rivals part ways.
func pause(ctx context.Context, attempt int) error {
	full := txFirstBackoff << (attempt - 1)
	wait := full/2 + rand.N(full/2)
	select {
	case <-ctx.Done():
		return ctx.Err()
	case <-time.After(wait):
		return nil
	}
}
