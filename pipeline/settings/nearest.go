package settings

import "strings"

// nearest returns the key most like a misspelt one, "" when none is. A key
// without its section is compared with last names.
func nearest(all []field, key string) string {
	best, least := "", len(key)/3+2
	for _, f := range all {
		d := distance(key, f.key)
		if !strings.Contains(key, ".") {
			d = distance(key, f.key[strings.LastIndex(f.key, ".")+1:])
		}
		if d < least {
			best, least = f.key, d
		}
	}
	return best
}

// distance counts the insertions, removals and exchanges of bytes that turn a
// into b (V. I. Levenshtein, 1966, Soviet Physics Doklady 10, 707-710).
func distance(a, b string) int {
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
