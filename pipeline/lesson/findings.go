package lesson

import (
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"strokereel/track"
)

// Names of the files in a clip's result folder.
const (
	reportFile = "report.json"
	trackFile  = "track.csv"
	pathFile   = "path.csv"
)

// Findings is what measuring one clip left behind.
type Findings struct {
	File     string // where the clip is
	Within   string // its name within the lesson's folder; empty for its own name
	Report   Report
	Observed []Observed // what was seen, per object
	Smooth   []Observed // the smoothed path of the putter; empty without a scale
}

// ReadFindings reads a result folder back. The clip's own place is not kept
// there, so it is given.
func ReadFindings(dir, file string) (Findings, error) {
	f := Findings{File: file}
	for _, part := range []struct {
		name     string
		optional bool
		read     func(io.Reader) error
	}{
		{reportFile, false, func(r io.Reader) (err error) { f.Report, err = ReadReport(r); return err }},
		{trackFile, false, func(r io.Reader) (err error) { f.Observed, err = ReadTracks(r); return err }},
		{pathFile, true, func(r io.Reader) (err error) { f.Smooth, err = ReadTracks(r); return err }},
	} {
		path := filepath.Join(dir, part.name)
		in, err := os.Open(path)
		if part.optional && errors.Is(err, os.ErrNotExist) {
			continue
		}
		if err != nil {
			return Findings{}, fmt.Errorf("reading results: %w", err)
		}
		err = part.read(in)
		in.Close()
		if err != nil {
			return Findings{}, fmt.Errorf("reading results %q: %w", path, err)
		}
	}
	return f, nil
}

// ReadReport reads a report.json of the form this version writes.
func ReadReport(r io.Reader) (Report, error) {
	var out Report
	if err := json.NewDecoder(r).Decode(&out); err != nil {
		return Report{}, err
	}
	if out.Schema != ReportSchema {
		return Report{}, fmt.Errorf("the schema is %q, this version reads %q: measure the clip again", out.Schema, ReportSchema)
	}
	return out, nil
}

// ReadTracks reads a track.csv or path.csv: the objects in the order in which
// they appear.
func ReadTracks(r io.Reader) ([]Observed, error) {
	in := csv.NewReader(r)
	in.FieldsPerRecord = len(trackHeader)
	head, err := in.Read()
	if err != nil {
		return nil, fmt.Errorf("reading the first line: %w", err)
	}
	if !slices.Equal(head, trackHeader) {
		return nil, fmt.Errorf("the columns are %q, wanted are %q", head, trackHeader)
	}
	var out []Observed
	for {
		row, err := in.Read()
		if err == io.EOF {
			return out, nil
		}
		if err != nil {
			return nil, err
		}
		if out, err = addRow(out, row); err != nil {
			line, _ := in.FieldPos(0)
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
	}
}

// addRow adds one row to its object's track and path.
func addRow(all []Observed, row []string) ([]Observed, error) {
	name := row[2]
	i := slices.IndexFunc(all, func(o Observed) bool { return o.Track.Object == name })
	if i < 0 {
		i = len(all)
		all = append(all, Observed{Track: track.Track{Object: name}, Path: track.Path{Object: name}})
	}
	o := &all[i]
	s := track.Sample{}
	var err error
	if s.Frame, err = strconv.Atoi(row[0]); err != nil {
		return nil, fmt.Errorf("frame: %w", err)
	}
	if s.T, err = finite(row[1]); err != nil {
		return nil, fmt.Errorf("t_s: %w", err)
	}
	if n := len(o.Track.Samples); n > 0 && (o.Track.Samples[n-1].Frame >= s.Frame || o.Track.Samples[n-1].T >= s.T) {
		return nil, fmt.Errorf("frame %d of %q does not come after frame %d", s.Frame, name, o.Track.Samples[n-1].Frame)
	}
	switch row[6] {
	case "0":
		o.Track.Samples = append(o.Track.Samples, s)
		return all, nil
	case "1":
		s.Seen = true
	default:
		return nil, fmt.Errorf("seen: must be 0 or 1 (got %q)", row[6])
	}
	for k, v := range []*float64{&s.X, &s.Y, &s.U} {
		if *v, err = finite(row[3+k]); err != nil {
			return nil, fmt.Errorf("%s: %w", trackHeader[3+k], err)
		}
	}
	o.Track.Samples = append(o.Track.Samples, s)
	if row[7] == "" && row[8] == "" {
		return all, nil
	}
	p := track.Point{Frame: s.Frame, T: s.T, Seen: true}
	for k, v := range []*float64{&p.X, &p.Y} {
		if *v, err = finite(row[7+k]); err != nil {
			return nil, fmt.Errorf("%s: %w", trackHeader[7+k], err)
		}
	}
	o.Path.Points = append(o.Path.Points, p)
	return all, nil
}

func finite(text string) (float64, error) {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, err
	}
	if v-v != 0 {
		return 0, fmt.Errorf("%q is no finite number", text)
	}
	return v, nil
}

// Of returns the observations of an object, empty when it was never seen.
func Of(all []Observed, object string) Observed {
	for _, o := range all {
		if o.Track.Object == object {
			return o
		}
	}
	return Observed{}
}

// Event returns an event of the stroke in the form it is computed with.
func (s Stroke) Event(name string) track.Event {
	e, ok := s.Events[name]
	if !ok {
		return track.Event{Name: name, Status: track.NotMeasured, Reason: "the report does not have it"}
	}
	out := track.Event{Name: name, Status: e.Status, Reason: e.Reason}
	if e.TS == nil || e.U95S == nil {
		out.Status = track.NotMeasured
		return out
	}
	out.T, out.U = *e.TS, *e.U95S/Coverage
	return out
}

// Measure returns a measure of the stroke in the form it is computed with.
func (s Stroke) Measure(id string) track.Measure {
	m, ok := s.Measures[id]
	if !ok {
		return track.Measure{ID: id, Status: track.NotMeasured, Reason: "the report does not have it"}
	}
	return m.Computed(id)
}

// Computed is the inverse of MeasureOf.
func (m Measure) Computed(id string) track.Measure {
	out := track.Measure{ID: id, Unit: m.Unit, Word: m.Word, Status: m.Status, Reason: m.Reason, How: m.How}
	for _, v := range []struct {
		from *float64
		to   *float64
	}{{m.Value, &out.Value}, {m.U95, &out.U95}, {m.Lo95, &out.Lo95}, {m.Hi95, &out.Hi95}} {
		if v.from != nil {
			*v.to = *v.from
		}
	}
	if m.Value == nil && m.Word == "" && m.Status != track.Predicted {
		out.Status = track.NotMeasured
	}
	return out
}
