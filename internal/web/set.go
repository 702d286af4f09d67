package web

import (
	"errors"
	"html/template"
	"math"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"

	"kitspan/internal/finding"
	"kitspan/internal/geom"
	"kitspan/internal/httpchain"
	"kitspan/internal/office"
	"kitspan/internal/sizing"
	"kitspan/internal/text"
	"kitspan/internal/web/draw"
)

// The page for the phone on set: one option, piece by piece, to be read at arm's length and ticked off. Its address takes what the plan
// page's takes, so that one address holds the whole shot.

// setPage is a shot as it is worked from on set.
type setPage struct {
	Form   formView
	Faults []faultView
	Later  string
	Answer *answerView // nil where something is wrong with the form, or it cannot be worked out now
	Pieces []setPiece
	// Watch and Lower are the least gusts at which a piece is to be watched and to be down, m/s; Weakest are the pieces that come down
	// first. They are empty where nothing stands.
	Watch, Lower, Weakest string
	// Revision tells this plan from every other; what was ticked is kept under it.
	Revision string
	// Computed is when the plan was worked out, by the house's clock.
	Computed string
	Meter    *meterView // nil where something is wrong with the shot
	// Stands is how many spots there are to be ticked.
	Stands int
}

// setPiece is pieces that are alike, with every spot on the ground that belongs to them.
type setPiece struct {
	draw.Mark
	Hold  holdRow
	Says  []string
	Spots []setSpot
	// Cautions are those of these pieces alone, which stand beside them.
	Cautions []finding.Caution
	// Of and At are the place among all of them, from 1.
	At, Of int
}

// cautionsBeside returns those of a plan's cautions that belong to some of its pieces alone: sun off a board that throws a beam, mains and
// heat of a lamp.
func cautionsBeside(pieces []sizing.Piece, needed []finding.Caution) (list []finding.Caution) {
	add := func(c finding.Caution, mine func(sizing.Piece) bool) {
		if slices.Contains(needed, c) && slices.ContainsFunc(pieces, mine) {
			list = append(list, c)
		}
	}
	add(finding.CautionSun, func(v sizing.Piece) bool { return v.Aim != nil })
	add(finding.CautionMains, func(v sizing.Piece) bool { return v.Lamp != nil })
	return list
}

// setSpot is a spot on the ground, from the subject mark and from the lens.
type setSpot struct {
	text.Stake
	// ID names it among the spots of the plan; empty for what is measured and not put down, the middle of a frame.
	ID string
	// FromLens says how far before the lens or behind it it is; aside is the same from either.
	FromLens string
	// MarkTape and LensTape are the distances over the ground from the subject mark and from below the lens: where two tapes of these
	// lengths meet, on the side that is said, is the spot.
	MarkTape, LensTape string
}

// set is a shot on the phone. Of an empty address there is none.
func (s planPages) set(c echo.Context) error {
	if len(c.Request().URL.Query()) == 0 {
		return c.Redirect(http.StatusSeeOther, "/plan")
	}
	t, err := s.take(c)
	if err != nil {
		return err
	}
	page := setPage{Faults: t.form.faults()}
	f := frame{Title: languageOf(c.Request()).Say("On set"), Here: "set", Query: template.URL(t.form.query()), Extra: s.setStyle, Script: s.setScriptAt()} //nolint:gosec // encoded by net/url
	if name := t.form.Draft.Name; name != "" {
		f.Title = name
	}
	status := http.StatusOK
	page.Form = s.view(t, nil, nil)
	if !t.sound {
		f.Page = page
		return s.render(c, http.StatusUnprocessableEntity, "set", f)
	}
	page.Form = s.view(t, &t.job.Shot, nil)
	meter, readings, complete := readMeter(c.Request().URL.Query(), t)
	page.Meter = meter
	var res sizing.Result
	var metered *sizing.Metered
	if complete {
		res, metered, err = s.Office.Meter(c.Request().Context(), t.job, t.form.typed.Get(optionField), readings)
	} else {
		res, err = s.Office.Plan(c.Request().Context(), t.job)
	}
	switch {
	case errors.Is(err, office.ErrBusy), errors.Is(err, office.ErrTimeLimit):
		page.Later, status = t.reader.language.Say(later(err)), http.StatusServiceUnavailable
		httpchain.AskLater(c)
	case err != nil:
		return err
	default:
		if err := s.fillSet(&page, &res, t); err != nil {
			return err
		}
		if metered != nil && page.Answer.Chosen != nil {
			meter.Told = told(metered, &readings, &res, page.Answer.Chosen, t)
		}
	}
	f.Page = page
	return s.render(c, status, "set", f)
}

// fillSet puts an answer onto the page.
func (s planPages) fillSet(page *setPage, res *sizing.Result, t *taken) (err error) {
	page.Answer = t.shown(res, true)
	page.Computed = t.reader.moment(s.Office.Now().In(office.ZoneOf(t.job.Stock.House)))
	chosen := page.Answer.Chosen
	if chosen == nil {
		return nil
	}
	// The first option and the one that is named are the same plan, and have the same ticks.
	if page.Revision, err = revisionOf(t.form.query(optionField, chosen.Name), t.job.Stock); err != nil {
		return err
	}
	eye, needed := res.Shot.View().Eye, chosen.Cautions(&res.Shot)
	for i := range chosen.Staked {
		p := setPiece{Mark: chosen.Staked[i].Mark, Says: chosen.Staked[i].Says, Hold: chosen.Holds[i], At: i + 1, Of: len(chosen.Staked)}
		for k := range chosen.Staked[i].Stakes {
			spot := setSpotOf(&chosen.Staked[i].Stakes[k], eye, t.reader)
			if !spot.Middle {
				page.Stands++
				spot.ID = strconv.Itoa(i) + "-" + strconv.Itoa(k)
			}
			p.Spots = append(p.Spots, spot)
		}
		p.Cautions = cautionsBeside(chosen.Pieces[p.First-1:p.Last], needed)
		page.Pieces = append(page.Pieces, p)
	}
	page.Watch, page.Lower, page.Weakest = weakestOf(chosen, t.reader)
	return nil
}

// setSpotOf is a spot of the staking-out table with its distances from the lens.
func setSpotOf(stake *text.Stake, eye geom.Vec, r reader) setSpot {
	along := stake.At.Y - eye.Y
	out := setSpot{
		Stake: *stake, FromLens: r.language.Say("lens|level with it"),
		MarkTape: r.length(math.Hypot(stake.At.X, stake.At.Y)), LensTape: r.length(math.Hypot(stake.At.X-eye.X, along)),
	}
	const nothing = 0.005 // metres, at two decimals
	switch {
	case along >= nothing:
		out.FromLens = r.language.Say("lens|%s ahead", r.length(along))
	case along <= -nothing:
		out.FromLens = r.language.Say("lens|%s behind", r.length(-along))
	}
	return out
}

// weakestOf is the least gust at which a piece is watched and at which it is to be down, with the numbers of those that come down first;
// all empty where nothing stands.
func weakestOf(o *optionView, r reader) (watch, lower, pieces string) {
	least, watched := math.Inf(1), math.Inf(1)
	for i := range o.Pieces {
		least, watched = math.Min(least, o.Pieces[i].Hold.LowerAtMS), math.Min(watched, o.Pieces[i].Hold.WatchAtMS)
	}
	if math.IsInf(least, 1) {
		return "", "", ""
	}
	first := r.down(least)
	n := 0
	var who []string
	for k, row := range draw.Rows(o.Option) {
		if slices.ContainsFunc(row, func(p sizing.Piece) bool { return r.down(p.Hold.LowerAtMS) == first }) && k < len(o.Legend) {
			who = append(who, o.Legend[k].Numbers)
		}
		n += len(row)
	}
	return r.down(watched), first, strings.Join(who, ", ")
}
