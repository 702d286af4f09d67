package httpchain

import (
	"strings"
	"testing"
)

func TestAcceptedIsWhatTheClientLikesBest(t *testing.T) {
	const json, csv = "application/json", "text/csv"
	for name, tc := range map[string]struct {
		header []string
		want   string
	}{
		"no header":                       {nil, json},
		"an empty header":                 {[]string{""}, json},
		"commas alone":                    {[]string{" , ,"}, json},
		"anything":                        {[]string{"*/*"}, json},
		"a type":                          {[]string{csv}, csv},
		"in capitals":                     {[]string{"TEXT/CSV"}, csv},
		"all of a kind":                   {[]string{"application/*"}, json},
		"all of another kind":             {[]string{"text/*"}, csv},
		"equal weights: the first offer":  {[]string{"text/csv, application/json"}, json},
		"more weight":                     {[]string{"application/json;q=0.5, text/csv;q=0.6"}, csv},
		"weight 1 where none is given":    {[]string{"application/json;q=0.9, text/csv"}, csv},
		"over several lines":              {[]string{"application/json;q=0.1", "text/csv;q=0.2"}, csv},
		"the narrowest range counts":      {[]string{"*/*, application/json;q=0.1"}, csv},
		"the narrower refuses":            {[]string{"application/*;q=0, */*;q=0.1"}, csv},
		"all but one":                     {[]string{"*/*, application/json;q=0, text/csv;q=0"}, ""},
		"nothing at all":                  {[]string{"*/*;q=0"}, ""},
		"others alone":                    {[]string{"text/html, application/xml"}, ""},
		"a suffix is another type":        {[]string{"application/problem+json"}, ""},
		"a charset beside it":             {[]string{"application/json; charset=utf-8"}, json},
		"a browser":                       {[]string{"text/html,application/xhtml+xml,application/xml;q=0.9,*/*;q=0.8"}, json},
		"a lone asterisk":                 {[]string{"text/html, image/gif, *; q=.2, */*; q=.2"}, json},
		"unreadable ranges are passed by": {[]string{"/, json;;;, text/csv"}, csv},
		"unreadable ranges alone":         {[]string{"json"}, ""},
		"a weight out of range":           {[]string{"text/csv;q=2, application/json;q=-1"}, ""},
		"a weight that is no number":      {[]string{"text/csv;q=NaN, application/json;q=x"}, ""},
		"a long header":                   {[]string{strings.Repeat("a/b,", 10_000) + csv}, csv},
	} {
		t.Run(name, func(t *testing.T) {
			if got := Accepted(tc.header, json, csv); got != tc.want {
				t.Errorf("%.60q: %q, want %q", tc.header, got, tc.want)
			}
		})
	}
}
