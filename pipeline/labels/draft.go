package labels

import (
	"context"
	"errors"
	"fmt"
	"image/png"
	"io"
	"math"
	"os"
	"path/filepath"
	"slices"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Drafter makes the pictures that a person marks, and files to begin with.
type Drafter struct {
	Dir     string // takes pictures and files
	Frames  int    // of each clip
	Prefill bool   // with what the run found: quicker, and it leads the hand
	Options clip.Options
}

// Draft adds one clip to a set: pictures of some of its frames, spread over the
// strokes, and events to be filled in.
func (d Drafter) Draft(ctx context.Context, set Set, name, file string, found lesson.Report, tracks []track.Track) error {
	frames := d.choose(found)
	if err := d.pictures(ctx, name, file, frames); err != nil {
		return err
	}
	set.Sizes[name] = [2]int{found.Clip.Width, found.Clip.Height}
	for k, s := range found.Strokes {
		for _, event := range track.EventNames {
			m := Moment{name, k + 1, event}
			set.Moments[m] = math.NaN()
			if at := s.Events[event].TS; d.Prefill && at != nil {
				set.Moments[m] = *at
			}
		}
	}
	seen := map[Place]Point{}
	for _, tr := range tracks {
		for _, s := range tr.Samples {
			if s.Seen {
				seen[Place{name, s.Frame, tr.Object}] = Point{X: s.X, Y: s.Y}
			}
		}
	}
	for _, f := range frames {
		for _, object := range objects {
			if at, ok := seen[Place{name, f, object}]; ok && d.Prefill {
				set.Points[Place{name, f, object}] = at
			}
		}
		if !d.Prefill { // a picture must be in the file to be marked
			p := Place{name, f, track.Putter}
			set.Points[p] = Point{X: float64(found.Clip.Width) / 2, Y: float64(found.Clip.Height) / 2, Hidden: true}
		}
	}
	return nil
}

// choose spreads frames evenly over the strokes, from just before the first start
// to just after the last stop; over the whole clip when there is none.
func (d Drafter) choose(r lesson.Report) []int {
	from, to := 0.0, r.Clip.DurationS
	const around = 0.3 // s
	for k, s := range r.Strokes {
		if at := s.Events[track.Start].TS; at != nil && k == 0 {
			from = *at - around
		}
		if at := s.Events[track.Stop].TS; at != nil && k == len(r.Strokes)-1 {
			to = *at + around
		}
	}
	rate := float64(r.Clip.Frames) / math.Max(r.Clip.DurationS, 1e-9)
	var out []int
	for k := range d.Frames {
		t := from + (to-from)*(float64(k)+0.5)/float64(d.Frames)
		out = append(out, min(max(0, int(math.Round(t*rate))), r.Clip.Frames-1))
	}
	return slices.Compact(out)
}

// pictures writes frames of a clip as PNG.
func (d Drafter) pictures(ctx context.Context, name, file string, frames []int) error {
	r, err := clip.Open(ctx, file, d.Options)
	if err != nil {
		return err
	}
	defer r.Close()
	siting := clip.SitingOf(r.Info())
	var f track.Frame
	for len(frames) > 0 {
		if err := r.Next(&f); errors.Is(err, io.EOF) {
			return fmt.Errorf("drawing pictures of %q: frame %d is missing", file, frames[0])
		} else if err != nil {
			return err
		}
		if f.Index != frames[0] {
			continue
		}
		frames = frames[1:]
		path := filepath.Join(d.Dir, filepath.FromSlash(imageName(name, f.Index)))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			return fmt.Errorf("making the folder of pictures: %w", err)
		}
		img := clip.ToRGBA(nil, &f, siting)
		if err := lesson.WriteFile(path, func(w io.Writer) error { return png.Encode(w, img) }); err != nil {
			return err
		}
	}
	return nil
}

// Save writes a set under the usual names.
func (s Set) Save(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making the folder of labels: %w", err)
	}
	for name, write := range map[string]func(io.Writer) error{PlacesFile: s.WritePlaces, MomentsFile: s.WriteMoments} {
		if err := lesson.WriteFile(filepath.Join(dir, name), write); err != nil {
			return err
		}
	}
	return nil
}
