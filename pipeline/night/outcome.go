package night

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"

	"strokereel/pipeline"
	"strokereel/pipeline/clip"
	"strokereel/pipeline/settings"
)

const (
	outcomeFile = "outcome.json"
	pictureFile = "picture.jpg" // small, for the morning page
)

// How a clip fared.
const (
	usable         = "usable"
	withoutNumbers = "without numbers"
	filmAgain      = "film again"
	refused        = "refused" // it cannot be read at all
	gaveUp         = "failed"  // an error of this night, tried again in the next
)

// outcome is what came of a clip, kept beside its results.
type outcome struct {
	State   string   `json:"state"`
	Code    string   `json:"code,omitempty"` // of a refusal
	Reasons []string `json:"reasons"`        // plain words
	Do      string   `json:"do,omitempty"`
	Person  bool     `json:"needs_person"` // sheet and picture contradict each other
	Picture bool     `json:"picture"`
	Files   files    `json:"files"` // of the folder, without this one
}

// shows reports whether a reel can show the clip.
func (o outcome) shows() bool { return o.State == usable || o.State == withoutNumbers }

// measurer measures a clip into an empty folder. An error is one of the machine
// or of this night, not of the clip.
type measurer func(ctx context.Context, c pipeline.Reading, dir string, s settings.Settings) (outcome, error)

// measureClip is the measurer of real clips.
func measureClip(ctx context.Context, c pipeline.Reading, dir string, s settings.Settings) (outcome, error) {
	r, err := c.Measure(ctx, s)
	var no *clip.Refusal
	if errors.As(err, &no) {
		out := outcome{State: refused, Code: no.Code, Reasons: []string{"The file " + no.Text + "."}, Do: no.Hint}
		out.Picture = picture(ctx, c.File, dir, s) == nil
		return out, errors.Join(keepEars(c, pipeline.Ears{}, s), ctx.Err())
	}
	if err != nil {
		return outcome{}, err
	}
	if err := r.Save(ctx, c.File, dir, s); err != nil {
		return outcome{}, err
	}
	if err := keepEars(c, r.Ears, s); err != nil {
		return outcome{}, err
	}
	out := judge(r)
	err = smallStill(dir)
	if errors.Is(err, errNoStill) {
		err = picture(ctx, c.File, dir, s)
	}
	out.Picture = err == nil
	if full(err) || ctx.Err() != nil {
		return outcome{}, errors.Join(err, ctx.Err())
	}
	return out, nil
}

// judge puts a result's verdict into the words of the morning page.
func judge(r *pipeline.Result) outcome {
	v := r.Verdict()
	out := outcome{State: usable}
	switch v.Usability {
	case pipeline.WithoutNumbers:
		out.State = withoutNumbers
	case pipeline.FilmAgain:
		out.State = filmAgain
	}
	for _, text := range v.Reasons {
		out.Reasons = append(out.Reasons, upper(text)+".")
	}
	for _, w := range r.Report.Warnings {
		out.Person = out.Person || w.Code == "handedness"
	}
	return out
}

// troubles of the machine: what helps one clip then helps all.
var troubles = [...]struct {
	cause error
	text  string
}{
	{syscall.ENOSPC, "the disk is full"},
	{syscall.EDQUOT, "the room that this user may take on the disk is used up"},
	{syscall.EROFS, "the disk can only be read"},
	{syscall.EIO, "the disk has a fault"},
	{syscall.ENOMEM, "there is no memory left"},
	{syscall.EMFILE, "too many files are open"},
	{syscall.ENFILE, "too many files are open on this machine"},
}

// trouble names what ails the machine, "" when the cause of an error is another.
func trouble(err error) string {
	if err == nil {
		return ""
	}
	said := strings.ToLower(err.Error())
	for _, t := range troubles {
		// Other programs, such as the encoder, can only say it in words.
		if errors.Is(err, t.cause) || t.cause == syscall.ENOSPC && strings.Contains(said, t.cause.Error()) {
			return t.text
		}
	}
	return ""
}

// full reports whether the machine, not the clip, is the cause.
func full(err error) bool { return trouble(err) != "" }

// ensure returns what came of a clip, measuring it unless that was done.
func (r *runner) ensure(ctx context.Context, c *planClip) (outcome, error) {
	if c.key == "" {
		return r.unread(ctx, c)
	}
	place := filepath.Join(r.out.clips(), c.key)
	var out outcome
	if readJSON(filepath.Join(place, outcomeFile), &out) && out.Files.there(place) {
		return out, nil
	}
	draft, err := r.out.draft("clip-" + c.key)
	if err != nil {
		return outcome{}, err
	}
	defer os.RemoveAll(draft)
	before, err := identify(c.Path)
	if err != nil {
		return outcome{}, err
	}
	limited, cancel := context.WithTimeout(ctx, minutes(r.job.Settings.Night.ClipTime))
	defer cancel()
	out, err = r.guarded(limited, c, draft)
	if limited.Err() != nil && ctx.Err() == nil {
		return outcome{}, fmt.Errorf("it took longer than %v", minutes(r.job.Settings.Night.ClipTime))
	}
	if err != nil {
		return outcome{}, err
	}
	if after, err := identify(c.Path); err != nil || after != before {
		return outcome{}, errChanging
	}
	if out.Files, err = list(draft); err != nil {
		return outcome{}, err
	}
	if err := writeJSON(filepath.Join(draft, outcomeFile), out); err != nil {
		return outcome{}, err
	}
	return out, r.out.keep(draft, place)
}

var errChanging = errors.New("it changed while it was read, perhaps it is still being copied")

// unread finds out why a clip has no fingerprint; nothing is kept.
func (r *runner) unread(ctx context.Context, c *planClip) (outcome, error) {
	draft, err := r.out.draft("unread")
	if err != nil {
		return outcome{}, err
	}
	defer os.RemoveAll(draft)
	out, err := r.guarded(ctx, c, draft)
	out.Picture = false
	return out, err
}

// guarded turns a fault of our own in one clip into an error, so that the other
// clips of the night are done.
func (r *runner) guarded(ctx context.Context, c *planClip, dir string) (out outcome, err error) {
	defer func() {
		if fault := recover(); fault != nil {
			err = fmt.Errorf("a fault of the program: %v", fault)
		}
	}()
	reading, memory, err := r.reading(c)
	if err != nil {
		return outcome{}, err
	}
	if out, err = r.measure(ctx, reading, dir, c.Settings); err == nil && memory != nil {
		err = memory.Forget()
	}
	return out, err
}
