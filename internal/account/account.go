// Package account knows who may change the houses' catalogues: whoever holds the staff token. [Staff] tells them from others,
// whichever way a face takes the token, and has those who guess wait.
package account

import (
	"crypto/sha256"
	"crypto/subtle"
	"errors"
	"fmt"
	"sync"
	"time"
)

// MinTokenLength is the shortest staff token that is taken; common practice, no source: 16 characters of a generated
// token hold at least 64 bits.
const MinTokenLength = 16

// ErrWrongToken is the answer to a token that is not the staff's.
var ErrWrongToken = errors.New("account: not the staff token")

// WaitError is the answer to any token from an address that has given too many wrong ones.
type WaitError struct {
	// Wait is after what time the next token is looked at.
	Wait time.Duration
}

func (e *WaitError) Error() string {
	return fmt.Sprintf("account: too many wrong tokens from this address: the next is looked at in %s", e.Wait)
}

// Staff are the people and programs that hold the staff token. It is safe for concurrent use. Each process counts wrong tokens
// for itself.
type Staff struct {
	token [sha256.Size]byte // its hash, so that tokens of any length are compared in constant time
	now   func() time.Time

	mu       sync.Mutex
	attempts *attempts
}

// NewStaff makes the staff of a token of at least [MinTokenLength] characters; now returns the current time.
func NewStaff(token string, now func() time.Time) (*Staff, error) {
	if len(token) < MinTokenLength {
		return nil, fmt.Errorf("account: the staff token has %d characters: give at least %d", len(token), MinTokenLength)
	}
	return &Staff{token: sha256.Sum256([]byte(token)), now: now, attempts: newAttempts()}, nil
}

// Admit lets in whoever presents the staff token from an address. Others get [ErrWrongToken], and after some of them a
// [*WaitError], the right token too: otherwise waiting would cost a guess nothing.
func (s *Staff) Admit(address, token string) error {
	given := sha256.Sum256([]byte(token))
	s.mu.Lock()
	defer s.mu.Unlock()
	now := s.now()
	if wait := s.attempts.wait(address, now); wait > 0 {
		return &WaitError{wait}
	}
	if subtle.ConstantTimeCompare(given[:], s.token[:]) == 1 {
		return nil
	}
	s.attempts.take(address, now)
	return ErrWrongToken
}

// TokenHash names the staff token without giving it away, for what is kept of those who were let in.
func (s *Staff) TokenHash() []byte { return s.token[:] }

// HasTokenHash reports whether a hash is that of the staff token, in constant time.
func (s *Staff) HasTokenHash(hash []byte) bool {
	return subtle.ConstantTimeCompare(hash, s.token[:]) == 1
}
