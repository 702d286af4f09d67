package rest

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strconv"
	"sync"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/common/expfmt"
	"go.yaml.in/yaml/v3"

	"kitspan/api"
	"kitspan/internal/office"
)

// metrics are the server's counters, in a registry of their own.
type metrics struct {
	registry *prometheus.Registry
	requests *prometheus.HistogramVec
}

func newMetrics(capacity *office.Capacity) *metrics {
	m := &metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name:    "kitspan_http_request_seconds",
			Help:    "How long requests took, by route, method and status.",
			Buckets: []float64{0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10},
		}, []string{"route", "method", "status"}),
	}
	m.registry.MustRegister(m.requests, collectors.NewGoCollector(),
		collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	if capacity != nil {
		m.registry.MustRegister(
			prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "kitspan_solving_places", Help: "Places for solving that are taken."},
				func() float64 { return float64(capacity.Taken()) }),
			prometheus.NewGaugeFunc(prometheus.GaugeOpts{Name: "kitspan_solving_waiting", Help: "Requests that wait for a place."},
				func() float64 { return float64(capacity.Waiting()) }))
	}
	return m
}

func (m *metrics) request(route, method string, status int, took time.Duration) {
	switch method { // a client chooses the method: unknown ones share a label
	case "GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS":
	default:
		method = "other"
	}
	m.requests.WithLabelValues(route, method, strconv.Itoa(status)).Observe(took.Seconds())
}

// text writes the registry in the text format.
func (m *metrics) text() (string, error) {
	families, err := m.registry.Gather()
	if err != nil {
		return "", fmt.Errorf("gather metrics: %w", err)
	}
	var buf bytes.Buffer
	encode := expfmt.NewEncoder(&buf, expfmt.NewFormat(expfmt.TypeTextPlain))
	for _, f := range families {
		if err := encode.Encode(f); err != nil {
			return "", fmt.Errorf("write metrics: %w", err)
		}
	}
	return buf.String(), nil
}

// GetMetrics shows the metrics to whoever has the staff token.
func (s *Server) GetMetrics(context.Context, GetMetricsRequestObject) (GetMetricsResponseObject, error) {
	text, err := s.metrics.text()
	return GetMetrics200TextResponse(text), err
}

// Metrics answers /metrics for everybody: it is for an address that only those can reach who collect them.
func (s *Server) Metrics() http.Handler {
	mux := http.NewServeMux()
	mux.HandleFunc("GET /metrics", func(w http.ResponseWriter, r *http.Request) {
		text, err := s.metrics.text()
		if err != nil {
			s.log.ErrorContext(r.Context(), "metrics failed", slog.Any("error", err))
			http.Error(w, "the metrics cannot be gathered: see the log", http.StatusInternalServerError)
			return
		}
		w.Header().Set("Content-Type", string(expfmt.NewFormat(expfmt.TypeTextPlain)))
		_, _ = io.WriteString(w, text) // whoever has left reads none
	})
	return mux
}

// GetHealth says that the process is up.
func (s *Server) GetHealth(context.Context, GetHealthRequestObject) (GetHealthResponseObject, error) {
	return GetHealth200JSONResponse{StatusJSONResponse{Status: "ok"}}, nil
}

// GetReadiness says that the database answers.
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
