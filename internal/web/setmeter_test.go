package web

import (
	"net/http"
	"strings"
	"testing"
)

// EV, lux and stops are one reading by the calibration: EV 14 at ISO 100 is 2.5·2^14 lx; ISO 800 at 1/50 s adds 3 stops and takes
// log2(1/50 s) from EV 17 = log2(T²·50), T 51.2.
func TestReadingsAreOneInEveryUnit(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	said := map[string]string{}
	for as, values := range map[string][2]string{"ev": {"14", "13"}, "lux": {"40960", "20480"}, "stop": {"51.2", "36.2"}} {
		p := s.get(t, "/set?"+small()+"&m_as="+as+"&m_bg="+values[0]+"&m_key="+values[1])
		if p.status != http.StatusOK || p.Find("#meter .answer").Length() != 1 {
			t.Fatalf("%s: %d, %q", as, p.status, p.text("#meter .error"))
		}
		said[as], _, _ = strings.Cut(p.text("#meter .answer"), "Told apart") // a reading in stops has three figures
	}
	if !strings.HasPrefix(said["ev"], "Key −1.0 against the background") || said["lux"] != said["ev"] || said["stop"] != said["ev"] {
		t.Errorf("%q", said)
	}
}

func TestReadingsThatAreNoneSayWhatToGive(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	for query, want := range map[string]string{
		"&m_bg=14":                             "read this as well",
		"&m_bg=14&m_key=bright":                "give a number, such as 13.5",
		"&m_bg=99&m_key=13":                    "give what a meter shows: EV −6 to 22, or the same as lux or stop",
		"&m_as=lux&m_bg=4000&m_key=0":          "give what a meter shows: EV −6 to 22, or the same as lux or stop",
		"&m_as=lux&m_bg=4000&m_key=-3":         "give what a meter shows: EV −6 to 22, or the same as lux or stop",
		"&m_as=stop&m_bg=8&m_key=-3":           "give what a meter shows: EV −6 to 22, or the same as lux or stop",
		"&m_bg=14&m_key=13&m_fill=x":           "give a number, such as 13.5",
		"&m_as=lux&m_bg=1e400&m_key=13&m_fill": "give a number, such as 13.5",
	} {
		p := s.get(t, "/set?"+small()+query)
		if got := p.text("#meter .error"); p.status != http.StatusOK || got != want || p.Find("#meter .answer").Length() != 0 || p.Find("#pieces").Length() != 1 {
			t.Errorf("%s: %d, %q", query, p.status, got)
		}
	}
}

// What was read goes with no link of the page but that for a plan anew, and is of no revision: ticks stay.
func TestReadingsAreNotOfTheShot(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, "/set?"+small()+"&m_bg=14&m_key=13.5")
	bare := s.get(t, "/set?"+small())
	a, _ := p.Find("[data-set]").Attr("data-revision")
	if b, _ := bare.Find("[data-set]").Attr("data-revision"); a != b {
		t.Errorf("with readings the revision is %s, without %s", a, b)
	}
	if href, _ := p.Find("#meter a.go").Attr("href"); !strings.Contains(href, "background=14.0") || strings.Contains(href, "m_key") {
		t.Errorf("anew leads to %s", href)
	}
	if n := p.Find("nav a[href*='m_key']").Length(); n != 0 {
		t.Errorf("%d links take the readings along", n)
	}
	if v, _ := p.Find("#meter form input[name=width]").Attr("value"); v != "3" {
		t.Errorf("the form of readings has the width %q", v)
	}
}
