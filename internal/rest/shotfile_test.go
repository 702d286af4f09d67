package rest

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/xuri/excelize/v2"

	"kitspan/api"
	"kitspan/internal/shotlist"
)

const threeShots = "number,place,window.date,window.start,window.end,camera.bearing_deg,framing.width_m,framing.distance_m,gust_ms\n" +
	"2,jetty,2027-06-18,16:30,17:30,258,3,5.5,7\n" +
	"1,jetty,2027-06-18,16:30,17:30,258,3,5.5,\n" +
	"3,jetty,2027-06-19,16:30,17:30,258,3,5.5,\n"

func csvHeaders(more ...string) []string {
	return append([]string{"Content-Type", "text/csv"}, more...)
}

func TestShotListsInAndOut(t *testing.T) {
	t.Parallel()
	f := withJobs(t)
	made := f.staff("POST", "/v1/jobs", jobBody(shotBody("1"), shotBody("2"), shotBody("4"))).want(201)
	at, tag := made.header.Get("Location"), made.header.Get("ETag")
	file := at + "/shots.csv"
	f.do("PUT", file, threeShots, csvHeaders("If-Match", tag)...).want(401)
	f.staff("PUT", file, threeShots, csvHeaders()...).want(428)
	f.staff("PUT", file, threeShots, csvHeaders("If-Match", `"9"`)...).want(412)
	f.staff("PUT", file, threeShots, "Content-Type", "text/plain", "If-Match", tag).want(415)
	f.staff("PUT", at+"x/shots.csv", threeShots, csvHeaders("If-Match", "*")...).want(404)
	f.staff("PUT", file, strings.Repeat("x", maxShotFile+1), csvHeaders("If-Match", tag)...).want(413)

	const change = `"added": ["3"], "changed": ["2"], "removed": ["4"], "unchanged": 1, "reordered": true}`
	look := f.staff("PUT", file+"?check=true", threeShots, csvHeaders()...).want(200)
	look.sameJSON(`{"stored": false, ` + change)
	f.staff("PUT", file+"?check=true", threeShots, csvHeaders("If-Match", `"9"`)...).want(412)
	f.do("GET", at, "").want(200).sameJSON(jobBody(shotBody("1"), shotBody("2"), shotBody("4")))

	stored := f.staff("PUT", file, threeShots, "Content-Type", "Text/CSV; charset=UTF-8", "If-Match", look.header.Get("ETag")).want(200)
	stored.sameJSON(`{"stored": true, ` + change)
	f.do("GET", at, "").want(200).sameJSON(jobBody(shotBody("2", `"gust_ms": 7`), shotBody("1"), strings.Replace(shotBody("3"), "06-18", "06-19", 1)))

	// What goes out changes nothing when it comes in.
	for _, query := range []string{"", "?decimal=point", "?decimal=comma"} {
		out := f.do("GET", file+query, "").want(200)
		if got := out.header.Get("Content-Disposition"); !strings.HasPrefix(got, `attachment; filename="shots-`) {
			t.Errorf("sent as %s", got)
		}
		if out.header.Get("ETag") != stored.header.Get("ETag") {
			t.Errorf("the file is at %s, the job at %s", out.header.Get("ETag"), stored.header.Get("ETag"))
		}
		f.do("GET", file+query, "", "If-None-Match", out.header.Get("ETag")).want(304)
		again := f.staff("PUT", file, string(out.body), csvHeaders("If-Match", out.header.Get("ETag"))...).want(200)
		again.sameJSON(`{"stored": true, "added": [], "changed": [], "removed": [], "unchanged": 3, "reordered": false}`)
		if again.header.Get("ETag") != out.header.Get("ETag") {
			t.Errorf("the same shots move the job to %s", again.header.Get("ETag"))
		}
	}
	f.do("GET", file+"?decimal=dot", "").want(400)
	f.do("GET", file, "", "Accept", "application/json").want(406)
	f.do("GET", at+"x/shots.csv", "").want(404)
}

func TestBadShotListsByLineAndColumn(t *testing.T) {
	t.Parallel()
	f := newFace(t, newMemory())
	body := jobBody(shotBody("1"))
	at := f.staff("POST", "/v1/jobs", body).want(201).header.Get("Location") + "/shots.csv"
	bad := strings.NewReplacer("17:30,258,3,5.5,7", "16:00,west,3,5.5,7", "3,jetty", "1,pier").Replace(threeShots)
	for _, query := range []string{"", "?check=true"} {
		var p Problem
		f.staff("PUT", at+query, bad, csvHeaders("If-Match", "*")...).want(422).into(&p)
		var got []string
		for _, e := range deref(p.Errors) {
			got = append(got, strings.Join([]string{string(rune('0' + deref(e.Line))), deref(e.Column), string(e.Code)}, " "))
			if e.Detail == "" {
				t.Errorf("%s says nothing", got[len(got)-1])
			}
		}
		slices.Sort(got)
		if want := []string{"2 camera.bearing_deg wrong_type", "2 window.end end_not_after_start",
			"4 number repeated", "4 place unknown_place"}; !slices.Equal(got, want) {
			t.Errorf("%q, want %q", got, want)
		}
	}
	var long strings.Builder
	long.WriteString("number,place\n")
	for i := range 10_000 {
		long.WriteString(strings.Repeat("n", i%30+1) + ",jetty\n")
	}
	f.staff("PUT", at, long.String(), csvHeaders("If-Match", "*")...).want(422)
	f.do("GET", strings.TrimSuffix(at, "/shots.csv"), "").want(200).sameJSON(body)
}

func TestAWorkbookIsAShotList(t *testing.T) {
	t.Parallel()
	f := newFace(t, newMemory())
	at := f.staff("POST", "/v1/jobs", jobBody(shotBody("1"))).want(201).header.Get("Location")
	book := excelize.NewFile()
	for i, line := range strings.Split(strings.TrimSpace(threeShots), "\n") {
		var cells []any
		for _, c := range strings.Split(line, ",") {
			cells = append(cells, c)
		}
		if err := book.SetSheetRow("Sheet1", "A"+string(rune('1'+i)), &cells); err != nil {
			t.Fatal(err)
		}
	}
	var file bytes.Buffer
	if err := book.Write(&file); err != nil {
		t.Fatal(err)
	}
	f.staff("PUT", at+"/shots.csv", file.String(), "Content-Type", xlsxType, "If-Match", "*").want(200).
		sameJSON(`{"stored": true, "added": ["2", "3"], "changed": [], "removed": [], "unchanged": 1, "reordered": false}`)
	if got := f.do("GET", at+"/shots", "").want(200).numbers(); !slices.Equal(got, []string{"2", "1", "3"}) {
		t.Errorf("shots %v", got)
	}
	f.staff("PUT", at+"/shots.csv", "no workbook", "Content-Type", xlsxType, "If-Match", "*").want(422)
}

// A table has a column for whatever the contract lets one say of a shot, and for nothing else.
func TestColumnsAreThoseOfTheContract(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(api.YAML)
	if err != nil {
		t.Fatal(err)
	}
	var want []string
	var walk func(schema *openapi3.Schema, prefix string)
	walk = func(schema *openapi3.Schema, prefix string) {
		for name, ref := range schema.Properties {
			member := ref.Value
			for len(member.AllOf) == 1 {
				member = member.AllOf[0].Value
			}
			if member.Type.Is("object") && member.Properties["currency"] == nil {
				walk(member, prefix+name+".")
				continue
			}
			want = append(want, prefix+name)
		}
	}
	walk(doc.Components.Schemas["JobShotDraft"].Value, "")
	slices.Sort(want)
	if got := slices.Sorted(slices.Values(shotlist.Columns())); !slices.Equal(got, want) {
		t.Errorf("columns %v\nwant %v", got, want)
	}
}
