package browsertest

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"strokereel/pipeline/lesson"
	"strokereel/pipeline/reel"
)

// Reels play to their end in a browser, in both shapes.
func TestReelPlays(t *testing.T) {
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatal("chromium is missing: " + getTools)
	}
	dir := t.TempDir()
	var l reel.Lesson
	mark := 1.2
	for name, to := range map[string]*[]reel.Clip{"before": &l.Before, "after": &l.After} {
		file := filepath.Join(dir, name+".mp4")
		cmd := exec.Command("ffmpeg", "-v", "error", "-f", "lavfi", "-i", "testsrc2=d=2.5:r=60:s=640x360", "-f", "lavfi", "-i", "sine=d=2.5",
			"-c:v", "libx264", "-preset", "ultrafast", "-pix_fmt", "yuv420p", "-c:a", "aac", file)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Fatalf("making a clip: %v\n%s", err, out)
		}
		r := lesson.Report{Schema: lesson.ReportSchema, Clip: lesson.Clip{File: name + ".mp4", Width: 640, Height: 360, DurationS: 2.5, View: "face-on"}}
		*to = []reel.Clip{{Findings: lesson.Findings{File: file, Report: r}, Mark: &mark}}
	}
	o := reel.DefaultOptions()
	o.Opening, o.Closing, o.Stop, o.Compared, o.Slowest = 0.5, 0.5, 0.1, 0.2, 1
	films := map[string]float64{}
	for _, shape := range []reel.Shape{reel.Wide, reel.Tall} {
		out := filepath.Join(dir, string(shape)+"-reel.mp4")
		_, err := reel.Create(t.Context(), reel.Job{Lesson: l, Shape: shape, Out: out}, o)
		must(t, err)
		p, err := reel.Make(l, l.Compare(), shape, o)
		must(t, err)
		films[string(shape)+"-reel.mp4"] = p.LengthS
	}
	server := httptest.NewServer(http.FileServer(http.Dir(dir)))
	t.Cleanup(server.Close)
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox,
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"), chromedp.Flag("disable-background-networking", true))
	allocated, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	defer cancel()
	browser, cancel := chromedp.NewContext(allocated)
	defer cancel()
	must(t, chromedp.Do(browser)) // started here, it outlives the tabs
	for name, length := range films {
		t.Run(name, func(t *testing.T) {
			tab, cancel := chromedp.NewContext(browser)
			defer cancel()
			ctx, cancel := context.WithTimeout(tab, 3*time.Minute)
			defer cancel()
			// The end comes late where the machine is busy; nothing is waited for
			// but the player's own word.
			script := fmt.Sprintf(`new Promise((done, fail) => {
				const v = document.createElement("video");
				v.onended = () => done([v.currentTime, v.duration, v.videoWidth, v.getVideoPlaybackQuality().totalVideoFrames]);
				v.onerror = () => fail(new Error(v.error.message));
				v.src = %q;
				document.body.append(v);
				v.play().catch(fail);
			})`, "/"+name)
			must(t, chromedp.Do(ctx, chromedp.Navigate(server.URL+"/")))
			got, err := chromedp.Run(ctx, chromedp.Evaluate[[]float64](script, chromedp.EvalAwaitPromise))
			must(t, err)
			if math.Abs(got[0]-length) > 0.1 || math.Abs(got[1]-length) > 0.1 || got[2] == 0 || got[3] == 0 {
				t.Errorf("it ended at %g of %g s, %g px wide, after %g pictures; planned are %g s", got[0], got[1], got[2], got[3], length)
			}
		})
	}
}
