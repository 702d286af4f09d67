package rest

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"go.yaml.in/yaml/v3"

	"kitspan/api"
)

// GetMetrics shows the metrics to whoever has the staff token.
func (s *Server) GetMetrics(context.Context, GetMetricsRequestObject) (GetMetricsResponseObject, error) {
	text, err := s.metrics()
	return GetMetrics200TextResponse(text), err
}

// GetHealth answers that the process is up.
func (s *Server) GetHealth(context.Context, GetHealthRequestObject) (GetHealthResponseObject, error) {
	return GetHealth200JSONResponse{StatusJSONResponse{Status: "ok"}}, nil
}

// GetReadiness answers whether the database answers.
func (s *Server) GetReadiness(ctx context.Context, _ GetReadinessRequestObject) (GetReadinessResponseObject, error) {
	const patience = 2 * time.Second // less than the second-long steps in which probes are tried; common practice
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	if err := s.storage.Ping(ctx); err != nil {
		return nil, &Refusal{Reason: ReasonUnavailable, Detail: "The database does not answer.", cause: err}
	}
	return GetReadiness200JSONResponse{StatusJSONResponse{Status: "ok"}}, nil
}

// specJSON is the contract as JSON, made once when it is first asked for.
var specJSON = sync.OnceValues(func() ([]byte, error) {
	var document any
	if err := yaml.Unmarshal(api.YAML, &document); err != nil {
		return nil, fmt.Errorf("read openapi.yaml: %w", err)
	}
	return json.Marshal(document)
})

// GetOpenAPI shows the contract.
func (s *Server) GetOpenAPI(context.Context, GetOpenAPIRequestObject) (GetOpenAPIResponseObject, error) {
	document, err := specJSON()
	if err != nil {
		return nil, err
	}
	return rendered{status: 200, body: document}, nil
}
