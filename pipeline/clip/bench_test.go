package clip

import (
	"context"
	"io"
	"os/exec"
	"syscall"
	"testing"
	"time"

	"strokereel/track"
)

// BenchmarkRead compares reading every frame of 10 s of 1080p60 at 20 Mbit/s
// with ffmpeg decoding the same clip to nowhere, in turns. Wanted: at most 1.25
// times its wall time and 1.45 times its CPU.
func BenchmarkRead(b *testing.B) {
	path := film(b, "a.mp4", join(lavfi("testsrc2=s=1920x1080:r=60:d=10,noise=alls=12:allf=t"),
		[]string{"-c:v", "libx264", "-preset", "superfast", "-profile:v", "high", "-pix_fmt", "yuv420p", "-bf", "2",
			"-b:v", "20M", "-maxrate", "20M", "-bufsize", "20M", "-colorspace", "bt709", "-color_primaries", "bt709", "-color_trc", "bt709"})...)
	var wall, cpu, baseWall, baseCPU time.Duration
	frames := 0
	for b.Loop() {
		w, c := spent(b, func() {
			if err := exec.Command("ffmpeg", "-nostdin", "-v", "error", "-i", path, "-map", "0:V:0", "-f", "null", "-").Run(); err != nil {
				b.Fatal(err)
			}
		})
		baseWall, baseCPU = baseWall+w, baseCPU+c
		w, c = spent(b, func() { frames += readAll(b, path) })
		wall, cpu = wall+w, cpu+c
	}
	b.ReportMetric(float64(wall)/float64(baseWall), "wall/ffmpeg")
	b.ReportMetric(float64(cpu)/float64(baseCPU), "cpu/ffmpeg")
	b.ReportMetric(cpu.Seconds()*1e3/float64(frames), "cpu-ms/frame")
	b.ReportMetric(float64(frames)/wall.Seconds(), "frames/s")
	b.ReportMetric(peakMB(b), "MB-peak")
}

func readAll(b *testing.B, path string) int {
	r, err := Open(context.Background(), path, DefaultOptions())
	if err != nil {
		b.Fatal(err)
	}
	n := 0
	for f := new(track.Frame); ; n++ {
		if err := r.Next(f); err == io.EOF {
			break
		} else if err != nil {
			b.Fatal(err)
		}
	}
	if _, err := r.Close(); err != nil {
		b.Fatal(err)
	}
	return n
}

// spent returns the wall time and the CPU of this process and its children.
func spent(b *testing.B, do func()) (wall, cpu time.Duration) {
	before, began := usage(b), time.Now()
	do()
	return time.Since(began), usage(b) - before
}

func usage(b *testing.B) time.Duration {
	var sum int64
	for _, who := range []int{syscall.RUSAGE_SELF, syscall.RUSAGE_CHILDREN} {
		var u syscall.Rusage
		if err := syscall.Getrusage(who, &u); err != nil {
			b.Fatal(err)
		}
		sum += u.Utime.Nano() + u.Stime.Nano()
	}
	return time.Duration(sum)
}

// peakMB is the largest memory this process has held, its children apart.
func peakMB(b *testing.B) float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return float64(u.Maxrss) / 1024
}
