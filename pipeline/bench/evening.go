package bench

import (
	"context"
	"fmt"
	"sync"

	"strokereel/pipeline"
	"strokereel/pipeline/demo"
)

// evening are the clips of one device, which tell each other of its sound as those
// of a night do.
type evening struct {
	plan Plan

	once  sync.Once
	ears  []pipeline.Ears // by seed from 1
	clips []pipeline.Reading
	err   error
}

// eveningCase is the case whose clips share a device.
const eveningCase = "one-night"

// tell readies a clip with what the others tell.
func (e *evening) tell(ctx context.Context, seed int) (pipeline.Reading, error) {
	e.once.Do(func() { e.err = e.hear(ctx) })
	if e.err != nil {
		return pipeline.Reading{}, e.err
	}
	from := (seed - 1) / demo.NightPutts * demo.NightPutts
	var others []pipeline.Ears
	for k := from; k < min(from+demo.NightPutts, len(e.ears)); k++ {
		if k != seed-1 {
			others = append(others, e.ears[k])
		}
	}
	c := e.clips[seed-1]
	if d := pipeline.DelayFor(e.ears[seed-1], others, e.plan.Settings).Coarse(); d.Sure() {
		c.Sound = d
	}
	return c, nil
}

// hear reads all the clips.
func (e *evening) hear(ctx context.Context) error {
	for seed := 1; seed <= e.plan.last(); seed++ {
		file, truthPath, err := demo.Cached(ctx, e.plan.Cache, eveningCase, seed)
		if err != nil {
			return fmt.Errorf("rendering %s seed %d: %w", eveningCase, seed, err)
		}
		truth, err := ReadTruth(truthPath)
		if err != nil {
			return err
		}
		c := pipeline.Reading{File: file}
		ears, err := c.Ears(ctx, WithSheet(e.plan.Settings, truth))
		if err != nil {
			return fmt.Errorf("hearing %s seed %d: %w", eveningCase, seed, err)
		}
		e.ears, e.clips = append(e.ears, ears), append(e.clips, c)
	}
	return nil
}
