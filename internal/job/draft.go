package job

import (
	"fmt"
	"strings"

	"kitspan/internal/shot"
)

// How much a job may hold, and how long its texts may be; common practice, no source.
const (
	MaxShots  = 500
	MaxPlaces = 50

	longestName   = 200
	longestNumber = 40
	longestPlace  = 60
	longestNotes  = 4000
	longestPerson = 400
	longestPost   = 1000
)

// Draft is a job as it was given: what is nil or empty was not said and gets its default from [Draft.Resolve]. As JSON it has the names of
// the contract.
type Draft struct {
	Name       *string          `json:"name,omitzero"`
	Production DraftProduction  `json:"production,omitzero"`
	Notes      *string          `json:"notes,omitzero"`
	TimeZone   *string          `json:"time_zone,omitzero"`
	Hire       DraftHire        `json:"hire,omitzero"`
	Moves      []DraftMove      `json:"moves,omitzero"`
	Places     map[string]Place `json:"places,omitzero"`
	Shots      []DraftShot      `json:"shots,omitzero"`
}

// DraftProduction is who a job is for.
type DraftProduction struct {
	Name    *string `json:"name,omitzero"`
	Contact *string `json:"contact,omitzero"`
	Address *string `json:"address,omitzero"`
}

// DraftHire is the first and last day of the hire, YYYY-MM-DD.
type DraftHire struct {
	From *string `json:"from,omitzero"`
	To   *string `json:"to,omitzero"`
}

// DraftMove is how long it takes between two places, in both directions.
type DraftMove struct {
	Between []string `json:"between,omitzero"`
	Minutes *int     `json:"minutes,omitzero"`
}

// Place is a site as it was given, with the forecast for it.
type Place struct {
	shot.DraftSite
	Forecast []shot.DraftForecastRow `json:"forecast,omitzero"`
}

// DraftShot is a shot of a job: what a sizing takes, at a place of the job. Its Site is not used.
type DraftShot struct {
	Number *string    `json:"number,omitzero"`
	Place  *string    `json:"place,omitzero"`
	When   *DraftWhen `json:"when,omitzero"`
	Pin    *string    `json:"pin,omitzero"`
	shot.Draft
}

// DraftWhen is the span of a day in which a movable shot is shot.
type DraftWhen struct {
	Date        *string `json:"date,omitzero"`
	Earliest    *string `json:"earliest,omitzero"`
	Latest      *string `json:"latest,omitzero"`
	DurationMin *int    `json:"duration_min,omitzero"`
}

// Pointers of a job's parts in the body of a plan request.
const (
	// Pointer is the job's own.
	Pointer       = "/job"
	shotsPointer  = Pointer + "/shots"
	placesPointer = Pointer + "/places"
)

// ShotPointer returns the pointer of a shot, from 0 on.
func ShotPointer(i int) string { return fmt.Sprintf("%s/%d", shotsPointer, i) }

// PlacePointer returns the pointer of a place.
func PlacePointer(name string) string { return placesPointer + "/" + escapes.Replace(name) }

// escapes writes a name as a segment of a pointer (RFC 6901, 3).
var escapes = strings.NewReplacer("~", "~0", "/", "~1")
