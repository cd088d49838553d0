package site

import (
	"fmt"
	"slices"
	"strings"
)

// Listed is a student as the academy's lists know it.
type Listed struct {
	Student string
	Folder  string // of the student's page, beside the lists' folder
	Lessons []Record
}

// Rows on one page of a list: with folders of 128 bits, the longest codes and a
// year of months they stay well below the 100 kB that a phone loads at once.
const (
	studentsOnPage = 250
	lessonsOnPage  = 450
	monthsInLine   = 12 // the latest
)

type studentLine struct {
	Student, Folder, Latest, Months string
	Lessons                         int
}

type dayLine struct{ Date, Student, Coach, Folder string }

type pageLink struct {
	Name, File string
	Here       bool
}

type listView struct {
	base
	Heading, Count string
	Pages          []pageLink
	Students       []studentLine
	Lessons        []dayLine
}

// Lists makes the folder of lists of the academy, or of one coach: by student,
// and by day, each over as many pages as it takes. The first page comes last.
func Lists(heading string, students []Listed, look Look) ([]File, error) {
	var byStudent []studentLine
	var byDay []dayLine
	for _, s := range students {
		name := visible(s.Student)
		line := studentLine{Student: name, Folder: s.Folder, Lessons: len(s.Lessons)}
		var months []string
		for _, r := range s.Lessons {
			line.Latest = max(line.Latest, r.Date)
			if len(r.Date) > 7 {
				months = append(months, r.Date[:7])
			}
			byDay = append(byDay, dayLine{r.Date, name, visible(r.Coach), s.Folder + "/" + r.Folder})
		}
		slices.Sort(months)
		months = slices.Compact(months)
		line.Months = strings.Join(months[max(0, len(months)-monthsInLine):], " ")
		byStudent = append(byStudent, line)
	}
	slices.SortStableFunc(byStudent, func(a, b studentLine) int { return strings.Compare(a.Student, b.Student) })
	slices.SortStableFunc(byDay, func(a, b dayLine) int {
		return strings.Compare(b.Date+"\x00"+a.Student, a.Date+"\x00"+b.Student)
	})

	var f folder
	v := listView{base: f.base(heading, "list.js", look), Heading: heading,
		Count: count(len(students), "student") + ", " + count(len(byDay), "lesson") + ". Keep this page's link within the academy."}
	var all []listView
	for part := range slices.Chunk(byStudent, studentsOnPage) {
		w := v
		w.Students = part
		all = append(all, w)
		v.Pages = append(v.Pages, pageLink{pageName("Students", len(v.Pages), len(byStudent) > studentsOnPage), listFile("students", len(v.Pages)), false})
	}
	lead := len(v.Pages)
	for part := range slices.Chunk(byDay, lessonsOnPage) {
		w := v
		w.Lessons = part
		all = append(all, w)
		n := len(v.Pages) - lead
		v.Pages = append(v.Pages, pageLink{pageName("By day", n, len(byDay) > lessonsOnPage), listFile("days", n), false})
	}
	if len(all) == 0 {
		return f.files, f.page(Index, "list.html", v)
	}
	for i, w := range slices.Backward(all) {
		w.Pages = slices.Clone(v.Pages)
		w.Pages[i].Here = true
		if err := f.page(w.Pages[i].File, "list.html", w); err != nil {
			return nil, err
		}
	}
	return f.files, nil
}

func pageName(name string, n int, many bool) string {
	if !many {
		return name
	}
	return fmt.Sprintf("%s %d", name, n+1)
}

func listFile(name string, n int) string {
	if name == "students" && n == 0 {
		return Index
	}
	return fmt.Sprintf("%s-%d.html", name, n+1)
}
