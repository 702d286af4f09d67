package rest

import (
	"context"
	"errors"
	"fmt"

	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// JobStorage keeps jobs. Implementations are safe for concurrent use; they answer with the refusals of package job, wrapped or bare; any other
// error is a fault of the storage. A job that is not there is a [job.ErrNoJob].
type JobStorage interface {
	// Jobs lists at most limit jobs behind a place in the list, newest first.
	Jobs(ctx context.Context, limit int, after job.Mark) ([]job.Listed, error)
	// Job reads one job.
	Job(ctx context.Context, id string) (job.Stored, error)
	// CreateJob keeps a draft as a new job, or is a [*job.UnsoundError]. key is the client's idempotency key, empty for none, and digest a hash of
	// what it asked for: the same key with the same digest answers the job that it made and changes nothing, with another digest job.ErrKeyReused.
	CreateJob(ctx context.Context, draft job.Draft, key string, digest []byte) (job.Stored, error)
	// ChangeJob keeps what an edit makes of a job, all or nothing, while nobody else changes it, or is a [*job.UnsoundError]. An error of the edit
	// comes back, wrapped or bare.
	ChangeJob(ctx context.Context, id string, edit job.Edit) (job.Stored, error)
	// DeleteJob removes a job that is in an expected state, else job.ErrStale.
	DeleteJob(ctx context.Context, id string, expect job.Expect) error
}

// placing gives faults of a job the pointers of a body.
type placing func([]fault.Fault) []fault.Fault

// changeJob has an edit kept, or refuses it with all that is wrong: found by money in the body, by the decoder and by the job's own rules.
func (s *Server) changeJob(ctx context.Context, id string, edit job.Edit, found []Fault, place placing) (job.Stored, error) {
	excess := excessOf(ctx)
	if len(found) == 0 && len(excess) == 0 {
		stored, err := s.jobs.ChangeJob(ctx, id, edit)
		return stored, jobRefusal(err, id, place)
	}
	kept, err := s.jobs.Job(ctx, id)
	if err != nil {
		return job.Stored{}, jobRefusal(err, id, place)
	}
	_, faults, err := kept.Look(edit)
	if unsound := (*job.UnsoundError)(nil); errors.As(err, &unsound) {
		faults, err = unsound.Faults, nil
	}
	if err != nil {
		return job.Stored{}, jobRefusal(err, id, place)
	}
	return job.Stored{}, invalid(append(append(found, faultsOf(place(faults))...), excess...))
}

// jobRefusal tells the client what the storage of jobs refused; nil for nil.
func jobRefusal(err error, id string, place placing) error {
	r := &Refusal{cause: err}
	var unsound *job.UnsoundError
	switch {
	case errors.As(err, &unsound):
		return invalid(faultsOf(place(unsound.Faults)))
	case errors.Is(err, job.ErrNoJob):
		r.Reason, r.Detail = ReasonNotFound, fmt.Sprintf("There is no job %q: see /v1/jobs.", cut(id))
	case errors.Is(err, job.ErrNoShot):
		r.Reason, r.Detail = ReasonNotFound, fmt.Sprintf("Job %s has no shot of that number: see /v1/jobs/%s/shots.", id, id)
	case errors.Is(err, job.ErrStale):
		r.Reason, r.Detail = ReasonPreconditionFailed, "It has changed since: read it again and send its ETag."
	case errors.Is(err, job.ErrKeyReused):
		r.Reason, r.Detail = ReasonConflict, "This Idempotency-Key was used with another body: take a new key for a new job."
		r.Faults = []Fault{faultOf("Idempotency-Key", fault.Other{Says: "was used with another body"})}
	case errors.Is(err, job.ErrUnavailable):
		r.Reason, r.Detail = ReasonUnavailable, "The jobs cannot be reached now: try again in a moment."
	default:
		return err
	}
	return r
}
