package rest

import (
	"encoding/json"
	"errors"
	"net/http"
	"os"
	"regexp"

	"github.com/labstack/echo/v4"

	"kitspan/internal/fault"
	"kitspan/internal/httpchain"
	"kitspan/internal/text"
)

// problemKinds is the one table from the reason of a refusal to its status, its type and its title (RFC 9457).
var problemKinds = map[Reason]struct {
	status int
	slug   string
	title  string
}{
	ReasonInternal:             {http.StatusInternalServerError, "internal", "Something went wrong here"},
	ReasonMalformed:            {http.StatusBadRequest, "malformed", "The request cannot be read"},
	ReasonUnauthorized:         {http.StatusUnauthorized, "unauthorized", "The staff token is missing or wrong"},
	ReasonTooManyAttempts:      {http.StatusTooManyRequests, "too-many-attempts", "Too many wrong tokens"},
	ReasonNotFound:             {http.StatusNotFound, "not-found", "Nothing stands at this address"},
	ReasonMethodNotAllowed:     {http.StatusMethodNotAllowed, "method-not-allowed", "The address does not take this method"},
	ReasonNotAcceptable:        {http.StatusNotAcceptable, "not-acceptable", "It is not to be had in the form asked for"},
	ReasonConflict:             {http.StatusConflict, "conflict", "What is there already contradicts the request"},
	ReasonPreconditionFailed:   {http.StatusPreconditionFailed, "changed-since", "It has changed since it was read"},
	ReasonTooLarge:             {http.StatusRequestEntityTooLarge, "too-large", "The body is too large"},
	ReasonTooSlow:              {http.StatusRequestTimeout, "too-slow", "The body came in too slowly"},
	ReasonUnsupportedMedia:     {http.StatusUnsupportedMediaType, "unsupported-media-type", "The body is of another type than is read here"},
	ReasonInvalid:              {http.StatusUnprocessableEntity, "invalid", "The request was read and something in it is wrong"},
	ReasonPreconditionRequired: {http.StatusPreconditionRequired, "if-match-required", "A change needs If-Match"},
	ReasonUnavailable:          {http.StatusServiceUnavailable, "unavailable", "Not ready"},
	ReasonBusy:                 {http.StatusServiceUnavailable, "busy", "Too much is being worked out at the moment"},
	ReasonTimeLimit:            {http.StatusServiceUnavailable, "time-limit", "Working it out takes too long"},
	ReasonTooMuchAtOnce:        {http.StatusRequestEntityTooLarge, "too-much-at-once", "It is worked out in the background alone"},
}

const (
	problemType      = "application/problem+json"
	problemURNPrefix = "urn:kitspan:problem:"
)

// ProblemOf returns the problem document of an error. What is not a [Refusal] becomes a generic sentence: the error itself
// is for the log alone.
func ProblemOf(err error) Problem { return problemOf(text.Metres, err) }

// problemOf is [ProblemOf] with what is wrong in the request said for a reader; title and detail are English.
func problemOf(to text.Reader, err error) Problem {
	r := asRefusal(err)
	if r == nil {
		r = &Refusal{Reason: ReasonInternal, Detail: "The fault is not in the request. Try again; if it stays, give the request_id to whoever runs this server."}
	}
	kind := problemKinds[r.Reason]
	p := Problem{Type: problemURNPrefix + kind.slug, Title: kind.title, Status: kind.status, Detail: r.Detail}
	if len(r.Faults) > 0 {
		list := make([]InputFault, len(r.Faults))
		for i, f := range r.Faults {
			list[i] = f.document(to)
		}
		p.Errors = &list
	}
	return p
}

func (f Fault) document(to text.Reader) InputFault {
	out := InputFault{Code: InputFaultCode(f.Kind.Code()), Detail: f.detail(to), AdditionalProperties: quantitiesOf(f.Kind)}
	switch {
	case f.Parameter != "":
		out.Parameter = &f.Parameter
	case f.Line > 0:
		out.Line, out.Column = &f.Line, &f.Column
	default:
		out.Pointer = &f.Pointer
	}
	return out
}

// quantitiesOf returns what belongs to a fault by the names in the contract, nil where that is nothing.
func quantitiesOf(kind fault.Kind) map[string]any {
	var out map[string]any
	if body, err := json.Marshal(kind); err != nil || json.Unmarshal(body, &out) != nil || len(out) == 0 {
		return nil // text, finite numbers and lists of them always encode
	}
	return out
}

// failed reports whether an error is a fault of the program's or of what it stands on, for the log. To be busy is none.
func failed(err error) bool {
	r := asRefusal(err)
	return r == nil || r.Reason == ReasonInternal || r.Reason == ReasonUnavailable
}

// fromEcho turns the router's and the generated parameter binding's own errors into refusals.
func fromEcho(err error, c echo.Context) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return refuse(ReasonTooLarge, "The body is larger than %d bytes: send less.", tooLarge.Limit)
	}
	var he *echo.HTTPError
	switch {
	case asRefusal(err) != nil:
		return err
	case errors.Is(err, httpchain.ErrTimeLimit):
		return &Refusal{Reason: ReasonTimeLimit, Detail: "The request took longer than it may and was given up. Ask for less, or send it again when less is going on.", cause: err}
	case errors.Is(err, os.ErrDeadlineExceeded): // of reading: the storage's are refusals
		return &Refusal{Reason: ReasonTooSlow, Detail: "The body was not there in time: send it faster, or less of it.", cause: err}
	case !errors.As(err, &he):
		return err
	}
	switch he.Code {
	case http.StatusNotFound:
		return refuse(ReasonNotFound, "There is no such address: see /openapi.json.")
	case http.StatusMethodNotAllowed:
		return refuse(ReasonMethodNotAllowed, "This address takes %s.", c.Response().Header().Get(echo.HeaderAllow))
	case http.StatusBadRequest:
		return parameterRefusal(he)
	default:
		return err
	}
}

// parameterName finds the name in the sentences of the generated parameter binding, which gives it in no other way.
var parameterName = regexp.MustCompile(`^(?:Invalid format for parameter|Query argument|Header parameter|Expected one value for) ([\w-]+)`)

func parameterRefusal(he *echo.HTTPError) error {
	message, _ := he.Message.(string)
	found := parameterName.FindStringSubmatch(message)
	if found == nil {
		return &Refusal{Reason: ReasonMalformed, Detail: "The request cannot be read: see /openapi.json.", cause: he}
	}
	r := malformed([]Fault{faultOf(found[1], fault.Unreadable{})})
	r.cause = he
	return r
}
