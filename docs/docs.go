// Package docs holds the documents that the program shows.
package docs

import (
	"embed"
)

// Cautions is cautions.md.
//
//go:embed cautions.md
var Cautions []byte

// Examples are the sizing requests of the folder examples, as JSON.
//
//go:embed examples/*.json
var Examples embed.FS

// ExampleJob is the plan request of jobs/estuary.json.
//
//go:embed jobs/estuary.json
var ExampleJob []byte
