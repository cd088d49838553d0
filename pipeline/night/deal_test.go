package night

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline/sheet"
)

// evening is when the clips of these tests were filmed.
var evening = time.Date(2026, 1, 17, 18, 0, 0, 0, time.Local)

// filmedAt is a clip of a minute after six; card is what it shows, "" for none.
func filmedAt(name string, minute int, card string) foundClip {
	at := evening.Add(time.Duration(minute) * time.Minute)
	return foundClip{name: name, role: roleIn(name), fact: fact{
		identity: identity{Modified: at.Add(time.Minute).UnixNano()}, SHA256: name, Recorded: at, RecordedFrom: "phone", Shown: card}}
}

func TestDeal(t *testing.T) {
	const a, b = "SR:S-014:BEFORE", "SR:S-020:BEFORE"
	next := evening.AddDate(0, 0, 7)
	for _, c := range []struct {
		name  string
		found found
		want  string // lessons, their students and clips with roles
		says  string // among notes, needs and unsorted names
	}{
		{"no cards", found{name: "x", clips: []foundClip{filmedAt("1.mp4", 0, ""), filmedAt("2.mp4", 1, "")}}, "x of : 1.mp4= 2.mp4=", ""},
		{"a folder of one student", found{name: "x", clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 40, "SR:S-014:AFTER")}}, "x of S-014: 1.mp4=before 2.mp4=after", ""},
		{"clips that follow a card", found{name: "x", clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 2, ""), filmedAt("3.mp4", 20, "SR:S-014:AFTER"), filmedAt("4.mp4", 45, "")}},
			"x of S-014: 1.mp4=before 2.mp4=before 3.mp4=after 4.mp4=after", "4.mp4 is taken to be of S-014: it was filmed within 30 minutes after 3.mp4, which shows the card"},
		{"loose clips of two students", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 3, b), filmedAt("3.mp4", 30, "SR:S-014:AFTER"), filmedAt("4.mp4", 33, "SR:S-020:AFTER")}},
			"S-014 2026-01-17 of S-014: 1.mp4=before 3.mp4=after; S-020 2026-01-17 of S-020: 2.mp4=before 4.mp4=after", ""},
		{"another week", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 7*24*60, "SR:S-014:AFTER")}},
			"S-014 2026-01-17 of S-014: 1.mp4=before; S-014 " + next.Format(time.DateOnly) + " of S-014: 2.mp4=after", ""},
		{"one too long after a card", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 31, "")}},
			"in of : 2.mp4=; S-014 2026-01-17 of S-014: 1.mp4=before", "2.mp4"},
		{"before any card", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", 0, ""), filmedAt("2.mp4", 3, a)}},
			"in of : 1.mp4=; S-014 2026-01-17 of S-014: 2.mp4=before", "1.mp4"},
		{"a person's word against the card", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 3, a)},
			written: sheet.Written{Corrections: sheet.Corrections{"2.mp4": {Student: "S-020"}}}},
			"S-014 2026-01-17 of S-014: 1.mp4=before; S-020 2026-01-17 of S-020: 2.mp4=before", ""},
		{"another student's clip in a lesson", found{name: "x", clips: []foundClip{filmedAt("1.mp4", 0, a), filmedAt("2.mp4", 3, b), filmedAt("3.mp4", 40, "")},
			written: sheet.Written{Sheet: sheet.Sheet{Student: "S-014", Handedness: "left"}}},
			"x of S-014: 1.mp4=before 3.mp4=; S-020 2026-01-17 of S-020: 2.mp4=before", "It lies in x, the lesson of S-014, but is of S-020."},
		{"the name against the card", found{name: "x", clips: []foundClip{filmedAt("after.mp4", 0, a)}}, "x of S-014: after.mp4=before", "after.mp4 is named after, but its card says before"},
		{"a clock that was not set", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", -20*365*24*60, a), filmedAt("2.mp4", -20*365*24*60+1, "")}},
			"in of : 2.mp4=; S-014 2006-01-22 of S-014: 1.mp4=before", "2.mp4"},
		{"a card that would leave the outbox", found{name: "in", loose: true, clips: []foundClip{filmedAt("1.mp4", 0, "SR:../../x:BEFORE")}},
			"-..-x 2026-01-17 of ../../x: 1.mp4=before", ""},
		{"other codes on the wall", found{name: "x", clips: []foundClip{filmedAt("1.mp4", 0, "https://club.example")}}, "x of : 1.mp4=", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got, said []string
			for _, l := range c.found.deal(evening.AddDate(0, 1, 0)) {
				var clips []string
				for _, k := range l.clips {
					clips = append(clips, k.name+"="+string(k.role))
				}
				got = append(got, l.name+" of "+l.student+": "+strings.Join(clips, " "))
				said = append(append(said, l.notes...), l.unsorted...)
				for _, n := range l.needs {
					said = append(said, n.What)
				}
				if l.student == "S-020" && l.written.Sheet.Handedness != "" {
					t.Error("S-020 is given the hand of S-014")
				}
			}
			if strings.Join(got, "; ") != c.want {
				t.Errorf("got %s", strings.Join(got, "; "))
			}
			if all := strings.Join(said, "; "); !strings.Contains(all, c.says) || c.says == "" && all != "" {
				t.Errorf("it says %q, want %q", all, c.says)
			}
		})
	}
}

// Seventy clips dropped into the inbox as the phone named them.
func TestNightOfLooseClips(t *testing.T) {
	b := newBox(t)
	cards := map[string]string{}
	for k := range 35 {
		for n, role := range []string{"BEFORE", "AFTER"} {
			path := b.put(fmt.Sprintf("IMG_%04d.mp4", 2*k+n), good)
			cards[path] = fmt.Sprintf("SR:S-%03d:%s", k, role)
		}
	}
	j := b.job()
	j.card = func(_ context.Context, path string) string { return cards[path] }
	m, err := Run(context.Background(), j)
	must(t, err)
	if len(m.Lessons) != 35 || !m.AllDone() || m.Done() != 35 {
		t.Errorf("the night ended with %s", states(m))
	}
	for _, l := range m.Lessons {
		if l.Result == nil || len(l.Result.Films) != 1 || !strings.HasPrefix(l.Lesson, l.Result.Student+" ") {
			t.Errorf("%s: %+v", l.Lesson, l.Result)
		}
	}
	m, err = Run(context.Background(), j)
	must(t, err)
	if strings.Count(states(m), "unchanged") != 35 {
		t.Errorf("a second night ended with %s", states(m))
	}
}

func TestUnsortedClipsWait(t *testing.T) {
	b := newBox(t)
	path := b.put("1.mp4", good)
	must(t, os.Chtimes(path, evening, evening))
	later := evening.Add(2 * time.Hour) // too long to follow
	must(t, os.Chtimes(b.put("2.mp4", good), later, later))
	j := b.job()
	j.card = func(_ context.Context, p string) string {
		if p == path {
			return "SR:S-014:BEFORE"
		}
		return ""
	}
	m, err := Run(context.Background(), j)
	must(t, err)
	if got := needs(m, "in"); !strings.Contains(got, "2.mp4: Nothing tells whose clip it is") || len(b.reels) > 0 {
		t.Errorf("needs %q, reels %v", got, b.reels)
	}
	b.put("corrections.yaml", "clips: {2.mp4: {student: S-014, role: after}}\n")
	m, err = Run(context.Background(), j)
	must(t, err)
	if got := states(m); !strings.Contains(got, "S-014 2026-01-17=done") || strings.Contains(got, "in=") {
		t.Errorf("after a person's word: %s", got)
	}
}

// The card of a student is remembered from lesson to lesson, also when only the
// results of the earlier ones are left.
func TestCardsAreRemembered(t *testing.T) {
	b := newBox(t)
	b.lesson("first")
	b.put("first/student.yaml", "student: S-014\nhandedness: left\n")
	b.run()
	must(t, os.RemoveAll(filepath.Join(b.in, "first")))
	b.lesson("second")
	b.put("second/lesson.yaml", "student: S-014\n")
	b.lesson("third")
	b.put("third/lesson.yaml", "student: S-015\n")
	j := b.job()
	var hands []string
	j.Reel = func(_ context.Context, l Lesson, out string) error {
		hands = append(hands, l.Name+" "+l.Sheet.Handedness)
		return listInstead(l, out)
	}
	m, err := Run(context.Background(), j)
	must(t, err)
	if !slices.Equal(hands, []string{"second left", "third "}) {
		t.Errorf("hands %q", hands)
	}
	if notes := strings.Join(m.Lessons[0].Notes, " "); !strings.Contains(notes, "is taken from the card in first") {
		t.Errorf("it is not said: %q", notes)
	}
	b.put("second/student.yaml", "student: S-014\nhandedness: right\n")
	m, err = Run(context.Background(), j)
	must(t, err)
	if hands[len(hands)-1] != "second right" {
		t.Errorf("the lesson's own card does not win: %q", hands)
	}
	wantStates(t, m, "second=done third=unchanged")
}

func TestDoubts(t *testing.T) {
	clip := func(name string, minute int) filmed {
		c := filmedAt(name, minute, "")
		return filmed{c.name, c.fact}
	}
	spoil := func(c filmed, with func(*fact)) filmed {
		with(&c.fact)
		return c
	}
	const years = 365 * 24 * 60
	for _, c := range []struct {
		name  string
		clips []filmed
		want  string
	}{
		{"all well", []filmed{clip("IMG_0001.MOV", 0), clip("IMG_0002.MOV", 3), clip("VID_20260117_180500.mp4", 5)}, ""},
		{"never set", []filmed{clip("a.mp4", -21*years)}, "it was not set"},
		{"yet to come", []filmed{spoil(clip("a.mp4", 2*years), func(f *fact) { f.Modified = evening.AddDate(3, 0, 0).UnixNano() })}, "yet to come"},
		{"later than its file", []filmed{spoil(clip("a.mp4", 0), func(f *fact) { f.Modified = evening.AddDate(0, 0, -3).UnixNano() })}, "its file was written before"},
		{"another day by its name", []filmed{clip("VID_20260114_180500.mp4", 0)}, "its name another day"},
		{"another zone is none", []filmed{clip("VID_20260117_060500.mp4", 0)}, ""},
		{"numbers against times", []filmed{clip("IMG_0001.MOV", 30), clip("IMG_0002.MOV", 3)}, "by their numbers IMG_0001.MOV comes before IMG_0002.MOV, by their clock after it"},
		{"the counter began anew", []filmed{clip("IMG_9999.MOV", 0), clip("IMG_0001.MOV", 3)}, ""},
		{"one without a time", []filmed{clip("a.mp4", 0), spoil(clip("b.mp4", 1), func(f *fact) { f.RecordedFrom = "file" })}, "1 of 2 clips have no time of their own"},
		{"only times of files", []filmed{spoil(clip("b.mp4", 1), func(f *fact) { f.RecordedFrom = "file" })}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := strings.Join(doubts(c.clips, evening.AddDate(0, 1, 0)), "; ")
			if !strings.Contains(got, c.want) || c.want == "" && got != "" {
				t.Errorf("it says %q, want %q", got, c.want)
			}
		})
	}
	open := []*planClip{{Clip: Clip{Name: "a", Recorded: evening}}, {Clip: Clip{Name: "b", Recorded: evening.Add(time.Hour)}}}
	if assumed, ok := assign(open, false); ok || len(assumed) > 0 || open[0].Role != "" {
		t.Errorf("clips of doubtful times were sorted: %v %v %q", assumed, ok, open[0].Role)
	}
}

func TestOldFilmsAreRemoved(t *testing.T) {
	b := newBox(t)
	b.lesson("a")
	b.run()
	film, csv := filepath.Join(b.out, "a", "reel.mp4"), filepath.Join(b.out, "a", "before-1", "report.json")
	mine := filepath.Join(b.out, "a", "mine.mp4")
	must(t, os.WriteFile(mine, nil, 0o644))
	originals := tree(t, b.in)
	night := func(days int) *Morning {
		j := b.job()
		j.Settings.Night.Keep = days
		m, err := Run(context.Background(), j)
		must(t, err)
		return m
	}
	night(30)
	if _, err := os.Stat(film); err != nil {
		t.Fatal("a film of today is gone")
	}
	var res Result
	place := filepath.Join(b.out, "a", resultFile)
	readJSON(place, &res)
	res.Made = res.Made.AddDate(0, 0, -40)
	must(t, writeJSON(place, res))
	night(30)
	if _, err := os.Stat(film); !os.IsNotExist(err) {
		t.Errorf("an old film is kept: %v", err)
	}
	for _, kept := range []string{csv, mine} {
		if _, err := os.Stat(kept); err != nil {
			t.Error(err)
		}
	}
	b.measured, b.reels = nil, nil
	wantStates(t, night(30), "a=unchanged")
	if len(b.measured)+len(b.reels) > 0 || len(tree(t, filepath.Join(b.out, workDir, "clips"))) > 0 {
		t.Errorf("made again %v %v, or kept beside", b.measured, b.reels)
	}
	if got := tree(t, b.in); len(got) != len(originals) {
		t.Error("an original is gone")
	}
	must(t, os.RemoveAll(filepath.Join(b.out, "a")))
	if night(30); len(b.reels) != 1 {
		t.Error("it is not made again when its folder is removed")
	}
}
