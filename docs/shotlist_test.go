package docs_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"

	document "kitspan/api"
	"kitspan/internal/shotlist"
)

// The page of shot lists has a row for every column, with what the contract says of it.
func TestShotListsHaveTheirColumns(t *testing.T) {
	doc, err := openapi3.NewLoader().LoadFromData(document.YAML)
	if err != nil {
		t.Fatal(err)
	}
	table := "| column | what it is |\n|---|---|\n"
	for _, name := range shotlist.Columns() {
		member := doc.Components.Schemas["JobShotDraft"].Value
		for _, step := range strings.Split(name, ".") {
			for len(member.AllOf) == 1 {
				member = member.AllOf[0].Value
			}
			if member = member.Properties[step].Value; member == nil {
				t.Fatalf("the contract has no %s", name)
			}
		}
		says := strings.Join(strings.Fields(said(member)), " ")
		if len(member.Enum) > 0 {
			says += fmt.Sprintf(" One of %s.", strings.Trim(fmt.Sprint(member.Enum), "[]"))
		}
		table += fmt.Sprintf("| `%s` | %s |\n", name, strings.ReplaceAll(says, "|", `\|`))
	}
	printed(t, "shot-lists.md", "columns", table)
}

// said is a schema's description, or that of what it is made of.
func said(s *openapi3.Schema) string {
	for _, part := range s.AllOf {
		if s.Description == "" {
			return said(part.Value)
		}
	}
	return s.Description
}
