package browsertest

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// TestPages opens the pages in a real browser; one for all parts, since it takes
// a second to start.
func TestPages(t *testing.T) {
	s := newStand(t)
	student := s.web + s.links.Students["S-014"]
	probe := s.open(t, student, screens[0])
	lesson := eval[string](probe, `document.querySelector(".lessons a").href`)
	odd := s.web + s.links.Students[wild]
	pages := map[string]string{"academy": s.web + s.links.Academy, "student": student, "lesson": lesson, "root": s.web}

	t.Run("every page on every screen", func(t *testing.T) {
		for name, address := range pages {
			for i, on := range screens {
				if i != 0 && i != 3 && *shots == "" {
					continue // a phone in light and a laptop in dark show all there is
				}
				p := s.open(t, address, on)
				p.shot(name + "-" + on.name)
				p.accessible(s, name+" on "+on.name)
				p.quiet(s.web)
			}
		}
	})
	t.Run("a code full of markup", func(t *testing.T) {
		for _, address := range []string{odd, eval[string](s.open(t, odd, screens[0]), `document.querySelector(".lessons a").href`)} {
			p := s.open(t, address, screens[0])
			if !eval[bool](p, `document.body.textContent.includes("onerror=alert(1)")`) {
				t.Error("the code is not shown as it is")
			}
			if eval[bool](p, `!!document.querySelector("img[src=x], main i")`) {
				t.Error("the code became part of the page")
			}
			p.quiet(s.web)
		}
	})
	t.Run("playing and stepping", func(t *testing.T) { s.player(t, lesson) })
	t.Run("the slider by keyboard", func(t *testing.T) { s.slider(t, lesson) })
	t.Run("the search", func(t *testing.T) { s.search(t, pages["academy"]) })
	t.Run("charts", func(t *testing.T) {
		p := s.open(t, student, screens[0])
		p.do(chromedp.ScrollIntoView(chromedp.CSS(".charts")))
		p.until("charts that are drawn", `[...document.querySelectorAll(".charts img")].length >= 4 && [...document.querySelectorAll(".charts img")].every((i) => i.complete && i.naturalWidth > 0)`)
		if text := eval[string](p, `document.querySelector(".charts").textContent`); !strings.Contains(text, "not at the ball speed of the latest lesson") {
			t.Error("a putt at another ball speed is not left out of the lengths")
		}
		for _, on := range screens {
			dark := eval[bool](s.open(t, student, on), `document.querySelector(".charts img").currentSrc.includes("-dark-")`)
			if dark != on.dark {
				t.Errorf("on %s the charts are made for a dark page: %v", on.name, dark)
			}
		}
	})
	t.Run("zoom of 200 % and the narrowest screen", func(t *testing.T) {
		for name, address := range pages {
			for _, on := range []screen{{"zoomed", 640, 400, false}, {"narrow", 320, 640, false}} {
				p := s.open(t, address, on)
				if over := eval[float64](p, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
					t.Errorf("%s %s is %v px too wide", name, on.name, over)
				}
			}
		}
	})
	t.Run("without scripts", func(t *testing.T) {
		p := s.open(t, lesson, screens[0], command(emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}))
		p.do(chromedp.WaitVisible(chromedp.CSS("video")), chromedp.WaitVisible(chromedp.CSS("noscript .chapters a")), chromedp.WaitVisible(chromedp.CSS(".moment img")),
			chromedp.WaitNotVisible(chromedp.CSS(".controls")))
		p.shot("lesson-without-scripts")
	})
	t.Run("the practice sheet", func(t *testing.T) {
		sheet := eval[string](s.open(t, lesson, screens[0]), `document.querySelector("a.button").href`)
		for i, on := range screens {
			if i != 0 && i != 3 && *shots == "" {
				continue
			}
			p := s.open(t, sheet, on)
			p.until("its picture", `(() => { const i = document.querySelector("figure img"); return i.complete && i.naturalWidth > 0; })()`)
			p.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("audio").load()`), chromedp.Evaluate[chromedp.Void](`document.querySelector("audio").muted = true`))
			if eval[float64](p, `document.querySelector("audio").play().then(() => document.querySelector("audio").duration)`) < 2 {
				t.Error("the sound is not played")
			}
			p.shot("practice-" + on.name)
			p.accessible(s, "the practice sheet on "+on.name)
			p.quiet(s.web)
			if i == 0 {
				p.onePage("practice")
			}
		}
	})
	t.Run("from a disk", func(t *testing.T) {
		disk := "file://" + s.dir + "/" + strings.TrimPrefix(lesson, s.web)
		p := s.open(t, disk, screens[1])
		p.until("the film", `document.querySelector("video").readyState >= 1`)
		p.captions()
		p.do(chromedp.Click(chromedp.CSS(`.back a`)), chromedp.WaitVisible(chromedp.CSS(".charts img")))
		p.until("charts from a disk", `[...document.querySelectorAll(".charts img")].every((i) => i.complete && i.naturalWidth > 0)`)
		p.quiet("file://")
	})
}

// onePage prints the page as its style wants it, without backgrounds as most
// people do.
func (p *tab) onePage(name string) {
	p.t.Helper()
	asStyled := true
	paper, err := chromedp.Run(p.ctx, func(ctx context.Context, t *chromedp.Target) (page.PrintToPDFResult, error) {
		return cdp.Call(ctx, t, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: &asStyled})
	})
	must(p.t, err)
	if n := strings.Count(string(paper.Data), "/Type /Page\n"); n != 1 {
		p.t.Errorf("%s is printed on %d pages", name, n)
	}
	p.do(command(emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}), chromedp.EmulateViewport(710, 1039)) // A4 without its margins
	p.shot(name + "-print")
}

// accessible runs axe-core over the page, and what it cannot see: width and the
// size of targets.
func (p *tab) accessible(s *stand, what string) {
	p.t.Helper()
	p.do(chromedp.Evaluate[chromedp.Void](s.axe))
	p.do(chromedp.Evaluate[chromedp.Void](`document.querySelectorAll("details").forEach((d) => { d.open = true; })`))
	found := eval[[]string](p, `axe.run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] })
		.then((r) => r.violations.map((v) => v.id + ": " + v.help + " " + v.nodes.map((n) => n.html).join(" ")))`)
	for _, f := range found {
		p.t.Errorf("%s: %s", what, f)
	}
	if over := eval[float64](p, `document.documentElement.scrollWidth - innerWidth`); over > 0 {
		p.t.Errorf("%s is %v px too wide", what, over)
	}
	small := eval[[]string](p, `[...document.querySelectorAll("a, button, summary, input")].filter((e) => e.checkVisibility() && !e.matches(".skip"))
		.filter((e) => { const b = e.getBoundingClientRect(); return b.width < 24 || b.height < 24; }).map((e) => e.outerHTML)`)
	for _, e := range small {
		p.t.Errorf("%s has a target below 24 px: %s", what, e)
	}
}

func (s *stand) player(t *testing.T, lesson string) {
	for _, on := range screens[:2] {
		p := s.open(t, lesson, on)
		p.until("the film's header", `document.querySelector("video").readyState >= 1`)
		shape := "reel-wide"
		if on.height > on.width {
			shape = "reel-tall"
		}
		if src := eval[string](p, `document.querySelector("video").currentSrc`); !strings.Contains(src, shape) {
			t.Errorf("on %s the film is %s", on.name, src)
		}
		p.do(chromedp.Evaluate[chromedp.Void](`document.querySelector("video").muted = true`), chromedp.Click(chromedp.CSS(`[data-at="1.000"]`)))
		p.until("playing from the second chapter", `(() => { const v = document.querySelector("video"); return !v.paused && v.currentTime > 1.02 || v.ended; })()`)
		p.do(chromedp.Click(chromedp.CSS(`[data-speed="0.25"]`)))
		if !eval[bool](p, `document.querySelector("video").playbackRate === 0.25 && document.querySelector("[data-speed='0.25']").getAttribute("aria-pressed") === "true"`) {
			t.Error("slow play is not slow")
		}
		p.do(chromedp.Evaluate[chromedp.Void](`(() => { const v = document.querySelector("video"); v.pause(); v.currentTime = 0.51; })()`))
		p.until("the place", `!document.querySelector("video").seeking`)
		p.do(chromedp.Click(chromedp.CSS(`[data-step="1"]`)))
		p.frame(16)
		p.do(chromedp.KeyEvent(","), chromedp.KeyEvent(","))
		p.frame(14)
		p.captions()
		p.quiet(s.web)
	}
}

// frame waits until a frame of the film is shown, 30 a second.
func (p *tab) frame(n int) {
	p.t.Helper()
	p.until("the frame", `(() => { const v = document.querySelector("video"); return v.paused && !v.seeking && Math.floor(v.currentTime * 30) === `+string(rune('0'+n/10))+string(rune('0'+n%10))+`; })()`)
}

func (p *tab) captions() {
	p.t.Helper()
	p.do(chromedp.Click(chromedp.CSS("[data-captions]")))
	p.until("captions", `document.querySelector("video").textTracks[0].cues?.length === 1 && document.querySelector("[data-captions]").getAttribute("aria-pressed") === "true"`)
}

func (s *stand) slider(t *testing.T, lesson string) {
	p := s.open(t, lesson, screens[0])
	cut := `getComputedStyle(document.querySelector(".moment")).getPropertyValue("--cut").trim()`
	p.do(chromedp.Focus(chromedp.CSS(".moment input")))
	for range 5 {
		p.do(chromedp.KeyEvent(kb.ArrowRight))
	}
	if got := eval[string](p, cut); got != "55%" {
		t.Errorf("five steps to the right show %s", got)
	}
	p.do(chromedp.KeyEvent(kb.Home))
	if got := eval[string](p, cut); got != "0%" {
		t.Errorf("Home shows %s", got)
	}
	if got := eval[string](p, `document.querySelector(".moment input").getAttribute("aria-valuetext")`); got != "0 % of the picture from before" {
		t.Errorf("the slider says %q", got)
	}
	p.do(chromedp.Click(chromedp.CSS(`[data-moment="1"]`)))
	if !eval[bool](p, `(() => { const m = document.querySelectorAll(".moment"); return m[0].hidden && !m[1].hidden; })()`) {
		t.Error("the second moment is not shown")
	}
	p.quiet(s.web)
}

func (s *stand) search(t *testing.T, academy string) {
	p := s.open(t, academy, screens[0])
	shown := `[...document.querySelectorAll(".list tbody tr")].filter((r) => !r.hidden).length`
	for _, c := range []struct {
		typed string
		rows  int
	}{{"s-014", 1}, {" 2026-01", 1}, {" nobody", 0}} {
		p.do(chromedp.SendKeys(chromedp.CSS("#find"), c.typed))
		if got := eval[int](p, shown); got != c.rows {
			t.Errorf("after %q %d rows are shown, want %d", c.typed, got, c.rows)
		}
	}
	p.quiet(s.web)
}
