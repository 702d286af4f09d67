package web

import (
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
)

func (s cataloguePages) houses(c echo.Context) error {
	houses, err := s.Office.Stock.Houses(c.Request().Context())
	if err != nil {
		return err
	}
	return s.render(c, http.StatusOK, "houses", frame{Title: languageOf(c.Request()).Say("Catalogues"), Here: "catalogue", Page: houses})
}

// itemRow is an item in a list.
type itemRow struct {
	*catalog.Item
	Rate  string
	Facts []cell
}

// cell is one attribute and its value in words.
type cell struct{ Name, Means, Value, Error string }

// Label returns the attribute's name for people: "mass, kg" for mass_kg.
func (c cell) Label() string {
	name := c.Name
	for _, u := range [...]struct{ suffix, unit string }{
		{"_kg_m2", "kg/m²"}, {"_kg", "kg"}, {"_m3", "m³"}, {"_m2", "m²"}, {"_ms", "m/s"}, {"_m", "m"}, {"_deg", "°"}, {"_n", "N"}, {"_w", "W"}, {"_cd", "cd"},
	} {
		if rest, ok := strings.CutSuffix(name, u.suffix); ok {
			name = rest + ", " + u.unit
			break
		}
	}
	return strings.ReplaceAll(name, "_", " ")
}

// mostItems is how many items a page lists; a search finds the rest.
const mostItems = 200

// items is a house's catalogue, by kind and by words of name or SKU.
func (s cataloguePages) items(c echo.Context) error {
	stock, err := s.Office.Snapshot(c.Request().Context(), c.Param("house"))
	if err != nil {
		return err
	}
	kind := catalog.Kind(c.QueryParam("kind"))
	if kind != "" && !slices.Contains(catalog.Kinds(), kind) {
		return &pageError{http.StatusNotFound, "There is no kind of item called %q.", []any{string(kind)}}
	}
	search, err := catalog.NewSearch(kind, c.QueryParam("q"))
	if err != nil {
		return &pageError{http.StatusBadRequest, "That is too long to search for: type at most %d characters.", []any{catalog.MaxSearch}}
	}
	r, today := readerOf(c.Request(), ""), s.Office.Today(stock.House)
	type page struct {
		House catalog.House
		Kinds []catalog.Kind
		Kind  catalog.Kind
		Words string
		Rows  []itemRow
		More  int
	}
	p := page{House: stock.House, Kinds: catalog.Kinds(), Kind: kind, Words: c.QueryParam("q")}
	all := stock.Items()
	for i := range all {
		item := &all[i]
		if !search.Finds(item) {
			continue
		}
		if len(p.Rows) == mostItems {
			p.More++
			continue
		}
		row := itemRow{Item: item}
		if rate, ok := item.RateOn(today); ok {
			row.Rate = r.amount(rate)
		}
		p.Rows = append(p.Rows, row)
	}
	return s.render(c, http.StatusOK, "items", frame{Title: stock.House.Name, Here: "catalogue", Page: p})
}

// itemPage is an item to read and, for staff, to change.
type itemPage struct {
	House   catalog.House
	Item    *catalog.Item
	Version int64
	Cells   []cell
	// Lost means that somebody else changed the item meanwhile: the cells are what was typed, Theirs what it is now.
	Lost    bool
	Theirs  []cell
	Saved   bool
	General []string
}

func (s cataloguePages) item(c echo.Context) error {
	house, stored, err := s.stored(c)
	if err != nil {
		return err
	}
	return s.render(c, http.StatusOK, "item", frame{Title: stored.Name, Here: "catalogue", Page: itemPage{
		House: house, Item: &stored.Item, Version: stored.Version, Cells: cellsOf(house, &stored.Item), Saved: c.QueryParam("saved") != "",
	}})
}

func (s cataloguePages) stored(c echo.Context) (catalog.House, catalog.StoredItem, error) {
	stock, err := s.Office.Snapshot(c.Request().Context(), c.Param("house"))
	if err != nil {
		return catalog.House{}, catalog.StoredItem{}, err
	}
	if !catalog.IsSKU(c.Param("sku")) {
		return stock.House, catalog.StoredItem{}, catalog.ErrNoItem
	}
	item, err := s.Storage.Item(c.Request().Context(), c.Param("house"), c.Param("sku"))
	return stock.House, item, err
}

// cellsOf are an item's fields as texts. What the attributes of its kind mean is said beside them.
func cellsOf(house catalog.House, item *catalog.Item) []cell {
	own := map[string]bool{}
	for _, f := range item.Spec.Fields() {
		own[f.Name] = true
	}
	var out []cell
	for _, f := range item.Fields(house.Currency) {
		c := cell{Name: f.Name, Value: f.Format()}
		if own[f.Name] {
			c.Means = f.Means
		}
		out = append(out, c)
	}
	return out
}

// editItem puts what staff typed in the place of the item, if nobody else has changed it since.
func (s cataloguePages) editItem(c echo.Context) error {
	house, stored, err := s.stored(c)
	if err != nil {
		return err
	}
	version, err := strconv.ParseInt(c.FormValue("version"), 10, 64)
	if err != nil {
		return &pageError{status: http.StatusBadRequest, says: "The form does not say which state of the item it is of: reload the page."}
	}
	page := itemPage{House: house, Item: &stored.Item, Version: version, Cells: cellsOf(house, &stored.Item)}
	now := slices.Clone(page.Cells)
	for i := range page.Cells {
		page.Cells[i].Value = c.FormValue("f_" + page.Cells[i].Name)
	}
	item := catalog.Item{SKU: stored.SKU, Spec: catalog.NewSpec(stored.Kind())}
	faults := item.Edit(house, func(field string) string { return c.FormValue("f_" + field) })
	status := http.StatusUnprocessableEntity
	if len(faults) == 0 {
		_, err = s.Storage.ReplaceItem(c.Request().Context(), house.Slug, item, version)
		var invalid *catalog.InvalidError
		switch {
		case err == nil:
			return c.Redirect(http.StatusSeeOther, c.Request().URL.Path+"?saved=1")
		case errors.Is(err, catalog.ErrItemChanged):
			status, page.Lost, page.Theirs, page.Version = http.StatusPreconditionFailed, true, differing(now, page.Cells), stored.Version
		case errors.As(err, &invalid):
			faults = invalid.Problems
		default:
			return err
		}
	}
	for _, f := range faults {
		at := slices.IndexFunc(page.Cells, func(x cell) bool { return x.Name == f.Field })
		if at < 0 {
			page.General = append(page.General, f.Detail)
			continue
		}
		page.Cells[at].Error = f.Detail
	}
	return s.render(c, status, "item", frame{Title: stored.Name, Here: "catalogue", Page: page})
}

// differing are the cells of one list that another has otherwise.
func differing(now, typed []cell) (out []cell) {
	for i := range now {
		if now[i].Value != typed[i].Value {
			out = append(out, now[i])
		}
	}
	return out
}
