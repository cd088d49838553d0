package labels

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"strokereel/track"
)

var momentColumns = []string{"clip", "stroke", "event", "t_s"}

// WriteMoments writes the events as CSV.
func (s Set) WriteMoments(w io.Writer) error {
	out := csv.NewWriter(w)
	rows := [][]string{momentColumns}
	for _, m := range slices.SortedFunc(maps.Keys(s.Moments), byMoment) {
		t := ""
		if v := s.Moments[m]; !math.IsNaN(v) {
			t = strconv.FormatFloat(v, 'f', -1, 64)
		}
		rows = append(rows, []string{m.Clip, strconv.Itoa(m.Stroke), m.Event, t})
	}
	return out.WriteAll(rows)
}

// byMoment sorts by clip and stroke, events as they happen.
func byMoment(a, b Moment) int {
	return cmp.Or(strings.Compare(a.Clip, b.Clip), cmp.Compare(a.Stroke, b.Stroke),
		cmp.Compare(slices.Index(track.EventNames, a.Event), slices.Index(track.EventNames, b.Event)))
}

// readMoments adds the events of a file. An event without a time was not marked;
// columns beyond ours are passed over.
func (s Set) readMoments(r io.Reader) error {
	in := csv.NewReader(r)
	head, err := in.Read()
	if err != nil {
		return fmt.Errorf("reading its first line: %w", err)
	}
	var at [4]int
	for i, name := range momentColumns {
		if at[i] = slices.Index(head, name); at[i] < 0 {
			return fmt.Errorf("the column %s is missing: its first line must name %s", name, strings.Join(momentColumns, ", "))
		}
	}
	for {
		row, err := in.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		line, _ := in.FieldPos(0)
		m := Moment{Clip: row[at[0]], Event: row[at[2]]}
		if row[at[3]] == "" {
			continue
		}
		if m.Stroke, err = strconv.Atoi(row[at[1]]); err != nil || m.Stroke < 1 {
			return fmt.Errorf("line %d: the stroke must be a number from 1 on (got %q)", line, row[at[1]])
		}
		if !slices.Contains(track.EventNames, m.Event) {
			return fmt.Errorf("line %d: the event must be one of %s (got %q)", line, strings.Join(track.EventNames, ", "), m.Event)
		}
		t, err := strconv.ParseFloat(row[at[3]], 64)
		if err != nil || math.IsNaN(t) || math.IsInf(t, 0) {
			return fmt.Errorf("line %d: t_s must be a time in seconds (got %q)", line, row[at[3]])
		}
		if _, again := s.Moments[m]; again {
			return fmt.Errorf("line %d: %s of stroke %d of %s is marked twice", line, m.Event, m.Stroke, m.Clip)
		}
		s.Moments[m] = t
	}
}
