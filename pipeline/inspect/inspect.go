package inspect

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strokereel/pipeline"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
	"strokereel/track"
)

// Names of the files that inspecting a clip leaves in its folder.
const (
	FilmFile  = "looks.mp4"
	TableFile = "looks.csv"
)

// Inspection is a clip that was measured while somebody listened.
type Inspection struct {
	File   string
	Result *pipeline.Result
	Looks  []track.Glance // in order of frames
}

// Look measures a clip and keeps every look of its finders.
func Look(ctx context.Context, c pipeline.Reading, s settings.Settings) (*Inspection, error) {
	i := &Inspection{File: c.File}
	c.Listen = func(g track.Glance) { i.Looks = append(i.Looks, g) }
	var err error
	i.Result, err = c.Measure(ctx, s)
	if err != nil {
		return nil, err
	}
	slices.SortStableFunc(i.Looks, func(a, b track.Glance) int { return cmp.Compare(a.Frame, b.Frame) })
	return i, nil
}

// Save writes table, charts and film into a folder. What an earlier run left there
// is removed first.
func (i *Inspection) Save(ctx context.Context, s settings.Settings, dir string, progress func(float64)) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making the folder: %w", err)
	}
	if err := clearOld(dir); err != nil {
		return err
	}
	if err := lesson.WriteFile(filepath.Join(dir, TableFile), i.writeTable); err != nil {
		return err
	}
	for _, c := range i.charts(s) {
		if err := c.save(dir); err != nil {
			return err
		}
	}
	return i.film(ctx, s, filepath.Join(dir, FilmFile), progress)
}

func clearOld(dir string) error {
	names := []string{filepath.Join(dir, FilmFile), filepath.Join(dir, TableFile)}
	for _, kind := range chartKinds {
		for _, ext := range []string{"svg", "png"} {
			old, err := filepath.Glob(filepath.Join(dir, "stroke-*-"+kind+"."+ext))
			if err != nil {
				return err
			}
			names = append(names, old...)
		}
	}
	for _, n := range names {
		if err := os.Remove(n); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("removing earlier results: %w", err)
		}
	}
	return nil
}

// Summary tells in a few lines what was taken, what was not and why, and who
// plays which part.
func (i *Inspection) Summary(s settings.Settings) string {
	var b strings.Builder
	for _, finder := range []string{track.Putter, track.Ball} {
		taken, kinds := 0, map[string]int{}
		for _, g := range i.Looks {
			switch {
			case g.Finder != finder:
			case g.Taken():
				taken++
			default:
				kinds[g.Why.Kind()]++
			}
		}
		fmt.Fprintf(&b, "looks for the %s: %d taken\n", noun[finder], taken)
		for _, k := range byCount(kinds) {
			fmt.Fprintf(&b, "  %5d  %s\n", kinds[k], k)
		}
	}
	spots, balls := i.Result.Parts.Why(i.Result.Spots, i.Result.Balls, s.Track.Cast)
	for k, why := range spots {
		sp := i.Result.Spots[k]
		fmt.Fprintf(&b, "sticker %d, radius %.1f px, in %d frames: %s\n", sp.ID, sp.Radius, seen(sp.Track), part(why, "the putter's"))
	}
	for k, why := range balls {
		ba := i.Result.Balls[k]
		fmt.Fprintf(&b, "ball %d, width %.1f px, in %d frames: %s\n", ba.ID, ba.Width, seen(ba.Track), part(why, "struck, or the ruler"))
	}
	if n := len(i.strays(s)); n > 0 {
		fmt.Fprintf(&b, "%d sightings of the putter lie far from their neighbours and are left out\n", n)
	}
	return b.String()
}

// noun is what a finder looks for.
var noun = map[string]string{track.Putter: "sticker", track.Ball: "ball"}

func part(why, plays string) string {
	if why == "" {
		return plays
	}
	return "no part: " + why
}

func seen(tr track.Track) int {
	n := 0
	for _, s := range tr.Samples {
		if s.Seen {
			n++
		}
	}
	return n
}

// byCount lists keys, the most frequent first.
func byCount(of map[string]int) []string {
	var keys []string
	for k := range of {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b string) int { return cmp.Or(cmp.Compare(of[b], of[a]), cmp.Compare(a, b)) })
	return keys
}
