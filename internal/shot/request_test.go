package shot

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/bojanz/currency"
)

// The tests read and walk requests by the names of the draft's own fields, so that a pointer that names no field of a
// request cannot pass.

// member is the JSON name of a field of a draft: LatitudeDeg is latitude_deg.
func member(name string) string {
	if name == "TStop" {
		return "t_stop"
	}
	var b strings.Builder
	for i, c := range name {
		if i > 0 && unicode.IsUpper(c) && unicode.IsLower(rune(name[i-1])) {
			b.WriteByte('_')
		}
		b.WriteRune(unicode.ToLower(c))
	}
	return b.String()
}

// readRequest reads the body of a sizing request into a draft. It is as strict as the real face about unknown members.
func readRequest(t *testing.T, body []byte) Draft {
	t.Helper()
	dec := json.NewDecoder(bytes.NewReader(body))
	dec.UseNumber()
	var request map[string]any
	if err := dec.Decode(&request); err != nil {
		t.Fatal(err)
	}
	shot, ok := request["shot"].(map[string]any)
	if !ok {
		t.Fatal("no shot")
	}
	for _, outer := range []string{"limits", "prefer"} {
		if v, ok := request[outer]; ok {
			shot[outer] = v
		}
	}
	var d Draft
	if err := fill(reflect.ValueOf(&d).Elem(), shot); err != nil {
		t.Fatal(err)
	}
	return d
}

func fill(to reflect.Value, from any) error {
	if to.Type() == reflect.TypeFor[currency.Amount]() {
		m := from.(map[string]any)
		a, err := currency.NewAmount(m["amount"].(string), m["currency"].(string))
		to.Set(reflect.ValueOf(a))
		return err
	}
	switch to.Kind() {
	case reflect.Pointer:
		if from == nil {
			return nil
		}
		to.Set(reflect.New(to.Type().Elem()))
		return fill(to.Elem(), from)
	case reflect.Struct:
		m, ok := from.(map[string]any)
		if !ok {
			return fmt.Errorf("%v is no object", from)
		}
		left := len(m)
		for i := range to.NumField() {
			name := member(to.Type().Field(i).Name)
			if v, ok := m[name]; ok {
				left--
				if err := fill(to.Field(i), v); err != nil {
					return fmt.Errorf("%s: %w", name, err)
				}
			}
		}
		if left > 0 {
			return fmt.Errorf("%d unknown members among %v", left, m)
		}
	case reflect.Slice:
		list := from.([]any)
		to.Set(reflect.MakeSlice(to.Type(), len(list), len(list)))
		for i, v := range list {
			if err := fill(to.Index(i), v); err != nil {
				return fmt.Errorf("%d: %w", i, err)
			}
		}
	case reflect.Float64:
		f, err := from.(json.Number).Float64()
		to.SetFloat(f)
		return err
	case reflect.Int:
		n, err := from.(json.Number).Int64()
		to.SetInt(n)
		return err
	case reflect.String:
		to.SetString(from.(string))
	case reflect.Bool:
		to.SetBool(from.(bool))
	default:
		return fmt.Errorf("a %s", to.Type())
	}
	return nil
}

// pointsAtField reports whether a fault's pointer names a member of the request.
func pointsAtField(pointer string) bool {
	rest, inShot := strings.CutPrefix(pointer, "/shot/")
	if !inShot && !strings.HasPrefix(pointer, "/limits/") && pointer != "/prefer" {
		return false
	}
	typ := reflect.TypeFor[Draft]()
	for _, token := range strings.Split(strings.TrimPrefix(rest, "/"), "/") {
		for typ.Kind() == reflect.Pointer {
			typ = typ.Elem()
		}
		switch {
		case typ == reflect.TypeFor[currency.Amount]():
			if token != "amount" && token != "currency" {
				return false
			}
			typ = reflect.TypeFor[string]()
		case typ.Kind() == reflect.Slice:
			if _, err := strconv.Atoi(token); err != nil {
				return false
			}
			typ = typ.Elem()
		case typ.Kind() == reflect.Struct:
			found := false
			for i := range typ.NumField() {
				if f := typ.Field(i); member(f.Name) == token {
					typ, found = f.Type, true
					break
				}
			}
			if !found {
				return false
			}
		default:
			return false
		}
	}
	return true
}

func exampleFiles(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("../../docs/examples/*.json")
	if err != nil {
		t.Fatal(err)
	}
	if len(files) < 9 {
		t.Fatalf("%d examples, the job has nine shots", len(files))
	}
	return files
}

func readExample(t *testing.T, file string) Draft {
	t.Helper()
	body, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	return readRequest(t, body)
}
