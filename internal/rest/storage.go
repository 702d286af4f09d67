package rest

import (
	"context"
	"io"

	"kitspan/internal/catalog"
)

// Catalogue is the storage that the handlers need. Implementations are safe for concurrent use; they answer with
// the refusals of package catalog ([catalog.ErrNoHouse] and its like, wrapped or bare); any other error is a fault of the
// storage. Every method on a house that is not there answers ErrNoHouse.
type Catalogue interface {
	// Item reads one item, or ErrNoItem.
	Item(ctx context.Context, house, sku string) (catalog.StoredItem, error)
	// CreateItem adds an item that was validated. key is the client's idempotency key and digest a hash of what it
	// asked for: the same key with the same digest answers the item as it was first created and changes nothing, with
	// another digest ErrKeyReused. A SKU that is taken is catalog.ErrItemExists; what only the storage can see, such as an
	// operator that the house does not have, a [*catalog.InvalidError].
	CreateItem(ctx context.Context, house string, item catalog.Item, key string, digest []byte) (catalog.StoredItem, error)
	// ReplaceItem puts item in the place of the one of the same SKU if that is still at version, else catalog.ErrItemChanged;
	// catalog.ErrNoItem where there is none, a [*catalog.InvalidError] as in CreateItem or for another kind.
	ReplaceItem(ctx context.Context, house string, item catalog.Item, version int64) (catalog.StoredItem, error)
	// DeleteItem removes an item if it is still at version, else catalog.ErrItemChanged; catalog.ErrNoItem where there is none,
	// ErrItemInUse where another item needs it.
	DeleteItem(ctx context.Context, house, sku string, version int64) error
	// ImportItems adds or changes the items of one kind that a CSV file lists ([catalog.ReadCSV]), all or none. Bad
	// cells come back as one [*catalog.CSVError].
	ImportItems(ctx context.Context, house string, kind catalog.Kind, file io.Reader) (catalog.ImportCounts, error)

	// Ping reports whether the storage answers.
	Ping(ctx context.Context) error
}
