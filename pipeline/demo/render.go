package demo

import (
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"sync"
)

// GeneratorVersion grows whenever the pictures, sounds or truths of a drawn clip
// change.
const GeneratorVersion = 3

// films is how many goroutines draw frames.
const films = 2

// Render makes the clip at path, which ends in .mp4, and its truth beside it
// (TruthPath). Both appear complete or not at all; the clip appears last.
func Render(ctx context.Context, spec Spec, path string) error {
	return render(ctx, spec, path, TruthPath(path), func(int, int) {})
}

func render(ctx context.Context, spec Spec, path, truthPath string, told func(done, total int)) error {
	if filepath.Ext(path) != ".mp4" {
		return fmt.Errorf("rendering %q: the name must end in .mp4", path)
	}
	sc, err := newScene(spec)
	if err != nil {
		return err
	}
	work, err := os.MkdirTemp(filepath.Dir(path), ".rendering-")
	if err != nil {
		return fmt.Errorf("rendering %q: %w", path, err)
	}
	defer os.RemoveAll(work)
	clip, truth := filepath.Join(work, "clip.mp4"), filepath.Join(work, "truth.json")
	if err := sc.film(ctx, work, clip, told); err != nil {
		return fmt.Errorf("rendering %q: %w", path, err)
	}
	b, err := sc.truth().encode()
	if err != nil {
		return err
	}
	if err := os.WriteFile(truth, b, 0o644); err != nil {
		return fmt.Errorf("rendering %q: %w", path, err)
	}
	if err := os.Rename(truth, truthPath); err != nil {
		return fmt.Errorf("rendering %q: %w", path, err)
	}
	if err := os.Rename(clip, path); err != nil {
		return fmt.Errorf("rendering %q: %w", path, err)
	}
	return nil
}

// TruthPath is where the truth of a clip lies.
func TruthPath(clip string) string { return strings.TrimSuffix(clip, ".mp4") + ".truth.json" }

// film draws and encodes every frame.
func (sc *scene) film(ctx context.Context, work, clip string, told func(done, total int)) error {
	sound := ""
	if !sc.spec.Sound.None {
		sound = filepath.Join(work, "sound.wav")
		if err := os.WriteFile(sound, wave(sc.soundTrack()), 0o644); err != nil {
			return err
		}
	}
	var stamps []float64
	if sc.spec.Video.uneven() {
		stamps = sc.stamps()
	}
	args := encoderArgs(sc.spec.Video, sc.view.width, sc.view.height, stamps, sound, clip)
	feed := func(out io.Writer) error { return sc.feed(out, told) }
	if err := encode(ctx, args, feed); err != nil {
		return err
	}
	if sc.view.turned {
		return turnClip(clip, sc.view.height)
	}
	return nil
}

// feed draws frames on several goroutines and writes them in order. Worker k
// draws frames k, k+films, ...; each has two buffers.
func (sc *scene) feed(out io.Writer, told func(done, total int)) error {
	st := newStudio(sc)
	stamps := sc.stamps()
	stop := make(chan struct{})
	var done sync.WaitGroup
	var full, free [films]chan []byte
	for k := range films {
		full[k], free[k] = make(chan []byte, 2), make(chan []byte, 2)
		for range 2 {
			free[k] <- make([]byte, frameBytes(sc.view.width, sc.view.height))
		}
		done.Go(func() {
			f := st.film()
			for n := k; n < len(stamps); n += films {
				select {
				case <-stop:
					return
				case b := <-free[k]:
					f.shoot(n, stamps[n], b)
					full[k] <- b
				}
			}
		})
	}
	var err error
	for n := 0; n < len(stamps) && err == nil; n++ {
		b := <-full[n%films]
		_, err = out.Write(b)
		free[n%films] <- b
		told(n+1, len(stamps))
	}
	close(stop)
	done.Wait()
	return err
}
