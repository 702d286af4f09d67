package postgres

import (
	"errors"
	"fmt"
	"io"

	"github.com/golang-migrate/migrate/v4/database"
	"github.com/jackc/pgx/v5/pgconn"
)

// atomicSteps makes what the migration library knows of a failed step agree with what the database knows. The library marks the
// schema as uncertain before a step and takes the mark off after it; PostgreSQL runs a step's statements as one transaction. So where
// the server itself reports that a step failed, nothing of the step is there, and the mark goes back to the step before. It stays
// where the connection was lost with the outcome unknown.
type atomicSteps struct {
	database.Driver
	stopped func() error // non-nil once no further step may begin
	before  int          // the version before the step that is being taken
	target  int
}

// setVersionAttempts: a request to cancel a step may arrive after the step, and cancel the mark's change instead.
const setVersionAttempts = 3

// SetVersion implements [database.Driver]. The library calls it with dirty set just before it calls Run.
func (s *atomicSteps) SetVersion(version int, dirty bool) (err error) {
	if dirty {
		if err := s.stopped(); err != nil {
			return err
		}
		if s.before, _, err = s.Version(); err != nil {
			return driverCause(err)
		}
		s.target = version
	}
	return s.mark(version, dirty)
}

func (s *atomicSteps) mark(version int, dirty bool) (err error) {
	for range setVersionAttempts {
		err = driverCause(s.Driver.SetVersion(version, dirty))
		if sqlState(err) != queryCanceled {
			break
		}
	}
	return err
}

// Run implements [database.Driver].
func (s *atomicSteps) Run(step io.Reader) error {
	err := s.stopped()
	line := uint(0)
	if err == nil {
		err = s.Driver.Run(step)
		var failed database.Error
		if errors.As(err, &failed) {
			line = failed.Line
		}
		err = driverCause(err)
		if err == nil {
			return nil
		}
		if sqlState(err) == "" {
			return fmt.Errorf("step from version %d to %d broke off: %w", max(s.before, 0), max(s.target, 0), err)
		}
	}
	err = fmt.Errorf("step from version %d to %d failed in line %d and was rolled back: %w", max(s.before, 0), max(s.target, 0), line, err)
	return errors.Join(err, s.mark(s.before, false))
}

// driverCause is the driver's own error: the migration library's says it together with the whole of the step's text, and does not
// unwrap to it.
func driverCause(err error) error {
	var byValue database.Error
	var byPointer *database.Error
	switch {
	case errors.As(err, &byPointer) && byPointer.OrigErr != nil:
		return byPointer.OrigErr
	case errors.As(err, &byValue) && byValue.OrigErr != nil:
		return byValue.OrigErr
	}
	return err
}

// queryCanceled is SQLSTATE query_canceled: at the client's request or by a time limit (PostgreSQL manual, appendix A).
const queryCanceled = "57014"

// sqlState is the SQLSTATE that the server reported, or empty where the server reported nothing.
func sqlState(err error) string {
	var pg *pgconn.PgError
	if errors.As(err, &pg) {
		return pg.Code
	}
	return ""
}
