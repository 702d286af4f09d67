package main

import (
	"bytes"
	"fmt"
	"strings"
	"syscall"
	"testing"
	"time"
)

// longWork is a hall with many lamps and many people, for which every command works for a while.
func longWork() string {
	var lamps, zones []string
	for i := range 8 {
		lamps = append(lamps, fmt.Sprintf(`{"label": "lamp %d", "position_m": [%d, %d, 9], "intensity_cd": 90000}`, i, 14-4*i, 10-(7*i)%20))
		zones = append(zones, fmt.Sprintf(`{"label": "group %d", "center_m": [%d, %d], "width_m": 0.6, "depth_m": 0.6, "base_m": 0, "top_m": 1.8}`, i, 2*i-7, 5+i%3))
	}
	return fmt.Sprintf(`{"house": "quayside", "shot": {
		"site": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon", "roofed": true},
		"window": {"date": "2027-06-17", "start": "20:30", "end": "22:00"},
		"camera": {"bearing_deg": 20, "height_m": 1.5}, "framing": {"width_m": 3, "distance_m": 5}, "zone": {"width_m": 2.2},
		"background": {"ev100": 7.5}, "lamps": [%s], "other_zones": [%s]}}`, strings.Join(lamps, ","), strings.Join(zones, ","))
}

// TestCommandsEndOnASignal sends a signal to commands at work, and to one that waits for its standard input: each ends without
// an answer, and its status and standard error say so.
func TestCommandsEndOnASignal(t *testing.T) {
	// More than a pipe holds, so that a write of it comes back only once the program runs and reads, and so heeds signals.
	preamble := bytes.Repeat([]byte(" "), 1<<18)
	for _, tc := range []struct {
		name   string
		body   string
		signal syscall.Signal
		args   []string
	}{
		{"size", longWork(), syscall.SIGTERM, []string{"size", "-"}},
		{"sweep", longWork(), syscall.SIGINT, []string{"sweep", "--step-min", "1", "-"}},
		{"reach", longWork(), syscall.SIGTERM, []string{"reach", "--frame", "QG-FRAME-04X06,QG-FRAME-04X08", "-"}},
		{"waiting for input", "", syscall.SIGINT, []string{"size", "-"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			cmd := command(t, tc.args...)
			cmd.WaitDelay = time.Minute
			stdin, err := cmd.StdinPipe()
			if err != nil {
				t.Fatal(err)
			}
			var stdout, stderr bytes.Buffer
			cmd.Stdout, cmd.Stderr = &stdout, &stderr
			if err := cmd.Start(); err != nil {
				t.Fatal(err)
			}
			for _, part := range [][]byte{preamble, []byte(tc.body)} {
				if _, err := stdin.Write(part); err != nil {
					t.Fatal(err)
				}
			}
			if tc.body != "" {
				if err := stdin.Close(); err != nil {
					t.Fatal(err)
				}
			}
			if err := cmd.Process.Signal(tc.signal); err != nil {
				t.Fatal(err)
			}
			_ = cmd.Wait() // its error is the status, which is looked at
			if got := cmd.ProcessState.ExitCode(); got != exitFailure {
				t.Errorf("status %d, want %d (%v)", got, exitFailure, cmd.ProcessState)
			}
			if want := "stopped before the work was done: " + tc.signal.String(); !strings.Contains(stderr.String(), want) {
				t.Errorf("standard error lacks %q:\n%s", want, stderr.String())
			}
			if stdout.Len() > 0 {
				t.Errorf("an answer came all the same: %.200s", stdout.String())
			}
		})
	}
}
