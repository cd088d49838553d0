package slate

import (
	"context"
	"image"
	"io"
	"math"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"testing"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/sheet"
)

// handHeld is a card in a hand that drifts and trembles, filmed by a phone.
type handHeld struct {
	held
	tremor float64 // mm, of the hand
	dim    float64 // brightness of the room, 1 is full
	shut   float64 // s, exposure
}

const (
	handRate   = 30
	handFrames = 34  // a second and a bit: three looks
	tremble    = 8.0 // Hz, physiological tremor of a held hand, from memory
	parts      = 4   // of an exposure
)

// film renders the clip and codes it at a phone's bit rate.
func (h handHeld) film(t testing.TB, seed uint64) string {
	t.Helper()
	back, width, card := h.scene(t, h.dim)
	smooth(back, width, h.blur)
	dice := rand.New(rand.NewPCG(seed, 1))
	path := filepath.Join(t.TempDir(), "held.mp4")
	cmd := exec.Command("ffmpeg", "-v", "error", "-f", "rawvideo", "-pix_fmt", "gray", "-s", "1920x1080", "-r", "30", "-i", "pipe:0",
		"-pix_fmt", "yuv420p", "-c:v", "libx264", "-preset", "veryfast", "-b:v", "12M", path)
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	phase, drift := 2*math.Pi*dice.Float64(), 2*math.Pi*dice.Float64()
	pxPerMM := focal / 1000 / h.distance
	pix := make([]byte, len(back))
	noise := make([]float64, 1<<16)
	for k := range noise {
		noise[k] = h.noise * dice.NormFloat64()
	}
	for n := range handFrames {
		light := make([]float64, len(back))
		copy(light, back)
		area := h.over(light, width, card, func(part float64) (dx, dy, turn float64) {
			at := (float64(n) + part*h.shut*handRate) / handRate
			shake := h.tremor * pxPerMM * math.Sin(2*math.Pi*tremble*at+phase)
			return 15*math.Sin(at*2+drift) + shake, 8*math.Cos(at*1.7+drift) + 0.7*shake, 2 * math.Sin(at*3+phase)
		})
		smoothIn(light, width, area, h.blur)
		shift := dice.IntN(len(noise))
		for k, v := range light {
			pix[k] = uint8(math.Round(min(max(v+noise[(k*40503+shift+k>>9)&(len(noise)-1)], 16), 235)))
		}
		if _, err := in.Write(pix); err != nil {
			t.Fatal(err)
		}
	}
	if err := in.Close(); err != nil && err != io.ErrClosedPipe {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	return path
}

// over lays the card as it moves during an exposure, and returns where.
func (h handHeld) over(light []float64, width int, card *image.Gray, at func(part float64) (dx, dy, turn float64)) image.Rectangle {
	height := len(light) / width
	half := int(focal*math.Hypot(papers[h.on].width, papers[h.on].height)/2000/h.distance*1.2) + 40
	middle := image.Pt(960, 420)
	area := image.Rectangle{middle.Sub(image.Pt(half, half)), middle.Add(image.Pt(half, half))}.Intersect(image.Rect(0, 0, width, height))
	sum := make([]float64, len(light))
	one := make([]float64, len(light))
	for p := range parts {
		copy(one, light)
		dx, dy, turn := at((float64(p) + 0.5) / parts)
		moved := h.held
		moved.turn, moved.light = h.turn+turn, h.light*h.dim
		moved.shift(one, width, card, middle, dx, dy)
		for y := area.Min.Y; y < area.Max.Y; y++ {
			for x := area.Min.X; x < area.Max.X; x++ {
				sum[y*width+x] += one[y*width+x] / parts
			}
		}
	}
	for y := area.Min.Y; y < area.Max.Y; y++ {
		copy(light[y*width+area.Min.X:y*width+area.Max.X], sum[y*width+area.Min.X:y*width+area.Max.X])
	}
	return area
}

// smoothIn blurs a part of a picture.
func smoothIn(light []float64, width int, area image.Rectangle, sigma float64) {
	part := make([]float64, 0, area.Dx()*area.Dy())
	for y := area.Min.Y; y < area.Max.Y; y++ {
		part = append(part, light[y*width+area.Min.X:y*width+area.Max.X]...)
	}
	smooth(part, area.Dx(), sigma)
	for y := area.Min.Y; y < area.Max.Y; y++ {
		copy(light[y*width+area.Min.X:y*width+area.Max.X], part[(y-area.Min.Y)*area.Dx():])
	}
}

// hands are the ways of TestReach in a hand, the last in a dim hall: exposed for a
// sixtieth of a second and noisy.
var hands = []handHeld{
	{held: held{turn: 4, lean: 12, blur: 0.7, light: 0.9, noise: 2}, tremor: 2, dim: 1, shut: 1. / 250},
	{held: held{turn: -6, lean: -18, blur: 0.8, light: 0.8, noise: 5}, tremor: 2, dim: 0.45, shut: 1. / 60},
}

// TestHandHeld reads cards in a trembling hand from coded clips of 1080p.
func TestHandHeld(t *testing.T) {
	s := Slate{"S-014", sheet.Before}
	for k, c := range []struct {
		on       string
		distance float64
		handHeld
	}{{"a4", Usual, hands[1]}, {"a5", reach(t, s, "a5"), hands[0]}} {
		h := c.handHeld
		h.slate, h.on, h.distance = s, c.on, c.distance
		got, ok, err := Read(context.Background(), h.film(t, uint64(k)), clip.DefaultOptions(), 5)
		if err != nil || !ok || got != s {
			t.Errorf("%s at %.2f m: read %+v, %v, %v", c.on, c.distance, got, ok, err)
		}
	}
}
