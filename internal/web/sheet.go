package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"kitspan/internal/catalog"
	"kitspan/internal/office"
	"kitspan/internal/phrase"
	"kitspan/internal/shot"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// The sheet: one option in full, to be printed and rigged from.

// sheetView is what stands over the sheet beside the shot.
type sheetView struct {
	House, Place, Printed, Revision string
	// Back is the address of the plan of the job that the shot is of; empty for a shot by itself.
	Back string
}

// stakedRow is pieces of the staking-out table that stand together: what their numbers are, what goes for all of them, and their spots.
type stakedRow struct {
	draw.Mark
	Says   []string
	Stakes []text.Stake
}

// stakedOf is the staking-out table of an option; legend is its own.
func stakedOf(res *sizing.Result, o *sizing.Option, legend []draw.Mark, names map[string]string, r reader) []stakedRow {
	staked := text.Staking(r.text(), r.length, res, o, names)
	list := make([]stakedRow, len(legend))
	for i, m := range legend {
		row := &list[i]
		row.Mark = m
		pieces := staked[m.First-1 : m.Last]
		row.Says = aimed(pieces, r.language)
		for k := range pieces {
			row.Stakes = append(row.Stakes, pieces[k].Stakes...)
		}
		if says := pieces[0].Ropes; says != "" { // a piece with ropes is a row of its own
			row.Says = append(row.Says, says)
		}
	}
	return list
}

// aimed is how the pieces of a row are aimed, as far as all are alike; what is not is added to what each of them is.
func aimed(pieces []text.Staked, l *phrase.Language) []string {
	by, on := pieces[0].AimedBy, pieces[0].AimedOn
	for k := range pieces {
		if pieces[k].AimedBy != by {
			by = ""
		}
		if pieces[k].AimedOn != on {
			on = ""
		}
	}
	for k := range pieces {
		switch p := &pieces[k]; {
		case p.AimedBy == "" || by != "" && on != "":
		case by != "":
			p.Stakes[0].Is = l.Say("%s; beam on %s", p.Stakes[0].Is, p.AimedOn)
		default:
			p.Stakes[0].Is = l.Say("%s; %s on %s", p.Stakes[0].Is, p.AimedBy, p.AimedOn)
		}
	}
	switch {
	case by == "":
		return nil
	case on == "":
		return []string{by}
	}
	return []string{l.Say("%s on %s", by, on)}
}

// option is the sheet of one option.
func (s planPages) option(c echo.Context) error {
	t, err := s.take(c)
	if err != nil {
		return err
	}
	if !t.sound {
		return c.Redirect(http.StatusSeeOther, "/plan?"+t.form.query())
	}
	page, err := s.answer(c.Request().Context(), t, true)
	if err != nil {
		return err
	}
	title := t.reader.language.Say("Plan")
	if t.form.Draft.Name != "" {
		title = t.form.Draft.Name
	}
	revision, err := revisionOf(t.form.query(optionField, t.form.typed.Get(optionField)), t.job.Stock)
	if err != nil {
		return err
	}
	house := t.job.Stock.House
	page.Sheet = &sheetView{
		House: house.Name, Place: placeNamed(keptPlaces(c.Request()), &t.job.Shot.Site, t.reader), Revision: revision,
		Printed: t.reader.moment(s.Office.Now().In(office.ZoneOf(house))),
	}
	return s.render(c, http.StatusOK, "option", frame{
		Title: title, Here: "plan", Query: page.Query, Page: page,
		Margin: title + " – " + t.reader.day(page.Shot.Window.Date) + " – revision " + revision,
	})
}

// placeNamed is the name under which the reader keeps a place, with its coordinates, or these alone.
func placeNamed(kept []place, at *shot.Site, r reader) string {
	coordinates := r.number(at.LatitudeDeg, 4) + "°, " + r.number(at.LongitudeDeg, 4) + "°"
	for _, p := range kept {
		lat, latErr := notations[0].number(p.Lat)
		lon, lonErr := notations[0].number(p.Lon)
		if latErr == nil && lonErr == nil && lat == at.LatitudeDeg && lon == at.LongitudeDeg { // as they were typed
			return p.Name + " (" + coordinates + ")"
		}
	}
	return coordinates
}

// revisionBytes are enough to tell the prints of a production apart: two of a thousand are taken for each other once in two thousand times.
const revisionBytes = 4

// revisionOf tells two prints apart. It is of the request, as the address has it, and of the house with all of its items and rates: the
// same of both gives the same sheet, but for a change of the program, and of today's rates for a day gone by.
func revisionOf(query string, stock *catalog.Snapshot) (string, error) {
	values, err := url.ParseQuery(query)
	if err != nil {
		return "", fmt.Errorf("web: revision: %w", err)
	}
	h := sha256.New()
	if err := json.NewEncoder(h).Encode([]any{values.Encode(), stock.House, stock.Items()}); err != nil {
		return "", fmt.Errorf("web: revision: %w", err)
	}
	return hex.EncodeToString(h.Sum(nil)[:revisionBytes]), nil
}

// moment is a day and the time of it, with its zone.
func (r reader) moment(t time.Time) string { return t.Format(r.date + ", 15:04 MST") }

// marginStyle gives the style's page margins their words. All but letters, digits and spaces is escaped (CSS Syntax Module Level 3, 4.3.7).
func marginStyle(words string) template.CSS {
	var b strings.Builder
	for _, r := range words {
		if r == ' ' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
			b.WriteRune(r)
			continue
		}
		fmt.Fprintf(&b, `\%x `, r)
	}
	return template.CSS(`:root{--margin:"` + b.String() + `"}`) //nolint:gosec // escaped
}
