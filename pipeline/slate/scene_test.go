package slate

import (
	"bytes"
	"context"
	"fmt"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"sync"
	"testing"

	"strokereel/pipeline/clip"
	"strokereel/pipeline/demo"
	"strokereel/track"
)

// held is how a card is held before a camera of 1080p.
type held struct {
	slate    Slate
	on       string
	distance float64 // m
	turn     float64 // degrees about the line of sight
	lean     float64 // degrees away from the camera's plane, about the card's upright axis
	blur     float64 // px, standard deviation of lens, focus and hand
	light    float64 // of white paper, 1 is full
	noise    float64 // levels, standard deviation
}

// room is the luma of a rendered room with a player in it, 1920x1080.
var room = sync.OnceValues(func() (*track.Frame, error) {
	dir, err := os.MkdirTemp("", "slate-")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	spec, err := demo.Case("clean", 1)
	if err != nil {
		return nil, err
	}
	spec.Duration = 0.05
	path := filepath.Join(dir, "room.mp4")
	ctx := context.Background()
	if err := demo.Render(ctx, spec, path); err != nil {
		return nil, err
	}
	r, err := clip.Open(ctx, path, clip.DefaultOptions())
	if err != nil {
		return nil, err
	}
	defer r.Close()
	var f track.Frame
	if err := r.Next(&f); err != nil {
		return nil, err
	}
	f.Y = bytes.Clone(f.Y)
	return &f, nil
})

// scene is the card, and the light of the room, of whose pictures dim is the share
// of full brightness.
func (h held) scene(t testing.TB, dim float64) (light []float64, width int, card *image.Gray) {
	t.Helper()
	f, err := room()
	if err != nil {
		t.Fatal(err)
	}
	if card, err = h.slate.draw(h.on, 0); err != nil {
		t.Fatal(err)
	}
	for _, y := range f.Y {
		light = append(light, 16+dim*(float64(y)-16))
	}
	return light, f.Width, card
}

// picture puts a card into the room: a pinhole camera of focal length focal,
// each pixel the mean of a grid of rays, then blurred, dimmed and made noisy.
func (h held) picture(t testing.TB, at image.Point) *image.Gray {
	t.Helper()
	light, width, card := h.scene(t, 1)
	h.lay(light, width, card, at)
	smooth(light, width, h.blur)
	dice := rand.New(rand.NewPCG(7, uint64(at.X)))
	out := image.NewGray(image.Rect(0, 0, width, len(light)/width))
	for k, v := range light {
		out.Pix[k] = uint8(math.Round(min(max(v+h.noise*dice.NormFloat64(), 16), 235)))
	}
	return out
}

// lay draws the card with its middle at a pixel.
func (h held) lay(light []float64, width int, card *image.Gray, at image.Point) {
	h.shift(light, width, card, at, 0, 0)
}

// shift draws the card a part of some pixels beside.
func (h held) shift(light []float64, width int, card *image.Gray, at image.Point, dx, dy float64) {
	p := papers[h.on]
	sr, cr := math.Sincos(h.turn * math.Pi / 180)
	sl, cl := math.Sincos(h.lean * math.Pi / 180)
	const rays = 4
	half := int(focal*math.Hypot(p.width, p.height)/2000/h.distance*1.2 + max(math.Abs(dx), math.Abs(dy)))
	for y := at.Y - half; y <= at.Y+half; y++ {
		for x := at.X - half; x <= at.X+half; x++ {
			sum, hit := 0.0, 0
			for k := range rays * rays {
				// A ray of the pinhole, turned into the plane of the card.
				u := (float64(x-at.X) - dx + (float64(k%rays)+0.5)/rays - 0.5) / focal
				v := (float64(y-at.Y) - dy + (float64(k/rays)+0.5)/rays - 0.5) / focal
				u, v = cr*u+sr*v, cr*v-sr*u
				depth := h.distance * cl / (cl - u*sl) // where the ray meets the leaning plane
				cx, cy := depth*u*cl+(depth-h.distance)*sl, depth*v
				i, j := px(1000*cx+p.width/2), px(1000*cy+p.height/2)
				if !(image.Point{i, j}).In(card.Rect) {
					continue
				}
				hit++
				sum += 16 + 200*h.light*(0.06+0.94*float64(card.GrayAt(i, j).Y)/255) // ink is not black
			}
			if k := y*width + x; hit > 0 && k >= 0 && k < len(light) {
				share := float64(hit) / (rays * rays)
				light[k] = (1-share)*light[k] + sum/(rays*rays)
			}
		}
	}
}

// smooth blurs with a normal curve, rows then columns.
func smooth(light []float64, width int, sigma float64) {
	if sigma <= 0 {
		return
	}
	reach := int(math.Ceil(3 * sigma))
	var weights []float64
	total := 0.0
	for k := -reach; k <= reach; k++ {
		w := math.Exp(-float64(k*k) / (2 * sigma * sigma))
		weights, total = append(weights, w), total+w
	}
	height := len(light) / width
	for _, step := range []struct{ lines, length, along, across int }{{height, width, 1, width}, {width, height, width, 1}} {
		row := make([]float64, step.length)
		for l := range step.lines {
			for i := range row {
				sum := 0.0
				for k, w := range weights {
					j := min(max(i+k-reach, 0), step.length-1)
					sum += w * light[l*step.across+j*step.along]
				}
				row[i] = sum / total
			}
			for i, v := range row {
				light[l*step.across+i*step.along] = v
			}
		}
	}
}

// film codes a picture as a clip of half a second, as a phone does.
func film(t testing.TB, img *image.Gray, more ...string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "clip.mp4")
	size := fmt.Sprintf("%dx%d", img.Rect.Dx(), img.Rect.Dy())
	args := []string{"-v", "error", "-f", "rawvideo", "-pix_fmt", "gray", "-s", size, "-r", "30", "-i", "pipe:0",
		"-vf", "loop=14:1,format=yuv420p", "-c:v", "libx264", "-preset", "veryfast", "-crf", "26"}
	cmd := exec.Command("ffmpeg", append(append(args, more...), path)...)
	cmd.Stdin = bytes.NewReader(img.Pix)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("ffmpeg: %v: %s", err, out)
	}
	return path
}
