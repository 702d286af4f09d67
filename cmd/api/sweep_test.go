package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestSweepPrintsTheResponse(t *testing.T) {
	path := filepath.Join(examplesDir, "01-two-anglers.json")
	args := []string{"sweep", path, "--step-min", "60", "--from", "15:00", "--to", "18:00"}
	stdout, stderr, status := output(t, "", args...)
	if status != 0 || stderr != "" {
		t.Fatalf("status %d: %s", status, stderr)
	}
	var answer struct {
		StepMin  int `json:"step_min"`
		From, To string
		Steps    []struct {
			At       string
			Overhead *struct{ SKU string }
		}
		Cautions []struct{ Code, Text string }
	}
	if err := json.Unmarshal([]byte(stdout), &answer); err != nil {
		t.Fatal(err)
	}
	if answer.StepMin != 60 || answer.From != "15:00" || answer.To != "18:00" || len(answer.Steps) != 3 || len(answer.Cautions) == 0 {
		t.Errorf("%+v", answer)
	}
	for i, want := range []string{"2027-06-18T15:00:00+01:00", "2027-06-18T16:00:00+01:00", "2027-06-18T17:00:00+01:00"} {
		if s := answer.Steps[i]; s.At != want || s.Overhead == nil {
			t.Errorf("step %d: %+v, want one at %s with an overhead", i, s, want)
		}
	}

	// What the body says goes where no flag does; a flag goes before the body.
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Replace(string(body), "{", `{"step_min": 30, "from": "15:00", "to": "18:00",`, 1)
	if piped, stderr, _ := output(t, said, "sweep", "-", "--step-min", "60"); piped != stdout {
		t.Errorf("the same by body and flag is another answer: %s", stderr)
	}

	text, _, status := output(t, "", append(args, "--text")...)
	lines := strings.Split(text, "\n")
	for _, want := range []string{"15:00 to 18:00 (Europe/Lisbon)", answer.Steps[0].Overhead.SKU, "the key face against the background", "Cautions:"} {
		if status != 0 || !strings.Contains(text, want) {
			t.Errorf("status %d, text lacks %q:\n%s", status, want, text)
		}
	}
	for _, at := range []string{"15:00  ", "16:00  ", "17:00  "} {
		found := 0
		for _, line := range lines {
			if strings.HasPrefix(line, at) && strings.Contains(line, "stands") {
				found++
			}
		}
		if found != 1 {
			t.Errorf("%d rows begin with %q:\n%s", found, at, text)
		}
	}
}

func TestReachPrintsTheResponse(t *testing.T) {
	path := filepath.Join(examplesDir, "01-two-anglers.json")
	stdout, stderr, status := output(t, "", "reach", path, "--frame", "QG-FRAME-12X12", "--frame", "QG-FRAME-03X03,QG-FRAME-08X08")
	if status != 0 || stderr != "" {
		t.Fatalf("status %d: %s", status, stderr)
	}
	var answer struct {
		Frames []struct {
			SKU         string
			WidestZoneM float64 `json:"widest_zone_m"`
			Because     *string
		}
		Cautions []struct{ Code, Text string }
	}
	if err := json.Unmarshal([]byte(stdout), &answer); err != nil || len(answer.Frames) != 3 || len(answer.Cautions) == 0 {
		t.Fatalf("%v: %s", err, stdout)
	}
	for i, want := range []string{"QG-FRAME-12X12", "QG-FRAME-03X03", "QG-FRAME-08X08"} {
		if f := answer.Frames[i]; f.SKU != want || (f.WidestZoneM > 0) != (f.Because == nil) {
			t.Errorf("frame %d: %+v, want %s", i, f, want)
		}
	}
	body, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	said := strings.Replace(string(body), "{", `{"frames": ["QG-FRAME-12X12", "QG-FRAME-03X03", "QG-FRAME-08X08"],`, 1)
	if piped, stderr, _ := output(t, said, "reach", "-"); piped != stdout {
		t.Errorf("frames in the body get another answer: %s", stderr)
	}
	text, _, status := output(t, "", "reach", path, "--frame", "QG-FRAME-12X12", "--frame", "QG-FRAME-03X03", "--text")
	for _, want := range []string{"QG-FRAME-12X12  ", " ft)", "none", "QG-FRAME-03X03: In this picture", "Cautions:"} {
		if status != 0 || !strings.Contains(text, want) {
			t.Errorf("status %d, text lacks %q:\n%s", status, want, text)
		}
	}
}

func TestBadSweepsAndReachesExitWithAProblem(t *testing.T) {
	path := filepath.Join(examplesDir, "01-two-anglers.json")
	for name, tc := range map[string]struct {
		args   []string
		status int
		stderr []string
	}{
		"no step":       {[]string{"sweep", path, "--step-min", "0"}, 2, []string{`"pointer": "/step_min"`, `"status": 422`}},
		"half a minute": {[]string{"sweep", path, "--step-min", "0.5"}, 1, []string{"--step-min", "(see api sweep --help)"}},
		"backwards":     {[]string{"sweep", path, "--from", "12:00", "--to", "11:00"}, 2, []string{`"pointer": "/to"`, "not before"}},
		"no time":       {[]string{"sweep", path, "--from", "noon"}, 2, []string{`"pointer": "/from"`}},
		"no such file":  {[]string{"sweep", "no-such-file.json"}, 1, []string{"no-such-file.json"}},
		"no frame":      {[]string{"reach", path}, 2, []string{`"pointer": "/frames"`, "give the SKUs of 1 to 50 frames"}},
		"a stand":       {[]string{"reach", path, "--frame", "QG-STAND-LOW"}, 2, []string{`"pointer": "/frames/0"`, "of kind support"}},
	} {
		stdout, stderr, status := output(t, "", tc.args...)
		if status != tc.status || stdout != "" {
			t.Errorf("%s: status %d, standard output %q", name, status, stdout)
		}
		for _, want := range tc.stderr {
			if !strings.Contains(stderr, want) {
				t.Errorf("%s: standard error lacks %q:\n%s", name, want, stderr)
			}
		}
	}
}
