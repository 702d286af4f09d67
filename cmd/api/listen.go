package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"golang.org/x/net/netutil"
)

// times bound what one connection may hold up; common practice, no source.
type times struct {
	header time.Duration // to send the header
	read   time.Duration // to send header and body; an import, which may be 64 MB, sets its own
	write  time.Duration // from the header to the end of the answer
	idle   time.Duration // between two requests
	drain  time.Duration // for running requests to end by themselves once the server stops
	last   time.Duration // for those that are ended then to say so
}

// ordinary are the times of a server whose longest request takes so long.
func ordinary(longest time.Duration) times {
	return times{
		header: 5 * time.Second, read: 30 * time.Second, write: 4*time.Minute + longest, idle: 2 * time.Minute,
		drain: 20 * time.Second, last: 3 * time.Second,
	}
}

const maxHeaderBytes = 64 << 10

// site is what answers at one address.
type site struct {
	flag    string // that chooses the address
	addr    string
	handler http.Handler
	// connections is how many may be open at once; further ones wait in the kernel's queue. 0 is as many as come.
	connections int
}

// running is a server that listens.
type running struct {
	*http.Server
	at    net.Addr
	ended chan error
	end   context.CancelFunc // ends the work of all its requests
}

// listen starts a server. Its requests outlive ctx.
func listen(ctx context.Context, s site, t times, log *slog.Logger) (*running, error) {
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", s.addr)
	if err != nil {
		return nil, fmt.Errorf("listen on %s: %w (choose another with %s)", s.addr, err, s.flag)
	}
	address := listener.Addr()
	if s.connections > 0 {
		listener = netutil.LimitListener(listener, s.connections)
	}
	base, end := context.WithCancel(context.WithoutCancel(ctx))
	r := &running{at: address, ended: make(chan error, 1), end: end, Server: &http.Server{
		Handler: s.handler, ReadHeaderTimeout: t.header, ReadTimeout: t.read, WriteTimeout: t.write, IdleTimeout: t.idle,
		MaxHeaderBytes: maxHeaderBytes, ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
		BaseContext: func(net.Listener) context.Context { return base },
	}}
	go func() { r.ended <- r.Serve(listener) }()
	return r, nil
}

// stop takes no more requests and waits for the running ones. Those that are not answered when the time to drain is over
// lose their context, so that their work ends and they can say so; what then still runs is cut off, which is an error.
func (r *running) stop(t times, log *slog.Logger) error {
	defer r.end()
	err := r.shutdown(t.drain)
	if errors.Is(err, context.DeadlineExceeded) {
		log.Warn("requests are still running: their work is ended", slog.String("after", t.drain.String()))
		r.end()
		err = r.shutdown(t.last)
	}
	if err != nil {
		err = fmt.Errorf("finish running requests: %w", errors.Join(err, r.Close()))
	}
	if served := <-r.ended; !errors.Is(served, http.ErrServerClosed) {
		err = errors.Join(err, fmt.Errorf("serve: %w", served))
	}
	return err
}

func (r *running) shutdown(within time.Duration) error {
	ctx, cancel := context.WithTimeout(context.Background(), within)
	defer cancel()
	return r.Shutdown(ctx)
}

// reachable is an address that a person on this machine can open: a server on every interface is on this one too.
func reachable(addr net.Addr) string {
	host, port, err := net.SplitHostPort(addr.String())
	if err != nil {
		return addr.String()
	}
	if ip := net.ParseIP(host); ip != nil && ip.IsUnspecified() {
		host = "localhost"
	}
	return net.JoinHostPort(host, port)
}
