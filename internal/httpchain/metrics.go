package httpchain

import (
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"strconv"
	"time"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/common/expfmt"
)

// Metrics are the program's counters, in a registry of their own.
type Metrics struct {
	registry *prometheus.Registry
	requests *prometheus.HistogramVec
}

// NewMetrics makes those of requests and of the process, and registers more.
func NewMetrics(more ...prometheus.Collector) (*Metrics, error) {
	m := &Metrics{
		registry: prometheus.NewRegistry(),
		requests: prometheus.NewHistogramVec(prometheus.HistogramOpts{
			Name:    "kitspan_http_request_seconds",
			Help:    "How long requests took, by route, method and status.",
			Buckets: []float64{0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10},
		}, []string{"route", "method", "status"}),
	}
	own := []prometheus.Collector{m.requests, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{})}
	for _, c := range append(own, more...) {
		if err := m.registry.Register(c); err != nil {
			return nil, fmt.Errorf("httpchain: register metrics: %w", err)
		}
	}
	return m, nil
}

func (m *Metrics) request(route, method string, status int, took time.Duration) {
	switch method { // a client chooses the method: unknown ones share a label
	case "GET", "HEAD", "POST", "PUT", "PATCH", "DELETE", "OPTIONS":
	default:
		method = "other"
	}
	m.requests.WithLabelValues(route, method, strconv.Itoa(status)).Observe(took.Seconds())
}

// Text writes the metrics in the text format.
func (m *Metrics) Text() (string, error) {
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

// Handler answers with the metrics to everybody: it is for an address that only those can reach who collect them.
func (m *Metrics) Handler(log *slog.Logger) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		text, err := m.Text()
		if err != nil {
			log.ErrorContext(r.Context(), "metrics failed", slog.Any("error", err))
			http.Error(w, "the metrics cannot be gathered: see the log", http.StatusInternalServerError)
			return
		}
		w.Header().Set("Content-Type", string(expfmt.NewFormat(expfmt.TypeTextPlain)))
		_, _ = io.WriteString(w, text) // whoever has left reads none
	})
}
