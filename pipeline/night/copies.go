package night

import (
	"context"
	"math"

	"strokereel/pipeline/clip"
)

const (
	// sameLength is how far the lengths of a film and of a messenger's copy of it
	// differ at most, s.
	sameLength = 0.15
	// codedAgain is how much the sizes of files differ at least that hold one film
	// coded twice: no two encoders meet by chance.
	codedAgain = 1.05
)

// markCopies finds clips that are another's film coded again: messengers and
// editors do that and lose the time of recording. Only clips of one length are
// compared, of which one has no time of its own.
func (f *facts) markCopies(ctx context.Context, l *found, o clip.Options) error {
	for i := range l.clips {
		for k := range l.clips[:i] {
			a, b := &l.clips[i], &l.clips[k]
			if !mayCopy(a.fact, b.fact) {
				continue
			}
			same := f.glance(ctx, a, o).Copies(f.glance(ctx, b, o))
			if ctx.Err() != nil {
				return ctx.Err()
			}
			if !same {
				continue
			}
			if better(a.fact, b.fact) {
				a, b = b, a
			}
			a.copyOf = b.name
		}
	}
	return nil
}

func mayCopy(a, b fact) bool {
	ratio := float64(max(a.Size, b.Size)) / float64(max(min(a.Size, b.Size), 1))
	return a.Length > 0 && math.Abs(a.Length-b.Length) < sameLength && ratio > codedAgain &&
		(a.RecordedFrom == "file" || b.RecordedFrom == "file")
}

// better reports whether the first of two copies is to be kept: the one that
// knows when it was filmed, else the larger.
func better(a, b fact) bool {
	if own := a.RecordedFrom != "file"; own != (b.RecordedFrom != "file") {
		return own
	}
	return a.Size > b.Size
}

// glance reads a clip at a glance, once; one that cannot be read is no copy.
func (f *facts) glance(ctx context.Context, c *foundClip, o clip.Options) clip.Glance {
	if c.fact.Glance == nil {
		limited, cancel := context.WithTimeout(ctx, cardTime)
		defer cancel()
		g, err := clip.GlanceOf(limited, c.path, o)
		if err != nil {
			return nil
		}
		c.fact.Glance = g
		f.keepSettled(c.fact)
	}
	return c.fact.Glance
}
