package web

import (
	"net/netip"
	"time"

	"github.com/jellydator/ttlcache/v3"
	"golang.org/x/time/rate"
)

// Attempts at signing in that one address has; common practice, no source: a person who mistypes is not stopped, and whoever guesses
// has 240 guesses an hour at 128 bits.
const (
	attemptsAtOnce = 10
	attemptEvery   = 15 * time.Second
	// mostClients bounds the memory, about 200 bytes for each; where there are more, those that asked longest ago are forgotten.
	mostClients = 10_000
	// prefixIPv6 is what one subscriber has at least (RFC 6177).
	prefixIPv6 = 64
)

// attempts limits how often an address tries to sign in. It is safe for concurrent use. Each process counts for itself.
type attempts struct {
	clients *ttlcache.Cache[netip.Prefix, *rate.Limiter]
}

func newAttempts() *attempts {
	return &attempts{ttlcache.New(
		ttlcache.WithCapacity[netip.Prefix, *rate.Limiter](mostClients),
		// After that long an address has all its attempts again.
		ttlcache.WithTTL[netip.Prefix, *rate.Limiter](attemptsAtOnce*attemptEvery),
	)}
}

// take uses up one attempt of an address, or says how long it has to wait for the next.
func (a *attempts) take(ip string, now time.Time) (wait time.Duration) {
	client, _ := a.clients.GetOrSetFunc(clientOf(ip), func() *rate.Limiter {
		return rate.NewLimiter(rate.Every(attemptEvery), attemptsAtOnce)
	})
	turn := client.Value().ReserveN(now, 1)
	if wait = turn.DelayFrom(now); wait > 0 {
		turn.CancelAt(now) // refused attempts do not make the wait longer
	}
	return wait
}

// forget gives an address that has signed in all its attempts again.
func (a *attempts) forget(ip string) { a.clients.Delete(clientOf(ip)) }

// clientOf is whom an address belongs to. Those that are none are one client.
func clientOf(ip string) netip.Prefix {
	addr, err := netip.ParseAddr(ip)
	if err != nil {
		return netip.Prefix{}
	}
	addr = addr.Unmap().WithZone("")
	bits := addr.BitLen()
	if addr.Is6() {
		bits = prefixIPv6
	}
	client, _ := addr.Prefix(bits) // the number of bits is one that the address has
	return client
}
