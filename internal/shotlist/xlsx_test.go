package shotlist

import (
	"archive/zip"
	"bytes"
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"kitspan/internal/fault"
)

// workbook makes an XLSX file whose first sheet has the rows.
func workbook(t testing.TB, rows [][]any, change ...func(*excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	for i, row := range rows {
		if err := f.SetSheetRow("Sheet1", fmt.Sprintf("A%d", i+1), &row); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range change {
		c(f)
	}
	file, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return file.Bytes()
}

var heading = []any{"number", "place", "window.date", "window.start", "window.end", "camera.bearing_deg", "framing.width_m", "framing.distance_m", "limits.price_per_day", "lamps"}

const lamps = `[{"label":"street","azimuth_deg":10,"elevation_deg":30,"illuminance_lx":20000}]`

func TestASheetReadsAsTheSameCSV(t *testing.T) {
	want := Read([]byte(twoShots)).Shots
	day := time.Date(2027, 6, 18, 0, 0, 0, 0, time.UTC)
	texts := []any{"1", "jetty", "2027-06-18", "16:30", "17:30", "258", "3", "5,5", "900,00 EUR", ""}
	for name, file := range map[string][]byte{
		"texts": workbook(t, [][]any{heading, texts, {"2", "jetty", "2027-06-18", "16:30", "17:30", "258.5", "3", "5.5", "", lamps}}),
		// Days and times as a spreadsheet keeps them: 46556 is 18 June 2027 (from memory of the epoch, 30 December 1899), and 0.6875 is 16:30.
		"numbers": workbook(t, [][]any{heading, {1, "jetty", 46556, 0.6875, 17.5 / 24, 258, 3, 5.5, "900.00 EUR"}, {}, {2, "jetty", 46556.0, 46556.6875, 17.5 / 24, 258.5, 3.0, 5.5, nil, lamps}}),
		"days": workbook(t, [][]any{heading, {1, "jetty", day, day.Add(16*time.Hour + 30*time.Minute), 17.5/24 + 1e-9, 258, 3, 5.5, "900.00 EUR"},
			{2, "jetty", day, 0.6875, 17.5/24 - 1e-9, 258.5, 3, 5.5, "", lamps}}),
		"days from 1904": workbook(t, [][]any{heading, {1, "jetty", 46556 - 1462, 0.6875, 17.5 / 24, 258, 3, 5.5, "900.00 EUR"}, {2, "jetty", 46556 - 1462, 0.6875, 17.5 / 24, 258.5, 3, 5.5, "", lamps}},
			func(f *excelize.File) {
				yes := true
				if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &yes}); err != nil {
					t.Fatal(err)
				}
			}),
		"another sheet behind": workbook(t, [][]any{heading, texts, {"2", "jetty", "2027-06-18", "16:30", "17:30", "258.5", "3", "5.5", "", lamps}},
			func(f *excelize.File) {
				if _, err := f.NewSheet("Notes"); err != nil {
					t.Fatal(err)
				}
				if err := f.SetCellValue("Notes", "A1", "not shots"); err != nil {
					t.Fatal(err)
				}
			}),
	} {
		got := ReadXLSX(file)
		if faults := faultsOf(got); len(faults) > 0 {
			t.Errorf("%s: %+v", name, faults)
			continue
		}
		if d := cmp.Diff(want, got.Shots); d != "" {
			t.Errorf("%s (-want +got):\n%s", name, d)
		}
	}
}

func TestFaultsOfASheetByLineAndColumn(t *testing.T) {
	sound := []any{1, "jetty", 46556, 0.6875, 0.75, 258, 3, 5.5}
	for name, c := range map[string]struct {
		file   []byte
		line   int
		column string
		code   string
	}{
		"an unknown column": {workbook(t, [][]any{{"number", "place", "sise"}}), 1, "sise", "unknown"},
		"a wrong cell":      {workbook(t, [][]any{heading, sound, nil, {2, "jetty", 46556, 0.6875, 0.75, "west", 3, 5.5}}), 4, "camera.bearing_deg", "wrong_type"},
		"an end too early":  {workbook(t, [][]any{heading, {1, "jetty", 46556, 0.6875, 0.5, 258, 3, 5.5}}), 2, "window.end", "end_not_after_start"},
		"no day":            {workbook(t, [][]any{heading, {1, "jetty", -1, 0.6875, 0.75, 258, 3, 5.5}}), 2, "window.date", "not_a_date"},
		"an empty sheet":    {workbook(t, nil), 1, "", "wrong_columns"},
		"no workbook":       {[]byte(twoShots), 1, "", "not_a_workbook"},
		"half a workbook":   {workbook(t, [][]any{heading, sound})[:2000], 1, "", "not_a_workbook"},
		"rows far below": {workbook(t, [][]any{heading}, func(f *excelize.File) {
			if err := f.SetCellValue("Sheet1", "A30000", "1"); err != nil {
				t.Fatal(err)
			}
		}), maxLines + 1, "", "workbook_too_large"},
	} {
		got := faultsOf(ReadXLSX(c.file))
		if len(got) != 1 || got[0].Line != c.line || got[0].Column != c.column || got[0].Kind.Code() != c.code {
			t.Errorf("%s: %+v, want %s at line %d, %q", name, got, c.code, c.line, c.column)
		}
	}
}

// A small file that unpacks to a large one costs no more than its bound.
func TestAWorkbookThatUnpacksWithoutEnd(t *testing.T) {
	swollen := func(part, element string, size int) []byte {
		sound, err := zip.NewReader(bytes.NewReader(workbook(t, [][]any{heading})), int64(len(workbook(t, [][]any{heading}))))
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for _, f := range sound.File {
			if f.Name == part {
				continue
			}
			if err := w.Copy(f); err != nil {
				t.Fatal(err)
			}
		}
		in, err := w.Create(part)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprint(in, `<?xml version="1.0"?><sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main">`)
		fmt.Fprint(in, strings.Repeat(element, size/len(element)))
		fmt.Fprint(in, `</sst>`)
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	for name, file := range map[string][]byte{
		"beyond the bound": swollen("xl/sharedStrings.xml", "<si><t>x</t></si>", 64<<20),
		"many tags beyond": swollen("xl/sharedStrings.xml", "<si/>", maxUnpacked-64<<10),
		"many tags within": swollen("xl/sharedStrings.xml", "<si/>", 5*(maxTags-2000)),
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		table := ReadXLSX(file)
		runtime.ReadMemStats(&after)
		const most = 256 << 20 // allocated in all, of which the collector takes most back meanwhile
		if got := after.TotalAlloc - before.TotalAlloc; got > most {
			t.Errorf("%s: %d kB of file took %d MB, want %d at most", name, len(file)>>10, got>>20, most>>20)
		}
		if strings.Contains(name, "beyond") && (len(table.unread) != 1 || table.unread[0].Kind.Code() != (fault.WorkbookTooLarge{}).Code()) {
			t.Errorf("%s: %+v", name, table.unread)
		}
		t.Logf("%s: %d kB took %d MB", name, len(file)>>10, (after.TotalAlloc-before.TotalAlloc)>>20)
	}
}
