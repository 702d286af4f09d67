package catalog

import (
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// editSame edits a blank item to what another's fields say.
func editSame(house House, from *Item, changes map[string]string) (Item, []Problem) {
	said := map[string]string{}
	for _, f := range from.Fields(house.Currency) {
		said[f.Name] = f.Format()
	}
	for name, text := range changes {
		said[name] = text
	}
	item := Item{SKU: from.SKU, Spec: NewSpec(from.Kind())}
	problems := item.Edit(house, func(field string) string { return said[field] })
	return item, problems
}

func sameItem(t *testing.T, want, got Item) {
	t.Helper()
	if diff := cmp.Diff(want, got, cmp.Comparer(func(a, b Date) bool { return a == b })); diff != "" {
		t.Errorf("%s (-was +comes back):\n%s", want.SKU, diff)
	}
}

func TestEveryItemComesBackFromItsFields(t *testing.T) {
	items := 0
	for _, house := range DemoHouses() {
		stock, _ := DemoSnapshot(house.Slug)
		for _, item := range stock.Items() {
			got, problems := editSame(house, &item, nil)
			if problems != nil {
				t.Errorf("%s: %v", item.SKU, problems)
			}
			sameItem(t, item, got)
			items++
		}
	}
	if items < 100 {
		t.Errorf("%d items", items)
	}
}

// Fields are edited on a page, where nothing computes formulas: a file alone escapes them.
func TestFieldsTakeTextsAsTheyAre(t *testing.T) {
	for _, text := range []string{"=1+1", "'=1", "-2 stops", "a;=b", `say "when"`, "1,5 m; white", "+351 21", "@x", "Ærø – «ü»"} {
		item := sound(t, KindFabric)
		item.Name, item.Account, item.Spec.(*Fabric).FaceB = text, text, "white"
		got, problems := editSame(quay, &item, nil)
		if problems != nil {
			t.Errorf("%q: %v", text, problems)
		}
		sameItem(t, item, got)
	}
}

func TestFieldsStandInTheOrderOfAFilesColumns(t *testing.T) {
	for _, kind := range Kinds() {
		var names []string
		for _, f := range (&Item{Spec: NewSpec(kind)}).Fields("EUR") {
			names = append(names, f.Name)
		}
		columns := slices.DeleteFunc(CSVColumns(kind), func(c string) bool { return c == "house" || c == "sku" || c == "currency" })
		if diff := cmp.Diff(columns, names); diff != "" {
			t.Errorf("%s (-columns +fields):\n%s", kind, diff)
		}
	}
}

func TestWhatIsWrongWithAFieldIsSaidOfIt(t *testing.T) {
	item := sound(t, KindAnchor)
	for name, tc := range map[string]struct {
		changes map[string]string
		want    []string
	}{
		"nothing":                    {nil, nil},
		"spaces around":              {map[string]string{"mass_kg": " 2.5 ", "rates": " 2026-01-01 = 1.50 ; 2027-01-01=2 "}, nil},
		"no number":                  {map[string]string{"mass_kg": "heavy", "owned": "2.5"}, []string{"mass_kg", "owned"}},
		"out of range":               {map[string]string{"mass_kg": "-1", "name": ""}, []string{"name", "mass_kg"}},
		"no money":                   {map[string]string{"replacement": "1,00"}, []string{"replacement"}},
		"too fine money":             {map[string]string{"replacement": "1.005"}, []string{"replacement"}},
		"no rates":                   {map[string]string{"rates": "12.50"}, []string{"rates"}},
		"rates in the wrong order":   {map[string]string{"rates": "2027-01-01=2.00;2026-01-01=1.50"}, []string{"rates"}},
		"a rate on a day that is no": {map[string]string{"rates": "2026-02-30=2.00"}, []string{"rates"}},
	} {
		t.Run(name, func(t *testing.T) {
			_, problems := editSame(quay, &item, tc.changes)
			var got []string
			for _, p := range problems {
				got = append(got, p.Field)
			}
			if diff := cmp.Diff(tc.want, got); diff != "" {
				t.Errorf("(-want +got):\n%s\n%v", diff, problems)
			}
		})
	}
}
