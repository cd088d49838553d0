package site_test

import (
	"fmt"
	"image/color"
	"os"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"strokereel/pipeline/site"
	"strokereel/pipeline/site/sitetest"
)

func look(t *testing.T, o site.Options) site.Look {
	t.Helper()
	l, err := site.NewLook(o)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

const token = "abcdefghijklmnopqrstuvwxyz"

// 2,000 lessons of 200 students: no page of the lists has 100 kB.
func TestListsStaySmall(t *testing.T) {
	var students []site.Listed
	for i := range 200 {
		s := site.Listed{Student: fmt.Sprintf("Student-%04d", i), Folder: token}
		for k := range 10 {
			s.Lessons = append(s.Lessons, site.Record{Student: s.Student, Coach: "Coach-12", Date: fmt.Sprintf("2026-%02d-1%d", k+1, i%10), Folder: token})
		}
		students = append(students, s)
	}
	files, err := site.Lists("All students", students, look(t, site.DefaultOptions()))
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for _, f := range files {
		if len(f.Data) >= 100_000 {
			t.Errorf("%s has %d bytes", f.Name, len(f.Data))
		}
		rows += strings.Count(string(f.Data), `<th scope="row"`)
	}
	if rows != 200+2000 || files[len(files)-1].Name != site.Index {
		t.Errorf("%d rows, last is %s", rows, files[len(files)-1].Name)
	}
}

// A lesson's page without its media has less than 300 kB, and none of the names
// of the clips' files.
func TestLessonPage(t *testing.T) {
	dir := t.TempDir()
	odd := `</title><script>alert(1)</script>` + "\u202e"
	if err := sitetest.Write(dir, sitetest.Lesson{Name: "one", Student: odd, Date: "2026-01-17"}); err != nil {
		t.Fatal(err)
	}
	l, err := site.ReadLesson(filepath.Join(dir, "one"), site.Record{Student: odd, Date: "2026-01-17", Folder: token}, []string{"reel.mp4", "reel.tall.mp4"})
	if err != nil {
		t.Fatal(err)
	}
	files, err := site.LessonPage(l, look(t, site.DefaultOptions()))
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for _, f := range files {
		switch path.Ext(f.Name) {
		case ".html", ".css", ".js", ".csv", ".json":
			total += len(f.Data)
			markup := path.Ext(f.Name) == ".html" && strings.Contains(string(f.Data), "<script>alert")
			if markup || strings.Contains(string(f.Data), "clip.mp4") || strings.Contains(string(f.Data), "\u202e") {
				t.Errorf("%s shows what it must not", f.Name)
			}
		}
	}
	if total >= 300_000 || total < 10_000 {
		t.Errorf("%d bytes without media", total)
	}
	page := string(files[len(files)-1].Data)
	for _, want := range []string{"shorter by 8.1 to 9.9 cm", "Lesson of 17 January 2026", "#t=1.000", `class="two"`, "data:text/vtt"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page lacks %q", want)
		}
	}
}

func TestReadLessonRefuses(t *testing.T) {
	dir := t.TempDir()
	if err := sitetest.Write(dir, sitetest.Lesson{Name: "one", Student: "S-1"}); err != nil {
		t.Fatal(err)
	}
	one := filepath.Join(dir, "one")
	for _, c := range []struct{ name, film, want string }{
		{"outside the folder", "../one/reel.mp4", "lies outside the lesson"},
		{"not there", "other.mp4", "no such file"},
		{"only a film to send", "reel.send.mp4", "it has no reel"},
	} {
		if _, err := site.ReadLesson(one, site.Record{}, []string{c.film}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	if err := os.WriteFile(filepath.Join(one, "lesson.json"), []byte(`{"schema":"another"}`), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := site.ReadLesson(one, site.Record{}, []string{"reel.mp4"}); err == nil || !strings.Contains(err.Error(), "is not of the form") {
		t.Errorf("another form of lesson.json: %v", err)
	}
}

// Whatever colour an academy has, its links can be read on light and dark pages
// (WCAG 2.2, success criterion 1.4.3).
func TestAccentCanBeRead(t *testing.T) {
	for _, accent := range []string{"#ffff00", "#000000", "#ffffff", "#808080", "#ff0000", "#1f5a46"} {
		o := site.DefaultOptions()
		o.Accent = accent
		files, err := site.Blank(look(t, o))
		if err != nil {
			t.Fatal(err)
		}
		var links []color.RGBA
		for _, part := range strings.Split(string(files[0].Data), "--link: #")[1:] {
			var c color.RGBA
			if n, _ := fmt.Sscanf(part, "%02x%02x%02x", &c.R, &c.G, &c.B); n == 3 {
				links = append(links, c)
			}
		}
		if len(links) < 2 || site.Contrast(links[0], color.RGBA{0xf4, 0xf2, 0xec, 255}) < 4.5 || site.Contrast(links[1], color.RGBA{0x20, 0x24, 0x1f, 255}) < 4.5 {
			t.Errorf("%s became %v", accent, links)
		}
	}
	for _, o := range []site.Options{{Name: "", Accent: "#000000"}, {Name: "x", Accent: "red"}, {Name: strings.Repeat("x", 91), Accent: "#000000"}} {
		if o.Validate() == nil {
			t.Errorf("%+v was taken", o)
		}
	}
}
