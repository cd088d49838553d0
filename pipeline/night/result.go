package night

import (
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strokereel/overlay/scene"
	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/sheet"
	"strokereel/track"
)

// ResultSchema names the form of result.json.
const ResultSchema = "strokereel/night-result/1"

// Result is what the night keeps of a finished lesson, beside its files.
type Result struct {
	Schema  string       `json:"schema"`
	Key     string       `json:"key"`
	Retry   bool         `json:"retry,omitempty"` // something failed that may succeed another time
	Version string       `json:"version"`
	Made    time.Time    `json:"made"`
	Lesson  string       `json:"lesson"`
	Student string       `json:"student,omitempty"`
	Date    string       `json:"date,omitempty"`
	Clips   []ResultClip `json:"clips"`
	Films   []string     `json:"films"`             // within the folder
	Picture string       `json:"picture,omitempty"` // within the folder
	Numbers []Number     `json:"numbers"`
	Notes   []string     `json:"notes"`
	Needs   []Need       `json:"needs"`
	Files   files        `json:"files"` // without this one
}

// ResultClip is what came of one clip.
type ResultClip struct {
	Name    string     `json:"name"`
	SHA256  string     `json:"sha256,omitempty"`
	Role    sheet.Role `json:"role,omitempty"`
	Folder  string     `json:"folder"`
	State   string     `json:"state"`
	Reasons []string   `json:"reasons"`
}

// Number is one line of the table on the morning page, in words.
type Number struct {
	Name   string `json:"name"`
	Before string `json:"before"`
	After  string `json:"after"`
}

// Need is something that only a person can do.
type Need struct {
	Clip    string `json:"clip,omitempty"`
	What    string `json:"what"`
	Do      string `json:"do"`
	Picture string `json:"picture,omitempty"` // within the lesson's folder
}

// Remarks lists what was noticed about clips that could be shown.
func (r *Result) Remarks() (out []string) {
	for _, c := range r.Clips {
		if c.State == usable || c.State == withoutNumbers {
			for _, reason := range c.Reasons {
				out = append(out, c.Name+": "+reason)
			}
		}
	}
	return out
}

// stands reports whether the lesson was done with the same key and is all there.
func (r *runner) stands(p *plan) bool {
	place := filepath.Join(r.out.dir, p.lesson.Name)
	var res Result
	if !readJSON(filepath.Join(place, resultFile), &res) || res.Key != p.key || res.Retry || !res.Files.there(place) {
		return false
	}
	p.result, p.needs = &res, res.Needs
	return true
}

// judge says what of the clips needs a person.
func (p *plan) judge() {
	for _, c := range p.clips {
		n := Need{Clip: c.Name, Do: c.out.Do}
		if c.out.Picture {
			n.Picture = c.folder + "/" + pictureFile
		}
		switch {
		case c.out.State == filmAgain && c.Impact == 0:
			n.What = "No putt was found in it. " + strings.Join(c.out.Reasons, " ")
			n.Do = "film it again, or mark the impact in corrections.yaml to show it without numbers"
		case c.out.State == refused || c.out.State == gaveUp:
			n.What = strings.Join(c.out.Reasons, " ")
		case c.out.Person:
			n.What = "The sheet and the picture contradict each other. " + strings.Join(c.out.Reasons, " ")
			n.Do = "correct the handedness in lesson.yaml"
		default:
			continue
		}
		p.needs = append(p.needs, n)
	}
	switch {
	case p.pair():
	case len(p.clips) == 1:
		p.needs = append(p.needs, Need{What: "There is no reel: it takes a clip from before and one from after.", Do: "add the other clip"})
	default:
		var have []string
		for _, c := range p.shown() {
			have = append(have, string(c.Role))
		}
		lacks := "a before and an after clip"
		switch {
		case slices.Contains(have, string(sheet.Before)):
			lacks = "an after clip"
		case slices.Contains(have, string(sheet.After)):
			lacks = "a before clip"
		}
		p.needs = append(p.needs, Need{What: "There is no reel: " + lacks + " that can be shown is missing.",
			Do: "add it, or say in lesson.yaml what each clip is"})
	}
}

// pair reports whether there is something to compare.
func (p *plan) pair() bool {
	has := func(role sheet.Role) bool {
		return slices.ContainsFunc(p.shown(), func(c Clip) bool { return c.Role == role })
	}
	return has(sheet.Before) && has(sheet.After)
}

// report sums up the finished draft.
func (p *plan) report(draft string) (*Result, error) {
	all, err := list(draft)
	if err != nil {
		return nil, err
	}
	s := p.lesson.Sheet
	res := &Result{
		Schema: ResultSchema, Key: p.key, Version: pipeline.Version, Made: time.Now().Round(time.Second), Lesson: p.lesson.Name,
		Student: s.Student, Date: s.Date, Films: []string{}, Numbers: []Number{},
		Notes: append([]string{}, p.notes...), Needs: append([]Need{}, p.needs...), Files: all,
	}
	for name := range all {
		if strings.HasSuffix(name, ".mp4") {
			res.Films = append(res.Films, name)
		}
		if strings.HasSuffix(name, ".poster.jpg") && (res.Picture == "" || name < res.Picture) {
			res.Picture = name
		}
	}
	slices.Sort(res.Films)
	columns := map[sheet.Role]*lesson.Stroke{}
	for _, c := range p.clips {
		res.Retry = res.Retry || c.out.State == gaveUp
		res.Clips = append(res.Clips, ResultClip{c.Name, c.sha256, c.Role, c.folder, c.out.State, append([]string{}, c.out.Reasons...)})
		if c.out.Picture && (res.Picture == "" || c.Role == sheet.After && strings.HasPrefix(res.Picture, string(sheet.Before))) {
			res.Picture = c.folder + "/" + pictureFile
		}
		if columns[c.Role] == nil {
			columns[c.Role] = firstPutt(filepath.Join(draft, c.folder, pipeline.ReportFile))
		}
	}
	res.Numbers = append(res.Numbers, numbers(columns[sheet.Before], columns[sheet.After])...)
	return res, nil
}

// shownMeasures are the few numbers of the morning page.
var shownMeasures = [...]string{"backstroke_length", "follow_through_length", "tempo", "ball_speed", "hold_time"}

func numbers(before, after *lesson.Stroke) []Number {
	var out []Number
	for _, id := range shownMeasures {
		n := Number{scene.MeasureName(id), inWords(id, before), inWords(id, after)}
		if n.Before != "" || n.After != "" {
			out = append(out, n)
		}
	}
	return out
}

// inWords puts a stroke's measure into words, "" when it has none.
func inWords(id string, s *lesson.Stroke) string {
	if s == nil {
		return ""
	}
	m, ok := s.Measures[id]
	if !ok || m.Status == track.NotMeasured {
		return ""
	}
	value := func(v *float64) float64 {
		if v == nil {
			return 0
		}
		return *v
	}
	v := scene.Show(track.Measure{ID: id, Value: value(m.Value), Unit: m.Unit, U95: value(m.U95),
		Lo95: value(m.Lo95), Hi95: value(m.Hi95), Status: m.Status, Word: m.Word})
	return v.String()
}

// firstPutt reads a clip's first putt from its report, nil when it has none.
func firstPutt(path string) *lesson.Stroke {
	data, err := os.ReadFile(path)
	var r lesson.Report
	if err != nil || json.Unmarshal(data, &r) != nil {
		return nil
	}
	for k := range r.Strokes {
		if r.Strokes[k].Kind == track.Putt {
			return &r.Strokes[k]
		}
	}
	return nil
}
