package night

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/settings"
	"strokereel/pipeline/sheet"
)

// runner carries out the plans: clips side by side in the order of the lessons,
// reels one after the other, since an encoder fills the machine by itself.
type runner struct {
	job     Job
	out     *outbox
	measure measurer
	ears    ears
	stop    context.CancelCauseFunc

	mu          sync.Mutex // guards what follows and calls of Told
	busy        map[string]*sync.Mutex
	done, total int
	pace        pace
}

// ears hears what a clip tells of its sound.
type ears func(c pipeline.Reading, ctx context.Context, s settings.Settings) (pipeline.Ears, error)

func newRunner(j Job, out *outbox) *runner {
	r := &runner{job: j, out: out, measure: j.measure, ears: j.ears, busy: map[string]*sync.Mutex{}}
	if r.measure == nil {
		r.measure = measureClip
	}
	if r.ears == nil {
		r.ears = pipeline.Reading.Ears
	}
	r.pace.lanes = Lanes(j.Settings.Night)
	return r
}

// run returns when every plan is done or the context has ended; a full disk
// ends it too.
func (r *runner) run(ctx context.Context, plans []*plan) {
	ctx, r.stop = context.WithCancelCause(ctx)
	defer r.stop(nil)
	r.listen(ctx, plans, r.hear)
	var due []*plan
	for _, p := range plans {
		if p.state == waiting && r.stands(p) {
			p.state = unchanged
		}
		if p.state == waiting {
			due = append(due, p)
			r.total += len(p.clips)
			r.pace.reels.all++
			for _, c := range p.clips {
				r.pace.clips.all += c.weight()
			}
		}
	}
	var working sync.WaitGroup
	next := make(chan *job)
	for range r.pace.lanes {
		working.Go(func() {
			for j := range next {
				r.clip(ctx, j)
			}
		})
	}
	working.Go(func() {
		defer close(next)
		for _, p := range due {
			for _, c := range p.clips {
				next <- &job{p, c}
			}
		}
	})
	for _, p := range due {
		for _, c := range p.clips {
			<-c.done
		}
		r.lesson(ctx, p)
	}
	working.Wait()
}

// job is a clip to be measured.
type job struct {
	plan *plan
	clip *planClip
}

// clip measures one clip and tells of it.
func (r *runner) clip(ctx context.Context, j *job) {
	c := j.clip
	defer close(c.done)
	began := time.Now()
	err := ctx.Err()
	if err == nil {
		unlock := r.occupy(c.sha256)
		c.out, err = r.ensure(ctx, c)
		unlock()
	}
	if full(err) {
		r.stop(err)
	}
	if ctx.Err() != nil {
		return
	}
	if err != nil {
		c.out = outcome{State: gaveUp, Reasons: []string{"It could not be measured: " + plain(err.Error()) + "."}, Do: "run night again"}
	}
	c.Numbers = c.out.State == usable
	if c.key != "" && c.out.State != gaveUp && c.out.State != refused {
		c.Results = filepath.Join(r.out.clips(), c.key)
	}
	r.finished(&r.pace.clips, c.weight(), began)
	r.tell(j.plan, c, c.out.State, true)
}

// weight is what a clip counts in the time that is left: longer clips and larger
// pictures have more bytes. Of one that was read already only stills and the
// player are left, less than half of the work.
func (c *planClip) weight() float64 {
	w := float64(max(c.fact.Size, 1))
	if c.read {
		w *= 0.4
	}
	return w
}

// finished notes how long a piece of work took.
func (r *runner) finished(kind *work, units float64, began time.Time) {
	r.mu.Lock()
	defer r.mu.Unlock()
	kind.done += units
	kind.took += time.Since(began)
}

// occupy keeps two lanes from reading the same clip.
func (r *runner) occupy(sha256 string) (unlock func()) {
	r.mu.Lock()
	if r.busy[sha256] == nil {
		r.busy[sha256] = new(sync.Mutex)
	}
	m := r.busy[sha256]
	r.mu.Unlock()
	m.Lock()
	return m.Unlock
}

// lesson builds and publishes one lesson.
func (r *runner) lesson(ctx context.Context, p *plan) {
	if ctx.Err() != nil {
		p.hold(context.Cause(ctx))
		return
	}
	began := time.Now()
	err := r.build(ctx, p)
	r.finished(&r.pace.reels, 1, began)
	switch {
	case err == nil:
		p.state = made
		r.tell(p, nil, "done", false)
	case full(err) || ctx.Err() != nil:
		r.stop(err)
		p.hold(context.Cause(ctx))
	default:
		p.state = failed
		p.needs = append(p.needs, Need{What: "The lesson could not be finished: " + plain(err.Error()) + ".", Do: "run night again; if it stays so, report it"})
		r.tell(p, nil, "not finished: "+plain(err.Error()), false)
	}
}

// hold leaves a lesson for the next run.
func (p *plan) hold(cause error) {
	n := Need{What: "The night was interrupted before this lesson was done.", Do: "run night again: it goes on where it stopped"}
	if text := trouble(cause); text != "" {
		n = Need{What: "The night had to stop: " + text + ".", Do: "make room on the disk, then run night again: it goes on where it stopped"}
	}
	p.needs = append(p.needs, n)
}

// build makes the folder of a lesson and puts it in its place.
func (r *runner) build(ctx context.Context, p *plan) error {
	draft, err := r.out.draft("lesson-" + p.key)
	if err != nil {
		return err
	}
	defer os.RemoveAll(draft)
	for _, c := range p.clips {
		if c.Results == "" && !c.out.Picture {
			continue
		}
		from := filepath.Join(r.out.clips(), c.key)
		if err := share(from, filepath.Join(draft, c.folder), c.out.Files); err != nil {
			return err
		}
	}
	if p.card != "" {
		if err := copyFile(p.card, filepath.Join(draft, sheet.CardFile)); err != nil {
			return err
		}
	}
	p.judge()
	l := p.lesson
	l.Clips = p.shown()
	if r.job.Reel != nil && p.pair() {
		r.tell(p, nil, "drawing the reel", false)
		if err := r.films(ctx, l, draft); err != nil {
			return errors.Join(err, ctx.Err())
		}
	}
	res, err := p.report(draft)
	if err != nil {
		return err
	}
	if err := writeJSON(filepath.Join(draft, resultFile), res); err != nil {
		return err
	}
	if err := r.out.publish(draft, p.lesson.Name); err != nil {
		return err
	}
	p.result = res
	return nil
}

// films makes a lesson's films in the time that they may take.
func (r *runner) films(ctx context.Context, l Lesson, draft string) error {
	most := minutes(r.job.Settings.Night.ReelTime)
	limited, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	err := r.job.Reel(limited, l, draft)
	if limited.Err() != nil && ctx.Err() == nil {
		return fmt.Errorf("its films took longer than %v", most)
	}
	return err
}

// tell passes news on, one piece at a time.
func (r *runner) tell(p *plan, c *planClip, text string, counts bool) {
	r.mu.Lock()
	defer r.mu.Unlock()
	if counts {
		r.done++
	}
	if r.job.Told == nil {
		return
	}
	e := Event{Lesson: plain(p.lesson.Name), Text: text, Done: r.done, Total: r.total, Left: r.pace.left()}
	if c != nil {
		e.Clip = plain(c.Name)
	}
	r.job.Told(e)
}
