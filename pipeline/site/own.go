package site

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"strokereel/pipeline/lesson"
)

// OwnSchema names the form of a student's own data.
const OwnSchema = "strokereel/own-data/1"

type ownData struct {
	Schema  string      `json:"schema"`
	Student string      `json:"student"`
	Lessons []ownLesson `json:"lessons"`
}

type ownLesson struct {
	Date   string                    `json:"date,omitempty"`
	Coach  string                    `json:"coach,omitempty"`
	Before map[string]lesson.Measure `json:"before"`
	After  map[string]lesson.Measure `json:"after"`
}

// ownJSON is what was measured, for programs. Films are not named in it, nor the
// phone, the place or the settings.
func ownJSON(student string, records []Record) ([]byte, error) {
	data := ownData{OwnSchema, student, []ownLesson{}}
	for _, r := range records {
		data.Lessons = append(data.Lessons, ownLesson{r.Date, r.Coach, r.Before, r.After})
	}
	b, err := json.MarshalIndent(data, "", "  ")
	if err != nil {
		return nil, fmt.Errorf("writing the data of %q: %w", student, err)
	}
	return append(b, '\n'), nil
}

// ownCSV is the same as a table, one value a line, SI.
func ownCSV(student string, records []Record) ([]byte, error) {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	lines := [][]string{{"student", "date", "putt", "measure", "value", "unit", "u95", "lo95", "hi95", "status", "reason"}}
	for _, r := range records {
		for _, putt := range []struct {
			name     string
			measures map[string]lesson.Measure
		}{{"before", r.Before}, {"after", r.After}} {
			for _, id := range slices.Sorted(maps.Keys(putt.measures)) {
				m := putt.measures[id]
				value := m.Word
				if m.Value != nil {
					value = digits(m.Value)
				}
				lines = append(lines, []string{harmless(student), r.Date, putt.name, id, value, m.Unit, digits(m.U95), digits(m.Lo95), digits(m.Hi95), m.Status, harmless(m.Reason)})
			}
		}
	}
	if err := w.WriteAll(lines); err != nil {
		return nil, fmt.Errorf("writing the data of %q: %w", student, err)
	}
	return b.Bytes(), nil
}

func digits(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}

// harmless keeps a table program from taking a text for a formula.
func harmless(s string) string {
	if strings.HasPrefix(strings.TrimSpace(s), "=") || s != "" && strings.ContainsRune("+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}
