package clip

import (
	"path/filepath"
	"slices"
	"strings"
)

// endings are the endings of names of clips as phones, messengers and cameras
// write them.
var endings = []string{".mp4", ".mov", ".m4v", ".3gp", ".mkv", ".webm", ".avi", ".ts", ".mts"}

// Named reports whether a file has the name of a clip. Whether it is one its bytes
// decide.
func Named(name string) bool {
	return slices.Contains(endings, strings.ToLower(filepath.Ext(name)))
}
