package reel

import (
	"context"
	"errors"
	"fmt"
	"image/jpeg"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"
	"sync"

	"golang.org/x/sync/errgroup"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/lesson"
	"strokereel/track"
)

// Job is a reel to be made.
type Job struct {
	Lesson Lesson
	Shape  Shape
	Out    string // the film, ending in .mp4
	Send   bool   // also in the form for sending
	// Progress hears which share is done; it may be nil.
	Progress func(float64)
}

// jpegQuality of posters and stills: common practice, no source.
const jpegQuality = 90

// Create makes a reel and what belongs beside it, and returns the names of the
// files, the film last:
//
//	NAME.mp4          the film, with chapters and captions
//	NAME.send.mp4     the form for sending, when asked for
//	NAME.vtt          the captions
//	NAME.poster.jpg   a picture for it
//	NAME.ROLE-STOP.jpg  the picture of each stop
//	NAME.reel.json    the plan
//	lesson.json       the comparison, in the same folder
//	practice.html     drills for home, with a lesson that has a book of them
//	practice.wav      the player's own rhythm, when its times are known
//	practice.jpg      the player at address with the lengths to practise
//
// They appear when all are complete; a run that fails leaves none.
func Create(ctx context.Context, j Job, o Options) ([]string, error) {
	// Nearly all that is held are pictures that are used again and again; there
	// is little to collect, and what is collected late, or was left by measuring,
	// the encoder lacks.
	defer debug.SetGCPercent(debug.SetGCPercent(10))
	debug.FreeOSMemory()
	base, ok := strings.CutSuffix(j.Out, ".mp4")
	if !ok || filepath.Base(base) == "." || filepath.Base(j.Out) == ".mp4" {
		return nil, fmt.Errorf("making the reel %q: its name must end in .mp4", j.Out)
	}
	comparison := j.Lesson.Compare()
	plan, err := Make(j.Lesson, comparison, j.Shape, o)
	if err != nil {
		return nil, err
	}
	work, err := os.MkdirTemp(filepath.Dir(j.Out), ".reel-*")
	if err != nil {
		return nil, fmt.Errorf("making the reel: %w", err)
	}
	defer os.RemoveAll(work)
	d := desk{plan: plan, job: j, o: o, work: work, base: base}
	if err := d.write(filepath.Join(filepath.Dir(j.Out), "lesson.json"), "lesson.json", marshalled(comparison.Marshal)); err != nil {
		return nil, err
	}
	if err := d.practice(ctx, comparison); err != nil {
		return nil, err
	}
	if err := d.make(ctx); err != nil {
		return nil, err
	}
	return d.publish()
}

// desk is where the files of a reel are made before they appear.
type desk struct {
	plan       Plan
	job        Job
	o          Options
	work, base string
	files      []ready
}

// ready is a finished file and the name it will have.
type ready struct{ from, to string }

// in is a place in the work folder.
func (d *desk) in(name string) string { return filepath.Join(d.work, name) }

// add notes a finished file.
func (d *desk) add(name, to string) { d.files = append(d.files, ready{d.in(name), to}) }

// write makes a file in the work folder that will appear as to.
func (d *desk) write(to, name string, content func(io.Writer) error) error {
	if err := lesson.WriteFile(d.in(name), content); err != nil {
		return err
	}
	d.add(name, to)
	return nil
}

func marshalled(f func() ([]byte, error)) func(io.Writer) error {
	return func(w io.Writer) error {
		b, err := f()
		if err == nil {
			_, err = w.Write(b)
		}
		return err
	}
}

// make makes every file, the film last.
func (d *desk) make(ctx context.Context) error {
	p := d.plan
	if err := d.write(d.base+".reel.json", "reel.json", marshalled(p.Marshal)); err != nil {
		return err
	}
	if err := d.write(d.base+".vtt", "captions.vtt", func(w io.Writer) error { return writeCaptions(w, p) }); err != nil {
		return err
	}
	if err := lesson.WriteFile(d.in("chapters"), func(w io.Writer) error { return writeChapters(w, p) }); err != nil {
		return err
	}
	if err := d.film(ctx); err != nil {
		return err
	}
	if d.job.Send {
		if err := send(ctx, d.in("film.mp4"), d.in("send.mp4"), d.in("rate"), p.LengthS, d.o.SendSize*1e6); err != nil {
			return err
		}
		d.add("send.mp4", d.base+".send.mp4")
	}
	d.add("film.mp4", d.job.Out)
	return nil
}

// sources are the findings of the plan's sources.
func (d *desk) sources() (found []lesson.Findings) {
	for _, s := range d.plan.Sources {
		found = append(found, d.job.Lesson.clips(s.Role)[s.slot].Findings)
	}
	return found
}

// headers are what the headers of clips say.
func headers(ctx context.Context, found []lesson.Findings, o clip.Options) ([]clip.Info, error) {
	out := make([]clip.Info, len(found))
	var group errgroup.Group
	for i, f := range found {
		group.Go(func() (err error) {
			out[i], err = clip.Admit(ctx, f.File, o)
			return err
		})
	}
	return out, group.Wait()
}

// film runs the encoder and feeds it with pictures and, beside them, with sound.
func (d *desk) film(ctx context.Context) error {
	found := d.sources()
	heads, err := headers(ctx, found, d.o.Clip)
	if err != nil {
		return err
	}
	spoken, err := pieces(ctx, d.plan, heads)
	if err != nil {
		return err
	}
	c := newChild(ctx, encodeArgs(d.plan, d.o.Quality, parts{d.in("chapters"), d.in("captions.vtt")}, d.in("film.mp4")))
	pictures, err := c.input()
	if err != nil {
		return err
	}
	voice, err := c.input()
	if err != nil {
		return errors.Join(err, pictures.Close())
	}
	if err := c.start(); err != nil {
		return errors.Join(err, pictures.Close(), voice.Close())
	}
	var heard error
	var speaking sync.WaitGroup
	speaking.Go(func() { heard = errors.Join(speak(voice, d.plan, spoken), voice.Close()) })
	r := &renderer{plan: d.plan, found: found, heads: heads, o: d.o, progress: d.job.Progress, still: d.still}
	drawn := r.render(ctx, pictures)
	speaking.Wait()
	ended := c.wait()
	switch {
	case ctx.Err() != nil:
		return fmt.Errorf("making the reel %q: %w", d.job.Out, ctx.Err())
	case ended != nil:
		return fmt.Errorf("making the reel %q: %w", d.job.Out, errors.Join(ended, drawn, heard))
	}
	return errors.Join(drawn, heard)
}

// still keeps a picture of the reel.
func (d *desk) still(s Still, f *track.Frame) error {
	name := s.Name + ".jpg"
	img := clip.ToRGBA(nil, f, clip.SitedLeft)
	err := d.write(d.base+"."+name, name, func(w io.Writer) error { return jpeg.Encode(w, img, &jpeg.Options{Quality: jpegQuality}) })
	debug.FreeOSMemory() // as large as the frames, and needed no more
	return err
}

// publish lets the files appear, the film last: its presence means that the
// rest is there.
func (d *desk) publish() ([]string, error) {
	var names []string
	for _, f := range d.files {
		if err := flush(f.from); err != nil {
			return nil, err
		}
	}
	for _, f := range d.files {
		if err := os.Rename(f.from, f.to); err != nil {
			return nil, fmt.Errorf("making the reel: %w", err)
		}
		names = append(names, f.to)
	}
	return names, d.clearPractice()
}

// flush sees a file to the disk.
func flush(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return fmt.Errorf("making the reel: %w", err)
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return fmt.Errorf("making the reel: %w", err)
	}
	return nil
}
