package rest

import (
	"context"

	"kitspan/internal/catalog"
)

// ListHouses serves a page of houses; there are few, so that all are read.
func (s *Server) ListHouses(ctx context.Context, req ListHousesRequestObject) (ListHousesResponseObject, error) {
	limit, after, faults := pageOf(req.Params.Limit, req.Params.Cursor)
	if len(faults) > 0 {
		return nil, malformed(faults)
	}
	houses, err := s.catalogues.Houses(ctx)
	if err != nil {
		return nil, storageRefusal(err, "", "")
	}
	out := ListHouses200JSONResponse{Items: []House{}}
	for _, h := range houses {
		if h.Slug <= after {
			continue
		}
		if len(out.Items) == limit {
			next := cursorAfter(out.Items[limit-1].House)
			out.NextCursor = &next
			break
		}
		out.Items = append(out.Items, houseOf(h))
	}
	return out, nil
}

// GetHouse reads one house.
func (s *Server) GetHouse(ctx context.Context, req GetHouseRequestObject) (GetHouseResponseObject, error) {
	house, err := s.house(ctx, req.House)
	if err != nil {
		return nil, err
	}
	return GetHouse200JSONResponse(houseOf(house)), nil
}

func houseOf(h catalog.House) House {
	return House{House: h.Slug, Name: h.Name, Currency: h.Currency, TimeZone: h.TimeZone}
}
