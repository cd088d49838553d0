package night

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
)

// The sound of a phone lags its pictures by a time of its own. What the clips of
// one evening tell of it together times impacts better than each clip alone can.
// So such clips are all read before the first is measured; and where a further
// clip changes what the others are told, they are measured again.

// deviceOf names the phone of a clip and the evening, "" when nobody says which.
// Software that is brought up to date changes a phone, so evenings are kept apart.
func (p *plan) deviceOf(f fact) string {
	device := f.Phone
	if p.lesson.Sheet.Phone != "" {
		device = p.lesson.Sheet.Phone
	}
	evening := p.lesson.Sheet.Date
	switch {
	case device == "":
		return ""
	case f.RecordedFrom != "file":
		evening = f.Recorded.Local().Format(time.DateOnly)
	case evening == "":
		evening = p.lesson.Name
	}
	return device + " on " + evening
}

// listener finds out what a clip tells of its sound; ok is false when that is not
// known.
type listener func(ctx context.Context, c *planClip) (e pipeline.Ears, ok bool)

// listen tells the clips of each phone and evening of the sound of the others, as
// far as it is known well enough, and seals their lessons. It returns the phones
// of which a clip was not heard.
func (r *runner) listen(ctx context.Context, plans []*plan, to listener) (unheard map[string]bool) {
	companies := map[string][]*planClip{}
	for _, p := range plans {
		for _, c := range p.clips {
			if p.state != blocked && c.device != "" && c.sha256 != "" {
				companies[c.device] = append(companies[c.device], c)
			}
		}
	}
	unheard = map[string]bool{}
	for _, device := range sorted(companies) {
		clips := companies[device]
		if len(clips) < 2 {
			continue
		}
		ears := make([]*pipeline.Ears, len(clips))
		var group errgroup.Group
		group.SetLimit(r.pace.lanes)
		for k, c := range clips {
			group.Go(func() error {
				if e, ok := to(ctx, c); ok {
					ears[k] = &e
				}
				return nil
			})
		}
		_ = group.Wait() // nothing fails here: who cannot be heard is reported when it is measured
		for k, c := range clips {
			if ears[k] == nil {
				unheard[device] = true
				continue
			}
			if d := pipeline.DelayFor(*ears[k], othersThan(k, clips, ears), c.Settings).Coarse(); d.Sure() {
				c.sound = d
			}
		}
	}
	for _, p := range plans {
		if p.state != blocked {
			p.seal(r.job)
		}
	}
	return unheard
}

// othersThan lists what all clips but one tell; the same film elsewhere is that
// one again.
func othersThan(k int, clips []*planClip, ears []*pipeline.Ears) []pipeline.Ears {
	var out []pipeline.Ears
	met := map[string]bool{clips[k].sha256: true}
	for i, c := range clips {
		if ears[i] != nil && !met[c.sha256] {
			out = append(out, *ears[i])
		}
		met[c.sha256] = true
	}
	return out
}

// hear reads a clip, or remembers what it told.
func (r *runner) hear(ctx context.Context, c *planClip) (e pipeline.Ears, ok bool) {
	defer r.occupy(c.sha256)()
	if e, ok = r.remember(ctx, c); ok || ctx.Err() != nil {
		return e, ok
	}
	reading, _, err := r.reading(c)
	if err == nil {
		limited, cancel := context.WithTimeout(ctx, minutes(r.job.Settings.Night.ClipTime))
		defer cancel()
		e, err = r.heard(limited, reading, c.Settings)
	}
	if full(err) {
		r.stop(err)
	}
	c.read = err == nil
	return e, c.read
}

// heard keeps what a clip tells; one that cannot be read tells nothing. A fault of
// our own is left to when the clip is measured.
func (r *runner) heard(ctx context.Context, c pipeline.Reading, s settings.Settings) (e pipeline.Ears, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("a fault of the program: %v", fault)
		}
	}()
	var no *clip.Refusal
	if e, err = r.ears(c, ctx, s); err != nil && !errors.As(err, &no) {
		return e, err
	}
	return e, keepEars(c, e, s)
}

// keepEars keeps what a clip tells, of which the fingerprint is known.
func keepEars(c pipeline.Reading, e pipeline.Ears, s settings.Settings) error {
	if c.Memory == nil {
		return nil
	}
	return c.Memory.Keep(earsOf(c, s), e)
}

// remember is what a clip told before.
func (r *runner) remember(_ context.Context, c *planClip) (e pipeline.Ears, ok bool) {
	m := pipeline.FileMemory{Dir: r.out.reading(c.sha256)}
	ok = m.Recall(earsOf(pipeline.Reading{SHA256: c.sha256, Fix: c.fix}, c.Settings), &e)
	c.read = c.read || ok
	return e, ok
}

// earsOf names what a clip tells by all that it follows from.
func earsOf(c pipeline.Reading, s settings.Settings) string {
	return "ears-" + pipeline.Fingerprint(pipeline.ResultKey(c.SHA256, "", s), c.Fix.Strokes, c.Fix.Points)
}

// reading readies a clip to be read, with what is remembered of it.
func (r *runner) reading(c *planClip) (pipeline.Reading, *pipeline.FileMemory, error) {
	out := pipeline.Reading{File: c.Path, SHA256: c.sha256, Fix: c.fix, Sound: c.sound}
	if c.sha256 == "" {
		return out, nil, nil
	}
	m := &pipeline.FileMemory{Dir: r.out.reading(c.sha256)}
	out.Memory = m
	if err := os.MkdirAll(m.Dir, 0o755); err != nil {
		return out, nil, err
	}
	// By this file an erasure of a student finds the folder.
	return out, m, writeJSON(filepath.Join(m.Dir, "of.json"), map[string]string{"sha256": c.sha256})
}
