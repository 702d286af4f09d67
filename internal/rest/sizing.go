package rest

import (
	"context"
	"net/http"

	"kitspan/internal/sizing"
	"kitspan/internal/text"
)

// CreateSizing sizes one shot and stores nothing.
func (s *Server) CreateSizing(ctx context.Context, req CreateSizingRequestObject) (CreateSizingResponseObject, error) {
	result, err := s.desk.size(ctx, req.Body, excessOf(ctx))
	if err != nil {
		return nil, officeRefusal(err, deref(req.Body.House))
	}
	body, err := sizingJSON(readerIn(ctx), result)
	if err != nil {
		return nil, err
	}
	return rendered{status: http.StatusOK, body: body}, nil
}

// SizingJSON returns the response's body for a result, the same on the command line and over HTTP.
func SizingJSON(r sizing.Result) ([]byte, error) { return sizingJSON(text.Metres, r) }

func sizingJSON(to text.Reader, r sizing.Result) ([]byte, error) {
	answer, err := answerOf(to, r)
	if err != nil {
		return nil, err
	}
	return line(answer)
}

// CreateSweep works out what a day takes and stores nothing.
func (s *Server) CreateSweep(ctx context.Context, req CreateSweepRequestObject) (CreateSweepResponseObject, error) {
	result, err := s.desk.sweep(ctx, req.Body, excessOf(ctx))
	if err != nil {
		return nil, officeRefusal(err, deref(req.Body.House))
	}
	body, err := sweepJSON(readerIn(ctx), result)
	if err != nil {
		return nil, err
	}
	return rendered{status: http.StatusOK, body: body}, nil
}

// CreateReach works out how far frames go and stores nothing.
func (s *Server) CreateReach(ctx context.Context, req CreateReachRequestObject) (CreateReachResponseObject, error) {
	result, err := s.desk.reach(ctx, req.Body, excessOf(ctx))
	if err != nil {
		return nil, officeRefusal(err, deref(req.Body.House))
	}
	body, err := reachJSON(readerIn(ctx), result)
	if err != nil {
		return nil, err
	}
	return rendered{status: http.StatusOK, body: body}, nil
}
