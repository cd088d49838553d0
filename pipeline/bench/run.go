package bench

import (
	"context"
	"fmt"
	"os"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
)

// Plan says what to render and score.
type Plan struct {
	Cases    []string
	From     int    // the first seed; 0 means 1
	Seeds    int    // of each case
	Worn     Worn   // leaves out the clips whose player wears something else
	Cache    string // folder of rendered clips
	Settings settings.Settings
	Workers  int    // clips at a time; 0 means 2
	Bound    bool   // compare with what the noise allows
	Others   bool   // ask OpenCV's general trackers too
	Readings string // folder in which what is read of clips is kept for the next run; "" keeps nothing
}

// Worn is what the players of the clips wear on arms, shoulders and cap.
type Worn string

// What is told of arms and head with bands and by the body model is judged on
// different clips.
const (
	Anything Worn = ""
	Bands    Worn = "bands"
	Nothing  Worn = "nothing"
)

// takes reports whether a clip is to be scored.
func (p Plan) takes(name string, seed int) (bool, error) {
	if p.Worn == Anything {
		return true, nil
	}
	s, err := demo.Case(name, seed)
	return s.Player.Present && s.Player.Bands == (p.Worn == Bands), err
}

// last is the last seed of each case.
func (p Plan) last() int { return max(1, p.From) + p.Seeds - 1 }

// remember lets a clip be read once for all runs whose settings and program read
// the same of it.
func (p Plan) remember(c *pipeline.Reading) (err error) {
	if p.Readings == "" {
		return nil
	}
	if c.SHA256, err = lesson.Hash(c.File); err != nil {
		return err
	}
	if err := os.MkdirAll(p.Readings, 0o755); err != nil {
		return err
	}
	c.Memory = &pipeline.FileMemory{Dir: p.Readings}
	return nil
}

// Cases returns the cases that are scored when none are named.
func Cases() []string {
	var names []string
	for _, c := range demo.CaseNames() {
		names = append(names, c.Name)
	}
	return names
}

// score scores one clip and, where there is a sticker to follow, compares that
// with what else was asked for.
func (p Plan) score(ctx context.Context, clip pipeline.Reading, truthPath string) (Clip, error) {
	c, err := score(ctx, clip, truthPath, p.Settings)
	if err != nil || c.Whole == 0 {
		return c, err
	}
	if p.Others {
		others, err := askOthers(ctx, clip.File, truthPath)
		if err != nil {
			return Clip{}, err
		}
		c.Others = append([]Other{ours(c)}, others...)
	}
	if p.Bound {
		truth, err := ReadTruth(truthPath)
		if err != nil {
			return Clip{}, err
		}
		if c.Bound, err = findBound(ctx, clip.File, c, truth, p.Settings); err != nil {
			return Clip{}, err
		}
	}
	return c, nil
}

// Run renders what is not in the cache and scores every clip. Told is called
// with a line per clip, from one goroutine at a time.
func Run(ctx context.Context, p Plan, told func(string)) ([]Clip, error) {
	type job struct {
		name string
		seed int
	}
	var jobs []job
	for _, name := range p.Cases {
		for seed := max(1, p.From); seed <= p.last(); seed++ {
			takes, err := p.takes(name, seed)
			if err != nil {
				return nil, err
			}
			if takes {
				jobs = append(jobs, job{name, seed})
			}
		}
	}
	clips := make([]Clip, len(jobs))
	lines := make(chan string)
	done := make(chan struct{})
	go func() {
		defer close(done)
		for l := range lines {
			told(l)
		}
	}()
	evening := &evening{plan: p}
	g, ctx := errgroup.WithContext(ctx)
	g.SetLimit(max(2, p.Workers))
	for i, j := range jobs {
		g.Go(func() error {
			file, truth, err := demo.Cached(ctx, p.Cache, j.name, j.seed)
			if err != nil {
				return fmt.Errorf("rendering %s seed %d: %w", j.name, j.seed, err)
			}
			clip := pipeline.Reading{File: file}
			if j.name == eveningCase {
				if clip, err = evening.tell(ctx, j.seed); err != nil {
					return err
				}
			}
			if err := p.remember(&clip); err != nil {
				return err
			}
			c, err := p.score(ctx, clip, truth)
			if err != nil {
				return fmt.Errorf("scoring %s seed %d: %w", j.name, j.seed, err)
			}
			clips[i] = c
			lines <- fmt.Sprintf("%s seed %d: marker %.3f px, strokes %d of %d, %.1f ms/frame, %v", j.name, j.seed, c.RMS(), c.Strokes, c.Wanted, c.MSFrame, c.Warnings)
			return nil
		})
	}
	err := g.Wait()
	close(lines)
	<-done
	return clips, err
}
