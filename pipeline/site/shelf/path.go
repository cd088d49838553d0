package shelf

import (
	"errors"
	"strings"
)

// errNoPath is the answer to every address that is none: it tells nothing of why.
var errNoPath = errors.New("no such page")

// Bounds of an address: a page is two folders deep, and names of files are short.
const (
	longestPath = 200
	deepestPath = 3
)

// parsePath turns the raw path of a request into a name on the shelf. It knows
// only what the shelf itself writes - small letters, digits, hyphens and dots
// between them - and has no rule for anything else, so that no way of writing a
// path twice over, in other letters or with steps upward can mean one.
func parsePath(raw string) (string, error) {
	name, ok := strings.CutPrefix(raw, "/")
	if !ok || len(raw) > longestPath {
		return "", errNoPath
	}
	if name == "" || strings.HasSuffix(name, "/") {
		name += "index.html"
	}
	parts := strings.Split(name, "/")
	if len(parts) > deepestPath {
		return "", errNoPath
	}
	for _, p := range parts {
		if !plainName(p) {
			return "", errNoPath
		}
	}
	return name, nil
}

// plainName reports whether a part of a path is one that the shelf writes.
func plainName(s string) bool {
	if s == "" || s[0] == '.' || s[len(s)-1] == '.' || strings.Contains(s, "..") {
		return false
	}
	for i := range len(s) {
		c := s[i]
		if !(c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-' || c == '.') {
			return false
		}
	}
	return true
}
