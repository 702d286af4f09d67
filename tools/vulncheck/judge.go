package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
)

// report is what a scan found.
type report struct {
	GoVersion string
	// Called are the vulnerabilities of which the program calls a function: number to where, with the version that is free of it.
	Called map[string]string
	// Summary tells of each vulnerability that was looked at in a line.
	Summary map[string]string
}

// message is one of the stream of values that govulncheck writes (golang.org/x/vuln/internal/govulncheck documents them).
type message struct {
	Config *struct {
		GoVersion string `json:"go_version"`
	} `json:"config"`
	OSV *struct {
		ID      string `json:"id"`
		Summary string `json:"summary"`
	} `json:"osv"`
	Finding *struct {
		OSV          string `json:"osv"`
		FixedVersion string `json:"fixed_version"`
		Trace        []struct {
			Module   string `json:"module"`
			Version  string `json:"version"`
			Package  string `json:"package"`
			Function string `json:"function"`
		} `json:"trace"`
	} `json:"finding"`
}

func read(stream io.Reader) (report, error) {
	r := report{Called: map[string]string{}, Summary: map[string]string{}}
	for decoder := json.NewDecoder(stream); ; {
		var m message
		if err := decoder.Decode(&m); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return r, err
		}
		switch {
		case m.Config != nil:
			r.GoVersion = m.Config.GoVersion
		case m.OSV != nil:
			r.Summary[m.OSV.ID] = m.OSV.Summary
		case m.Finding != nil && len(m.Finding.Trace) > 0 && m.Finding.Trace[0].Function != "":
			fixed := m.Finding.FixedVersion
			if fixed == "" {
				fixed = "nothing yet"
			}
			at := m.Finding.Trace[0]
			r.Called[m.Finding.OSV] = fmt.Sprintf("%s %s, mended by %s", at.Module, at.Version, fixed)
		}
	}
	if r.GoVersion == "" {
		return r, errors.New("it does not tell of itself")
	}
	return r, nil
}

// judge lists in an error the findings that nobody accepted, and what was accepted and is not found any more.
func judge(r report, accepted map[string]string) error {
	var wrong []string
	for id, where := range r.Called {
		if accepted[id] == "" {
			wrong = append(wrong, fmt.Sprintf("%s: %s: %s", id, r.Summary[id], where))
		}
	}
	for id := range accepted {
		if r.Called[id] == "" {
			wrong = append(wrong, id+" is accepted and not found: take it out of the list")
		}
	}
	if wrong == nil {
		return nil
	}
	slices.Sort(wrong)
	return fmt.Errorf("%d findings that are not accepted with a reason:\n  %s", len(wrong), strings.Join(wrong, "\n  "))
}

var acceptedLine = regexp.MustCompile(`^(GO-\d{4}-\d+)\s+(\S.*)$`)

// readAccepted reads lines of a number and a reason; # begins a comment.
func readAccepted(text string) (map[string]string, error) {
	accepted := map[string]string{}
	n := 0
	for line := range strings.Lines(text) {
		n++
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		found := acceptedLine.FindStringSubmatch(line)
		if found == nil {
			return nil, fmt.Errorf("line %d: want a number as GO-2026-1234 and a reason: %s", n, line)
		}
		accepted[found[1]] = found[2]
	}
	return accepted, nil
}
