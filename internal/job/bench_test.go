package job

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

func BenchmarkResolve500Shots(b *testing.B) {
	shots := make([]string, MaxShots)
	for i := range shots {
		shots[i] = fmt.Sprintf(`{"number": "%d", "place": "jetty", "window": {"date": "2027-06-18", "start": "16:30", "end": "17:30"}, "camera": {"bearing_deg": 258},
			"framing": {"width_m": 3, "distance_m": 5.5}}`, i)
	}
	var d Draft
	err := json.Unmarshal([]byte(`{"name": "Estuary", "places": {"jetty": {"latitude_deg": 38.7, "longitude_deg": -9.2, "time_zone": "Europe/Lisbon"}},
		"shots": [`+strings.Join(shots, ",")+`]}`), &d)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, faults := d.Resolve(); len(faults) > 0 {
			b.Fatal(faults)
		}
	}
}
