package export

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
	"strings"

	"strokereel/pipeline/lesson"
	"strokereel/track"
	"strokereel/track/measure"
)

// table is one file with what its columns mean and how a clip's rows are made;
// the first column is the results they come from.
type table struct {
	name, about string
	columns     []column
	rows        func(f lesson.Findings, add func(cells ...string))
}

func (t table) file() string { return t.name + ".csv" }

type column struct{ name, unit, meaning string }

var (
	results  = column{"results", "", "folder of the results within the folder that was exported; joins the tables"}
	strokeNo = column{"stroke", "", "number of the stroke within the clip, from 1"}
	kind     = column{"kind", "", "putt, practice (no ball struck) or unusable (events from ball or sound only)"}
	status   = column{"status", "", "measured; at_least (the clip ended first); predicted (a model, not a measurement); not_measured"}
	reason   = column{"reason", "", "why it is not measured, or what to know"}
)

// tables lists all tables, with the large ones of tracks when they are wanted.
func tables(tracks bool) []table {
	out := []table{clips(), settingsTable(), warnings(), events(), witnesses(), measures(), terms()}
	if tracks {
		out = append(out,
			trackTable("tracks", "what was seen in each frame, one row per frame and object", func(f lesson.Findings) []lesson.Observed { return f.Observed }),
			trackTable("paths", "the smoothed path of the putter, one row per frame", func(f lesson.Findings) []lesson.Observed { return f.Smooth }))
	}
	return out
}

func clips() table {
	return table{"clips", "one row per clip", []column{results,
		{"file", "", "name of the clip"},
		{"sha256", "", "fingerprint of its bytes"},
		{"width", "px", "of the upright picture"},
		{"height", "px", "of the upright picture"},
		{"frames", "", "how many were read"},
		{"duration_s", "s", "from the first frame to the end of the last"},
		{"capture_rate", "1/s", "frames per second while filming, as a fraction"},
		{"recorded_at", "", "when it was filmed (RFC 3339); empty when not known"},
		{"handedness", "", "right, left or unknown"},
		{"handedness_source", "", "where that is from"},
		{"view", "", "where the camera stood"},
		{"ruler_from", "", "what gives the scale: ball, sticker, rod or sheet; empty without a scale"},
		{"ruler_px_per_m", "px/m", "the scale"},
		{"ruler_u95", "px/m", "half the width of its 95 % interval"},
		{"shake_px", "px", "how far the camera moved over the clip; empty when not known"},
		{"strokes", "", "how many were found"},
		{"version", "", "of the program"},
		{"settings", "", "fingerprint of the settings"},
	}, func(f lesson.Findings, add func(...string)) {
		c, m := f.Report.Clip, f.Report.Camera
		from, scale, u := "", "", ""
		if r := m.Ruler; r != nil {
			from, scale, u = r.From, number(r.PxPerM), number(r.U95)
		}
		add(c.File, c.SHA256, strconv.Itoa(c.Width), strconv.Itoa(c.Height), strconv.Itoa(c.Frames), number(c.DurationS), c.CaptureRate, c.RecordedAt,
			c.Handedness, c.HandednessSource, c.View, from, scale, u, optional(m.ShakePx.Value), strconv.Itoa(len(f.Report.Strokes)), f.Report.MadeBy.Version, f.Report.MadeBy.Settings)
	}}
}

func settingsTable() table {
	return table{"settings", "the settings that were not at their defaults", []column{results,
		{"key", "", "of the setting; `strokereel settings` explains each"},
		{"value", "", "as a settings file has it"},
	}, func(f lesson.Findings, add func(...string)) {
		for _, k := range slices.Sorted(maps.Keys(f.Report.MadeBy.Changed)) {
			add(k, f.Report.MadeBy.Changed[k])
		}
	}}
}

func warnings() table {
	return table{"warnings", "what a person should know about a clip", []column{results,
		{"code", "", "a word for programs"},
		{"text", "", "words for people"},
	}, func(f lesson.Findings, add func(...string)) {
		for _, w := range f.Report.Warnings {
			add(w.Code, w.Text)
		}
	}}
}

func events() table {
	return table{"events", "the moments of each stroke", []column{results, strokeNo, kind,
		{"event", "", "name of the moment, explained in the rows of the dictionary that have a value"},
		{"t_s", "s", "from the first frame's time; empty when not measured"},
		{"u95_s", "s", "half the width of the 95 % interval"},
		status, reason,
	}, func(f lesson.Findings, add func(...string)) {
		for _, s := range f.Report.Strokes {
			for _, name := range inOrder(s.Events, track.EventNames) {
				e := s.Events[name]
				add(strconv.Itoa(s.Index+1), s.Kind, name, optional(e.TS), optional(e.U95S), e.Status, e.Reason)
			}
		}
	}}
}

func witnesses() table {
	return table{"witnesses", "the independent signs from which an event was found", []column{results, strokeNo,
		{"event", "", "as in events"},
		{"witness", "", "the sign: ball (its path traced back), contact_place, speed_step, sound and others"},
		{"t_s", "s", "the moment it gives"},
		{"u95_s", "s", "half the width of its 95 % interval"},
	}, func(f lesson.Findings, add func(...string)) {
		for _, s := range f.Report.Strokes {
			for _, name := range inOrder(s.Events, track.EventNames) {
				for _, w := range s.Events[name].Witnesses {
					add(strconv.Itoa(s.Index+1), name, w.Name, number(w.TS), number(w.U95S))
				}
			}
		}
	}}
}

func measures() table {
	return table{"measures", "the numbers of each stroke", []column{results, strokeNo, kind,
		{"measure", "", "name of the number, explained in the rows of the dictionary that have a value"},
		{"value", "as unit says", "empty when not measured or when it is a word"},
		{"word", "", "of measures whose value is a word"},
		{"unit", "", "m, s, m/s, deg, or 1 for ratios"},
		{"u95", "as unit says", "half the width of the 95 % interval, when it is symmetric"},
		{"lo95", "as unit says", "lower end of the 95 % interval, when it is not"},
		{"hi95", "as unit says", "upper end of it"},
		status, reason,
		{"how", "", "how it was found"},
	}, func(f lesson.Findings, add func(...string)) {
		for _, s := range f.Report.Strokes {
			for _, name := range inOrder(s.Measures, measure.Names()) {
				m := s.Measures[name]
				add(strconv.Itoa(s.Index+1), s.Kind, name, optional(m.Value), m.Word, m.Unit, optional(m.U95), optional(m.Lo95), optional(m.Hi95), m.Status, m.Reason, m.How)
			}
		}
	}}
}

func terms() table {
	return table{"uncertainty", "what each interval is made of: the root of the sum of (sensitivity u)² is its standard uncertainty", []column{results, strokeNo,
		{"of", "", "the event or measure"},
		{"term", "", "an independent input"},
		{"value", "as unit says", "of the input"},
		{"unit", "", "of the input"},
		{"u", "as unit says", "its standard uncertainty"},
		{"sensitivity", "", "change of the result, of its logarithm when log is 1, per unit of the input"},
		{"share", "1", "part of the variance"},
		{"k", "1", "coverage factor from the standard uncertainty to the interval"},
		{"log", "", "1 when all is of the result's logarithm, else 0"},
	}, func(f lesson.Findings, add func(...string)) {
		for _, s := range f.Report.Strokes {
			for _, of := range inOrder(s.Uncertainty, append(slices.Clone(track.EventNames), measure.Names()...)) {
				u := s.Uncertainty[of]
				for _, t := range u.Terms {
					add(strconv.Itoa(s.Index+1), of, t.Name, number(t.Value), t.Unit, number(t.U), number(t.Sensitivity), number(t.Share), number(u.K), flag(u.Log))
				}
			}
		}
	}}
}

func trackTable(name, about string, of func(lesson.Findings) []lesson.Observed) table {
	return table{name, about, []column{results,
		{"frame", "", "from 0"},
		{"t_s", "s", "time of the frame, from the first one's"},
		{"object", "", "what was followed"},
		{"x_px", "px", "to the right in the upright picture; the centre of the top-left pixel is 0"},
		{"y_px", "px", "down in the upright picture; the centre of the top-left pixel is 0"},
		{"u_px", "px", "standard uncertainty of either, random part"},
		{"seen", "", "1, or 0 with empty cells"},
		{"x_m", "m", "along the putt line toward the target, from where the sticker lay at address; empty without a scale"},
		{"y_m", "m", "up, from where the sticker lay at address; empty without a scale"},
	}, func(f lesson.Findings, add func(...string)) {
		for _, row := range lesson.TrackRows(of(f)) {
			add(row...)
		}
	}}
}

// inOrder lists the names of a map, the known ones in their order.
func inOrder[V any](m map[string]V, known []string) []string {
	rank := func(name string) int {
		if i := slices.Index(known, name); i >= 0 {
			return i
		}
		return len(known)
	}
	names := slices.Collect(maps.Keys(m))
	slices.SortFunc(names, func(a, b string) int { return cmp.Or(cmp.Compare(rank(a), rank(b)), strings.Compare(a, b)) })
	return names
}

// number writes a number as the report has it.
func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func optional(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}

func flag(b bool) string {
	if b {
		return "1"
	}
	return "0"
}
