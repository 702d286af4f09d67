// Package rest is the JSON face of the program: the rental houses' catalogues and the sizing of a shot over HTTP, as
// api/openapi.yaml promises it. The types and the routes are generated from that document; [Server] answers them.
//
// A request walks one way: the strict decoder ([DecodeJSON]) → the domain's own checks → the domain → the generated
// response types. Handlers return errors; [Problem] documents are written in one place ([writeProblem]) by one table
// from the kind of error to the status.
package rest

//go:generate go tool -modfile=../../tools/go.mod oapi-codegen -config oapi-codegen.yaml ../../api/openapi.yaml
