package rest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"maps"
	"mime"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"github.com/labstack/echo/v4"
	"golang.org/x/sync/semaphore"

	"kitspan/internal/fault"
)

// binder reads every JSON body by [DecodeJSON]: the generated handlers bind through it. Bodies longer than any that is
// sound are read and decoded one at a time, so that a flood of them leaves processor and memory to others: the rest wait
// in the kernel.
type binder struct{ long *semaphore.Weighted }

// longBody is more than any sound body takes: an item with 500 rates has 45 kB.
const longBody = 64 << 10

func newBinder() binder { return binder{semaphore.NewWeighted(1)} }

type excessKey struct{}

// Bind implements [echo.Binder]. Numbers out of range are kept in the request's context for [excessOf].
func (b binder) Bind(into any, c echo.Context) error {
	r := c.Request()
	if err := wantContentType(r, echo.MIMEApplicationJSON); err != nil {
		return err
	}
	body, done, err := b.read(r)
	defer done()
	if err != nil {
		return err
	}
	excess, err := DecodeJSON(body, into)
	if err != nil {
		return err
	}
	ctx := r.Context()
	if excess != nil {
		ctx = context.WithValue(ctx, excessKey{}, excess)
	}
	if c.Path() == plansPath && prefersAsync(r.Header) {
		ctx = withLater(ctx, body)
	}
	c.SetRequest(r.WithContext(ctx))
	return nil
}

// read reads a body whole. Where it is long, it waits for its turn with the rest of it, which is over with done.
func (b binder) read(r *http.Request) (body []byte, done func(), err error) {
	done = func() {}
	told := int(min(max(r.ContentLength, 0), MaxBody)) // a buffer that grows by doubling costs three times the body
	var buffer bytes.Buffer
	buffer.Grow(min(told, longBody) + bytes.MinRead)
	switch _, err := io.CopyN(&buffer, r.Body, longBody+1); {
	case errors.Is(err, io.EOF):
		return buffer.Bytes(), done, nil
	case err != nil:
		return nil, done, fmt.Errorf("read body: %w", err)
	}
	if err := b.long.Acquire(r.Context(), 1); err != nil {
		return nil, done, &Refusal{Reason: ReasonBusy, Detail: "The body is long, and too many of that kind are being read. Send it again after the time in Retry-After.", cause: err}
	}
	done = func() { b.long.Release(1) }
	buffer.Grow(max(told-buffer.Len(), 0) + bytes.MinRead)
	if _, err := buffer.ReadFrom(r.Body); err != nil {
		return nil, done, fmt.Errorf("read body: %w", err)
	}
	return buffer.Bytes(), done, nil
}

// excessOf are the faults of the body that the decoder left to be reported with the others.
func excessOf(ctx context.Context) []Fault {
	excess, _ := ctx.Value(excessKey{}).([]Fault)
	return excess
}

// wantContentType refuses a body of another type, in another alphabet, or compressed.
func wantContentType(r *http.Request, want string) error {
	given := r.Header.Get(echo.HeaderContentType)
	mediaType, params, err := mime.ParseMediaType(given)
	if err != nil || mediaType != want {
		if given == "" {
			given = "missing"
		}
		return refuse(ReasonUnsupportedMedia, "The Content-Type is %s: send %s.", cut(given), want)
	}
	if charset := params["charset"]; charset != "" && !strings.EqualFold(charset, "utf-8") {
		return refuse(ReasonUnsupportedMedia, "The body is in %s: send UTF-8.", cut(charset))
	}
	if coding := r.Header.Get(echo.HeaderContentEncoding); coding != "" && !strings.EqualFold(coding, "identity") {
		return refuse(ReasonUnsupportedMedia, "The body is coded as %s: send it plain.", cut(coding))
	}
	return nil
}

// knownQuery refuses query parameters that the operation does not have, so that a typing error is never silently a
// default, and those that occur twice.
func knownQuery(next StrictHandlerFunc, _ string) StrictHandlerFunc {
	return func(c echo.Context, request any) (any, error) {
		query := c.QueryParams()
		if len(query) == 0 {
			return next(c, request)
		}
		known := queryNames(reflect.TypeOf(request))
		var faults []Fault
		for _, name := range slices.Sorted(maps.Keys(query)) {
			if !slices.Contains(known, name) {
				faults = append(faults, faultOf(cut(name), fault.UnknownAmong(name, known)))
			} else if len(query[name]) > 1 {
				faults = append(faults, faultOf(name, fault.Twice{}))
			}
		}
		if len(faults) > 0 {
			return nil, malformed(faults)
		}
		return next(c, request)
	}
}

var queryNamesOf sync.Map // reflect.Type → []string

// queryNames reads the names off the tags of the generated Params struct of a request object.
func queryNames(request reflect.Type) []string {
	if known, ok := queryNamesOf.Load(request); ok {
		return known.([]string)
	}
	var names []string
	if params, ok := request.FieldByName("Params"); ok {
		for i := range params.Type.NumField() {
			if name, _, _ := strings.Cut(params.Type.Field(i).Tag.Get("form"), ","); name != "" {
				names = append(names, name)
			}
		}
	}
	queryNamesOf.Store(request, names)
	return names
}

// plausibleText keeps what is no line of text away from the database, which refuses some bytes.
func plausibleText(s string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsPrint(r) })
}
