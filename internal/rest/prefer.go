package rest

import (
	"context"
	"net/http"
	"strings"
)

// respondAsync is the preference for an answer later (RFC 7240, 4.1).
const respondAsync = "respond-async"

// prefersAsync reports whether a client would rather have its answer later. What else it prefers, and parameters, are passed over
// (RFC 7240, 2).
func prefersAsync(h http.Header) bool {
	for _, line := range h.Values("Prefer") {
		for preference := range strings.SplitSeq(line, ",") {
			token, _, _ := strings.Cut(preference, ";")
			if strings.EqualFold(strings.TrimSpace(token), respondAsync) {
				return true
			}
		}
	}
	return false
}

type laterKey struct{}

// withLater keeps the body of a request that is to be answered later.
func withLater(ctx context.Context, body []byte) context.Context {
	return context.WithValue(ctx, laterKey{}, body)
}

// laterOf returns that body; nil where the client waits.
func laterOf(ctx context.Context) []byte {
	body, _ := ctx.Value(laterKey{}).([]byte)
	return body
}
