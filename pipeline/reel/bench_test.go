package reel_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"strokereel/pipeline"
	"strokereel/pipeline/demo"
	"strokereel/pipeline/lesson"
	"strokereel/pipeline/reel"
	"strokereel/pipeline/settings"
)

// demoLesson is the measured demo lesson; its clips are drawn once.
func demoLesson(b *testing.B) reel.Lesson {
	dir := filepath.Join("..", "..", ".cache", "reel")
	if err := demo.Lesson(context.Background(), dir, nil); err != nil {
		b.Fatal(err)
	}
	var clips []reel.Clip
	for _, name := range []string{"before.mp4", "after.mp4"} {
		file := filepath.Join(dir, name)
		r, err := pipeline.Measure(context.Background(), file, settings.Default(), nil)
		if err != nil {
			b.Fatal(err)
		}
		clips = append(clips, reel.Clip{Findings: lesson.Findings{File: file, Report: r.Report, Observed: r.Observed, Smooth: r.Smooth}})
	}
	return reel.Lesson{Title: "Before and after", Before: clips[:1], After: clips[1:]}
}

// BenchmarkCreate makes the demo lesson's reel and then encodes the reel's own
// decoded frames again with the same preset. Wanted: at most 1.6 times its wall
// time, and at most 600 MB with the children.
func BenchmarkCreate(b *testing.B) {
	l := demoLesson(b)
	for _, shape := range []reel.Shape{reel.Wide, reel.Tall} {
		b.Run(string(shape), func(b *testing.B) {
			var made, again time.Duration
			peak := 0
			for b.Loop() {
				dir := b.TempDir()
				out := filepath.Join(dir, "reel.mp4")
				peak = max(peak, peakMB(func() {
					begin := time.Now()
					if _, err := reel.Create(context.Background(), reel.Job{Lesson: l, Shape: shape, Out: out}, reel.DefaultOptions()); err != nil {
						b.Fatal(err)
					}
					made += time.Since(begin)
				}))
				begin := time.Now()
				said, err := exec.Command("ffmpeg", "-nostdin", "-v", "error", "-i", out, "-map", "0:v", "-c:v", "libx264", "-preset", "veryfast", "-crf", "20",
					"-pix_fmt", "yuv420p", "-g", "120", filepath.Join(dir, "again.mp4")).CombinedOutput()
				if err != nil {
					b.Fatalf("%v: %s", err, said)
				}
				again += time.Since(begin)
			}
			b.ReportMetric(float64(made)/float64(again), "wall/re-encode")
			b.ReportMetric(made.Seconds()/float64(b.N), "s/reel")
			b.ReportMetric(float64(peak), "MB-peak")
		})
	}
}

// peakMB is the most memory this process and its children hold together while f
// runs. What processes share is counted by shares (Linux's proportional set
// size).
func peakMB(f func()) int {
	stop, peak := make(chan struct{}), make(chan int)
	go func() {
		most := 0
		for {
			select {
			case <-stop:
				peak <- most / 1024
				return
			case <-time.After(200 * time.Millisecond):
				most = max(most, held(os.Getpid()))
			}
		}
	}()
	f()
	close(stop)
	return <-peak
}

// held is the memory of a process and those it started, kB; a process that has
// just ended holds none.
func held(pid int) int {
	sum := 0
	if data, err := os.ReadFile(fmt.Sprintf("/proc/%d/smaps_rollup", pid)); err == nil {
		for line := range strings.Lines(string(data)) {
			var kB int
			if n, _ := fmt.Sscanf(line, "Pss: %d kB", &kB); n == 1 {
				sum += kB
			}
		}
	}
	threads, _ := filepath.Glob(fmt.Sprintf("/proc/%d/task/*/children", pid))
	for _, t := range threads {
		data, err := os.ReadFile(t)
		if err != nil {
			continue
		}
		for _, word := range strings.Fields(string(data)) {
			var child int
			if _, err := fmt.Sscan(word, &child); err == nil {
				sum += held(child)
			}
		}
	}
	return sum
}
