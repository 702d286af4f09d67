package rest

import (
	"context"
	"errors"
	"io"

	"kitspan/internal/catalog"
)

// Errors that a [Catalogue] answers with, wrapped or bare. Any other error is a fault of the storage.
var (
	// ErrNoHouse: there is no house of that short name.
	ErrNoHouse = errors.New("no such house")
	// ErrNoItem: the house has no item of that SKU.
	ErrNoItem = errors.New("no such item")
	// ErrItemExists: the house has an item of that SKU already.
	ErrItemExists = errors.New("the house has an item of that SKU already")
	// ErrItemChanged: the item is no longer in the state that the caller named.
	ErrItemChanged = errors.New("the item has changed")
	// ErrKeyReused: the idempotency key was used for another item.
	ErrKeyReused = errors.New("the idempotency key was used with another body")
	// ErrUnavailable: the storage cannot be reached now.
	ErrUnavailable = errors.New("the database does not answer")
)

// ItemVersion is the state of one item; every change gives it a new one.
type ItemVersion = int64

// StoredItem is an item with its state.
type StoredItem struct {
	catalog.Item
	Version ItemVersion
}

// ImportCounts says what an import did.
type ImportCounts struct {
	Created, Changed, Unchanged int
}

// Catalogue is the storage that the handlers need. Implementations are safe for concurrent use; every method on a house
// that is not there answers ErrNoHouse.
type Catalogue interface {
	// Houses lists all houses, ascending by slug.
	Houses(ctx context.Context) ([]catalog.House, error)
	// Version names the state of a house's catalogue: it is cheap, and changes with every change of the house or of
	// one of its items.
	Version(ctx context.Context, house string) (int64, error)
	// Snapshot reads a house's whole catalogue in one consistent state, and that state's Version.
	Snapshot(ctx context.Context, house string) (*catalog.Snapshot, int64, error)

	// Item reads one item, or ErrNoItem.
	Item(ctx context.Context, house, sku string) (StoredItem, error)
	// CreateItem adds an item that was validated. key is the client's idempotency key and digest a hash of what it
	// asked for: the same key with the same digest answers the item as it was first created and changes nothing, with
	// another digest ErrKeyReused. A SKU that is taken is ErrItemExists.
	CreateItem(ctx context.Context, house string, item catalog.Item, key string, digest []byte) (StoredItem, error)
	// ReplaceItem puts item in the place of the one of the same SKU if that is still at version, else ErrItemChanged;
	// ErrNoItem where there is none.
	ReplaceItem(ctx context.Context, house string, item catalog.Item, version ItemVersion) (StoredItem, error)
	// DeleteItem removes an item if it is still at version, else ErrItemChanged; ErrNoItem where there is none.
	DeleteItem(ctx context.Context, house, sku string, version ItemVersion) error
	// ImportItems adds or changes the items of one kind that a CSV file lists ([catalog.ReadCSV]), all or none. Bad
	// cells come back as one [*catalog.CSVError].
	ImportItems(ctx context.Context, house string, kind catalog.Kind, file io.Reader) (ImportCounts, error)

	// Ping says whether the storage answers.
	Ping(ctx context.Context) error
}
