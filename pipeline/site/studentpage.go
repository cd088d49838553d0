package site

import (
	"fmt"
	"slices"
	"strings"

	"strokereel/overlay/scene"
	"strokereel/track"
)

// lessonLine is a lesson in a student's list.
type lessonLine struct{ Folder, On, Said string }

// chartView is a chart as the page shows it.
type chartView struct {
	progress
	Unit, Text, Light, Dark string
}

type studentView struct {
	base
	Student, Count string
	Lessons        []lessonLine
	Charts         []chartView
	CSV, JSON      string
	Download       string
}

// StudentPage makes the folder of a student's page: the lessons, latest first,
// and the progress over them.
func StudentPage(student string, records []Record, look Look) ([]File, error) {
	records = slices.Clone(records)
	slices.SortStableFunc(records, latestFirst)
	student = visible(student)
	var f folder
	v := studentView{base: f.base("Student "+student, "", look), Student: student, Count: count(len(records), "lesson"), Download: fileName(student)}
	v.Note = "± is the half width of a 95 % interval."
	for _, r := range records {
		v.Lessons = append(v.Lessons, lessonLine{r.Folder, r.On(), r.said()})
	}
	for _, p := range progressIn(records) {
		c := chartView{progress: p, Unit: scene.UnitName(p.Points[0].m), Text: p.Text()}
		if p.id == "tempo" {
			c.Unit = "backstroke time : downstroke time"
		}
		for _, ground := range []struct {
			dark bool
			name string
			to   *string
		}{{false, "", &c.Light}, {true, "-dark", &c.Dark}} {
			svg, err := p.chart(look.inks(ground.dark))
			if err != nil {
				return nil, err
			}
			*ground.to = f.add(p.file()+ground.name+".svg", svg)
		}
		v.Charts = append(v.Charts, c)
	}
	csv, err := ownCSV(student, records)
	if err != nil {
		return nil, err
	}
	json, err := ownJSON(student, records)
	if err != nil {
		return nil, err
	}
	v.CSV, v.JSON = f.add("numbers.csv", csv), f.add("numbers.json", json)
	err = f.page(Index, "student.html", v)
	return f.files, err
}

// saidOf are the measures that a line of the list says.
var saidOf = []string{"tempo", "backstroke_length"}

// said is a lesson in a few words: how the typical putt was after it.
func (r Record) said() string {
	var parts []string
	for _, id := range saidOf {
		if m := shown(id, r.After[id]); m.Status == track.Measured {
			parts = append(parts, strings.ToLower(scene.MeasureName(id))+" "+scene.Show(m).String())
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return "after it: " + strings.Join(parts, ", ")
}

// latestFirst orders lessons; those without a date come last.
func latestFirst(a, b Record) int {
	if a.Date != b.Date {
		return strings.Compare(b.Date, a.Date)
	}
	return strings.Compare(a.Folder, b.Folder)
}

func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
