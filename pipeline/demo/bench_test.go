package demo

import (
	"context"
	"path/filepath"
	"testing"
)

// BenchmarkShoot draws the frames of the stroke of one clip, without the encoder.
func BenchmarkShoot(b *testing.B) {
	s, err := Case("clean", 1)
	if err != nil {
		b.Fatal(err)
	}
	sc, err := newScene(s)
	if err != nil {
		b.Fatal(err)
	}
	f := newStudio(sc).film()
	stamps := sc.stamps()
	out := make([]byte, frameBytes(sc.view.width, sc.view.height))
	n := 0
	for b.Loop() {
		f.shoot(n, stamps[n], out)
		n = (n + 7) % len(stamps)
	}
}

// BenchmarkRender makes one whole clip.
func BenchmarkRender(b *testing.B) {
	s, err := Case("clean", 1)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if err := Render(context.Background(), s, filepath.Join(b.TempDir(), "clip.mp4")); err != nil {
			b.Fatal(err)
		}
	}
}
