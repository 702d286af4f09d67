package rest

import (
	"encoding/json"
	"reflect"
	"testing"

	"kitspan/internal/job"
)

// A draft as JSON has the names of the contract: read by the contract's decoder it is the same draft.
func TestAJobsDraftIsWrittenByTheNamesOfTheContract(t *testing.T) {
	var in JobDraft
	fill(reflect.ValueOf(&in).Elem(), 1)
	draft, faults := jobDraftOf(&in)
	if len(faults) > 0 {
		t.Fatalf("faults %v", faults)
	}
	body, err := json.Marshal(draft)
	if err != nil {
		t.Fatal(err)
	}
	var again JobDraft
	if _, err := DecodeJSON(body, &again); err != nil {
		t.Fatalf("%v in\n%s", err, body)
	}
	if back, _ := jobDraftOf(&again); !reflect.DeepEqual(draft, back) {
		t.Errorf("read back as\n%+v\nwant\n%+v", back, draft)
	}
	var stored job.Draft
	if err := json.Unmarshal(body, &stored); err != nil {
		t.Fatal(err)
	}
	if !reflect.DeepEqual(draft, stored) {
		t.Errorf("stored as\n%s", body)
	}
}

// fill says something of every member, each number another.
func fill(v reflect.Value, n float64) {
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		fill(v.Elem(), n)
	case reflect.Struct:
		if v.Type() == reflect.TypeOf(MoneyDraft{}) {
			amount, code := "12.50", "EUR"
			v.Set(reflect.ValueOf(MoneyDraft{Amount: &amount, Currency: &code}))
			return
		}
		for i := range v.NumField() {
			fill(v.Field(i), n+float64(i+1)/8)
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			fill(v.Index(i), n+float64(i+1))
		}
	case reflect.Map:
		v.Set(reflect.MakeMap(v.Type()))
		one := reflect.New(v.Type().Elem()).Elem()
		fill(one, n)
		v.SetMapIndex(reflect.ValueOf("jetty"), one)
	case reflect.String:
		v.SetString("word")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int:
		v.SetInt(int64(n))
	case reflect.Float64:
		v.SetFloat(n)
	}
}
