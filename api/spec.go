// Package api holds the contract of the JSON face, openapi.yaml, embedded so that the program can show it.
package api

import _ "embed"

// YAML is the OpenAPI document as it is written.
//
//go:embed openapi.yaml
var YAML []byte
