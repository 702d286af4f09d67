package rest

import (
	"context"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"kitspan/internal/httpchain"
)

const (
	jsonType = "application/json"
	csvType  = "text/csv"
)

// offers are the media types of what a route answers with where that is not JSON alone, the one preferred first.
var offers = map[string][]string{
	itemsPath:    {jsonType, csvType},
	itemsCSVPath: {csvType},
	shotFilePath: {csvType},
	"/metrics":   {"text/plain"},
}

const (
	itemsPath    = "/v1/houses/:house/items"
	itemsCSVPath = "/v1/houses/:house/items.csv"
)

// offered returns the media types of what a route answers with, nil where it answers without a body or takes no account of Accept: probes
// are answered whatever they send.
func offered(method, path string) []string {
	switch {
	case path == "/healthz" || path == "/readyz" || method == http.MethodDelete:
		return nil
	case method == http.MethodPost || method == http.MethodPut || offers[path] == nil:
		return []string{jsonType}
	}
	return offers[path]
}

type mediaKey struct{}

// negotiate refuses what the client could not take before anything is done, and tells the handler which media type it is to answer with.
// Errors are problem documents whatever is asked for.
func (s *Server) negotiate(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		there := s.offered[r.Method+" "+c.Path()]
		if there == nil {
			return next(c)
		}
		c.Response().Header().Add(echo.HeaderVary, echo.HeaderAccept)
		says := strings.Join(there, " or ")
		if c.Path() == itemsPath && len(there) > 1 && c.QueryParam("kind") == "" {
			// A file of CSV has the columns of one kind.
			there, says = there[:1], jsonType+", or "+csvType+" with the parameter kind"
		}
		media := httpchain.Accepted(r.Header.Values(echo.HeaderAccept), there...)
		if media == "" {
			return refuse(ReasonNotAcceptable, "Accept takes nothing of what there is here: send %s, or */*.", says)
		}
		c.SetRequest(r.WithContext(context.WithValue(r.Context(), mediaKey{}, media)))
		return next(c)
	}
}

// mediaOf returns the media type that the client and the route have agreed on.
func mediaOf(ctx context.Context) string {
	media, _ := ctx.Value(mediaKey{}).(string)
	return media
}
