package rest

import (
	"context"
	"encoding/json"
	"fmt"
	"sync"
	"time"

	"go.yaml.in/yaml/v3"

	"kitspan/api"
	"kitspan/internal/catalog"
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
func (s *Server) GetOpenAPI(_ context.Context, req GetOpenAPIRequestObject) (GetOpenAPIResponseObject, error) {
	document, err := specJSON()
	if err != nil {
		return nil, err
	}
	return taggedJSON(document, req.Params.IfNoneMatch), nil
}

// ListHouses serves a page of houses; there are few, so that all are read.
func (s *Server) ListHouses(ctx context.Context, req ListHousesRequestObject) (ListHousesResponseObject, error) {
	limit, after, faults := pageOf(req.Params.Limit, req.Params.Cursor)
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	houses, err := s.catalogues.Houses(ctx)
	if err != nil {
		return nil, storageRefusal(err, "", "")
	}
	out := HousePage{Items: []House{}}
	for _, h := range houses {
		if h.Slug <= after {
			continue
		}
		if len(out.Items) == limit {
			next := cursorAfter(out.Items[limit-1].House)
			out.NextCursor = &next
			break
		}
		out.Items = append(out.Items, houseOf(h))
	}
	return jsonAnswer(out, req.Params.IfNoneMatch)
}

// GetHouse reads one house.
func (s *Server) GetHouse(ctx context.Context, req GetHouseRequestObject) (GetHouseResponseObject, error) {
	house, err := s.house(ctx, req.House)
	if err != nil {
		return nil, err
	}
	return jsonAnswer(houseOf(house), req.Params.IfNoneMatch)
}

func jsonAnswer(v any, ifNoneMatch *string) (rendered, error) {
	body, err := json.Marshal(v)
	return taggedJSON(append(body, '\n'), ifNoneMatch), err
}

func houseOf(h catalog.House) House {
	return House{House: h.Slug, Name: h.Name, Currency: h.Currency, TimeZone: h.TimeZone}
}
