package rest

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"testing/synctest"
)

// begunBody is a body that hangs after its first bytes until it may go on.
type begunBody struct {
	io.Reader
	until <-chan struct{}
}

func (b *begunBody) Read(p []byte) (int, error) {
	if n, err := b.Reader.Read(p); err == nil {
		return n, nil
	}
	<-b.until
	return 0, io.EOF
}

// Of long bodies one is read at a time; shorter ones do not wait for it, whether or not they state their length.
func TestLongBodiesAreReadOneAtATime(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBinder()
		request := func(ctx context.Context, body io.Reader) *http.Request {
			r := httptest.NewRequestWithContext(ctx, http.MethodPost, "/", body)
			r.ContentLength = -1
			return r
		}
		until, long := make(chan struct{}), strings.Repeat("x", longBody+2)
		read := make(chan int)
		for range 2 {
			go func() {
				body, done, err := b.read(request(t.Context(), &begunBody{strings.NewReader(long), until}))
				if err != nil {
					t.Error(err)
				}
				read <- len(body)
				done()
			}()
		}
		synctest.Wait() // one reads, one waits
		for _, size := range []int{0, 1, longBody - 1, longBody} {
			body, done, err := b.read(request(t.Context(), strings.NewReader(strings.Repeat("x", size))))
			if done(); err != nil || len(body) != size {
				t.Errorf("a body of %d beside: %d bytes, %v", size, len(body), err)
			}
		}
		ctx, leave := context.WithCancel(t.Context())
		leave()
		_, done, err := b.read(request(ctx, strings.NewReader(long)))
		if r := asRefusal(err); r == nil || r.Reason != ReasonBusy {
			t.Errorf("a long one that does not wait: %v", err)
		}
		done()
		close(until)
		for range 2 {
			if n := <-read; n != len(long) {
				t.Errorf("%d bytes of %d", n, len(long))
			}
		}
	})
}
