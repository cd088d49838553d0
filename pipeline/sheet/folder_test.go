package sheet

import (
	"os"
	"path/filepath"
	"testing"
)

func TestFolderOf(t *testing.T) {
	lesson := filepath.Join(t.TempDir(), "S-014 winter")
	for _, dir := range []string{"before", "After"} {
		if err := os.MkdirAll(filepath.Join(lesson, dir), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct{ clip, sheet, dir, name string }{
		{clip: "a.mp4", dir: ".", name: "a.mp4"},
		{clip: "before/a.mp4", dir: ".", name: "before/a.mp4"},
		{clip: "After/a.mp4", dir: ".", name: "After/a.mp4"},
		{clip: "before/a.mp4", sheet: "before/lesson.yaml", dir: "before", name: "a.mp4"},
	} {
		if c.sheet != "" {
			if err := os.WriteFile(filepath.Join(lesson, c.sheet), []byte("student: S-014\n"), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		dir, name, err := FolderOf(filepath.Join(lesson, c.clip))
		if err != nil || dir != filepath.Join(lesson, c.dir) || name != c.name {
			t.Errorf("%s with sheet %q: %s, %s, %v", c.clip, c.sheet, dir, name, err)
		}
	}
}
