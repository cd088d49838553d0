package clip

import (
	"context"
	"testing"
)

// TestCopies tells a film coded again, smaller, darker and at half the rate, from
// other takes of the same scene.
func TestCopies(t *testing.T) {
	take := func(name, from string) string {
		// A sleeve that swings before a wall, beginning at some moment.
		scene := "color=c=gray:s=640x360:r=60:d=3,drawbox=x=80:y=60:w=90:h=200:color=white:t=fill," +
			"drawbox=x='300+80*sin(3*max(t-" + from + "\\,0))':y=100:w=40:h=150:color=black:t=fill,noise=alls=6:allf=t"
		return film(t, name, lavfi(scene, "-pix_fmt", "yuv420p", "-crf", "18")...)
	}
	first := take("first.mp4", "1")
	again := film(t, "again.mp4", "-i", first, "-vf", "scale=320:180,fps=30,eq=brightness=-0.03", "-crf", "34", "-pix_fmt", "yuv420p")
	of := func(path string) Glance {
		t.Helper()
		g, err := GlanceOf(context.Background(), path, DefaultOptions())
		if err != nil {
			t.Fatal(err)
		}
		return g
	}
	g := of(first)
	if len(g) != 12*glanceW*glanceH {
		t.Errorf("three seconds give %d pictures", len(g)/glanceW/glanceH)
	}
	if !g.Copies(of(again)) || !of(again).Copies(g) {
		t.Error("a copy is not recognised")
	}
	if g.Copies(of(take("later.mp4", "1.15"))) {
		t.Error("a take that begins a seventh of a second later passes for a copy")
	}
	if g.Copies(g[:6*glanceW*glanceH]) || g.Copies(nil) || Glance(nil).Copies(nil) {
		t.Error("clips of other lengths pass for copies")
	}
}
