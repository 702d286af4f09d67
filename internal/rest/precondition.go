package rest

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
)

// match is what If-Match asks of an item (RFC 9110, 13.1.1): that there is one, or that its tag is one of some.
type match struct {
	any  bool
	tags []string
}

// itemTag is the ETag of an item: its version, and the day from which the rate that is in force on a date holds, since the item is sent with
// that rate.
func itemTag(item *catalog.StoredItem, on catalog.Date) string {
	tag := strconv.FormatInt(item.Version, 10)
	if rate, ok := item.RateInForce(on); ok {
		tag += "." + rate.From.String()
	}
	return strconv.Quote(tag)
}

// ifMatch reads the header. Weak tags match nothing, since the comparison is the strong one (8.8.3.2), and so does what
// is no tag of this server: the change is then refused as one that comes too late.
func ifMatch(header *string) (match, error) {
	if header == nil || strings.TrimSpace(*header) == "" {
		return match{}, refuse(ReasonPreconditionRequired, "Send If-Match with the ETag of what you change as you read it, so that nobody's change is lost.")
	}
	if strings.TrimSpace(*header) == "*" {
		return match{any: true}, nil
	}
	var m match
	for tag := range entityTags(*header) {
		m.tags = append(m.tags, tag)
	}
	return m, nil
}

// entityTags splits a list of tags, each with its quotes and, where it is weak, its W/. Quotes may hold a comma.
func entityTags(list string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		for {
			list = strings.TrimLeft(list, " \t,")
			if list == "" {
				return
			}
			weak := len(list) - len(strings.TrimPrefix(list, "W/"))
			end := strings.IndexByte(list, ',')
			if strings.HasPrefix(list[weak:], `"`) {
				if end = strings.IndexByte(list[weak+1:], '"'); end >= 0 {
					end += weak + 2
				}
			}
			if end < 0 {
				end = len(list)
			}
			if !yield(strings.TrimSpace(list[:end])) {
				return
			}
			list = list[end:]
		}
	}
}

// changeItem makes a change to an item in the state that was asked for, or answers [catalog.ErrItemChanged]. Where any state
// will do, another's change in between is met by trying again.
func (s *Server) changeItem(ctx context.Context, house catalog.House, sku string, m match, change func(version int64) error) error {
	const tries = 5
	for try := 1; ; try++ {
		item, err := s.storage.Item(ctx, house.Slug, sku)
		if err != nil {
			return err
		}
		if !m.any && !slices.Contains(m.tags, itemTag(&item, office.DateIn(office.ZoneOf(house), s.now()))) {
			return catalog.ErrItemChanged
		}
		err = change(item.Version)
		if !m.any || try == tries || !errors.Is(err, catalog.ErrItemChanged) {
			return err
		}
	}
}

// matchesTag reports whether If-None-Match holds the tag, by the weak comparison (RFC 9110, 13.1.2).
func matchesTag(header, tag string) bool {
	tag = strings.TrimPrefix(tag, "W/")
	for each := range entityTags(header) {
		if each == "*" || strings.TrimPrefix(each, "W/") == tag {
			return true
		}
	}
	return false
}
