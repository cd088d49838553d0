package demo

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
)

// Cached gives the clip of a case and seed and its truth from dir, rendering it
// first if it is not there. Clips of another generator version are not used. A
// run that was broken off leaves no half clip: it is drawn again.
func Cached(ctx context.Context, dir, name string, seed int) (clip, truth string, err error) {
	spec, err := Case(name, seed)
	if err != nil {
		return "", "", err
	}
	return cached(ctx, dir, spec)
}

func cached(ctx context.Context, dir string, spec Spec) (clip, truth string, err error) {
	folder := filepath.Join(dir, fmt.Sprintf("generator-%d", GeneratorVersion))
	clip = filepath.Join(folder, fmt.Sprintf("%s-%d.mp4", spec.Case, spec.Seed))
	truth = TruthPath(clip)
	if isFile(clip) && isFile(truth) {
		return clip, truth, nil
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return "", "", fmt.Errorf("making the folder for test clips: %w", err)
	}
	if err := Render(ctx, spec, clip); err != nil {
		return "", "", err
	}
	return clip, truth, nil
}

func isFile(path string) bool {
	i, err := os.Stat(path)
	return err == nil && i.Mode().IsRegular()
}
