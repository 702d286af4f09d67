package rest

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/url"

	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// shotPage is a page of shots as they were said.
type shotPage struct {
	Items      []job.DraftShot `json:"items"`
	NextCursor *string         `json:"next_cursor"`
}

// shotList is shots as they were said.
type shotList struct {
	Shots []job.DraftShot `json:"shots"`
}

// ListShots serves a page of the shots of a job.
func (s *Server) ListShots(ctx context.Context, req ListShotsRequestObject) (ListShotsResponseObject, error) {
	limit, after, faults := pageOf(req.Params.Limit, req.Params.Cursor)
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	kept, err := s.jobs.Job(ctx, req.Job)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	rest := kept.Draft.Shots
	if after != "" {
		at, err := kept.ShotAt(after)
		if err != nil {
			return nil, malformed([]Fault{faultOf("cursor", fault.Other{Says: "is behind a shot that is gone: start without"})})
		}
		rest = rest[at+1:]
	}
	page := shotPage{Items: append([]job.DraftShot{}, rest[:min(limit, len(rest))]...)}
	if len(rest) > limit {
		next := cursorAfter(*rest[limit-1].Number)
		page.NextCursor = &next
	}
	return jsonAnswer(page, req.Params.IfNoneMatch)
}

// AddShots adds shots to a job, all or none.
func (s *Server) AddShots(ctx context.Context, req AddShotsRequestObject) (AddShotsResponseObject, error) {
	var shots []job.DraftShot
	var faults []Fault
	at := func(i int) string { return fmt.Sprintf("/shots/%d", i) }
	for i := range deref(req.Body.Shots) {
		shot, wrong := jobShotOf(&(*req.Body.Shots)[i], at(i))
		shots, faults = append(shots, shot), append(faults, wrong...)
	}
	if len(shots) == 0 {
		faults = append(faults, faultAt("/shots", fault.Missing{Want: fault.WantArray}))
	}
	before := deref(req.Body.Before)
	var from int
	edit := func(kept *job.Stored) (err error) {
		if from = len(kept.Draft.Shots); before != "" {
			if from, err = kept.ShotAt(before); err != nil {
				return &job.UnsoundError{Faults: []fault.Fault{{Pointer: "/before", Kind: fault.NoSuchShot{Got: cut(before)}}}}
			}
		}
		return job.InsertShots(before, shots)(kept)
	}
	stored, err := s.changeJob(ctx, req.Job, edit, faults, func(list []fault.Fault) []fault.Fault {
		if len(list) > 0 && list[0].Pointer == "/before" {
			return list
		}
		return job.OfShots(list, from, len(shots), at, "/shots")
	})
	if err != nil {
		return nil, err
	}
	answer, err := versioned(http.StatusCreated, stored.Version, shotList{shots})
	answer.location = "/v1/jobs/" + req.Job + "/shots"
	if len(shots) == 1 {
		answer.location += "/" + url.PathEscape(*shots[0].Number)
	}
	return answer, err
}

// GetShot reads one shot as it was said.
func (s *Server) GetShot(ctx context.Context, req GetShotRequestObject) (GetShotResponseObject, error) {
	kept, err := s.jobs.Job(ctx, req.Job)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	at, err := kept.ShotAt(req.Shot)
	if err != nil {
		return nil, jobRefusal(err, req.Job, job.Bare)
	}
	return unlessMatched(kept.ShotVersions[at], req.Params.IfNoneMatch, kept.Draft.Shots[at])
}

// ReplaceShot changes a shot that is still in the state that the client knows.
func (s *Server) ReplaceShot(ctx context.Context, req ReplaceShotRequestObject) (ReplaceShotResponseObject, error) {
	expect, err := expectOf(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	shot, faults := jobShotOf(req.Body, "")
	var from int
	edit := func(kept *job.Stored) (err error) {
		if from, err = kept.ShotAt(req.Shot); err != nil {
			return err
		}
		return job.ReplaceShot(req.Shot, expect, shot)(kept)
	}
	stored, err := s.changeJob(ctx, req.Job, edit, faults, func(list []fault.Fault) []fault.Fault {
		return job.OfShots(list, from, 1, func(int) string { return "" }, "")
	})
	if err != nil {
		return nil, err
	}
	return versioned(http.StatusOK, stored.ShotVersions[from], shot)
}

// DeleteShot takes a shot out that is still in the state that the client knows.
func (s *Server) DeleteShot(ctx context.Context, req DeleteShotRequestObject) (DeleteShotResponseObject, error) {
	expect, err := expectOf(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if _, err := s.changeJob(ctx, req.Job, job.DeleteShot(req.Shot, expect), nil, job.Bare); err != nil {
		return nil, err
	}
	return DeleteShot204Response{}, nil
}

// OrderShots puts the shots of a job into another order.
func (s *Server) OrderShots(ctx context.Context, req OrderShotsRequestObject) (OrderShotsResponseObject, error) {
	expect, err := expectOf(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if req.Body.Numbers == nil {
		return nil, invalid([]Fault{faultAt("/numbers", fault.Missing{Want: fault.WantArray})})
	}
	numbers := *req.Body.Numbers
	edit := func(kept *job.Stored) error {
		err := job.OrderShots(expect, numbers)(kept)
		var unsound *job.UnsoundError
		if errors.As(err, &unsound) {
			for i := range unsound.Faults {
				f := &unsound.Faults[i]
				f.Pointer = "/numbers" + f.Pointer
				if r, repeated := f.Kind.(fault.Repeated); repeated {
					r.First = "/numbers" + r.First
					f.Kind = r
				}
			}
		}
		return err
	}
	stored, err := s.changeJob(ctx, req.Job, edit, nil, func(list []fault.Fault) []fault.Fault { return list })
	if err != nil {
		return nil, err
	}
	return versioned(http.StatusOK, stored.Version, ShotOrder{Numbers: &numbers})
}
