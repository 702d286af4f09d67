package sizing

import (
	"math"
	"slices"

	"kitspan/internal/finding"
	"kitspan/internal/shot"
)

// spell is the time between two rows of a forecast. Its gust is the larger of theirs: when between them it comes up or goes down, the
// forecast does not say. Before the first row and after the last there is none.
type spell struct {
	finding.Span
	gustMS float64
}

// spellsWithin returns the spells of a forecast in order, cut to a span of time.
func spellsWithin(rows []shot.ForecastRow, within finding.Span) []spell {
	var out []spell
	for i := 1; i < len(rows); i++ {
		s := spell{finding.Span{From: rows[i-1].At, To: rows[i].At}, math.Max(rows[i-1].GustMS, rows[i].GustMS)}
		if s.From.Before(within.From) {
			s.From = within.From
		}
		if s.To.After(within.To) {
			s.To = within.To
		}
		if s.From.Before(s.To) {
			out = append(out, s)
		}
	}
	return out
}

// times returns when the gust of the spells is at least fromMS and under belowMS, spells that follow each other as one.
func times(spells []spell, fromMS, belowMS float64) []finding.Span {
	out := []finding.Span{}
	for _, s := range spells {
		if s.gustMS < fromMS || s.gustMS >= belowMS {
			continue
		}
		if n := len(out); n > 0 && out[n-1].To.Equal(s.From) {
			out[n-1].To = s.To
		} else {
			out = append(out, s.Span)
		}
	}
	return out
}

// forecastSpan returns from when to when the forecast speaks of the days of the shot's window; nil where it does not.
func (pl *planner) forecastSpan() *finding.Span {
	spells := pl.spellsOfDays()
	if len(spells) == 0 {
		return nil
	}
	return &finding.Span{From: spells[0].From, To: spells[len(spells)-1].To}
}

func (pl *planner) spellsOfDays() []spell {
	from, to := pl.shot.Window.Days()
	return spellsWithin(pl.shot.Forecast, finding.Span{From: from, To: to})
}

// forecastShort notes a forecast that does not cover a window.
func (pl *planner) forecastShort(w shot.Window) []finding.Note {
	rows := pl.shot.Forecast
	if len(rows) == 0 {
		return nil
	}
	if first, last := rows[0].At, rows[len(rows)-1].At; first.After(w.From) || last.Before(w.To) {
		return []finding.Note{finding.ForecastShort{From: first, To: last}}
	}
	return nil
}

// byForecast fills in when the pieces of an option may stand by the forecast, and notes when in the option's window they must be down.
// Nothing is chosen by it.
func byForecast(pl *planner, opt *Option) {
	spells := pl.spellsOfDays()
	if len(spells) == 0 {
		return
	}
	for i := range opt.Pieces {
		v := &opt.Pieces[i]
		v.Stands, v.OnWatch = times(spells, 0, v.Hold.LowerAtMS), times(spells, v.Hold.WatchAtMS, v.Hold.LowerAtMS)
	}
	inWindow := spellsWithin(pl.shot.Forecast, finding.Span{From: opt.Window.From, To: opt.Window.To})
	for _, n := range mustBeDown(opt.Pieces, inWindow) {
		opt.Notes = append(opt.Notes, n)
	}
}

// mustBeDown notes when in spells pieces must be down: what is down at the same times together, in the order of the pieces. Of pieces of
// one role the one that is lowered first counts.
func mustBeDown(pieces []Piece, spells []spell) []finding.MustBeDown {
	var out []finding.MustBeDown
	done := map[finding.Role]bool{}
	for i := range pieces {
		role := pieces[i].Role
		if done[role] {
			continue
		}
		done[role] = true
		n := finding.MustBeDown{Roles: []finding.Role{role}, LowerAtMS: math.Inf(1)}
		for k := range pieces {
			if pieces[k].Role == role {
				n.LowerAtMS = math.Min(n.LowerAtMS, pieces[k].Hold.LowerAtMS)
			}
		}
		if n.Times = times(spells, n.LowerAtMS, math.Inf(1)); len(n.Times) == 0 {
			continue
		}
		for _, s := range spells { // the largest of all is among those times
			n.GustMS = math.Max(n.GustMS, s.gustMS)
		}
		if at := slices.IndexFunc(out, func(o finding.MustBeDown) bool { return slices.Equal(o.Times, n.Times) }); at >= 0 {
			out[at].Roles, out[at].LowerAtMS = append(out[at].Roles, role), math.Min(out[at].LowerAtMS, n.LowerAtMS)
		} else {
			out = append(out, n)
		}
	}
	return out
}
