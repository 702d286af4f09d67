package catalog

import (
	"errors"
	"runtime"
	"strings"
	"testing"
)

// However a file is filled, reading it allocates no more than some times its size in all, and its list of faults is short.
func TestHostileFilesCostLittleMemory(t *testing.T) {
	const (
		size         = 4 << 20
		timesTheFile = 30 // until a file is given up, a row of 17 bytes has eleven faults that are worded
	)
	heading := strings.Join(CSVColumns(KindBallast), ",") + "\n"
	filled := func(head, each string) string { return head + strings.Repeat(each, (size-len(head))/len(each)) }
	for name, text := range map[string]string{
		"empty rows":             filled(heading, "\n"),
		"rows of one cell":       filled(heading, "x\n"),
		"rows of empty cells":    filled(heading, strings.Repeat(",", strings.Count(heading, ","))+"\n"),
		"one endless row":        filled(heading, "x,"),
		"one endless cell":       filled(heading, "x"),
		"an open quote":          filled(heading+`"`, "x\n"),
		"quotes":                 filled(heading, `"`),
		"a heading of commas":    filled("", ","),
		"a heading of one name":  filled("", "sku,"),
		"a heading that is long": filled("", "x"),
		"NULs":                   filled(heading, "\x00"),
		"bytes that are no text": filled(heading, "\xff\n"),
	} {
		t.Run(name, func(t *testing.T) {
			house := DemoHouses()[0]
			var before, after runtime.MemStats
			runtime.ReadMemStats(&before)
			err := ReadCSV(strings.NewReader(text), KindBallast, OneHouse(house), func(string, Item) error { return nil })
			runtime.ReadMemStats(&after)
			var bad *CSVError
			if name != "empty rows" && !errors.As(err, &bad) {
				t.Fatalf("%v, want faults", err)
			}
			if bad != nil && len(bad.Faults) > MaxFaults {
				t.Errorf("%d faults are listed", len(bad.Faults))
			}
			got := int(after.TotalAlloc - before.TotalAlloc)
			if got > timesTheFile*size {
				t.Errorf("%d bytes were allocated, %d times the file: want at most %d times", got, got/size, timesTheFile)
			}
		})
	}
}
