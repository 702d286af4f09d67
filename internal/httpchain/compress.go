package httpchain

import (
	"fmt"
	"mime"
	"net/http"
	"strconv"
	"strings"

	"github.com/klauspost/compress/gzhttp"
	"github.com/labstack/echo/v4"
)

// leastGzip is how long an answer is that is worth compressing: about what one packet holds.
const leastGzip = 1400

// compressing codes answers with gzip for readers that take it. No answer holds a secret, of which its length could tell.
//
// The middleware of echo takes a compressor of 0.8 MB for each request as it comes in, and reads Accept-Encoding as one word.
func compressing() (echo.MiddlewareFunc, error) {
	shared := func(least int) (echo.MiddlewareFunc, error) {
		wrap, err := gzhttp.NewWrapper(gzhttp.MinSize(least), gzhttp.EnableZstd(false), gzhttp.AcceptWildcards(true))
		if err != nil {
			return nil, fmt.Errorf("httpchain: compression: %w", err)
		}
		return around(wrap), nil
	}
	worthwhile, err := shared(leastGzip)
	if err != nil {
		return nil, err
	}
	every, err := shared(0)
	if err != nil {
		return nil, err
	}
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		worthwhile, every := worthwhile(next), every(next)
		return func(c echo.Context) error {
			if plainRefused(c.Request().Header.Values(echo.HeaderAcceptEncoding)) {
				return every(c)
			}
			return worthwhile(c)
		}
	}, nil
}

// around is [echo.WrapMiddleware] for middleware that takes its writer back: what comes after has the writer that was before.
func around(wrap func(http.Handler) http.HandlerFunc) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) (err error) {
			before := c.Response()
			defer c.SetResponse(before)
			wrap(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				c.SetRequest(r)
				c.SetResponse(echo.NewResponse(w, c.Echo()))
				err = next(c)
			})).ServeHTTP(before, c.Request())
			return err
		}
	}
}

// plainRefused reports whether Accept-Encoding takes no answer that is not coded (RFC 9110, 12.5.3).
func plainRefused(accepted []string) bool {
	weights := map[string]bool{}
	for _, each := range strings.Split(strings.Join(accepted, ","), ",") {
		coding, params, err := mime.ParseMediaType(each)
		if err != nil {
			continue // what cannot be parsed refuses nothing
		}
		q, err := strconv.ParseFloat(params["q"], 64)
		weights[coding] = params["q"] == "" || err == nil && q > 0
	}
	if weight, named := weights["identity"]; named {
		return !weight
	}
	others, named := weights["*"]
	return named && !others
}

// Uncoded has an answer go out as it is. A strong ETag names the very bytes: it must not stand on two codings of them (RFC 9110,
// 8.8.3.3).
func Uncoded(h http.Header) { h.Set(gzhttp.HeaderNoCompression, "true") }
