// Package docs holds the documents that the program shows.
package docs

import _ "embed"

// Cautions is cautions.md.
//
//go:embed cautions.md
var Cautions []byte
