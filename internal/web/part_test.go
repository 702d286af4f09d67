package web

import (
	"net/http"
	"strings"
	"testing"
)

// The part that a script asks for has an address of its own, is kept by nobody, and is the whole page for whoever is led to it.
func TestThePartHasAnAddressOfItsOwn(t *testing.T) {
	t.Parallel()
	s := newSite(t)
	p := s.get(t, partPath+"?"+with(), "Sec-Fetch-Dest", "empty")
	if p.Find("form").Length() != 0 || p.Find("#results table.options").Length() != 1 || p.Find("#headline .total").Length() != 1 {
		t.Error("not the results alone")
	}
	if got := p.header.Get("Cache-Control"); got != "no-store" {
		t.Errorf("Cache-Control %q", got)
	}
	if p = s.get(t, partPath+"?"+with(), "Sec-Fetch-Dest", "document"); p.at.Path != "/plan" || p.Find("#shot").Length() != 1 || p.at.Query().Get("width") != "3" {
		t.Errorf("whoever is led to the part gets %s", p.at)
	}
	if p = s.get(t, "/plan?"+with(), "X-Part", "results"); p.Find("#shot").Length() != 1 {
		t.Error("the page's address gives less than the page")
	}
	p = s.get(t, partPath+"?"+with("lat", "x"))
	if errs, _ := p.Find(".part").Attr("data-errors"); p.status != http.StatusOK || !strings.Contains(errs, `"lat":"give a number`) || p.Find(".failed a[href='#f-lat']").Length() != 1 {
		t.Errorf("%d %s", p.status, errs)
	}
	p = s.get(t, partPath+"?"+with("lat", "", "width", ""))
	if errs, _ := p.Find(".part").Attr("data-errors"); errs != "{}" || !strings.Contains(p.text(".failed"), "Still to fill in: Picture width, Latitude") {
		t.Errorf("blank fields are %s: %s", errs, p.text(".failed"))
	}
	s.shelf.trouble(http.ErrAbortHandler, nil) // no error that anybody has foreseen
	if p = s.get(t, partPath+"?"+with()); p.status != http.StatusInternalServerError || p.Find(".part .failed [data-again]").Length() != 1 || p.header.Get("Cache-Control") != "no-store" {
		t.Errorf("where it fails: %d %s", p.status, p.text("body"))
	}
}
