package browsertest

import (
	"context"
	"flag"
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"strokereel/pipeline/site"
	"strokereel/pipeline/site/shelf"
	"strokereel/pipeline/site/sitetest"
)

var shots = flag.String("shots", "", "write screenshots to this folder")

const (
	lockFile = "node_modules/axe-core/axe.min.js"
	getTools = "run scripts/setup --test, as root where Debian packages are missing"
)

// tools finds what the tests need, and fails saying how to get it.
func tools(t *testing.T) (chromium, axe string) {
	t.Helper()
	chromium, err := exec.LookPath("chromium")
	if err != nil {
		t.Fatal("chromium is missing: " + getTools)
	}
	data, err := os.ReadFile(lockFile)
	if err != nil {
		t.Fatal("axe-core is missing: " + getTools)
	}
	return chromium, string(data)
}

// stand is a published shelf and a browser to open it with.
type stand struct {
	dir, web, axe string
	links         shelf.Links
	browser       context.Context
}

// wild is a student's code that a page must show and not obey.
const wild = `S-9"><img src=x onerror=alert(1)>`

func newStand(t *testing.T) *stand {
	chromium, axe := tools(t)
	dir := t.TempDir()
	out, in := filepath.Join(dir, "out"), filepath.Join(dir, "in")
	wide, tall := film(t, dir, "320x180"), film(t, dir, "180x320")
	for i, date := range []string{"2025-10-11", "2025-11-08", "2025-12-13", "2026-01-17"} {
		l := sitetest.Lesson{Name: fmt.Sprintf("lesson-%d", i), Student: "S-014", Coach: "C-02", Date: date, Wide: wide, Tall: tall,
			Tempo: [2]float64{2.4 - 0.1*float64(i), 2.3 - 0.1*float64(i)}}
		if i == 1 {
			l.BallSpeed = 3.1
		}
		must(t, sitetest.Write(out, l))
	}
	must(t, sitetest.Write(out, sitetest.Lesson{Name: "odd", Student: wild, Coach: "<i>C</i>", Date: "2026-01-10", Wide: wide, Tall: tall}))
	must(t, sitetest.Card(in, "S-014", "2026-12-31"))
	must(t, os.MkdirAll(filepath.Join(in, "odd"), 0o755))
	must(t, sitetest.Card(in, "S-014", "2026-12-31"))
	card := strings.ReplaceAll(read(t, filepath.Join(in, "S-014", "student.yaml")), `"S-014"`, fmt.Sprintf("%q", wild))
	must(t, os.WriteFile(filepath.Join(in, "odd", "student.yaml"), []byte(card), 0o644))
	must(t, sitetest.Practice(filepath.Join(out, "lesson-3")))

	s := &stand{dir: filepath.Join(dir, "shelf"), axe: axe}
	look := site.DefaultOptions()
	look.Contact = "Questions: the club's desk"
	r, err := shelf.Publish(t.Context(), shelf.Job{Outbox: out, Place: s.dir, Cards: in, Look: look, Today: time.Date(2026, 2, 1, 0, 0, 0, 0, time.UTC)})
	must(t, err)
	if r.Count(shelf.Published) != 5 {
		t.Fatalf("published %+v", r.Lines)
	}
	s.links = r.Links
	root, err := os.OpenRoot(s.dir)
	must(t, err)
	t.Cleanup(func() { root.Close() })
	server := httptest.NewServer(shelf.Handler(root))
	t.Cleanup(server.Close)
	s.web = server.URL + "/"

	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(chromium), chromedp.NoSandbox,
		chromedp.Flag("autoplay-policy", "no-user-gesture-required"), chromedp.Flag("disable-background-networking", true))
	allocated, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	s.browser, cancel = chromedp.NewContext(allocated)
	t.Cleanup(cancel)
	must(t, chromedp.Do(s.browser))
	return s
}

// film makes two seconds of pictures and sound.
func film(t *testing.T, dir, size string) []byte {
	t.Helper()
	path := filepath.Join(dir, size+".mp4")
	cmd := exec.Command("ffmpeg", "-v", "error", "-f", "lavfi", "-i", "testsrc=d=2:r=30:s="+size, "-f", "lavfi", "-i", "sine=d=2", "-c:v", "libx264", "-preset", "ultrafast",
		"-pix_fmt", "yuv420p", "-c:a", "aac", "-movflags", "+faststart", path)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("making a film: %v\n%s", err, out)
	}
	return []byte(read(t, path))
}

func read(t *testing.T, path string) string {
	t.Helper()
	data, err := os.ReadFile(path)
	must(t, err)
	return string(data)
}

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// tab is a page that is open in the browser, and what it did.
type tab struct {
	t        *testing.T
	ctx      context.Context
	mu       sync.Mutex
	faults   []string
	requests []string
}

// screen is what a page is opened on.
type screen struct {
	name          string
	width, height int64
	dark          bool
}

var screens = []screen{{"phone", 360, 740, false}, {"laptop", 1280, 800, false}, {"phone-dark", 360, 740, true}, {"laptop-dark", 1280, 800, true}}

func (s *stand) open(t *testing.T, address string, on screen, before ...chromedp.Action[chromedp.Void]) *tab {
	t.Helper()
	ctx, cancel := chromedp.NewContext(s.browser)
	t.Cleanup(cancel)
	ctx, cancel = context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(cancel)
	p := &tab{t: t, ctx: ctx}
	must(t, chromedp.Do(ctx))
	must(t, chromedp.Listen(ctx, p.hear))
	scheme := "light"
	if on.dark {
		scheme = "dark"
	}
	media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}, {Name: "prefers-reduced-motion", Value: "reduce"}}}
	p.do(command(network.Enable, network.EnableParams{}), command(log.Enable, cdp.Empty{}), command(emulation.SetEmulatedMedia, media), chromedp.EmulateViewport(on.width, on.height))
	p.do(append(before, chromedp.Navigate(address))...)
	return p
}

// command is an action of the browser's own protocol.
func command[P, R any](c cdp.Command[P, R], params P) chromedp.Action[chromedp.Void] {
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, c, params)
		return err
	})
}

// hear notes what a page says on its console and asks of servers.
func (p *tab) hear(ev any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	switch e := ev.(type) {
	case *runtime.EventExceptionThrown:
		p.faults = append(p.faults, "exception: "+e.ExceptionDetails.Text)
	case *runtime.EventConsoleAPICalled:
		p.faults = append(p.faults, "console: "+string(e.Type))
	case *log.EventEntryAdded:
		p.faults = append(p.faults, "log: "+e.Entry.Text+" "+e.Entry.URL)
	case *network.EventRequestWillBeSent:
		p.requests = append(p.requests, e.Request.URL)
	}
}

// quiet fails when the page complained or left its origin.
func (p *tab) quiet(origin string) {
	p.t.Helper()
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, f := range p.faults {
		p.t.Errorf("the page complains: %s", f)
	}
	for _, r := range p.requests {
		u, err := url.Parse(r)
		if err != nil || u.Scheme != "data" && !strings.HasPrefix(r, origin) {
			p.t.Errorf("the page asks for %s", r)
		}
	}
}

// eval returns the value of an expression, waiting for promises.
func eval[V any](p *tab, js string) V {
	p.t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[V](js, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: %v", js, err)
	}
	return v
}

// until waits for a condition of the page.
func (p *tab) until(what, js string) {
	p.t.Helper()
	for range 200 {
		if eval[bool](p, js) {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	p.t.Fatalf("never came: %s", what)
}

func (p *tab) do(actions ...chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	must(p.t, chromedp.Do(p.ctx, actions...))
}

// shot keeps a picture of the whole page for a person to look at.
func (p *tab) shot(name string) {
	if *shots == "" {
		return
	}
	p.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("img[loading=lazy]").forEach((i) => { i.loading = "eager"; })`))
	p.until("all pictures", `[...document.images].every((i) => i.complete)`)
	png, err := chromedp.Run(p.ctx, chromedp.FullScreenshot(100))
	must(p.t, err)
	must(p.t, os.MkdirAll(*shots, 0o755))
	must(p.t, os.WriteFile(filepath.Join(*shots, name+".png"), png, 0o644))
}
