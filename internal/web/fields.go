package web

import (
	"strconv"
	"strings"

	"github.com/bojanz/currency"

	"kitspan/internal/phrase"
	"kitspan/internal/shot"
)

// kind is how a field is written and read.
type kind string

const (
	asNumber  kind = "number"
	asLength  kind = "length"
	asWhole   kind = "whole" // a whole number
	asMoney   kind = "money" // in the house's currency
	asText    kind = "text"
	asDate    kind = "date"
	asTime    kind = "time"
	asBearing kind = "bearing"
	asChoice  kind = "choice"
	asCheck   kind = "check"
	asLines   kind = "lines"
	asTable   kind = "table" // CSV
	asQuick   kind = "quick" // fills other fields and is gone
)

// fieldDef is one field of the form: how it is asked, which member of a sizing request it is, and how it gets there.
type fieldDef struct {
	Name, Unit  string
	Label, Hint phrase.Key
	Kind        kind
	Words       []word
	pointer     string // of the member in a sizing request
	number      func(d *shot.Draft) **float64
	text        func(d *shot.Draft) **string
	flag        func(d *shot.Draft) **bool
	money       func(d *shot.Draft) **currency.Amount
	// shown is the value that is taken where nothing is said.
	shown func(s *shot.Shot) float64
	// follows is set where that depends on what else is said.
	follows bool
	// set and get are of a member that is none of these; get returns what is typed for it, "" where it was not said.
	set func(d *shot.Draft, v float64)
	get func(d *shot.Draft) string
}

// word is a choice and what it is called. The first of a list is what is taken where nothing is said: it is the blank, and its value may
// stand in an address all the same.
type word struct {
	Value string
	Label phrase.Key
}

// groupDef is fields that stand together; the later ones fold away.
type groupDef struct {
	Name   string
	Label  phrase.Key
	Folded bool
	Fields []*fieldDef
}

func num(name string, label phrase.Key, unit, pointer string, to func(d *shot.Draft) **float64, shown func(s *shot.Shot) float64) *fieldDef {
	return &fieldDef{Name: name, Label: label, Unit: unit, Kind: asNumber, pointer: pointer, number: to, shown: shown}
}

func length(name string, label phrase.Key, pointer string, to func(d *shot.Draft) **float64, shown func(s *shot.Shot) float64) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asLength, pointer: pointer, number: to, shown: shown}
}

// lengthBy is a length that is a part of a list of coordinates.
func lengthBy(name string, label phrase.Key, pointer string, set func(d *shot.Draft, v float64), get func(d *shot.Draft) string) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asLength, pointer: pointer, set: set, get: get}
}

func amount(name string, label phrase.Key, pointer string, to func(d *shot.Draft) **currency.Amount) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asMoney, pointer: pointer, money: to}
}

func said(name string, label phrase.Key, k kind, pointer string, to func(d *shot.Draft) **string) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: k, pointer: pointer, text: to}
}

func chosen(name string, label phrase.Key, pointer string, to func(d *shot.Draft) **string, words ...word) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asChoice, pointer: pointer, text: to, Words: words}
}

func check(name string, label phrase.Key, pointer string, to func(d *shot.Draft) **bool) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asCheck, pointer: pointer, flag: to}
}

func lines(name string, label phrase.Key, pointer string, hint phrase.Key) *fieldDef {
	return &fieldDef{Name: name, Label: label, Kind: asLines, pointer: pointer, Hint: hint}
}

// follow says that the field's default depends on what else is said.
func (f *fieldDef) follow() *fieldDef { f.follows = true; return f }

func (f *fieldDef) hint(s phrase.Key) *fieldDef { f.Hint = s; return f }

// coordinate sets one coordinate of a list of two, and returns what is typed for it.
func coordinate(of func(d *shot.Draft) *[]float64, axis int) (func(d *shot.Draft, v float64), func(d *shot.Draft) string) {
	set := func(d *shot.Draft, v float64) {
		list := of(d)
		if *list == nil {
			*list = make([]float64, 2)
		}
		(*list)[axis] = v
	}
	get := func(d *shot.Draft) string {
		if list := *of(d); axis < len(list) {
			return anyNotation(list[axis])
		}
		return ""
	}
	return set, get
}

// walkOf is the way that people walk, made where there is none and it is to be written.
func walkOf(d *shot.Draft) *[]float64 {
	if d.Walk == nil {
		return &[]float64{}
	}
	return &d.Walk.ToM
}

func walkBy(axis int) (func(d *shot.Draft, v float64), func(d *shot.Draft) string) {
	set, get := coordinate(walkOf, axis)
	return func(d *shot.Draft, v float64) {
		if d.Walk == nil {
			d.Walk = &shot.DraftWalk{}
		}
		set(d, v)
	}, get
}

// crewField is the most people.
func crewField() *fieldDef {
	return &fieldDef{
		Name: crewName, Label: "People at most", Kind: asWhole, pointer: "/limits/crew",
		set: func(d *shot.Draft, v float64) { n := int(v); d.Limits.Crew = &n },
		get: func(d *shot.Draft) string {
			if d.Limits.Crew == nil {
				return ""
			}
			return strconv.Itoa(*d.Limits.Crew)
		},
	}
}

// ladderField is the numbers of people of which each has a best answer.
func ladderField() *fieldDef {
	return &fieldDef{
		Name: ladderName, Label: "The best that so many people can light", Kind: asText, pointer: "/crew_ladder",
		Hint: "numbers of people, such as 2 3 4: an answer for each, in the plan as text and as JSON",
		get: func(d *shot.Draft) string {
			list := make([]string, len(d.CrewLadder))
			for i, n := range d.CrewLadder {
				list[i] = strconv.Itoa(n)
			}
			return strings.Join(list, " ")
		},
	}
}
