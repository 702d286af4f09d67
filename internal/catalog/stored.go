package catalog

import (
	"errors"
	"strings"
)

// The closed set of refusals of a catalogue's storage, wrapped or bare. Any other error is a fault of the storage.
var (
	// ErrNoHouse: there is no house of that short name.
	ErrNoHouse = errors.New("no such house")
	// ErrNoItem: the house has no item of that SKU.
	ErrNoItem = errors.New("no such item")
	// ErrItemExists: the house has an item of that SKU already.
	ErrItemExists = errors.New("the house has an item of that SKU already")
	// ErrItemChanged: the item is no longer in the state that the caller named.
	ErrItemChanged = errors.New("the item has changed")
	// ErrItemInUse: another item of the house names this one as its operator.
	ErrItemInUse = errors.New("another item needs this one")
	// ErrKeyReused: the idempotency key was used for another item.
	ErrKeyReused = errors.New("the idempotency key was used with another body")
	// ErrUnavailable: the storage cannot be reached now, or is too busy; the same call may succeed later.
	ErrUnavailable = errors.New("the database does not answer")
)

// InvalidError refuses an item for what only the storage can see, such as an operator that the house does not have.
type InvalidError struct{ Problems []Problem }

func (e *InvalidError) Error() string {
	s := make([]string, len(e.Problems))
	for i, p := range e.Problems {
		s[i] = p.String()
	}
	return "item refused: " + strings.Join(s, "; ")
}

// StoredItem is an item in a state that has a version: every change of the item gives it a new one, never used before
// for its SKU.
type StoredItem struct {
	Item
	Version int64
}

// ImportCounts says what an import did.
type ImportCounts struct{ Created, Changed, Unchanged int }
