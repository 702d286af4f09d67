package account

import (
	"errors"
	"fmt"
	"net/netip"
	"strings"
	"testing"
	"time"
)

const token = "a staff token of the tests"

// newTestStaff also returns the clock that it reads.
func newTestStaff(t *testing.T) (*Staff, *time.Time) {
	t.Helper()
	now := time.Date(2027, 6, 18, 12, 0, 0, 0, time.UTC)
	s, err := NewStaff(token, func() time.Time { return now })
	if err != nil {
		t.Fatal(err)
	}
	return s, &now
}

// waits returns how long an address has to wait; 0 where its token was looked at.
func waits(err error) time.Duration {
	var wait *WaitError
	if errors.As(err, &wait) {
		return wait.Wait
	}
	return 0
}

func TestOnlyTheTokenIsAdmitted(t *testing.T) {
	s, _ := newTestStaff(t)
	if err := s.Admit("192.0.2.1", token); err != nil {
		t.Error(err)
	}
	for _, wrong := range []string{"", "a", token + " ", strings.ToUpper(token), token[:len(token)-1], strings.Repeat("x", 1<<20)} {
		if err := s.Admit("192.0.2.1", wrong); !errors.Is(err, ErrWrongToken) {
			t.Errorf("%.20q: %v", wrong, err)
		}
	}
	if _, err := NewStaff(token[:MinTokenLength-1], time.Now); err == nil {
		t.Error("a short token is taken")
	}
}

func TestWrongTokensAreLimitedByAddress(t *testing.T) {
	s, now := newTestStaff(t)
	const address = "192.0.2.7"
	for i := range attemptsAtOnce {
		if err := s.Admit(address, "wrong"); !errors.Is(err, ErrWrongToken) {
			t.Fatalf("attempt %d: %v", i+1, err)
		}
	}
	for _, given := range []string{"wrong", token} {
		for range 3 { // refused attempts do not make the wait longer
			if got := waits(s.Admit(address, given)); got != attemptEvery {
				t.Errorf("one attempt too many: a wait of %s, want %s", got, attemptEvery)
			}
		}
	}
	if err := s.Admit("192.0.2.8", "wrong"); !errors.Is(err, ErrWrongToken) {
		t.Errorf("another address: %v", err)
	}
	*now = now.Add(attemptEvery - time.Second)
	if got := waits(s.Admit(address, token)); got <= 0 || got > time.Second {
		t.Errorf("a second before its time: a wait of %s", got)
	}
	*now = now.Add(time.Second)
	if err := s.Admit(address, "wrong"); !errors.Is(err, ErrWrongToken) {
		t.Errorf("after the wait: %v", err)
	}
	if got := waits(s.Admit(address, token)); got != attemptEvery {
		t.Errorf("the wait brought more than one attempt: then a wait of %s", got)
	}
}

// Programs that hold the token are never held up by how often they present it.
func TestTheRightTokenIsNoAttempt(t *testing.T) {
	s, _ := newTestStaff(t)
	for range 100 * attemptsAtOnce {
		if err := s.Admit("192.0.2.7", token); err != nil {
			t.Fatal(err)
		}
	}
}

// One subscriber has a whole /64 of IPv6 (RFC 6177), and would otherwise have as many attempts as addresses.
func TestASubscribersIPv6AddressesAreOne(t *testing.T) {
	s, _ := newTestStaff(t)
	for i := range attemptsAtOnce + 1 {
		refused := waits(s.Admit(fmt.Sprintf("2001:db8:0:1::%x", i), "wrong")) > 0
		if want := i == attemptsAtOnce; refused != want {
			t.Errorf("address %d: refused %v, want %v", i, refused, want)
		}
	}
	if waits(s.Admit("2001:db8:0:2::1", "wrong")) > 0 {
		t.Error("another subscriber is refused")
	}
}

func TestAttemptsTakeBoundedMemory(t *testing.T) {
	s, _ := newTestStaff(t)
	for i := range 3 * mostClients {
		if err := s.Admit(netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)}).String(), "wrong"); !errors.Is(err, ErrWrongToken) {
			t.Fatalf("address %d: %v", i, err)
		}
	}
	if n := s.attempts.clients.Len(); n > mostClients {
		t.Errorf("%d addresses are remembered", n)
	}
	if err := s.Admit("no address", "wrong"); !errors.Is(err, ErrWrongToken) {
		t.Errorf("an address that is none: %v", err)
	}
}
