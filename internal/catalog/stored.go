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
	// ErrNoFile: no such file is kept for the one who asks: it was never, is another's, or its time is over.
	ErrNoFile = errors.New("no such file is kept")
	// ErrManyFiles: the house keeps as many files as it may.
	ErrManyFiles = errors.New("too many files are kept")
	// ErrCatalogueChanged: the house's catalogue is no longer in the state that the caller named.
	ErrCatalogueChanged = errors.New("the catalogue has changed")
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

// ImportCounts says what an import did, or would do.
type ImportCounts struct{ Created, Changed, Unchanged int }

// MaxKeptFile is the size in bytes of the largest catalogue file that is kept between a look at it and its import: twice that of 20,000
// items. The schema holds it too.
const MaxKeptFile = 8 << 20

// FileLook is what the import of a kept file would do to the catalogue in one state, or where Done is set, what it did.
type FileLook struct {
	Kind   Kind
	Counts ImportCounts
	Done   bool
	// Version is that of the house's catalogue that was looked at; 0 where Done is set.
	Version int64
}
