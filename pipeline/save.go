package pipeline

import (
	"context"
	"fmt"
	"image/png"
	"io"
	"io/fs"
	"os"
	"path/filepath"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/settings"
)

// Names of the files that measuring a clip leaves in its result folder.
const (
	ReportFile = "report.json"
	TrackFile  = "track.csv" // raw observations
	PathFile   = "path.csv"  // the putter's smoothed path
)

// Save writes a clip's results to a folder: a still of each event, the tracks,
// and last the report, whose presence means that the rest is there. Stills of
// an earlier run are removed first.
func (r *Result) Save(ctx context.Context, file, dir string, s settings.Settings) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return fmt.Errorf("making the result folder: %w", err)
	}
	if err := clearOld(dir); err != nil {
		return err
	}
	// Quick compression: the stills are for looking, and a night makes many.
	encoder := png.Encoder{CompressionLevel: png.BestSpeed}
	err := r.Stills(ctx, file, s, func(st Still) error {
		return lesson.WriteFile(filepath.Join(dir, st.Name), func(w io.Writer) error { return encoder.Encode(w, st.Image) })
	})
	if err != nil {
		return err
	}
	return r.SaveNumbers(dir)
}

// SaveNumbers writes a clip's results without the stills to a folder that holds
// no earlier ones.
func (r *Result) SaveNumbers(dir string) error {
	if err := lesson.WriteFile(filepath.Join(dir, TrackFile), func(w io.Writer) error { return lesson.WriteTracks(w, r.Observed) }); err != nil {
		return err
	}
	if len(r.Smooth) > 0 {
		if err := lesson.WriteFile(filepath.Join(dir, PathFile), func(w io.Writer) error { return lesson.WriteTracks(w, r.Smooth) }); err != nil {
			return err
		}
	}
	data, err := r.Report.Marshal()
	if err != nil {
		return fmt.Errorf("writing the report: %w", err)
	}
	return lesson.WriteFile(filepath.Join(dir, ReportFile), func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	})
}

// clearOld removes what an earlier run left, the report first: without it the
// folder counts as empty.
func clearOld(dir string) error {
	names := []string{ReportFile, TrackFile, PathFile}
	for i := range names {
		names[i] = filepath.Join(dir, names[i])
	}
	stills, err := fs.Glob(os.DirFS(dir), "stroke-*-*.png")
	if err != nil {
		return err
	}
	for _, n := range stills {
		names = append(names, filepath.Join(dir, n))
	}
	for _, n := range names {
		if err := os.Remove(n); err != nil && !os.IsNotExist(err) {
			return fmt.Errorf("removing earlier results: %w", err)
		}
	}
	return nil
}
