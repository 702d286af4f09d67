package shotlist

import (
	"slices"
	"strings"

	"kitspan/internal/fault"
	"kitspan/internal/job"
)

// Table is what was read of a table of shots.
type Table struct {
	// Shots are those of its rows; of cells that cannot be read nothing was said.
	Shots []job.DraftShot

	lines  []int // beside Shots
	unread []fault.Fault
	broken bool // no row was read
}

// place returns the pointer of a shot's column in the job.
func place(row int, c *column) string {
	return job.ShotPointer(row) + "/" + strings.ReplaceAll(c.name, ".", "/")
}

// wrong notes what is wrong in a line; column is empty for the whole line.
func (t *Table) wrong(line int, column, pointer string, k fault.Kind) {
	t.unread = append(t.unread, fault.Fault{Pointer: pointer, Line: line, Column: column, Kind: k})
}

// Faults returns all that is wrong, in the order of the lines: cells that cannot be read, and those of the faults of the job that the shots would
// make. Pointers are those of the job itself.
func (t *Table) Faults(ofJob []fault.Fault) []fault.Fault {
	out := slices.Clone(t.unread)
	if t.broken {
		ofJob = nil
	}
	for _, f := range ofJob {
		f.Line, f.Column = t.at(f.Pointer)
		covered := slices.ContainsFunc(t.unread, func(u fault.Fault) bool {
			return u.Line == f.Line && (u.Column == f.Column || u.Column == "" || f.Column == "")
		})
		if !covered {
			out = append(out, f)
		}
	}
	slices.SortStableFunc(out, func(a, b fault.Fault) int { return a.Line - b.Line })
	return job.Bare(out)
}

// at returns the line and the column of a pointer of the job: the first line for what is of no shot, and the first of several columns.
func (t *Table) at(pointer string) (line int, name string) {
	i, rest, ok := job.CutShot(pointer)
	if !ok || i >= len(t.lines) {
		return 1, ""
	}
	path := strings.ReplaceAll(strings.TrimPrefix(rest, "/"), "/", ".")
	for c := range columns {
		if n := columns[c].name; path == n || strings.HasPrefix(path, n+".") {
			return t.lines[i], n
		}
	}
	for c := range columns {
		if strings.HasPrefix(columns[c].name, path+".") {
			return t.lines[i], columns[c].name
		}
	}
	return t.lines[i], ""
}

// Changes are what a table does to the shots of a job, by their numbers.
type Changes struct {
	Added, Changed, Removed []string
	Unchanged               int
	// Reordered is set where shots that stay come in another order.
	Reordered bool
}

// Compare returns what makes the shots after of those before.
func Compare(before, after []job.DraftShot) Changes {
	var c Changes
	was := map[string]int{}
	for i, s := range before {
		was[numberOf(s)] = i
	}
	last := -1
	for _, s := range after {
		n := numberOf(s)
		i, there := was[n]
		if !there {
			c.Added = append(c.Added, n)
			continue
		}
		delete(was, n)
		c.Reordered = c.Reordered || i < last
		last = i
		if job.SameShot(before[i], s) {
			c.Unchanged++
		} else {
			c.Changed = append(c.Changed, n)
		}
	}
	for _, s := range before {
		if _, gone := was[numberOf(s)]; gone {
			c.Removed = append(c.Removed, numberOf(s))
		}
	}
	return c
}

func numberOf(s job.DraftShot) string {
	if s.Number == nil {
		return ""
	}
	return *s.Number
}
