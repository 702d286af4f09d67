//go:build !race

package docs_test

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"kitspan/internal/catalog"
	"kitspan/internal/rest"
)

// pages are the documents whose samples are held to the program.
func pages(t *testing.T) []string {
	t.Helper()
	found, err := filepath.Glob("*.md")
	if err != nil {
		t.Fatal(err)
	}
	return append(found, readme, "../DEVELOPERS.md", "../deploy/README.md")
}

const anglers = "examples/01-two-anglers.json"

// answers makes what the samples of JSON show, by the mark before each: "answer: size".
func answers(t *testing.T, s server) map[string]func() any {
	const house = "/v1/houses/quayside/items"
	whole := func(status int, method, path, body string, headers ...string) any {
		return decoded(t, s.ask(status, method, path, body, headers...).Body.Bytes())
	}
	member := func(answer any, name string) any { return answer.(map[string]any)[name] }
	anchors := func() string { return s.ask(http.StatusOK, "GET", house+".csv?kind=anchor", "").Body.String() }
	return map[string]func() any{
		"size": func() any { return whole(200, "POST", "/v1/sizings", read(t, anglers)) },
		"first step of a sweep": func() any {
			body := with(t, read(t, anglers), map[string]any{"step_min": 60, "from": "15:00", "to": "16:00"})
			return member(whole(200, "POST", "/v1/sweeps", body), "steps").([]any)[0]
		},
		"frames of a reach": func() any {
			body := with(t, read(t, anglers), map[string]any{"frames": []string{"QG-FRAME-08X08", "QG-FRAME-12X12"}})
			return member(whole(200, "POST", "/v1/reaches", body), "frames")
		},
		"items by words": func() any { return whole(200, "GET", house+"?kind=frame&q=12&limit=1", "") },
		"faults":         func() any { return whole(422, "POST", "/v1/sizings", requestsIn(t, "api.md")[0]) },
		"import": func() any {
			return whole(200, "POST", house+"/import?kind=anchor", anchors(), "Content-Type", "text/csv")
		},
		"import of two bad cells": func() any {
			lines := strings.Split(anchors(), "\n")
			lines[3] = strings.Replace(lines[3], ",1000,", ",one thousand,", 1)
			lines[4] = strings.Replace(lines[4], ",3.2,", ",-3.2,", 1)
			return whole(422, "POST", house+"/import?kind=anchor", strings.Join(lines, "\n"), "Content-Type", "text/csv")
		},
	}
}

// texts are what the samples of other text show, by the mark before each: "text: items as CSV".
func texts(s server) map[string]func() string {
	const house = "/v1/houses/quayside/items"
	return map[string]func() string{
		"items as CSV": func() string {
			return s.ask(200, "GET", house+"?kind=frame&q=12&limit=1", "", "Accept", "text/csv").Body.String()
		},
		"a stake as CSV": func() string {
			return s.ask(200, "GET", house+"?kind=anchor&q=STAKE-060", "", "Accept", "text/csv").Body.String()
		},
	}
}

// TestSamplesAreWhatIsAnswered holds every sample of JSON in the documents, and those of text with a mark, to what is answered now.
func TestSamplesAreWhatIsAnswered(t *testing.T) {
	s := newServer(t)
	ofJSON, ofText := answers(t, s), texts(s)
	seen := map[string]bool{}
	sample := regexp.MustCompile("(?m)^(?:<!-- (answer|text): (.*) -->\n)?```(json|text)\n((?s).*?)^```\n")
	for _, page := range pages(t) {
		text := read(t, page)
		var now strings.Builder
		copied := 0
		for _, at := range sample.FindAllStringSubmatchIndex(text, -1) {
			part := func(i int) string {
				if at[2*i] < 0 {
					return ""
				}
				return text[at[2*i]:at[2*i+1]]
			}
			mark, name, language, there := part(1), part(2), part(3), part(4)
			if mark == "" && language == "text" {
				continue // printed by other tests, or a picture
			}
			filled := there
			switch {
			case mark == "answer" && ofJSON[name] != nil:
				var wrong []string
				var err error
				if filled, wrong, err = fill(there, ofJSON[name]()); err != nil {
					t.Fatalf("%s, %q: %v", page, name, err)
				}
				for _, w := range wrong {
					t.Errorf("%s, %q: %s", page, name, w)
				}
			case mark == "text" && ofText[name] != nil:
				filled = ofText[name]()
			default:
				t.Errorf("%s has a sample that nobody makes: %.60q %.80q", page, name, there)
			}
			if filled != there && !*update {
				t.Errorf("%s, %q is not what is answered (if the change is meant: go test ./docs -update):\n%s\nnow:\n%s", page, name, there, filled)
			}
			seen[name] = true
			now.WriteString(text[copied:at[8]] + filled)
			copied = at[9]
		}
		now.WriteString(text[copied:])
		if *update && now.String() != text {
			if err := os.WriteFile(page, []byte(now.String()), 0o644); err != nil {
				t.Fatal(err)
			}
		}
	}
	for _, name := range slices.Concat(slices.Sorted(maps.Keys(ofJSON)), slices.Sorted(maps.Keys(ofText))) {
		if !seen[name] {
			t.Errorf("no document shows %q", name)
		}
	}
}

// requestsIn are the bodies that a document gives to curl.
func requestsIn(t *testing.T, page string) []string {
	t.Helper()
	var found []string
	for _, body := range regexp.MustCompile(`(?s)--data '(\{.*?\})'\n`).FindAllStringSubmatch(read(t, page), -1) {
		found = append(found, body[1])
	}
	return found
}

// sound reports what is wrong with a sizing request, without solving it.
func sound(t *testing.T, body string) error {
	t.Helper()
	over, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := rest.NewDesk(catalog.Demo{}, fixedNow).SizeJSON(over, []byte(body))
	if errors.Is(err, context.Canceled) {
		return nil
	}
	return err
}

func TestRequestsInTheDocumentsAreSound(t *testing.T) {
	if err := sound(t, `{"house": "quayside", "shot": {}}`); err == nil {
		t.Error("an empty shot is sound")
	}
	bodies := 0
	for _, page := range pages(t) {
		for _, body := range requestsIn(t, page) {
			if bodies++; page == "api.md" {
				continue // the one with faults
			}
			if err := sound(t, body); err != nil {
				t.Errorf("%s: %v\n%s", page, err, body)
			}
		}
	}
	if bodies < 2 {
		t.Errorf("the documents give %d bodies to curl", bodies)
	}
	rows := regexp.MustCompile("(?m)^\\| (`[a-z_.`, ]+`) \\| (`[^|]+`) \\|").FindAllStringSubmatch(read(t, "api.md"), -1)
	for _, row := range rows {
		names, values := strings.Split(strings.Trim(row[1], "`"), "`, `"), strings.Split(strings.Trim(row[2], "`"), "`, `")
		if len(names) != len(values) {
			t.Errorf("%s names %d members and shows %d", row[0], len(names), len(values))
			continue
		}
		request := decoded(t, []byte(read(t, anglers))).(map[string]any)
		for i, name := range names {
			at, rest := request, name
			for group, more, nested := strings.Cut(rest, "."); nested; group, more, nested = strings.Cut(rest, ".") {
				if at[group] == nil {
					at[group] = map[string]any{}
				}
				at, rest = at[group].(map[string]any), more
			}
			at[rest] = decoded(t, []byte(values[i]))
		}
		if shot := request["shot"].(map[string]any); names[0] == "shot.site.anchors" || names[0] == "shot.ground_anchor" {
			shot["site"].(map[string]any)["ground"] = "grass"
		}
		body, err := json.Marshal(request)
		if err != nil {
			t.Fatal(err)
		}
		if err := sound(t, string(body)); err != nil {
			t.Errorf("%s: %v", row[1], err)
		}
	}
	if len(rows) < 9 {
		t.Errorf("%d rows of members", len(rows))
	}
}

// TestTheItemOfTheGuideCanBeAdded sends the body that docs/api.md writes into a file, and the change that it makes to that.
func TestTheItemOfTheGuideCanBeAdded(t *testing.T) {
	s := newServer(t)
	found := regexp.MustCompile(`(?s)cat > stake.json <<'END'\n(.*?)    END\n`).FindStringSubmatch(read(t, "api.md"))
	if found == nil {
		t.Fatal("api.md has no stake.json")
	}
	const items = "/v1/houses/quayside/items"
	tag := s.ask(201, "POST", items, found[1], "Idempotency-Key", "my-first-stake").Header().Get("ETag")
	changed := strings.Replace(found[1], `"owned": 20`, `"owned": 24`, 1)
	if changed == found[1] || !strings.Contains(read(t, "api.md"), `s/"owned": 20/"owned": 24/`) {
		t.Error("api.md changes something else")
	}
	tag = s.ask(200, "PUT", items+"/QG-STAKE-120", changed, "If-Match", tag).Header().Get("ETag")
	s.ask(204, "DELETE", items+"/QG-STAKE-120", "", "If-Match", tag)
}
