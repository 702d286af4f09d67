package rest

import (
	"context"
	"errors"
)

// CreatePlan plans one job and stores nothing.
func (s *Server) CreatePlan(_ context.Context, req CreatePlanRequestObject) (CreatePlanResponseObject, error) {
	draft, faults := jobDraftOf(req.Body.Job)
	_, unsound := draft.Resolve()
	if faults = append(faults, faultsOf(unsound)...); len(faults) > 0 {
		return nil, invalid(faults)
	}
	return nil, errors.New("plans are not made yet")
}
