//go:build !race

package docs_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	document "kitspan/api"
)

const contract = "../api/openapi.yaml"

// TestContractShowsWhatIsAnswered makes the examples of answers in the contract from those of requests, which it sends, so that these are
// known to work too.
func TestContractShowsWhatIsAnswered(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(document.YAML)
	if err != nil {
		t.Fatal(err)
	}
	s := newServer(t)
	body := func(path, method string) string { // of the request in the contract
		example, err := plainJSON(doc.Paths.Value(path).GetOperation(method).RequestBody.Value.Content["application/json"].Example)
		if err != nil {
			t.Fatal(err)
		}
		return example
	}
	const (
		houses = "/v1/houses"
		house  = houses + "/quayside"
		items  = house + "/items"
		stake  = items + "/QG-STAKE-120"
		item   = "/v1/houses/{house}/items"
	)
	shotFile, _ := doc.Paths.Value("/v1/jobs/{job}/shots.csv").Put.RequestBody.Value.Content["text/csv"].Example.(string)
	add, change := body(item, "POST"), body(item+"/{sku}", "PUT")
	small := body("/v1/reaches", "POST")
	answers := map[string]string{}
	tell := func(name string, status int, method, path, body string, headers ...string) {
		answers[name] = s.ask(status, method, path, body, headers...).Body.String()
	}
	tell("Status", 200, "GET", "/healthz", "")
	tell("listHouses 200", 200, "GET", houses, "")
	tell("getHouse 200", 200, "GET", house, "")
	tell("listItems 200", 200, "GET", items+"?kind=frame&q=12&limit=1", "")
	tell("listItems 200 as CSV", 200, "GET", items+"?kind=frame&q=12&limit=1", "", "Accept", "text/csv")
	tell("exportItems 200", 200, "GET", items+".csv?kind=anchor", "")
	tell("importItems request", 200, "GET", items+"?kind=anchor&limit=2", "", "Accept", "text/csv")
	tell("importItems 200", 200, "POST", items+"/import?kind=anchor", answers["importItems request"], "Content-Type", "text/csv")
	tell("getItem 200", 200, "GET", items+"/QG-FRAME-08X12", "")
	created := s.ask(201, "POST", items, add, "Idempotency-Key", "a")
	answers["createItem 201"] = created.Body.String()
	tell("Conflict", 409, "POST", items, add, "Idempotency-Key", "b")
	tell("replaceItem 200", 200, "PUT", stake, change, "If-Match", created.Header().Get("ETag"))
	tell("PreconditionFailed", 412, "PUT", stake, change, "If-Match", created.Header().Get("ETag"))
	tell("PreconditionRequired", 428, "PUT", stake, change)
	const jobs = "/v1/jobs"
	kept := s.ask(201, "POST", jobs, body(jobs, "POST"), "Idempotency-Key", "a")
	answers["createJob 201"] = kept.Body.String()
	at := kept.Header().Get("Location")
	tell("duplicateJob 201", 201, "POST", at+"/duplicate", "")
	answers["listJobs 200"] = sameEveryTime(s.ask(200, "GET", jobs+"?limit=1", "").Body.String())
	tell("getJob 200", 200, "GET", at, "")
	tell("getJobPlan 200", 200, "GET", at+"/plan?house=quayside", "")
	tell("addShots 201", 201, "POST", at+"/shots", body(jobs+"/{job}/shots", "POST"))
	tell("listShots 200", 200, "GET", at+"/shots?limit=1", "")
	tell("getShot 200", 200, "GET", at+"/shots/12A", "")
	tell("replaceShot 200", 200, "PUT", at+"/shots/12A", body(jobs+"/{job}/shots/{shot}", "PUT"), "If-Match", kept.Header().Get("ETag"))
	s.ask(204, "DELETE", at+"/shots/13", "", "If-Match", "*")
	tell("orderShots 200", 200, "PUT", at+"/order", body(jobs+"/{job}/order", "PUT"), "If-Match", "*")
	tell("exportShots 200", 200, "GET", at+"/shots.csv", "")
	tell("importShots 200", 200, "PUT", at+"/shots.csv?check=true", shotFile, "Content-Type", "text/csv")
	tell("replaceJob 200", 200, "PUT", at, body(jobs+"/{job}", "PUT"), "If-Match", "*")
	tell("createSizing 200", 200, "POST", "/v1/sizings", body("/v1/sizings", "POST"))
	tell("createPlan 200", 200, "POST", "/v1/plans", body("/v1/plans", "POST"))
	later := s.ask(202, "POST", "/v1/plans", body("/v1/plans", "POST"), "Prefer", "respond-async")
	answers["createPlan 202"] = later.Body.String()
	tell("getPlanRun 200", 200, "GET", later.Header().Get("Location"), "")
	tell("createSweep 200", 200, "POST", "/v1/sweeps", body("/v1/sweeps", "POST"))
	tell("createReach 200", 200, "POST", "/v1/reaches", small)
	tell("BadRequest", 400, "GET", items+"?limit=1000", "")
	tell("Unauthorized", 401, "DELETE", stake, "", "Authorization", "")
	tell("NotFound", 404, "GET", houses+"/riverside", "")
	tell("NotAcceptable", 406, "GET", items, "", "Accept", "text/csv")
	tell("TooLarge", 413, "POST", "/v1/sizings", strings.Repeat(" ", 1<<20+1))
	tell("UnsupportedMediaType", 415, "POST", "/v1/sizings", "{}", "Content-Type", "application/x-www-form-urlencoded")
	tell("Unprocessable", 422, "POST", "/v1/reaches", with(t, small, map[string]any{"house": "quaside"}))
	tell("Problem", 405, "DELETE", houses, "")
	answers["getMetrics 200"] = ""
	for line := range strings.Lines(s.ask(200, "GET", "/metrics", "").Body.String()) {
		if strings.HasPrefix(line, "# ") && strings.Contains(line, "kitspan_http") { // what they are; the numbers are never the same
			answers["getMetrics 200"] += line
		}
	}
	down := server{t, handlerOn(t, unreachable{}, noJobs{})}
	answers["Unavailable"] = down.ask(503, "POST", "/v1/reaches", small).Body.String()

	text := read(t, contract)
	mark := regexp.MustCompile(`(?m)^( *)# made by go test ./docs -update: (.*)\n(?s:.*?)^ *# end\n`)
	seen := map[string]bool{}
	want := mark.ReplaceAllStringFunc(text, func(part string) string {
		found := mark.FindStringSubmatch(part)
		margin, name := found[1], found[2]
		answer, ok := answers[name]
		if !ok || seen[name] {
			t.Errorf("%s: %q is not answered here, or stands there twice", contract, name)
			return part
		}
		seen[name] = true
		return fmt.Sprintf("%s# made by go test ./docs -update: %s\n%s%s# end\n", margin, name, asExample(t, doc, name, answer, margin), margin)
	})
	for name := range answers {
		if !seen[name] {
			t.Errorf("%s has no place for %q", contract, name)
		}
	}
	if want == text || t.Failed() {
		return
	}
	if *update {
		if err := os.WriteFile(contract, []byte(want), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	there, now := strings.Split(text, "\n"), strings.Split(want, "\n")
	for i := range there {
		if i >= len(now) || there[i] != now[i] {
			t.Fatalf("%s, line %d, is not what is answered (if the change is meant: go test ./docs -update)\nthere: %s\nnow:   %.200s", contract, i+1, there[i], strings.Join(now[min(i, len(now)):min(i+1, len(now))], ""))
		}
	}
}

// sameEveryTime is a list of jobs with an id, times and a cursor that do not change from run to run in the place of the true ones.
func sameEveryTime(list string) string {
	for _, r := range []struct{ pattern, by string }{
		{`"job":"[a-z0-9]+"`, `"job":"k3v7q2m5xw4t6b2c"`},
		{`"(created|changed)":"[^"]+"`, `"$1":"2027-03-01T09:00:00Z"`},
		{`"next_cursor":"[^"]+"`, `"next_cursor":"eyJBZnRlciI6IjIwMjctMDMtMDFUMDk6MDA6MDBaIGszdjdxMm01eHc0dDZiMmMifQ"`},
	} {
		list = regexp.MustCompile(r.pattern).ReplaceAllString(list, r.by)
	}
	return list
}

// long are the answers that would fill pages.
var long = []string{"createSizing 200", "createPlan 200", "getJobPlan 200", "createSweep 200", "createReach 200"}

// asExample is an answer as an example of the contract. One that is shortened says so.
func asExample(t *testing.T, doc *openapi3.T, name, answer, margin string) string {
	t.Helper()
	const width = 130
	if !strings.HasPrefix(answer, "{") {
		lines := margin + "example: |\n"
		for line := range strings.Lines(answer) {
			lines += margin + "  " + line
		}
		return lines
	}
	n := readNode(t, []byte(answer))
	if !slices.Contains(long, name) {
		return margin + "example:\n" + margin + "  " + n.lines(margin+"  ", width) + "\n"
	}
	operation, status, _ := strings.Cut(name, " ")
	for _, path := range doc.Paths.Map() {
		for _, op := range path.Operations() {
			if op.OperationID == operation {
				n.shorten(op.Responses.Value(status).Value.Content["application/json"].Schema.Value)
			}
		}
	}
	return margin + "examples:\n" + margin + "  shortened:\n" + margin + "    summary: Lists are cut after their first element, numbers after four decimals.\n" +
		margin + "    value:\n" + margin + "      " + n.lines(margin+"      ", width) + "\n"
}
