package rest

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"sort"
	"strconv"

	"kitspan/internal/catalog"
	"kitspan/internal/fault"
	"kitspan/internal/office"
)

const (
	defaultPage = 100
	greatPage   = 500
)

// ListItems serves a page from the catalogue in memory, which one cheap query has shown to be the newest.
func (s *Server) ListItems(ctx context.Context, req ListItemsRequestObject) (ListItemsResponseObject, error) {
	limit, after, faults := pageOf(req.Params.Limit, req.Params.Cursor)
	kind, wrong := kindOf(req.Params.Kind)
	faults = append(faults, wrong...)
	search, err := catalog.NewSearch(kind, deref(req.Params.Q))
	if long := (*catalog.SearchTooLongError)(nil); errors.As(err, &long) {
		faults = append(faults, faultOf("q", fault.TooLong{Characters: long.Characters, Most: catalog.MaxSearch}))
	}
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	kept, err := s.catalogues.Catalogue(ctx, req.House)
	if err != nil {
		return nil, storageRefusal(err, req.House, "")
	}
	media := mediaOf(ctx)
	tag := listTag(kept, media)
	if matchesTag(deref(req.Params.IfNoneMatch), tag) {
		return notModified(tag), nil
	}
	items := kept.Stock.Items()
	chosen := make([]int, 0, limit)
	var next string // cursor
	for i := sort.Search(len(items), func(i int) bool { return items[i].SKU > after }); i < len(items); i++ {
		if !search.Finds(&items[i]) {
			continue
		}
		if len(chosen) == limit {
			next = cursorAfter(items[chosen[limit-1]].SKU)
			break
		}
		chosen = append(chosen, i)
	}
	link := linkNext(req, next)
	if media == csvType {
		page := make([]catalog.Item, len(chosen))
		for i, at := range chosen {
			page[i] = items[at]
		}
		return itemsFile(kept.Stock.House, kind, page, tag, link)
	}
	entries, err := s.lists.of(kept).entries()
	if err != nil {
		return nil, err
	}
	page := make([][]byte, len(chosen))
	for i, at := range chosen {
		page[i] = entries[at]
	}
	return listPage{tag: tag, link: link, entries: page, next: next}, nil
}

// linkNext is the header Link of a page (RFC 8288), empty on the last.
func linkNext(req ListItemsRequestObject, cursor string) string {
	if cursor == "" {
		return ""
	}
	query := url.Values{"cursor": {cursor}}
	if kind := req.Params.Kind; kind != nil {
		query.Set("kind", string(*kind))
	}
	if q := req.Params.Q; q != nil {
		query.Set("q", *q)
	}
	if limit := req.Params.Limit; limit != nil {
		query.Set("limit", strconv.Itoa(*limit))
	}
	return "</v1/houses/" + req.House + "/items?" + query.Encode() + `>; rel="next"`
}

// GetItem reads one item with its state.
func (s *Server) GetItem(ctx context.Context, req GetItemRequestObject) (GetItemResponseObject, error) {
	house, err := s.house(ctx, req.House)
	if err != nil {
		return nil, err
	}
	if !catalog.IsSKU(req.Sku) {
		return nil, storageRefusal(catalog.ErrNoItem, req.House, req.Sku)
	}
	item, err := s.storage.Item(ctx, req.House, req.Sku)
	if err != nil {
		return nil, storageRefusal(err, req.House, req.Sku)
	}
	answer, err := s.itemAnswer(http.StatusOK, house, item)
	if err == nil && matchesTag(deref(req.Params.IfNoneMatch), answer.tag) {
		return notModified(answer.tag), nil
	}
	return answer, err
}

// CreateItem adds an item once per idempotency key.
func (s *Server) CreateItem(ctx context.Context, req CreateItemRequestObject) (CreateItemResponseObject, error) {
	house, err := s.house(ctx, req.House)
	if err != nil {
		return nil, err
	}
	item, faults := itemOf(req.Body, house)
	if key := req.Params.IdempotencyKey; key == "" || len(key) > 200 || !plausibleText(key) {
		faults = append(faults, faultOf("Idempotency-Key", fault.Other{Says: "give 1 to 200 printable characters, new for every new item"}))
	}
	if faults = append(faults, excessOf(ctx)...); len(faults) > 0 {
		return nil, invalid(faults)
	}
	digest, err := digestOf(&item)
	if err != nil {
		return nil, err
	}
	stored, err := s.storage.CreateItem(ctx, req.House, item, req.Params.IdempotencyKey, digest)
	if err != nil {
		return nil, writeRefusal(err, req.House, &item)
	}
	answer, err := s.itemAnswer(http.StatusCreated, house, stored)
	answer.location = "/v1/houses/" + req.House + "/items/" + item.SKU
	return answer, err
}

// digestOf tells the bodies of two creations apart by what they mean, not by how they are spelt.
func digestOf(item *catalog.Item) ([]byte, error) {
	text, err := itemJSON(item, catalog.Date{})
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(text)
	return sum[:], nil
}

// ReplaceItem changes an item that is still in the state that the client knows.
func (s *Server) ReplaceItem(ctx context.Context, req ReplaceItemRequestObject) (ReplaceItemResponseObject, error) {
	house, err := s.house(ctx, req.House)
	if err != nil {
		return nil, err
	}
	match, err := ifMatch(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	item, faults := itemOf(req.Body, house)
	if item.SKU != req.Sku && !covered(faults, "/sku") {
		faults = append(faults, faultAt("/sku", fault.Other{Says: fmt.Sprintf("is %s, the address says %s: give the same", cut(item.SKU), cut(req.Sku))}))
	}
	if faults = append(faults, excessOf(ctx)...); len(faults) > 0 {
		return nil, invalid(faults)
	}
	var stored catalog.StoredItem
	err = s.changeItem(ctx, house, req.Sku, match, func(version int64) (err error) {
		stored, err = s.storage.ReplaceItem(ctx, req.House, item, version)
		return err
	})
	if err != nil {
		return nil, writeRefusal(err, req.House, &item)
	}
	return s.itemAnswer(http.StatusOK, house, stored)
}

// DeleteItem removes an item that is still in the state that the client knows.
func (s *Server) DeleteItem(ctx context.Context, req DeleteItemRequestObject) (DeleteItemResponseObject, error) {
	house, err := s.house(ctx, req.House)
	if err != nil {
		return nil, err
	}
	match, err := ifMatch(req.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	if !catalog.IsSKU(req.Sku) {
		return nil, storageRefusal(catalog.ErrNoItem, req.House, req.Sku)
	}
	err = s.changeItem(ctx, house, req.Sku, match, func(version int64) error {
		return s.storage.DeleteItem(ctx, req.House, req.Sku, version)
	})
	if err != nil {
		return nil, storageRefusal(err, req.House, req.Sku)
	}
	return DeleteItem204Response{}, nil
}

// ExportItems writes the items of one kind as CSV.
func (s *Server) ExportItems(ctx context.Context, req ExportItemsRequestObject) (ExportItemsResponseObject, error) {
	kind, faults := kindOf(&req.Params.Kind)
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	kept, err := s.catalogues.Catalogue(ctx, req.House)
	if err != nil {
		return nil, storageRefusal(err, req.House, "")
	}
	tag := listTag(kept, csvType)
	if matchesTag(deref(req.Params.IfNoneMatch), tag) {
		return notModified(tag), nil
	}
	return itemsFile(kept.Stock.House, kind, kept.Stock.Items(), tag, "")
}

// itemsFile writes those of the items that are of a kind.
func itemsFile(house catalog.House, kind catalog.Kind, items []catalog.Item, tag, link string) (csvFile, error) {
	var buf bytes.Buffer
	if err := catalog.WriteCSV(&buf, kind, house, items); err != nil {
		return csvFile{}, fmt.Errorf("export %s items of %s: %w", kind, house.Slug, err)
	}
	return csvFile{name: house.Slug + "-" + string(kind) + ".csv", tag: tag, link: link, body: buf.Bytes()}, nil
}

// ImportItems reads items of one kind from CSV, all or none.
func (s *Server) ImportItems(ctx context.Context, req ImportItemsRequestObject) (ImportItemsResponseObject, error) {
	kind, faults := kindOf(&req.Params.Kind)
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	if _, err := s.house(ctx, req.House); err != nil {
		return nil, err
	}
	counts, err := s.storage.ImportItems(ctx, req.House, kind, req.Body)
	var cells *catalog.CSVError
	if errors.As(err, &cells) {
		return nil, cellRefusal(cells)
	}
	if err != nil {
		return nil, storageRefusal(err, req.House, "")
	}
	return ImportItems200JSONResponse{Created: counts.Created, Changed: counts.Changed, Unchanged: counts.Unchanged}, nil
}

func cellRefusal(e *catalog.CSVError) *Refusal {
	r := refuse(ReasonInvalid, "%s; nothing was stored.", fileFault(e))
	for i, f := range e.Faults {
		if i == maxFaults {
			r.Detail += fmt.Sprintf(" The first %d are listed.", maxFaults)
			break
		}
		// A fault of the whole file has no line of its own: the heading's stands for it.
		r.Faults = append(r.Faults, Fault{Line: max(f.Line, 1), Column: f.Column, Kind: fault.Other{Says: f.Reason}})
	}
	return r
}

// fileFault says in a few words what is wrong with a file.
func fileFault(e *catalog.CSVError) string {
	if e.Heading != "" {
		return "The heading of the file is wrong: " + e.Heading
	}
	what := "cell"
	if slices.ContainsFunc(e.Faults, func(f catalog.CellFault) bool { return f.Column == "" }) {
		what = "place" // a whole row, or the file
	}
	if n := len(e.Faults) + e.More; n != 1 {
		if e.GivenUp {
			return fmt.Sprintf("At least %d %ss of the file are wrong, and the rest was not read", n, what)
		}
		return fmt.Sprintf("%d %ss of the file are wrong", n, what)
	}
	return fmt.Sprintf("1 %s of the file is wrong", what)
}

func (s *Server) itemAnswer(status int, house catalog.House, item catalog.StoredItem) (rendered, error) {
	today := office.DateIn(office.ZoneOf(house), s.now())
	body, err := itemJSON(&item.Item, today)
	if err != nil {
		return rendered{}, err
	}
	return rendered{status: status, tag: itemTag(&item, today), body: append(body, '\n')}, nil
}

// house finds the house of an address.
func (s *Server) house(ctx context.Context, slug string) (catalog.House, error) {
	stock, err := s.catalogues.Snapshot(ctx, slug)
	if err != nil {
		return catalog.House{}, storageRefusal(err, slug, "")
	}
	return stock.House, nil
}

// pageOf reads the parameters of a list.
func pageOf(limit *int, cursor *string) (count int, after string, faults []Fault) {
	count = defaultPage
	if limit != nil {
		count = *limit
		if count < 1 || count > greatPage {
			faults = append(faults, faultOf("limit", fault.Other{Says: fmt.Sprintf("%d: give 1 to %d", count, greatPage)}))
		}
	}
	if cursor != nil {
		var at struct{ After string }
		text, err := base64.RawURLEncoding.DecodeString(*cursor)
		if err != nil || json.Unmarshal(text, &at) != nil || at.After == "" {
			faults = append(faults, faultOf("cursor", fault.Other{Says: "is not one of this list: send next_cursor as it came, or start without"}))
		}
		after = at.After
	}
	return count, after, faults
}

// cursorAfter is opaque to clients: where the next page starts may one day need more than a name.
func cursorAfter(name string) string {
	text, err := json.Marshal(struct{ After string }{name})
	if err != nil { // a struct of one string always encodes
		return ""
	}
	return base64.RawURLEncoding.EncodeToString(text)
}

func kindOf(k *Kind) (catalog.Kind, []Fault) {
	if k == nil {
		return "", nil
	}
	if catalog.NewSpec(catalog.Kind(*k)) == nil {
		return "", []Fault{faultOf("kind", fault.UnknownKind{Got: cut(string(*k)), Words: kindWords()})}
	}
	return catalog.Kind(*k), nil
}

// writeRefusal is [storageRefusal] for an item that was to be stored, with what only the storage can see.
func writeRefusal(err error, house string, item *catalog.Item) error {
	var unsound *catalog.InvalidError
	if !errors.As(err, &unsound) {
		return storageRefusal(err, house, item.SKU)
	}
	faults := make([]Fault, len(unsound.Problems))
	for i, p := range unsound.Problems {
		faults[i] = faultAt(pointerOfField(p.Field, item.Kind()), fault.Other{Says: p.Detail})
	}
	return invalid(faults)
}

// storageRefusal tells the client what the storage refused.
func storageRefusal(err error, house, sku string) error {
	r := &Refusal{cause: err}
	switch {
	case errors.Is(err, catalog.ErrNoHouse):
		r.Reason, r.Detail = ReasonNotFound, fmt.Sprintf("There is no house %q: see /v1/houses.", cut(house))
	case errors.Is(err, catalog.ErrNoItem):
		r.Reason, r.Detail = ReasonNotFound, fmt.Sprintf("House %s has no item %q.", house, cut(sku))
	case errors.Is(err, catalog.ErrItemExists):
		r.Reason, r.Detail = ReasonConflict, fmt.Sprintf("House %s has an item %s already: change it with PUT, or choose another SKU.", house, sku)
		r.Faults = []Fault{faultAt("/sku", fault.Other{Says: sku + " is taken"})}
	case errors.Is(err, catalog.ErrKeyReused):
		r.Reason, r.Detail = ReasonConflict, "This Idempotency-Key was used with another body: take a new key for a new item."
		r.Faults = []Fault{faultOf("Idempotency-Key", fault.Other{Says: "was used with another body"})}
	case errors.Is(err, catalog.ErrItemChanged):
		r.Reason, r.Detail = ReasonPreconditionFailed, fmt.Sprintf("Item %s has changed since: read it again and send its ETag.", sku)
	case errors.Is(err, catalog.ErrUnavailable):
		r.Reason, r.Detail = ReasonUnavailable, "The catalogue cannot be reached now: try again in a moment."
	case errors.Is(err, catalog.ErrItemInUse):
		r.Reason, r.Detail = ReasonConflict, fmt.Sprintf("Another item of house %s needs %s: change that one first.", house, sku)
	default:
		return err
	}
	return r
}
