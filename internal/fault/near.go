package fault

import "strings"

// UnknownAmong returns that a name is not among the known ones: with the nearest where one is near, else with all of them where they are few.
func UnknownAmong(name string, known []string) Unknown {
	const few = 12
	best, distance := "", 1+max(2, len(name)/3)
	for _, k := range known {
		if n := editDistance(strings.ToLower(name), k); n < distance {
			best, distance = k, n
		}
	}
	switch {
	case best != "":
		return Unknown{Near: best}
	case len(known) > few:
		return Unknown{Many: true}
	}
	return Unknown{Known: known}
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
