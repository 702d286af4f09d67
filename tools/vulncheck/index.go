package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"golang.org/x/mod/semver"
)

// entry is what the index needs of a report in the Open Source Vulnerability format.
type entry struct {
	ID        string     `json:"id"`
	Modified  time.Time  `json:"modified"`
	Withdrawn *time.Time `json:"withdrawn"`
	Affected  []struct {
		Package struct {
			Name string `json:"name"`
		} `json:"package"`
		Ranges []struct {
			Type   string `json:"type"`
			Events []struct {
				Introduced string `json:"introduced"`
				Fixed      string `json:"fixed"`
			} `json:"events"`
		} `json:"ranges"`
	} `json:"affected"`
}

type moduleVulns struct {
	Path  string       `json:"path"`
	Vulns []moduleVuln `json:"vulns"`
}

type moduleVuln struct {
	ID       string    `json:"id"`
	Modified time.Time `json:"modified"`
	Fixed    string    `json:"fixed,omitempty"`
}

// index lays the reports of a folder out as the database that govulncheck reads (https://go.dev/doc/security/vuln/database): the reports
// in ID/, and which modules they are about in index/. Where the folder out is there already it is kept.
//
// The database's own indexer does the same, but building it fetches and compiles the client libraries of a cloud.
func index(reports, out string) error {
	if _, err := os.Stat(out); err == nil {
		return nil
	}
	paths, err := filepath.Glob(filepath.Join(reports, "*.json"))
	if err != nil {
		return err
	}
	if len(paths) == 0 {
		return fmt.Errorf("no reports in %s", reports)
	}
	if err := os.MkdirAll(filepath.Dir(out), 0o755); err != nil {
		return err
	}
	fresh, err := os.MkdirTemp(filepath.Dir(out), "new-")
	if err != nil {
		return err
	}
	defer func() { _ = os.RemoveAll(fresh) }() // where it could not be put in its place
	for _, dir := range []string{"ID", "index"} {
		if err := os.Mkdir(filepath.Join(fresh, dir), 0o755); err != nil {
			return err
		}
	}
	place := map[string]int{}
	var modules []moduleVulns
	var newest time.Time
	for _, path := range paths {
		text, err := os.ReadFile(path)
		if err != nil {
			return err
		}
		var e entry
		if err := json.Unmarshal(text, &e); err != nil {
			return fmt.Errorf("%s: %w", path, err)
		}
		if err := os.WriteFile(filepath.Join(fresh, "ID", e.ID+".json"), text, 0o644); err != nil {
			return err
		}
		if e.Modified.After(newest) {
			newest = e.Modified
		}
		for _, affected := range e.Affected {
			name := affected.Package.Name
			at, ok := place[name]
			if !ok {
				at = len(modules)
				place[name] = at
				modules = append(modules, moduleVulns{Path: name})
			}
			fixed := ""
			for _, r := range affected.Ranges {
				for _, event := range r.Events {
					switch {
					case event.Fixed != "" && semver.Compare("v"+fixed, "v"+event.Fixed) < 0:
						fixed = event.Fixed
					case event.Introduced != "" && event.Introduced != "0" && fixed != "" && semver.Compare("v"+fixed, "v"+event.Introduced) < 0:
						fixed = "" // it came back
					}
				}
			}
			modules[at].Vulns = append(modules[at].Vulns, moduleVuln{ID: e.ID, Modified: e.Modified, Fixed: fixed})
		}
	}
	for name, value := range map[string]any{"modules": modules, "db": map[string]time.Time{"modified": newest}} {
		text, err := json.Marshal(value)
		if err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(fresh, "index", name+".json"), text, 0o644); err != nil {
			return err
		}
	}
	return os.Rename(fresh, out)
}
