// Package migrations holds the numbered steps that build the database's schema, embedded so that the one binary can migrate
// whatever database it is given.
package migrations

import "embed"

// Files are the steps, in pairs named 000001_verb_title.up.sql and 000001_verb_title.down.sql, at the root of the file system.
//
//go:embed *.sql
var Files embed.FS
