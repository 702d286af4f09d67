package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func folder(t *testing.T, files map[string]string) string {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestEveryPartIsNamedOverItsLicenceAndNotice(t *testing.T) {
	inner := folder(t, map[string]string{"inner.go": "package inner"})
	bundled := filepath.Join(inner, "third", "party")
	if err := os.MkdirAll(bundled, 0o755); err != nil {
		t.Fatal(err)
	}
	for path, text := range map[string]string{filepath.Join(inner, "LICENCE"): "as D", filepath.Join(bundled, "LICENSE"): "as E"} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := compose([]part{
		{"example.org/d v4", inner, map[string]bool{bundled: true}},
		{"example.org/a v1", folder(t, map[string]string{"LICENSE": "free\r\n\r\n", "README.md": "read me", "license.go": "package a"}), nil},
		{"example.org/b v2", folder(t, map[string]string{"COPYING.txt": "free  \n"}), nil},
		{"example.org/c v3", folder(t, map[string]string{"LICENSE-APACHE": "as Apache", "NOTICE": "by C"}), nil},
	})
	if err != nil {
		t.Fatal(err)
	}
	text := string(got)
	for _, want := range []string{"example.org/a v1\nexample.org/b v2\n" + rule + "\nfree\n", "example.org/c v3\n" + rule + "\nas Apache\n\nby C\n",
		"example.org/d v4\n" + rule + "\nas D\n\n(in third/party)\n\nas E\n"} {
		if !strings.Contains(text, want) {
			t.Errorf("lacks %q:\n%s", want, text)
		}
	}
	if strings.Count(text, "free") != 1 || strings.Contains(text, "read me") || strings.Contains(text, "package a") {
		t.Errorf("want each licence once and nothing else:\n%s", text)
	}
}

func TestAPartWithoutALicenceIsAnError(t *testing.T) {
	for name, files := range map[string]map[string]string{"nothing": {"README.md": "free"}, "a notice alone": {"NOTICE": "by C"}} {
		if _, err := compose([]part{{"example.org/a v1", folder(t, files), nil}}); err == nil || !strings.Contains(err.Error(), "example.org/a v1") {
			t.Errorf("%s: got %v, want an error that names it", name, err)
		}
	}
}
