package night

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"strokereel/pipeline/sheet"
	"strokereel/pipeline/slate"
)

// follows is how long after a clip with a card one without is still taken to be
// of the same student: a few putts with the talk between them, our judgement.
const follows = 30 * time.Minute

// owner is whose clip it is, and why.
type owner struct {
	student string     // "" when nothing tells
	role    sheet.Role // as the card says
	follows bool       // it shows no card, but a clip shortly before does
	why     string     // "" when nothing needs to be said
}

// dealt gives the clips of all folders to their students; no two lessons have
// one name.
func dealt(lessons []found, now time.Time) []found {
	var out []found
	met := map[string]bool{}
	for _, folder := range lessons {
		for _, l := range folder.deal(now) {
			for met[l.name] {
				l.name += " (another)"
			}
			met[l.name] = true
			out = append(out, l)
		}
	}
	return out
}

// deal gives the clips of a folder to the students whose cards they show. A
// folder without cards stays as it is.
func (l found) deal(now time.Time) []found {
	if l.wrong != nil || len(l.clips) == 0 {
		return []found{l}
	}
	owners := l.owners(now)
	var seen []string
	for _, o := range owners {
		if o.student != "" && !slices.Contains(seen, o.student) {
			seen = append(seen, o.student)
		}
	}
	home := l // with the clips that stay
	home.clips = nil
	named := l.written.Sheet.Student
	switch {
	case len(seen) == 0:
		return []found{l}
	case named != "":
		home.student = named
	case len(seen) == 1 && !l.loose:
		home.student = seen[0]
	}
	var dealt []found
	for k, c := range l.clips {
		o := owners[k]
		if o.role != "" && c.role != "" && o.role != c.role && !o.follows {
			o.why = fmt.Sprintf("%s is named %s, but its card says %s: the card is believed.", plain(c.name), c.role, o.role)
		}
		if c.role == "" || !o.follows {
			c.role = cmp.Or(o.role, c.role)
		}
		to := &home
		switch {
		case o.student == "" && home.student == "":
			home.unsorted = append(home.unsorted, c.name)
		case o.student != "" && o.student != home.student:
			to = place(&dealt, l, c, o.student)
			if named != "" {
				to.needs = append(to.needs, Need{Clip: c.name, Do: "look at it; corrections.yaml can name another student",
					What: fmt.Sprintf("It lies in %s, the lesson of %s, but is of %s.", l.name, named, o.student)})
			}
		}
		if o.why != "" {
			to.notes = append(to.notes, o.why)
		}
		to.clips = append(to.clips, c)
	}
	if len(home.clips) > 0 {
		return append([]found{home}, dealt...)
	}
	dealt[0].passed = l.passed
	return dealt
}

// place finds or makes the lesson of a student on the day of a clip.
func place(dealt *[]found, l found, c foundClip, student string) *found {
	name := fileName(student) + " " + c.fact.Recorded.Local().Format(time.DateOnly)
	for k := range *dealt {
		if (*dealt)[k].name == name {
			return &(*dealt)[k]
		}
	}
	to := found{name: name, dir: l.dir, beside: l.beside, written: l.written, student: student}
	if of := l.written.Sheet.Student; of != "" && of != student {
		to.written.Sheet = sheet.Sheet{Coach: l.written.Sheet.Coach, Date: l.written.Sheet.Date, Clips: l.written.Sheet.Clips}
		to.written.Card = sheet.Card{}
	}
	*dealt = append(*dealt, to)
	return &(*dealt)[len(*dealt)-1]
}

// fileName makes a code the name of a folder: a card may hold anything.
func fileName(code string) string {
	return strings.TrimLeft(strings.Map(func(r rune) rune {
		if r == '/' || r == '\\' {
			return '-'
		}
		return r
	}, code), ".")
}

// owners finds whose each clip is: as a person wrote, as the card in it shows,
// else as the card in a clip shortly before it.
func (l found) owners(now time.Time) []owner {
	out := make([]owner, len(l.clips))
	order := make([]int, len(l.clips))
	for k := range order {
		order[k] = k
	}
	slices.SortStableFunc(order, func(a, b int) int { return l.clips[a].fact.Recorded.Compare(l.clips[b].fact.Recorded) })
	sure := len(doubts(l.filmed(), now)) == 0
	var last owner
	var lastName string
	var at time.Time
	for _, k := range order {
		c := l.clips[k]
		card, shown := slate.Parse(c.fact.Shown)
		switch fix := l.written.Corrections[c.name]; {
		case fix.Student != "":
			out[k] = owner{student: fix.Student, role: card.Role}
		case shown:
			out[k] = owner{student: card.Student, role: card.Role}
		case last.student != "" && sure && c.fact.Recorded.Sub(at) <= follows:
			out[k] = owner{last.student, last.role, true, fmt.Sprintf("%s is taken to be of %s: it was filmed within %d minutes after %s, which shows the card.",
				plain(c.name), plain(last.student), int(follows.Minutes()), plain(lastName))}
		}
		if out[k].student != "" && !out[k].follows {
			last, lastName = out[k], c.name
		}
		at = c.fact.Recorded
	}
	return out
}

func (l found) filmed() []filmed {
	var out []filmed
	for _, c := range l.clips {
		if c.unread == nil {
			out = append(out, filmed{c.name, c.fact})
		}
	}
	return out
}
