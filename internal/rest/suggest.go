package rest

import (
	"slices"
	"strings"
)

// unknownMember says that an object has no such member, and which one may have been meant.
func unknownMember(name string, fields map[string]field) string {
	known := make([]string, 0, len(fields))
	for k := range fields {
		known = append(known, k)
	}
	slices.Sort(known)
	return "is not known here" + meant(name, known)
}

// meant is the end of the sentence: the nearest of the words where one is near, else all of them where they are few.
func meant(name string, known []string) string {
	const few = 12
	best, distance := "", 1+max(2, len(name)/3)
	for _, k := range known {
		if n := editDistance(strings.ToLower(name), k); n < distance {
			best, distance = k, n
		}
	}
	switch {
	case best != "":
		return ": did you mean " + best + "?"
	case len(known) == 0:
		return ": leave it out"
	case len(known) <= few:
		return ": known are " + strings.Join(known, ", ")
	default:
		return ": leave it out or see /openapi.json"
	}
}

// editDistance is Levenshtein's, over bytes; names longer than 64 bytes are as far as can be.
func editDistance(a, b string) int {
	const longest = 64
	if len(a) > longest || len(b) > longest {
		return longest
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
