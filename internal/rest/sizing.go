package rest

import (
	"context"
	"net/http"

	"kitspan/internal/sizing"
)

// CreateSizing sizes one shot and stores nothing.
func (s *Server) CreateSizing(ctx context.Context, req CreateSizingRequestObject) (CreateSizingResponseObject, error) {
	result, err := s.desk.size(ctx, req.Body, excessOf(ctx))
	if err != nil {
		return nil, officeRefusal(err, deref(req.Body.House))
	}
	body, err := SizingJSON(result)
	if err != nil {
		return nil, err
	}
	return rendered{status: http.StatusOK, body: body}, nil
}

// SizingJSON returns the response's body for a result, the same on the command line and over HTTP.
func SizingJSON(r sizing.Result) ([]byte, error) {
	answer, err := AnswerOf(r)
	if err != nil {
		return nil, err
	}
	return line(answer)
}
