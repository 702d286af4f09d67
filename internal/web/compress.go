package web

import (
	"mime"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
)

// leastGzip is how long an answer is that is worth compressing: about what one packet holds.
const leastGzip = 1400

// compress codes answers with gzip for readers that take it. No page holds a secret, of which its length could tell.
func compress(next echo.HandlerFunc) echo.HandlerFunc {
	worthwhile := middleware.GzipWithConfig(middleware.GzipConfig{MinLength: leastGzip})(next)
	always := middleware.GzipWithConfig(middleware.GzipConfig{})(next)
	return func(c echo.Context) error {
		gzip, plain := codings(c.Request().Header.Values(echo.HeaderAcceptEncoding))
		if !gzip {
			c.Response().Header().Add(echo.HeaderVary, echo.HeaderAcceptEncoding)
			return next(c)
		}
		// The middleware looks for the word alone, wherever it stands.
		c.Request().Header.Set(echo.HeaderAcceptEncoding, "gzip")
		if !plain {
			return always(c)
		}
		return worthwhile(c)
	}
}

// codings reads Accept-Encoding (RFC 9110, 12.5.3): whether an answer may be coded with gzip, and whether it may be plain.
// A coding that is not named has the weight of "*"; without that gzip is not taken and plain is.
func codings(accepted []string) (gzip, plain bool) {
	weights := map[string]bool{}
	for _, each := range strings.Split(strings.Join(accepted, ","), ",") {
		coding, params, err := mime.ParseMediaType(each)
		if err != nil {
			continue // nothing that can be understood is nothing that is taken
		}
		q, err := strconv.ParseFloat(params["q"], 64)
		weights[coding] = params["q"] == "" || err == nil && q > 0
	}
	others, said := weights["*"]
	gzip, plain = others, others || !said
	if weight, named := weights["gzip"]; named {
		gzip = weight
	}
	if weight, named := weights["identity"]; named {
		plain = weight
	}
	return gzip, plain
}
