package labels

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// python is Debian's: its packages are installed by scripts/setup --test.
const python = "/usr/bin/python3"

// TestAnotherProgramReadsThePlaces has the file read, checked and written again
// by a program that shares nothing with this one.
func TestAnotherProgramReadsThePlaces(t *testing.T) {
	dir := t.TempDir()
	want := few()
	if err := want.Save(dir); err != nil {
		t.Fatal(err)
	}
	again := filepath.Join(dir, "again.json")
	out, err := exec.Command(python, "testdata/coco.py", filepath.Join(dir, PlacesFile), again).CombinedOutput()
	if err != nil {
		t.Fatalf("%v (scripts/setup --test installs what it needs)\n%s", err, out)
	}
	var lines []string
	for _, p := range slices.SortedFunc(maps.Keys(want.Points), byPlace) {
		at, v := want.Points[p], 2
		if at.Hidden {
			v = 1
		}
		lines = append(lines, fmt.Sprintf("%s\t%s\t%s\t%s\t%d", imageName(p.Clip, p.Frame), p.Object, float(at.X), float(at.Y), v))
	}
	got := strings.Split(strings.TrimSpace(string(out)), "\n")
	slices.Sort(got)
	slices.Sort(lines)
	if !slices.Equal(got, lines) {
		t.Errorf("it reads\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(lines, "\n"))
	}
	f, err := os.Open(again)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	back := NewSet()
	if err := back.readCOCO(f, InFile); err != nil || !maps.Equal(back.Points, want.Points) {
		t.Errorf("written by the other program: %v, %v", back.Points, err)
	}
}

// float writes a number as Python does.
func float(v float64) string {
	s := strconv.FormatFloat(v, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}
