package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

const stream = `
{"config": {"go_version": "go1.26.8"}}
{"osv": {"id": "GO-2026-0001", "summary": "called"}}
{"osv": {"id": "GO-2026-0002", "summary": "imported alone"}}
{"finding": {"osv": "GO-2026-0001", "fixed_version": "v1.2.4", "trace": [{"module": "example.org/m", "version": "v1.2.3", "package": "example.org/m/p"}]}}
{"finding": {"osv": "GO-2026-0001", "fixed_version": "v1.2.4", "trace": [{"module": "example.org/m", "version": "v1.2.3", "package": "example.org/m/p", "function": "F"}]}}
{"finding": {"osv": "GO-2026-0002", "trace": [{"module": "example.org/n", "version": "v0.1.0", "package": "example.org/n"}]}}
`

func TestFindingsFailUnlessAccepted(t *testing.T) {
	found, err := read(strings.NewReader(stream))
	if err != nil {
		t.Fatal(err)
	}
	for name, tc := range map[string]struct{ accepted, says string }{
		"not accepted": {"", "GO-2026-0001: called: example.org/m v1.2.3, mended by v1.2.4"},
		"accepted":     {"# why\n\nGO-2026-0001 never reached with input from outside\n", ""},
		"stale":        {"GO-2026-0001 harmless\nGO-2026-0002 harmless\n", "GO-2026-0002 is accepted and not found"},
	} {
		accepted, err := readAccepted(tc.accepted)
		if err != nil {
			t.Fatal(err)
		}
		err = judge(found, accepted)
		if (err == nil) != (tc.says == "") || err != nil && (!strings.Contains(err.Error(), tc.says) || strings.Count(err.Error(), "GO-2026") != 1) {
			t.Errorf("%s: got %v, want %q alone", name, err, tc.says)
		}
	}
}

func TestAcceptingNeedsAReason(t *testing.T) {
	for _, text := range []string{"GO-2026-0001", "GO-2026-0001   ", "harmless", "GO-2026 harmless"} {
		if _, err := readAccepted(text); err == nil {
			t.Errorf("%q is taken", text)
		}
	}
}

func TestAScanThatTellsNothingIsNoSuccess(t *testing.T) {
	for _, text := range []string{"", "{}", `{"config": `} {
		if _, err := read(strings.NewReader(text)); err == nil {
			t.Errorf("%q is taken for a scan", text)
		}
	}
}

func TestIndexFindsTheLastMendedVersion(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"GO-2026-0001": `{"id": "GO-2026-0001", "modified": "2026-01-02T00:00:00Z", "affected": [{"package": {"name": "example.org/m"}, "ranges": [{"type": "SEMVER",
			"events": [{"introduced": "0"}, {"fixed": "1.2.9"}, {"introduced": "2.0.0"}, {"fixed": "2.0.10"}]}]}]}`,
		"GO-2026-0002": `{"id": "GO-2026-0002", "modified": "2026-01-01T00:00:00Z", "affected": [{"package": {"name": "example.org/m"}, "ranges": [{"type": "SEMVER",
			"events": [{"introduced": "0"}, {"fixed": "1.2.9"}, {"introduced": "2.0.0"}]}]}]}`,
	} {
		if err := os.WriteFile(filepath.Join(dir, name+".json"), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	out := filepath.Join(t.TempDir(), "db")
	if err := index(dir, out); err != nil {
		t.Fatal(err)
	}
	text, err := os.ReadFile(filepath.Join(out, "index", "modules.json"))
	if err != nil {
		t.Fatal(err)
	}
	var got []moduleVulns
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if len(got) != 1 || len(got[0].Vulns) != 2 || got[0].Vulns[0].Fixed != "2.0.10" || got[0].Vulns[1].Fixed != "" {
		t.Errorf("got %s", text)
	}
	if _, err := os.Stat(filepath.Join(out, "ID", "GO-2026-0002.json")); err != nil {
		t.Error(err)
	}
	if err := index(t.TempDir(), filepath.Join(t.TempDir(), "db")); err == nil {
		t.Error("a folder without reports is taken for a database")
	}
}
