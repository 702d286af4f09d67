package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// The closed set of reasons for which the database refuses. A storage method turns the ones that its caller asked about into the
// domain's own errors; the rest travel as they are.
var (
	// ErrMissing: the row asked for is not there.
	ErrMissing = errors.New("no such row")
	// ErrConflict: another row already holds the key, or the period.
	ErrConflict = errors.New("conflict with an existing row")
	// ErrReference: a row named by the written one is not there, or the deleted one is still in use.
	ErrReference = errors.New("broken reference")
	// ErrInvalid: a value breaks a constraint of the schema or does not fit its type.
	ErrInvalid = errors.New("value refused by the schema")
	// ErrBusy: the work lost a race or waited too long; the same work may succeed when tried again.
	ErrBusy = errors.New("database busy")
	// ErrUnavailable: the server cannot be reached, does not answer in time, is starting, stopping or full.
	ErrUnavailable = errors.New("database unavailable")
)

// Translate puts the kind of a driver's error in front of it, so that errors.Is finds both. It goes by SQLSTATE (PostgreSQL
// manual, appendix A), never by text. nil, cancelled contexts, errors that have a kind already and unknown ones come back as they are.
func Translate(err error) error {
	if err == nil || errors.Is(err, context.Canceled) || hasKind(err) {
		return err
	}
	if kind := kindOf(err); kind != nil {
		return fmt.Errorf("%w: %w", kind, err)
	}
	return err
}

// Constraint names the constraint that refused a write, or is empty.
func Constraint(err error) string {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.ConstraintName
	}
	return ""
}

func hasKind(err error) bool {
	for _, kind := range []error{ErrMissing, ErrConflict, ErrReference, ErrInvalid, ErrBusy, ErrUnavailable} {
		if errors.Is(err, kind) {
			return true
		}
	}
	return false
}

func kindOf(err error) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return ErrMissing
	}
	var connect *pgconn.ConnectError
	if errors.As(err, &connect) { // whatever it was that the server said to a newcomer
		return ErrUnavailable
	}
	var pg *pgconn.PgError
	if !errors.As(err, &pg) {
		if lostConnection(err) {
			return ErrUnavailable
		}
		return nil
	}
	switch pg.Code {
	case "23505", "23P01": // unique_violation, exclusion_violation
		return ErrConflict
	case "23503", "23001": // foreign_key_violation, restrict_violation
		return ErrReference
	case "40001", "40P01", "55P03", queryCanceled: // serialization_failure, deadlock_detected, lock_not_available
		return ErrBusy
	case "25006": // read_only_sql_transaction: the server that was the primary is a standby now
		return ErrUnavailable
	}
	switch {
	case strings.HasPrefix(pg.Code, "22"), strings.HasPrefix(pg.Code, "23"): // data exception, integrity constraint violation
		return ErrInvalid
	case strings.HasPrefix(pg.Code, "08"), strings.HasPrefix(pg.Code, "53"), // connection exception, insufficient resources
		strings.HasPrefix(pg.Code, "57P0"): // operator intervention: shutdown, crash, recovery, database dropped
		return ErrUnavailable
	}
	return nil
}

// lostConnection reports whether an error that is not the server's own means that the server did not answer in time, or that the
// connection to it is gone or was never made.
func lostConnection(err error) bool {
	var network net.Error
	return errors.Is(err, context.DeadlineExceeded) || errors.As(err, &network) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, net.ErrClosed) ||
		pgconn.SafeToRetry(err) // the connection was found closed before anything was sent
}

// lostRace reports whether the whole transaction is worth another attempt.
func lostRace(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && (pg.Code == "40001" || pg.Code == "40P01")
}
