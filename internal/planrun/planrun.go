// Package planrun says what a plan of a job is that is worked out in the background: a [Request] waits in a queue that outlives the
// process, a worker has it planned, and the [Run] tells how far it is and what came of it, until it expires.
//
// Storage keeps runs and the queue, a face takes requests and shows runs, and a [Planner] does the planning: none of them knows another.
package planrun

import (
	"context"
	"errors"
	"strings"
	"time"
)

// State is how far a run is.
type State string

// A run waits, runs (and waits again where its server stops meanwhile), and ends in one of three ways.
const (
	Waiting   State = "waiting"
	Running   State = "running"
	Done      State = "done"
	Failed    State = "failed"
	Cancelled State = "cancelled"
)

// Open reports whether a run in the state has not ended.
func (s State) Open() bool { return s == Waiting || s == Running }

// Bounds of runs; common practice, no source.
const (
	// MostWaiting is how many may wait at once, whoever sent them.
	MostWaiting = 100
	// MaxAnswer is the largest answer that is kept, in bytes before it is compressed. One shot of a plan takes some 30 kB.
	MaxAnswer = 64 << 20
	// Kept is how long a run is kept from when it was sent, and again from when it ended.
	Kept = 24 * time.Hour
)

// What storage answers where it does not do what it is asked; bare or wrapped.
var (
	ErrNoRun       = errors.New("no such run")
	ErrFull        = errors.New("as many runs wait as may")
	ErrUnavailable = errors.New("the storage of runs cannot be reached")
)

// idLength is that of crypto/rand.Text, which storage makes ids by: 130 bits, which nobody guesses.
const idLength = 26

// IsID reports whether a text can be the id of a run.
func IsID(s string) bool {
	return len(s) == idLength && strings.Trim(s, "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567") == ""
}

// Request is what is to be planned.
type Request struct {
	// House is the short name of a house that there is.
	House string
	// Language is what the answer's sentences are in, as a tag (BCP 47).
	Language string
	// Body is the body of a plan request; whoever queues it has found it sound.
	Body []byte
	// Shots is how many shots the job has.
	Shots int
}

// Run is a request on its way.
type Run struct {
	ID    string
	State State
	// ShotsDone of ShotsAll have been sized. When all are, what they share is chosen.
	ShotsDone, ShotsAll int
	Created             time.Time
	Started, Ended      *time.Time // nil before
	Expires             time.Time
	// Answer is the body of the answer when it is done, Problem the problem document when it failed.
	Answer, Problem []byte
}

// Outcome is what came of planning: one of the two, as in a [Run].
type Outcome struct{ Answer, Problem []byte }

// A Planner plans a request. It tells progress how many shots are done, which returns at once, and ends soon after ctx. An error means
// that it could not be planned now and is to be tried again later: what will not get better with time is an [Outcome] with a problem.
type Planner func(ctx context.Context, req Request, progress func(shots int)) (Outcome, error)
