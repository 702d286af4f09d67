package main

import (
	"os/exec"
	"strings"
	"testing"
)

// Everything that is linked in is named, at the version that is; 'make generate-check' compares the texts.
func TestLicencesNameEveryModule(t *testing.T) {
	text, stderr, status := output(t, "", "licences")
	if status != exitOK || stderr != "" {
		t.Fatalf("status %d: %s", status, stderr)
	}
	listed, err := exec.CommandContext(t.Context(), "go", "list", "-deps", "-f", "{{with .Module}}{{if not .Main}}{{.Path}} {{.Version}}{{end}}{{end}}", ".").Output()
	if err != nil {
		t.Fatalf("go lists no modules: %v", err)
	}
	wanted := strings.Fields(strings.ReplaceAll(string(listed), " ", "@"))
	if len(wanted) == 0 {
		t.Fatal("go lists no modules")
	}
	for _, module := range append(wanted, "Go's@library") {
		if !strings.Contains(text, "\n"+strings.ReplaceAll(module, "@", " ")) {
			t.Errorf("%s is not named: run 'make generate'", module)
		}
	}
	for _, says := range []string{"Redistribution and use in source and binary forms", "Apache License"} {
		if !strings.Contains(text, says) {
			t.Errorf("no licence says %q", says)
		}
	}
}
