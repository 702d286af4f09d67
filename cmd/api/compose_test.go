package main

import (
	"os"
	"strings"
	"testing"
	"time"

	"go.yaml.in/yaml/v3"
)

// What deploy/compose-check.sh, which needs a container engine, cannot see or sees late.
func TestComposeFileFitsTheProgram(t *testing.T) {
	text, err := os.ReadFile("../../deploy/compose.yaml")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Services map[string]struct {
			Command         []string          `yaml:"command"`
			StopGracePeriod string            `yaml:"stop_grace_period"`
			Environment     map[string]string `yaml:"environment"`
			ReadOnly        bool              `yaml:"read_only"`
			CapDrop         []string          `yaml:"cap_drop"`
			SecurityOpt     []string          `yaml:"security_opt"`
			MemLimit        string            `yaml:"mem_limit"`
			CPUs            string            `yaml:"cpus"`
			PidsLimit       int               `yaml:"pids_limit"`
		}
	}
	if err := yaml.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	for name, s := range file.Services {
		if !s.ReadOnly || len(s.CapDrop) != 1 || len(s.SecurityOpt) != 1 || s.MemLimit == "" || s.CPUs == "" || s.PidsLimit == 0 {
			t.Errorf("service %s lacks a limit: %+v", name, s)
		}
		if _, given := s.Environment["KITSPAN_STAFF_TOKEN"]; given != (name == "api") {
			t.Errorf("service %s is given the staff token: %v", name, given)
		}
		if strings.Contains(s.Environment["KITSPAN_DATABASE_URL"], "postgres://postgres:") {
			t.Errorf("service %s is the database's superuser", name)
		}
	}
	for name, least := range map[string]time.Duration{
		"api":     ordinary(0).drain + ordinary(0).last + 10*time.Second, // and then the pool is closed
		"migrate": 10 * time.Second,                                      // the running step is cancelled within five
	} {
		grace, err := time.ParseDuration(file.Services[name].StopGracePeriod)
		if err != nil || grace < least {
			t.Errorf("service %s is killed after %s (%v), want at least %s", name, grace, err, least)
		}
	}
}
