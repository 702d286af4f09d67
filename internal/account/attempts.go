package account

import (
	"net/netip"
	"time"

	"github.com/jellydator/ttlcache/v3"
	"golang.org/x/time/rate"
)

// Wrong tokens that one address may give; common practice, no source: a person who mistypes is not stopped, and whoever guesses
// has 240 guesses an hour at 128 bits.
const (
	attemptsAtOnce = 10
	attemptEvery   = 15 * time.Second
	// mostClients bounds the memory, about 200 bytes for each; where there are more, those that asked longest ago are forgotten.
	mostClients = 10_000
	// prefixIPv6 is what one subscriber has at least (RFC 6177).
	prefixIPv6 = 64
)

// attempts limits how many wrong tokens an address gives.
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

// wait is how long an address has to wait for its next attempt; 0 where it has one.
func (a *attempts) wait(ip string, now time.Time) time.Duration {
	client := a.clients.Get(clientOf(ip))
	if client == nil {
		return 0
	}
	missing := 1 - client.Value().TokensAt(now)
	return max(0, time.Duration(missing*float64(attemptEvery)))
}

// take uses up one attempt of an address.
func (a *attempts) take(ip string, now time.Time) {
	client, _ := a.clients.GetOrSetFunc(clientOf(ip), func() *rate.Limiter {
		return rate.NewLimiter(rate.Every(attemptEvery), attemptsAtOnce)
	})
	client.Value().AllowN(now, 1)
}

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
