package main

import (
	"bufio"
	"context"
	"errors"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"go.uber.org/goleak"

	"kitspan/internal/catalog"
)

// listening is 'serve' from the point on at which it listens. What it prints is read line by line.
type listening struct {
	address string
	stop    context.CancelFunc
	ended   chan error
	printed *bufio.Reader
}

func newListening(t *testing.T, serve serveCommand, limits times, pages, metrics http.Handler) *listening {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	out, in := io.Pipe()
	l := &listening{stop: cancel, ended: make(chan error, 1), printed: bufio.NewReader(out)}
	serve.Addr = "127.0.0.1:0"
	std := streams{strings.NewReader(""), in, io.Discard}
	go func() {
		err := serve.listen(ctx, std, newLog(std, "error"), limits, pages, metrics, catalog.Demo{}, "")
		l.ended <- errors.Join(err, in.Close())
	}()
	if serve.MetricsAddr == "" {
		l.address = l.line(t, "Kitspan listens on ")
	}
	return l
}

// line reads the next line printed, which begins so, and returns the rest of it.
func (l *listening) line(t *testing.T, begins string) string {
	t.Helper()
	line, err := l.printed.ReadString('\n')
	rest, ok := strings.CutPrefix(strings.TrimSpace(line), begins)
	if err != nil || !ok {
		t.Fatalf("printed %q (%v), want %q", line, err, begins)
	}
	return rest
}

func (l *listening) end(t *testing.T) {
	t.Helper()
	l.stop()
	if err := <-l.ended; err != nil {
		t.Error(err)
	}
}

// Stopping lets the requests that run finish, and leaves no goroutine behind.
func TestStoppingFinishesRunningRequests(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	entered, leave := make(chan struct{}), make(chan struct{})
	l := newListening(t, serveCommand{}, ordinary(0), http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		close(entered)
		<-leave
		_, _ = io.WriteString(w, "done") // a short answer is reported below
	}), nil)
	answer := make(chan string, 1)
	go func() {
		_, body := get(t, l.address)
		answer <- body
	}()
	<-entered
	l.stop()
	select {
	case err := <-l.ended:
		t.Fatalf("stopped with a request running: %v", err)
	case <-time.After(50 * time.Millisecond):
	}
	close(leave)
	if got := <-answer; got != "done" {
		t.Errorf("the running request got %q", got)
	}
	if err := <-l.ended; err != nil {
		t.Error(err)
	}
}

// The work of a request that still runs when the time to drain is over is ended, and its client gets an answer.
func TestStoppingEndsTheWorkOfLongRequests(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	entered := make(chan struct{})
	limits := ordinary(0)
	limits.drain, limits.last = 10*time.Millisecond, time.Minute
	l := newListening(t, serveCommand{}, limits, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		close(entered)
		<-r.Context().Done()
		w.WriteHeader(http.StatusServiceUnavailable)
	}), nil)
	status := make(chan int, 1)
	go func() {
		got, _ := get(t, l.address)
		status <- got
	}()
	<-entered
	l.end(t)
	if got := <-status; got != http.StatusServiceUnavailable {
		t.Errorf("the long request got %d, want 503", got)
	}
}

// A client that never ends its header, its body or its reading is left.
func TestSlowClientsAreLeft(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	limits := ordinary(0)
	limits.header, limits.read, limits.idle = 50*time.Millisecond, 200*time.Millisecond, 50*time.Millisecond
	body := make(chan error, 1)
	l := newListening(t, serveCommand{}, limits, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if _, err := io.Copy(io.Discard, r.Body); r.ContentLength > 0 {
			body <- err
		}
	}), nil)
	for name, sent := range map[string]string{
		"no header":               "",
		"half a header":           "GET / HTTP/1.1\r\nHost: x\r\nX-Slow: ",
		"half a body":             "POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 100\r\n\r\nhalf",
		"nothing after the first": "GET / HTTP/1.1\r\nHost: x\r\n\r\n",
	} {
		conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", strings.TrimPrefix(l.address, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(conn, sent); err != nil {
			t.Fatal(err)
		}
		_ = conn.SetReadDeadline(time.Now().Add(time.Minute))
		if _, err := io.ReadAll(conn); err != nil {
			t.Errorf("%s: %v, want the server to close the connection", name, err)
		}
		_ = conn.Close()
	}
	if err := <-body; err == nil {
		t.Error("half a body was read without an error")
	}
	l.end(t)
}

// No more connections are served at once than may be: the next one is once another is closed.
func TestConnectionsAreLimited(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	const most = 3
	l := newListening(t, serveCommand{workFlags: workFlags{Connections: most}}, ordinary(0), http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		_, _ = io.WriteString(w, "done")
	}), nil)
	open := func() (net.Conn, chan error) {
		conn, err := (&net.Dialer{}).DialContext(t.Context(), "tcp", strings.TrimPrefix(l.address, "http://"))
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(conn, "GET / HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
			t.Fatal(err)
		}
		_ = conn.SetReadDeadline(time.Now().Add(time.Minute))
		answered := make(chan error, 1)
		go func() {
			_, err := conn.Read(make([]byte, 1))
			answered <- err
		}()
		return conn, answered
	}
	var held []net.Conn
	for range most {
		conn, answered := open()
		if err := <-answered; err != nil {
			t.Fatal(err)
		}
		held = append(held, conn)
	}
	next, answered := open()
	select {
	case err := <-answered:
		t.Errorf("one connection too many is answered (%v)", err)
	case <-time.After(50 * time.Millisecond):
	}
	_ = held[0].Close()
	if err := <-answered; err != nil {
		t.Errorf("when there is room: %v", err)
	}
	for _, conn := range append(held[1:], next) {
		_ = conn.Close()
	}
	l.end(t)
}

// The metrics have an address of their own, and nothing else is there.
func TestMetricsAtTheirOwnAddress(t *testing.T) {
	defer goleak.VerifyNone(t, goleak.IgnoreCurrent())
	mux := http.NewServeMux()
	mux.HandleFunc("GET /metrics", func(w http.ResponseWriter, _ *http.Request) { _, _ = io.WriteString(w, "counters") })
	l := newListening(t, serveCommand{MetricsAddr: "127.0.0.1:0"}, ordinary(0), http.NotFoundHandler(), mux)
	metrics := l.line(t, "Metrics are on ")
	l.line(t, "Kitspan listens on ")
	if status, body := get(t, metrics); status != http.StatusOK || body != "counters" {
		t.Errorf("metrics: status %d, %q", status, body)
	}
	if status, _ := get(t, strings.TrimSuffix(metrics, "/metrics")+"/plan"); status != http.StatusNotFound {
		t.Errorf("a page at the address of the metrics: status %d, want 404", status)
	}
	l.end(t)
}

func TestLimitsOfWorkAreRead(t *testing.T) {
	good := workFlags{Waiting: 64, WaitLimit: 5 * time.Second, SolveLimit: 20 * time.Second}
	if c, err := good.capacity(); err != nil || c.Longest() != 25*time.Second {
		t.Errorf("%v, %v", c, err)
	}
	for name, change := range map[string]func(*workFlags){
		"--solving":     func(f *workFlags) { f.Solving = -1 },
		"--connections": func(f *workFlags) { f.Connections = -1 },
		"--waiting":     func(f *workFlags) { f.Waiting = -1 },
		"--wait-limit":  func(f *workFlags) { f.WaitLimit = 0 },
		"--solve-limit": func(f *workFlags) { f.SolveLimit = time.Hour },
	} {
		bad := good
		change(&bad)
		if _, err := bad.capacity(); err == nil || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v, want an error that names it", name, err)
		}
	}
}
