package night

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"strokereel/pipeline/sheet"
)

// ResultSchema names the form of result.json.
const ResultSchema = "strokereel/night-result/1"

// Result is what the night keeps of a finished lesson, beside its files.
type Result struct {
	Schema  string       `json:"schema"`
	Key     string       `json:"key"`
	From    origin       `json:"made_from"`
	Retry   bool         `json:"retry,omitempty"` // something failed that may succeed another time
	Version string       `json:"version"`
	Made    time.Time    `json:"made"`
	Lesson  string       `json:"lesson"`
	Student string       `json:"student,omitempty"`
	Coach   string       `json:"coach,omitempty"`
	Date    string       `json:"date,omitempty"`
	Clips   []ResultClip `json:"clips"`
	LeftOut []LeftOut    `json:"left_out,omitempty"`
	Films   []string     `json:"films"`             // within the folder
	Picture string       `json:"picture,omitempty"` // within the folder
	// Practice is the page of drills for home, within the folder.
	Practice string   `json:"practice,omitempty"`
	Numbers  []Number `json:"numbers"`
	// Compared says in words whether the two putts were the same task.
	Compared string   `json:"compared,omitempty"`
	Notes    []string `json:"notes"`
	Needs    []Need   `json:"needs"`
	Files    files    `json:"files"`             // without this one
	Retired  []string `json:"retired,omitempty"` // files that were removed after a time, see settings night.keep
}

// ResultClip is what came of one clip.
type ResultClip struct {
	Name    string     `json:"name"`
	SHA256  string     `json:"sha256,omitempty"`
	Role    sheet.Role `json:"role,omitempty"`
	Folder  string     `json:"folder"`
	State   string     `json:"state"`
	Code    string     `json:"code,omitempty"` // of a refusal, such as not_a_clip
	Reasons []string   `json:"reasons"`
}

// LeftOut is a clip of the lesson that is no part of it: a second copy, or put
// aside by a person. By its fingerprint it is found when the student is erased.
type LeftOut struct {
	Name   string `json:"name"`
	SHA256 string `json:"sha256,omitempty"`
}

// Number is one line of the table on the morning page, in words.
type Number struct {
	Name   string `json:"name"`
	Before Shown  `json:"before"`
	After  Shown  `json:"after"`
}

// Shown is a value in words; Text is "" when there is none.
type Shown struct {
	Text     string `json:"text"`
	Interval string `json:"interval,omitempty"`
}

func (s Shown) String() string {
	if s.Text == "" {
		return "–"
	}
	return strings.TrimSpace(s.Text + " " + s.Interval)
}

// Need is something that only a person can do.
type Need struct {
	Clip    string `json:"clip,omitempty"`
	Code    string `json:"code,omitempty"` // of a refusal, such as not_a_clip
	What    string `json:"what"`
	Do      string `json:"do"`
	Picture string `json:"picture,omitempty"` // within the lesson's folder
}

// Line says on one line what the lesson needs.
func (n Need) Line(lesson string) string {
	where := plain(lesson)
	if n.Clip != "" {
		where += " / " + plain(n.Clip)
	}
	return fmt.Sprintf("%s: %s What to do: %s.", where, plain(n.What), plain(n.Do))
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
			n.Code, n.What = c.out.Code, strings.Join(c.out.Reasons, " ")
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
