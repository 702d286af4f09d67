package httpchain

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// ErrTimeLimit is the error of a request that took longer than its [Terms] grant. Its work has ended.
var ErrTimeLimit = errors.New("the time limit of the request is over")

// stackSize holds the stack of a panic in the deepest search; what is longer is cut.
const stackSize = 64 << 10

// withStack makes a panic an error with its stack, which the face's writer of errors logs in full and keeps from the client.
func withStack(_ echo.Context, err error, stack []byte) error {
	return fmt.Errorf("panic: %w\n%s", err, stack)
}

// limitTime ends the context of a request when its time is over, so that its work ends.
func (c chain) limitTime(next echo.HandlerFunc) echo.HandlerFunc {
	return func(ctx echo.Context) error {
		terms := c.face(ctx).Terms(ctx)
		if terms.SlowBody {
			// A connection that takes no deadline keeps the server's own time for reading.
			_ = http.NewResponseController(ctx.Response()).SetReadDeadline(time.Now().Add(terms.Time))
		}
		whole := ctx.Request()
		within, cancel := context.WithTimeout(whole.Context(), terms.Time)
		defer cancel()
		ctx.SetRequest(whole.WithContext(within))
		defer ctx.SetRequest(whole) // whoever looks at the context afterwards asks whether the client is gone
		err := next(ctx)
		if errors.Is(err, context.DeadlineExceeded) && within.Err() != nil && whole.Context().Err() == nil {
			return fmt.Errorf("%w, %s: %w", ErrTimeLimit, terms.Time, err)
		}
		return err
	}
}

// wholeBody keeps a request's body as it is on the connection.
const wholeBody = "whole body"

// limitBody has a request's body end with an error where it is longer than it may be.
func (c chain) limitBody(next echo.HandlerFunc) echo.HandlerFunc {
	return func(ctx echo.Context) error {
		r := ctx.Request()
		ctx.Set(wholeBody, r.Body)
		r.Body = http.MaxBytesReader(ctx.Response(), r.Body, c.face(ctx).Terms(ctx).Body)
		return next(ctx)
	}
}

// Discard reads on over a body that was longer than it may be, up to so many bytes. Some clients look for an answer only once
// they have sent everything: the connection must not be closed under them.
func Discard(c echo.Context, most int64) {
	if body, ok := c.Get(wholeBody).(io.Reader); ok {
		_, _ = io.CopyN(io.Discard, body, most) // whatever ends it, the answer is the same
	}
}
