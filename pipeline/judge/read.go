package judge

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline"
	"strokereel/pipeline/bench"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/labels"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/runs"
	"strokereel/track"
)

// Known says where to find what really happened in clips; the zero value knows
// nothing.
type Known struct {
	Truth  bool        // in the truth files beside rendered clips
	Labels *labels.Set // as persons marked it
}

// Any reports whether something is known at all.
func (k Known) Any() bool { return k.Truth || k.Labels != nil }

// about is what is known of one clip.
type about struct {
	truth *demo.Truth
	set   *labels.Set
}

// of finds what is known of a clip; nil when that is nothing.
func (k Known) of(e runs.Entry) (*about, error) {
	if k.Truth {
		truth, err := truthOf(e.File)
		if truth == nil || err != nil {
			return nil, err
		}
		return &about{truth: truth}, nil
	}
	for p := range k.Labels.Points {
		if p.Clip == e.Name {
			return &about{set: k.Labels}, nil
		}
	}
	for m := range k.Labels.Moments {
		if m.Clip == e.Name {
			return &about{set: k.Labels}, nil
		}
	}
	return nil, nil
}

// truthOf reads the truth of a rendered clip, beside it or in the folder truth.
func truthOf(clip string) (*demo.Truth, error) {
	beside := strings.TrimSuffix(clip, filepath.Ext(clip)) + ".truth.json"
	for _, path := range []string{beside, filepath.Join(filepath.Dir(beside), "truth", filepath.Base(beside))} {
		truth, err := bench.ReadTruth(path)
		if errors.Is(err, fs.ErrNotExist) {
			continue
		}
		return &truth, err
	}
	return nil, nil
}

// items compares a clip's results with what is known of it.
func (a *about) items(name string, report *lesson.Report, tracks []track.Track) []Item {
	if a.truth != nil {
		return ofTruth(*a.truth, report, tracks)
	}
	return ofLabels(*a.set, name, report, tracks)
}

// side is a clip in one run.
type side struct {
	report *lesson.Report // nil when the clip failed
	made   runs.Made
	tracks []track.Track
}

func readSide(r *runs.Run, e runs.Entry) (side, error) {
	if e.Failed != "" {
		return side{}, nil
	}
	var s side
	var err error
	if s.report, s.made, err = r.Report(e); err != nil {
		return s, err
	}
	f, err := os.Open(filepath.Join(r.Folder(e), pipeline.TrackFile))
	if err != nil {
		return s, fmt.Errorf("the tracks of %s of run %s: %w", e.Name, r.Name, err)
	}
	defer f.Close()
	seen, err := lesson.ReadTracks(f)
	if err != nil {
		return s, fmt.Errorf("the tracks of %s of run %s: %w", e.Name, r.Name, err)
	}
	for _, o := range seen {
		s.tracks = append(s.tracks, o.Track)
	}
	return s, nil
}

// msFrame is how long measuring took for each frame, ms; NaN when frames were
// not read anew.
func (s side) msFrame() float64 {
	if s.report == nil || !s.made.Anew || s.report.Clip.Frames == 0 {
		return math.NaN()
	}
	return 1000 * s.made.Seconds / float64(s.report.Clip.Frames)
}

// Compare compares two runs on the clips that both have.
func Compare(ctx context.Context, a, b *runs.Run, known Known) (*Comparison, error) {
	if err := errors.Join(a.Complete(), b.Complete()); err != nil {
		return nil, err
	}
	c := &Comparison{A: a, B: b, Judged: known.Any(), Settings: differing(a, b)}
	of := map[string]runs.Entry{}
	for _, e := range b.Clips {
		of[e.Name] = e
	}
	var both [][2]runs.Entry
	for _, e := range a.Clips {
		if f, ok := of[e.Name]; ok {
			both = append(both, [2]runs.Entry{e, f})
			delete(of, e.Name)
		} else {
			c.Only = append(c.Only, e.Name)
		}
	}
	c.Only = append(c.Only, sorted(of)...)
	if len(both) == 0 {
		return nil, fmt.Errorf("runs %s and %s have no clip in common", a.Name, b.Name)
	}
	clips := make([]*ClipLine, len(both))
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(runtime.GOMAXPROCS(0))
	for i, e := range both {
		g.Go(func() error {
			if ctx.Err() != nil {
				return ctx.Err()
			}
			var err error
			clips[i], err = readPair(a, b, e, known)
			return err
		})
	}
	if err := g.Wait(); err != nil {
		return nil, err
	}
	for _, l := range clips {
		switch {
		case l == nil: // failed in both
			c.Failed++
		case c.Judged && !l.known:
			c.Unknown = append(c.Unknown, l.Clip)
		default:
			c.Clips = append(c.Clips, l)
		}
	}
	if len(c.Clips) == 0 {
		return nil, errors.New("of no clip in both runs is the truth known: labels name clips as the runs do, truth files lie beside them")
	}
	c.sum()
	return c, nil
}

// readPair compares one clip.
func readPair(a, b *runs.Run, e [2]runs.Entry, known Known) (*ClipLine, error) {
	x, err := readSide(a, e[0])
	if err != nil {
		return nil, err
	}
	y, err := readSide(b, e[1])
	if err != nil {
		return nil, err
	}
	if x.report == nil && y.report == nil {
		return nil, nil
	}
	if e[0].SHA256 != e[1].SHA256 {
		return nil, fmt.Errorf("%s is not the same film in both runs: measure them again", e[0].Name)
	}
	l := &ClipLine{Clip: e[0].Name, MSA: x.msFrame(), MSB: y.msFrame()}
	if !known.Any() {
		l.Both = changes(x, y)
		l.weigh()
		return l, nil
	}
	at, err := known.of(e[0])
	if err != nil || at == nil {
		return l, err
	}
	l.known = true
	l.Both = match(at.side(e[0].Name, x), at.side(e[0].Name, y))
	l.judge()
	return l, nil
}

// side compares one side; a clip that failed says nothing.
func (a *about) side(name string, s side) []Item {
	if s.report == nil {
		return a.items(name, &lesson.Report{}, nil)
	}
	return a.items(name, s.report, s.tracks)
}
