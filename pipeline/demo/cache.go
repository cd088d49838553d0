package demo

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"
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
	clip = filepath.Join(dir, fmt.Sprintf("generator-%d", GeneratorVersion), fmt.Sprintf("%s-%d.mp4", spec.Case, spec.Seed))
	return ready(ctx, clip, spec)
}

// Bare gives the same frames as those of a clip drawn from a spec, before the
// encoder took anything from them, drawing them first if they do not lie beside
// the clip. It is a hundred times as large.
func Bare(ctx context.Context, clip string, spec Spec) (bare, truth string, err error) {
	spec.Video.Lossless = true
	return ready(ctx, strings.TrimSuffix(clip, ".mp4")+".bare.mp4", spec)
}

func ready(ctx context.Context, clip string, spec Spec) (string, string, error) {
	truth := TruthPath(clip)
	if isFile(clip) && isFile(truth) {
		return clip, truth, nil
	}
	if err := os.MkdirAll(filepath.Dir(clip), 0o755); err != nil {
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
