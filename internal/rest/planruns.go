package rest

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"log/slog"
	"net/http"
	"time"

	"kitspan/internal/office"
	"kitspan/internal/phrase"
	"kitspan/internal/planrun"
	"kitspan/internal/text"
)

// PlanRuns keeps plans that are worked out in the background. Implementations are safe for concurrent use; they answer with the refusals of
// package planrun, wrapped or bare; any other error is a fault of the storage.
type PlanRuns interface {
	// Enqueue keeps a request, to be planned in its turn, or answers planrun.ErrFull.
	Enqueue(ctx context.Context, req planrun.Request) (planrun.Run, error)
	// Find reads a run; planrun.ErrNoRun where there is none, or none any more.
	Find(ctx context.Context, id string) (planrun.Run, error)
	// Cancel ends a run that has not ended; planrun.ErrNoRun as in Find.
	Cancel(ctx context.Context, id string) error
}

const (
	plansPath   = "/v1/plans"
	planRunPath = "/v1/plans/:plan"
	// askAgain is after how many seconds it is worth asking how far a run is.
	askAgain = "1"
)

// tooMuchAtOnce refuses to plan a job while the client waits.
func tooMuchAtOnce(shots, sizings int) error {
	return refuse(ReasonTooMuchAtOnce, "The job is sound, but with %d shots and %d sizings (a movable shot is sized at each of its starts) more than is planned "+
		"while you wait, which is %d shots and %d sizings. Send it to POST %s with the header Prefer: %s.",
		shots, sizings, office.ForegroundShots, office.ForegroundSizings, plansPath, respondAsync)
}

// queuePlan has a sound job planned in the background.
func (s *Server) queuePlan(ctx context.Context, body []byte, planning *office.Planning) (CreatePlanResponseObject, error) {
	run, err := s.runs.Enqueue(ctx, planrun.Request{
		House: planning.Stock.House.Slug, Language: readerIn(ctx).Language().Tag(), Body: body, Shots: len(planning.Job.Shots),
	})
	if err != nil {
		return nil, runRefusal(err)
	}
	answer, err := runJSON(run)
	if err != nil {
		return nil, err
	}
	return shownRun{http.StatusAccepted, plansPath + "/" + run.ID, true, answer}, nil
}

// GetPlanRun shows how far a plan is.
func (s *Server) GetPlanRun(ctx context.Context, req GetPlanRunRequestObject) (GetPlanRunResponseObject, error) {
	if s.runs == nil {
		return nil, runRefusal(planrun.ErrNoRun)
	}
	run, err := s.runs.Find(ctx, req.Plan)
	if err != nil {
		return nil, runRefusal(err)
	}
	answer, err := runJSON(run)
	if err != nil {
		return nil, err
	}
	return shownRun{http.StatusOK, "", run.State.Open(), answer}, nil
}

// CancelPlanRun ends a plan that is not done.
func (s *Server) CancelPlanRun(ctx context.Context, req CancelPlanRunRequestObject) (CancelPlanRunResponseObject, error) {
	if s.runs == nil {
		return nil, runRefusal(planrun.ErrNoRun)
	}
	if err := s.runs.Cancel(ctx, req.Plan); err != nil {
		return nil, runRefusal(err)
	}
	return CancelPlanRun204Response{}, nil
}

// runRefusal tells the client what the storage of runs refused.
func runRefusal(err error) error {
	r := &Refusal{cause: err}
	switch {
	case errors.Is(err, planrun.ErrFull):
		r.Reason, r.Detail = ReasonBusy, "The job is sound, and was not taken: as many plans wait in the background as may. Send it again after the time in Retry-After."
	case errors.Is(err, planrun.ErrNoRun):
		r.Reason, r.Detail = ReasonNotFound, "There is no plan of this id: what comes of a plan is kept for a day."
	case errors.Is(err, planrun.ErrUnavailable):
		r.Reason, r.Detail = ReasonUnavailable, "Plans in the background cannot be reached now: try again in a moment."
	default:
		return err
	}
	return r
}

// shownRun is the answer to a request about a run.
type shownRun struct {
	status   int
	location string // of one that was made
	open     bool
	body     []byte
}

func (r shownRun) write(w http.ResponseWriter) error {
	if r.location != "" {
		w.Header().Set("Preference-Applied", respondAsync)
	}
	if r.open {
		w.Header().Set("Retry-After", askAgain)
	}
	w.Header().Set("Cache-Control", "no-store") // it is another in a second
	return rendered{status: r.status, location: r.location, body: r.body}.write(w)
}

func (r shownRun) VisitCreatePlanResponse(w http.ResponseWriter) error { return r.write(w) }
func (r shownRun) VisitGetPlanRunResponse(w http.ResponseWriter) error { return r.write(w) }

// runJSON is a run as the contract has it. The plan is not read again: it stands there byte for byte.
func runJSON(r planrun.Run) ([]byte, error) {
	return line(struct {
		ID        string          `json:"id"`
		State     planrun.State   `json:"state"`
		ShotsDone int             `json:"shots_done"`
		ShotsAll  int             `json:"shots_all"`
		Created   time.Time       `json:"created_at"`
		Started   *time.Time      `json:"started_at"`
		Ended     *time.Time      `json:"ended_at"`
		Expires   time.Time       `json:"expires_at"`
		Plan      json.RawMessage `json:"plan"`
		Problem   json.RawMessage `json:"problem"`
	}{
		r.ID, r.State, r.ShotsDone, r.ShotsAll, r.Created.UTC(), utc(r.Started), utc(r.Ended), r.Expires.UTC(),
		bytes.TrimSpace(r.Answer), bytes.TrimSpace(r.Problem),
	})
}

func utc(t *time.Time) *time.Time {
	if t == nil {
		return nil
	}
	u := t.UTC()
	return &u
}

// RunPlan implements [planrun.Planner]: it plans a request that was queued, and answers what the same request is answered in the foreground.
func (s *Server) RunPlan(ctx context.Context, req planrun.Request, progress func(shots int)) (planrun.Outcome, error) {
	answer, err := s.desk.planBehind(ctx, req, progress)
	if err == nil && len(answer) > planrun.MaxAnswer {
		err = refuse(ReasonTooLarge, "The plan is larger than the %d bytes that are kept of one: ask for it without pool, or for fewer shots at once.", planrun.MaxAnswer)
	}
	switch r := asRefusal(err); {
	case err == nil:
		return planrun.Outcome{Answer: answer}, nil
	case ctx.Err() != nil:
		return planrun.Outcome{}, ctx.Err()
	case r != nil && r.Reason == ReasonUnavailable: // the catalogue cannot be read: this passes
		return planrun.Outcome{}, err
	}
	if failed(err) {
		s.log.Error("planning in the background failed", slog.Any("error", err))
	}
	return s.problemRun(req, err), nil
}

// GiveUpPlan is the problem of a request at which the program goes down.
func (s *Server) GiveUpPlan(req planrun.Request) []byte {
	return s.problemRun(req, errors.New("the program went down at it")).Problem
}

func (s *Server) problemRun(req planrun.Request, err error) planrun.Outcome {
	body, wrong := json.Marshal(problemOf(readerOf(req), err))
	if wrong != nil { // a struct of strings and numbers always encodes
		body = []byte("{}")
	}
	return planrun.Outcome{Problem: body}
}

// readerOf is whom the answer to a queued request is for.
func readerOf(req planrun.Request) text.Reader { return text.Metres.In(phrase.Named(req.Language)) }

func (d Desk) planBehind(ctx context.Context, queued planrun.Request, progress func(shots int)) ([]byte, error) {
	var req PlanRequest
	excess, err := DecodeJSON(queued.Body, &req)
	if err != nil {
		return nil, err
	}
	planning, err := d.takePlan(ctx, &req, excess)
	if err != nil {
		return nil, officeRefusal(err, queued.House)
	}
	plan, err := d.PlanJobBehind(ctx, planning, progress)
	if err != nil {
		return nil, officeRefusal(err, queued.House)
	}
	return planJSON(readerOf(queued), plan, deref(req.Pool))
}
