package rest

import (
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

const (
	// maxImport is the largest CSV file: 20,000 items are about 4 MB.
	maxImport = 64 << 20
	// How long one request may take; common practice, no source.
	requestTimeout = 30 * time.Second
	importTimeout  = 2 * time.Minute

	importPath = "/v1/houses/:house/items/import"
)

// checkFile refuses what is no catalogue file before it is read.
func checkFile(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if r := c.Request(); c.Path() == importPath && r.Method == http.MethodPost {
			if err := wantContentType(r, csvType); err != nil {
				return err
			}
			if r.ContentLength > maxImport {
				return &http.MaxBytesError{Limit: maxImport}
			}
		}
		return next(c)
	}
}
