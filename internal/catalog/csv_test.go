package catalog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var quay = House{Slug: "quayside", Name: "Quayside", Currency: "EUR", TimeZone: "Europe/Lisbon"}

func readAll(text string, k Kind) ([]Item, error) {
	var items []Item
	err := ReadCSV(strings.NewReader(text), k, OneHouse(quay), func(house string, item Item) error {
		items = append(items, item)
		return nil
	})
	return items, err
}

const lineHead = "house,sku,name,mass_kg,packed_m3,owned,replacement,account,length_m,safe_pull_n,currency,rates\n"

func TestEveryBadCellIsNamed(t *testing.T) {
	const good = "quayside,QG-L1,Rope,1.2,0.01,4,20.00,2410,15,1500,EUR,2026-01-01=1.50\n"
	cases := []struct {
		name string
		text string
		want []string // "line column", "line" for a row's fault
	}{
		{"an empty file", "", []string{"1"}},
		{"a mark alone", "\ufeff", []string{"1"}},
		{"no rows", lineHead, nil},
		{"a good row", lineHead + good, nil},
		{"blank lines between", lineHead + "\n" + good + "\n", nil},
		{"CRLF", strings.ReplaceAll(lineHead+good, "\n", "\r\n"), nil},
		{"a byte order mark", "\ufeff" + lineHead + good, nil},
		{"a mark before a quoted heading", "\ufeff" + strings.Replace(lineHead, "house", `"house"`, 1) + good, nil},
		{"spaces round cells", lineHead + strings.ReplaceAll(good, ",", " , "), nil},
		{"columns in another order", "sku,house,name,mass_kg,packed_m3,owned,replacement,account,length_m,safe_pull_n,rates,currency\n" +
			"QG-L1,quayside,Rope,1.2,0.01,4,20.00,2410,15,1500,2026-01-01=1.50,EUR\n", nil},
		{"an amount that a spreadsheet has shortened", lineHead + strings.Replace(good, "20.00", "20", 1), nil},
		{"no rate", lineHead + strings.Replace(good, "2026-01-01=1.50", "", 1), nil},
		{"a column too many", strings.Replace(lineHead, "rates", "rates,shelf", 1) + good, []string{"1 shelf"}},
		{"a column missing", strings.Replace(lineHead, ",owned", "", 1) + good, []string{"1 owned"}},
		{"a column twice", strings.Replace(lineHead, "owned", "owned,owned", 1) + good, []string{"1 owned"}},
		{"a cell too few", lineHead + "quayside,QG-L1\n" + good, []string{"2"}},
		{"a stray quote", lineHead + strings.Replace(good, "Rope", `Ro"pe`, 1) + strings.Replace(good, "1.2", "x", 1), []string{"2", "3 mass_kg"}},
		{"an open quote", lineHead + strings.Replace(good, "Rope", `"Rope`, 1), []string{"2"}},
		{"bad UTF-8", lineHead + strings.Replace(good, "Rope", "R\xf4pe", 1), []string{"2 name"}},
		{"another house", lineHead + strings.Replace(good, "quayside", "northpier", 1), []string{"2 house"}},
		{"another currency", lineHead + strings.Replace(good, "EUR", "GBP", 1), []string{"2 currency"}},
		{"a SKU twice", lineHead + good + "\n" + good, []string{"4 sku"}},
		{"several in a row", lineHead + "quayside,qg,,-1,x,1.5,20.005,2410,0,,EUR,2026-02-30=1.50\n",
			[]string{"2 packed_m3", "2 owned", "2 replacement", "2 safe_pull_n", "2 rates", "2 sku", "2 name", "2 mass_kg", "2 length_m"}},
		{"numbers that are none", lineHead + strings.Replace(good, "1.2,0.01", "NaN,Inf", 1), []string{"2 mass_kg", "2 packed_m3"}},
		{"hexadecimal", lineHead + strings.Replace(good, "1.2,", "0x10,", 1), []string{"2 mass_kg"}},
		{"a number beyond floats", lineHead + strings.Replace(good, "1.2,", "1e999,", 1), []string{"2 mass_kg"}},
		{"a decimal comma", lineHead + strings.Replace(good, "1.2,", `"1,2",`, 1), []string{"2 mass_kg"}},
		{"a count beyond 32 bits", lineHead + strings.Replace(good, ",4,", ",99999999999,", 1), []string{"2 owned"}},
		{"two rates on one date", lineHead + strings.Replace(good, "=1.50", "=1.50;2026-01-01=2.00", 1), []string{"2 rates"}},
		{"rates out of order", lineHead + strings.Replace(good, "=1.50", "=1.50;2025-01-01=2.00", 1), []string{"2 rates"}},
		{"a rate without a date", lineHead + strings.Replace(good, "2026-01-01=1.50", "1.50", 1), []string{"2 rates"}},
		{"a row without end", lineHead + `"` + strings.Repeat("x", 200_000) + `"`, []string{"2"}},
		{"a row behind quoted line breaks", lineHead + strings.Replace(good, "Rope", "\"Ro\npe\"", 1) + strings.Replace(good, "QG-L1", "qg", 1),
			[]string{"2 name", "4 sku"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			_, err := readAll(c.text, KindLine)
			var got []string
			if bad := (*CSVError)(nil); errors.As(err, &bad) {
				for _, f := range bad.Faults {
					got = append(got, strings.TrimSpace(fmt.Sprint(f.Line, " ", f.Column)))
					if f.Reason == "" {
						t.Errorf("line %d %s without a reason", f.Line, f.Column)
					}
				}
			} else if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.want, got); d != "" {
				t.Errorf("faults (-want +got):\n%s\n%v", d, err)
			}
		})
	}
}

func TestAHeadingSaysWhatIsWrongWithIt(t *testing.T) {
	for head, want := range map[string]string{
		"house,sku,name\n":                                                         "9 columns are missing",
		strings.Replace(lineHead, ",owned", "", 1):                                 "1 column is missing",
		strings.Replace(lineHead, "rates", "rates,shelf", 1):                       "1 column is unknown",
		strings.Replace(lineHead, "owned", "Owned", 1):                             "1 column is missing, 1 is unknown",
		strings.Replace(lineHead, "owned,replacement", "sku,sku,house,amount", 1):  "2 columns are missing, 1 is unknown, 3 are repeated",
		strings.Replace(lineHead, "length_m,safe_pull_n", "length,safe_pull,x", 1): "2 columns are missing, 3 are unknown",
	} {
		_, err := readAll(head, KindLine)
		bad := (*CSVError)(nil)
		if !errors.As(err, &bad) || bad.Heading != want {
			t.Errorf("%s: %v, want %q", strings.TrimSpace(head), err, want)
			continue
		}
		if len(bad.Faults) > 1 && !strings.Contains(err.Error(), want) {
			t.Errorf("%v does not say %q", err, want)
		}
	}
	_, err := readAll(lineHead+"quayside,qg\n", KindLine)
	if bad := (*CSVError)(nil); !errors.As(err, &bad) || bad.Heading != "" {
		t.Errorf("a bad row passes for a bad heading: %v", err)
	}
}

func TestContradictionsInACSVRowAreNamedOnce(t *testing.T) {
	head := strings.Join(CSVColumns(KindFabric), ",") + "\n"
	_, err := readAll(head+"quayside,F-1,Cloth,1,0.1,1,10.00,,2,2,diffusion,0.6,0.6,0,0.1,1,0,white,white,EUR,\n"+
		"quayside,F-2,Cloth,1,0.1,1,10.00,,2,x,diffusion,0.6,0.6,0,0.1,1,0,white,white,EUR,\n", KindFabric)
	bad := (*CSVError)(nil)
	if !errors.As(err, &bad) || len(bad.Faults) != 2 {
		t.Fatalf("got %v", err)
	}
	if f := bad.Faults[0]; f.Line != 2 || f.Column != "transmittance" || !strings.Contains(f.Reason, "more than 1") {
		t.Errorf("first fault %v", f)
	}
	if f := bad.Faults[1]; f.Line != 3 || f.Column != "fits_height_m" {
		t.Errorf("second fault %v: the unreadable cell alone, no contradiction with the 0 in its place", f)
	}
}

func TestFaultsAreCappedAndTheRestCounted(t *testing.T) {
	var b strings.Builder
	b.WriteString(lineHead)
	for i := range MaxFaults + 500 {
		fmt.Fprintf(&b, "quayside,QG-%d,Rope,x,0.01,4,20.00,2410,15,1500,EUR,\n", i)
	}
	_, err := readAll(b.String(), KindLine)
	bad := (*CSVError)(nil)
	if !errors.As(err, &bad) || len(bad.Faults) != MaxFaults || bad.More != 500 {
		t.Fatalf("%d faults and %d more", len(bad.Faults), bad.More)
	}
}

func TestErrorsOfTheStreamAndOfTheCallerComeBackAsTheyAre(t *testing.T) {
	torn := errors.New("torn")
	r := io.MultiReader(strings.NewReader(lineHead), iotest.ErrReader(torn))
	if err := ReadCSV(r, KindLine, OneHouse(quay), func(string, Item) error { return nil }); !errors.Is(err, torn) {
		t.Errorf("got %v, want the reader's error", err)
	}
	full := errors.New("full")
	err := ReadCSV(strings.NewReader(lineHead+"quayside,QG-L1,Rope,1.2,0.01,4,20.00,2410,15,1500,EUR,\n"), KindLine, OneHouse(quay),
		func(string, Item) error { return full })
	if !errors.Is(err, full) {
		t.Errorf("got %v, want the caller's error", err)
	}
	if err := ReadCSV(strings.NewReader(""), "bicycle", OneHouse(quay), nil); err == nil {
		t.Error("an unknown kind was read")
	}
}

func TestDemoFilesComeBackByteForByte(t *testing.T) {
	for _, kind := range Kinds() {
		want, err := demoFiles.ReadFile("demo/" + string(kind) + ".csv")
		if err != nil {
			t.Fatal(err)
		}
		var got bytes.Buffer
		w, err := NewCSVWriter(&got, kind)
		if err != nil {
			t.Fatal(err)
		}
		if err := readDemo(kind, func(house string, item Item) error {
			h, _ := demoHouse(house)
			return w.Write(h, &item)
		}); err != nil {
			t.Fatal(err)
		}
		if err := w.Flush(); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(string(want), got.String()); d != "" {
			t.Errorf("%s (-file +written):\n%s", kind, d)
		}
	}
}

// anyItem draws a sound item with values all over what the rules allow, names with quotes, commas and formula signs
// among them.
func anyItem(k Kind) *rapid.Generator[Item] {
	return rapid.Custom(func(t *rapid.T) Item {
		item := Item{Spec: NewSpec(k)}
		item.SKU = rapid.StringMatching(`[A-Z0-9][A-Z0-9.-]{0,39}`).Draw(t, "sku")
		for _, f := range append(item.itemFields(), item.Spec.Fields()...) {
			switch v := f.Value.(type) {
			case *float64:
				*v = rapid.Float64Range(f.Rule.Min, f.Rule.Max).Draw(t, f.Name)
				if *v = settled(*v); f.Rule.OpenMin && *v == f.Rule.Min {
					*v = f.Rule.Max
				}
			case *int:
				if f.Rule.Numbers != nil {
					*v = rapid.SampledFrom(f.Rule.Numbers).Draw(t, f.Name)
				} else {
					*v = rapid.IntRange(int(f.Rule.Min), int(f.Rule.Max)).Draw(t, f.Name)
				}
			case *string:
				if f.Rule.Words != nil {
					*v = rapid.SampledFrom(f.Rule.Words).Draw(t, f.Name)
				} else {
					*v = rapid.StringMatching(`[=+@＝"',;A-Za-zãß-]([ =+@＝"',;A-Za-zãß-]{0,20}[A-Za-z"])?`).Draw(t, f.Name)
				}
			}
		}
		money := func(label string) string {
			return fmt.Sprintf("%d.%02d", rapid.Int64Range(0, 999_999_999_999).Draw(t, label), rapid.IntRange(0, 99).Draw(t, label))
		}
		item.Replacement, _ = ParseMoney(money("replacement"), "EUR")
		for y := range rapid.IntRange(0, 4).Draw(t, "rates") {
			r := Rate{From: Date{2026 + y, 1, 1}}
			r.PerDay, _ = ParseMoney(money("rate"), "EUR")
			item.Rates = append(item.Rates, r)
		}
		agree(item.Spec)
		return item
	})
}

// settled is 0 for what is nearly so.
func settled(v float64) float64 {
	if math.Abs(v) < leastMagnitude {
		return 0
	}
	return v
}

// agree takes the contradictions out of a drawn spec.
func agree(s Spec) {
	switch s := s.(type) {
	case *Frame:
		s.OpeningWidthM, s.OpeningHeightM = math.Max(s.OpeningWidthM, s.OpeningHeightM), math.Min(s.OpeningWidthM, s.OpeningHeightM)
		s.OuterWidthM = math.Max(s.OuterWidthM, s.OpeningWidthM)
		s.OuterHeightM = math.Min(math.Max(s.OuterHeightM, s.OpeningHeightM), s.OuterWidthM)
		s.SupportsMax = max(s.SupportsMax, s.SupportsMin)
	case *Fabric:
		s.FitsWidthM, s.FitsHeightM = math.Max(s.FitsWidthM, s.FitsHeightM), math.Min(s.FitsWidthM, s.FitsHeightM)
		s.Transmittance = math.Max(s.Transmittance, 0.001)
		s.Reflectance = settled(math.Max(math.Min(s.Reflectance, 1-s.Transmittance), 0))
		if s.Use == UseBounce && s.Reflectance == 0 {
			s.Use = UseDiffusion
		}
	case *Reflector:
		s.SpecularA, s.SpecularB = settled(math.Min(s.SpecularA, 1-s.DiffuseA)), settled(math.Min(s.SpecularB, 1-s.DiffuseB))
	case *Support:
		s.HighestM = math.Max(s.HighestM, s.LowestM)
		s.OperatorSKU = ""
		if s.Class == ClassMachine {
			s.OperatorSKU = "QG-OP"
		}
	case *Anchor:
		if s.Form == FormWeight {
			s.SafePullN = 0
		} else {
			s.SafePullN = math.Max(s.SafePullN, 1)
		}
	}
}

func TestWhatIsWrittenReadsBackTheSame(t *testing.T) {
	for _, k := range Kinds() {
		t.Run(string(k), rapid.MakeCheck(func(t *rapid.T) {
			item := anyItem(k).Draw(t, "item")
			if got := item.ValidateIn(quay); got != nil {
				t.Fatalf("drawn item is not sound: %v", got)
			}
			var b bytes.Buffer
			if err := WriteCSV(&b, k, quay, []Item{item}); err != nil {
				t.Fatal(err)
			}
			got, err := readAll(b.String(), k)
			if err != nil {
				t.Fatalf("%v\n%s", err, b.String())
			}
			if d := cmp.Diff([]Item{item}, got); d != "" {
				t.Fatalf("(-written +read):\n%s\n%s", d, b.String())
			}
		}))
	}
}

// FuzzReadCSV: nothing panics, and whatever is accepted is sound and comes back the same when written and read again.
func FuzzReadCSV(f *testing.F) {
	for i, k := range Kinds() {
		text, err := demoFiles.ReadFile("demo/" + string(k) + ".csv")
		if err != nil {
			f.Fatal(err)
		}
		f.Add(byte(i), bytes.Join(bytes.SplitAfterN(text, []byte("\n"), 5)[:3], nil))
	}
	f.Add(byte(5), []byte("\ufeff"+lineHead+"quayside,QG-L1,\"=Ro\"\"pe\",1.2,0.01,4,20,2410,15,1500,EUR,2026-01-01=1.5\r\n"))
	f.Fuzz(func(t *testing.T, k byte, text []byte) {
		kind := kinds[int(k)%len(kinds)]
		var items []Item
		read := func(r io.Reader) ([]Item, error) {
			var items []Item
			err := ReadCSV(r, kind, OneHouse(quay), func(_ string, item Item) error {
				if p := item.ValidateIn(quay); p != nil {
					t.Fatalf("accepted %+v: %v", item, p)
				}
				items = append(items, item)
				return nil
			})
			return items, err
		}
		items, err := read(bytes.NewReader(text))
		if err != nil {
			if bad := (*CSVError)(nil); !errors.As(err, &bad) || len(bad.Faults) == 0 {
				t.Fatalf("refused with %T %v, want a list of faults", err, err)
			}
			return
		}
		var b bytes.Buffer
		if err := WriteCSV(&b, kind, quay, items); err != nil {
			t.Fatal(err)
		}
		again, err := read(&b)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(items, again); d != "" {
			t.Fatalf("(-first +second):\n%s", d)
		}
	})
}

func BenchmarkReadCSV20000(b *testing.B) {
	var text bytes.Buffer
	w, _ := NewCSVWriter(&text, KindFabric)
	item := sound(b, KindFabric)
	for i := range 20_000 {
		item.SKU = fmt.Sprintf("F-%05d", i)
		if err := w.Write(quay, &item); err != nil {
			b.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(text.Len()))
	for b.Loop() {
		if err := ReadCSV(bytes.NewReader(text.Bytes()), KindFabric, OneHouse(quay), func(string, Item) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
}
