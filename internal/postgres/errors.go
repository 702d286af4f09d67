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
	// ErrUnavailable: the server cannot be reached or is stopping.
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
	var pg *pgconn.PgError
	if !errors.As(err, &pg) {
		var connect *pgconn.ConnectError
		var network *net.OpError
		if errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, io.ErrUnexpectedEOF) {
			return ErrUnavailable
		}
		return nil
	}
	switch pg.Code {
	case "23505", "23P01": // unique_violation, exclusion_violation
		return ErrConflict
	case "23503", "23001": // foreign_key_violation, restrict_violation
		return ErrReference
	case "40001", "40P01", "55P03", "57014": // serialization_failure, deadlock_detected, lock_not_available, query_canceled
		return ErrBusy
	case "57P01", "57P02", "57P03": // admin_shutdown, crash_shutdown, cannot_connect_now
		return ErrUnavailable
	}
	switch {
	case strings.HasPrefix(pg.Code, "22"), strings.HasPrefix(pg.Code, "23"): // data exception, integrity constraint violation
		return ErrInvalid
	case strings.HasPrefix(pg.Code, "08"), strings.HasPrefix(pg.Code, "53"): // connection exception, insufficient resources
		return ErrUnavailable
	}
	return nil
}

// lostRace tells whether the whole transaction is worth another attempt.
func lostRace(err error) bool {
	var pg *pgconn.PgError
	return errors.As(err, &pg) && (pg.Code == "40001" || pg.Code == "40P01")
}
